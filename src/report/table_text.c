/* table_text.c - a table as aligned text: title, heads of up to two lines, a rule, rows, notes.
 * Widths are those of a terminal, so that names in any script keep the columns straight. A table
 * wider than WIDEST has its widest texts broken over several lines, whatever the terminal is: the
 * output must not depend on it.
 */
#include "internal.h"

#include <string.h>

#define GAP "  "
#define HEAD_LINES 2
#define WIDEST 160   /* columns */
#define NARROWEST 12 /* no text is broken into less, ... */
#define LONGEST 28   /* ... nor within a word shorter than this */

static void put_repeated(struct sg_text *out, const char *string, size_t count)
{
    for (size_t i = 0; i < count; i++)
        sg_text_put(out, string);
}

/* Texts used over and over; a clear forgets a failure, so it is kept here. */
struct scratch {
    struct sg_text line, cell;
    bool failed;
};

/* Line 0 or 1 of a head. */
static const char *head_line(const char *head, int line, struct scratch *scratch)
{
    const char *end = strchr(head, '\n');
    sg_text_clear(&scratch->line);
    if (line == 0)
        sg_text_put_bytes(&scratch->line, head, end == NULL ? strlen(head) : (size_t)(end - head));
    else if (end != NULL)
        sg_text_put(&scratch->line, end + 1);
    scratch->failed = scratch->failed || scratch->line.failed;
    return sg_text_string(&scratch->line);
}

/* The cell on one line. */
static const char *cell_line(const struct sg_table *table, size_t row, size_t column,
                             struct scratch *scratch)
{
    sg_text_clear(&scratch->cell);
    sg_text_clear(&scratch->line);
    sg_report_cell_put(table, row, column, &scratch->cell);
    sg_report_put_clean(&scratch->line, sg_text_string(&scratch->cell), true);
    scratch->failed = scratch->failed || scratch->cell.failed || scratch->line.failed;
    return sg_text_string(&scratch->line);
}

static bool shown(const struct sg_table *table, size_t column)
{
    return table->column[column].head != NULL;
}

static size_t head_width(const struct sg_table *table, size_t column, struct scratch *scratch)
{
    size_t widest = 1;
    for (int i = 0; i < HEAD_LINES; i++) {
        size_t width = sg_report_width(head_line(table->column[column].head, i, scratch));
        widest = width > widest ? width : widest;
    }
    return widest;
}

/* Width of the longest word of a text, as far as it is kept whole. */
static size_t longest_word(const char *text)
{
    size_t longest = 0, word = 0, step;
    for (; *text != '\0'; text += step) {
        char one[8] = { 0 };
        sg_report_code_point(text, &step);
        memcpy(one, text, step);
        word = *text == ' ' ? 0 : word + sg_report_width(one);
        longest = word > longest ? word : longest;
    }
    return longest < LONGEST ? longest : LONGEST;
}

/* A text column is not narrower than its head and its longest word. */
static size_t least_width(const struct sg_table *table, size_t column, struct scratch *scratch)
{
    size_t least = head_width(table, column, scratch);
    least = least > NARROWEST ? least : NARROWEST;
    for (size_t row = 0; row < table->nrow; row++) {
        size_t word = longest_word(cell_line(table, row, column, scratch));
        least = word > least ? word : least;
    }
    return least;
}

static size_t column_width(const struct sg_table *table, size_t column, struct scratch *scratch)
{
    size_t widest = head_width(table, column, scratch);
    for (size_t row = 0; row < table->nrow; row++) {
        size_t width = sg_report_width(cell_line(table, row, column, scratch));
        widest = width > widest ? width : widest;
    }
    return widest;
}

/* Takes from the widest text column until the table fits or nothing more can be taken. */
static void narrow(const struct sg_table *table, size_t *width, size_t *least,
                   struct scratch *scratch)
{
    size_t total = 0;
    for (size_t column = 0; column < table->ncolumn; column++) {
        total += shown(table, column) ? width[column] + strlen(GAP) : 0;
        least[column] = shown(table, column) ? least_width(table, column, scratch) : 0;
    }
    while (total > WIDEST + strlen(GAP)) {
        size_t widest = SIZE_MAX;
        for (size_t column = 0; column < table->ncolumn; column++) {
            if (!shown(table, column) || table->column[column].is_number ||
                width[column] <= least[column])
                continue;
            if (widest == SIZE_MAX || width[column] > width[widest])
                widest = column;
        }
        if (widest == SIZE_MAX)
            return;
        width[widest]--;
        total--;
    }
}

/* Bytes of the longest start of a text that fits a width: to the last blank within it, or cut where
 * there is none. *skip is the length with the blanks behind it. */
