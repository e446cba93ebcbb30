/* sound_meter.c - one pass over one microphone channel: A, C, Z; F, S, I; energies, maxima, peaks,
 * percentiles, third octaves.
 *
 * Sources: IEC 61672-1:2013; the I detector from the 2002 edition, Annex C; percentiles from F
 * levels every 0.1 s: common practice, no source.
 *
 * Layout: a chunk is filtered with A and with C into arrays of their own; one loop then runs the
 * four exponential detectors side by side, in the lanes of one register, and adds up the energies.
 * Maxima that need their time are looked for again only in chunks that hold a larger one.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define CHUNK 1024
#define PIECE 128 /* samples that are passed over together when they hold no peak */
#define READING_S 0.1
#define BAND_FIRST (-18) /* 16 Hz */

/* Detectors: F, S and the rise of I on A, F on C. */
enum { A_FAST, A_SLOW, A_RISE, C_FAST, DETECTORS };

typedef double lanes
    __attribute__((vector_size(DETECTORS * sizeof(double)), aligned(8), may_alias));
typedef int64_t mask __attribute__((vector_size(DETECTORS * sizeof(double))));

struct sg_sound_meter {
    struct sg_sound_config config;
    double step_s;
    struct sg_filter a, c;
    struct sg_filter_state a_state, c_state;
    double k[DETECTORS], mean[DETECTORS]; /* exponential means of squares */
    double impulse, impulse_keep;
    double a2, c2, z2, ai2; /* summed since the last close */
    uint64_t samples;       /* the same */
    struct sg_peak_finder c_finder, z_finder;
    struct sg_bands *bands;
    uint64_t reading_length, reading_at;
    sg_laf_sink *sink;
    void *payload;
    double weighted_a[CHUNK], weighted_c[CHUNK], fast[CHUNK];
};

sg_status sg_sound_sums_init(struct sg_sound_sums *sums)
{
    struct sg_sound_sums made = { .seconds = 0.0 };
    sg_status status = sg_levels_init(&made.levels);
    if (!sg_ok(status))
        return status;
    sg_sound_sums_clear(&made);
    *sums = made;
    return SG_OK;
}

void sg_sound_sums_release(struct sg_sound_sums *sums)
{
    sg_levels_release(&sums->levels);
}

void sg_sound_sums_clear(struct sg_sound_sums *sums)
{
    struct sg_sound_sums clear = {
        .rate_hz = SG_UNSET, .start_s = SG_UNSET, .laf_time_s = SG_UNSET, .levels = sums->levels
    };
    *sums = clear;
    sg_levels_clear(&sums->levels);
    sg_peak_clear(&sums->c_peak);
    sg_peak_clear(&sums->z_peak);
}

void sg_sound_sums_merge(struct sg_sound_sums *into, const struct sg_sound_sums *more)
{
    if (!sg_is_set(into->start_s) || more->start_s < into->start_s)
        into->start_s = more->start_s;
    into->rate_hz = sg_is_set(into->rate_hz) ? into->rate_hz : more->rate_hz;
    into->seconds += more->seconds;
    into->a2 += more->a2;
    into->c2 += more->c2;
    into->z2 += more->z2;
    into->ai2 += more->ai2;
    if (more->laf2 > into->laf2) {
        into->laf2 = more->laf2;
        into->laf_time_s = more->laf_time_s;
    }
    into->las2 = fmax(into->las2, more->las2);
    into->lai2 = fmax(into->lai2, more->lai2);
    into->lcf2 = fmax(into->lcf2, more->lcf2);
    if (more->c_peak.value > into->c_peak.value)
        into->c_peak = more->c_peak;
    if (more->z_peak.value > into->z_peak.value)
        into->z_peak = more->z_peak;
    sg_levels_merge(&into->levels, &more->levels);
    sg_bands_merge(&into->bands, &more->bands);
}

/* Upper band the rate allows; 20 kHz at most. */
static int last_band(double rate_hz)
{
    int third = SG_BAND_LAST;
    while (third > BAND_FIRST && sg_band_high_hz(third) > 0.46 * rate_hz)
        third--;
    return third;
}

