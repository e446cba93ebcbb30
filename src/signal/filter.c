/* filter.c - digital filters from analogue definitions, for the actual sample rate.
 *
 * Poles go over exactly, z = exp(s / rate). Numerators are chosen so that the squared magnitude
 * equals the analogue one at 0, at half the rate and at one frequency between, which is found by
 * search; sections that are flat toward high frequencies and have a low corner use the bilinear
 * transform, prewarped at the corner. What error is left is taken by a short symmetric equaliser,
 * a weighted least-squares fit, that delays but does not bend the phase.
 *
 * Method: M. Vicanek, "Matched second order digital filters" (2016), the magnitude basis only.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define GRID 160         /* frequencies at which the error is looked at */
#define TOP_OF_RATE 0.46 /* nothing is promised above it */
#define GOOD_ENOUGH_DB 0.015

static double section_magnitude2(const struct sg_analogue_section *section, double frequency_hz)
{
    double w = 2.0 * SG_PI * frequency_hz;
    double nr = section->n[0] - section->n[2] * w * w, ni = section->n[1] * w;
    double dr = section->d[0] - section->d[2] * w * w, di = section->d[1] * w;
    return (nr * nr + ni * ni) / (dr * dr + di * di);
}

void sg_analogue_response(const struct sg_analogue *analogue, double frequency_hz,
                          double *magnitude, double *phase_rad)
{
    double w = 2.0 * SG_PI * frequency_hz, m2 = 1.0, phase = 0.0;
    for (size_t i = 0; i < analogue->count; i++) {
        const struct sg_analogue_section *s = &analogue->section[i];
        m2 *= section_magnitude2(s, frequency_hz);
        phase += atan2(s->n[1] * w, s->n[0] - s->n[2] * w * w) -
                 atan2(s->d[1] * w, s->d[0] - s->d[2] * w * w);
    }
    *magnitude = sqrt(m2);
    *phase_rad = phase;
}

/* A frequency as cosines and sines of w and 2 w, w in rad a sample. */
struct turn {
    double c1, s1, c2, s2;
};

static struct turn turn_of(double w)
{
    return (struct turn){ cos(w), sin(w), cos(2.0 * w), sin(2.0 * w) };
}

/* p0 + p1 z + p2 z^2 at z = exp(-j w). */
static void polynomial(const double *p, const struct turn *t, double *re, double *im)
{
    *re = p[0] + p[1] * t->c1 + p[2] * t->c2;
    *im = -p[1] * t->s1 - p[2] * t->s2;
}

static double digital_magnitude2(const double *b, const double *a, const struct turn *t)
{
    const double full[3] = { 1.0, a[0], a[1] };
    double nr, ni, dr, di;
    polynomial(b, t, &nr, &ni);
    polynomial(full, t, &dr, &di);
    return (nr * nr + ni * ni) / (dr * dr + di * di);
}

void sg_filter_response(const struct sg_filter *filter, double frequency_hz, double *magnitude,
                        double *phase_rad)
{
    double w = 2.0 * SG_PI * frequency_hz / filter->rate_hz, phase = 0.0, m2 = 1.0, gain = 1.0;
    const struct turn turn = turn_of(w);
    for (size_t i = 0; i < filter->nsection; i++) {
        const struct sg_section *s = &filter->section[i];
        const double full[3] = { 1.0, s->a[0], s->a[1] };
        double nr, ni, dr, di;
        polynomial(s->b, &turn, &nr, &ni);
        polynomial(full, &turn, &dr, &di);
        m2 *= (nr * nr + ni * ni) / (dr * dr + di * di);
        phase += atan2(ni, nr) - atan2(di, dr);
    }
    if (filter->ntap > 0) {
        size_t half = (filter->ntap - 1) / 2;
        gain = filter->tap[half];
        for (size_t k = 1; k <= half; k++)
            gain += 2.0 * filter->tap[half + k] * cos((double)k * w);
        phase -= (double)half * w;
    }
    *magnitude = sqrt(m2) * fabs(gain);
    *phase_rad = phase;
}

/* ---- frequencies that a design is judged at -------------------------------------------------- */

#define HALF_MAX ((SG_TAPS_MAX - 1) / 2 + 1)

