/* bench_vibration.c - pile-receptor pairs a second of the vibration kernel.
 *
 *     bench_vibration DATA RESULT
 *
 * Makes a wall and receptors from a fixed sequence, writes them to DATA, works every pair out with
 * one and with two threads, writes the results to RESULT and prints one line a run. The companion
 * bench_vibration.py reads DATA, does the same sum with numpy and compares with RESULT.
 *
 * The sum is that of an impact-driven wall: each pile goes down through STAGES layers, a pair's
 * value
 * is the largest over them of K_i (L_i^2 + x^2)^(-n/2); wanted for every receptor are the largest
 * value over the piles and the sum of its fourth powers. The constants are made up: only the cost
 * matters here.
 *
 * DATA: doubles n, number of stages, piles, receptors, then K_i, L_i, pile x, pile y, receptor x,
 * receptor y. RESULT: doubles, for each receptor the peak, then for each the sum of fourth powers.
 */
#include "stillground/vibration.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

enum { NPILE = 600, NRECEPTOR = 2000, STAGES = 5, REPEATS = 5 };

static const double EXPONENT = 1.37;
static const double K_MM_S[STAGES] = { 160.0, 165.0, 250.0, 480.0, 500.0 };
static const double TOE_M[STAGES] = { 1.0, 2.5, 5.0, 8.0, 11.0 };

/* Numbers in 0..1 that every machine makes alike (a 64-bit linear congruence, the constants of
 * Knuth's MMIX). */
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

/* A wall 360 m long with a bend, receptors in a belt of 2 to 250 m beside it. */
static void make_site(double *pile_x, double *pile_y, double *x, double *y)
{
    uint64_t state = 20260801u;
    for (size_t i = 0; i < NPILE; i++) {
        pile_x[i] = 0.6 * (double)i;
        pile_y[i] = i < NPILE / 2 ? 0.0 : -0.1 * (double)(i - NPILE / 2);
    }
    for (size_t i = 0; i < NRECEPTOR; i++) {
        x[i] = -50.0 + 460.0 * next_unit(&state);
        y[i] = 2.0 + 248.0 * next_unit(&state);
    }
}

static bool write_doubles(FILE *file, const double *value, size_t count)
{
    return fwrite(value, sizeof(*value), count, file) == count;
}

static bool write_data(const char *path, const double *const column[4])
{
    static const size_t count[4] = { NPILE, NPILE, NRECEPTOR, NRECEPTOR };
    const double head[4] = { EXPONENT, STAGES, NPILE, NRECEPTOR };
    FILE *file = fopen(path, "wb");
    if (!file)
        return false;
    bool done = write_doubles(file, head, 4) && write_doubles(file, K_MM_S, STAGES) &&
                write_doubles(file, TOE_M, STAGES);
    for (size_t i = 0; i < 4; i++)
        done = done && write_doubles(file, column[i], count[i]);
    return (fclose(file) == 0) && done;
}

static void make_stages(struct sg_law *stage)
{
    for (size_t i = 0; i < STAGES; i++)
        stage[i] = (struct sg_law){ .form = SG_FORM_POWER,
                                    .distance = SG_DISTANCE_TOE,
                                    .k = K_MM_S[i],
                                    .n = EXPONENT,
                                    .w_ref = 1.0,
                                    .r_ref = 1.0,
                                    .energy_J = 1.0,
                                    .toe_depth_m = TOE_M[i],
                                    .factor = 1.0,
                                    .exceedance_percent = SG_UNSET };
}

int main(int argc, char **argv)
{
    static double pile_x[NPILE], pile_y[NPILE], x[NRECEPTOR], y[NRECEPTOR];
    static double peak[NRECEPTOR], sum4[NRECEPTOR], peak_one[NRECEPTOR], sum4_one[NRECEPTOR];
    if (argc != 3) {
        fprintf(stderr, "usage: bench_vibration DATA RESULT\n");
        return 2;
    }
    make_site(pile_x, pile_y, x, y);
    if (!write_data(argv[1], (const double *const[4]){ pile_x, pile_y, x, y })) {
        perror(argv[1]);
        return 4;
    }

    struct sg_law stage[STAGES];
    make_stages(stage);
    const struct sg_field_points piles = { pile_x, pile_y, NPILE }, places = { x, y, NRECEPTOR };
    for (int threads = 1; threads <= 2; threads++) {
        double best_s = SG_UNSET;
        for (int i = 0; i < REPEATS; i++) {
            double start_s = now_s();
            if (!sg_ok(sg_law_field(stage, STAGES, &piles, &places, threads, peak, sum4))) {
                fprintf(stderr, "bench_vibration: the kernel failed\n");
                return 70;
            }
            double took_s = now_s() - start_s;
            best_s = !sg_is_set(best_s) || took_s < best_s ? took_s : best_s;
        }
        printf("stillground %d %.9f\n", threads, best_s);
        if (threads == 1) {
            memcpy(peak_one, peak, sizeof(peak));
            memcpy(sum4_one, sum4, sizeof(sum4));
        } else if (memcmp(peak_one, peak, sizeof(peak)) || memcmp(sum4_one, sum4, sizeof(sum4))) {
            fprintf(stderr, "bench_vibration: two threads give other bits than one\n");
            return 70;
        }
    }

    FILE *file = fopen(argv[2], "wb");
    bool done =
        file && write_doubles(file, peak, NRECEPTOR) && write_doubles(file, sum4, NRECEPTOR);
    if (!file || fclose(file) != 0 || !done) {
        perror(argv[2]);
        return 4;
    }
    return 0;
}
