/* bands.c - a bank of third-octave filters, class 1 of IEC 61260-1:2014, in several rates.
 *
 * Each band is a third-order Butterworth band-pass (three second-order sections, both edges
 * prewarped) that runs at a rate where its middle lies at 0.209 of the rate or below: there the
 * bilinear transform keeps the class 1 mask with 0.4 dB to spare. The lowest bands run at the rate
 * that their detector needs. Lower rates come from half-band decimators, the top octave from one
 * half-band interpolator. The filters are designed anew for each rate, because base-10 bands are
 * not exactly 2:1 apart.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define MIDDLE_MAX 0.209 /* of the rate a band runs at */
#define EDGE_MAX 0.4668  /* upper band edge, of the input rate */
#define STAGES_MAX 24
#define LANES 4 /* bands that are worked on side by side */
#define PER_STAGE 40
#define PER_TAU 12.0 /* samples a time constant of max-hold at the least */
#define CHUNK 1024   /* input samples handled at a time */
#define DOWN_PAIRS 5 /* 19 taps, 80 dB from 0.383 of the rate */
#define DOWN_DB 80.0
#define UP_PAIRS 28 /* 111 taps, 60 dB from 0.267 of the doubled rate */
#define UP_DB 60.0

#define INLINED __attribute__((always_inline)) static inline

typedef double lanes __attribute__((vector_size(LANES * sizeof(double)), aligned(8), may_alias));
typedef int64_t mask __attribute__((vector_size(LANES * sizeof(double))));

/* Bands of one rate side by side, lane by lane. A lane that is not used holds zeros. */
struct quad {
    int third[LANES];
    double b0[3][LANES], a1[3][LANES], a2[3][LANES]; /* numerators are b0 (1 - z^-2) */
    double s0[3][LANES], s1[3][LANES];
    double mean[LANES], peak[LANES], energy[LANES];
};

struct stage {
    double rate_hz;
    struct quad quad[PER_STAGE / LANES];
    size_t nband;
    double k;                           /* of the detectors */
    uint64_t samples;                   /* since the last take */
    double history[4 * DOWN_PAIRS - 2]; /* of the decimator behind it */
    bool odd;                           /* the next sample gives no output */
};

struct sg_bands {
    double rate_hz;
    bool up; /* stage 0 runs at twice the rate */
    size_t nstage;
    struct stage stage[STAGES_MAX];
    double down[DOWN_PAIRS], upper[UP_PAIRS];
    double up_history[2 * UP_PAIRS];
    double work[2 * UP_PAIRS + 4 * CHUNK], next[4 * DOWN_PAIRS + 4 * CHUNK];
};

/* ---- half-band filters ----------------------------------------------------------------------- */

/* Modified Bessel function of order 0. */
static double bessel_i0(double x)
{
    double sum = 1.0, term = 1.0;
    for (int k = 1; k < 60; k++) {
        term *= (x / (2.0 * k)) * (x / (2.0 * k));
        sum += term;
    }
    return sum;
}

/* Odd taps of a Kaiser-windowed half-band low-pass: pair j stands at +-(2j + 1); the middle is 0.5
 * and the rest zero. Scaled so that the gain at 0 is 1. */
static void half_band(double *pair, size_t pairs, double attenuation_db)
{
    double beta = attenuation_db > 50.0 ? 0.1102 * (attenuation_db - 8.7)
                                        : 0.5842 * pow(attenuation_db - 21.0, 0.4) +
                                              0.07886 * (attenuation_db - 21.0);
    double reach = (double)(2 * pairs), sum = 0.0;
    for (size_t j = 0; j < pairs; j++) {
        double at = (double)(2 * j + 1), share = at / reach;
        pair[j] = (j % 2 == 0 ? 1.0 : -1.0) / (SG_PI * at) *
                  bessel_i0(beta * sqrt(1.0 - share * share)) / bessel_i0(beta);
        sum += 2.0 * pair[j];
    }
    for (size_t j = 0; j < pairs; j++)
        pair[j] *= 0.5 / sum;
}

