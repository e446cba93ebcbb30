/* filter_lanes.c - up to eight chains of second-order sections side by side, one a lane. A chain by
 * itself waits for its own last output at every sample; side by side they wait together.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define LANES SG_FILTER_LANES
#define PIECE 64
#define PASSES 4 /* sections in one loop */

typedef double lanes __attribute__((vector_size(LANES * sizeof(double)), aligned(8), may_alias));

/* Sections of all lanes; a lane with fewer sections passes its samples on. */
struct bank {
    double b0[SG_SECTIONS_MAX][LANES], b1[SG_SECTIONS_MAX][LANES], b2[SG_SECTIONS_MAX][LANES];
    double a0[SG_SECTIONS_MAX][LANES], a1[SG_SECTIONS_MAX][LANES];
    double s0[SG_SECTIONS_MAX][LANES], s1[SG_SECTIONS_MAX][LANES];
};

#define AT(member, n) (*(lanes *)(bank->member[n]))
#define STEP(n, x, y)                                                                              \
    do {                                                                                           \
        y = b0##n * (x) + s0##n;                                                                   \
        s0##n = (b1##n * (x) + s1##n) - a0##n * y;                                                 \
        s1##n = b2##n * (x)-a1##n * y;                                                             \
    } while (0)
#define TAKE(n)                                                                                    \
    const lanes b0##n = AT(b0, from + n), b1##n = AT(b1, from + n), b2##n = AT(b2, from + n);      \
    const lanes a0##n = AT(a0, from + n), a1##n = AT(a1, from + n);                                \
    lanes s0##n = AT(s0, from + n), s1##n = AT(s1, from + n)
#define GIVE(n)                                                                                    \
    AT(s0, from + n) = s0##n;                                                                      \
    AT(s1, from + n) = s1##n

SG_FOR_THIS_CPU
static void four_sections(struct bank *bank, size_t from, double (*x)[LANES], size_t count)
{
    TAKE(0);
    TAKE(1);
    TAKE(2);
    TAKE(3);
    for (size_t i = 0; i < count; i++) {
        lanes v = *(lanes *)x[i], w, y, z, u;
        STEP(0, v, w);
        STEP(1, w, y);
        STEP(2, y, z);
        STEP(3, z, u);
        *(lanes *)x[i] = u;
    }
    GIVE(0);
    GIVE(1);
    GIVE(2);
    GIVE(3);
}

static size_t fill_bank(const struct sg_filter_job *job, size_t njob, struct bank *bank)
{
    size_t most = 0;
    memset(bank, 0, sizeof *bank);
    for (size_t lane = 0; lane < LANES; lane++)
        for (size_t n = 0; n < SG_SECTIONS_MAX; n++) {
            bool used = lane < njob && n < job[lane].filter->nsection;
            bank->b0[n][lane] = 1.0;
            if (!used)
                continue;
            const struct sg_section *section = &job[lane].filter->section[n];
            bank->b0[n][lane] = section->b[0];
            bank->b1[n][lane] = section->b[1];
            bank->b2[n][lane] = section->b[2];
            bank->a0[n][lane] = section->a[0];
            bank->a1[n][lane] = section->a[1];
            bank->s0[n][lane] = job[lane].state->s[n][0];
            bank->s1[n][lane] = job[lane].state->s[n][1];
            most = n + 1 > most ? n + 1 : most;
        }
    return most;
}

/* Keeps silence out of the denormal range, where arithmetic is slow. */
static double settle(double state)
{
    return fabs(state) < 1e-200 ? 0.0 : state;
}

static void keep_states(const struct sg_filter_job *job, size_t njob, const struct bank *bank)
{
    for (size_t lane = 0; lane < njob; lane++)
        for (size_t n = 0; n < job[lane].filter->nsection; n++) {
            job[lane].state->s[n][0] = settle(bank->s0[n][lane]);
            job[lane].state->s[n][1] = settle(bank->s1[n][lane]);
        }
}

void sg_filter_run_lanes(const struct sg_filter_job *job, size_t njob, size_t count)
{
    struct bank bank;
    double x[PIECE][LANES] = { { 0.0 } };
    size_t sections = fill_bank(job, njob, &bank);
    for (size_t at = 0; at < count; at += PIECE) {
        size_t now = count - at < PIECE ? count - at : PIECE;
        for (size_t lane = 0; lane < njob; lane++)
            for (size_t i = 0; i < now; i++)
                x[i][lane] = job[lane].in[at + i];
        for (size_t from = 0; from < sections; from += PASSES)
            four_sections(&bank, from, x, now);
        for (size_t lane = 0; lane < njob; lane++)
            for (size_t i = 0; i < now; i++)
                job[lane].out[at + i] = x[i][lane];
    }
    keep_states(job, njob, &bank);
    for (size_t lane = 0; lane < njob; lane++)
        if (job[lane].filter->ntap > 0)
            sg_filter_taps(job[lane].filter, job[lane].state->t, job[lane].out, job[lane].out,
                           count);
}