static sg_status sound_init(struct sg_sound_meter *meter)
{
    double rate = meter->config.rate_hz;
    double reading = sg_is_set(meter->config.sample_s) && meter->config.sample_s > 0.0
                         ? meter->config.sample_s
                         : READING_S;
    sg_status status = sg_filter_weighting(SG_WEIGHTING_A, SG_KIND_PRESSURE, rate, &meter->a);
    if (sg_ok(status))
        status = sg_filter_weighting(SG_WEIGHTING_C, SG_KIND_PRESSURE, rate, &meter->c);
    if (sg_ok(status) && meter->config.bands)
        status = sg_bands_new(rate, BAND_FIRST, last_band(rate),
                              sg_time_weighting(SG_TIME_FAST)->rise_s, &meter->bands);
    static const enum sg_time_weighting weighting[DETECTORS] = { SG_TIME_FAST, SG_TIME_SLOW,
                                                                 SG_TIME_IMPULSE, SG_TIME_FAST };
    for (size_t d = 0; d < DETECTORS; d++) {
        struct sg_exponential detector;
        sg_exponential_init(&detector, rate, sg_time_weighting(weighting[d])->rise_s);
        meter->k[d] = detector.k;
    }
    meter->impulse_keep = exp(-1.0 / (rate * sg_time_weighting(SG_TIME_IMPULSE)->fall_s));
    meter->reading_length = (uint64_t)fmax(1.0, floor(reading * rate + 0.5));
    meter->step_s = 1.0 / rate;
    return status;
}

sg_status sg_sound_new(const struct sg_sound_config *config, struct sg_sound_meter **out)
{
    if (!(config->rate_hz >= 2000.0) || !(config->rate_hz <= 1e6))
        return SG_ERR_DOMAIN;
    struct sg_sound_meter *meter = sg_alloc(1, sizeof *meter);
    if (meter == NULL)
        return SG_ERR_NOMEM;
    meter->config = *config;
    sg_status status = sound_init(meter);
    if (!sg_ok(status)) {
        sg_sound_free(meter);
        return status;
    }
    *out = meter;
    return SG_OK;
}

void sg_sound_free(struct sg_sound_meter *meter)
{
    if (meter == NULL)
        return;
    sg_bands_free(meter->bands);
    sg_free(meter);
}

void sg_sound_listen(struct sg_sound_meter *meter, sg_laf_sink *sink, void *payload)
{
    meter->sink = sink;
    meter->payload = payload;
}

const struct sg_filter *sg_sound_filter(const struct sg_sound_meter *meter,
                                        enum sg_weighting weighting)
{
    if (weighting == SG_WEIGHTING_A)
        return &meter->a;
    return weighting == SG_WEIGHTING_C ? &meter->c : NULL;
}

/* The larger of two numbers, for inner loops; never NaN. */
static inline double larger(double a, double b)
{
    return b > a ? b : a;
}

static void put_reading(struct sg_sound_meter *meter, double fast, double time_s,
                        struct sg_sound_sums *sums)
{
    double laf_db = sg_level_db(fast, sg_reference(SG_REFERENCE_PRESSURE)->value);
    sg_levels_add(&sums->levels, laf_db);
    if (meter->sink != NULL)
        meter->sink(time_s, laf_db, meter->payload);
}

#define AT(member) (*(lanes *)(member))

