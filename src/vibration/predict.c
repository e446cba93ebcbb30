/* predict.c - the value of a relation at a distance, with all that must travel with it. */
#include "vibration_internal.h"

#include <math.h>

static double input_value(const char *input, const struct sg_drive *drive, double distance_m)
{
    if (sg_same(input, "distance_m"))
        return distance_m;
    if (sg_same(input, "toe_depth_m"))
        return drive->toe_depth_m;
    if (sg_same(input, "energy_J") || sg_same(input, "cycle_energy_J"))
        return drive->energy_J;
    if (sg_same(input, "drums"))
        return drive->drums;
    if (sg_same(input, "drum_amplitude_mm"))
        return drive->drum_amplitude_mm;
    if (sg_same(input, "drum_width_m"))
        return drive->drum_width_m;
    return SG_UNSET;
}

/* An input that was not given is outside too: nobody can say that it is inside. */
static bool outside(const struct sg_range *range, double value)
{
    return !(value >= range->low && value <= range->high);
}

static bool check_ranges(const struct sg_model *model, const struct sg_drive *drive,
                         double distance_m, struct sg_working *working)
{
    bool any = false;
    for (size_t i = 0; i < model->nrange; i++) {
        const struct sg_range *range = &model->range[i];
        double value = input_value(range->input, drive, distance_m);
        if (!outside(range, value))
            continue;
        any = true;
        if (sg_is_set(value))
            sg_working_add(working, &range->cite, "outside the stated range",
                           "%s = %.6g; the data lie from %.6g to %.6g", range->input, value,
                           range->low, range->high);
        else
            sg_working_add(working, &range->cite, "range not checked",
                           "%s was not given; the data lie from %.6g to %.6g", range->input,
                           range->low, range->high);
    }
    for (size_t i = 0; i < model->npart; i++) {
        const struct sg_part *part = &model->part[i];
        if (!part->variant || part == sg_part_named(model, drive))
            any |= check_ranges(sg_model_find(part->model), drive, distance_m, working);
    }
    return any;
}

/* Texts for the shares that the catalogue's tables have; they are fixed strings, so that a value
 * can
 * carry them without owning anything. */
static const char *exceedance_text(enum sg_upper upper, double exceedance, double percentile)
{
    bool short_of = exceedance > 100.0 - percentile;
    if (upper == SG_UPPER_SD)
        return exceedance > 49   ? "mean, exceeded in 50 % of cases"
               : exceedance > 20 ? "mean + 1/2 SD, exceeded in about 31 %"
               : short_of        ? "mean + 1 SD, exceeded in about 16 %; the source goes no further"
                                 : "mean + 1 SD, exceeded in about 16 %";
    if (exceedance > 49)
        return "exceeded in 50 % of cases";
    if (exceedance > 20)
        return "exceeded in 33.3 % of cases";
    return short_of ? "exceeded in 5 % of cases; the source goes no further"
                    : "exceeded in 5 % of cases";
}

static unsigned marks_of(const struct sg_model *model, const struct sg_law *law, bool out_of_range,
                         double distance_m)
{
    const double near_m = 2.0; /* relations differ sixfold at 2 m (comparison in DEVELOPERS.md) */
    unsigned marks = 0;
    if (out_of_range)
        marks |= SG_MARK_RANGE;
    if (sg_grade_unverified(law->grade))
        marks |= SG_MARK_UNVERIFIED;
    if (model->tentative)
        marks |= SG_MARK_TENTATIVE;
    if (model->proposal)
        marks |= SG_MARK_PROPOSAL;
    if (law->user || law->factor < 1.0)
        marks |= SG_MARK_USER;
    if (distance_m <= near_m)
        marks |= SG_MARK_NEAR_FIELD;
    return marks;
}

static void describe(const struct sg_model *model, const struct sg_drive *drive, double distance_m,
                     double exceedance, struct sg_value *value)
{
    value->quantity = model->quantity;
    value->upper_text = sg_upper_text(model->upper);
    value->upper_exceedance_percent = SG_UNSET;
    if (sg_is_set(exceedance)) {
        value->upper_text = exceedance_text(model->upper, exceedance, drive->percentile);
        value->upper_exceedance_percent = exceedance;
    }
    value->axes = model->quantity == SG_Q_VL_JP ? SG_AXES_VERTICAL : SG_AXES_LARGEST;
    value->technique = drive->technique;
    value->phase = drive->phase;
    value->origin = SG_PREDICTED;
    value->model = model->id;
    value->distance_m = distance_m;
}

static sg_status too_near(double distance_m, struct sg_value *out)
{
    out->why = distance_m < SG_NEAREST_M ? "nearer than 1 m: no published relation holds there"
                                         : "the distance is not known";
    return SG_ERR_DOMAIN;
}

sg_status sg_vibration_at(const struct sg_model *model, const struct sg_drive *drive,
                          double distance_m, struct sg_value *out, struct sg_working *working,
                          struct sg_errors *errors)
{
    struct sg_law central, upper;
    double exceedance;
    if (drive->site_law && distance_m >= SG_NEAREST_M)
        return sg_site_law_at(drive, distance_m, out, working, errors);
    enum sg_level upper_level = sg_model_upper_level(model, drive->percentile, &exceedance);
    sg_status status = sg_law_prepare(model, drive, SG_LEVEL_CENTRAL, &central, errors);
    if (status == SG_OK)
        status = sg_law_prepare(model, drive, upper_level, &upper, errors);
    if (status != SG_OK)
        return status;
    struct sg_value value = SG_VALUE_INIT;
    describe(model, drive, distance_m, exceedance, &value);
    value.grade = sg_grade_worse(central.grade, upper.grade);
    if (!(distance_m >= SG_NEAREST_M)) {
        status = too_near(distance_m, &value);
        *out = value;
        return status;
    }
    bool out_of_range = check_ranges(model, drive, distance_m, working);
    value.central = sg_law_at(&central, distance_m);
    value.upper = sg_law_at(&upper, distance_m);
    value.marks = marks_of(model, &upper, out_of_range, distance_m);
    if (sg_grade_unverified(value.grade))
        value.marks |= SG_MARK_UNVERIFIED;
    if (working) {
        sg_law_working(model, drive, SG_LEVEL_CENTRAL, &central, distance_m, working);
        if (value.upper > value.central) {
            sg_working_add(working, NULL, "upper value", "%s", value.upper_text);
            sg_law_working(model, drive, upper_level, &upper, distance_m, working);
        }
    }
    *out = value;
    return out_of_range ? SG_WARN_RANGE : SG_OK;
}

void sg_vibration_band(const struct sg_drive *drive, double driving_frequency_hz,
                       bool variable_moment, struct sg_value *value)
{
    const struct sg_frequency_row *row = sg_frequency_find(drive->technique, drive->ground);
    if (drive->technique == SG_VIBRATORY && sg_is_set(driving_frequency_hz)) {
        bool sweeps = !variable_moment && drive->phase != SG_PHASE_STEADY && row &&
                      row->low_hz < driving_frequency_hz;
        value->frequency_low_hz = sweeps ? row->low_hz : driving_frequency_hz;
        value->frequency_high_hz = driving_frequency_hz;
        value->frequency_from =
            sweeps ? "start and stop sweep up to the driving frequency" : "driving frequency";
    } else if (row) {
        value->frequency_low_hz = row->low_hz;
        value->frequency_high_hz = row->high_hz;
        value->frequency_from = "plausible band of the technique (common practice)";
    }
}
