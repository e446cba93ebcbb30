/* pairs.c - distances and values out of a table of measurements.
 *
 * What must not be thrown together is not: start-up and steady driving, kinds of pile, positions,
 * axes, techniques and sites stay apart unless the caller pools them. */
#include "headers.h"

#include <string.h>

struct reading {
    const struct sg_grid *table;
    const struct sg_pairs_options *options;
    struct sg_columns columns;
    struct sg_pairs *pairs;
    struct sg_errors *errors;
    bool decimal_comma;
    double value_factor;
    bool level;
    sg_status status;
};

void sg_pairs_release(struct sg_pairs *pairs)
{
    if (pairs)
        sg_arena_release(&pairs->arena);
}

static const char *cell(const struct reading *r, size_t row, size_t column)
{
    return r->table->cell[row * r->table->ncolumn + column];
}

static const struct sg_place *place(const struct reading *r, size_t row, size_t column)
{
    return &r->table->place[row * r->table->ncolumn + column];
}

static void fail(struct reading *r, sg_status status)
{
    if (r->status == SG_OK)
        r->status = status;
}

static struct sg_place header_place(const struct sg_grid *table)
{
    size_t line = table->place[0].line;
    return (struct sg_place){ table->file, line > 1 ? line - 1 : 1, 0 };
}

static size_t index_of(const struct reading *r, enum sg_role_of_column role)
{
    return r->columns.of[role].index;
}

static const char *text_of(const struct reading *r, size_t row, enum sg_role_of_column role)
{
    size_t column = index_of(r, role);
    return column == SIZE_MAX ? "" : cell(r, row, column);
}

/* ---- numbers ---- */

/* "12,5" where the separator is another: a comma as the decimal mark, if the table has no point. */
static bool comma_number(const char *text)
{
    const char *comma = strchr(text, ',');
    return comma && strspn(text, "+-0123456789") == (size_t)(comma - text) &&
           strspn(comma + 1, "0123456789eE+-") == strlen(comma + 1) && comma[1] != '\0';
}

static void look_for_commas(struct reading *r)
{
    bool comma = false, point = false;
    for (size_t row = 0; row < r->table->nrow; row++) {
        for (int role = 0; role < SG_COL_NUMBERS; role++) {
            size_t column = index_of(r, (enum sg_role_of_column)role);
            if (column == SIZE_MAX)
                continue;
            comma |= comma_number(cell(r, row, column));
            point |= strchr(cell(r, row, column), '.') != NULL;
        }
    }
    r->decimal_comma = comma && !point;
}

static sg_status parse(const struct reading *r, const char *text, double *out, const char **why)
{
    char copy[64];
    size_t length = strlen(text);
    if (!r->decimal_comma || length >= sizeof(copy))
        return sg_parse_number(text, out, why);
    memcpy(copy, text, length + 1);
    char *comma = strchr(copy, ',');
    if (comma)
        *comma = '.';
    return sg_parse_number(copy, out, why);
}

static const char *fault_of(const char *text, const char *why)
{
    if (text[0] == '<' || text[0] == '>')
        return "is a bound, not a value; a fit on it would be wrong";
    if (strpbrk(text, "mfkJdBH") && text[0] >= '0' && text[0] <= '9')
        return "has text after the number; one unit for all, in the header";
    return why;
}

/* A number above zero (or any, for levels); unset when the column or the cell is not there. */
static double number_of(struct reading *r, size_t row, enum sg_role_of_column role, bool needed)
{
    const struct sg_found_column *c = &r->columns.of[role];
    const char *why = NULL;
    double value = SG_UNSET;
    if (c->index == SIZE_MAX)
        return SG_UNSET;
    const char *text = cell(r, row, c->index), *head = r->table->head[c->index];
    const struct sg_place *at = place(r, row, c->index);
    bool any = c->level || (role == SG_COL_VALUE && r->level);
    if (text[0] == '\0' && !needed)
        return SG_UNSET;
    if (text[0] == '\0')
        fail(r, sg_errors_add(r->errors, SG_ERR_MISSING, at,
                              "%s: is empty; allowed: a number in every row", head));
    else if (parse(r, text, &value, &why) != SG_OK)
        fail(r, sg_errors_add(r->errors, SG_ERR_INPUT, at, "%s: '%.40s' %s; allowed: a number",
                              head, text, fault_of(text, why)));
    else if (!any && !(value > 0) && !(role == SG_COL_DEPTH && value >= 0))
        fail(r, sg_errors_add(r->errors, SG_ERR_INPUT, at,
                              "%s: '%.40s' is %s, and has no logarithm; allowed: a number above 0",
                              head, text, value < 0 ? "below zero" : "zero"));
    else
        return value * (role == SG_COL_VALUE ? r->value_factor : c->factor);
    return SG_UNSET;
}

