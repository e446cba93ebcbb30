/* bridge.c - estimates of other quantities from a peak component velocity, and the sums of doses.
 *
 * A vibration of one frequency f with the peak velocity v has the peak acceleration a = 2 pi f v.
 * - KB* = v / (sqrt(2) sqrt(1 + (f_0 / f)^2)), largest KB_F = c_F KB* (DIN 4150-2, clause 7).
 * - Dose: for a sine the mean of the fourth power is 3/8 of the fourth power of the peak, so that
 *   VDV = (3/8 T)^(1/4) W(f) a over a time T. Blows: each counts at least one period of its
 *   frequency (central) and at most the whole time up to the next blow (upper); N blows add up as
 *   N^(1/4).
 * - Velocity level: rms = peak / the crest factor that the transit manual states.
 * - Japanese level: 20 lg of the weighted rms of the sine over 1e-5 m/s2; a short blow reads less
 *   with 0.63 s, so the estimate is on the safe side.
 * The frequency is taken anywhere in the band of the value: the largest result stands for it.
 */
#include <math.h>

#include "limits/curve.h"
#include "stillground/bridge_numbers.h"
#include "stillground/weighting.h"

#define SWEEP 64

static double number(enum sg_bridge_number which)
{
    return sg_bridge_number(which)->value;
}

#define SINE_FOURTH (3.0 / 8.0)

double sg_kb_magnitude(double frequency_hz)
{
    double corner = sg_kb()->corner_hz / frequency_hz;
    return 1.0 / sqrt(1.0 + corner * corner);
}

static double corner_ratio(double f, double corner)
{
    return sg_is_set(corner) && corner > 0.0 ? f / corner : SG_UNSET;
}

/* One second-order section 1 / |1 + i x / q - x^2|, x = f / corner. */
static double low_pass(double x, double q)
{
    double real = 1.0 - x * x, imaginary = x / q;
    return 1.0 / sqrt(real * real + imaginary * imaginary);
}

/* |H| = Hh Hl Ht Hs of ISO 8041-1, Formulae 1 to 5; an unset corner leaves its factor out. */
static double magnitude(const struct sg_vibration_weighting_row *row, double f)
{
    const double q = 0.70710678118654752;
    double gain = row->gain;
    double x = corner_ratio(f, row->f1_hz);
    if (sg_is_set(x)) {
        gain *= x * x * low_pass(x, q);
    }
    x = corner_ratio(f, row->f2_hz);
    if (sg_is_set(x)) {
        gain *= low_pass(x, q);
    }
    x = corner_ratio(f, row->f4_hz);
    if (sg_is_set(x)) {
        double y = f / row->f3_hz;
        gain *= sqrt(1.0 + y * y) * low_pass(x, row->q4);
    }
    x = corner_ratio(f, row->f6_hz);
    if (sg_is_set(x)) {
        double y = f / row->f5_hz, ratio = row->f5_hz / row->f6_hz;
        gain *= low_pass(x, row->q6) / low_pass(y, row->q5) * ratio * ratio;
    }
    return gain;
}

double sg_band_weighting(const char *weighting, double frequency_hz)
{
    for (int i = 0; i < SG_WEIGHTING_END; i++) {
        enum sg_weighting w = (enum sg_weighting)i;
        const struct sg_vibration_weighting_row *row = sg_vibration_weighting(w);
        if (row != NULL && sg_same(sg_weighting_id(w), weighting)) {
            return magnitude(row, frequency_hz);
        }
    }
    return SG_UNSET;
}

/* ---- sums ------------------------------------------------------------------------------------ */

double sg_dose_sum(const double *dose, const double *times, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += (times != NULL ? times[i] : 1.0) * pow(dose[i], 4.0);
    }
    return pow(sum, 0.25);
}

double sg_kb_mean(const double *takt_max, size_t count)
{
    double sum = 0.0;
    if (count == 0) {
        return SG_UNSET;
    }
    for (size_t i = 0; i < count; i++) {
        sum += takt_max[i] > sg_kb()->floor ? takt_max[i] * takt_max[i] : 0.0;
    }
    return sqrt(sum / (double)count);
}

double sg_kb_rated(double mean, double hours, double rest_mean, double rest_hours,
                   double rest_weight, double rating_hours)
{
    double rest = rest_hours > 0.0 ? rest_weight * rest_hours * rest_mean * rest_mean : 0.0;
    double plain = hours > 0.0 ? hours * mean * mean : 0.0;
    return sqrt((plain + rest) / rating_hours);
}

double sg_level_under(double level_db, double reference, double other_reference)
{
    return level_db + 20.0 * log10(reference / other_reference);
}

