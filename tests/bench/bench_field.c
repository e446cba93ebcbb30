/* bench_field.c - source-receptor-band evaluations a second of the octave-band method on open
 * ground, without screens.
 *
 *     bench_field DATA RESULT
 *
 * A million receptors on a grid by 200 sources with powers of their own, on one thread and on two.
 * DATA: doubles, number of sources and of receptors, ground factor, the eight attenuations of air
 * in dB/m, then source x, y, height, receptor x, y, height, then eight powers a source. RESULT:
 * eight band levels a receptor, then the A-weighted total of each. bench_field.py reads both.
 */
#include "stillground/outdoor.h"
#include "stillground/outdoor_field.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

enum { SIDE = 1000, NRECEPTOR = SIDE * SIDE, NSOURCE = 200, REPEATS = 3 };

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

static double source_at[3][NSOURCE], power_db[SG_BANDS * NSOURCE];
static double receptor_at[3][NRECEPTOR], band_db[SG_BANDS * NRECEPTOR], a_db[NRECEPTOR];

static void make_points(void)
{
    uint64_t state = 20261125u;
    for (size_t i = 0; i < NSOURCE; i++) {
        source_at[0][i] = 400 + 200 * next_unit(&state);
        source_at[1][i] = 400 + 200 * next_unit(&state);
        source_at[2][i] = 0.5 + 8 * next_unit(&state);
        for (size_t b = 0; b < SG_BANDS; b++)
            power_db[SG_BANDS * i + b] = 90 + 20 * next_unit(&state);
    }
    for (size_t i = 0; i < NRECEPTOR;
         i++) { /* 1 m apart, over the roofs of the plant where close */
        receptor_at[0][i] = (double)(i % SIDE);
        receptor_at[1][i] = (double)(i / SIDE);
        receptor_at[2][i] = 10 + 4 * next_unit(&state);
    }
}

static bool put(FILE *file, const double *value, size_t count)
{
    return fwrite(value, sizeof(*value), count, file) == count;
}

static bool write_data(const char *path, const struct sg_scene *scene)
{
    double head[3 + SG_BANDS] = { NSOURCE, NRECEPTOR, scene->ground_factor };
    FILE *file = fopen(path, "wb");
    if (!file)
        return false;
    for (size_t b = 0; b < SG_BANDS; b++)
        head[3 + b] = sg_air_absorption_db_km(&scene->air, sg_octave_exact_hz(b)) / 1000.0;
    bool done = put(file, head, 3 + SG_BANDS);
    for (size_t k = 0; k < 3; k++)
        done = done && put(file, source_at[k], NSOURCE);
    for (size_t k = 0; k < 3; k++)
        done = done && put(file, receptor_at[k], NRECEPTOR);
    done = done && put(file, power_db, (size_t)SG_BANDS * NSOURCE);
    return fclose(file) == 0 && done;
}

static bool write_result(const char *path)
{
    FILE *file = fopen(path, "wb");
    if (!file)
        return false;
    bool done = put(file, band_db, (size_t)SG_BANDS * NRECEPTOR) && put(file, a_db, NRECEPTOR);
    return fclose(file) == 0 && done;
}

int main(int argc, char **argv)
{
    struct sg_scene scene = SG_SCENE_INIT;
    scene.ground_factor = 0.5;
    if (argc != 3) {
        fprintf(stderr, "usage: bench_field DATA RESULT\n");
        return 2;
    }
    make_points();
    struct sg_outdoor_points sources = { source_at[0], source_at[1], source_at[2], NSOURCE };
    struct sg_outdoor_points receptors = { receptor_at[0], receptor_at[1], receptor_at[2],
                                           NRECEPTOR };
    double best_s[2] = { SG_UNSET, SG_UNSET };
    for (int i = 0; i < 2 * REPEATS; i++) { /* in turn, so that both meet the same disturbances */
        int threads = i % 2 + 1;
        double start_s = now_s();
        if (!sg_ok(
                sg_outdoor_field(&scene, &sources, power_db, &receptors, threads, band_db, a_db))) {
            fprintf(stderr, "bench_field: the kernel failed\n");
            return 70;
        }
        double took_s = now_s() - start_s, *best = &best_s[threads - 1];
        *best = !sg_is_set(*best) || took_s < *best ? took_s : *best;
    }
    for (int threads = 1; threads <= 2; threads++)
        printf("stillground %d %.9f\n", threads, best_s[threads - 1]);
    if (!write_data(argv[1], &scene) || !write_result(argv[2])) {
        perror(argv[1]);
        return 4;
    }
    return 0;
}
