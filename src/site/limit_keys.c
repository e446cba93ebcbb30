/* limit_keys.c - the tables of keys of limit files: of a set, a row, a factor and a window. */
#include "limit_keys.h"

#define BY_NUMBER(name, function, type)                                                            \
    static const char *name(unsigned i)                                                            \
    {                                                                                              \
        return function((enum type)i);                                                             \
    }
BY_NUMBER(purpose_word, sg_purpose_id, sg_purpose)
BY_NUMBER(position_word, sg_position_id, sg_position)
BY_NUMBER(quantity_word, sg_quantity_id, sg_quantity)
BY_NUMBER(axes_word, sg_axes_id, sg_axes)
BY_NUMBER(period_word, sg_period_id, sg_period)
BY_NUMBER(between_word, sg_interpolation_id, sg_interpolation)
BY_NUMBER(below_word, sg_below_id, sg_below)
BY_NUMBER(grade_word, sg_grade_name, sg_grade)
BY_NUMBER(rule_word, sg_rule_id, sg_rule)
BY_NUMBER(status_word, sg_set_status_id, sg_set_status)
BY_NUMBER(frequency_word, sg_frequency_rule_id, sg_frequency_rule)
BY_NUMBER(exceed_word, sg_exceed_id, sg_exceed)
BY_NUMBER(noise_word, sg_noise_of_id, sg_noise_of)
BY_NUMBER(window_word, sg_window_kind_id, sg_window_kind)
BY_NUMBER(character_word, sg_character_id, sg_character)

static unsigned number_of_bit(unsigned bit)
{
    unsigned number = 0;
    while (bit > 1u) {
        bit >>= 1;
        number++;
    }
    return number;
}

static const char *technique_bit(unsigned bit)
{
    return sg_technique_id((enum sg_technique)number_of_bit(bit));
}

static const char *character_bit(unsigned bit)
{
    return sg_character_id((enum sg_character)number_of_bit(bit));
}

static const char *day_bit(unsigned bit)
{
    static const char *const word[] = { "working-days", "saturday", "holiday" };
    return word[number_of_bit(bit)];
}

#define S(member) offsetof(struct sg_limit_set, member)
#define R(member) offsetof(struct sg_limit_row, member)
#define F(member) offsetof(struct sg_limit_factor, member)
#define W(member) offsetof(struct sg_time_window, member)
#define IS(technique) (S(character) + (technique) * sizeof(enum sg_character))
#define BIT_COUNT(end) number_of_bit(end)

