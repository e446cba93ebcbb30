/* limits_tables.c - the limit sets, one set with its rows and rules, and its factors, as tables. */
#include "limits_tables.h"

#include "stillground/noise_rules.h"

static const char *check_text(enum sg_grade grade)
{
    return sg_grade_unverified(grade) ? "unverified" : "";
}

static size_t unverified_rows(const struct sg_limit_set *set)
{
    size_t count = 0;
    for (size_t i = 0; i < set->nrow; i++)
        count += sg_grade_unverified(set->row[i].cite.grade) ? 1 : 0;
    return count;
}

void sg_limits_fill_sets(struct sg_table *table)
{
    static const struct sg_column columns[] = {
        { "id", "id", 0, false },
        { "title", "limit set", 0, false },
        { "where", "where", 0, false },
        { "legal", "kind", 0, false },
        { "quantity", "quantity", 0, false },
        { "rows", "rows", 0, true },
        { "unverified", "unverified\nrows", 0, true },
        { "document", "document", 0, false },
        { "edition", "edition", 0, false },
    };
    sg_table_init(table, "limit-sets", "Limit sets", columns, SG_COUNT(columns));
    for (size_t i = 0; i < sg_limit_set_count(); i++) {
        const struct sg_limit_set *set = sg_limit_set_at(i);
        sg_table_text(table, set->id);
        sg_table_text(table, set->title);
        sg_table_text(table, set->jurisdiction);
        sg_table_text(table, set->legal);
        sg_table_text(table, sg_quantity_id(set->row[0].quantity));
        sg_table_number(table, (double)set->nrow);
        sg_table_number(table, (double)unverified_rows(set));
        sg_table_text(table, set->document);
        sg_table_text(table, set->edition);
    }
    size_t rows = 0, unverified = 0;
    for (size_t i = 0; i < sg_limit_set_count(); i++) {
        rows += sg_limit_set_at(i)->nrow;
        unverified += unverified_rows(sg_limit_set_at(i));
    }
    sg_table_note(table,
                  "%zu of %zu rows are unverified: recalled, check them in an official copy.",
                  unverified, rows);
    sg_table_note(table, "The permit, local codes and the owner of an asset override every set.");
}

static void put_bits(struct sg_table *table, unsigned bits, unsigned all,
                     const char *(*name)(unsigned))
{
    struct sg_text text = SG_TEXT_INIT;
    for (unsigned bit = 1; bit <= all && bits != all; bit <<= 1) {
        if ((bits & bit) != 0)
            sg_text_printf(&text, "%s%s", text.length > 0 ? " " : "", name(bit));
    }
    sg_table_text(table, bits == all ? "any" : sg_text_string(&text));
    sg_text_release(&text);
}

static void put_curve(struct sg_table *table, const struct sg_limit_row *row)
{
    struct sg_text text = SG_TEXT_INIT;
    if (row->rule == SG_RULE_TWO_STEP && row->ndays > 0) {
        for (size_t i = 0; i < row->ndays; i++)
            sg_text_printf(&text, "%sup to %g days %g / %g / %g", i > 0 ? ", " : "",
                           row->days[i].to, row->days[i].lower, row->days[i].upper,
                           row->days[i].dose);
    } else if (row->rule == SG_RULE_TWO_STEP) {
        sg_text_printf(&text, "%g / %g / %g", row->node[0].value, row->upper_value,
                       row->dose_value);
    } else if (row->rule == SG_RULE_RISE) {
        sg_text_printf(&text, "%s + %.3g", row->by_background ? "background" : "ambient",
                       row->rise_db);
        if (row->node[0].value > 0)
            sg_text_printf(&text, ", at least %g", row->node[0].value);
    } else if (row->rule == SG_RULE_DIFFERENCE) {
        bool level = sg_quantity_is_level(row->quantity);
        sg_text_printf(&text, level ? "predicted + %.3g" : "predicted x %.3g",
                       level ? row->rise_db : row->times_predicted);
    } else if (row->nnode == 1 && row->below == SG_BELOW_EXTEND) {
        sg_text_printf(&text, "%.6g", row->node[0].value);
    } else {
        for (size_t i = 0; i < row->nnode; i++)
            sg_text_printf(&text, "%s%.6g at %.4g Hz", i > 0 ? ", " : "", row->node[i].value,
                           row->node[i].frequency_hz);
        if (row->nnode > 1)
            sg_text_printf(&text, ", %s", sg_interpolation_id(row->interpolation));
        if (row->below == SG_BELOW_DISPLACEMENT)
            sg_text_printf(&text, "; below: %.4g mm", row->below_displacement_mm);
        else if (row->below == SG_BELOW_NONE)
            sg_text_put(&text, "; below: none");
    }
    if (row->count_days > 0)
        sg_text_printf(&text, " on %g of any %g days", row->count_days, row->of_days);
    sg_table_text(table, sg_text_string(&text));
    sg_text_release(&text);
}

