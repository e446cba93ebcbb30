/* bands.c - a bank of third-octave filters, class 1 of IEC 61260-1:2014, in several rates.
 *
 * Each band is a Butterworth band-pass of second-order sections, both edges prewarped. Of third
 * order (three sections) it keeps the class 1 mask with 0.4 dB to spare where its middle lies at
 * 0.209 of the rate or below, and each band but the topmost runs at such a rate. Above, up to a
 * middle at 0.417 of the rate, the bilinear transform makes the lower skirt too shallow; one order
 * more (four sections) brings the 0.4 dB back. The lowest bands run at the rate that their detector
 * needs. Lower rates come from half-band decimators. The filters are designed anew for each rate,
 * because base-10 bands are not exactly 2:1 apart.
 *
 * Layout: the bands of one rate stand side by side, four in a `quad`, one a lane. A section's
 * numerator is 1 - z^-2; its gain is left out and multiplied into the energies when they are taken.
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
#define DOWN_CHUNK 64 /* outputs worked on at a time: a fixed length, for wide registers */
#define REACH (4 * DOWN_PAIRS - 2) /* samples a decimator looks back */
#define SECTIONS 4

#define INLINED __attribute__((always_inline)) static inline

typedef double lanes __attribute__((vector_size(LANES * sizeof(double)), aligned(8), may_alias));
typedef int64_t mask __attribute__((vector_size(LANES * sizeof(double))));

/* Bands of one rate side by side, lane by lane. A lane that is not used holds zeros. */
struct quad {
    size_t nlane, nsection;
    int third[LANES];
    double p[SECTIONS][LANES], q[SECTIONS][LANES]; /* denominators are 1 - p z^-1 + q z^-2 */
    double s[SECTIONS][LANES], m[SECTIONS][LANES];
    double gain[LANES]; /* of all sections */
    double mean[LANES], peak[LANES], energy[LANES];
};

struct stage {
    double rate_hz;
    struct quad quad[PER_STAGE / LANES];
    size_t nquad;
    double k;              /* of the detectors */
    uint64_t samples;      /* since the last take */
    double history[REACH]; /* of the decimator behind it */
    bool odd;              /* the next sample gives no output */
};

