/* verdict.c - a value against a limit, with every reason for which it cannot be said.
 *
 * Nothing passes in silence: whatever the row's document does not cover is "not determinable". A
 * resultant is at least as large as each component, so that holding a resultant against a component
 * limit is on the safe side and the reverse is not.
 */
#include <math.h>
#include <stdio.h>

#include "limits/curve.h"

const char *sg_verdict_id(enum sg_verdict_state state)
{
    static const char *const id[SG_VERDICT_END] = {
        [SG_WITHIN] = "within",
        [SG_LIKELY_WITHIN] = "likely within",
        [SG_OVER] = "over",
        [SG_NOT_DETERMINABLE] = "not determinable",
    };
    return (unsigned)state < SG_VERDICT_END ? id[state] : "?";
}

/* Everything a check looks at. */
struct judging {
    const struct sg_limit_set *set;
    const struct sg_limit_row *row;
    const struct sg_judged *judged;
    const struct sg_value *value;
    struct sg_verdict *out;
    struct sg_working *working;
    double steps[3]; /* lower, upper and dose value of a two-step row, with factors */
    bool by_band;    /* called for one band of a spectrum */
};

static bool refuse(const struct judging *j, const char *format, ...) SG_PRINTF(2, 3);

/* Sets the sentence; returns false, so that `return refuse(...)` ends a check. */
static bool refuse(const struct judging *j, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(j->out->reason, sizeof j->out->reason, format, arguments);
    va_end(arguments);
    return false;
}

/* Tells how the category came about; false when it cannot be told. */
static bool category_known(const struct judging *j)
{
    if (j->row->category == NULL) {
        return true;
    }
    const char *category = sg_limit_category(j->set, j->judged, j->row->period);
    if (category == NULL) {
        return refuse(j, "the ambient noise level, which decides the category, is not known");
    }
    if (j->judged->category != NULL) {
        sg_working_add(j->working, NULL, "category", "%s, as chosen", category);
    } else {
        sg_working_add(j->working, &j->row->cite, "category",
                       "%s, by an ambient level of %.6g dB(A) rounded to %.6g dB", category,
                       j->judged->ambient_db, j->set->ambient_round_db);
    }
    return true;
}

static bool in_scope(const struct judging *j)
{
    enum sg_technique technique = j->value->technique;
    if ((j->set->excluded & SG_TECHNIQUE_BIT(technique)) != 0) {
        j->out->outside_scope = true;
        return refuse(j, "%s is outside the document's scope: %s", sg_technique_id(technique),
                      j->set->excluded_why);
    }
    if (j->row == NULL) {
        sg_limit_why_none(j->set, j->judged, j->out->reason, sizeof j->out->reason);
        return false;
    }
    if ((j->row->techniques & SG_TECHNIQUE_BIT(technique)) == 0) {
        return refuse(j, "the row does not hold for %s driving%s", sg_technique_id(technique),
                      (j->row->other_sources & SG_OTHER_BLASTING) != 0 ? ": it is about blasting"
                                                                       : "");
    }
    if (!sg_limit_holds_for(j->set, j->row, j->judged, technique)) {
        enum sg_character character = sg_limit_character(j->set, technique, j->judged);
        enum sg_character other = character == SG_SHORT_TERM ? SG_CONTINUOUS : SG_SHORT_TERM;
        return refuse(j, "the value holds for %s vibration only, and %s counts as %s",
                      sg_character_id(other), sg_technique_id(technique),
                      sg_character_id(character));
    }
    return category_known(j);
}

/* Whether one quantity may stand for another: a vector sum is never below its components. */
static bool quantity_safe(enum sg_quantity value, enum sg_quantity limit)
{
    if (value == limit) {
        return true;
    }
    if (limit == SG_Q_PPV) {
        return value == SG_Q_PVS || value == SG_Q_VSC;
    }
    return limit == SG_Q_PVS && value == SG_Q_VSC;
}

static bool axes_safe(enum sg_axes value, enum sg_axes limit)
{
    if (limit == SG_AXES_NONE || value == limit || value == SG_AXES_RESULTANT) {
        return true;
    }
    return value == SG_AXES_LARGEST && (limit == SG_AXES_VERTICAL || limit == SG_AXES_HORIZONTAL);
}

static bool is_resultant(const struct sg_value *value)
{
    return value->quantity == SG_Q_PVS || value->quantity == SG_Q_VSC ||
           value->axes == SG_AXES_RESULTANT;
}