static double half_band_response(const double *pair, size_t pairs, double of_rate)
{
    double gain = 0.5;
    for (size_t j = 0; j < pairs; j++)
        gain += 2.0 * pair[j] * cos(2.0 * SG_PI * of_rate * (double)(2 * j + 1));
    return fabs(gain);
}

/* work holds `reach` old samples and then count new ones; gives the samples for every other one. */
SG_FOR_THIS_CPU
static size_t decimate(struct stage *stage, const double *pair, const double *work, size_t count,
                       double *out)
{
    const size_t middle = 2 * DOWN_PAIRS - 1;
    size_t made = 0;
    for (size_t i = stage->odd ? 1 : 0; i < count; i += 2) {
        const double *x = work + i + middle;
        double y = 0.5 * x[0];
        for (size_t j = 0; j < DOWN_PAIRS; j++)
            y += pair[j] * (x[2 * j + 1] + x[-(ptrdiff_t)(2 * j + 1)]);
        out[made++] = y;
    }
    if (count % 2 == 1)
        stage->odd = !stage->odd;
    return made;
}

#define UP_CHUNK 64

/* Samples between x[i] and x[i + 1], 64 of them: a fixed length, so that the compiler can keep
 * several in one register. */
SG_FOR_THIS_CPU
static void between(const double *restrict pair, const double *restrict x, double *restrict out)
{
    for (size_t i = 0; i < UP_CHUNK; i++)
        out[i] = 0.0;
    for (size_t j = 0; j < UP_PAIRS; j++)
        for (size_t i = 0; i < UP_CHUNK; i++)
            out[i] += 2.0 * pair[j] * (x[i + UP_PAIRS - 1 - j] + x[i + UP_PAIRS + j]);
}

/* Twice the rate: every input sample, and one between from the odd taps. The work area is longer
 * than a last, short chunk needs. */
static void interpolate(struct sg_bands *bands, const double *in, size_t count, double *out)
{
    const size_t reach = 2 * UP_PAIRS - 1;
    double made[UP_CHUNK];
    memcpy(bands->work, bands->up_history, reach * sizeof *bands->work);
    memcpy(bands->work + reach, in, count * sizeof *in);
    for (size_t at = 0; at < count; at += UP_CHUNK) {
        size_t now = count - at < UP_CHUNK ? count - at : UP_CHUNK;
        between(bands->upper, bands->work + at, made);
        for (size_t i = 0; i < now; i++) {
            out[2 * (at + i)] = bands->work[at + i + UP_PAIRS - 1];
            out[2 * (at + i) + 1] = made[i];
        }
    }
    memcpy(bands->up_history, bands->work + count, reach * sizeof *bands->work);
}

/* ---- band filters ---------------------------------------------------------------------------- */

static double section_gain(const struct sg_section *s, double w)
{
    double nr = s->b[0] + s->b[1] * cos(w) + s->b[2] * cos(2.0 * w);
    double ni = s->b[1] * sin(w) + s->b[2] * sin(2.0 * w);
    double dr = 1.0 + s->a[0] * cos(w) + s->a[1] * cos(2.0 * w);
    double di = s->a[0] * sin(w) + s->a[1] * sin(2.0 * w);
    return sqrt((nr * nr + ni * ni) / (dr * dr + di * di));
}

/* One section from a pole (re, im) in s, normalised with 2 rate = 1, gain 1 at w. */
static void section_of(double re, double im, double w, struct sg_section *out)
{
    double under = (1.0 - re) * (1.0 - re) + im * im;
    double zr = ((1.0 + re) * (1.0 - re) - im * im) / under, zi = 2.0 * im / under;
    out->b[0] = 1.0;
    out->b[1] = 0.0;
    out->b[2] = -1.0;
    out->a[0] = -2.0 * zr;
    out->a[1] = zr * zr + zi * zi;
    double gain = section_gain(out, w);
    out->b[0] /= gain;
    out->b[2] /= gain;
}

