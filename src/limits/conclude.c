/* conclude.c - from value and limit to the verdict: plain, by two steps and a dose, or bounded by
 * what a resultant can be.
 */
#include "limits/judging.h"

#include <math.h>
#include <stdio.h>

double sg_limit_ratio(const struct sg_limit_row *row, double value, double limit)
{
    return sg_quantity_is_level(row->quantity) ? pow(10.0, (value - limit) / 20.0) : value / limit;
}

/* Levels are compared as a difference, which is how anyone would do it by hand. */
static void note_ratio(const struct sg_judging *j, const char *which, double value, double ratio)
{
    bool level = sg_quantity_is_level(j->row->quantity);
    char what[48];
    snprintf(what, sizeof what, "%s, %s", level ? "difference" : "ratio", which);
    if (level) {
        sg_working_add(j->working, NULL, what, "%.6g - %.6g = %+.4g dB", value, j->out->limit,
                       value - j->out->limit);
    } else {
        sg_working_add(j->working, NULL, what, "%.6g / %.6g = %.4g", value, j->out->limit, ratio);
    }
}

/* What goes with a verdict that was reached. */
static void add_remark(const struct sg_judging *j)
{
    const struct sg_limit_row *row = j->row;
    bool own = row->count_days > 0.0;
    double needed = own ? row->count_days : j->set->count_days[0];
    double of = own ? row->of_days : j->set->of_days[0];
    if (row->category != NULL && j->judged->category == NULL &&
        j->judged->ambient_db > row->node[0].value) {
        sg_limit_refuse(
            j, "the ambient level is above the limit: the document then looks at the rise of the "
               "total, and this limit is the stricter");
    } else if (sg_limit_is_resultant(j->value) && row->axes != SG_AXES_RESULTANT &&
               row->axes != SG_AXES_NONE) {
        sg_limit_refuse(
            j, "a resultant is held against a limit for one component, which is on the safe side");
    } else if (needed > 0.0 && j->out->state == SG_OVER) {
        sg_limit_refuse(
            j, "counts as passed on %.6g of any %.6g days running: the number of days decides",
            needed, of);
    }
}

/* Lower value, upper value, then the dose: the step that decides stands as value and limit. */
static void conclude_steps(const struct sg_judging *j)
{
    struct sg_verdict *out = j->out;
    const struct sg_dose_value *dose = j->judged->dose;
    double central = j->value->central, upper = j->value->upper;
    double dose_central = dose != NULL ? dose->central : SG_UNSET;
    double dose_upper = dose != NULL ? dose->upper : SG_UNSET;
    enum sg_verdict_state first =
        sg_two_step(central, dose_central, j->steps[0], j->steps[1], j->steps[2]);
    enum sg_verdict_state second =
        sg_two_step(upper, dose_upper, j->steps[0], j->steps[1], j->steps[2]);
    bool rare = j->set->rare_per_day > 0.0 && j->judged->events_per_day > 0.0 &&
                j->judged->events_per_day <= j->set->rare_per_day;
    if (rare) {
        first = central <= j->steps[1] ? SG_WITHIN : SG_OVER;
        second = upper <= j->steps[1] ? SG_WITHIN : SG_OVER;
    }
    /* an upper value over the upper step is told of, unless the dose has the central one over */
    bool spread = first == SG_WITHIN && upper > j->steps[1];
    const double *deciding = second == SG_WITHIN && upper <= j->steps[0] ? &j->steps[0]
                             : central > j->steps[1] || rare || spread   ? &j->steps[1]
                                                                         : &j->steps[2];
    bool by_dose = deciding == &j->steps[2];
    if (by_dose && dose == NULL) {
        sg_limit_refuse(
            j, "between the lower and the upper value the dose over the period decides, and it "
               "is not known");
        return;
    }
    out->limit = *deciding;
    out->marks |= by_dose ? dose->marks : 0u;
    out->value_central = by_dose ? dose_central : central;
    out->value_upper = by_dose ? dose_upper : upper;
    out->ratio_central = out->value_central / out->limit;
    out->ratio_upper = out->value_upper / out->limit;
    out->state = first == SG_OVER ? SG_OVER : second == SG_WITHIN ? SG_WITHIN : SG_LIKELY_WITHIN;
    if (by_dose) {
        sg_limit_refuse(
            j, "between the lower value %.4g and the upper %.4g: judged by the dose KB_FTr",
            j->steps[0], j->steps[1]);
    }
    note_ratio(j, "central", out->value_central, out->ratio_central);
    note_ratio(j, "upper", out->value_upper, out->ratio_upper);
}

/* A component against a limit for the resultant: over for certain, within for certain, or open. */
static void conclude_bounded(const struct sg_judging *j)
{
    struct sg_verdict *out = j->out;
    const double most = sqrt(3.0);
    double central = j->value->central, upper = j->value->upper;
    out->ratio_central = central / out->limit;
    out->ratio_upper = most * upper / out->limit;
    sg_working_add(j->working, NULL, "resultant",
                   "from %.6g (largest component) to sqrt(3) x %.6g = %.6g %s", central, upper,
                   most * upper, sg_quantity_unit(j->row->quantity));
    if (central > out->limit) {
        out->state = SG_OVER;
        sg_limit_refuse(j, "the largest component alone is over the limit for the resultant");
    } else if (most * upper <= out->limit) {
        out->state = SG_WITHIN;
        sg_limit_refuse(
            j, "sqrt(3) times the largest component, the most the resultant can be, is within");
    } else if (most * central <= out->limit) {
        out->state = SG_LIKELY_WITHIN;
        sg_limit_refuse(
            j, "sqrt(3) times the central component is within, of the upper one it is over");
    } else {
        sg_limit_refuse(
            j,
            "the limit is stated as pvs, the value is ppv: the resultant lies between %.4g and "
            "%.4g, the limit between them",
            central, most * upper);
    }
}

/* A value equal to the limit keeps it, unless the row says otherwise. */
static bool passes(const struct sg_limit_row *row, double value, double limit)
{
    return row->passed_at ? value >= limit : value > limit;
}

void sg_limit_conclude(const struct sg_judging *j)
{
    if (j->row->rule == SG_RULE_TWO_STEP) {
        conclude_steps(j);
        return;
    }
    if (sg_limit_bounded(j)) {
        conclude_bounded(j);
        return;
    }
    struct sg_verdict *out = j->out;
    const struct sg_value *value = j->value;
    double upper = sg_is_set(value->upper) ? fmax(value->upper, value->central) : SG_UNSET;
    out->ratio_central = sg_limit_ratio(j->row, value->central, out->limit);
    out->ratio_upper = sg_is_set(upper) ? sg_limit_ratio(j->row, upper, out->limit) : SG_UNSET;
    if (passes(j->row, value->central, out->limit)) {
        out->state = SG_OVER;
    } else if (!sg_is_set(upper)) {
        sg_limit_refuse(j,
                        "the central value is at most the limit, but the upper value is not known");
        return;
    } else {
        out->state = passes(j->row, upper, out->limit) ? SG_LIKELY_WITHIN : SG_WITHIN;
    }
    note_ratio(j, "central", value->central, out->ratio_central);
    if (sg_is_set(upper)) {
        note_ratio(j, "upper", upper, out->ratio_upper);
    }
    add_remark(j);
}