/* Angles are worked out once for all the attempts of a design. */
struct grid {
    double hz[GRID], ratio[GRID]; /* ratio: wanted magnitude over the sections' */
    struct turn turn[GRID];
    double cosine[GRID][HALF_MAX]; /* cos(k w), of the equaliser */
};

/* Half logarithmic, half linear, so that both ends are seen. */
static void make_grid(double low_hz, double high_hz, double rate_hz, struct grid *grid)
{
    for (size_t i = 0; i < GRID; i++) {
        double share = (double)(i / 2) / (GRID / 2 - 1);
        grid->hz[i] = i % 2 == 0 ? low_hz * pow(high_hz / low_hz, share)
                                 : low_hz + (high_hz - low_hz) * share;
        double w = 2.0 * SG_PI * grid->hz[i] / rate_hz;
        grid->turn[i] = turn_of(w);
        for (size_t k = 0; k < HALF_MAX; k++)
            grid->cosine[i][k] = cos((double)k * w);
    }
}

/* ---- one section ----------------------------------------------------------------------------- */

static double corner_rad(const struct sg_analogue_section *s)
{
    if (fabs(s->d[2]) > 0.0)
        return sqrt(s->d[0] / s->d[2]);
    return s->d[0] / s->d[1];
}

/* Characteristic polynomial with z = exp(s T). */
static void exact_poles(const struct sg_analogue_section *s, double rate_hz, double a[2])
{
    if (!(fabs(s->d[2]) > 0.0)) {
        a[0] = -exp(-s->d[0] / s->d[1] / rate_hz);
        a[1] = 0.0;
        return;
    }
    double half = s->d[1] / s->d[2] / 2.0, w2 = s->d[0] / s->d[2];
    double root = half * half - w2, decay = exp(-half / rate_hz);
    a[0] = root < 0.0 ? -2.0 * decay * cos(sqrt(-root) / rate_hz)
                      : -2.0 * decay * cosh(sqrt(root) / rate_hz);
    a[1] = decay * decay;
}

static void bilinear(const struct sg_analogue_section *s, double rate_hz, struct sg_section *out)
{
    double w = corner_rad(s), c = w / tan(w / (2.0 * rate_hz));
    double n0 = s->n[0], n1 = s->n[1] * c, n2 = s->n[2] * c * c;
    double d0 = s->d[0], d1 = s->d[1] * c, d2 = s->d[2] * c * c;
    if (!(fabs(s->d[2]) > 0.0) && !(fabs(s->n[2]) > 0.0)) { /* first order */
        out->b[0] = (n0 + n1) / (d0 + d1);
        out->b[1] = (n0 - n1) / (d0 + d1);
        out->b[2] = 0.0;
        out->a[0] = (d0 - d1) / (d0 + d1);
        out->a[1] = 0.0;
        return;
    }
    double scale = d0 + d1 + d2;
    out->b[0] = (n0 + n1 + n2) / scale;
    out->b[1] = 2.0 * (n0 - n2) / scale;
    out->b[2] = (n0 - n1 + n2) / scale;
    out->a[0] = 2.0 * (d0 - d2) / scale;
    out->a[1] = (d0 - d1 + d2) / scale;
}

/* Numerator from the magnitudes at 0, rate / 2 and w; false when there is none. */
static bool matched(const struct sg_analogue_section *s, double rate_hz, double w,
                    struct sg_section *out)
{
    const double *a = out->a;
    double f = w * rate_hz / (2.0 * SG_PI);
    double root0 = sqrt(section_magnitude2(s, 0.0)) * (1.0 + a[0] + a[1]);
    double root1 = sqrt(section_magnitude2(s, rate_hz / 2.0)) * (1.0 - a[0] + a[1]);
    double sine = sin(w / 2.0), p1 = sine * sine, p0 = 1.0 - p1, p2 = 4.0 * p0 * p1;
    const double one[3] = { 1.0, 0.0, 0.0 };
    const struct turn turn = turn_of(w);
    double target = section_magnitude2(s, f) / digital_magnitude2(one, a, &turn);
    double b2 = (target - root0 * root0 * p0 - root1 * root1 * p1) / p2;
    double mean = (root0 + root1) / 2.0, inside = mean * mean + b2;
    if (!(fabs(s->d[2]) > 0.0)) {
        b2 = 0.0;
        inside = mean * mean;
    }
    if (inside < 0.0)
        return false;
    out->b[0] = (mean + sqrt(inside)) / 2.0;
    out->b[1] = (root0 - root1) / 2.0;
    out->b[2] = fabs(out->b[0]) > 0.0 ? -b2 / (4.0 * out->b[0]) : 0.0;
    return true;
}

