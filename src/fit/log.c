/* log.c - measured intervals and the pile log brought together: which pile was being driven at the
 * time, how deep its toe was, how far away it stood. The outcome is a table like any other, so that
 * pairs.c takes it with the same checks.
 *
 * The log's toe depth is that at the end of its row; a row begins where the row before it of the
 * same pile ended, or at the surface, and the depth runs evenly with time in between. */
#include "headers.h"

#include <string.h>

/* ---- time ---- */

static bool digits(const char **at, int count, int *out)
{
    int value = 0;
    for (int i = 0; i < count; i++) {
        char c = (*at)[i];
        if (c < '0' || c > '9')
            return false;
        value = 10 * value + (c - '0');
    }
    *at += count;
    *out = value;
    return true;
}

static bool mark(const char **at, char wanted)
{
    if (**at != wanted)
        return false;
    ++*at;
    return true;
}

/* Days since 1970-01-01 in the Gregorian calendar (years from March on, 400-year cycles). */
static double days_of(int year, int month, int day)
{
    int y = month <= 2 ? year - 1 : year, m = (month + 9) % 12;
    int era = y / 400, of_era = y - 400 * era;
    int of_year = (153 * m + 2) / 5 + day - 1;
    return (double)era * 146097.0 + (double)(of_era * 365 + of_era / 4 - of_era / 100 + of_year) -
           719468.0;
}