static bool period_fits(const struct judging *j)
{
    enum sg_period limit = j->row->period, value = j->value->period;
    if (limit == SG_ANY_TIME || value == SG_ANY_TIME || limit == value) {
        return true;
    }
    return limit == SG_NIGHT && value == SG_EVENING; /* the stricter, see sg_limit_covers */
}

/* The resultant is at least the largest component and at most sqrt(3) times it: a component says
 * something of a resultant limit, and the bounds are shown. */
static bool bounded(const struct judging *j)
{
    return j->row->quantity == SG_Q_PVS && j->value->quantity == SG_Q_PPV &&
           j->value->axes == SG_AXES_LARGEST && j->row->axes == SG_AXES_RESULTANT;
}

static bool comparable(const struct judging *j)
{
    const struct sg_value *value = j->value;
    const struct sg_limit_row *row = j->row;
    if (!sg_is_set(value->central)) {
        return refuse(j, "%s", value->why != NULL ? value->why : "there is no value to judge");
    }
    if (row->rule == SG_RULE_BANDS && !j->by_band) {
        return refuse(j, "%s",
                      j->set->bridge_refused != NULL
                          ? j->set->bridge_refused
                          : "the limit is compared with a spectrum, band by band");
    }
    if (!bounded(j) && !quantity_safe(value->quantity, row->quantity)) {
        return refuse(j, "the limit is stated as %s, the value is %s",
                      sg_quantity_id(row->quantity), sg_quantity_id(value->quantity));
    }
    if (value->position != row->position) {
        return refuse(j,
                      "the limit holds at %s, the value at %s, and no transfer between them is "
                      "given",
                      sg_position_id(row->position), sg_position_id(value->position));
    }
    enum sg_axes axes = is_resultant(value) ? SG_AXES_RESULTANT : value->axes;
    if (!bounded(j) && !axes_safe(axes, row->axes)) {
        return refuse(j,
                      "the limit is stated on the axis '%s', the value on '%s', which may be "
                      "smaller",
                      sg_axes_id(row->axes), sg_axes_id(axes));
    }
    if (!period_fits(j)) {
        return refuse(j, "the limit holds for the %s, the value for the %s",
                      sg_period_id(row->period), sg_period_id(value->period));
    }
    return true;
}

/* The formula between two nodes with its numbers, as far as the row has one there. */
static void note_curve(const struct judging *j, double frequency_hz, double limit)
{
    const struct sg_limit_row *row = j->row;
    const char *unit = sg_quantity_unit(row->quantity);
    size_t segment = sg_is_set(frequency_hz) ? sg_limit_segment(row, frequency_hz) : row->nnode;
    if (!sg_limit_by_frequency(row)) {
        sg_working_add(j->working, &row->cite, "limit", "%.6g %s%s", limit, unit,
                       sg_quantity_is_level(row->quantity) ? "" : " at every frequency");
    } else if (segment == 0 && row->below == SG_BELOW_DISPLACEMENT) {
        sg_working_add(j->working, &row->cite, "limit", "2 pi x %.6g Hz x %.6g mm = %.6g %s",
                       frequency_hz, row->below_displacement_mm, limit, unit);
    } else if (segment == 0 || segment == row->nnode || row->interpolation == SG_STEP) {
        const struct sg_node *node = &row->node[segment == 0 ? 0 : segment - 1];
        sg_working_add(j->working, &row->cite, "limit", "%.6g %s, held %s %.6g Hz", limit, unit,
                       segment == 0 ? "below" : "from", node->frequency_hz);
    } else {
        const struct sg_node *a = &row->node[segment - 1], *b = &row->node[segment];
        if (row->interpolation == SG_LOG_LOG) {
            sg_working_add(j->working, &row->cite, "limit",
                           "%.6g (%.6g / %.6g)^(lg(%.6g / %.6g) / lg(%.6g / %.6g)) = %.6g %s",
                           a->value, frequency_hz, a->frequency_hz, b->value, a->value,
                           b->frequency_hz, a->frequency_hz, limit, unit);
        } else if (row->interpolation == SG_CONST_DISPLACEMENT) {
            sg_working_add(j->working, &row->cite, "limit", "%.6g x %.6g / %.6g = %.6g %s",
                           a->value, frequency_hz, a->frequency_hz, limit, unit);
        } else if (row->interpolation == SG_CONST_ACCELERATION) {
            sg_working_add(j->working, &row->cite, "limit", "%.6g x %.6g / %.6g = %.6g %s",
                           a->value, a->frequency_hz, frequency_hz, limit, unit);
        } else {
            sg_working_add(j->working, &row->cite, "limit",
                           "%.6g + (%.6g - %.6g) (%.6g - %.6g) / (%.6g - %.6g) = %.6g %s", a->value,
                           b->value, a->value, frequency_hz, a->frequency_hz, b->frequency_hz,
                           a->frequency_hz, limit, unit);
        }
    }
}