/* Largest error, low frequencies weighted up: what is left high up, the equaliser can take. */
static double section_error(const struct sg_analogue_section *s, const struct sg_section *digital,
                            double rate_hz, const struct grid *grid)
{
    double low = 1.0, high = 1.0; /* largest ratios, either way */
    for (size_t i = 0; i < GRID; i += 4) {
        double want = section_magnitude2(s, grid->hz[i]);
        double have = digital_magnitude2(digital->b, digital->a, &grid->turn[i]);
        double off = have > want ? have / want : want / have;
        if (grid->hz[i] < rate_hz / 16.0)
            low = fmax(low, off);
        else
            high = fmax(high, off);
    }
    return fmax(50.0 * log(low), log(high));
}

/* Tries every way and keeps the one with the smallest error. */
static sg_status section_design(const struct sg_analogue_section *s, double rate_hz,
                                const struct grid *grid, struct sg_section *out)
{
    double best = HUGE_VAL;
    struct sg_section try;
    bool double_zero = !(fabs(s->n[0]) > 0.0) && !(fabs(s->n[1]) > 0.0);
    if (corner_rad(s) < 0.9 * SG_PI * rate_hz) {
        bilinear(s, rate_hz, &try);
        best = section_error(s, &try, rate_hz, grid);
        *out = try;
    }
    exact_poles(s, rate_hz, try.a);
    for (int k = 1; k < 48 && !double_zero; k++) {
        if (!matched(s, rate_hz, SG_PI * k / 50.0, &try))
            continue;
        double error = section_error(s, &try, rate_hz, grid);
        if (error < best) {
            best = error;
            *out = try;
        }
    }
    double middle = corner_rad(s) / rate_hz;
    if (!double_zero && middle < SG_PI * 0.9 && matched(s, rate_hz, middle, &try) &&
        section_error(s, &try, rate_hz, grid) < best) {
        best = section_error(s, &try, rate_hz, grid);
        *out = try;
    }
    return isfinite(best) ? SG_OK : SG_ERR_DOMAIN;
}

/* ---- equaliser ------------------------------------------------------------------------------- */

/* Solves the symmetric positive system m x = r of n unknowns in place (Cholesky). */
static bool solve(double m[HALF_MAX][HALF_MAX], double *r, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j <= i; j++) {
            double sum = m[i][j];
            for (size_t k = 0; k < j; k++)
                sum -= m[i][k] * m[j][k];
            if (i == j && !(sum > 0.0))
                return false;
            m[i][j] = i == j ? sqrt(sum) : sum / m[j][j];
        }
    }
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++)
            r[i] -= m[i][k] * r[k];
        r[i] /= m[i][i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++)
            r[i] -= m[k][i] * r[k];
        r[i] /= m[i][i];
    }
    return true;
}

/* Least squares of (c0 + 2 sum ck cos kw) / wanted = 1 over the grid. */
static bool equaliser(const struct grid *grid, size_t half, double *tap)
{
    double m[HALF_MAX][HALF_MAX] = { { 0.0 } }, r[HALF_MAX] = { 0.0 };
    for (size_t i = 0; i < GRID; i++) {
        double row[HALF_MAX];
        for (size_t k = 0; k <= half; k++)
            row[k] = (k == 0 ? 1.0 : 2.0 * grid->cosine[i][k]) / grid->ratio[i];
        for (size_t k = 0; k <= half; k++) {
            r[k] += row[k];
            for (size_t j = 0; j <= k; j++)
                m[k][j] += row[k] * row[j];
        }
    }
    for (size_t k = 0; k <= half; k++) /* keeps the tail above the grid tame */
        m[k][k] += 1e-9 * GRID;
    if (!solve(m, r, half + 1))
        return false;
    for (size_t k = 0; k <= half; k++)
        tap[half + k] = tap[half - k] = r[k];
    return true;
}

