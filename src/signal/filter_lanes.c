/* filter_lanes.c - up to eight chains of second-order sections side by side, one a lane. A chain by
 * itself waits for its own last output at every sample; side by side they wait together.
 *
 * Samples stand lane-major, x[sample][lane], and stay so from the input through sections and
 * equalisers to the detectors: nothing is turned round in between. Every lane does what
 * sg_filter_run does, in the same order, and gives the same bits.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define LANES SG_FILTER_LANES
#define PASSES 4 /* sections in one loop */

typedef double lanes __attribute__((vector_size(LANES * sizeof(double)), aligned(8), may_alias));

#define AT(member) (*(const lanes *)(member))
#define PUT(member) (*(lanes *)(member))
#define TAKE(n)                                                                                    \
    const lanes b##n = AT(bank->b[from + n]), c##n = AT(bank->c[from + n]);                        \
    const lanes d##n = AT(bank->d[from + n]);                                                      \
    const lanes p##n = AT(bank->p[from + n]), q##n = AT(bank->q[from + n]);                        \
    lanes s##n = AT(bank->s[from + n]), t##n = AT(bank->t[from + n])
#define STEP(n, x, y) SG_SECTION_STEP(b##n, c##n, d##n, p##n, q##n, s##n, t##n, x, y)
#define GIVE(n)                                                                                    \
    PUT(bank->s[from + n]) = s##n;                                                                 \
    PUT(bank->t[from + n]) = t##n

SG_FOR_THIS_CPU
static void four_sections(struct sg_filter_bank *bank, size_t from, double (*x)[LANES],
                          size_t count)
{
    TAKE(0);
    TAKE(1);
    TAKE(2);
    TAKE(3);
    for (size_t i = 0; i < count; i++) {
        lanes v = AT(x[i]), w, y, z, u;
        STEP(0, v, w);
        STEP(1, w, y);
        STEP(2, y, z);
        STEP(3, z, u);
        PUT(x[i]) = u;
    }
    GIVE(0);
    GIVE(1);
    GIVE(2);
    GIVE(3);
}

void sg_bank_init(struct sg_filter_bank *bank)
{
    memset(bank, 0, sizeof *bank);
    for (size_t lane = 0; lane < LANES; lane++) {
        for (size_t n = 0; n < SG_SECTIONS_MAX; n++)
            bank->b[n][lane] = 1.0;
        bank->tap[0][lane] = 1.0;
    }
}

void sg_bank_put(struct sg_filter_bank *bank, size_t lane, const struct sg_filter *filter)
{
    for (size_t n = 0; n < filter->nsection; n++) {
        const struct sg_section *section = &filter->section[n];
        bank->b[n][lane] = section->b[0];
        bank->c[n][lane] = section->b[1] - section->a[0] * section->b[0];
        bank->d[n][lane] = section->b[2] - section->a[1] * section->b[0];
        bank->p[n][lane] = section->a[0];
        bank->q[n][lane] = section->a[1];
    }
    for (size_t k = 0; k < filter->ntap; k++)
        bank->tap[k][lane] = filter->tap[k];
    bank->nsection = filter->nsection > bank->nsection ? filter->nsection : bank->nsection;
    bank->ntap = filter->ntap > bank->ntap ? filter->ntap : bank->ntap;
}

void sg_bank_restart(struct sg_filter_bank *bank)
{
    memset(bank->s, 0, sizeof bank->s);
    memset(bank->t, 0, sizeof bank->t);
    memset(bank->past, 0, sizeof bank->past);
}

/* The equalisers of all lanes, on at most SG_LANES_PIECE samples. Four samples at a time share a
 * tap; each adds up its taps from the newest sample to the oldest, as run_taps in filter.c. */
SG_FOR_THIS_CPU
static void equalise(struct sg_filter_bank *bank, double (*x)[LANES], size_t count)
{
    const size_t behind = bank->ntap - 1;
    _Alignas(64) double held[SG_TAPS_MAX + SG_LANES_PIECE + 3][LANES];
    memcpy(held, bank->past, behind * sizeof *held);
    memcpy(held[behind], x, count * sizeof *held);
    memset(held[behind + count], 0, 3 * sizeof *held);
    for (size_t i = 0; i < count; i += 4) {
        double(*from)[LANES] = &held[behind + i];
        lanes t = AT(bank->tap[0]);
        lanes y0 = t * AT(from[0]), y1 = t * AT(from[1]);
        lanes y2 = t * AT(from[2]), y3 = t * AT(from[3]);
        for (size_t k = 1; k <= behind; k++) {
            t = AT(bank->tap[k]);
            from--;
            y0 += t * AT(from[0]);
            y1 += t * AT(from[1]);
            y2 += t * AT(from[2]);
            y3 += t * AT(from[3]);
        }
        const lanes y[4] = { y0, y1, y2, y3 };
        memcpy(x[i], y, (count - i < 4 ? count - i : 4) * sizeof *x);
    }
    memcpy(bank->past, held[count], behind * sizeof *held);
}

/* Keeps silence out of the denormal range, where arithmetic is slow. */
static void settle(double (*state)[LANES], size_t count)
{
    for (size_t n = 0; n < count; n++)
        for (size_t lane = 0; lane < LANES; lane++)
            state[n][lane] = fabs(state[n][lane]) < 1e-200 ? 0.0 : state[n][lane];
}

SG_FOR_THIS_CPU
void sg_lanes_spread(const double *in, double (*x)[LANES], size_t count)
{
    const lanes zero = { 0.0 };
    for (size_t i = 0; i < count; i++)
        PUT(x[i]) = in[i] + zero;
}

void sg_bank_run(struct sg_filter_bank *bank, double (*x)[LANES], size_t count)
{
    for (size_t from = 0; from < bank->nsection; from += PASSES)
        four_sections(bank, from, x, count);
    settle(bank->s, bank->nsection);
    settle(bank->t, bank->nsection);
    for (size_t at = 0; at < count && bank->ntap > 1; at += SG_LANES_PIECE)
        equalise(bank, x + at, count - at < SG_LANES_PIECE ? count - at : SG_LANES_PIECE);
}
