/* vibration_figures.c - the figures that limits are stated on, from the sums of a vibration meter;
 * dose arithmetic.
 *
 * Sources: BS 6472 (VDV, eVDV), ISO 2631-1 (MTVV, crest factor), DIN 4150-2 (KB_FTm, KB_FTr),
 * JIS C 1510 (level), ISO 1996-2 (background).
 */
#include "stillground/signal.h"

#include <math.h>
#include <string.h>

#define DIFFER 0.20 /* of two estimates of a frequency, practice */
#define BACKGROUND_LEAST_DB 3.0

static double root_or_unset(double square, bool known)
{
    return known ? sqrt(square) : SG_UNSET;
}

static void read_dose(const struct sg_dose_sums *sums, double seconds, struct sg_dose_figures *out)
{
    const struct sg_dose_row *row = sg_dose_rating();
    struct sg_dose_figures unset = {
        SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, false, false
    };
    *out = unset;
    if (!sums->used || !(seconds > 0.0))
        return;
    out->aw_rms = sqrt(sums->square / seconds);
    out->mtvv = sg_is_set(sums->mtvv_linear) ? sqrt(sums->mtvv_linear) : SG_UNSET;
    out->vdv = sqrt(sqrt(sums->fourth));
    out->evdv = row->evdv_factor * out->aw_rms * sqrt(sqrt(seconds));
    out->crest = out->aw_rms > 0.0 ? sums->peak / out->aw_rms : SG_UNSET;
    out->crest_warning = sg_is_set(out->crest) && out->crest > row->evdv_crest;
    out->use_vdv =
        out->aw_rms > 0.0 && ((sg_is_set(out->mtvv) && out->mtvv / out->aw_rms > row->mtvv_ratio) ||
                              out->vdv / (out->aw_rms * sqrt(sqrt(seconds))) > row->vdv_ratio);
}

static void read_frequencies(const struct sg_axis_sums *sums, double rate_hz,
                             struct sg_axis_figures *out)
{
    out->frequency_crossing_hz = out->frequency_spectrum_hz = SG_UNSET;
    if (sums->snapshot_count < 3)
        return;
    out->frequency_crossing_hz =
        sg_frequency_crossing(sums->snapshot, sums->snapshot_count, sums->snapshot_peak, rate_hz);
    double found;
    if (sg_ok(sg_frequency_spectrum(sums->snapshot, sums->snapshot_count, rate_hz, true, &found)))
        out->frequency_spectrum_hz = found;
    double a = out->frequency_crossing_hz, b = out->frequency_spectrum_hz;
    out->frequencies_differ = sg_is_set(a) && sg_is_set(b) && fabs(a - b) > DIFFER * fmin(a, b);
}

static void read_axis(const struct sg_vibration_sums *sums, size_t i, struct sg_axis_figures *out)
{
    const struct sg_axis_sums *axis = &sums->axis[i];
    bool any = sums->seconds > 0.0;
    out->ppv_mm_s = any ? axis->velocity.value : SG_UNSET;
    out->ppv_sampled_mm_s = any ? axis->velocity.sampled : SG_UNSET;
    out->time_s = axis->velocity.time_s;
    out->displacement_mm = any ? axis->displacement.value : SG_UNSET;
    out->acceleration_m_s2 = any ? axis->acceleration.value : SG_UNSET;
    out->rms_mm_s = root_or_unset(axis->square / sums->seconds, any);
    out->rms_1s_mm_s = root_or_unset(axis->largest_mean_1s, sg_is_set(axis->largest_mean_1s));
    out->kbf_max = root_or_unset(axis->kbf_max2, any);
    out->takts = axis->takts;
    out->kbft_m = root_or_unset(axis->kbft_sum2 / (double)axis->takts, axis->takts > 0);
    for (size_t d = 0; d < SG_DOSE_END; d++)
        read_dose(&axis->dose[d], sums->seconds, &out->dose[d]);
    out->vl_max_db = sg_is_set(axis->jp_max2) ? sg_jp_level_db(sqrt(axis->jp_max2)) : SG_UNSET;
    out->vl_l10_db = sg_levels_exceeded(&axis->jp, sg_jp_reading()->exceeded_percent);
    read_frequencies(axis, sums->rate_hz, out);
}

void sg_vibration_read(const struct sg_vibration_sums *sums, struct sg_vibration_figures *out)
{
    struct sg_vibration_figures made = { .naxis = sums->naxis,
                                         .pcpv_mm_s = SG_UNSET,
                                         .pvs_mm_s = SG_UNSET,
                                         .pvs_time_s = SG_UNSET,
                                         .vsc_mm_s = SG_UNSET,
                                         .seconds = sums->seconds };
    double squares = 0.0;
    for (size_t i = 0; i < sums->naxis; i++) {
        made.axis_of[i] = sums->axis_of[i];
        read_axis(sums, i, &made.axis[i]);
        double ppv = made.axis[i].ppv_mm_s;
        squares += ppv * ppv;
        if (sg_is_set(ppv) && !(ppv <= made.pcpv_mm_s)) {
            made.pcpv_mm_s = ppv;
            made.pcpv_axis = i;
        }
    }
    if (sums->naxis > 1 && sums->seconds > 0.0) {
        made.pvs_mm_s = sums->pvs;
        made.pvs_time_s = sums->pvs_time_s;
        made.vsc_mm_s = sqrt(squares);
    }
    *out = made;
}

/* ---- dose arithmetic ------------------------------------------------------------------------- */

double sg_vdv_combine(const double *vdv, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++)
        sum += vdv[i] * vdv[i] * vdv[i] * vdv[i];
    return sqrt(sqrt(sum));
}

double sg_vdv_repeat(double vdv, double times)
{
    return times >= 0.0 ? vdv * sqrt(sqrt(times)) : SG_UNSET;
}

double sg_kbftm(const double *takt_max, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++)
        sum += takt_max[i] > sg_kb()->floor ? takt_max[i] * takt_max[i] : 0.0;
    return count > 0 ? sqrt(sum / (double)count) : SG_UNSET;
}

double sg_kbftr(double kbftm, double exposure_s, double rest_exposure_s, double rating_s)
{
    if (!(rating_s > 0.0) || !(exposure_s >= 0.0) || !(rest_exposure_s >= 0.0))
        return SG_UNSET;
    return kbftm * sqrt((exposure_s + 2.0 * rest_exposure_s) / rating_s);
}

double sg_jp_level_db(double aw_rms_m_s2)
{
    return sg_level_db(aw_rms_m_s2 * aw_rms_m_s2, sg_reference(SG_REFERENCE_JP)->value);
}

double sg_level_db(double square, double reference)
{
    return 10.0 * log10(square / (reference * reference));
}

double sg_level_subtract(double total_db, double background_db, bool *bound)
{
    *bound = total_db - background_db < BACKGROUND_LEAST_DB;
    if (!(total_db > background_db))
        return SG_UNSET;
    return 10.0 * log10(pow(10.0, total_db / 10.0) - pow(10.0, background_db / 10.0));
}