/* Wanted over what the sections give, at every frequency of the grid. */
static void find_ratios(const struct sg_filter *filter, const struct sg_analogue *analogue,
                        struct grid *grid)
{
    for (size_t i = 0; i < GRID; i++) {
        double want2 = 1.0, have2 = 1.0;
        for (size_t n = 0; n < filter->nsection; n++) {
            const struct sg_section *s = &filter->section[n];
            want2 *= section_magnitude2(&analogue->section[n], grid->hz[i]);
            have2 *= digital_magnitude2(s->b, s->a, &grid->turn[i]);
        }
        grid->ratio[i] = sqrt(want2) / sqrt(have2);
    }
}

/* Largest deviation in dB, with an equaliser or, half = 0, without. */
static double filter_error(const struct grid *grid, const double *tap, size_t half)
{
    double most = 1.0;
    for (size_t i = 0; i < GRID; i++) {
        double gain = half > 0 ? tap[half] : 1.0;
        for (size_t k = 1; k <= half; k++)
            gain += 2.0 * tap[half + k] * grid->cosine[i][k];
        double off = fabs(gain) / grid->ratio[i];
        most = fmax(most, fmax(off, 1.0 / off));
    }
    return 20.0 * log10(most);
}

sg_status sg_filter_design(const struct sg_analogue *analogue, double rate_hz, double low_hz,
                           double high_hz, struct sg_filter *out)
{
    if (!(rate_hz > 0.0) || !isfinite(rate_hz) || analogue->count > SG_SECTIONS_MAX)
        return SG_ERR_DOMAIN;
    double top = fmin(high_hz, TOP_OF_RATE * rate_hz);
    if (!(low_hz > 0.0) || !(top > low_hz))
        return SG_ERR_DOMAIN;
    struct sg_filter filter = { .nsection = analogue->count, .rate_hz = rate_hz, .high_hz = top };
    struct grid grid;
    make_grid(low_hz, top, rate_hz, &grid);
    for (size_t i = 0; i < analogue->count; i++) {
        sg_status status =
            section_design(&analogue->section[i], rate_hz, &grid, &filter.section[i]);
        if (!sg_ok(status))
            return status;
    }
    find_ratios(&filter, analogue, &grid);
    filter.worst_db = filter_error(&grid, NULL, 0);
    for (size_t half = 1; half < HALF_MAX && filter.worst_db > GOOD_ENOUGH_DB; half++) {
        struct sg_filter with = filter;
        with.ntap = 2 * half + 1;
        if (!equaliser(&grid, half, with.tap))
            break;
        with.worst_db = filter_error(&grid, with.tap, half);
        if (with.worst_db < filter.worst_db)
            filter = with;
    }
    *out = filter;
    return SG_OK;
}

/* ---- running --------------------------------------------------------------------------------- */

#define TAP_CHUNK 64
#define SIDE 8 /* samples side by side in one register, or in two or four */

typedef double samples __attribute__((vector_size(SIDE * sizeof(double)), aligned(8), may_alias));

/* A chunk behind its history. Each sample adds up its taps from the newest sample to the oldest. */
SG_FOR_THIS_CPU
static void taps_chunk(const double *tap, size_t behind, const double *x, double *out)
{
    for (size_t i = 0; i < TAP_CHUNK; i += 4 * SIDE) {
        const double *from = x + behind + i;
        samples y0 = tap[0] * *(const samples *)from;
        samples y1 = tap[0] * *(const samples *)(from + SIDE);
        samples y2 = tap[0] * *(const samples *)(from + 2 * SIDE);
        samples y3 = tap[0] * *(const samples *)(from + 3 * SIDE);
        for (size_t k = 1; k <= behind; k++) {
            from--;
            y0 += tap[k] * *(const samples *)from;
            y1 += tap[k] * *(const samples *)(from + SIDE);
            y2 += tap[k] * *(const samples *)(from + 2 * SIDE);
            y3 += tap[k] * *(const samples *)(from + 3 * SIDE);
        }
        *(samples *)(out + i) = y0;
        *(samples *)(out + i + SIDE) = y1;
        *(samples *)(out + i + 2 * SIDE) = y2;
        *(samples *)(out + i + 3 * SIDE) = y3;
    }
}

