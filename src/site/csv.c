/* csv.c - tables as text with separators (RFC 4180), with the line of every row.
 *
 * Taken as found: a byte order mark, ';' or TAB instead of ',', CR LF or LF, line breaks inside
 * quotes, empty lines, and lines before the header that begin with '#'. Cells are taken apart in
 * place and stay in the reader's arena.
 */
#include "site_internal.h"

#include <string.h>

struct csv {
    struct sg_reader *reader;
    struct sg_spot at; /* of the next character */
    char *c;           /* the next character */
    char *end;
    char *line_start;
    char separator;
    bool row_ended;
    bool failed;
};

/* Length of the UTF-8 sequence at c, 0 when it is none. */
static size_t sequence_length(const unsigned char *c, const unsigned char *end)
{
    size_t length = c[0] < 0x80                    ? 1
                    : c[0] >= 0xc2 && c[0] <= 0xdf ? 2
                    : (c[0] & 0xf0u) == 0xe0       ? 3
                    : c[0] >= 0xf0 && c[0] <= 0xf4 ? 4
                                                   : 0;
    if (length == 0 || (size_t)(end - c) < length)
        return 0;
    for (size_t i = 1; i < length; i++) {
        if ((c[i] & 0xc0u) != 0x80u)
            return 0;
    }
    bool overlong = (c[0] == 0xe0 && c[1] < 0xa0) || (c[0] == 0xf0 && c[1] < 0x90);
    bool outside = (c[0] == 0xed && c[1] > 0x9f) || (c[0] == 0xf4 && c[1] > 0x8f);
    return overlong || outside ? 0 : length;
}

static bool check_encoding(struct csv *csv)
{
    const unsigned char *c = (const unsigned char *)csv->c, *end = (const unsigned char *)csv->end;
    size_t line = csv->at.line;
    while (c < end) {
        size_t length = *c == '\0' ? 0 : sequence_length(c, end);
        if (length == 0) {
            struct sg_spot at = { .file = csv->at.file, .line = line };
            sg_reader_error(csv->reader, SG_ERR_INPUT, at,
                            "holds bytes that are not text in UTF-8; "
                            "allowed: a table saved as UTF-8");
            return false;
        }
        line += *c == '\n';
        c += length;
    }
    return true;
}

static void next_line(struct csv *csv)
{
    csv->at.line++;
    csv->line_start = csv->c;
}

static void skip_line(struct csv *csv)
{
    while (csv->c < csv->end && *csv->c != '\n')
        csv->c++;
    if (csv->c < csv->end) {
        csv->c++;
        next_line(csv);
    }
}

/* The separator that the header line has most of. */
static char sniff(const struct csv *csv)
{
    static const char candidates[] = { ',', ';', '\t' };
    size_t count[SG_COUNT(candidates)] = { 0 };
    size_t best = 0;
    bool quoted = false;
    for (const char *c = csv->c; c < csv->end && (*c != '\n' || quoted); c++) {
        if (*c == '"')
            quoted = !quoted;
        for (size_t i = 0; i < SG_COUNT(candidates) && !quoted; i++)
            count[i] += *c == candidates[i];
    }
    for (size_t i = 1; i < SG_COUNT(candidates); i++) {
        if (count[i] > count[best])
            best = i;
    }
    return candidates[best];
}

/* Ends the cell at csv->c: steps over the separator or the line break. */
static void end_cell(struct csv *csv)
{
    csv->row_ended = true;
    if (csv->c >= csv->end)
        return;
    if (*csv->c == csv->separator) {
        csv->row_ended = false;
        csv->c++;
        return;
    }
    if (*csv->c == '\r')
        csv->c++;
    if (csv->c < csv->end && *csv->c == '\n')
        csv->c++;
    next_line(csv);
}

static bool at_cell_end(const struct csv *csv)
{
    return csv->c >= csv->end || *csv->c == csv->separator || *csv->c == '\n' ||
           (*csv->c == '\r' && (csv->c + 1 >= csv->end || csv->c[1] == '\n'));
}

static char *quoted_cell(struct csv *csv, struct sg_spot opened)
{
    char *start = ++csv->c, *to = start;
    for (;;) {
        if (csv->c >= csv->end) {
            sg_reader_error(csv->reader, SG_ERR_INPUT, opened,
                            "a quoted cell begins here and is not "
                            "closed; allowed: \"...\"");
            csv->failed = true;
            return NULL;
        }
        if (*csv->c == '"' && (csv->c + 1 >= csv->end || csv->c[1] != '"'))
            break;
        if (*csv->c == '"')
            csv->c++;
        *to++ = *csv->c++;
        if (to[-1] == '\n')
            next_line(csv);
    }
    csv->c++;
    while (csv->c < csv->end && (*csv->c == ' ' || (*csv->c == '\t' && csv->separator != '\t')))
        csv->c++;
    if (!at_cell_end(csv)) {
        sg_reader_error(csv->reader, SG_ERR_INPUT, opened,
                        "a quoted cell is followed by more text; "
                        "allowed: the next separator, and \"\" for a quote inside quotes");
        csv->failed = true;
        return NULL;
    }
    end_cell(csv);
    *to = '\0';
    return start;
}

