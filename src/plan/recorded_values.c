/* recorded_values.c - measured figures as values, in the quantity that a limit is stated on.
 *
 * A figure stands for a limit only when both are read in the same way: the weighting that the set
 * names must have been measured on that axis, and its statistic must be the one that was formed.
 * Japanese level: with 100 readings at 5 s the level exceeded in a tenth of them, before that the
 * largest as upper value; of blows the largest, which is not below the mean of their maxima
 * (Enforcement Regulation of the vibration act, note; recalled).
 */
#include "recorded_internal.h"

#include <math.h>
#include <string.h>

struct sg_value sg_recorded_value(const struct sg_recorded_judging *j, enum sg_quantity quantity,
                                  enum sg_axes axes, double measured)
{
    struct sg_value value = SG_VALUE_INIT;
    value.quantity = quantity;
    value.central = value.upper = measured;
    value.upper_text = "as measured";
    value.position = j->as->position;
    value.axes = axes;
    value.technique = j->as->technique;
    value.origin = SG_MEASURED;
    value.model = "measured";
    value.distance_m = j->as->distance_m;
    value.receptor = j->index;
    value.why = sg_is_set(measured) ? NULL : "the recording does not give this figure";
    return value;
}

static void set_frequency(const struct sg_axis_figures *axis, struct sg_value *value)
{
    double crossing = axis->frequency_crossing_hz, spectrum = axis->frequency_spectrum_hz;
    double one = sg_is_set(crossing) ? crossing : spectrum;
    value->frequency_low_hz = value->frequency_high_hz = one;
    value->frequency_from =
        sg_is_set(crossing) ? "zero crossings at the peak" : "spectrum around the peak";
    if (!sg_is_set(one))
        value->frequency_from = "";
    if (!axis->frequencies_differ)
        return;
    value->frequency_low_hz = fmin(crossing, spectrum);
    value->frequency_high_hz = fmax(crossing, spectrum);
    value->frequency_from = "zero crossings and spectrum at the peak, which differ";
}

struct sg_value sg_recorded_resultant(const struct sg_recorded_judging *j, enum sg_quantity which)
{
    const struct sg_vibration_figures *f = &j->measured->vibration;
    struct sg_value value = sg_recorded_value(j, which, SG_AXES_RESULTANT,
                                              which == SG_Q_VSC ? f->vsc_mm_s : f->pvs_mm_s);
    if (f->naxis > 0)
        set_frequency(&f->axis[f->pcpv_axis], &value);
    return value;
}

/* ---- weighted acceleration ------------------------------------------------------------------- */

/* The weighting that a set's text names for an axis: "Wm", or "Wb vertical, Wd horizontal". */
static enum sg_dose dose_named(const char *text, bool vertical)
{
    const char *part = text ? strstr(text, vertical ? " vertical" : " horizontal") : NULL;
    const char *name = part && part - text >= 2 ? part - 2 : text;
    for (int d = 0; name && d < SG_DOSE_END; d++) {
        const char *id = sg_weighting_id(sg_dose_weighting((enum sg_dose)d));
        size_t length = strlen(id);
        if (strncmp(name, id, length) == 0 && (name[length] == '\0' || name[length] == ' '))
            return (enum sg_dose)d;
    }
    return SG_DOSE_END;
}

static const char *no_weighting(const struct sg_recorded_judging *j, const struct sg_limit_set *set)
{
    const char *said = set->reading.weighting;
    const char *why =
        said ? sg_arena_printf(&j->out->arena,
                               "the limit is on the weighting '%s', which is not measured", said)
             : "the limit set does not say on which weighting it is stated";
    return why ? why : "the limit is on a weighting that is not measured";
}