struct sg_bands {
    double rate_hz;
    size_t nstage;
    struct stage stage[STAGES_MAX];
    double down[DOWN_PAIRS];
    double work[REACH + CHUNK + 2 * DOWN_CHUNK], next[CHUNK]; /* of the decimators */
    double first[CHUNK / 2 + 2 * DOWN_CHUNK], second[CHUNK / 2 + 2 * DOWN_CHUNK];
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

/* Samples 0, 2, 4 ... and 1, 3, 5 ... of a piece. */
SG_FOR_THIS_CPU
static void split(const double *restrict in, double *restrict first, double *restrict second)
{
    for (size_t i = 0; i < DOWN_CHUNK; i++) {
        first[i] = in[2 * i];
        second[i] = in[2 * i + 1];
    }
}

/* A piece of the decimator's output. Its middle tap lies among the second samples, all others,
 * at odd distance from it, among the first: with these apart, every tap takes neighbours. */
SG_FOR_THIS_CPU
static void half_rate(const double *restrict pair, const double *restrict first,
                      const double *restrict second, double *restrict out)
{
    for (size_t i = 0; i < DOWN_CHUNK; i++)
        out[i] = 0.5 * second[i + DOWN_PAIRS - 1];
    for (size_t j = 0; j < DOWN_PAIRS; j++)
        for (size_t i = 0; i < DOWN_CHUNK; i++)
            out[i] += pair[j] * (first[i + DOWN_PAIRS + j] + first[i + DOWN_PAIRS - 1 - j]);
}

/* Every other sample behind a half-band low-pass; out may be in. */
static size_t decimate(struct sg_bands *bands, struct stage *stage, const double *in, size_t count,
                       double *out)
{
    double *work = bands->work, made[DOWN_CHUNK];
    size_t skip = stage->odd ? 1 : 0, some = (count + 1 - skip) / 2;
    memcpy(work, stage->history, sizeof stage->history);
    memcpy(work + REACH, in, count * sizeof *in);
    memcpy(stage->history, work + count, sizeof stage->history);
    for (size_t at = 0; at < some + REACH / 2; at += DOWN_CHUNK)
        split(work + skip + 2 * at, bands->first + at, bands->second + at);
    for (size_t at = 0; at < some; at += DOWN_CHUNK) {
        size_t now = some - at < DOWN_CHUNK ? some - at : DOWN_CHUNK;
        half_rate(bands->down, bands->first + at, bands->second + at, made);
        memcpy(out + at, made, now * sizeof *out);
    }
    if (count % 2 == 1)
        stage->odd = !stage->odd;
    return some;
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
    *out = (struct sg_section){ .b = { 1.0, 0.0, -1.0 }, .a = { -2.0 * zr, zr * zr + zi * zi } };
    double gain = section_gain(out, w);
    out->b[0] /= gain;
    out->b[2] /= gain;
}

/* As many sections as the order. A pole of the low-pass prototype, times half the width, is q; it
 * gives the poles q +- sqrt(q^2 - middle^2) and their conjugates. */
static size_t band_design(int third, double rate_hz, struct sg_section section[SECTIONS])
{
    double w = 2.0 * SG_PI * sg_band_hz(third) / rate_hz;
    double low = tan(SG_PI * sg_band_low_hz(third) / rate_hz);
    double high = tan(SG_PI * sg_band_high_hz(third) / rate_hz);
    double half = (high - low) / 2.0, middle2 = low * high;
    size_t order = sg_band_hz(third) <= MIDDLE_MAX * rate_hz ? 3 : 4, made = 0;
    for (size_t k = 0; k < order / 2; k++) {
        double turn = SG_PI / 2.0 + SG_PI * (double)(2 * k + 1) / (double)(2 * order);
        double qr = half * cos(turn), qi = half * sin(turn);
        double r = qr * qr - qi * qi - middle2, i = 2.0 * qr * qi, m = sqrt(hypot(r, i));
        double angle = atan2(i, r) / 2.0, sr = m * cos(angle), si = m * sin(angle);
        section_of(qr + sr, fabs(qi + si), w, &section[made++]);
        section_of(qr - sr, fabs(qi - si), w, &section[made++]);
    }
    if (order % 2 == 1) /* the real pole, -1 */
        section_of(-half, sqrt(middle2 - half * half), w, &section[made++]);
    return made;
}

#define LOAD(from) (*(const lanes *)(from))

INLINED void keep(double *to, const lanes *value, double least)
{
    double each[LANES];
    memcpy(each, value, sizeof each);
    for (size_t i = 0; i < LANES; i++) /* keeps silence out of the denormal range */
        to[i] = fabs(each[i]) < least ? 0.0 : each[i];
}

/* y = x + s, where the next s is p y - m and the next m is x + q y. Written so that s waits for one
 * product and one sum of the sample before. */
#define TAKE(n)                                                                                    \
    const lanes p##n = LOAD(quad->p[n]), q##n = LOAD(quad->q[n]);                                  \
    lanes s##n = LOAD(quad->s[n]), m##n = LOAD(quad->m[n])
#define STEP(n, x, y)                                                                              \
    const lanes y = (x) + s##n;                                                                    \
    s##n = (p##n * (x)-m##n) + p##n * s##n;                                                        \
    m##n = (x) + q##n * y
#define GIVE(n)                                                                                    \
    keep(quad->s[n], &s##n, 1e-200);                                                               \
    keep(quad->m[n], &m##n, 1e-200)
#define DETECT(v)                                                                                  \
    do {                                                                                           \
        lanes square_ = (v) * (v);                                                                 \
        energy += square_;                                                                         \
        mean = rest * mean + k * square_;                                                          \
        mask more_ = (mask)(mean > peak);                                                          \
        peak = (lanes)(((mask)mean & more_) | ((mask)peak & ~more_));                              \
    } while (0)

SG_FOR_THIS_CPU
static void run_three(struct quad *quad, double k, const double *in, size_t count)
{
    TAKE(0);
    TAKE(1);
    TAKE(2);
    lanes mean = LOAD(quad->mean), peak = LOAD(quad->peak), energy = LOAD(quad->energy);
    const lanes zero = { 0.0 };
    const double rest = 1.0 - k;
    for (size_t i = 0; i < count; i++) {
        lanes x = in[i] - zero;
        STEP(0, x, x1);
        STEP(1, x1, x2);
        STEP(2, x2, x3);
        DETECT(x3);
    }
    GIVE(0);
    GIVE(1);
    GIVE(2);
    keep(quad->mean, &mean, 1e-300);
    keep(quad->peak, &peak, 0.0);
    keep(quad->energy, &energy, 0.0);
}

SG_FOR_THIS_CPU
static void run_four(struct quad *quad, double k, const double *in, size_t count)
{
    TAKE(0);
    TAKE(1);
    TAKE(2);
    TAKE(3);
    lanes mean = LOAD(quad->mean), peak = LOAD(quad->peak), energy = LOAD(quad->energy);
    const lanes zero = { 0.0 };
    const double rest = 1.0 - k;
    for (size_t i = 0; i < count; i++) {
        lanes x = in[i] - zero;
        STEP(0, x, x1);
        STEP(1, x1, x2);
        STEP(2, x2, x3);
        STEP(3, x3, x4);
        DETECT(x4);
    }
    GIVE(0);
    GIVE(1);
    GIVE(2);
    GIVE(3);
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
    double rate = bands->rate_hz;
    int stage = 0;
    while (stage + 1 < STAGES_MAX && sg_band_hz(third) <= MIDDLE_MAX * rate / 2.0 &&
           rate / 2.0 * tau_s >= PER_TAU) {
        rate /= 2.0;
        stage++;
    }
    return stage;
}

/* A free lane of a stage, in a quad of bands with as many sections. */
static sg_status find_lane(struct stage *stage, size_t nsection, struct quad **out)
{
    for (size_t i = 0; i < stage->nquad; i++)
        if (stage->quad[i].nsection == nsection && stage->quad[i].nlane < LANES) {
            *out = &stage->quad[i];
            return SG_OK;
        }
    if (stage->nquad == SG_COUNT(stage->quad))
        return SG_ERR_BUG;
    *out = &stage->quad[stage->nquad++];
    (*out)->nsection = nsection;
    return SG_OK;
}

static sg_status place_band(struct sg_bands *bands, int third, double tau_s)
{
    int at = stage_for(bands, third, tau_s);
    if (at < 0)
        return SG_OK; /* marked by being nowhere */
    struct stage *stage = &bands->stage[at];
    struct sg_section section[SECTIONS];
    struct quad *quad;
    sg_status status = find_lane(stage, band_design(third, stage->rate_hz, section), &quad);
    if (!sg_ok(status))
        return status;
    size_t lane = quad->nlane++;
    quad->third[lane] = third;
    quad->gain[lane] = 1.0;
    for (size_t n = 0; n < quad->nsection; n++) {
        quad->gain[lane] *= section[n].b[0];
        quad->p[n][lane] = -section[n].a[0];
        quad->q[n][lane] = section[n].a[1];
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
    double rate = rate_hz;
    for (size_t i = 0; i < STAGES_MAX; i++, rate /= 2.0)
        bands->stage[i].rate_hz = rate;
    half_band(bands->down, DOWN_PAIRS, DOWN_DB);
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
        for (size_t j = 0; j < LANES * bands->stage[i].nquad; j++) {
            const struct quad *quad = &bands->stage[i].quad[j / LANES];
            if (j % LANES < quad->nlane && quad->third[j % LANES] == third) {
                *stage = i;
                return true;
            }
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
    for (size_t j = 0; j < stage->nquad; j++)
        if (stage->quad[j].nsection == 3)
            run_three(&stage->quad[j], stage->k, in, count);
        else
            run_four(&stage->quad[j], stage->k, in, count);
    stage->samples += count;
}

void sg_bands_run(struct sg_bands *bands, const double *in, size_t count)
{
    while (count > 0) {
        size_t now = count < CHUNK ? count : CHUNK, left = now;
        const double *from = in;
        for (size_t i = 0; i < bands->nstage && left > 0; i++) {
            run_stage_bands(&bands->stage[i], from, left);
            if (i + 1 < bands->nstage)
                left = decimate(bands, &bands->stage[i], from, left, bands->next);
            from = bands->next;
        }
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
        for (size_t j = 0; j < LANES * stage->nquad; j++) {
            struct quad *quad = &stage->quad[j / LANES];
            size_t lane = j % LANES;
            if (lane >= quad->nlane)
                continue;
            size_t at = (size_t)(quad->third[lane] - SG_BAND_FIRST);
            double gain2 = quad->gain[lane] * quad->gain[lane];
            out->energy[at] = gain2 * quad->energy[lane] / stage->rate_hz;
            out->seconds[at] = (double)stage->samples / stage->rate_hz;
            out->peak_mean[at] = gain2 * quad->peak[lane];
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
    struct sg_section section[SECTIONS];
    if (!find_band(bands, third, &at))
        return SG_UNSET;
    size_t nsection = band_design(third, bands->stage[at].rate_hz, section);
    double w = 2.0 * SG_PI * frequency_hz / bands->stage[at].rate_hz, gain = 1.0;
    for (size_t i = 0; i < nsection; i++)
        gain *= section_gain(&section[i], w);
    for (size_t i = 0; i < at; i++)
        gain *= half_band_response(bands->down, DOWN_PAIRS, frequency_hz / bands->stage[i].rate_hz);
    return gain;
}
