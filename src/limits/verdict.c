/* verdict.c - a value against a limit, with every reason for which it cannot be said.
 *
 * Nothing passes in silence: whatever the row's document does not cover is "not determinable". A
 * resultant is at least as large as each component, so that holding a resultant against a component
 * limit is on the safe side and the reverse is not.
 */
#include <math.h>
#include <stdio.h>

#include "limits/judging.h"

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

bool sg_limit_refuse(const struct sg_judging *j, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(j->out->reason, sizeof j->out->reason, format, arguments);
    va_end(arguments);
    return false;
}

/* Tells how the category came about; false when it cannot be told. */
static bool category_known(const struct sg_judging *j)
{
    if (j->row->category == NULL) {
        return true;
    }
    const char *category = sg_limit_category(j->set, j->judged, j->row->period);
    if (category == NULL) {
        return sg_limit_refuse(j,
                               "the ambient noise level, which decides the category, is not known");
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

static bool in_scope(const struct sg_judging *j)
{
    enum sg_technique technique = j->value->technique;
    if ((j->set->excluded & SG_TECHNIQUE_BIT(technique)) != 0) {
        j->out->outside_scope = true;
        return sg_limit_refuse(j, "%s is outside the document's scope: %s",
                               sg_technique_id(technique), j->set->excluded_why);
    }
    if (j->row == NULL) {
        sg_limit_why_none(j->set, j->judged, j->out->reason, sizeof j->out->reason);
        return false;
    }
    if ((j->row->techniques & SG_TECHNIQUE_BIT(technique)) == 0) {
        return sg_limit_refuse(
            j, "the row does not hold for %s driving%s", sg_technique_id(technique),
            (j->row->other_sources & SG_OTHER_BLASTING) != 0 ? ": it is about blasting" : "");
    }
    if (!sg_limit_holds_for(j->set, j->row, j->judged, technique)) {
        enum sg_character character = sg_limit_character(j->set, technique, j->judged);
        enum sg_character other = character == SG_SHORT_TERM ? SG_CONTINUOUS : SG_SHORT_TERM;
        return sg_limit_refuse(j, "the value holds for %s vibration only, and %s counts as %s",
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

bool sg_limit_is_resultant(const struct sg_value *value)
{
    return value->quantity == SG_Q_PVS || value->quantity == SG_Q_VSC ||
           value->axes == SG_AXES_RESULTANT;
}

static bool period_fits(const struct sg_judging *j)
{
    enum sg_period limit = j->row->period, value = j->value->period;
    if (limit == SG_ANY_TIME || value == SG_ANY_TIME || limit == value) {
        return true;
    }
    return limit == SG_NIGHT && value == SG_EVENING; /* the stricter, see sg_limit_covers */
}

/* The resultant is at least the largest component and at most sqrt(3) times it: a component says
 * something of a resultant limit, and the bounds are shown. */
bool sg_limit_bounded(const struct sg_judging *j)
{
    return j->row->quantity == SG_Q_PVS && j->value->quantity == SG_Q_PPV &&
           j->value->axes == SG_AXES_LARGEST && j->row->axes == SG_AXES_RESULTANT;
}

static bool comparable(const struct sg_judging *j)
{
    const struct sg_value *value = j->value;
    const struct sg_limit_row *row = j->row;
    if (!sg_is_set(value->central)) {
        return sg_limit_refuse(j, "%s",
                               value->why != NULL ? value->why : "there is no value to judge");
    }
    if (row->rule == SG_RULE_BANDS && !j->by_band) {
        return sg_limit_refuse(j, "%s",
                               j->set->bridge_refused != NULL
                                   ? j->set->bridge_refused
                                   : "the limit is compared with a spectrum, band by band");
    }
    if (!sg_limit_bounded(j) && !quantity_safe(value->quantity, row->quantity)) {
        return sg_limit_refuse(j, "the limit is stated as %s, the value is %s",
                               sg_quantity_id(row->quantity), sg_quantity_id(value->quantity));
    }
    if (value->position != row->position) {
        return sg_limit_refuse(
            j,
            "the limit holds at %s, the value at %s, and no transfer between them is "
            "given",
            sg_position_id(row->position), sg_position_id(value->position));
    }
    enum sg_axes axes = sg_limit_is_resultant(value) ? SG_AXES_RESULTANT : value->axes;
    if (!sg_limit_bounded(j) && !axes_safe(axes, row->axes)) {
        return sg_limit_refuse(
            j,
            "the limit is stated on the axis '%s', the value on '%s', which may be "
            "smaller",
            sg_axes_id(row->axes), sg_axes_id(axes));
    }
    if (!period_fits(j)) {
        return sg_limit_refuse(j, "the limit holds for the %s, the value for the %s",
                               sg_period_id(row->period), sg_period_id(value->period));
    }
    return true;
}

/* The formula between two nodes with its numbers, as far as the row has one there. */
static void note_curve(const struct sg_judging *j, double frequency_hz, double limit)
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

static void mark_row(const struct sg_judging *j, bool below)
{
    if (sg_grade_unverified(j->row->cite.grade) ||
        (below && sg_grade_unverified(j->row->below_grade))) {
        j->out->marks |= SG_MARK_UNVERIFIED;
    }
}

/* Level over the ambient or background level, at least the floor. */
static bool read_rise(const struct sg_judging *j)
{
    const struct sg_limit_row *row = j->row;
    double around_db = row->by_background ? j->judged->background_db : j->judged->ambient_db;
    bool known = row->by_background ? around_db > 0.0 : sg_is_set(around_db);
    const char *what = row->by_background ? "background" : "ambient";
    if (!known) {
        return sg_limit_refuse(j, "the limit goes by the %s level, which is not known", what);
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
static bool read_difference(struct sg_judging *j)
{
    const struct sg_limit_row *row = j->row;
    const struct sg_value *predicted = j->judged->predicted;
    const char *unit = sg_quantity_unit(row->quantity);
    if (j->value->origin != SG_MEASURED) {
        return sg_limit_refuse(j, "the row holds measured values against the predicted ones");
    }
    if (predicted == NULL || !sg_is_set(predicted->upper)) {
        return sg_limit_refuse(j, "the limit goes by the predicted value, which is not known");
    }
    if (predicted->quantity != row->quantity || predicted->position != row->position) {
        return sg_limit_refuse(j, "the prediction is of another quantity or for another place");
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

static bool read_steps(struct sg_judging *j)
{
    const struct sg_limit_row *row = j->row;
    sg_status status =
        sg_limit_steps(row, j->judged->days, &j->steps[0], &j->steps[1], &j->steps[2]);
    if (status == SG_ERR_MISSING) {
        return sg_limit_refuse(j,
                               "the limit goes by the number of days of work, which is not known");
    }
    if (!sg_ok(status)) {
        return sg_limit_refuse(j, "no value is known for %.6g days of work", j->judged->days);
    }
    j->out->limit = j->steps[0];
    mark_row(j, false);
    sg_working_add(j->working, &row->cite, "limit", "lower %.4g, upper %.4g, dose %.4g%s%.4g%s",
                   j->steps[0], j->steps[1], j->steps[2], row->ndays > 0 ? " for " : " (",
                   row->ndays > 0 ? j->judged->days : 1.0, row->ndays > 0 ? " days" : " set)");
    return true;
}

static bool read_limit(struct sg_judging *j)
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
        return sg_limit_refuse(j, "the limit depends on frequency, and the frequency is not known");
    }
    if (!sg_ok(status) && j->row->above_hz > 0.0 && high_hz > j->row->above_hz) {
        return sg_limit_refuse(
            j, "the document has no value above %.6g Hz, and the band ends at %.6g Hz",
            j->row->above_hz, high_hz);
    }
    if (!sg_ok(status) && low_hz > 0.0 && low_hz <= high_hz) {
        return sg_limit_refuse(
            j, "the document has no value below %.6g Hz, and the band starts at %.6g Hz",
            j->row->node[0].frequency_hz, low_hz);
    }
    if (!sg_ok(status)) {
        return sg_limit_refuse(j, "%.6g to %.6g Hz is not a frequency band", low_hz, high_hz);
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

static void note_value(const struct sg_judging *j)
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
    struct sg_judging j = { .set = set,
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
    if (in_scope(&j) && comparable(&j) && read_limit(&j) && sg_limit_apply_factors(&j)) {
        sg_limit_conclude(&j);
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
            sg_limit_ratio(row, band[i].value, limit) > worst_ratio) {
            worst_ratio = sg_limit_ratio(row, band[i].value, limit);
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
