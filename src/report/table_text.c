/* table_text.c - a table as aligned text: title, heads of up to two lines, a rule, rows, notes.
 * Widths are those of a terminal, so that names in any script keep the columns straight.
 */
#include "internal.h"

#include <string.h>

#define GAP "  "
#define HEAD_LINES 2

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

static size_t column_width(const struct sg_table *table, size_t column, struct scratch *scratch)
{
    size_t widest = 1;
    for (int i = 0; i < HEAD_LINES; i++) {
        size_t width = sg_report_width(head_line(table->column[column].head, i, scratch));
        widest = width > widest ? width : widest;
    }
    for (size_t row = 0; row < table->nrow; row++) {
        size_t width = sg_report_width(cell_line(table, row, column, scratch));
        widest = width > widest ? width : widest;
    }
    return widest;
}

/* No blanks behind the last column's text. */
static void put_padded(const struct sg_table *table, size_t column, size_t width, const char *text,
                       struct sg_text *out)
{
    size_t own = sg_report_width(text);
    size_t pad = width > own ? width - own : 0;
    bool right = table->column[column].is_number;
    if (column > 0)
        sg_text_put(out, GAP);
    if (right)
        put_repeated(out, " ", pad);
    sg_text_put(out, text);
    if (!right && column + 1 < table->ncolumn)
        put_repeated(out, " ", pad);
}

static bool has_second_head(const struct sg_table *table)
{
    for (size_t column = 0; column < table->ncolumn; column++)
        if (strchr(table->column[column].head, '\n') != NULL)
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

static void put_heads(const struct sg_table *table, const size_t *width, struct scratch *scratch,
                      struct sg_text *out)
{
    int lines = has_second_head(table) ? HEAD_LINES : 1;
    for (int i = 0; i < lines; i++) {
        size_t from = out->length;
        for (size_t column = 0; column < table->ncolumn; column++)
            put_padded(table, column, width[column],
                       head_line(table->column[column].head, i, scratch), out);
        end_line(out, from);
    }
    for (size_t column = 0; column < table->ncolumn; column++) {
        if (column > 0)
            sg_text_put(out, GAP);
        put_repeated(out, "-", width[column]);
    }
    sg_text_put(out, "\n");
}

void sg_report_put_text_table(const struct sg_table *table, struct sg_text *out)
{
    struct scratch scratch = { SG_TEXT_INIT, SG_TEXT_INIT, false };
    size_t *width = sg_alloc(table->ncolumn + 1, sizeof *width);
    if (width == NULL) {
        out->failed = true;
        return;
    }
    for (size_t column = 0; column < table->ncolumn; column++)
        width[column] = column_width(table, column, &scratch);
    sg_text_printf(out, "%s\n\n", table->title);
    put_heads(table, width, &scratch, out);
    for (size_t row = 0; row < table->nrow; row++) {
        size_t from = out->length;
        for (size_t column = 0; column < table->ncolumn; column++)
            put_padded(table, column, width[column], cell_line(table, row, column, &scratch), out);
        end_line(out, from);
    }
    if (table->nrow == 0)
        sg_text_put(out, "(no rows)\n");
    for (size_t i = 0; i < table->nnote; i++)
        sg_text_printf(out, "%s%s\n", i == 0 ? "\n" : "", table->note[i]);
    out->failed = out->failed || scratch.failed;
    sg_free(width);
    sg_text_release(&scratch.line);
    sg_text_release(&scratch.cell);
}