sg_status sg_evdv(double aw_rms_m_s2, double seconds, enum sg_technique technique, double *out,
                  const char **why)
{
    const struct sg_dose_row *row = sg_dose_rating();
    if (technique == SG_IMPACT) {
        *why = "BS 6472 (1992 edition): eVDV underestimates above a crest factor of about 6, which "
               "blows pass; the true dose is needed";
        return SG_ERR_UNDETERMINED;
    }
    if (!(aw_rms_m_s2 >= 0.0) || !(seconds >= 0.0)) {
        return SG_ERR_DOMAIN;
    }
    *out = row->evdv_factor * aw_rms_m_s2 * pow(seconds, 0.25);
    return SG_OK;
}

/* ---- estimates ------------------------------------------------------------------------------- */

struct estimate {
    const struct sg_value *ppv;
    const struct sg_bridging *with;
    struct sg_value *out;
    struct sg_working *working;
};

static sg_status refuse(const struct estimate *e, const char *why)
{
    e->out->central = e->out->upper = SG_UNSET;
    e->out->why = why;
    return SG_ERR_UNDETERMINED;
}

static bool band_of(const struct sg_value *value, double *low_hz, double *high_hz)
{
    *low_hz =
        sg_is_set(value->frequency_low_hz) ? value->frequency_low_hz : value->frequency_high_hz;
    *high_hz = sg_is_set(value->frequency_high_hz) ? value->frequency_high_hz : *low_hz;
    return *low_hz > 0.0 && *high_hz >= *low_hz;
}

typedef double factor_at(double frequency_hz);

/* The frequency of the band at which a factor is largest. */
static double worst_frequency(factor_at *factor, double low_hz, double high_hz)
{
    double best_hz = low_hz;
    for (int i = 1; i <= SWEEP; i++) {
        double f = low_hz * pow(high_hz / low_hz, (double)i / SWEEP);
        if (factor(f) > factor(best_hz)) {
            best_hz = f;
        }
    }
    return best_hz;
}

static sg_status to_kb(const struct estimate *e)
{
    double low_hz, high_hz;
    if (!band_of(e->ppv, &low_hz, &high_hz)) {
        return refuse(e, "KB from a peak velocity needs its frequency, which is not known");
    }
    double f = worst_frequency(sg_kb_magnitude, low_hz, high_hz);
    bool shaken = e->ppv->technique != SG_IMPACT;
    const struct sg_cite *cite = &sg_bridge_number(SG_BRIDGE_CF_MOST)->cite;
    double low = sg_is_set(e->with->cf_low)
                     ? e->with->cf_low
                     : number(shaken ? SG_BRIDGE_CF_RESONANT : SG_BRIDGE_CF_SHORT);
    double high = sg_is_set(e->with->cf_high) ? e->with->cf_high : number(SG_BRIDGE_CF_MOST);
    double star = sg_kb_magnitude(f) / sqrt(2.0);
    e->out->central = low * star * e->ppv->central;
    e->out->upper = fmax(high, low) * star * e->ppv->upper;
    sg_working_add(e->working, cite, "KB from PPV (estimate)",
                   "c_F %.3g: %.3g x %.6g / (sqrt 2 x sqrt(1 + (%.4g / %.4g)^2)) = %.4g; upper "
                   "with c_F %.3g: %.4g",
                   low, low, e->ppv->central, sg_kb()->corner_hz, f, e->out->central,
                   fmax(high, low), e->out->upper);
    if (!sg_is_set(e->with->cf_low) || !sg_is_set(e->with->cf_high)) {
        e->out->marks |= SG_MARK_UNVERIFIED;
        e->out->grade = sg_grade_worse(e->out->grade, cite->grade);
    }
    return SG_OK;
}

/* Weighted acceleration of a sine of 1 m/s. */
static double dose_factor(double f)
{
    return 2.0 * SG_PI * f * sg_band_weighting("Wb", f);
}

static double jp_factor(double f)
{
    return 2.0 * SG_PI * f * sg_band_weighting("JP vertical", f);
}

static sg_status to_vdv(const struct estimate *e)
{
    double low_hz, high_hz, hours = e->with->driving_h;
    if (!band_of(e->ppv, &low_hz, &high_hz)) {
        return refuse(e, "a dose from a peak velocity needs its frequency, which is not known");
    }
    if (!(hours > 0.0)) {
        return refuse(e, "a dose needs the time the source works, which is not known");
    }
    double f = worst_frequency(dose_factor, low_hz, high_hz);
    double peak = 1e-3 * dose_factor(f), seconds = 3600.0 * hours, least = seconds;
    if (e->ppv->technique == SG_IMPACT) {
        if (!(e->with->blows_per_min > 0.0)) {
            return refuse(e, "a dose of blows needs the blow rate, which is not known");
        }
        double blows = 60.0 * hours * e->with->blows_per_min;
        least = fmin(blows / f, seconds);
        sg_working_add(e->working, NULL, "blows",
                       "%.6g h x %.6g / min = %.6g; one period each %.4g s, all of the time %.6g s",
                       hours, e->with->blows_per_min, blows, least, seconds);
    }
    e->out->central = peak * e->ppv->central * pow(SINE_FOURTH * least, 0.25);
    e->out->upper = peak * e->ppv->upper * pow(SINE_FOURTH * seconds, 0.25);
    sg_working_add(e->working, NULL, "dose from PPV (estimate)",
                   "(3/8 x %.6g s)^(1/4) x Wb(%.4g Hz) %.4g x 2 pi x %.4g Hz x %.6g mm/s = %.4g "
                   "m/s^1.75; upper over %.6g s: %.4g",
                   least, f, sg_band_weighting("Wb", f), f, e->ppv->central, e->out->central,
                   seconds, e->out->upper);
    return SG_OK;
}

