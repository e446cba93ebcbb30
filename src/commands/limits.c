/* limits.c - the command `limits`: lists the limit sets, shows one with its rows, factors and
 * notes, or holds one value against it by hand, so that anybody can repeat a published example.
 */
#include "commands.h"
#include "limits_keys.h"
#include "stillground/noise_rules.h"

#include <argp.h>
#include <stdio.h>
#include <string.h>

#define MOST_PAIRS 32
#define MOST_ROWS 64

struct request {
    bool yaml;
    const char *check;
    enum sg_format format;
    const char *id;
    char *pair[MOST_PAIRS];
    size_t npair;
};

/* ---- tables ---------------------------------------------------------------------------------- */

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

static void fill_sets(struct sg_table *table)
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
        sg_text_printf(&text, "%s + %.3g, at least %g",
                       row->by_background ? "background" : "ambient", row->rise_db,
                       row->node[0].value);
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
    if (set->count_days[0] > 0)
        sg_table_note(table, "Counts when passed on %g of any %g days running.", set->count_days[0],
                      set->of_days[0]);
    sg_text_release(&text);
}

/* What a set says beside its rows. */
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
    for (unsigned bit = 1; bit < SG_NEEDS_END; bit <<= 1) {
        if (set->requires & bit)
            sg_text_printf(&text, "%s%s", text.length > 0 ? ", " : "", sg_requirement_id(bit));
    }
    if (set->requires)
        sg_table_note(table, "Asked for: %s.", sg_text_string(&text));
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
    sg_table_text(table, row->on_request ? "on request" : "yes");
    sg_table_text(table, row->effect);
    sg_table_text(table, row->cite.locus);
    sg_table_text(table, sg_grade_name(row->cite.grade));
    sg_table_text(table, check_text(row->cite.grade));
}

static void fill_rows(struct sg_table *table, const struct sg_limit_set *set)
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
    for (size_t i = 0; set->note[i]; i++)
        sg_table_note(table, "%s", set->note[i]);
    note_rules(table, set);
    if (set->excluded != 0)
        sg_table_note(table, "Outside its scope: %s.", set->excluded_why);
    if (document)
        sg_table_note(table, "%s: %s, %s; read: %s.", document->key, document->title,
                      document->edition, document->extent);
    sg_table_note(table, "The permit, local codes and the owner of an asset override every value.");
}

static void fill_factors(struct sg_table *table, const struct sg_limit_set *set)
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

/* ---- one value by hand ----------------------------------------------------------------------- */

/* A level is a bare number or one with "dB" or "dB(A)"; everything else has its unit. */
static bool read_amount(const char *key, const char *text, enum sg_quantity quantity, double *out,
                        struct sg_errors *errors)
{
    const char *unit = sg_quantity_unit(quantity), *why = "is not a number";
    bool level = sg_quantity_is_level(quantity);
    char number[64];
    double same = 1.0;
    sg_status status;
    if (!level && sg_ok(sg_unit_factor(unit, unit, &same))) {
        status = sg_parse_quantity(text, unit, out, &why);
    } else {
        const char *tail = level ? strstr(text, "dB") : NULL;
        bool strip = sg_same(tail, "dB") || sg_same(tail, "dB(A)");
        size_t length = strip ? (size_t)(tail - text) : strlen(text);
        while (length > 0 && text[length - 1] == ' ')
            length--;
        snprintf(number, sizeof(number), "%.*s", (int)(length < 63 ? length : 63), text);
        status = sg_parse_number(number, out, &why);
    }
    if (sg_ok(status) && !level && *out < 0.0) {
        why = "is negative";
        status = SG_ERR_USAGE;
    }
    if (!sg_ok(status))
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "%s: '%s' %s; allowed: a number in %s%s", key,
                      text, why, unit, level ? "" : ", 0 or more");
    return sg_ok(status);
}

/* The rows to judge by; row[0] may be NULL. */
static size_t choose_rows(const struct sg_limit_inputs *in, const struct sg_limit_row **row)
{
    size_t count = 1, kept = 0;
    row[0] = in->row;
    if (!in->row)
        count = sg_limit_rows(in->set, &in->judged, in->technique, row, MOST_ROWS);
    count = count < MOST_ROWS ? count : MOST_ROWS;
    if (!in->position_given || count < 2)
        return count;
    for (size_t i = 0; i < count; i++) {
        if (row[i]->position == in->position)
            row[kept++] = row[i];
    }
    return kept > 0 ? kept : count;
}

