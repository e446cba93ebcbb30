/* ags_text.c - an AGS file, edition 4 or 3, as groups of rows: read tolerantly, reported strictly.
 *
 * Form of edition 4: every cell quoted, rows begin with GROUP, HEADING, UNIT, TYPE or DATA.
 * Form of edition 3: "**HOLE" opens a group, "*HOLE_ID" are headings, "<UNITS>" and "<CONT>" rows.
 * A cell with an unescaped inch mark is put right where the line can be read in one way only. */
#include "site/ags.h"

#include <stdlib.h>
#include <string.h>

struct cells {
    const char *text[SG_AGS_MAX_CELLS];
    size_t count;
    bool odd_quote; /* a quote inside a cell was not doubled */
    bool bare;      /* a cell stood without quotes */
    bool cut;       /* the last cell was not closed */
    bool trailing;  /* a cell began or ended with spaces */
};

struct parser {
    struct sg_reader *reader;
    struct sg_ags *ags;
    const char *path;
    struct sg_ags_group *group; /* the one being read; NULL = none yet */
    bool heads_open;            /* edition 3: headings may go on in the next line */
    size_t trailing, bare;      /* how many lines, and the first */
    struct sg_spot first_trailing, first_bare;
};

/* ---- cells ---- */

static const char *skip_blanks(const char *c, const char *end)
{
    while (c < end && (*c == ' ' || *c == '\t'))
        c++;
    return c;
}

/* Whether a quote at c closes a cell: what follows is the end, or a comma. */
static bool closes(const char *c, const char *end)
{
    const char *next = skip_blanks(c + 1, end);
    return next == end || *next == ',';
}

/* Strictly, only a comma before another quote can end a cell; kept for lines with stray quotes. */
static bool closes_surely(const char *c, const char *end)
{
    const char *next = skip_blanks(c + 1, end);
    if (next == end)
        return true;
    if (*next != ',')
        return false;
    next = skip_blanks(next + 1, end);
    return next == end || *next == '"';
}

static bool keep_cell(struct parser *p, struct cells *cells, const struct sg_text *text)
{
    const char *from = sg_text_string(text);
    size_t length = text->length, lead = strspn(from, " \t");
    if (cells->count >= SG_AGS_MAX_CELLS)
        return false;
    if (lead > 0 || (length > 0 && (from[length - 1] == ' ' || from[length - 1] == '\t')))
        cells->trailing = true;
    from += lead < length ? lead : length;
    length -= lead < length ? lead : length;
    while (length > 0 && (from[length - 1] == ' ' || from[length - 1] == '\t'))
        length--;
    const char *copy = sg_arena_copy(&p->reader->site->arena, from, length);
    p->reader->nomem |= !copy || text->failed;
    cells->text[cells->count++] = copy ? copy : "";
    return copy != NULL;
}

/* The quoted cell that begins behind c; returns the place behind its closing quote, NULL = the line
 * cannot be read this way. */
static const char *quoted_cell(const char *c, const char *end, bool tolerant, struct cells *cells,
                               struct sg_text *text)
{
    while (c < end) {
        if (*c != '"') {
            sg_text_put_bytes(text, c++, 1);
        } else if (tolerant && closes_surely(c, end)) {
            return c + 1;
        } else if (c + 1 < end && c[1] == '"' && !(tolerant && closes_surely(c + 1, end))) {
            sg_text_put_bytes(text, c, 1);
            c += 2;
        } else if (!tolerant) {
            return closes(c, end) ? c + 1 : NULL;
        } else {
            cells->odd_quote = true;
            sg_text_put_bytes(text, c++, 1);
        }
    }
    cells->cut = true;
    return tolerant ? end : NULL;
}

static bool split(struct parser *p, const char *c, const char *end, bool tolerant,
                  struct cells *cells)
{
    struct sg_text text = SG_TEXT_INIT;
    bool good = true;
    cells->count = 0;
    cells->odd_quote = cells->bare = cells->cut = cells->trailing = false;
    while (good) {
        sg_text_clear(&text);
        c = skip_blanks(c, end);
        if (c < end && *c == '"') {
            c = quoted_cell(c + 1, end, tolerant, cells, &text);
        } else {
            const char *comma = c < end ? memchr(c, ',', (size_t)(end - c)) : NULL;
            const char *stop = comma ? comma : end;
            sg_text_put_bytes(&text, c, (size_t)(stop - c));
            cells->bare |= stop > c;
            c = stop;
        }
        good = c && keep_cell(p, cells, &text);
        if (!good)
            break;
        c = skip_blanks(c, end);
        if (c == end)
            break;
        good = *c == ','; /* else text behind a closing quote */
        c++;
    }
    sg_text_release(&text);
    return good;
}