static void band_design(int third, double rate_hz, struct sg_section section[3])
{
    double w = 2.0 * SG_PI * sg_band_hz(third) / rate_hz;
    double low = tan(SG_PI * sg_band_low_hz(third) / rate_hz);
    double high = tan(SG_PI * sg_band_high_hz(third) / rate_hz);
    double half = (high - low) / 2.0, middle2 = low * high;
    section_of(-half, sqrt(middle2 - half * half), w, &section[0]);
    /* prototype pole exp(j 2 pi / 3): q = half times it, poles q +- sqrt(q^2 - middle2) */
    double qr = -0.5 * half, qi = sqrt(0.75) * half;
    double r = qr * qr - qi * qi - middle2, i = 2.0 * qr * qi, m = sqrt(hypot(r, i));
    double angle = atan2(i, r) / 2.0, sr = m * cos(angle), si = m * sin(angle);
    section_of(qr + sr, fabs(qi + si), w, &section[1]);
    section_of(qr - sr, fabs(qi - si), w, &section[2]);
}

#define LOAD(from) (*(const lanes *)(from))

INLINED void keep(double *to, const lanes *value, double least)
{
    double each[LANES];
    memcpy(each, value, sizeof each);
    for (size_t i = 0; i < LANES; i++) /* keeps silence out of the denormal range */
        to[i] = fabs(each[i]) < least ? 0.0 : each[i];
}

#define STEP(n, x, y)                                                                              \
    do {                                                                                           \
        lanes g_ = b##n * (x);                                                                     \
        y = g_ + s##n;                                                                             \
        s##n = t##n - p##n * y;                                                                    \
        t##n = -g_ - q##n * y;                                                                     \
    } while (0)

SG_FOR_THIS_CPU
static void quad_run(struct quad *quad, double k, const double *in, size_t count)
{
    const lanes b0 = LOAD(quad->b0[0]), b1 = LOAD(quad->b0[1]), b2 = LOAD(quad->b0[2]);
    const lanes p0 = LOAD(quad->a1[0]), p1 = LOAD(quad->a1[1]), p2 = LOAD(quad->a1[2]);
    const lanes q0 = LOAD(quad->a2[0]), q1 = LOAD(quad->a2[1]), q2 = LOAD(quad->a2[2]);
    lanes s0 = LOAD(quad->s0[0]), s1 = LOAD(quad->s0[1]), s2 = LOAD(quad->s0[2]);
    lanes t0 = LOAD(quad->s1[0]), t1 = LOAD(quad->s1[1]), t2 = LOAD(quad->s1[2]);
    lanes mean = LOAD(quad->mean), peak = LOAD(quad->peak), energy = LOAD(quad->energy);
    const lanes zero = { 0.0 };
    for (size_t i = 0; i < count; i++) {
        lanes x = in[i] - zero, y, z, v;
        STEP(0, x, y);
        STEP(1, y, z);
        STEP(2, z, v);
        lanes square = v * v;
        energy += square;
        mean += k * (square - mean);
        mask more = (mask)(mean > peak);
        peak = (lanes)(((mask)mean & more) | ((mask)peak & ~more));
    }
    const lanes state[6] = { s0, s1, s2, t0, t1, t2 };
    for (size_t n = 0; n < 3; n++) {
        keep(quad->s0[n], &state[n], 1e-200);
        keep(quad->s1[n], &state[n + 3], 1e-200);
    }
    keep(quad->mean, &mean, 1e-300);
    keep(quad->peak, &peak, 0.0);
    keep(quad->energy, &energy, 0.0);
}

/* ---- the bank -------------------------------------------------------------------------------- */