static bool make_value(const struct sg_limit_inputs *in, const struct sg_limit_row *row,
                       struct sg_value *out, struct sg_errors *errors)
{
    const struct sg_limit_row *like = row ? row : &in->set->row[0];
    *out = SG_VALUE_INIT;
    out->quantity = like->quantity;
    out->axes = like->axes;
    out->position = in->position_given ? in->position : like->position;
    out->technique = in->technique;
    out->period = SG_ANY_TIME;
    out->frequency_low_hz = in->low_hz;
    out->frequency_high_hz = in->high_hz;
    out->frequency_from = "as given";
    out->upper_text = in->upper ? "as given" : "same as central";
    if (!read_amount("value", in->value, like->quantity, &out->central, errors))
        return false;
    out->upper = out->central;
    if (in->upper && !read_amount("upper", in->upper, like->quantity, &out->upper, errors))
        return false;
    if (out->upper < out->central) {
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "upper: '%s' is below value; allowed: %s or more",
                      in->upper, in->value);
        return false;
    }
    return true;
}

static const struct sg_column step_columns[] = {
    { "row", "row", 0, false },
    { "step", "step", 0, false },
    { "working", "working", 0, false },
    { "source", "source", 0, false },
};

static const struct sg_column verdict_columns[] = {
    { "set", "limit set", 0, false },
    { "row", "row", 0, false },
    { "position", "position", 0, false },
    { "limit", "limit", 3, true },
    { "unit", "unit", 0, false },
    { "frequency_hz", "read at\nHz", 2, true },
    { "ratio_central", "ratio\ncentral", 3, true },
    { "ratio_upper", "ratio\nupper", 3, true },
    { "verdict", "verdict", 0, false },
    { "reason", "reason", 0, false },
    { "marks", "marks", 0, false },
};

static void put_steps(struct sg_table *table, const char *row, const struct sg_working *working)
{
    for (size_t i = 0; i < working->count; i++) {
        sg_table_text(table, row);
        sg_table_text(table, working->step[i].what);
        sg_table_text(table, working->step[i].working);
        sg_table_text(table, working->step[i].source);
    }
}

static void put_verdict(struct sg_table *table, const struct sg_verdict *verdict)
{
    const struct sg_limit_row *row = verdict->row;
    sg_table_text(table, verdict->set->id);
    sg_table_text(table, row ? row->id : "-");
    sg_table_text(table, row ? sg_position_id(row->position) : "-");
    sg_table_number(table, verdict->limit);
    sg_table_text(table, row ? sg_quantity_unit(row->quantity) : "-");
    sg_table_number(table, verdict->frequency_hz);
    sg_table_number(table, verdict->ratio_central);
    sg_table_number(table, verdict->ratio_upper);
    sg_table_text(table, sg_verdict_id(verdict->state));
    sg_table_text(table, verdict->reason);
    sg_table_text(table, sg_marks_text(verdict->marks, &table->arena));
}

static int work(const struct request *request, const struct sg_limit_inputs *in,
                struct sg_errors *errors)
{
    const struct sg_limit_row *row[MOST_ROWS];
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_table steps = { .arena = SG_ARENA_INIT }, verdicts = { .arena = SG_ARENA_INIT };
    const struct sg_table *const tables[] = { &steps, &verdicts };
    size_t count = choose_rows(in, row);
    bool over = false;
    int result;
    sg_table_init(&steps, "limit-working", "Hand calculation", step_columns,
                  SG_COUNT(step_columns));
    sg_table_init(&verdicts, "limit-verdicts", "Verdict", verdict_columns,
                  SG_COUNT(verdict_columns));
    for (size_t i = 0; i < count; i++) {
        struct sg_working working = { .arena = &arena };
        struct sg_value value;
        struct sg_verdict verdict;
        if (!make_value(in, row[i], &value, errors)) {
            result = sg_command_fail(errors, errors->first);
            goto done;
        }
        sg_judge(in->set, row[i], &in->judged, &value, &verdict, &working);
        over = over || verdict.state == SG_OVER;
        put_steps(&steps, row[i] ? row[i]->id : "-", &working);
        put_verdict(&verdicts, &verdict);
    }
    sg_table_note(&verdicts, "Ratio: value over limit; for levels 10^((value - limit) / 20).");
    sg_table_note(&verdicts,
                  "Guidance, not proof: the permit, local codes and licensed practice override.");
    result = sg_command_tables(tables, SG_COUNT(tables), request->format);
    if (result == 0 && over)
        result = 1;
done:
    sg_table_release(&steps);
    sg_table_release(&verdicts);
    sg_arena_release(&arena);
    return result;
}

/* ---- the three ways of asking ---------------------------------------------------------------- */

static int show(const struct request *request, const struct sg_limit_set *set)
{
    struct sg_table first = { .arena = SG_ARENA_INIT }, factors = { .arena = SG_ARENA_INIT };
    const struct sg_table *const tables[] = { &first, &factors };
    if (set) {
        fill_rows(&first, set);
        fill_factors(&factors, set);
    } else {
        fill_sets(&first);
    }
    int result = sg_command_tables(tables, set && set->nfactor > 0 ? 2 : 1, request->format);
    sg_table_release(&first);
    sg_table_release(&factors);
    return result;
}