static double us_level(double ppv_mm_s)
{
    const struct sg_reference_row *reference = sg_reference(SG_REFERENCE_VELOCITY_US);
    return 20.0 * log10(ppv_mm_s / SG_MM_PER_INCH / number(SG_BRIDGE_CREST) / reference->value);
}

static sg_status to_lv(const struct estimate *e)
{
    const struct sg_cite *cite = &sg_bridge_number(SG_BRIDGE_CREST)->cite;
    e->out->central = us_level(e->ppv->central);
    e->out->upper = us_level(e->ppv->upper);
    e->out->marks |= SG_MARK_UNVERIFIED;
    e->out->grade = sg_grade_worse(e->out->grade, cite->grade);
    sg_working_add(e->working, cite, "level from PPV (estimate)",
                   "20 lg(%.6g / 25.4 / %.4g / 1e-6) = %.2f VdB, upper %.2f VdB", e->ppv->central,
                   number(SG_BRIDGE_CREST), e->out->central, e->out->upper);
    return SG_OK;
}

static sg_status to_vl(const struct estimate *e)
{
    double low_hz, high_hz;
    if (!band_of(e->ppv, &low_hz, &high_hz)) {
        return refuse(e, "a vibration level from a peak velocity needs its frequency, which is not "
                         "known");
    }
    double f = worst_frequency(jp_factor, low_hz, high_hz);
    double rms = 1e-3 * jp_factor(f) / sqrt(2.0);
    double reference = sg_reference(SG_REFERENCE_JP)->value;
    e->out->central = 20.0 * log10(rms * e->ppv->central / reference);
    e->out->upper = 20.0 * log10(rms * e->ppv->upper / reference);
    enum sg_grade grade = sg_weighting_cite(SG_WEIGHTING_JP_VERTICAL)->grade;
    e->out->grade = sg_grade_worse(e->out->grade, grade);
    e->out->marks |= sg_grade_unverified(grade) ? SG_MARK_UNVERIFIED : 0u;
    sg_working_add(e->working, sg_weighting_cite(SG_WEIGHTING_JP_VERTICAL),
                   "vibration level from PPV (estimate)",
                   "20 lg(2 pi x %.4g Hz x %.6g mm/s x 1e-3 x W / sqrt 2 / 1e-5) = %.2f dB, upper "
                   "%.2f dB",
                   f, e->ppv->central, e->out->central, e->out->upper);
    return SG_OK;
}

static unsigned bridge_of(enum sg_quantity quantity)
{
    switch ((int)quantity) {
    case SG_Q_KBF_MAX:
        return SG_BRIDGE_KB;
    case SG_Q_VDV:
        return SG_BRIDGE_VDV;
    case SG_Q_LV_US:
        return SG_BRIDGE_LV;
    case SG_Q_VL_JP:
        return SG_BRIDGE_VL;
    default:
        return 0;
    }
}

sg_status sg_bridge_value(const struct sg_limit_set *set, const struct sg_limit_row *row,
                          const struct sg_value *ppv, const struct sg_bridging *with,
                          struct sg_value *out, struct sg_working *working)
{
    struct sg_value value = *ppv;
    struct estimate e = { ppv, with, &value, working };
    unsigned bridge = bridge_of(row->quantity);
    sg_status status;
    value.quantity = row->quantity;
    value.marks |= SG_MARK_ESTIMATE;
    if (!sg_is_set(ppv->central)) {
        status = refuse(&e, ppv->why != NULL ? ppv->why : "there is no value to estimate from");
    } else if (ppv->quantity != SG_Q_PPV) {
        status = refuse(&e, "estimates start from a component peak velocity");
    } else if (bridge == 0 || (set->bridges & bridge) == 0 || row->rule == SG_RULE_BANDS) {
        status =
            refuse(&e, set->bridge_refused != NULL
                           ? set->bridge_refused
                           : "the limit is stated on another quantity, and the document knows no "
                             "estimate from a peak velocity");
    } else if (bridge == SG_BRIDGE_KB) {
        status = to_kb(&e);
    } else if (bridge == SG_BRIDGE_VDV) {
        status = to_vdv(&e);
    } else if (bridge == SG_BRIDGE_LV) {
        status = to_lv(&e);
    } else {
        status = to_vl(&e);
    }
    *out = value;
    return status;
}
