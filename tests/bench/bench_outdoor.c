/* bench_outdoor.c - source-receptor pairs a second of the octave-band method, one screen each, and
 * the cost of a path against the number of walls in the scene.
 *
 *     bench_outdoor DATA RESULT
 *
 * Pairs stand in cells 1 km apart, each with a wall of its own between source and receptor that
 * reaches over the line of sight at both ends; all walls are in one scene. For the cost against the
 * number of walls more such cells are laid out, with their walls alone. DATA: doubles, number of
 * pairs, the eight attenuations of air in dB/m, then rows of 12: source x, y, z, receptor x, y, z,
 * wall ends x, y, x, y, top, 0. RESULT: eight band levels a pair. bench_outdoor.py reads both.
 */
#include "stillground/outdoor.h"

#include <stdio.h>
#include <time.h>

enum { NPAIR = 10000, NWALL = 100000, ROW = 12, REPEATS = 3 };

static double next_unit(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

static double now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void make_pair(double *row, size_t index, uint64_t *state)
{
    double x = 1000.0 * (double)(index % 100), y = 1000.0 * (double)(index / 100);
    double d = 60 + 200 * next_unit(state), t = 0.2 + 0.6 * next_unit(state);
    row[0] = x;
    row[1] = y;
    row[2] = 0.5 + 2 * next_unit(state);
    row[3] = x + d;
    row[4] = y + 10 * next_unit(state);
    row[5] = 1.5 + 2.5 * next_unit(state);
    row[6] = x + t * d - 5 * next_unit(state);
    row[7] = y - 10 - 30 * next_unit(state);
    row[8] = x + t * d + 5 * next_unit(state);
    row[9] = y + 25 + 30 * next_unit(state);
    row[10] = 5 + 4 * next_unit(state);
    row[11] = 0;
}

/* Puts the first nwall walls of the rows into a scene. */
static const struct sg_outdoor *make_scene(const double *rows, size_t nwall, struct sg_scene *scene,
                                           struct sg_arena *arena)
{
    struct sg_obstacle *wall = sg_arena_alloc(arena, nwall, sizeof(*wall));
    struct sg_spot3 *corner = sg_arena_alloc(arena, 2 * nwall, sizeof(*corner));
    const struct sg_outdoor *outdoor = NULL;
    if (!wall || !corner)
        return NULL;
    for (size_t i = 0; i < nwall; i++) {
        const double *row = &rows[ROW * i];
        corner[2 * i] = (struct sg_spot3){ row[6], row[7], SG_UNSET, row[10] };
        corner[2 * i + 1] = (struct sg_spot3){ row[8], row[9], SG_UNSET, row[10] };
        wall[i] = (struct sg_obstacle){ "wall", false, &corner[2 * i], 2, { 0 } };
    }
    *scene = SG_SCENE_INIT;
    scene->ground_factor = 0.5;
    scene->obstacle = wall;
    scene->nobstacle = nwall;
    return sg_ok(sg_outdoor_make(scene, arena, &outdoor, NULL)) ? outdoor : NULL;
}

static bool work_out(const struct sg_outdoor *outdoor, const double *rows, size_t npair,
                     double *result)
{
    struct sg_emitter emitter = { .name = "S" };
    for (size_t b = 0; b < SG_BANDS; b++)
        emitter.power_db[b] = 100;
    for (size_t i = 0; i < npair; i++) {
        const double *row = &rows[ROW * i];
        struct sg_spot3 s = { row[0], row[1], row[2], row[2] },
                        r = { row[3], row[4], row[5], row[5] };
        struct sg_outdoor_path path;
        struct sg_outdoor_level level;
        size_t count;
        if (!sg_ok(sg_outdoor_paths(outdoor, &s, &r, false, &path, 1, &count)))
            return false;
        sg_outdoor_level(&emitter, &path, count, &level);
        for (size_t b = 0; b < SG_BANDS; b++)
            result[SG_BANDS * i + b] = level.band_db[b];
    }
    return true;
}

static bool write_all(const char *path, const double *head, size_t nhead, const double *body,
                      size_t nbody)
{
    FILE *file = fopen(path, "wb");
    if (!file)
        return false;
    bool done = fwrite(head, sizeof(*head), nhead, file) == nhead &&
                fwrite(body, sizeof(*body), nbody, file) == nbody;
    return fclose(file) == 0 && done;
}

/* The same 1000 pairs among more and more walls. */
static bool time_walls(const double *rows, double *result)
{
    static const size_t nwall[] = { 1000, 3000, 10000, 30000, NWALL };
    for (size_t k = 0; k < SG_COUNT(nwall); k++) {
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_scene scene;
        double best_s = SG_UNSET;
        const struct sg_outdoor *outdoor = make_scene(rows, nwall[k], &scene, &arena);
        for (int i = 0; outdoor && i < REPEATS; i++) {
            double start_s = now_s();
            if (!work_out(outdoor, rows, 1000, result))
                return false;
            double took_s = now_s() - start_s;
            best_s = !sg_is_set(best_s) || took_s < best_s ? took_s : best_s;
        }
        printf("walls %zu %.3f\n", nwall[k], 1e6 * best_s / 1000.0);
        sg_arena_release(&arena);
    }
    return true;
}

int main(int argc, char **argv)
{
    static double rows[ROW * NWALL], result[SG_BANDS * NPAIR], head[1 + SG_BANDS];
    uint64_t state = 20260801u;
    if (argc != 3) {
        fprintf(stderr, "usage: bench_outdoor DATA RESULT\n");
        return 2;
    }
    for (size_t i = 0; i < NWALL; i++)
        make_pair(&rows[ROW * i], i, &state);
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_scene scene;
    const struct sg_outdoor *outdoor = make_scene(rows, NPAIR, &scene, &arena);
    double best_s = SG_UNSET;
    for (int i = 0; i < REPEATS; i++) {
        double start_s = now_s();
        if (!outdoor || !work_out(outdoor, rows, NPAIR, result)) {
            fprintf(stderr, "bench_outdoor: the kernel failed\n");
            return 70;
        }
        double took_s = now_s() - start_s;
        best_s = !sg_is_set(best_s) || took_s < best_s ? took_s : best_s;
    }
    printf("stillground 1 %.9f\n", best_s);
    head[0] = NPAIR;
    for (size_t b = 0; b < SG_BANDS; b++)
        head[1 + b] = sg_air_absorption_db_km(&scene.air, sg_octave_exact_hz(b)) / 1000.0;
    if (!write_all(argv[1], head, 1 + SG_BANDS, rows, (size_t)ROW * NPAIR) ||
        !write_all(argv[2], head, 1, result, (size_t)SG_BANDS * NPAIR)) {
        perror(argv[1]);
        return 4;
    }
    sg_arena_release(&arena);
    return time_walls(rows, result) ? 0 : 70;
}