/* Squares into detectors and energies; most gets the largest means, `impulse` the largest of I. */
SG_FOR_THIS_CPU
static void run_detectors(struct sg_sound_meter *meter, const double *z, size_t count, double *most,
                          double *impulse_most)
{
    const double *a = meter->weighted_a, *c = meter->weighted_c, keep = meter->impulse_keep;
    const lanes one = { 1.0, 1.0, 1.0, 1.0 }, k = AT(meter->k), rest = one - k;
    lanes mean = AT(meter->mean), largest = { 0.0 };
    double a2 = meter->a2, c2 = meter->c2, z2 = meter->z2, ai2 = meter->ai2;
    double impulse = meter->impulse, impulse_largest = 0.0;
    for (size_t i = 0; i < count; i++) {
        double ai = a[i] * a[i], ci = c[i] * c[i];
        const lanes square = { ai, ai, ai, ci };
        mean = rest * mean + k * square;
        mask more = (mask)(mean > largest);
        largest = (lanes)(((mask)mean & more) | ((mask)largest & ~more));
        impulse = larger(mean[A_RISE], impulse * keep);
        impulse_largest = larger(impulse_largest, impulse);
        meter->fast[i] = mean[A_FAST];
        a2 += ai;
        c2 += ci;
        z2 += z[i] * z[i];
        ai2 += impulse;
    }
    AT(meter->mean) = mean;
    AT(most) = largest;
    meter->a2 = a2;
    meter->c2 = c2;
    meter->z2 = z2;
    meter->ai2 = ai2;
    meter->impulse = impulse;
    *impulse_most = impulse_largest;
}

/* The largest F level with its time, and the readings of percentiles. most: of the chunk. */
static void read_fast(struct sg_sound_meter *meter, size_t count, double most, double time_s,
                      struct sg_sound_sums *sums)
{
    for (size_t k = 0; k < count && sums->laf2 < most; k++)
        if (meter->fast[k] > sums->laf2) {
            sums->laf2 = meter->fast[k];
            sums->laf_time_s = time_s + (double)k * meter->step_s;
        }
    for (uint64_t k = meter->reading_length - meter->reading_at; k <= count;
         k += meter->reading_length)
        put_reading(meter, meter->fast[k - 1], time_s + (double)(k - 1) * meter->step_s, sums);
    meter->reading_at = (meter->reading_at + count) % meter->reading_length;
}

/* At most CHUNK samples. */
static void run_chunk(struct sg_sound_meter *meter, const double *in, size_t count, double time_s,
                      struct sg_sound_sums *sums)
{
    double most[DETECTORS], impulse;
    sg_filter_run(&meter->a, &meter->a_state, in, meter->weighted_a, count);
    sg_filter_run(&meter->c, &meter->c_state, in, meter->weighted_c, count);
    run_detectors(meter, in, count, most, &impulse);
    read_fast(meter, count, most[A_FAST], time_s, sums);
    sums->las2 = larger(sums->las2, most[A_SLOW]);
    sums->lai2 = larger(sums->lai2, impulse);
    sums->lcf2 = larger(sums->lcf2, most[C_FAST]);
    for (size_t at = 0, now; at < count; at += now) {
        const double *c = meter->weighted_c + at, *z = in + at;
        double at_s = time_s + (double)at * meter->step_s;
        now = count - at < PIECE ? count - at : PIECE;
        sg_peak_run(&meter->c_finder, &sums->c_peak, c, 1, now, sg_block_square(c, now), at_s,
                    meter->step_s);
        sg_peak_run(&meter->z_finder, &sums->z_peak, z, 1, now, sg_block_square(z, now), at_s,
                    meter->step_s);
    }
    if (meter->bands != NULL)
        sg_bands_run(meter->bands, in, count);
    meter->samples += count;
}

void sg_sound_run(struct sg_sound_meter *meter, const double *in, size_t count, double time_s,
                  struct sg_sound_sums *sums)
{
    if (count > 0 && !sg_is_set(sums->start_s))
        sums->start_s = time_s;
    for (size_t from = 0; from < count;) {
        size_t now = count - from < CHUNK ? count - from : CHUNK;
        run_chunk(meter, in + from, now, time_s + (double)from * meter->step_s, sums);
        from += now;
    }
}

void sg_sound_restart(struct sg_sound_meter *meter)
{
    const struct sg_filter_state zero = { .s = { { 0.0 } } };
    meter->a_state = meter->c_state = zero;
    memset(meter->mean, 0, sizeof meter->mean);
    meter->impulse = 0.0;
    meter->c_finder.seen = meter->z_finder.seen = 0;
    meter->reading_at = 0;
}

