/* sound_meter.c - one pass over one microphone channel: A, C, Z; F, S, I; energies, maxima, peaks,
 * percentiles, third octaves.
 *
 * Sources: IEC 61672-1:2013; the I detector from the 2002 edition, Annex C; percentiles from F
 * levels every 0.1 s: common practice, no source.
 */
#include "stillground/signal.h"

#include <math.h>
#include <string.h>

#define CHUNK 1024
#define READING_S 0.1
#define BAND_FIRST (-18) /* 16 Hz */

struct sg_sound_meter {
    struct sg_sound_config config;
    double step_s;
    struct sg_filter a, c;
    struct sg_filter_state a_state, c_state;
    struct sg_exponential a_fast, a_slow, a_rise, c_fast;
    double impulse, impulse_keep;
    struct sg_peak_finder c_finder, z_finder;
    struct sg_bands *bands;
    uint64_t reading_length, reading_at;
    sg_laf_sink *sink;
    void *payload;
    double work[CHUNK];
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
    struct sg_sound_sums clear = { .start_s = SG_UNSET,
                                   .laf_time_s = SG_UNSET,
                                   .levels = sums->levels };
    *sums = clear;
    sg_levels_clear(&sums->levels);
    sg_peak_clear(&sums->c_peak);
    sg_peak_clear(&sums->z_peak);
}

void sg_sound_sums_merge(struct sg_sound_sums *into, const struct sg_sound_sums *more)
{
    if (!sg_is_set(into->start_s) || more->start_s < into->start_s)
        into->start_s = more->start_s;
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
    sg_exponential_init(&meter->a_fast, rate, sg_time_weighting(SG_TIME_FAST)->rise_s);
    sg_exponential_init(&meter->c_fast, rate, sg_time_weighting(SG_TIME_FAST)->rise_s);
    sg_exponential_init(&meter->a_slow, rate, sg_time_weighting(SG_TIME_SLOW)->rise_s);
    sg_exponential_init(&meter->a_rise, rate, sg_time_weighting(SG_TIME_IMPULSE)->rise_s);
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
    meter->reading_at = 0;
}

static void run_a(struct sg_sound_meter *meter, const double *in, size_t count, double time_s,
                  struct sg_sound_sums *sums)
{
    struct sg_exponential fast = meter->a_fast, slow = meter->a_slow, rise = meter->a_rise;
    double a2 = 0.0, ai2 = 0.0, las2 = 0.0, lai2 = 0.0, impulse = meter->impulse;
    sg_filter_run(&meter->a, &meter->a_state, in, meter->work, count);
    for (size_t k = 0; k < count; k++) {
        double square = meter->work[k] * meter->work[k];
        double f = sg_exponential_step(&fast, square);
        impulse = larger(sg_exponential_step(&rise, square), impulse * meter->impulse_keep);
        a2 += square;
        ai2 += impulse;
        las2 = larger(las2, sg_exponential_step(&slow, square));
        lai2 = larger(lai2, impulse);
        if (f > sums->laf2) {
            sums->laf2 = f;
            sums->laf_time_s = time_s + (double)k * meter->step_s;
        }
        if (++meter->reading_at == meter->reading_length)
            put_reading(meter, f, time_s + (double)k * meter->step_s, sums);
    }
    meter->a_fast = fast;
    meter->a_slow = slow;
    meter->a_rise = rise;
    meter->impulse = impulse;
    sums->a2 += a2 * meter->step_s;
    sums->ai2 += ai2 * meter->step_s;
    sums->las2 = larger(sums->las2, las2);
    sums->lai2 = larger(sums->lai2, lai2);
}

static void run_c_and_z(struct sg_sound_meter *meter, const double *in, size_t count, double time_s,
                        struct sg_sound_sums *sums)
{
    struct sg_exponential fast = meter->c_fast;
    double c2 = 0.0, z2 = 0.0, lcf2 = 0.0;
    sg_filter_run(&meter->c, &meter->c_state, in, meter->work, count);
    for (size_t k = 0; k < count; k++) {
        double at = time_s + (double)k * meter->step_s, square = meter->work[k] * meter->work[k];
        c2 += square;
        z2 += in[k] * in[k];
        lcf2 = larger(lcf2, sg_exponential_step(&fast, square));
        sg_peak_step(&meter->c_finder, &sums->c_peak, meter->work[k], at, meter->step_s);
        sg_peak_step(&meter->z_finder, &sums->z_peak, in[k], at, meter->step_s);
    }
    meter->c_fast = fast;
    sums->c2 += c2 * meter->step_s;
    sums->z2 += z2 * meter->step_s;
    sums->lcf2 = larger(sums->lcf2, lcf2);
}

void sg_sound_run(struct sg_sound_meter *meter, const double *in, size_t count, double time_s,
                  struct sg_sound_sums *sums)
{
    if (count > 0 && !sg_is_set(sums->start_s))
        sums->start_s = time_s;
    for (size_t from = 0; from < count;) {
        size_t now = count - from < CHUNK ? count - from : CHUNK;
        double at = time_s + (double)from * meter->step_s;
        run_a(meter, in + from, now, at, sums);
        run_c_and_z(meter, in + from, now, at, sums);
        if (meter->bands != NULL)
            sg_bands_run(meter->bands, in + from, now);
        from += now;
    }
    sums->seconds += (double)count * meter->step_s;
}

void sg_sound_restart(struct sg_sound_meter *meter)
{
    const struct sg_filter_state zero = { .s = { { 0.0 } } };
    meter->a_state = meter->c_state = zero;
    meter->a_fast.y = meter->a_slow.y = meter->a_rise.y = meter->c_fast.y = 0.0;
    meter->impulse = 0.0;
    meter->c_finder.seen = meter->z_finder.seen = 0;
    meter->reading_at = 0;
}

void sg_sound_close(struct sg_sound_meter *meter, struct sg_sound_sums *sums)
{
    if (meter->bands != NULL)
        sg_bands_take(meter->bands, &sums->bands);
}

/* ---- figures --------------------------------------------------------------------------------- */

static double level_or_unset(double square)
{
    return square > 0.0 ? sg_level_db(square, sg_reference(SG_REFERENCE_PRESSURE)->value)
                        : SG_UNSET;
}

static void read_bands(const struct sg_bands_sums *sums, struct sg_sound_figures *out)
{
    for (int third = SG_BAND_FIRST; third <= SG_BAND_LAST; third++) {
        size_t i = (size_t)(third - SG_BAND_FIRST);
        double rms = sg_bands_rms(sums, third), most = sg_bands_max(sums, third);
        out->third_db[i] = sg_is_set(rms) ? level_or_unset(rms * rms) : SG_UNSET;
        out->third_max_db[i] = sg_is_set(most) ? level_or_unset(most * most) : SG_UNSET;
    }
    for (int octave = -10; octave <= 4; octave++) { /* three whole third octaves, or unset */
        double sum = 0.0;
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
    read_bands(&sums->bands, &made);
    *out = made;
}