static const struct sg_limit_set *find_set(const char *id, struct sg_errors *errors)
{
    const struct sg_limit_set *set = sg_limit_set_find(id);
    if (set)
        return set;
    size_t count = sg_limit_set_count();
    const char **ids = sg_alloc(count, sizeof(*ids));
    for (size_t i = 0; ids && i < count; i++)
        ids[i] = sg_limit_set_at(i)->id;
    const char *near = ids ? sg_nearest(id, ids, count) : NULL;
    sg_errors_add(errors, SG_ERR_USAGE, NULL,
                  "%s: no such limit set%s%s; 'stillground limits' lists them", id,
                  near ? "; did you mean " : "", near ? near : "");
    sg_free((void *)ids);
    return NULL;
}

/* Reads a file of the user's and says what it holds. */
static int check_file(const struct request *request, struct sg_errors *errors)
{
    struct sg_arena arena = SG_ARENA_INIT;
    const struct sg_limit_set *set = NULL;
    sg_status status = sg_limit_file_read(request->check, &arena, &set, errors);
    int result = sg_ok(status) ? show(request, set) : sg_command_fail(errors, status);
    if (sg_ok(status) && sg_limit_set_find(set->id))
        fprintf(stderr, "note: %s is the id of a built-in set; a site needs another one\n",
                set->id);
    sg_arena_release(&arena);
    return result;
}

static int export_set(const struct sg_limit_set *set)
{
    struct sg_text text = SG_TEXT_INIT;
    sg_limit_file_put(set, &text);
    int result = sg_command_output(NULL, &text);
    sg_text_release(&text);
    return result;
}

static int answer(const struct request *request, struct sg_errors *errors)
{
    struct sg_limit_inputs in = {
        .judged = { .period = SG_ANY_TIME, .ambient_db = SG_UNSET, .factor = SG_UNSET },
        .low_hz = SG_UNSET,
        .high_hz = SG_UNSET
    };
    if (request->check)
        return check_file(request, errors);
    if (!request->id)
        return show(request, NULL);
    in.set = find_set(request->id, errors);
    if (!in.set)
        return sg_command_fail(errors, errors->first);
    if (request->yaml)
        return export_set(in.set);
    if (request->npair == 0)
        return show(request, in.set);
    sg_limit_keys_read(request->pair, request->npair, &in, errors);
    if (errors->first == SG_OK && !in.value)
        sg_errors_add(errors, SG_ERR_USAGE, NULL, "value: is needed to hold it against a limit");
    if (errors->first == SG_OK && !in.technique_given)
        sg_errors_add(errors, SG_ERR_USAGE, NULL,
                      "technique: is needed; allowed: impact, vibratory, "
                      "press-in, press-in-jetting, press-in-augering");
    if (errors->first != SG_OK)
        return sg_command_fail(errors, errors->first);
    if (in.row && !in.judged.category && !sg_is_set(in.judged.ambient_db))
        in.judged.category = in.row->category; /* the row was chosen, and its category with it */
    return work(request, &in, errors);
}

/* ---- command line ---------------------------------------------------------------------------- */

static error_t parse_option(int key, char *argument, struct argp_state *state)
{
    struct request *request = state->input;
    switch (key) {
    case 'c':
        request->check = argument;
        return 0;
    case 'f':
        request->yaml = sg_same(argument, "yaml");
        if (!request->yaml && !sg_ok(sg_format_parse(argument, &request->format)))
            argp_error(state, "--format: '%s' is not known; allowed: table, csv, json, yaml",
                       argument);
        return 0;
    case ARGP_KEY_ARG:
        if (!request->id)
            request->id = argument;
        else if (request->npair < MOST_PAIRS)
            request->pair[request->npair++] = argument;
        else
            argp_error(state, "more than %d key=value pairs", MOST_PAIRS);
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}

int sg_command_limits(int argc, char **argv)
{
    static const struct argp_option options[] = {
        SG_FORMAT_OPTION,
        { "check", 'c', "FILE", 0, "check a limit set of your own (--format yaml ID writes one)",
          0 },
        { NULL, 0, NULL, 0, NULL, 0 },
    };
    static const struct argp argp = {
        options,
        parse_option,
        "[ID [key=value ...]]",
        "Limit sets: the list, one of them, or a value held against it by hand."
        "\vWith value=5.36mm/s technique=impact the verdict is worked out line by line. Other "
        "keys:\n"
        "  upper=8mm/s          upper value, when it differs\n"
        "  class= use= area=    of the receptor\n"
        "  position=foundation  where the value holds (default: where the limit does)\n"
        "  frequency_Hz=12 or 10..30\n"
        "  period=day|evening|night, ambient_dB=62 or category=B\n"
        "  days=12              days of work, for limits that go by them; background_dB=45\n"
        "  factor=ID or ID:0.7  a factor of the set\n"
        "  row=ID               this row, also one that is judged on request only\n"
        "Exit status 1 when a limit is over.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .format = SG_FORMAT_TABLE };
    struct sg_errors errors = SG_ERRORS_INIT;
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    int result = answer(&request, &errors);
    sg_errors_release(&errors);
    return result;
}
