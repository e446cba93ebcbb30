/* limits.c - the command `limits`: lists the limit sets, shows one with its rows, factors and
 * notes, or holds one value against it by hand, so that anybody can repeat a published example.
 */
#include "by_hand.h"
#include "limits_keys.h"
#include "limits_tables.h"

#include <stdio.h>
#include <string.h>

struct request {
    struct sg_by_hand hand;
    bool yaml;
    const char *check;
};

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

/* The rows to judge by, room for `most`; row[0] may be NULL. */
static size_t choose_rows(const struct sg_limit_inputs *in, const struct sg_limit_row **row,
                          size_t most)
{
    size_t count = 1, kept = 0;
    row[0] = in->row;
    if (!in->row)
        count = sg_limit_rows(in->set, &in->judged, in->technique, row, most);
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

/* What goes with the value: the dose of two-step rows, the prediction that it is held against. */
struct company {
    struct sg_judged judged;
    struct sg_dose_value dose;
    struct sg_value predicted;
};

static bool make_company(const struct sg_limit_inputs *in, const struct sg_limit_row *row,
                         struct sg_value *value, struct company *out, struct sg_errors *errors)
{
    const struct sg_limit_row *like = row ? row : &in->set->row[0];
    out->judged = in->judged;
    if (in->dose) {
        if (!read_amount("dose", in->dose, SG_Q_KBF_TR, &out->dose.central, errors))
            return false;
        out->dose.upper = out->dose.central;
        out->dose.marks = 0;
        out->judged.dose = &out->dose;
    }
    if (!in->predicted)
        return true;
    out->predicted = *value;
    out->predicted.position = like->position;
    if (!read_amount("predicted", in->predicted, like->quantity, &out->predicted.central, errors))
        return false;
    out->predicted.upper = out->predicted.central;
    out->judged.predicted = &out->predicted;
    value->origin = SG_MEASURED;
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
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_table steps = { .arena = SG_ARENA_INIT }, verdicts = { .arena = SG_ARENA_INIT };
    const struct sg_table *const tables[] = { &steps, &verdicts };
    size_t most = in->set->nrow + 1, count;
    const struct sg_limit_row **row = sg_arena_alloc(&arena, most, sizeof(*row));
    bool over = false;
    int result;
    sg_table_init(&steps, "limit-working", "Hand calculation", step_columns,
                  SG_COUNT(step_columns));
    sg_table_init(&verdicts, "limit-verdicts", "Verdict", verdict_columns,
                  SG_COUNT(verdict_columns));
    if (!row) {
        result = sg_command_fail(errors, SG_ERR_NOMEM);
        goto done;
    }
    count = choose_rows(in, row, most);
    for (size_t i = 0; i < count; i++) {
        struct sg_working working = { .arena = &arena };
        struct sg_value value;
        struct sg_verdict verdict;
        struct company with;
        if (!make_value(in, row[i], &value, errors) ||
            !make_company(in, row[i], &value, &with, errors)) {
            result = sg_command_fail(errors, errors->first);
            goto done;
        }
        sg_judge(in->set, row[i], &with.judged, &value, &verdict, &working);
        over = over || verdict.state == SG_OVER;
        put_steps(&steps, row[i] ? row[i]->id : "-", &working);
        put_verdict(&verdicts, &verdict);
    }
    sg_table_note(&verdicts, "Ratio: value over limit; for levels 10^((value - limit) / 20).");
    sg_table_note(&verdicts,
                  "Guidance, not proof: the permit, local codes and licensed practice override.");
    result = sg_command_tables(tables, SG_COUNT(tables), request->hand.format);
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
        sg_limits_fill_rows(&first, set);
        sg_limits_fill_factors(&factors, set);
    } else {
        sg_limits_fill_sets(&first);
    }
    int result = sg_command_tables(tables, set && set->nfactor > 0 ? 2 : 1, request->hand.format);
    sg_table_release(&first);
    sg_table_release(&factors);
    return result;
}

static const char *set_at(size_t i)
{
    return sg_limit_set_at(i)->id;
}

static const struct sg_limit_set *find_set(const char *id, struct sg_errors *errors)
{
    const struct sg_limit_set *set = sg_limit_set_find(id);
    if (!set)
        sg_command_unknown(errors, "limit set", id, "limits", set_at, sg_limit_set_count());
    return set;
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
    if (!request->hand.id)
        return show(request, NULL);
    in.set = find_set(request->hand.id, errors);
    if (!in.set)
        return sg_command_fail(errors, errors->first);
    if (request->yaml)
        return export_set(in.set);
    if (request->hand.npair == 0)
        return show(request, in.set);
    sg_limit_keys_read(request->hand.pair, request->hand.npair, &in, errors);
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
        if (!request->yaml && !sg_ok(sg_format_parse(argument, &request->hand.format)))
            argp_error(state, "--format is '%s'; allowed: table, csv, json, yaml", argument);
        return 0;
    default:
        return sg_by_hand_option(key, argument, state, &request->hand);
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
        "  dose=0.2             KB_FTr beside a KB value; predicted=70 for a measured value\n"
        "  factor=ID or ID:0.7  a factor of the set\n"
        "  row=ID               this row, also one that is judged on request only\n"
        "Exit status 1 when a limit is over.",
        NULL,
        NULL,
        NULL,
    };
    struct request request = { .hand = { .format = SG_FORMAT_TABLE } };
    struct sg_errors errors = SG_ERRORS_INIT;
    if (argp_parse(&argp, argc, argv, 0, NULL, &request) != 0)
        return sg_status_exit(SG_ERR_USAGE);
    int result = answer(&request, &errors);
    sg_errors_release(&errors);
    return result;
}