static void run_taps(const struct sg_filter *filter, double *history, const double *in, double *out,
                     size_t count)
{
    const size_t behind = filter->ntap - 1;
    double x[SG_TAPS_MAX - 1 + TAP_CHUNK] = { 0.0 }, y[TAP_CHUNK];
    memcpy(x, history, behind * sizeof *x);
    while (count > 0) {
        size_t now = count < TAP_CHUNK ? count : TAP_CHUNK;
        memcpy(x + behind, in, now * sizeof *x);
        taps_chunk(filter->tap, behind, x, y);
        memcpy(out, y, now * sizeof *y);
        memmove(x, x + now, behind * sizeof *x);
        in += now;
        out += now;
        count -= now;
    }
    memcpy(history, x, behind * sizeof *x);
}

/* Keeps silence out of the denormal range, where arithmetic is slow. */
static double settle(double state)
{
    return fabs(state) < 1e-200 ? 0.0 : state;
}

/* Section n of a loop: its coefficients and states in variables of their own. */
#define TAKE(n)                                                                                    \
    const double b##n = c[n].b[0], p##n = c[n].a[0], q##n = c[n].a[1];                             \
    const double c##n = c[n].b[1] - p##n * b##n, d##n = c[n].b[2] - q##n * b##n;                   \
    double s##n = s[n][0], t##n = s[n][1]
#define STEP(n, x, y) SG_SECTION_STEP(b##n, c##n, d##n, p##n, q##n, s##n, t##n, x, y)
#define GIVE(n)                                                                                    \
    s[n][0] = settle(s##n);                                                                        \
    s[n][1] = settle(t##n)

static void run_one(const struct sg_section *c, double (*s)[2], const double *in, double *out,
                    size_t count)
{
    TAKE(0);
    for (size_t i = 0; i < count; i++)
        STEP(0, in[i], out[i]);
    GIVE(0);
}

/* Several sections in one loop, so that their chains of dependence overlap. */
static void run_two(const struct sg_section *c, double (*s)[2], const double *in, double *out,
                    size_t count)
{
    TAKE(0);
    TAKE(1);
    for (size_t i = 0; i < count; i++) {
        double y;
        STEP(0, in[i], y);
        STEP(1, y, out[i]);
    }
    GIVE(0);
    GIVE(1);
}

static void run_three(const struct sg_section *c, double (*s)[2], const double *in, double *out,
                      size_t count)
{
    TAKE(0);
    TAKE(1);
    TAKE(2);
    for (size_t i = 0; i < count; i++) {
        double y, z;
        STEP(0, in[i], y);
        STEP(1, y, z);
        STEP(2, z, out[i]);
    }
    GIVE(0);
    GIVE(1);
    GIVE(2);
}

static void run_four(const struct sg_section *c, double (*s)[2], const double *in, double *out,
                     size_t count)
{
    TAKE(0);
    TAKE(1);
    TAKE(2);
    TAKE(3);
    for (size_t i = 0; i < count; i++) {
        double y, z, u;
        STEP(0, in[i], y);
        STEP(1, y, z);
        STEP(2, z, u);
        STEP(3, u, out[i]);
    }
    GIVE(0);
    GIVE(1);
    GIVE(2);
    GIVE(3);
}

void sg_filter_run(const struct sg_filter *filter, struct sg_filter_state *state, const double *in,
                   double *out, size_t count)
{
    const double *from = in;
    for (size_t i = 0; i < filter->nsection; from = out) {
        static void (*const run[])(const struct sg_section *, double(*)[2], const double *,
                                   double *, size_t) = { run_one, run_two, run_three, run_four };
        size_t now = filter->nsection - i < 4 ? filter->nsection - i : 4;
        run[now - 1](&filter->section[i], &state->s[i], from, out, count);
        i += now;
    }
    if (filter->ntap > 0)
        run_taps(filter, state->t, from, out, count);
    else if (from == in && out != in)
        memmove(out, in, count * sizeof *out);
}
