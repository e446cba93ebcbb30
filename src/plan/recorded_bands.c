/* recorded_bands.c - third octaves of a recording against curves that are read band by band.
 *
 * Documents ask for the rms of steady vibration, and of a short event for the largest average over
 * 1 s (generic criteria). The rms over the recording is not above that average, the largest fast
 * rms (0.125 s) not below it: a limit under the one is passed, a limit over the other is kept, and
 * between them the recording does not say for short events. Acceleration of a band is 2 pi f times
 * its velocity; at the upper edge of the band f is 10^(1/20) times its middle, which the larger
 * figure takes (derived).
 */
#include "recorded_internal.h"

#include <math.h>
#include <stdio.h>

struct spectrum {
    struct sg_band_value mean[SG_BAND_COUNT], most[SG_BAND_COUNT];
    size_t count;
    double missing_hz; /* a band on the curve that was not measured; unset = none */
};

static void fill(const struct sg_recorded_judging *j, const struct sg_limit_row *row, size_t axis,
                 struct spectrum *out)
{
    bool acceleration = row->quantity == SG_Q_A_RMS_BAND;
    const double edge = sg_band_high_hz(0) / sg_band_hz(0);
    out->count = 0;
    out->missing_hz = SG_UNSET;
    for (int third = SG_BAND_FIRST; third <= SG_BAND_LAST; third++) {
        double hz = sg_band_nominal_hz(third), limit;
        double mean = j->measured->band_rms[axis][third - SG_BAND_FIRST];
        double most = j->measured->band_max[axis][third - SG_BAND_FIRST];
        double factor = acceleration ? 2e-3 * SG_PI * sg_band_hz(third) : 1.0;
        if (!sg_ok(sg_limit_at(row, hz, &limit)))
            continue;
        if (!sg_is_set(mean) || !sg_is_set(most)) {
            out->missing_hz = hz;
            continue;
        }
        out->mean[out->count] = (struct sg_band_value){ hz, factor * mean };
        out->most[out->count++] =
            (struct sg_band_value){ hz, factor * (acceleration ? edge : 1.0) * fmax(mean, most) };
    }
}

static double value_at(const struct sg_band_value *band, size_t count, double hz)
{
    for (size_t i = 0; i < count; i++)
        if (!(band[i].frequency_hz < hz) && !(band[i].frequency_hz > hz))
            return band[i].value;
    return SG_UNSET;
}

/* Within and over as both bounds say; between them by the character of the vibration. */
static void combine(const struct sg_recorded_judging *j, const struct spectrum *of,
                    const struct sg_verdict *low, const struct sg_judged *judged,
                    struct sg_recorded_verdict *out)
{
    struct sg_verdict *high = &out->verdict;
    if (low->state == SG_OVER || low->state == SG_NOT_DETERMINABLE) {
        *high = *low;
        out->value.central = low->value_central;
        return;
    }
    double mean = value_at(of->mean, of->count, high->frequency_hz);
    out->value.central = high->value_central = mean;
    out->value.upper = high->value_upper;
    high->ratio_central = mean / high->limit;
    if (high->state == SG_WITHIN)
        return;
    if (sg_limit_character(high->set, j->as->technique, judged) == SG_SHORT_TERM) {
        high->state = SG_NOT_DETERMINABLE;
        (void)snprintf(high->reason, sizeof high->reason,
                       "the rms over the recording is within and the largest fast rms is over: the "
                       "largest average over 1 s, which decides, lies between");
    } else {
        high->state = SG_LIKELY_WITHIN;
        (void)snprintf(high->reason, sizeof high->reason,
                       "the rms over the recording is within, the largest fast rms is x %.3g",
                       high->ratio_upper);
    }
}

static void judge_axis(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                       const struct sg_limit_row *row, const struct sg_judged *judged, size_t axis,
                       struct sg_recorded_verdict *out)
{
    struct spectrum of;
    struct sg_verdict low;
    enum sg_axes axes = row->axes == SG_AXES_NONE ? SG_AXES_LARGEST : row->axes;
    fill(j, row, axis, &of);
    out->axis = j->measured->vibration.axis_of[axis];
    out->value = sg_recorded_value(j, row->quantity, axes, SG_UNSET);
    out->value.marks |= row->quantity == SG_Q_A_RMS_BAND ? SG_MARK_ESTIMATE : 0u;
    out->value.upper_text = "largest fast rms";
    sg_judge_bands(set, row, judged, &out->value, of.mean, of.count, &low, NULL);
    sg_judge_bands(set, row, judged, &out->value, of.most, of.count, &out->verdict, NULL);
    combine(j, &of, &low, judged, out);
    if (!sg_is_set(of.missing_hz) || out->verdict.state == SG_OVER ||
        out->verdict.state == SG_NOT_DETERMINABLE)
        return;
    out->verdict.state = SG_NOT_DETERMINABLE;
    (void)snprintf(out->verdict.reason, sizeof out->verdict.reason,
                   "the band of %g Hz is on the curve, and the rate does not allow it",
                   of.missing_hz);
}

void sg_recorded_bands(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                       const struct sg_limit_row *row, const struct sg_judged *judged,
                       struct sg_recorded_verdict *out)
{
    const struct sg_vibration_figures *f = &j->measured->vibration;
    size_t seen = 0;
    for (size_t i = 0; i < f->naxis && j->measured->band_rms && j->measured->band_max; i++) {
        struct sg_recorded_verdict one;
        if (!sg_recorded_asks(row->axes, f->axis_of[i]))
            continue;
        judge_axis(j, set, row, judged, i, &one);
        if (seen++ == 0 || sg_verdict_compare(&one.verdict, &out->verdict) < 0)
            *out = one;
    }
    if (seen == 0) {
        out->axis = SG_AXIS_NONE;
        out->value = sg_recorded_value(j, row->quantity, row->axes, SG_UNSET);
        out->value.why = "the bands of the axis that the limit is stated on were not measured";
        sg_judge_bands(set, row, judged, &out->value, NULL, 0, &out->verdict, NULL);
        (void)snprintf(out->verdict.reason, sizeof out->verdict.reason, "%s", out->value.why);
    } else {
        sg_recorded_incomplete(seen, sg_recorded_axes(row->axes), &out->verdict);
    }
}
