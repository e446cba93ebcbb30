/* sound_rating.c - prominence of impulses, tonal audibility, daily exposure.
 *
 * Sources: NT ACOU 112:2002 (onsets, P, KI); ISO 1996-2:2017 (audibility, Kt); the daily exposure
 * is the energy over eight hours (ISO 9612, by definition). The search for a tone looks at the
 * critical band around each peak of the spectrum, after the engineering method of ISO 1996-2.
 */
#include "stillground/signal.h"

#include <math.h>

#define STEP_LEAST_S 0.0099
#define STEP_MOST_S 0.0251
#define EXPOSURE_DAY_S (8.0 * 3600.0)
#define TONE_BINS 3   /* a peak takes in so many bins on either side */
#define PEAK_OVER 4.0 /* density over the band's mean at which a peak is looked at: 6 dB */

double sg_impulse_adjustment_db(double onset_rate_db_s, double rise_db, double *prominence)
{
    const struct sg_impulse_row *row = sg_impulse_rating();
    if (!(onset_rate_db_s > 0.0) || !(rise_db > 0.0)) {
        *prominence = SG_UNSET;
        return 0.0;
    }
    *prominence = row->rate_factor * log10(onset_rate_db_s) + row->rise_factor * log10(rise_db);
    return *prominence > row->threshold ? row->slope * (*prominence - row->threshold) : 0.0;
}

/* Least-squares slope of the levels first..last. */
static double slope_db_s(const double *laf_db, size_t first, size_t last, double step_s)
{
    double n = (double)(last - first + 1), mean_i = (n - 1.0) / 2.0, mean = 0.0, xy = 0.0, xx = 0.0;
    for (size_t i = first; i <= last; i++)
        mean += laf_db[i] / n;
    for (size_t i = first; i <= last; i++) {
        double x = (double)(i - first) - mean_i;
        xy += x * (laf_db[i] - mean);
        xx += x * x;
    }
    return xx > 0.0 ? xy / xx / step_s : 0.0;
}

static void judge_onset(const double *laf_db, size_t first, size_t last, double step_s,
                        struct sg_onset *most)
{
    struct sg_onset onset = { .start_s = (double)first * step_s,
                              .end_s = (double)last * step_s,
                              .rate_db_s = slope_db_s(laf_db, first, last, step_s),
                              .rise_db = laf_db[last] - laf_db[first] };
    onset.adjustment_db =
        sg_impulse_adjustment_db(onset.rate_db_s, onset.rise_db, &onset.prominence);
    if (sg_is_set(onset.prominence) && !(onset.prominence <= most->prominence))
        *most = onset;
}

size_t sg_impulse_prominence(const double *laf_db, size_t count, double step_s,
                             struct sg_onset *most, bool *step_fits)
{
    const struct sg_impulse_row *row = sg_impulse_rating();
    struct sg_onset unset = { SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, 0.0 };
    size_t found = 0, first = 0, last = 0;
    bool open = false;
    *most = unset;
    *step_fits = step_s >= STEP_LEAST_S && step_s <= STEP_MOST_S;
    for (size_t i = 0; i + 1 < count; i++) {
        bool steep = (laf_db[i + 1] - laf_db[i]) / step_s > row->onset_db_s;
        if (steep) {
            first = open ? first : i;
            last = i + 1;
            open = true;
        } else if (open && (double)(i + 1 - last) * step_s >= row->merge_s) {
            judge_onset(laf_db, first, last, step_s, most);
            found++;
            open = false;
        }
    }
    if (open) {
        judge_onset(laf_db, first, last, step_s, most);
        found++;
    }
    return found;
}

double sg_tonal_audibility_db(double tone_db, double noise_db, double middle_hz)
{
    const struct sg_tonal_row *row = sg_tonal_rating();
    return tone_db - noise_db + row->offset_db +
           log10(1.0 + pow(middle_hz / row->corner_hz, row->exponent));
}

double sg_tonal_adjustment_db(double audibility_db)
{
    const struct sg_tonal_row *row = sg_tonal_rating();
    if (!(audibility_db > row->first_db))
        return 0.0;
    return audibility_db > row->last_db ? row->full_db : audibility_db - row->first_db;
}

/* Tone and noise powers in the critical band around bin `at`; false when the band does not fit. */
static bool tone_and_noise(const struct sg_spectrum *density, size_t at, double *tone,
                           double *noise)
{
    double middle = (double)at * density->step_hz;
    const struct sg_tonal_row *row = sg_tonal_rating();
    double width = middle <= row->narrow_hz ? row->narrow_width_hz : row->wide_share * middle;
    double half = floor(width / 2.0 / density->step_hz);
    if (half < 2.0 * TONE_BINS || half > (double)at || (double)at + half >= (double)density->count)
        return false;
    size_t reach = (size_t)half, outside = 0;
    double sum = 0.0;
    *tone = 0.0;
    for (size_t k = at - reach; k <= at + reach; k++) {
        size_t away = k > at ? k - at : at - k;
        if (away <= TONE_BINS) {
            *tone += density->value[k] * density->step_hz;
        } else {
            sum += density->value[k];
            outside++;
        }
    }
    double mean = sum / (double)outside;
    *tone -= mean * (2.0 * TONE_BINS + 1.0) * density->step_hz;
    *noise = mean * width;
    /* Under the reference pressure nothing is heard of a tone (practice): what rounding leaves of a
     * clean signal would stand further out of its noise than the tone itself. */
    double reference = sg_reference(SG_REFERENCE_PRESSURE)->value;
    return density->value[at] > PEAK_OVER * mean && *tone > reference * reference && *noise > 0.0;
}

sg_status sg_tonal_find(const struct sg_spectrum *density, double *frequency_hz,
                        double *audibility_db)
{
    bool found = false;
    double best = 0.0, best_hz = 0.0, tone, noise;
    for (size_t k = 1; k + 1 < density->count; k++) {
        if (density->value[k] < density->value[k - 1] || density->value[k] < density->value[k + 1])
            continue;
        if (!tone_and_noise(density, k, &tone, &noise))
            continue;
        double hz = (double)k * density->step_hz;
        double audible = sg_tonal_audibility_db(10.0 * log10(tone), 10.0 * log10(noise), hz);
        if (!found || audible > best) {
            best = audible;
            best_hz = hz;
            found = true;
        }
    }
    if (!found)
        return SG_ERR_NO_SOLUTION;
    *frequency_hz = best_hz;
    *audibility_db = best;
    return SG_OK;
}

double sg_lex_8h_db(double laeq_db, double exposure_s)
{
    return exposure_s > 0.0 ? laeq_db + 10.0 * log10(exposure_s / EXPOSURE_DAY_S) : SG_UNSET;
}