static void mark_row(const struct judging *j, bool below)
{
    if (sg_grade_unverified(j->row->cite.grade) ||
        (below && sg_grade_unverified(j->row->below_grade))) {
        j->out->marks |= SG_MARK_UNVERIFIED;
    }
}

/* Level over the ambient or background level, at least the floor. */
static bool read_rise(const struct judging *j)
{
    const struct sg_limit_row *row = j->row;
    double around_db = row->by_background ? j->judged->background_db : j->judged->ambient_db;
    bool known = row->by_background ? around_db > 0.0 : sg_is_set(around_db);
    const char *what = row->by_background ? "background" : "ambient";
    if (!known) {
        return refuse(j, "the limit goes by the %s level, which is not known", what);
    }
    j->out->limit = fmax(row->node[0].value, around_db + row->rise_db);
    mark_row(j, false);
    if (row->node[0].value > 0.0) {
        sg_working_add(j->working, &row->cite, "limit",
                       "larger of %.6g and %s %.6g + %.6g = %.6g dB(A)", row->node[0].value, what,
                       around_db, row->rise_db, j->out->limit);
    } else {
        sg_working_add(j->working, &row->cite, "limit", "%s %.6g + %.6g = %.6g dB(A)", what,
                       around_db, row->rise_db, j->out->limit);
    }
    return true;
}

/* The limit is the predicted upper value and so much more. */
static bool read_difference(struct judging *j)
{
    const struct sg_limit_row *row = j->row;
    const struct sg_value *predicted = j->judged->predicted;
    const char *unit = sg_quantity_unit(row->quantity);
    if (j->value->origin != SG_MEASURED) {
        return refuse(j, "the row holds measured values against the predicted ones");
    }
    if (predicted == NULL || !sg_is_set(predicted->upper)) {
        return refuse(j, "the limit goes by the predicted value, which is not known");
    }
    if (predicted->quantity != row->quantity || predicted->position != row->position) {
        return refuse(j, "the prediction is of another quantity or for another place");
    }
    bool level = sg_quantity_is_level(row->quantity);
    double by = level ? row->rise_db : row->times_predicted;
    j->out->limit = level ? predicted->upper + by : predicted->upper * by;
    j->out->marks |= predicted->marks;
    mark_row(j, false);
    sg_working_add(j->working, &row->cite, "limit",
                   level ? "predicted, upper %.6g + %.6g = %.6g %s"
                         : "predicted, upper %.6g x %.6g = %.6g %s",
                   predicted->upper, by, j->out->limit, unit);
    return true;
}

static bool read_steps(struct judging *j)
{
    const struct sg_limit_row *row = j->row;
    sg_status status =
        sg_limit_steps(row, j->judged->days, &j->steps[0], &j->steps[1], &j->steps[2]);
    if (status == SG_ERR_MISSING) {
        return refuse(j, "the limit goes by the number of days of work, which is not known");
    }
    if (!sg_ok(status)) {
        return refuse(j, "no value is known for %.6g days of work", j->judged->days);
    }
    j->out->limit = j->steps[0];
    mark_row(j, false);
    sg_working_add(j->working, &row->cite, "limit", "lower %.4g, upper %.4g, dose %.4g%s%.4g%s",
                   j->steps[0], j->steps[1], j->steps[2], row->ndays > 0 ? " for " : " (",
                   row->ndays > 0 ? j->judged->days : 1.0, row->ndays > 0 ? " days" : " set)");
    return true;
}