static int month_length(int year, int month)
{
    static const int length[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month == 2 && leap ? 29 : length[month - 1];
}

static bool read_zone(const char **at, double *offset_s, bool *zoned)
{
    int hour = 0, minute = 0;
    *offset_s = 0;
    *zoned = true;
    if (mark(at, 'Z'))
        return true;
    double sign = **at == '-' ? -1 : 1;
    if (**at != '+' && **at != '-') {
        *zoned = false;
        return true;
    }
    ++*at;
    if (!digits(at, 2, &hour))
        return false;
    mark(at, ':');
    if (!digits(at, 2, &minute) || hour > 14 || minute > 59)
        return false;
    *offset_s = sign * (3600.0 * hour + 60.0 * minute);
    return true;
}

sg_status sg_parse_time(const char *text, double *out_s, bool *zoned)
{
    int year, month, day, hour, minute, second = 0;
    double fraction = 0, scale = 0.1, offset_s = 0;
    const char *at = text;
    bool good = digits(&at, 4, &year) && mark(&at, '-') && digits(&at, 2, &month) &&
                mark(&at, '-') && digits(&at, 2, &day) && (mark(&at, 'T') || mark(&at, ' ')) &&
                digits(&at, 2, &hour) && mark(&at, ':') && digits(&at, 2, &minute);
    if (good && mark(&at, ':'))
        good = digits(&at, 2, &second);
    if (good && mark(&at, '.')) {
        for (; *at >= '0' && *at <= '9'; at++, scale *= 0.1)
            fraction += scale * (*at - '0');
    }
    good = good && year >= 1970 && month >= 1 && month <= 12 && day >= 1 &&
           day <= month_length(year, month) && hour < 24 && minute < 60 && second < 60;
    good = good && read_zone(&at, &offset_s, zoned) && *at == '\0';
    if (!good)
        return SG_ERR_INPUT;
    *out_s = 86400.0 * days_of(year, month, day) + 3600.0 * hour + 60.0 * minute + second +
             fraction - offset_s;
    return SG_OK;
}

/* ---- joining ---- */

enum {
    OUT_DISTANCE,
    OUT_VALUE,
    OUT_DEPTH,
    OUT_ENERGY,
    OUT_FREQUENCY,
    OUT_RECEPTOR,
    OUT_PILE,
    OUT_POSITION,
    OUT_AXIS,
    OUT_PHASE,
    OUT_COLUMNS
};

struct span {
    double start_s, end_s, from_m, to_m;
    size_t row, pile;
};

struct joining {
    const struct sg_grid *measured, *log;
    const struct sg_site *site;
    struct sg_columns seen, logged;
    struct sg_errors *errors;
    struct sg_arena arena;
    struct span *span;
    const char **cell;
    struct sg_place *place;
    size_t nrow, without;
    int zoned; /* -1 = not known yet */
    sg_status status;
};

static const char *cell(const struct sg_grid *grid, size_t row, size_t column)
{
    return column == SIZE_MAX ? "" : grid->cell[row * grid->ncolumn + column];
}

static const struct sg_place *place_of(const struct sg_grid *grid, size_t row, size_t column)
{
    return &grid->place[row * grid->ncolumn + column];
}

static void fail(struct joining *j, sg_status status)
{
    if (j->status == SG_OK)
        j->status = status;
}

static double time_of(struct joining *j, const struct sg_grid *grid, size_t row, size_t column)
{
    double time_s = SG_UNSET;
    bool zoned = false;
    const char *text = cell(grid, row, column);
    if (sg_parse_time(text, &time_s, &zoned) != SG_OK)
        fail(j, sg_errors_add(j->errors, SG_ERR_INPUT, place_of(grid, row, column),
                              "%s: '%.40s' is not a time; allowed: 2026-05-04T09:30:00, with Z or "
                              "an offset, or without in both files",
                              grid->head[column], text));
    else if (j->zoned >= 0 && j->zoned != zoned)
        fail(j, sg_errors_add(j->errors, SG_ERR_INPUT, place_of(grid, row, column),
                              "%s: '%.40s' %s an offset from UTC, others %s; allowed: the same in "
                              "every row of both files",
                              grid->head[column], text, zoned ? "has" : "has not",
                              zoned ? "have not" : "have"));
    else
        j->zoned = zoned;
    return time_s;
}

static bool need(struct joining *j, const struct sg_grid *grid, const struct sg_columns *columns,
                 enum sg_role_of_column role, const char *allowed)
{
    struct sg_place at = { grid->file, 1, 0 };
    if (columns->of[role].index != SIZE_MAX)
        return true;
    fail(j, sg_errors_add(j->errors, SG_ERR_MISSING, &at, "column %s is missing", allowed));
    return false;
}

static size_t pile_named(const struct sg_site *site, const char *name)
{
    for (size_t i = 0; i < site->npile; i++) {
        if (sg_same(site->pile[i].name, name))
            return i;
    }
    return SIZE_MAX;
}

static size_t receptor_named(const struct sg_site *site, const char *name)
{
    for (size_t i = 0; i < site->nreceptor; i++) {
        if (sg_same(site->receptor[i].name, name))
            return i;
    }
    return SIZE_MAX;
}

static double depth_of(struct joining *j, size_t row)
{
    const struct sg_found_column *c = &j->logged.of[SG_COL_DEPTH];
    const char *why = NULL;
    double value = SG_UNSET;
    const char *text = cell(j->log, row, c->index);
    if (c->index == SIZE_MAX || text[0] == '\0')
        return SG_UNSET;
    if (sg_parse_number(text, &value, &why) != SG_OK || !(value >= 0))
        fail(j, sg_errors_add(j->errors, SG_ERR_INPUT, place_of(j->log, row, c->index),
                              "%s: '%.40s' %s; allowed: a depth in m, 0 or more",
                              j->log->head[c->index], text, why ? why : "is below zero"));
    return value * c->factor;
}

static void read_log(struct joining *j)
{
    size_t start = j->logged.of[SG_COL_TIME_START].index, end = j->logged.of[SG_COL_TIME_END].index;
    size_t pile = j->logged.of[SG_COL_PILE].index;
    j->span = sg_arena_alloc(&j->arena, j->log->nrow, sizeof(*j->span));
    for (size_t row = 0; j->span && row < j->log->nrow; row++) {
        struct span *s = &j->span[row];
        const char *name = cell(j->log, row, pile);
        s->row = row;
        s->start_s = time_of(j, j->log, row, start);
        s->end_s = time_of(j, j->log, row, end);
        s->pile = pile_named(j->site, name);
        s->to_m = depth_of(j, row);
        s->from_m = 0;
        if (s->pile == SIZE_MAX)
            fail(j, sg_errors_add(j->errors, SG_ERR_UNKNOWN, place_of(j->log, row, pile),
                                  "%s: no pile of the site is named '%.60s'; allowed: a name of "
                                  "`stillground site FILE`",
                                  j->log->head[pile], name));
        if (s->end_s < s->start_s)
            fail(j, sg_errors_add(j->errors, SG_ERR_INPUT, place_of(j->log, row, end),
                                  "%s: is before the start; allowed: a later time",
                                  j->log->head[end]));
        for (size_t i = row; i-- > 0;) {
            if (j->span[i].pile != s->pile || j->span[i].end_s > s->start_s)
                continue;
            s->from_m = j->span[i].to_m;
            break;
        }
    }
    if (!j->span)
        fail(j, SG_ERR_NOMEM);
}

/* The row of the log during which a value was measured; SIZE_MAX = none. */
static size_t span_at(struct joining *j, size_t row, double time_s)
{
    size_t found = SIZE_MAX;
    for (size_t i = 0; i < j->log->nrow; i++) {
        const struct span *s = &j->span[i];
        bool inside = time_s >= s->start_s && time_s < s->end_s;
        if (!inside)
            continue;
        if (found != SIZE_MAX && j->span[found].pile != s->pile)
            fail(j, sg_errors_add(j->errors, SG_ERR_INPUT,
                                  place_of(j->measured, row, j->seen.of[SG_COL_TIME].index),
                                  "two piles are logged at this time (lines %zu and %zu of %s); "
                                  "allowed: one at a time",
                                  place_of(j->log, found, 0)->line, place_of(j->log, i, 0)->line,
                                  j->log->file));
        found = i;
    }
    return found;
}

static const char *number_text(struct joining *j, double value)
{
    const char *text = sg_is_set(value) ? sg_arena_printf(&j->arena, "%.17g", value) : "";
    if (!text)
        fail(j, SG_ERR_NOMEM);
    return text ? text : "";
}

static void join_row(struct joining *j, size_t row)
{
    const struct sg_grid *m = j->measured;
    const struct sg_columns *c = &j->seen;
    double time_s = time_of(j, m, row, c->of[SG_COL_TIME].index);
    size_t receptor_column = c->of[SG_COL_RECEPTOR].index, value = c->of[SG_COL_VALUE].index;
    size_t receptor = receptor_named(j->site, cell(m, row, receptor_column));
    if (receptor == SIZE_MAX)
        fail(j, sg_errors_add(j->errors, SG_ERR_UNKNOWN, place_of(m, row, receptor_column),
                              "%s: no receptor of the site is named '%.60s'; allowed: a name of "
                              "`stillground site FILE`",
                              m->head[receptor_column], cell(m, row, receptor_column)));
    size_t at = j->status == SG_OK ? span_at(j, row, time_s) : SIZE_MAX;
    if (at == SIZE_MAX || j->status != SG_OK) {
        j->without++;
        return;
    }
    const struct span *s = &j->span[at];
    double share = s->end_s > s->start_s ? (time_s - s->start_s) / (s->end_s - s->start_s) : 1;
    const char **out = &j->cell[j->nrow * OUT_COLUMNS];
    const char *phase = cell(m, row, c->of[SG_COL_PHASE].index);
    const struct sg_receptor *r = &j->site->receptor[receptor];
    out[OUT_DISTANCE] = number_text(j, sg_site_distance_m(r, j->site->pile[s->pile].at));
    out[OUT_VALUE] = cell(m, row, value);
    out[OUT_DEPTH] = number_text(j, s->from_m + (s->to_m - s->from_m) * share);
    out[OUT_ENERGY] = cell(j->log, s->row, j->logged.of[SG_COL_ENERGY].index);
    out[OUT_FREQUENCY] = cell(m, row, c->of[SG_COL_FREQUENCY].index);
    out[OUT_RECEPTOR] = cell(m, row, receptor_column);
    out[OUT_PILE] = cell(j->log, s->row, j->logged.of[SG_COL_PILE].index);
    out[OUT_POSITION] = cell(m, row, c->of[SG_COL_POSITION].index);
    out[OUT_AXIS] = cell(m, row, c->of[SG_COL_AXIS].index);
    out[OUT_PHASE] = phase[0] ? phase : cell(j->log, s->row, j->logged.of[SG_COL_PHASE].index);
    for (size_t i = 0; i < OUT_COLUMNS; i++)
        j->place[j->nrow * OUT_COLUMNS + i] = *place_of(m, row, value);
    j->nrow++;
}

/* ---- the largest of a pile at a receptor ---- */

static bool same_case(const struct sg_pair *a, const struct sg_pair *b)
{
    return sg_same(a->pile, b->pile) && sg_same(a->receptor, b->receptor) &&
           sg_same(a->position, b->position);
}

static void keep_largest(struct sg_pairs *pairs)
{
    size_t kept = 0;
    for (size_t i = 0; i < pairs->count; i++) {
        size_t k = kept;
        while (k > 0 && !same_case(&pairs->pair[k - 1], &pairs->pair[i]))
            k--;
        if (k == 0)
            pairs->pair[kept++] = pairs->pair[i];
        else if (pairs->pair[i].value > pairs->pair[k - 1].value)
            pairs->pair[k - 1] = pairs->pair[i];
    }
    pairs->count = kept;
}

static void say_join(const struct joining *j, const struct sg_pairs_options *options,
                     struct sg_pairs *out)
{
    const char *file = sg_arena_printf(&out->arena, "%s with %s", j->measured->file, j->log->file);
    const char *selection = sg_arena_printf(
        &out->arena, "%s%s%s; %zu values without a pile at their time", out->selection,
        out->selection[0] ? "; " : "",
        options->every_value ? "every value" : "the largest value of each pile at each receptor",
        j->without);
    out->file = file ? file : out->file;
    out->selection = selection ? selection : out->selection;
    out->left_out += j->without;
}

static const char *value_head(struct joining *j)
{
    const struct sg_found_column *c = &j->seen.of[SG_COL_VALUE];
    return c->index == SIZE_MAX ? "" : j->measured->head[c->index];
}

static sg_status hand_on(struct joining *j, const struct sg_pairs_options *options,
                         struct sg_pairs *out)
{
    size_t energy = j->logged.of[SG_COL_ENERGY].index;
    const char *head[OUT_COLUMNS] = {
        "distance_m",   value_head(j),
        "toe_depth_m",  energy == SIZE_MAX ? "energy_J" : j->log->head[energy],
        "frequency_Hz", "receptor",
        "pile",         "position",
        "axis",         "phase"
    };
    struct sg_grid joined = { .file = j->measured->file,
                              .head = head,
                              .cell = j->cell,
                              .place = j->place,
                              .ncolumn = OUT_COLUMNS,
                              .nrow = j->nrow };
    struct sg_place at = { j->measured->file, 0, 0 };
    if (j->nrow == 0)
        return sg_errors_add(j->errors, SG_ERR_INPUT, &at,
                             "no value was measured while a pile was logged; allowed: times of "
                             "both files in one time zone");
    sg_status status = sg_pairs_from_table(&joined, options, out, j->errors);
    if (status != SG_OK)
        return status;
    if (!options->every_value)
        keep_largest(out);
    say_join(j, options, out);
    return SG_OK;
}

sg_status sg_pairs_from_log(const struct sg_grid *measured, const struct sg_grid *log,
                            const struct sg_site *site, const struct sg_pairs_options *options,
                            struct sg_pairs *out, struct sg_errors *errors)
{
    struct joining j = { .measured = measured,
                         .log = log,
                         .site = site,
                         .errors = errors,
                         .arena = SG_ARENA_INIT,
                         .zoned = -1 };
    const struct sg_pairs_options none = { .column = NULL };
    fail(&j, sg_columns_find(measured, &none, &j.seen, errors));
    if (j.status == SG_OK)
        fail(&j, sg_columns_find(log, &none, &j.logged, errors));
    if (j.status == SG_OK) {
        need(&j, measured, &j.seen, SG_COL_TIME, "time");
        need(&j, measured, &j.seen, SG_COL_RECEPTOR, "receptor");
        need(&j, measured, &j.seen, SG_COL_VALUE, "ppv_mm_s");
        need(&j, log, &j.logged, SG_COL_TIME_START, "time_start");
        need(&j, log, &j.logged, SG_COL_TIME_END, "time_end");
        need(&j, log, &j.logged, SG_COL_PILE, "pile");
    }
    if (j.status == SG_OK)
        read_log(&j);
    j.cell = sg_arena_alloc(&j.arena, measured->nrow * OUT_COLUMNS, sizeof(*j.cell));
    j.place = sg_arena_alloc(&j.arena, measured->nrow * OUT_COLUMNS, sizeof(*j.place));
    if (!j.cell || !j.place)
        fail(&j, SG_ERR_NOMEM);
    for (size_t row = 0; row < measured->nrow && j.status == SG_OK; row++)
        join_row(&j, row);
    if (j.status == SG_OK)
        fail(&j, hand_on(&j, options, out));
    sg_arena_release(&j.arena);
    return j.status;
}