/* Lowest rate, counted in halvings from the first stage, at which a band may run; -1 = none. */
static int stage_for(const struct sg_bands *bands, int third, double tau_s)
{
    if (sg_band_high_hz(third) > EDGE_MAX * bands->rate_hz)
        return -1;
    double rate = bands->up ? 2.0 * bands->rate_hz : bands->rate_hz;
    int stage = 0;
    while (stage + 1 < STAGES_MAX && sg_band_hz(third) <= MIDDLE_MAX * rate / 2.0 &&
           rate / 2.0 * tau_s >= PER_TAU) {
        rate /= 2.0;
        stage++;
    }
    return sg_band_hz(third) <= MIDDLE_MAX * rate ? stage : -1;
}

static sg_status place_band(struct sg_bands *bands, int third, double tau_s)
{
    int at = stage_for(bands, third, tau_s);
    if (at < 0)
        return SG_OK; /* marked by being nowhere */
    struct stage *stage = &bands->stage[at];
    struct sg_section section[3];
    if (stage->nband >= PER_STAGE)
        return SG_ERR_BUG;
    band_design(third, stage->rate_hz, section);
    struct quad *quad = &stage->quad[stage->nband / LANES];
    size_t lane = stage->nband++ % LANES;
    quad->third[lane] = third;
    for (size_t n = 0; n < 3; n++) {
        quad->b0[n][lane] = section[n].b[0];
        quad->a1[n][lane] = section[n].a[0];
        quad->a2[n][lane] = section[n].a[1];
    }
    struct sg_exponential detector;
    sg_exponential_init(&detector, stage->rate_hz, tau_s);
    stage->k = detector.k;
    if ((size_t)at + 1 > bands->nstage)
        bands->nstage = (size_t)at + 1;
    return SG_OK;
}

sg_status sg_bands_new(double rate_hz, int first, int last, double tau_s, struct sg_bands **out)
{
    if (!(rate_hz > 0.0) || !isfinite(rate_hz) || first < SG_BAND_FIRST || last > SG_BAND_LAST ||
        first > last)
        return SG_ERR_DOMAIN;
    struct sg_bands *bands = sg_alloc(1, sizeof *bands);
    if (bands == NULL)
        return SG_ERR_NOMEM;
    bands->rate_hz = rate_hz;
    for (int third = first; third <= last; third++)
        bands->up = bands->up || (sg_band_hz(third) > MIDDLE_MAX * rate_hz &&
                                  sg_band_high_hz(third) <= EDGE_MAX * rate_hz);
    double rate = bands->up ? 2.0 * rate_hz : rate_hz;
    for (size_t i = 0; i < STAGES_MAX; i++, rate /= 2.0)
        bands->stage[i].rate_hz = rate;
    half_band(bands->down, DOWN_PAIRS, DOWN_DB);
    half_band(bands->upper, UP_PAIRS, UP_DB);
    sg_status status = SG_OK;
    for (int third = first; third <= last && sg_ok(status); third++)
        status = place_band(bands, third, tau_s);
    if (!sg_ok(status)) {
        sg_free(bands);
        return status;
    }
    *out = bands;
    return SG_OK;
}

void sg_bands_free(struct sg_bands *bands)
{
    sg_free(bands);
}

/* Where a band runs; false when the rate does not allow it. */
static bool find_band(const struct sg_bands *bands, int third, size_t *stage)
{
    for (size_t i = 0; i < bands->nstage; i++)
        for (size_t j = 0; j < bands->stage[i].nband; j++)
            if (bands->stage[i].quad[j / LANES].third[j % LANES] == third) {
                *stage = i;
                return true;
            }
    return false;
}

bool sg_bands_allowed(const struct sg_bands *bands, int third)
{
    size_t stage;
    return find_band(bands, third, &stage);
}

static void run_stage_bands(struct stage *stage, const double *in, size_t count)
{
    for (size_t j = 0; j < stage->nband; j += LANES)
        quad_run(&stage->quad[j / LANES], stage->k, in, count);
    stage->samples += count;
}