/* The days on which a window holds; nothing when it is all of them. */
static const char *days_text(unsigned days)
{
    static const struct {
        unsigned days;
        const char *text;
    } known[] = {
        { SG_ALL_DAYS, "" },
        { SG_WORKING_DAYS, " on working days" },
        { SG_SATURDAY, " on Saturdays" },
        { SG_HOLIDAY, " on Sundays and holidays" },
        { (unsigned)SG_WORKING_DAYS | (unsigned)SG_SATURDAY, " on working days and Saturdays" },
    };
    for (size_t i = 0; i < SG_COUNT(known); i++) {
        if (days == known[i].days)
            return known[i].text;
    }
    return " on some days";
}

static void note_hours(struct sg_table *table, const struct sg_limit_set *set)
{
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < set->nwindow; i++) {
        const struct sg_time_window *window = &set->window[i];
        sg_text_printf(&text, "%s%s%s%s %g to %g h%s%s", i > 0 ? "; " : "",
                       sg_window_kind_id(window->kind), window->zone ? ", zone " : "",
                       window->zone ? window->zone : "", window->start_h, window->end_h,
                       days_text(window->days),
                       sg_grade_unverified(window->cite.grade) ? " (unverified)" : "");
    }
    if (set->nwindow > 0)
        sg_table_note(table, "Hours: %s.", sg_text_string(&text));
    if (set->consecutive_days > 0)
        sg_table_note(table, "At most %g days running.", set->consecutive_days);
    for (size_t i = 0; i < SG_COUNT(set->count_days); i++)
        if (set->count_days[i] > 0)
            sg_table_note(table, "Counts when passed on %g of any %g days running.",
                          set->count_days[i], set->of_days[i]);
    sg_text_release(&text);
}

static void put_words(struct sg_text *text, unsigned bits, unsigned end,
                      const char *(*name)(unsigned))
{
    for (unsigned bit = 1; bit < end; bit <<= 1) {
        if (bits & bit)
            sg_text_printf(text, "%s%s", text->length > 0 ? ", " : "", name(bit));
    }
}

/* What follows from passing a value, and what may stand for one that was not measured. */
static void note_consequences(struct sg_table *table, const struct sg_limit_set *set)
{
    struct sg_text text = SG_TEXT_INIT;
    if (set->minor_times > 0)
        sg_table_note(table, "Minor damage possible from %g times the value on.", set->minor_times);
    if (set->major_times > 0)
        sg_table_note(table, "Major damage possible from %g times the value on.", set->major_times);
    if (set->rare_per_day > 0)
        sg_table_note(table, "Up to %g events a day are rare.", set->rare_per_day);
    if (set->short_up_to_per_min > 0)
        sg_table_note(table, "Blows faster than %g a minute count as continuous.",
                      set->short_up_to_per_min);
    if (set->complaint_triggers)
        sg_table_note(table, "A complaint is looked into whatever the value.");
    put_words(&text, set->bridges, SG_BRIDGE_END, sg_bridge_id);
    if (set->bridges)
        sg_table_note(table, "Estimates from a peak velocity that it leaves room for: %s.",
                      sg_text_string(&text));
    if (set->bridge_refused)
        sg_table_note(table, "Other estimates are refused: %s.", set->bridge_refused);
    sg_text_release(&text);
}

/* What is done to a predicted level before it is held against the set. */
static void note_rating(struct sg_table *table, const struct sg_limit_set *set)
{
    for (size_t i = 0; set->rating && i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        if (sg_same(row->rule, set->rating))
            sg_table_note(table, "Predicted levels are rated by %s first, %s: %s (%s, %s [%s]).",
                          row->rule, sg_rating_column_id(row->column), row->meaning,
                          row->cite.document, row->cite.locus, sg_grade_name(row->cite.grade));
    }
    if (set->noise_of != SG_NOISE_OF_WORKS)
        sg_table_note(table, "Held against the noise of: %s.", sg_noise_of_id(set->noise_of));
    if (set->action_above_db > 0)
        sg_table_note(table, "Measures are ordered more than %g dB over a value.",
                      set->action_above_db);
}

/* What a set says beside its rows. */
static void note_rules(struct sg_table *table, const struct sg_limit_set *set)
{
    struct sg_text text = SG_TEXT_INIT;
    if (set->status != SG_SET_CURRENT)
        sg_table_note(table, "Status: %s.", sg_set_status_id(set->status));
    if (set->reading.statistic)
        sg_table_note(table, "Read as: %s%s%s.", set->reading.statistic,
                      set->reading.weighting ? "; weighting " : "",
                      set->reading.weighting ? set->reading.weighting : "");
    if (set->reading.reference > 0)
        sg_table_note(table, "Level reference: %g %s.", set->reading.reference,
                      set->reading.reference_unit);
    note_hours(table, set);
    note_rating(table, set);
    put_words(&text, set->requires, SG_NEEDS_END, sg_requirement_id);
    if (set->requires)
        sg_table_note(table, "Asked for: %s.", sg_text_string(&text));
    note_consequences(table, set);
    if (set->exceed != SG_EXCEED_REVIEW)
        sg_table_note(table, "Passing it means: %s.", sg_exceed_id(set->exceed));
    if (set->tolerance)
        sg_table_note(table, "Tolerance: %s.", set->tolerance);
    sg_text_release(&text);
}