static bool read_limit(struct judging *j)
{
    if (j->row->rule == SG_RULE_RISE) {
        return read_rise(j);
    }
    if (j->row->rule == SG_RULE_DIFFERENCE) {
        return read_difference(j);
    }
    if (j->row->rule == SG_RULE_TWO_STEP) {
        return read_steps(j);
    }
    const struct sg_value *value = j->value;
    double low_hz = value->frequency_low_hz, high_hz = value->frequency_high_hz;
    double limit = SG_UNSET, at_hz = SG_UNSET;
    low_hz = sg_is_set(low_hz) ? low_hz : high_hz;
    high_hz = sg_is_set(high_hz) ? high_hz : low_hz;
    sg_status status = sg_limit_lowest(j->row, low_hz, high_hz, &limit, &at_hz);
    if (status == SG_ERR_MISSING) {
        return refuse(j, "the limit depends on frequency, and the frequency is not known");
    }
    if (!sg_ok(status) && j->row->above_hz > 0.0 && high_hz > j->row->above_hz) {
        return refuse(j, "the document has no value above %.6g Hz, and the band ends at %.6g Hz",
                      j->row->above_hz, high_hz);
    }
    if (!sg_ok(status) && low_hz > 0.0 && low_hz <= high_hz) {
        return refuse(j, "the document has no value below %.6g Hz, and the band starts at %.6g Hz",
                      j->row->node[0].frequency_hz, low_hz);
    }
    if (!sg_ok(status)) {
        return refuse(j, "%.6g to %.6g Hz is not a frequency band", low_hz, high_hz);
    }
    j->out->limit = limit;
    j->out->frequency_hz = at_hz;
    j->out->frequency_from = sg_is_set(at_hz) ? value->frequency_from : "";
    bool below = sg_is_set(at_hz) && at_hz < j->row->node[0].frequency_hz;
    mark_row(j, below);
    if (sg_is_set(at_hz)) {
        sg_working_add(j->working, NULL, "frequency",
                       "%.6g to %.6g Hz (%s), limit lowest at %.6g Hz", low_hz, high_hz,
                       value->frequency_from, at_hz);
    }
    note_curve(j, at_hz, limit);
    return true;
}

static const struct sg_limit_factor *factor_named(const struct sg_limit_set *set, const char *id)
{
    for (size_t i = 0; i < set->nfactor; i++) {
        if (sg_same(set->factor[i].id, id)) {
            return &set->factor[i];
        }
    }
    return NULL;
}

/* Whether a factor was asked for, and with which value (unset = its default). */
static bool asked_for(const struct sg_judged *judged, const char *id, double *value)
{
    *value = judged->factor;
    if (sg_same(judged->factor_id, id)) {
        return true;
    }
    for (size_t i = 0; i < judged->nchosen; i++) {
        *value = judged->chosen[i].value;
        if (sg_same(judged->chosen[i].id, id)) {
            return true;
        }
    }
    *value = SG_UNSET;
    return false;
}

/* A row may cover more classes than a factor: the receptor decides. Of a receptor that is not known
 * only a factor of the whole row can be said to concern it. */
static bool factor_fits(const struct judging *j, const struct sg_limit_factor *factor)
{
    unsigned known = j->judged->building_class;
    if (factor->classes == 0) {
        return true;
    }
    return (factor->classes & j->row->classes) != 0 &&
           (known == 0 || (factor->classes & known) != 0);
}

/* Whether a factor that goes with the class can be told to hold or not. */
static bool class_decides(const struct judging *j, const struct sg_limit_factor *factor)
{
    return j->judged->building_class != 0 || factor->classes == 0 ||
           (j->row->classes & ~factor->classes) == 0;
}

static bool fits_if_asked(const struct judging *j, const char *id)
{
    const struct sg_limit_factor *factor = factor_named(j->set, id);
    if (id == NULL) {
        return true;
    }
    if (factor == NULL) {
        return refuse(j, "%s has no factor '%s'", j->set->id, id);
    }
    if (!factor_fits(j, factor)) {
        return refuse(j, "the factor '%s' does not concern this row", factor->id);
    }
    return true;
}

static bool apply_factor(struct judging *j, const struct sg_limit_factor *factor, bool asked,
                         double given)
{
    double by = asked && sg_is_set(given) ? given : factor->dflt;
    if (!(by >= factor->low && by <= factor->high)) {
        return refuse(j, "the factor '%s' is %.6g; the document allows %.6g to %.6g", factor->id,
                      by, factor->low, factor->high);
    }
    bool level = sg_quantity_is_level(j->row->quantity);
    double before = j->out->limit;
    j->out->limit = level ? before + 20.0 * log10(by) : before * by;
    for (size_t i = 0; i < SG_COUNT(j->steps); i++) {
        j->steps[i] *= by;
    }
    j->out->factor *= by;
    j->out->marks |= sg_grade_unverified(factor->cite.grade) ? SG_MARK_UNVERIFIED : 0u;
    j->out->marks |= asked && sg_is_set(given) ? SG_MARK_USER : 0u;
    sg_working_add(j->working, &factor->cite, factor->id,
                   level ? "%.6g + 20 lg(%.6g) = %.6g %s" : "%.6g x %.6g = %.6g %s", before, by,
                   j->out->limit, sg_quantity_unit(j->row->quantity));
    return true;
}