/* in: at most CHUNK samples at the rate of stage `from`. Works through all lower rates. */
static void run_down(struct sg_bands *bands, size_t from, const double *in, size_t count)
{
    const size_t reach = SG_COUNT(bands->stage[0].history);
    double *held = bands->next;
    for (size_t i = from; i < bands->nstage && count > 0; i++) {
        struct stage *stage = &bands->stage[i];
        run_stage_bands(stage, in, count);
        if (i + 1 == bands->nstage)
            break;
        memcpy(bands->work, stage->history, reach * sizeof *in);
        memcpy(bands->work + reach, in, count * sizeof *in);
        memcpy(stage->history, bands->work + count, reach * sizeof *in);
        count = decimate(stage, bands->down, bands->work, count, held);
        in = held;
    }
}

void sg_bands_run(struct sg_bands *bands, const double *in, size_t count)
{
    while (count > 0) {
        size_t now = count < CHUNK ? count : CHUNK;
        if (bands->up) {
            interpolate(bands, in, now, bands->next);
            run_stage_bands(&bands->stage[0], bands->next, 2 * now);
        }
        run_down(bands, bands->up ? 1 : 0, in, now);
        in += now;
        count -= now;
    }
}

void sg_bands_take(struct sg_bands *bands, struct sg_bands_sums *out)
{
    for (size_t i = 0; i < SG_BAND_COUNT; i++)
        out->energy[i] = out->seconds[i] = out->peak_mean[i] = 0.0;
    for (size_t i = 0; i < bands->nstage; i++) {
        struct stage *stage = &bands->stage[i];
        for (size_t j = 0; j < stage->nband; j++) {
            struct quad *quad = &stage->quad[j / LANES];
            size_t lane = j % LANES, at = (size_t)(quad->third[lane] - SG_BAND_FIRST);
            out->energy[at] = quad->energy[lane] / stage->rate_hz;
            out->seconds[at] = (double)stage->samples / stage->rate_hz;
            out->peak_mean[at] = quad->peak[lane];
            quad->energy[lane] = quad->peak[lane] = 0.0;
        }
        stage->samples = 0;
    }
}

void sg_bands_merge(struct sg_bands_sums *into, const struct sg_bands_sums *more)
{
    for (size_t i = 0; i < SG_BAND_COUNT; i++) {
        into->energy[i] += more->energy[i];
        into->seconds[i] += more->seconds[i];
        into->peak_mean[i] = fmax(into->peak_mean[i], more->peak_mean[i]);
    }
}

double sg_bands_rms(const struct sg_bands_sums *sums, int third)
{
    size_t i = (size_t)(third - SG_BAND_FIRST);
    return sums->seconds[i] > 0.0 ? sqrt(sums->energy[i] / sums->seconds[i]) : SG_UNSET;
}

double sg_bands_max(const struct sg_bands_sums *sums, int third)
{
    size_t i = (size_t)(third - SG_BAND_FIRST);
    return sums->seconds[i] > 0.0 ? sqrt(sums->peak_mean[i]) : SG_UNSET;
}

double sg_bands_response(const struct sg_bands *bands, int third, double frequency_hz)
{
    size_t at = 0;
    struct sg_section section[3];
    if (!find_band(bands, third, &at))
        return SG_UNSET;
    band_design(third, bands->stage[at].rate_hz, section);
    double w = 2.0 * SG_PI * frequency_hz / bands->stage[at].rate_hz, gain = 1.0;
    for (size_t i = 0; i < 3; i++)
        gain *= section_gain(&section[i], w);
    if (bands->up && at == 0)
        return gain * 2.0 * half_band_response(bands->upper, UP_PAIRS, w / (2.0 * SG_PI)) / 2.0;
    for (size_t i = bands->up ? 1 : 0; i < at; i++)
        gain *= half_band_response(bands->down, DOWN_PAIRS, frequency_hz / bands->stage[i].rate_hz);
    return gain;
}