/* ---- units ---- */

/* A column of units: one unit for all rows, or the table is refused. */
static void unit_from_column(struct reading *r, struct sg_found_column *value)
{
    size_t column = index_of(r, SG_COL_UNIT);
    const char *first = cell(r, 0, column);
    for (size_t row = 1; row < r->table->nrow; row++) {
        if (strcmp(cell(r, row, column), first) == 0)
            continue;
        fail(r, sg_errors_add(r->errors, SG_ERR_INPUT, place(r, row, column),
                              "%s: '%.40s' after '%.40s': mixed units; allowed: one unit for all "
                              "values",
                              r->table->head[column], cell(r, row, column), first));
        return;
    }
    if (!sg_column_unit(SG_COL_VALUE, first, value))
        fail(r, sg_errors_add(r->errors, SG_ERR_INPUT, place(r, 0, column),
                              "%s: '%.40s' is no unit of a value; allowed: mm/s, cm/s, m/s, in/s, "
                              "um/s, dB",
                              r->table->head[column], first));
    if (value->level && value->quantity == SG_Q_PPV)
        value->quantity = SG_Q_LAEQ;
}

static void need_unit(struct reading *r, enum sg_role_of_column role, const char *allowed)
{
    const struct sg_found_column *c = &r->columns.of[role];
    struct sg_place at = header_place(r->table);
    if (c->index == SIZE_MAX || c->unit_given)
        return;
    fail(r, sg_errors_add(r->errors, SG_ERR_INPUT, &at,
                          "column '%s' does not say its unit; allowed: %s, or --column "
                          "%s=HEADER:UNIT",
                          r->table->head[c->index], allowed, sg_column_role_id(role)));
}

static void check_units(struct reading *r)
{
    struct sg_found_column *value = &r->columns.of[SG_COL_VALUE];
    struct sg_place at = header_place(r->table);
    bool distance = index_of(r, SG_COL_DISTANCE) != SIZE_MAX;
    if (value->index == SIZE_MAX)
        fail(r, sg_errors_add(r->errors, SG_ERR_MISSING, &at,
                              "no column of measured values was found; allowed: ppv_mm_s, "
                              "'PPV (in/s)', laeq_dB, ..., or --column value=HEADER:UNIT"));
    if (!distance && index_of(r, SG_COL_SCALED) == SIZE_MAX)
        fail(r, sg_errors_add(r->errors, SG_ERR_MISSING, &at,
                              "no column of distances was found; allowed: distance_m, 'Distance "
                              "(ft)', scaled_distance (m/sqrt(J)), ..., or --column "
                              "distance=HEADER:UNIT"));
    if (r->status != SG_OK)
        return;
    if (!value->unit_given && index_of(r, SG_COL_UNIT) != SIZE_MAX)
        unit_from_column(r, value);
    if (r->status == SG_OK)
        need_unit(r, SG_COL_VALUE, "ppv_mm_s, ppv_in_s, laeq_dB, ...");
    need_unit(r, SG_COL_DISTANCE, "distance_m, distance_ft, ...");
    need_unit(r, SG_COL_ENERGY, "energy_J, energy_kJ, energy_ft.lb, ...");
    need_unit(r, SG_COL_DEPTH, "toe_depth_m, ...");
    if (!distance)
        need_unit(r, SG_COL_SCALED, "'scaled distance (m/sqrt(J))', ...");
    r->value_factor = value->factor;
    r->level = value->level;
}

/* ---- rows that count ---- */

struct choice {
    size_t column;
    const char *value;
};

static bool kept(const struct reading *r, const struct choice *choice, size_t row)
{
    for (size_t i = 0; i < r->options->nonly; i++) {
        if (strcmp(cell(r, row, choice[i].column), choice[i].value) != 0)
            return false;
    }
    return true;
}

static void read_choices(struct reading *r, struct choice *choice)
{
    for (size_t i = 0; i < r->options->nonly; i++) {
        const char *text = r->options->only[i], *equals = strchr(text, '=');
        const char *name =
            equals ? sg_arena_copy(&r->pairs->arena, text, (size_t)(equals - text)) : NULL;
        choice[i] = (struct choice){ SIZE_MAX, equals ? equals + 1 : "" };
        if (name)
            choice[i].column = sg_columns_named(r->table, &r->columns, name);
        if (choice[i].column == SIZE_MAX) {
            fail(r, sg_errors_add(r->errors, SG_ERR_USAGE, NULL,
                                  "--only '%s': allowed: HEADER=VALUE with a column of %s", text,
                                  r->table->file));
            choice[i].column = 0;
        }
    }
}