static size_t line_length(const char *text, size_t width, size_t *skip)
{
    size_t used = 0, at_blank = 0, i = 0, step;
    while (text[i] != '\0') {
        sg_report_code_point(text + i, &step);
        char one[8] = { 0 };
        memcpy(one, text + i, step);
        used += sg_report_width(one);
        if (used > width)
            break;
        if (text[i] == ' ')
            at_blank = i;
        i += step;
    }
    size_t length = i;
    if (text[i] != '\0' && text[i] != ' ' && at_blank > 0)
        length = at_blank;
    if (length == 0 && text[0] != '\0')
        sg_report_code_point(text, &length); /* always get on */
    *skip = length;
    while (text[*skip] == ' ')
        ++*skip;
    return length;
}

static void put_padded(const struct sg_table *table, size_t column, size_t width, const char *text,
                       size_t length, struct sg_text *out)
{
    struct sg_text part = SG_TEXT_INIT;
    sg_text_put_bytes(&part, text, length);
    size_t own = sg_report_width(sg_text_string(&part));
    size_t pad = width > own ? width - own : 0;
    bool right = table->column[column].is_number;
    if (right)
        put_repeated(out, " ", pad);
    sg_text_put(out, sg_text_string(&part));
    if (!right)
        put_repeated(out, " ", pad);
    out->failed = out->failed || part.failed;
    sg_text_release(&part);
}

static bool has_second_head(const struct sg_table *table)
{
    for (size_t column = 0; column < table->ncolumn; column++)
        if (shown(table, column) && strchr(table->column[column].head, '\n') != NULL)
            return true;
    return false;
}

/* Cuts blanks at the end of what was written since `from`, then ends the line. */
static void end_line(struct sg_text *out, size_t from)
{
    while (!out->failed && out->length > from && out->data[out->length - 1] == ' ')
        out->data[--out->length] = '\0';
    sg_text_put(out, "\n");
}

static void put_gap(const struct sg_table *table, size_t column, struct sg_text *out)
{
    for (size_t i = 0; i < column; i++) {
        if (shown(table, i)) {
            sg_text_put(out, GAP);
            return;
        }
    }
}

static void put_heads(const struct sg_table *table, const size_t *width, struct scratch *scratch,
                      struct sg_text *out)
{
    int lines = has_second_head(table) ? HEAD_LINES : 1;
    for (int i = 0; i < lines; i++) {
        size_t from = out->length;
        for (size_t column = 0; column < table->ncolumn; column++) {
            if (!shown(table, column))
                continue;
            const char *text = head_line(table->column[column].head, i, scratch);
            put_gap(table, column, out);
            put_padded(table, column, width[column], text, strlen(text), out);
        }
        end_line(out, from);
    }
    for (size_t column = 0; column < table->ncolumn; column++) {
        if (!shown(table, column))
            continue;
        put_gap(table, column, out);
        put_repeated(out, "-", width[column]);
    }
    sg_text_put(out, "\n");
}

/* One row, over as many lines as its longest text needs. done[column]: bytes already written. */
static void put_row(const struct sg_table *table, size_t row, const size_t *width, size_t *done,
                    struct scratch *scratch, struct sg_text *out)
{
    bool more = true;
    memset(done, 0, table->ncolumn * sizeof(*done));
    for (int line = 0; more; line++) {
        size_t from = out->length;
        more = false;
        for (size_t column = 0; column < table->ncolumn; column++) {
            if (!shown(table, column))
                continue;
            const char *rest = cell_line(table, row, column, scratch) + done[column];
            size_t skip, length = line_length(rest, width[column], &skip);
            put_gap(table, column, out);
            put_padded(table, column, width[column], rest, length, out);
            done[column] += skip;
            more = more || rest[skip] != '\0';
        }
        end_line(out, from);
    }
}

void sg_report_put_text_table(const struct sg_table *table, struct sg_text *out)
{
    struct scratch scratch = { SG_TEXT_INIT, SG_TEXT_INIT, false };
    size_t *width = sg_alloc(table->ncolumn + 1, sizeof *width);
    size_t *done = sg_alloc(table->ncolumn + 1, sizeof *done);
    if (width == NULL || done == NULL) {
        out->failed = true;
        goto done;
    }
    for (size_t column = 0; column < table->ncolumn; column++)
        width[column] = shown(table, column) ? column_width(table, column, &scratch) : 0;
    narrow(table, width, done, &scratch);
    sg_text_printf(out, "%s\n\n", table->title);
    put_heads(table, width, &scratch, out);
    for (size_t row = 0; row < table->nrow; row++)
        put_row(table, row, width, done, &scratch, out);
    if (table->nrow == 0)
        sg_text_put(out, "(no rows)\n");
    for (size_t i = 0; i < table->nnote; i++)
        sg_text_printf(out, "%s%s\n", i == 0 ? "\n" : "", table->note[i]);
    out->failed = out->failed || scratch.failed;
done:
    sg_free(width);
    sg_free(done);
    sg_text_release(&scratch.line);
    sg_text_release(&scratch.cell);
}