static bool apply_factors(struct judging *j)
{
    unsigned character = 1u << sg_limit_character(j->set, j->value->technique, j->judged);
    if (!fits_if_asked(j, j->judged->factor_id)) {
        return false;
    }
    for (size_t i = 0; i < j->set->nfactor; i++) {
        const struct sg_limit_factor *factor = &j->set->factor[i];
        double given;
        bool asked = asked_for(j->judged, factor->id, &given);
        if (!factor_fits(j, factor) || (!asked && (factor->characters & character) == 0)) {
            continue;
        }
        if (!asked && !class_decides(j, factor)) {
            return refuse(j, "the building class, which decides the factor '%s', is not known",
                          factor->id);
        }
        if (!apply_factor(j, factor, asked, given)) {
            return false;
        }
    }
    return true;
}

static double ratio_of(const struct sg_limit_row *row, double value, double limit)
{
    return sg_quantity_is_level(row->quantity) ? pow(10.0, (value - limit) / 20.0) : value / limit;
}

/* Levels are compared as a difference, which is how anyone would do it by hand. */
static void note_ratio(const struct judging *j, const char *which, double value, double ratio)
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
static void add_remark(const struct judging *j)
{
    const struct sg_limit_row *row = j->row;
    if (row->category != NULL && j->judged->category == NULL &&
        j->judged->ambient_db > row->node[0].value) {
        refuse(j,
               "the ambient level is above the limit: the document then looks at the rise of the "
               "total, and this limit is the stricter");
    } else if (is_resultant(j->value) && row->axes != SG_AXES_RESULTANT &&
               row->axes != SG_AXES_NONE) {
        refuse(j,
               "a resultant is held against a limit for one component, which is on the safe side");
    } else if (row->count_days > 0.0 && j->out->state == SG_OVER) {
        refuse(j, "counts as passed on %.6g of any %.6g days running: the number of days decides",
               row->count_days, row->of_days);
    }
}

/* Lower value, upper value, then the dose: the step that decides stands as value and limit. */
static void conclude_steps(const struct judging *j)
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
        refuse(j, "between the lower and the upper value the dose over the period decides, and it "
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
        refuse(j, "between the lower value %.4g and the upper %.4g: judged by the dose KB_FTr",
               j->steps[0], j->steps[1]);
    }
    note_ratio(j, "central", out->value_central, out->ratio_central);
    note_ratio(j, "upper", out->value_upper, out->ratio_upper);
}