static bool pooled(const struct reading *r, size_t column, enum sg_role_of_column role)
{
    for (size_t i = 0; i < r->options->npool; i++) {
        if (sg_same(r->options->pool[i], r->table->head[column]) ||
            sg_same(r->options->pool[i], sg_column_role_id(role)))
            return true;
    }
    return false;
}

/* Columns whose values are kinds of data, not repetitions. */
static void check_apart(struct reading *r, const struct choice *choice)
{
    static const enum sg_role_of_column kinds[] = { SG_COL_PHASE, SG_COL_TYPE,      SG_COL_POSITION,
                                                    SG_COL_AXIS,  SG_COL_TECHNIQUE, SG_COL_SITE };
    for (size_t k = 0; k < SG_COUNT(kinds); k++) {
        size_t column = index_of(r, kinds[k]);
        const char *first = NULL;
        bool grouped = sg_same(r->options->group, sg_column_role_id(kinds[k])) ||
                       (column != SIZE_MAX && sg_same(r->options->group, r->table->head[column]));
        if (column == SIZE_MAX || pooled(r, column, kinds[k]) || grouped)
            continue;
        for (size_t row = 0; row < r->table->nrow; row++) {
            const char *text = cell(r, row, column);
            if (!kept(r, choice, row))
                continue;
            if (!first || strcmp(first, text) == 0) {
                first = text;
                continue;
            }
            fail(r, sg_errors_add(r->errors, SG_ERR_INPUT, place(r, row, column),
                                  "%s: '%.40s' beside '%.40s': different kinds are not fitted "
                                  "together; allowed: --only %s=VALUE, or --pool %s",
                                  r->table->head[column], text, first, r->table->head[column],
                                  r->table->head[column]));
            break;
        }
    }
}

/* ---- pairs ---- */

static bool read_row(struct reading *r, size_t row, size_t group, struct sg_pair *out)
{
    bool distance = index_of(r, SG_COL_DISTANCE) != SIZE_MAX;
    size_t before = r->errors ? r->errors->count : 0;
    sg_status status = r->status;
    struct sg_pair pair = { .receptor = text_of(r, row, SG_COL_RECEPTOR),
                            .position = text_of(r, row, SG_COL_POSITION),
                            .pile = text_of(r, row, SG_COL_PILE),
                            .axis = text_of(r, row, SG_COL_AXIS),
                            .phase = text_of(r, row, SG_COL_PHASE),
                            .group = group == SIZE_MAX ? "" : cell(r, row, group),
                            .place = *place(r, row, index_of(r, SG_COL_VALUE)) };
    pair.distance_m = number_of(r, row, distance ? SG_COL_DISTANCE : SG_COL_SCALED, true);
    pair.value = number_of(r, row, SG_COL_VALUE, true);
    pair.energy_J = number_of(r, row, SG_COL_ENERGY, false);
    pair.toe_depth_m = number_of(r, row, SG_COL_DEPTH, r->options->to_toe);
    pair.frequency_hz = number_of(r, row, SG_COL_FREQUENCY, false);
    pair.predicted = number_of(r, row, SG_COL_PREDICTED, false);
    pair.predicted_upper = number_of(r, row, SG_COL_PREDICTED_UPPER, false);
    if (r->options->to_toe && r->pairs->distance == SG_DISTANCE_PLAN)
        pair.distance_m = __builtin_hypot(pair.distance_m, pair.toe_depth_m);
    *out = pair;
    return r->status == status && (!r->errors || r->errors->count == before);
}

static void keep_texts(struct sg_arena *arena, struct sg_pair *pair)
{
    const char **texts[] = { &pair->receptor, &pair->position, &pair->pile,      &pair->axis,
                             &pair->phase,    &pair->group,    &pair->place.file };
    for (size_t i = 0; i < SG_COUNT(texts); i++) {
        const char *copy = sg_arena_copy(arena, *texts[i], strlen(*texts[i]));
        *texts[i] = copy ? copy : "";
    }
}

static void note(struct reading *r, const char *text)
{
    if (text && r->pairs->note)
        r->pairs->note[r->pairs->nnote++] = text;
}