const struct sg_limit_key sg_limit_set_key[] = {
    { "id", SG_AS_TEXT, S(id), NULL, 0, true, 0 },
    { "title", SG_AS_TEXT, S(title), NULL, 0, true, 0 },
    { "jurisdiction", SG_AS_TEXT, S(jurisdiction), NULL, 0, true, 0 },
    { "document", SG_AS_TEXT, S(document), NULL, 0, true, 0 },
    { "edition", SG_AS_TEXT, S(edition), NULL, 0, true, 0 },
    { "legal", SG_AS_TEXT, S(legal), NULL, 0, true, 0 },
    { "status", SG_AS_WORD, S(status), status_word, SG_SET_STATUS_END, false, 0 },
    { "frequency_rule", SG_AS_WORD, S(frequency), frequency_word, SG_FREQUENCY_RULE_END, false, 0 },
    { "ambient_round_dB", SG_AS_NUMBER, S(ambient_round_db), NULL, 0, false, 0 },
    { "rows_are_levels", SG_AS_YES, S(rows_are_levels), NULL, 0, false, 0 },
    { "excluded", SG_AS_BITS, S(excluded), technique_bit, SG_TECHNIQUE_END, false, 0 },
    { "excluded_why", SG_AS_TEXT, S(excluded_why), NULL, 0, false, 0 },
    { "impact_is", SG_AS_WORD, IS(SG_IMPACT), character_word, SG_CHARACTER_END, false, 0 },
    { "vibratory_is", SG_AS_WORD, IS(SG_VIBRATORY), character_word, SG_CHARACTER_END, false, 0 },
    { "press-in_is", SG_AS_WORD, IS(SG_PRESS_IN), character_word, SG_CHARACTER_END, false, 0 },
    { "press-in-jetting_is", SG_AS_WORD, IS(SG_PRESS_IN_JETTING), character_word, SG_CHARACTER_END,
      false, 0 },
    { "press-in-augering_is", SG_AS_WORD, IS(SG_PRESS_IN_AUGERING), character_word,
      SG_CHARACTER_END, false, 0 },
    { "weighting", SG_AS_TEXT, S(reading.weighting), NULL, 0, false, 0 },
    { "reference", SG_AS_NUMBER, S(reading.reference), NULL, 0, false, 0 },
    { "reference_unit", SG_AS_TEXT, S(reading.reference_unit), NULL, 0, false, 0 },
    { "tau_s", SG_AS_NUMBER, S(reading.tau_s), NULL, 0, false, 0 },
    { "low_Hz", SG_AS_NUMBER, S(reading.low_hz), NULL, 0, false, 0 },
    { "high_Hz", SG_AS_NUMBER, S(reading.high_hz), NULL, 0, false, 0 },
    { "statistic", SG_AS_TEXT, S(reading.statistic), NULL, 0, false, 0 },
    { "block_s", SG_AS_NUMBER, S(reading.block_s), NULL, 0, false, 0 },
    { "rating_day_h", SG_AS_NUMBER, S(reading.rating_day_h), NULL, 0, false, 0 },
    { "rating_night_h", SG_AS_NUMBER, S(reading.rating_night_h), NULL, 0, false, 0 },
    { "rest_weight", SG_AS_NUMBER, S(reading.rest_weight), NULL, 0, false, 0 },
    { "consecutive_days", SG_AS_NUMBER, S(consecutive_days), NULL, 0, false, 0 },
    { "count_days", SG_AS_NUMBER, S(count_days[0]), NULL, 0, false, 0 },
    { "of_days", SG_AS_NUMBER, S(of_days[0]), NULL, 0, false, 0 },
    { "count_days_long", SG_AS_NUMBER, S(count_days[1]), NULL, 0, false, 0 },
    { "of_days_long", SG_AS_NUMBER, S(of_days[1]), NULL, 0, false, 0 },
    { "rare_per_day", SG_AS_NUMBER, S(rare_per_day), NULL, 0, false, 0 },
    { "short_up_to_per_min", SG_AS_NUMBER, S(short_up_to_per_min), NULL, 0, false, 0 },
    { "minor_times", SG_AS_NUMBER, S(minor_times), NULL, 0, false, 0 },
    { "major_times", SG_AS_NUMBER, S(major_times), NULL, 0, false, 0 },
    { "complaint_triggers", SG_AS_YES, S(complaint_triggers), NULL, 0, false, 0 },
    { "by_choice", SG_AS_YES, S(by_choice), NULL, 0, false, 0 },
    { "bridges", SG_AS_BITS, S(bridges), sg_bridge_id, 4, false, 0 },
    { "bridge_refused", SG_AS_TEXT, S(bridge_refused), NULL, 0, false, 0 },
    { "exceed", SG_AS_WORD, S(exceed), exceed_word, SG_EXCEED_END, false, 0 },
    { "tolerance", SG_AS_TEXT, S(tolerance), NULL, 0, false, 0 },
    { "requires", SG_AS_BITS, S(requires), sg_requirement_id, 5, false, 0 },
    { "rating", SG_AS_TEXT, S(rating), NULL, 0, false, 0 },
    { "noise_of", SG_AS_WORD, S(noise_of), noise_word, SG_NOISE_OF_END, false, 0 },
    { "action_above_dB", SG_AS_NUMBER, S(action_above_db), NULL, 0, false, 0 },
};