/* A component against a limit for the resultant: over for certain, within for certain, or open. */
static void conclude_bounded(const struct judging *j)
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
        refuse(j, "the largest component alone is over the limit for the resultant");
    } else if (most * upper <= out->limit) {
        out->state = SG_WITHIN;
        refuse(j, "sqrt(3) times the largest component, the most the resultant can be, is within");
    } else if (most * central <= out->limit) {
        out->state = SG_LIKELY_WITHIN;
        refuse(j, "sqrt(3) times the central component is within, of the upper one it is over");
    } else {
        refuse(j,
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

static void conclude(const struct judging *j)
{
    if (j->row->rule == SG_RULE_TWO_STEP) {
        conclude_steps(j);
        return;
    }
    if (bounded(j)) {
        conclude_bounded(j);
        return;
    }
    struct sg_verdict *out = j->out;
    const struct sg_value *value = j->value;
    double upper = sg_is_set(value->upper) ? fmax(value->upper, value->central) : SG_UNSET;
    out->ratio_central = ratio_of(j->row, value->central, out->limit);
    out->ratio_upper = sg_is_set(upper) ? ratio_of(j->row, upper, out->limit) : SG_UNSET;
    if (passes(j->row, value->central, out->limit)) {
        out->state = SG_OVER;
    } else if (!sg_is_set(upper)) {
        refuse(j, "the central value is at most the limit, but the upper value is not known");
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

static void note_value(const struct judging *j)
{
    const struct sg_value *value = j->value;
    const char *unit = sg_quantity_unit(value->quantity);
    if (sg_is_set(value->central)) {
        sg_working_add(j->working, NULL, "value", "%s %.6g %s central, %.6g %s upper (%s), at %s",
                       sg_quantity_id(value->quantity), value->central, unit, value->upper, unit,
                       value->upper_text != NULL ? value->upper_text : "",
                       sg_position_id(value->position));
    }
    if (j->row != NULL) {
        sg_working_add(j->working, &j->row->cite, "limit row", "%s, %s: %s", j->set->id, j->row->id,
                       j->row->label);
    }
}

static void judge(const struct sg_limit_set *set, const struct sg_limit_row *row,
                  const struct sg_judged *judged, const struct sg_value *value, bool by_band,
                  struct sg_verdict *out, struct sg_working *working)
{
    *out = (struct sg_verdict){
        .state = SG_NOT_DETERMINABLE,
        .set = set,
        .row = row,
        .limit = SG_UNSET,
        .frequency_hz = SG_UNSET,
        .frequency_from = "",
        .factor = 1.0,
        .value_central = value->central,
        .value_upper = value->upper,
        .ratio_central = SG_UNSET,
        .ratio_upper = SG_UNSET,
        .marks = value->marks,
    };
    struct judging j = { .set = set,
                         .row = row,
                         .judged = judged,
                         .value = value,
                         .out = out,
                         .working = working,
                         .by_band = by_band };
    if (sg_grade_unverified(value->grade)) {
        out->marks |= SG_MARK_UNVERIFIED;
    }
    note_value(&j);
    if (in_scope(&j) && comparable(&j) && read_limit(&j) && apply_factors(&j)) {
        conclude(&j);
    }
    if (out->state == SG_NOT_DETERMINABLE) {
        out->limit = out->frequency_hz = out->ratio_central = out->ratio_upper = SG_UNSET;
        out->factor = 1.0;
    }
    sg_working_add(working, NULL, "verdict", "%s%s%s", sg_verdict_id(out->state),
                   out->reason[0] != '\0' ? ": " : "", out->reason);
}

void sg_judge(const struct sg_limit_set *set, const struct sg_limit_row *row,
              const struct sg_judged *judged, const struct sg_value *value, struct sg_verdict *out,
              struct sg_working *working)
{
    judge(set, row, judged, value, false, out, working);
}

void sg_judge_bands(const struct sg_limit_set *set, const struct sg_limit_row *row,
                    const struct sg_judged *judged, const struct sg_value *like,
                    const struct sg_band_value *band, size_t count, struct sg_verdict *out,
                    struct sg_working *working)
{
    size_t worst = SIZE_MAX;
    double worst_ratio = -1.0;
    for (size_t i = 0; row != NULL && i < count; i++) {
        double limit;
        if (sg_ok(sg_limit_at(row, band[i].frequency_hz, &limit)) &&
            ratio_of(row, band[i].value, limit) > worst_ratio) {
            worst_ratio = ratio_of(row, band[i].value, limit);
            worst = i;
        }
    }
    struct sg_value value = *like;
    if (worst == SIZE_MAX) {
        value.central = value.upper = SG_UNSET;
        value.why = "no band of the spectrum lies on the curve";
    } else {
        value.central = value.upper = band[worst].value;
        value.frequency_low_hz = value.frequency_high_hz = band[worst].frequency_hz;
        value.frequency_from = "band of the spectrum with the highest share of its limit";
    }
    judge(set, row, judged, &value, true, out, working);
}

static int urgency(enum sg_verdict_state state)
{
    static const int order[SG_VERDICT_END] = {
        [SG_OVER] = 0, [SG_NOT_DETERMINABLE] = 1, [SG_LIKELY_WITHIN] = 2, [SG_WITHIN] = 3
    };
    return (unsigned)state < SG_VERDICT_END ? order[state] : SG_VERDICT_END;
}

int sg_verdict_compare(const struct sg_verdict *a, const struct sg_verdict *b)
{
    int difference = urgency(a->state) - urgency(b->state);
    if (difference != 0) {
        return difference;
    }
    double ratio_a = sg_is_set(a->ratio_upper) ? a->ratio_upper : -1.0;
    double ratio_b = sg_is_set(b->ratio_upper) ? b->ratio_upper : -1.0;
    return (ratio_a < ratio_b) - (ratio_a > ratio_b);
}