/* ---- rows and groups ---- */

static struct sg_ags_group *new_group(struct parser *p, const char *name, struct sg_spot at)
{
    struct sg_ags *ags = p->ags;
    for (size_t i = 0; i < ags->ngroup; i++) {
        if (!sg_same(ags->group[i].name, name))
            continue;
        sg_reader_warn(p->reader, at,
                       "group %s is given a second time (first in line %zu); both "
                       "are read",
                       sg_quoted(p->reader, name), ags->group[i].at.line);
        break;
    }
    if (ags->ngroup >= SG_AGS_MAX_GROUPS)
        return NULL;
    if (ags->ngroup == ags->capacity) {
        size_t capacity = ags->capacity > 0 ? 2 * ags->capacity : 32;
        struct sg_ags_group *grown = sg_reader_alloc(p->reader, capacity, sizeof(*grown));
        if (!grown)
            return NULL;
        if (ags->ngroup > 0)
            memcpy(grown, ags->group, ags->ngroup * sizeof(*grown));
        ags->group = grown;
        ags->capacity = capacity;
    }
    ags->group[ags->ngroup] = (struct sg_ags_group){ .name = name, .at = at };
    return &ags->group[ags->ngroup++];
}

/* Copies count cells from `from` on into a list of n, filled up with "". */
static const char *const *cell_list(struct parser *p, const struct cells *cells, size_t from,
                                    size_t n)
{
    const char **list = sg_reader_alloc(p->reader, n + 1, sizeof(*list));
    for (size_t i = 0; list && i < n; i++)
        list[i] = from + i < cells->count ? cells->text[from + i] : "";
    return list;
}

static void set_headings(struct parser *p, const struct cells *cells, size_t from, bool add)
{
    struct sg_ags_group *g = p->group;
    size_t had = add ? g->nheading : 0, more = cells->count - from;
    if (had + more > SG_AGS_MAX_CELLS)
        more = SG_AGS_MAX_CELLS - had;
    const char **list = sg_reader_alloc(p->reader, had + more + 1, sizeof(*list));
    const char **unit = sg_reader_alloc(p->reader, had + more + 1, sizeof(*unit));
    for (size_t i = 0; list && unit && i < had + more; i++) {
        const char *name = i < had ? g->heading[i] : cells->text[from + i - had];
        list[i] = i >= had && name[0] == '*' ? name + 1 : name;
        unit[i] = "";
    }
    g->heading = list;
    g->unit = unit;
    g->nheading = list && unit ? had + more : 0;
}

static void add_row(struct parser *p, const struct cells *cells, size_t from, struct sg_spot at,
                    const char *raw, size_t raw_length)
{
    struct sg_ags_group *g = p->group;
    size_t given = cells->count - from;
    if (given != g->nheading)
        sg_reader_warn(
            p->reader, at, "group %s: the row has %zu cells and there are %zu headings; %s",
            g->name, given, g->nheading,
            given < g->nheading ? "the rest is taken as empty" : "the cells beyond are left out");
    if (g->nrow == g->capacity) {
        size_t capacity = g->capacity > 0 ? 2 * g->capacity : 16;
        struct sg_ags_row *grown = sg_reader_alloc(p->reader, capacity, sizeof(*grown));
        if (!grown)
            return;
        if (g->nrow > 0)
            memcpy(grown, g->row, g->nrow * sizeof(*grown));
        g->row = grown;
        g->capacity = capacity;
    }
    g->row[g->nrow++] = (struct sg_ags_row){ at, cell_list(p, cells, from, g->nheading),
                                             g->nheading, raw, raw_length };
}

/* Edition 3: cells too long for a line go on in the next one. */
static void continue_row(struct parser *p, const struct cells *cells, struct sg_spot at)
{
    struct sg_ags_group *g = p->group;
    if (g->nrow == 0) {
        sg_reader_warn(p->reader, at, "<CONT> continues nothing; the row is left out");
        return;
    }
    const char **cell = (const char **)g->row[g->nrow - 1].cell;
    size_t ncell = g->row[g->nrow - 1].ncell;
    for (size_t i = 1; cell && i < ncell && i < cells->count; i++) {
        if (cells->text[i][0] == '\0')
            continue;
        const char *joined = sg_arena_printf(&p->reader->site->arena, "%s%s%s", cell[i],
                                             cell[i][0] ? " " : "", cells->text[i]);
        p->reader->nomem |= !joined;
        cell[i] = joined ? joined : cell[i];
    }
    g->row[g->nrow - 1].raw_length = 0; /* more than one line: not compared */
}

