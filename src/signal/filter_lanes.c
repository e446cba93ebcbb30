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
static void four_sections(struct sg_filter_bank *bank, size_t from, double (*in)[LANES],
                          double (*out)[LANES], size_t count)
{
    TAKE(0);
    TAKE(1);
    TAKE(2);
    TAKE(3);
    for (size_t i = 0; i < count; i++) {
        lanes v = AT(in[i]), w, y, z, u;
        STEP(0, v, w);
        STEP(1, w, y);
        STEP(2, y, z);
        STEP(3, z, u);
        PUT(out[i]) = u;
    }
    GIVE(0);
    GIVE(1);
    GIVE(2);
    GIVE(3);
}

void sg_bank_init(struct sg_filter_bank *bank)
{
    memset(bank, 0, sizeof *bank);
    bank->nsection = 1; /* also when no filter has any: the samples must reach the equalisers */
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

/* The equalisers of all lanes: x[0] and behind it are the samples, what came before stands in front
 * of them. Four samples at a time share a tap; each adds up its taps from the newest sample to the
 * oldest, as run_taps in filter.c. */
SG_FOR_THIS_CPU
static void equalise(const struct sg_filter_bank *bank, double (*x)[LANES], double (*out)[LANES],
                     size_t count)
{
    size_t i = 0;
    for (; i + 4 <= count; i += 4) {
        double(*from)[LANES] = &x[i];
        lanes t = AT(bank->tap[0]), x0 = AT(from[0]), x1 = AT(from[1]), x2 = AT(from[2]);
        lanes y0 = t * x0, y1 = t * x1, y2 = t * x2, y3 = t * AT(from[3]);
        for (size_t k = 1; k < bank->ntap; k++) {
            lanes older = AT((--from)[0]);
            t = AT(bank->tap[k]);
            y0 += t * older;
            y1 += t * x0;
            y2 += t * x1;
            y3 += t * x2;
            x2 = x1;
            x1 = x0;
            x0 = older;
        }
        PUT(out[i]) = y0;
        PUT(out[i + 1]) = y1;
        PUT(out[i + 2]) = y2;
        PUT(out[i + 3]) = y3;
    }
    for (; i < count; i++) {
        double(*from)[LANES] = &x[i];
        lanes y = AT(bank->tap[0]) * AT(from[0]);
        for (size_t k = 1; k < bank->ntap; k++)
            y += AT(bank->tap[k]) * AT((--from)[0]);
        PUT(out[i]) = y;
    }
}

/* Keeps silence out of the denormal range, where arithmetic is slow. */
static void settle(double (*state)[LANES], size_t count)
{
    for (size_t n = 0; n < count; n++)
        for (size_t lane = 0; lane < LANES; lane++)
            state[n][lane] = fabs(state[n][lane]) < 1e-200 ? 0.0 : state[n][lane];
}

SG_FOR_THIS_CPU
static void lanes_spread(const double *in, double (*x)[LANES], size_t count)
{
    const lanes zero = { 0.0 };
    for (size_t i = 0; i < count; i++)
        PUT(x[i]) = in[i] + zero;
}

void sg_lanes_spread(const double *in, double (*x)[LANES], size_t count)
{
    lanes_spread(in, x, count);
}

/* The last sections write behind the samples that the equalisers still need. */
static void run_piece(struct sg_filter_bank *bank, double (*x)[LANES], size_t count)
{
    _Alignas(64) double held[SG_TAPS_MAX + SG_LANES_PIECE][LANES];
    const size_t behind = bank->ntap > 0 ? bank->ntap - 1 : 0;
    for (size_t from = 0; from < bank->nsection; from += PASSES) {
        bool last = from + PASSES >= bank->nsection;
        four_sections(bank, from, x, last && behind > 0 ? held + behind : x, count);
    }
    if (behind == 0)
        return;
    memcpy(held, bank->past, behind * sizeof *held);
    equalise(bank, held + behind, x, count);
    memcpy(bank->past, held[count], behind * sizeof *held);
}

void sg_bank_run(struct sg_filter_bank *bank, double (*x)[LANES], size_t count)
{
    for (size_t at = 0; at < count; at += SG_LANES_PIECE)
        run_piece(bank, x + at, count - at < SG_LANES_PIECE ? count - at : SG_LANES_PIECE);
    settle(bank->s, bank->nsection);
    settle(bank->t, bank->nsection);
}
