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
        return refuse(j, "the row does not hold for %s driving", sg_technique_id(technique));
    }
    if (!sg_limit_holds_for(j->set, j->row, technique)) {
        enum sg_character character = j->set->character[technique];
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

static bool comparable(const struct judging *j)
{
    const struct sg_value *value = j->value;
    const struct sg_limit_row *row = j->row;
    if (!sg_is_set(value->central)) {
        return refuse(j, "%s", value->why != NULL ? value->why : "there is no value to judge");
    }
    if (!quantity_safe(value->quantity, row->quantity)) {
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
    if (!axes_safe(axes, row->axes)) {
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
        } else {
            sg_working_add(j->working, &row->cite, "limit",
                           "%.6g + (%.6g - %.6g) (%.6g - %.6g) / (%.6g - %.6g) = %.6g %s", a->value,
                           b->value, a->value, frequency_hz, a->frequency_hz, b->frequency_hz,
                           a->frequency_hz, limit, unit);
        }
    }
}

static bool read_limit(const struct judging *j)
{
    const struct sg_value *value = j->value;
    double low_hz = value->frequency_low_hz, high_hz = value->frequency_high_hz;
    double limit = SG_UNSET, at_hz = SG_UNSET;
    low_hz = sg_is_set(low_hz) ? low_hz : high_hz;
    high_hz = sg_is_set(high_hz) ? high_hz : low_hz;
    sg_status status = sg_limit_lowest(j->row, low_hz, high_hz, &limit, &at_hz);
    if (status == SG_ERR_MISSING) {
        return refuse(j, "the limit depends on frequency, and the frequency is not known");
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
    if (sg_grade_unverified(j->row->cite.grade) ||
        (below && sg_grade_unverified(j->row->below_grade))) {
        j->out->marks |= SG_MARK_UNVERIFIED;
    }
    if (sg_is_set(at_hz)) {
        sg_working_add(j->working, NULL, "frequency",
                       "%.6g to %.6g Hz (%s), limit lowest at %.6g Hz", low_hz, high_hz,
                       value->frequency_from, at_hz);
    }
    note_curve(j, at_hz, limit);
    return true;
}

static const struct sg_limit_factor *chosen_factor(const struct judging *j)
{
    for (size_t i = 0; i < j->set->nfactor; i++) {
        if (sg_same(j->set->factor[i].id, j->judged->factor_id)) {
            return &j->set->factor[i];
        }
    }
    return NULL;
}

/* A row may cover more classes than a factor: the receptor decides, when it is known. */
static bool factor_fits(const struct judging *j, const struct sg_limit_factor *factor)
{
    unsigned known = j->judged->building_class;
    if (factor->classes == 0) {
        return true;
    }
    return (factor->classes & j->row->classes) != 0 &&
           (known == 0 || (factor->classes & known) != 0);
}

static bool apply_factors(const struct judging *j)
{
    const struct sg_limit_factor *chosen = chosen_factor(j);
    unsigned character = 1u << j->set->character[j->value->technique];
    if (j->judged->factor_id != NULL && chosen == NULL) {
        return refuse(j, "%s has no factor '%s'", j->set->id, j->judged->factor_id);
    }
    if (chosen != NULL && !factor_fits(j, chosen)) {
        return refuse(j, "the factor '%s' does not concern this row", chosen->id);
    }
    for (size_t i = 0; i < j->set->nfactor; i++) {
        const struct sg_limit_factor *factor = &j->set->factor[i];
        bool asked = factor == chosen;
        if (!factor_fits(j, factor) || (!asked && (factor->characters & character) == 0)) {
            continue;
        }
        double by = asked && sg_is_set(j->judged->factor) ? j->judged->factor : factor->dflt;
        if (!(by >= factor->low && by <= factor->high)) {
            return refuse(j, "the factor '%s' is %.6g; the document allows %.6g to %.6g",
                          factor->id, by, factor->low, factor->high);
        }
        bool level = sg_quantity_is_level(j->row->quantity);
        double before = j->out->limit;
        j->out->limit = level ? before + 20.0 * log10(by) : before * by;
        j->out->factor *= by;
        j->out->marks |= sg_grade_unverified(factor->cite.grade) ? SG_MARK_UNVERIFIED : 0u;
        j->out->marks |= asked && sg_is_set(j->judged->factor) ? SG_MARK_USER : 0u;
        sg_working_add(j->working, &factor->cite, factor->id,
                       level ? "%.6g + 20 lg(%.6g) = %.6g %s" : "%.6g x %.6g = %.6g %s", before, by,
                       j->out->limit, sg_quantity_unit(j->row->quantity));
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
    }
}

static void conclude(const struct judging *j)
{
    struct sg_verdict *out = j->out;
    const struct sg_value *value = j->value;
    double upper = sg_is_set(value->upper) ? fmax(value->upper, value->central) : SG_UNSET;
    out->ratio_central = ratio_of(j->row, value->central, out->limit);
    out->ratio_upper = sg_is_set(upper) ? ratio_of(j->row, upper, out->limit) : SG_UNSET;
    if (value->central > out->limit) {
        out->state = SG_OVER;
    } else if (!sg_is_set(upper)) {
        refuse(j, "the central value is at most the limit, but the upper value is not known");
        return;
    } else {
        out->state = upper <= out->limit ? SG_WITHIN : SG_LIKELY_WITHIN;
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

void sg_judge(const struct sg_limit_set *set, const struct sg_limit_row *row,
              const struct sg_judged *judged, const struct sg_value *value, struct sg_verdict *out,
              struct sg_working *working)
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
    struct judging j = { set, row, judged, value, out, working };
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