static void set_units(struct parser *p, const struct cells *cells, size_t from)
{
    if (p->group->nheading > 0)
        p->group->unit = cell_list(p, cells, from, p->group->nheading);
}

static void no_group(struct parser *p, struct sg_spot at)
{
    sg_reader_warn(p->reader, at, "the row stands before any group or headings; it is left out");
}

static void take_edition_4(struct parser *p, const struct cells *cells, struct sg_spot at,
                           const char *raw, size_t raw_length)
{
    const char *kind = cells->text[0];
    if (sg_same(kind, "GROUP")) {
        p->group = new_group(p, cells->count > 1 ? cells->text[1] : "", at);
    } else if (sg_same(kind, "HEADING") && p->group) {
        set_headings(p, cells, 1, false);
    } else if (!p->group || p->group->nheading == 0) {
        no_group(p, at);
    } else if (sg_same(kind, "UNIT")) {
        set_units(p, cells, 1);
    } else if (sg_same(kind, "DATA")) {
        add_row(p, cells, 1, at, raw, raw_length);
    } else if (!sg_same(kind, "TYPE")) {
        sg_reader_warn(p->reader, at,
                       "the row begins with %s; allowed: GROUP, HEADING, UNIT, "
                       "TYPE, DATA; it is left out",
                       sg_quoted(p->reader, kind));
    }
}

static void take_edition_3(struct parser *p, const struct cells *cells, struct sg_spot at,
                           const char *raw, size_t raw_length)
{
    const char *first = cells->text[0];
    if (strncmp(first, "**", 2) == 0) {
        p->group = new_group(p, first + 2 + (first[2] == '?'), at);
        p->heads_open = true;
    } else if (first[0] == '*' && p->group) {
        set_headings(p, cells, 0, p->heads_open && p->group->nheading > 0);
    } else if (!p->group || p->group->nheading == 0) {
        no_group(p, at);
    } else if (sg_same(first, "<UNITS>")) {
        set_units(p, cells, 0);
        p->heads_open = false;
    } else if (sg_same(first, "<CONT>")) {
        continue_row(p, cells, at);
    } else {
        add_row(p, cells, 0, at, raw, raw_length);
        p->heads_open = false;
    }
}

static void note_line(struct parser *p, const struct cells *cells, struct sg_spot at)
{
    if (cells->odd_quote)
        sg_reader_warn(p->reader, at,
                       "a quote inside a cell is not doubled (an inch or second "
                       "mark?); the cell is kept as it is read");
    if (cells->cut)
        sg_reader_warn(p->reader, at,
                       "the last cell has no closing quote; it is taken to end with "
                       "the line");
    if (cells->trailing && p->trailing++ == 0)
        p->first_trailing = at;
    if (cells->bare && p->bare++ == 0)
        p->first_bare = at;
}

static void take_line(struct parser *p, const char *line, size_t length, size_t number)
{
    struct cells *cells = sg_alloc(1, sizeof(*cells));
    struct sg_spot at = { .file = p->path, .line = number, .column = 1 };
    const char *end = line + length;
    if (!cells) {
        p->reader->nomem = true;
        return;
    }
    if (!split(p, line, end, false, cells) && !split(p, line, end, true, cells))
        sg_reader_warn(p->reader, at,
                       "the row cannot be read to its end (text behind a closing "
                       "quote, or more than %u cells); it is kept as far as it was read",
                       SG_AGS_MAX_CELLS);
    note_line(p, cells, at);
    if (p->ags->edition == 0 && cells->count > 0)
        p->ags->edition = strncmp(cells->text[0], "**", 2) == 0 ? 3
                          : sg_same(cells->text[0], "GROUP")    ? 4
                                                                : 0;
    if (p->ags->edition == 4)
        take_edition_4(p, cells, at, line, length);
    else if (p->ags->edition == 3)
        take_edition_3(p, cells, at, line, length);
    sg_free(cells);
}

/* ---- rows given twice ---- */