static char *plain_cell(struct csv *csv)
{
    char *start = csv->c;
    while (!at_cell_end(csv))
        csv->c++;
    char *stop = csv->c;
    while (start < stop && (*start == ' ' || *start == '\t'))
        start++;
    while (stop > start && (stop[-1] == ' ' || stop[-1] == '\t'))
        stop--;
    end_cell(csv);
    *stop = '\0';
    return start;
}

/* The next cell and its place; NULL after an error. */
static char *next_cell(struct csv *csv, struct sg_spot *at)
{
    *at = csv->at;
    at->column = (size_t)(csv->c - csv->line_start) + 1;
    if (csv->c < csv->end && *csv->c == '"')
        return quoted_cell(csv, *at);
    return plain_cell(csv);
}

/* Empty lines are not rows. */
static bool more_rows(struct csv *csv)
{
    while (csv->c < csv->end && (*csv->c == '\n' || *csv->c == '\r')) {
        if (*csv->c++ == '\n')
            next_line(csv);
    }
    return csv->c < csv->end && !csv->failed;
}

static bool read_header(struct csv *csv, struct sg_row *row)
{
    struct sg_tree *key = sg_reader_alloc(csv->reader, SG_MAX_COLUMNS, sizeof(*key));
    if (!key)
        return false;
    row->key = key;
    row->ncolumn = 0;
    do {
        struct sg_spot at;
        char *text = next_cell(csv, &at);
        if (!text)
            return false;
        if (row->ncolumn == SG_MAX_COLUMNS) {
            sg_reader_error(csv->reader, SG_ERR_INPUT, at,
                            "the header has more than %u columns; "
                            "allowed: at most %u",
                            SG_MAX_COLUMNS, SG_MAX_COLUMNS);
            return false;
        }
        key[row->ncolumn++] = (struct sg_tree){
            .kind = SG_TREE_TEXT, .at = at, .text = text, .length = strlen(text)
        };
    } while (!csv->row_ended);
    return true;
}

/* One row into the tree; false when it is empty or wrong. */
static bool read_row(struct csv *csv, struct sg_row *row, bool *empty)
{
    struct sg_spot start = csv->at;
    size_t column = 0;
    start.column = 1;
    *empty = true;
    sg_row_clear(row, start);
    do {
        struct sg_spot at;
        char *text = next_cell(csv, &at);
        if (!text)
            return false;
        *empty &= text[0] == '\0';
        if (column < row->ncolumn)
            sg_row_put(row, column, text, at);
        column++;
    } while (!csv->row_ended);
    if (*empty)
        return false;
    if (column != row->ncolumn) {
        sg_reader_error(
            csv->reader, SG_ERR_INPUT, start,
            "the row has %zu cells; allowed: %zu, as "
            "many as the header (decimal mark is '.', texts with the separator stand in "
            "quotes)",
            column, row->ncolumn);
        return false;
    }
    return true;
}

/* False when there is nothing to read. */
static bool start_csv(struct csv *csv, const struct sg_sheet *sheet, size_t length)
{
    if (length >= 3 && memcmp(csv->c, "\xef\xbb\xbf", 3) == 0)
        csv->c += 3;
    csv->line_start = csv->c;
    if (!check_encoding(csv))
        return false;
    while (more_rows(csv) && *csv->c == '#')
        skip_line(csv);
    if (!more_rows(csv)) {
        sg_reader_error(csv->reader, SG_ERR_INPUT, csv->at,
                        "%s is empty; allowed: a header line and "
                        "at least one row",
                        sg_quoted(csv->reader, sheet->path));
        return false;
    }
    csv->separator = sniff(csv);
    return true;
}

void sg_csv_each(struct sg_reader *reader, const struct sg_sheet *sheet, sg_row_fn *fn,
                 void *payload)
{
    size_t length = 0, rows = 0;
    struct sg_row row = { .ncolumn = 0 };
    const struct sg_shape none = { .kind = SG_SHAPE_NONE };
    struct csv csv = { .reader = reader, .at = { .file = sheet->path, .line = 1 } };
    csv.c = sg_reader_file(reader, sheet->path, sheet->named_at, SG_TABLE_MAX_BYTES, &length);
    if (!csv.c)
        return;
    csv.end = csv.c + length;
    if (!start_csv(&csv, sheet, length) || !read_header(&csv, &row))
        return;
    struct sg_spot header = row.key[0].at;
    if (!sg_row_start(reader, &row, sheet, true))
        return;
    while (more_rows(&csv)) {
        bool empty;
        bool good = read_row(&csv, &row, &empty);
        rows += !empty;
        if (good && !fn(reader, &row.map, &none, payload))
            return;
    }
    if (rows == 0 && !csv.failed)
        sg_reader_error(reader, SG_ERR_INPUT, header,
                        "the table has a header and no rows; allowed: "
                        "at least one row");
}