static const char *character_text(unsigned characters)
{
    if (characters == ((1u << SG_SHORT_TERM) | (1u << SG_CONTINUOUS)))
        return "any";
    return sg_character_id(characters == 1u << SG_SHORT_TERM ? SG_SHORT_TERM : SG_CONTINUOUS);
}

static void put_character(struct sg_table *table, const struct sg_limit_row *row)
{
    sg_table_text(table, row->techniques == 0 ? "no piling" : character_text(row->characters));
}

static void put_row(struct sg_table *table, const struct sg_limit_row *row)
{
    sg_table_text(table, row->id);
    sg_table_text(table, row->label);
    put_curve(table, row);
    sg_table_text(table, sg_quantity_unit(row->quantity));
    sg_table_text(table, sg_quantity_id(row->quantity));
    sg_table_text(table, sg_axes_id(row->axes));
    sg_table_text(table, sg_position_id(row->position));
    put_character(table, row);
    sg_table_text(table, sg_period_id(row->period));
    put_bits(table, row->classes, SG_ANY_CLASS, sg_class_id);
    put_bits(table, row->uses, SG_ANY_USE, sg_use_id);
    put_bits(table, row->areas, SG_ANY_AREA, sg_area_id);
    bool hours = row->to_h > row->from_h || row->to_h < row->from_h;
    sg_table_text(table, hours ? "when worked" : row->on_request ? "on request" : "yes");
    sg_table_text(table, row->effect);
    sg_table_text(table, row->cite.locus);
    sg_table_text(table, sg_grade_name(row->cite.grade));
    sg_table_text(table, check_text(row->cite.grade));
}

void sg_limits_fill_rows(struct sg_table *table, const struct sg_limit_set *set)
{
    static const struct sg_column columns[] = {
        { "id", "row", 0, false },
        { "label", "for", 0, false },
        { "limit", "limit", 0, false },
        { "unit", "unit", 0, false },
        { "quantity", "quantity", 0, false },
        { "axes", "axes", 0, false },
        { "position", "position", 0, false },
        { "character", "character", 0, false },
        { "period", "period", 0, false },
        { "classes", "classes", 0, false },
        { "uses", "uses", 0, false },
        { "areas", "areas", 0, false },
        { "judged", "judged", 0, false },
        { "effect", "above it", 0, false },
        { "locus", "place", 0, false },
        { "grade", "grade", 0, false },
        { "check", "check", 0, false },
    };
    const struct sg_document *document = sg_document_find(set->document);
    sg_table_init(table, "limit-rows", set->title, columns, SG_COUNT(columns));
    for (size_t i = 0; i < set->nrow; i++)
        put_row(table, &set->row[i]);
    for (size_t i = 0; set->disagreement && set->disagreement[i]; i++)
        sg_table_note(table, "Sources disagree: %s", set->disagreement[i]);
    for (size_t i = 0; set->note && set->note[i]; i++)
        sg_table_note(table, "%s", set->note[i]);
    note_rules(table, set);
    if (set->excluded != 0)
        sg_table_note(table, "Outside its scope: %s.", set->excluded_why);
    if (document)
        sg_table_note(table, "%s: %s, %s; read: %s.", document->key, document->title,
                      document->edition, document->extent);
    sg_table_note(table, "The permit, local codes and the owner of an asset override every value.");
}

void sg_limits_fill_factors(struct sg_table *table, const struct sg_limit_set *set)
{
    static const struct sg_column columns[] = {
        { "id", "factor", 0, false },
        { "low", "from", 3, true },
        { "high", "to", 3, true },
        { "default", "default", 3, true },
        { "applied", "applied to", 0, false },
        { "meaning", "meaning", 0, false },
        { "decided_by", "decided by", 0, false },
        { "locus", "place", 0, false },
        { "grade", "grade", 0, false },
        { "check", "check", 0, false },
    };
    sg_table_init(table, "limit-factors", "Factors on the limit", columns, SG_COUNT(columns));
    for (size_t i = 0; i < set->nfactor; i++) {
        const struct sg_limit_factor *factor = &set->factor[i];
        sg_table_text(table, factor->id);
        sg_table_number(table, factor->low);
        sg_table_number(table, factor->high);
        sg_table_number(table, factor->dflt);
        sg_table_text(table, factor->characters == 0 ? "when asked for"
                                                     : character_text(factor->characters));
        sg_table_text(table, factor->meaning);
        sg_table_text(table, factor->decided_by);
        sg_table_text(table, factor->cite.locus);
        sg_table_text(table, sg_grade_name(factor->cite.grade));
        sg_table_text(table, check_text(factor->cite.grade));
    }
}