static int by_raw(const void *left, const void *right)
{
    const struct sg_ags_row *a = *(const struct sg_ags_row *const *)left;
    const struct sg_ags_row *b = *(const struct sg_ags_row *const *)right;
    if (a->raw_length != b->raw_length)
        return a->raw_length < b->raw_length ? -1 : 1;
    int order = memcmp(a->raw, b->raw, a->raw_length);
    if (order != 0)
        return order;
    return a->at.line < b->at.line ? -1 : a->at.line > b->at.line;
}

static void drop_twins(struct parser *p, struct sg_ags_group *g)
{
    struct sg_ags_row **sorted = sg_alloc(g->nrow + 1, sizeof(struct sg_ags_row *));
    if (!sorted) {
        p->reader->nomem = true;
        return;
    }
    for (size_t i = 0; i < g->nrow; i++)
        sorted[i] = &g->row[i];
    if (g->nrow > 1)
        qsort(sorted, g->nrow, sizeof(struct sg_ags_row *), by_raw);
    size_t first = 0;
    for (size_t i = 1; i < g->nrow; i++) {
        struct sg_ags_row *a = sorted[first], *b = sorted[i];
        bool same = a->raw_length > 0 && a->raw_length == b->raw_length &&
                    memcmp(a->raw, b->raw, a->raw_length) == 0;
        if (!same) {
            first = i;
            continue;
        }
        sg_reader_warn(p->reader, b->at,
                       "group %s: the row is the same as line %zu; it is left out", g->name,
                       a->at.line);
        b->cell = NULL;
    }
    sg_free(sorted);
    size_t kept = 0;
    for (size_t i = 0; i < g->nrow; i++) {
        if (g->row[i].cell)
            g->row[kept++] = g->row[i];
    }
    g->nrow = kept;
}

/* ---- the whole ---- */

static void summarise(struct parser *p)
{
    if (p->trailing > 0)
        sg_reader_warn(p->reader, p->first_trailing,
                       "spaces at an end of a cell are left out (%zu "
                       "lines, this is the first)",
                       p->trailing);
    if (p->bare > 0)
        sg_reader_warn(p->reader, p->first_bare,
                       "a cell stands without quotes (%zu lines, this is "
                       "the first)",
                       p->bare);
    for (size_t i = 0; i < p->ags->ngroup; i++)
        drop_twins(p, &p->ags->group[i]);
}

bool sg_ags_parse(struct sg_reader *reader, const char *bytes, size_t length, const char *path,
                  struct sg_ags *out)
{
    struct sg_ags ags = { .edition = 0 };
    struct parser p = { .reader = reader, .ags = &ags, .path = path };
    const char *c = bytes, *end = bytes + length;
    struct sg_spot top = { .file = path, .line = 1, .column = 1 };
    if (length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) {
        sg_reader_warn(reader, top, "the file begins with a byte order mark; it is left out");
        c += 3;
    }
    for (size_t number = 1; c < end; number++) {
        const char *stop = c;
        while (stop < end && *stop != '\n' && *stop != '\r')
            stop++;
        if (skip_blanks(c, stop) < stop)
            take_line(&p, c, (size_t)(stop - c), number);
        if (stop < end && *stop == '\r' && stop + 1 < end && stop[1] == '\n')
            stop++;
        c = stop + (stop < end);
    }
    if (ags.edition == 0) {
        sg_reader_error(reader, SG_ERR_INPUT, top,
                        "no group is found; allowed: an AGS 4 file "
                        "(\"GROUP\",\"PROJ\") or an AGS 3 file (\"**PROJ\")");
        return false;
    }
    summarise(&p);
    *out = ags;
    return true;
}

static size_t heading_at(const struct sg_ags_group *group, const char *heading)
{
    for (size_t i = 0; heading && i < group->nheading; i++) {
        if (sg_same(group->heading[i], heading))
            return i;
    }
    return SIZE_MAX;
}

const char *sg_ags_cell(const struct sg_ags_group *group, const struct sg_ags_row *row,
                        const char *heading, const char *heading_3)
{
    size_t at = heading_at(group, heading);
    if (at == SIZE_MAX)
        at = heading_at(group, heading_3);
    return at < row->ncell ? row->cell[at] : "";
}

const char *sg_ags_unit(const struct sg_ags_group *group, const char *heading,
                        const char *heading_3)
{
    size_t at = heading_at(group, heading);
    if (at == SIZE_MAX)
        at = heading_at(group, heading_3);
    return at == SIZE_MAX ? "" : group->unit[at];
}