static void describe(struct reading *r)
{
    struct sg_pairs *pairs = r->pairs;
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < r->options->nonly; i++)
        sg_text_printf(&text, "%s%s", i > 0 ? ", " : "only ", r->options->only[i]);
    for (size_t i = 0; i < r->options->npool; i++)
        sg_text_printf(&text, "%s%s thrown together", text.length ? ", " : "", r->options->pool[i]);
    if (pairs->left_out > 0)
        sg_text_printf(&text, "%s%zu rows left out", text.length ? ", " : "", pairs->left_out);
    const char *copy = sg_arena_copy(&pairs->arena, sg_text_string(&text), text.length);
    pairs->selection = copy ? copy : "";
    sg_text_release(&text);
    pairs->note = sg_arena_alloc(&pairs->arena, r->table->ncolumn + 4, sizeof(*pairs->note));
    for (size_t i = 0; i < r->table->ncolumn; i++) {
        bool used = false;
        for (int k = 0; k < SG_COL_END; k++)
            used |= r->columns.of[k].index == i;
        if (!used && r->table->head[i][0])
            note(r, sg_arena_printf(&pairs->arena, "column '%.80s' is passed over",
                                    r->table->head[i]));
    }
    if (r->decimal_comma)
        note(r, sg_arena_printf(&pairs->arena, "decimal commas were read"));
    if (r->level)
        note(r, sg_arena_printf(&pairs->arena, "levels are taken as %s",
                                sg_quantity_id(pairs->quantity)));
}

static void collect(struct reading *r, const struct choice *choice)
{
    struct sg_pairs *pairs = r->pairs;
    size_t group = SIZE_MAX;
    pairs->pair = sg_arena_alloc(&pairs->arena, r->table->nrow, sizeof(*pairs->pair));
    if (!pairs->pair) {
        fail(r, SG_ERR_NOMEM);
        return;
    }
    if (r->options->group) {
        group = sg_columns_named(r->table, &r->columns, r->options->group);
        if (group == SIZE_MAX) {
            fail(r, sg_errors_add(r->errors, SG_ERR_USAGE, NULL,
                                  "--group '%s': allowed: a column of %s", r->options->group,
                                  r->table->file));
            return;
        }
    }
    for (size_t row = 0; row < r->table->nrow; row++) {
        if (!kept(r, choice, row)) {
            pairs->left_out++;
            continue;
        }
        if (read_row(r, row, group, &pairs->pair[pairs->count])) {
            keep_texts(&pairs->arena, &pairs->pair[pairs->count]);
            pairs->count++;
        }
    }
}

sg_status sg_pairs_from_table(const struct sg_grid *table, const struct sg_pairs_options *options,
                              struct sg_pairs *out, struct sg_errors *errors)
{
    struct sg_pairs pairs = SG_PAIRS_INIT;
    struct reading r = { .table = table, .options = options, .pairs = &pairs, .errors = errors };
    struct choice *choice = sg_arena_alloc(&pairs.arena, options->nonly, sizeof(*choice));
    const char *file = sg_arena_copy(&pairs.arena, table->file, strlen(table->file));
    if (!choice || !file) {
        sg_arena_release(&pairs.arena);
        return SG_ERR_NOMEM;
    }
    pairs.file = file;
    fail(&r, sg_columns_find(table, options, &r.columns, errors));
    if (r.status == SG_OK)
        check_units(&r);
    if (r.status == SG_OK)
        read_choices(&r, choice);
    if (r.status == SG_OK) {
        const struct sg_found_column *distance = &r.columns.of[SG_COL_DISTANCE];
        pairs.quantity = r.columns.of[SG_COL_VALUE].quantity;
        pairs.scaled_only = distance->index == SIZE_MAX;
        pairs.distance = distance->distance;
        if (options->to_toe && index_of(&r, SG_COL_DEPTH) == SIZE_MAX &&
            pairs.distance == SG_DISTANCE_PLAN)
            fail(&r, sg_errors_add(errors, SG_ERR_MISSING, NULL,
                                   "--to-toe: %s has no column of toe depths; allowed: "
                                   "toe_depth_m",
                                   table->file));
        check_apart(&r, choice);
    }
    if (r.status == SG_OK) {
        look_for_commas(&r);
        collect(&r, choice);
    }
    if (r.status != SG_OK) {
        sg_arena_release(&pairs.arena);
        return r.status;
    }
    if (options->to_toe)
        pairs.distance = SG_DISTANCE_TOE;
    describe(&r);
    *out = pairs;
    return SG_OK;
}