static void put_weighted(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                         const struct sg_judged *judged, size_t axis, struct sg_value *value)
{
    const struct sg_vibration_figures *f = &j->measured->vibration;
    enum sg_dose dose = dose_named(set->reading.weighting, f->axis_of[axis] == SG_AXIS_Z);
    const char *statistic = set->reading.statistic;
    value->why = no_weighting(j, set);
    if (dose == SG_DOSE_END)
        return;
    const struct sg_dose_figures *figures = &f->axis[axis].dose[dose];
    value->grade = sg_weighting_cite(sg_dose_weighting(dose))->grade;
    if (value->quantity != SG_Q_VDV) {
        bool level = value->quantity == SG_Q_LAW_ISO;
        double zero = set->reading.reference; /* no level without the set's own reference */
        bool same = !statistic || sg_same(statistic, "weighted rms") ||
                    (level && sg_same(statistic, "weighted rms level"));
        const char *why = sg_arena_printf(&j->out->arena, "the limit is on another statistic: %s",
                                          statistic ? statistic : "");
        if (level && !(zero > 0.0 && sg_same(set->reading.reference_unit, "m/s2"))) {
            value->why = "the limit set does not say what its level is referred to";
            return;
        }
        double rms = figures->aw_rms;
        value->central = !same ? SG_UNSET : level ? sg_level_db(rms * rms, zero) : rms;
        value->why = same ? NULL : why;
        return;
    }
    struct sg_exposure exposure = sg_recorded_exposure(j, set, judged->period);
    value->central = sg_vdv_repeat(figures->vdv, exposure.all_s / j->measured->seconds);
    value->marks |= exposure.marks;
    value->why = NULL;
}

/* ---- by quantity ----------------------------------------------------------------------------- */

static void put_japanese(const struct sg_recorded_judging *j, const struct sg_axis_figures *axis,
                         struct sg_value *value)
{
    const struct sg_jp_reading_row *rule = sg_jp_reading();
    bool enough = j->measured->seconds >= rule->every_s * (double)rule->readings;
    bool blows = j->as->technique == SG_IMPACT;
    double most = axis->vl_max_db, tenth = axis->vl_l10_db;
    value->axes = SG_AXES_VERTICAL;
    value->grade = sg_weighting_cite(SG_WEIGHTING_JP_VERTICAL)->grade;
    value->central = blows || !sg_is_set(tenth) ? most : tenth;
    value->upper = enough ? value->central : most;
    value->upper_text = enough ? "as measured" : "largest of fewer than 100 readings";
}

struct sg_value sg_recorded_axis_value(const struct sg_recorded_judging *j,
                                       const struct sg_limit_set *set,
                                       const struct sg_limit_row *row,
                                       const struct sg_judged *judged, size_t axis)
{
    const struct sg_axis_figures *f = &j->measured->vibration.axis[axis];
    enum sg_axes axes = row->axes == SG_AXES_NONE ? SG_AXES_LARGEST : row->axes;
    struct sg_value value = sg_recorded_value(j, row->quantity, axes, SG_UNSET);
    double us = sg_reference(SG_REFERENCE_VELOCITY_US)->value * SG_MM_PER_INCH;
    value.upper = SG_UNSET;
    switch ((int)row->quantity) {
    case SG_Q_PPV:
        value.central = f->ppv_mm_s;
        set_frequency(f, &value);
        break;
    case SG_Q_DISPLACEMENT:
        value.central = f->displacement_mm;
        set_frequency(f, &value);
        break;
    case SG_Q_V_RMS_1S:
        value.central = f->rms_1s_mm_s;
        break;
    case SG_Q_LV_US:
        value.central = sg_level_db(f->rms_1s_mm_s * f->rms_1s_mm_s, us);
        break;
    case SG_Q_VL_JP:
        put_japanese(j, f, &value);
        break;
    case SG_Q_KBF_MAX:
        value.central = f->kbf_max;
        value.grade = sg_weighting_cite(SG_WEIGHTING_KB_80)->grade;
        break;
    case SG_Q_VDV:
    case SG_Q_AW_RMS:
    case SG_Q_LAW_ISO:
        put_weighted(j, set, judged, axis, &value);
        break;
    default:
        break;
    }
    value.upper = sg_is_set(value.upper) ? value.upper : value.central;
    if (sg_is_set(value.central))
        value.why = NULL;
    else if (!value.why)
        value.why = "the recording does not give this figure";
    return value;
}

/* ---- axes ------------------------------------------------------------------------------------ */

bool sg_recorded_asks(enum sg_axes asked, enum sg_axis axis)
{
    if (asked == SG_AXES_VERTICAL)
        return axis == SG_AXIS_Z;
    return asked != SG_AXES_HORIZONTAL || axis == SG_AXIS_X || axis == SG_AXIS_Y;
}

size_t sg_recorded_axes(enum sg_axes asked)
{
    return asked == SG_AXES_VERTICAL ? 1 : asked == SG_AXES_HORIZONTAL ? 2 : SG_AXES_MAX;
}
