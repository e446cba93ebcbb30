/* bench_vibration.c - pile-receptor pairs a second of the vibration kernel.
 *
 *     bench_vibration DATA RESULT
 *
 * Makes a wall and receptors from a fixed sequence, writes them to DATA, works every pair out with
 * one and with two threads, writes the results to RESULT and prints one line a run. The companion
 * bench_vibration.py reads DATA, does the same sum with numpy and compares with RESULT.
 *
 * DATA: doubles K, n, number of piles, number of receptors, then pile x, pile y, receptor x,
 * receptor y. RESULT: doubles, for each receptor the peak, then for each the sum of fourth powers.
 * The relation is v = K r^-n with made-up constants: only its cost matters here.
 */
#include "stillground/vibration.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

enum { NPILE = 600, NRECEPTOR = 4000, REPEATS = 5 };

static const double K_MM_S = 240.0, EXPONENT = 1.37;

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
    const double head[4] = { K_MM_S, EXPONENT, NPILE, NRECEPTOR };
    FILE *file = fopen(path, "wb");
    if (!file) {
        return false;
    }
    bool done = write_doubles(file, head, 4) && write_doubles(file, column[0], NPILE) &&
                write_doubles(file, column[1], NPILE) &&
                write_doubles(file, column[2], NRECEPTOR) &&
                write_doubles(file, column[3], NRECEPTOR);
    return (fclose(file) == 0) && done;
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

    const struct sg_law law = { .form = SG_FORM_POWER,
                                .distance = SG_DISTANCE_PLAN,
                                .k = K_MM_S,
                                .n = EXPONENT,
                                .w_ref = 1.0,
                                .r_ref = 1.0,
                                .energy_J = 1.0,
                                .factor = 1.0,
                                .exceedance_percent = SG_UNSET };
    const struct sg_field_sources piles = { pile_x, pile_y, NPILE };
    for (int threads = 1; threads <= 2; threads++) {
        double best_s = SG_UNSET;
        for (int i = 0; i < REPEATS; i++) {
            double start_s = now_s();
            if (!sg_ok(sg_law_field(&law, &piles, x, y, NRECEPTOR, threads, peak, sum4))) {
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