const struct sg_limit_key sg_limit_row_key[] = {
    { "id", SG_AS_TEXT, R(id), NULL, 0, true, 0 },
    { "label", SG_AS_TEXT, R(label), NULL, 0, true, 0 },
    { "purpose", SG_AS_WORD, R(purpose), purpose_word, SG_PURPOSE_END, true, 0 },
    { "classes", SG_AS_BITS, R(classes), sg_class_id, 12, false, 0 },
    { "uses", SG_AS_BITS, R(uses), sg_use_id, 9, false, 0 },
    { "areas", SG_AS_BITS, R(areas), sg_area_id, 6, false, 0 },
    { "position", SG_AS_WORD, R(position), position_word, SG_POSITION_END, true, 0 },
    { "quantity", SG_AS_WORD, R(quantity), quantity_word, SG_Q_END, true, 0 },
    { "axes", SG_AS_WORD, R(axes), axes_word, SG_AXES_END, true, 0 },
    { "characters", SG_AS_BITS, R(characters), character_bit, SG_CHARACTER_END, false, 0 },
    { "techniques", SG_AS_BITS, R(techniques), technique_bit, SG_TECHNIQUE_END, false, 0 },
    { "period", SG_AS_WORD, R(period), period_word, SG_PERIOD_END, false, 0 },
    { "category", SG_AS_TEXT, R(category), NULL, 0, false, 0 },
    { "averaging_h", SG_AS_NUMBER, R(averaging_h), NULL, 0, false, 0 },
    { "between", SG_AS_WORD, R(interpolation), between_word, SG_INTERPOLATION_END, false, 0 },
    { "below", SG_AS_WORD, R(below), below_word, SG_BELOW_END, false, 0 },
    { "below_displacement_mm", SG_AS_NUMBER, R(below_displacement_mm), NULL, 0, false, 0 },
    { "below_grade", SG_AS_WORD, R(below_grade), grade_word, SG_GRADE_END, false, 0 },
    { "effect", SG_AS_TEXT, R(effect), NULL, 0, true, 0 },
    { "on_request", SG_AS_YES, R(on_request), NULL, 0, false, 0 },
    { "locus", SG_AS_TEXT, R(cite.locus), NULL, 0, true, 0 },
    { "grade", SG_AS_WORD, R(cite.grade), grade_word, SG_GRADE_END, true, 0 },
    { "rule", SG_AS_WORD, R(rule), rule_word, SG_RULE_END, false, 0 },
    { "above_Hz", SG_AS_NUMBER, R(above_hz), NULL, 0, false, 0 },
    { "percent", SG_AS_NUMBER, R(percent), NULL, 0, false, 0 },
    { "upper_value", SG_AS_NUMBER, R(upper_value), NULL, 0, false, 0 },
    { "dose_value", SG_AS_NUMBER, R(dose_value), NULL, 0, false, 0 },
    { "days_linear", SG_AS_YES, R(days_linear), NULL, 0, false, 0 },
    { "days_above", SG_AS_NUMBER, R(days_above), NULL, 0, false, 0 },
    { "days_to", SG_AS_NUMBER, R(days_to), NULL, 0, false, 0 },
    { "by_background", SG_AS_YES, R(by_background), NULL, 0, false, 0 },
    { "rise_dB", SG_AS_NUMBER, R(rise_db), NULL, 0, false, 0 },
    { "times_predicted", SG_AS_NUMBER, R(times_predicted), NULL, 0, false, 0 },
    { "count_days", SG_AS_NUMBER, R(count_days), NULL, 0, false, 0 },
    { "of_days", SG_AS_NUMBER, R(of_days), NULL, 0, false, 0 },
    { "passed_at", SG_AS_YES, R(passed_at), NULL, 0, false, 0 },
    { "from_h", SG_AS_NUMBER, R(from_h), NULL, 0, false, 0 },
    { "to_h", SG_AS_NUMBER, R(to_h), NULL, 0, false, 0 },
    { "on_days", SG_AS_BITS, R(on_days), day_bit, 3, false, 0 },
    { "other_sources", SG_AS_BITS, R(other_sources), sg_other_id, 4, false, 0 },
};

const struct sg_limit_key sg_limit_factor_key[] = {
    { "id", SG_AS_TEXT, F(id), NULL, 0, true, 0 },
    { "low", SG_AS_NUMBER, F(low), NULL, 0, true, 1e-6 },
    { "high", SG_AS_NUMBER, F(high), NULL, 0, true, 1e-6 },
    { "default", SG_AS_NUMBER, F(dflt), NULL, 0, true, 1e-6 },
    { "applied_to", SG_AS_BITS, F(characters), character_bit, SG_CHARACTER_END, false, 0 },
    { "classes", SG_AS_BITS, F(classes), sg_class_id, 12, false, 0 },
    { "meaning", SG_AS_TEXT, F(meaning), NULL, 0, true, 0 },
    { "decided_by", SG_AS_TEXT, F(decided_by), NULL, 0, true, 0 },
    { "locus", SG_AS_TEXT, F(cite.locus), NULL, 0, true, 0 },
    { "grade", SG_AS_WORD, F(cite.grade), grade_word, SG_GRADE_END, true, 0 },
};

const struct sg_limit_key sg_limit_window_key[] = {
    { "kind", SG_AS_WORD, W(kind), window_word, SG_WINDOW_END, true, 0 },
    { "start_h", SG_AS_NUMBER, W(start_h), NULL, 0, true, 0 },
    { "end_h", SG_AS_NUMBER, W(end_h), NULL, 0, true, 0 },
    { "days", SG_AS_BITS, W(days), day_bit, 3, true, 0 },
    { "zone", SG_AS_TEXT, W(zone), NULL, 0, false, 0 },
    { "most_h", SG_AS_NUMBER, W(most_h), NULL, 0, false, 0 },
    { "locus", SG_AS_TEXT, W(cite.locus), NULL, 0, true, 0 },
    { "grade", SG_AS_WORD, W(cite.grade), grade_word, SG_GRADE_END, true, 0 },
};

const size_t sg_limit_set_key_count = SG_COUNT(sg_limit_set_key);
const size_t sg_limit_row_key_count = SG_COUNT(sg_limit_row_key);
const size_t sg_limit_factor_key_count = SG_COUNT(sg_limit_factor_key);
const size_t sg_limit_window_key_count = SG_COUNT(sg_limit_window_key);