/* Sums are taken here only, so that they do not depend on how the samples came in blocks. */
void sg_sound_close(struct sg_sound_meter *meter, struct sg_sound_sums *sums)
{
    sums->rate_hz = meter->config.rate_hz;
    sums->a2 += meter->a2 * meter->step_s;
    sums->c2 += meter->c2 * meter->step_s;
    sums->z2 += meter->z2 * meter->step_s;
    sums->ai2 += meter->ai2 * meter->step_s;
    sums->seconds += (double)meter->samples * meter->step_s;
    meter->a2 = meter->c2 = meter->z2 = meter->ai2 = 0.0;
    meter->samples = 0;
    if (meter->bands != NULL)
        sg_bands_take(meter->bands, &sums->bands);
}

/* ---- figures --------------------------------------------------------------------------------- */

static double level_or_unset(double square)
{
    return square > 0.0 ? sg_level_db(square, sg_reference(SG_REFERENCE_PRESSURE)->value)
                        : SG_UNSET;
}

static void read_bands(const struct sg_bands_sums *sums, double rate_hz,
                       struct sg_sound_figures *out)
{
    for (int third = SG_BAND_FIRST; third <= SG_BAND_LAST; third++) {
        size_t i = (size_t)(third - SG_BAND_FIRST);
        double rms = sg_bands_rms(sums, third), most = sg_bands_max(sums, third);
        out->third_db[i] = sg_is_set(rms) ? level_or_unset(rms * rms) : SG_UNSET;
        out->third_max_db[i] = sg_is_set(most) ? level_or_unset(most * most) : SG_UNSET;
    }
    for (int octave = -10; octave <= 4; octave++) { /* three whole third octaves, or unset */
        bool wide = sg_band_hz(3 * octave + 1) <= SG_OCTAVE_TOP_OF_RATE * rate_hz;
        double sum = wide ? 0.0 : SG_UNSET;
        for (int third = 3 * octave - 1; third <= 3 * octave + 1; third++) {
            double rms = third < SG_BAND_FIRST || third > SG_BAND_LAST ? SG_UNSET
                                                                       : sg_bands_rms(sums, third);
            sum += rms * rms;
        }
        out->octave_db[octave + 10] = sg_is_set(sum) ? level_or_unset(sum) : SG_UNSET;
    }
}

void sg_sound_read(const struct sg_sound_sums *sums, struct sg_sound_figures *out)
{
    struct sg_sound_figures made = { .seconds = sums->seconds };
    double t = sums->seconds;
    made.laeq_db = level_or_unset(t > 0.0 ? sums->a2 / t : 0.0);
    made.lceq_db = level_or_unset(t > 0.0 ? sums->c2 / t : 0.0);
    made.lzeq_db = level_or_unset(t > 0.0 ? sums->z2 / t : 0.0);
    made.laieq_db = level_or_unset(t > 0.0 ? sums->ai2 / t : 0.0);
    made.lae_db = level_or_unset(sums->a2);
    made.lafmax_db = level_or_unset(sums->laf2);
    made.lafmax_time_s = sums->laf_time_s;
    made.lasmax_db = level_or_unset(sums->las2);
    made.laimax_db = level_or_unset(sums->lai2);
    made.lcpeak_db = level_or_unset(sums->c_peak.value * sums->c_peak.value);
    made.lzpeak_db = level_or_unset(sums->z_peak.value * sums->z_peak.value);
    made.l1_db = sg_levels_exceeded(&sums->levels, 1.0);
    made.l5_db = sg_levels_exceeded(&sums->levels, 5.0);
    made.l10_db = sg_levels_exceeded(&sums->levels, 10.0);
    made.l50_db = sg_levels_exceeded(&sums->levels, 50.0);
    made.l90_db = sg_levels_exceeded(&sums->levels, 90.0);
    made.l95_db = sg_levels_exceeded(&sums->levels, 95.0);
    read_bands(&sums->bands, sums->rate_hz, &made);
    *out = made;
}
