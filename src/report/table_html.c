/* table_html.c - a table as HTML: caption, heads that are repeated on every printed page, every
 * text escaped. A verdict gets a class, so that the style sheet can give it weight besides the
 * word.
 */
#include "internal.h"

#include <string.h>

static const char *verdict_class(const char *text)
{
    static const char *const names[SG_VERDICT_END] = { " v-within", " v-likely", " v-over",
                                                       " v-open" };
    for (int state = 0; state < (int)SG_VERDICT_END; state++)
        if (sg_same(text, sg_verdict_id((enum sg_verdict_state)state)))
            return names[state];
    return "";
}

static void put_head(const struct sg_column *column, struct sg_text *out)
{
    const char *line_end = strchr(column->head, '\n');
    struct sg_text first = SG_TEXT_INIT;
    sg_text_printf(out, "<th scope=\"col\" class=\"%s\">", column->is_number ? "n" : "t");
    if (line_end == NULL) {
        sg_text_put_html(out, column->head);
    } else {
        sg_text_put_bytes(&first, column->head, (size_t)(line_end - column->head));
        sg_text_put_html(out, sg_text_string(&first));
        sg_text_put(out, "<br>");
        sg_text_put_html(out, line_end + 1);
    }
    sg_text_put(out, "</th>");
    out->failed = out->failed || first.failed;
    sg_text_release(&first);
}

static void put_row(const struct sg_table *table, size_t row, struct sg_text *out)
{
    struct sg_text shown = SG_TEXT_INIT;
    sg_text_put(out, "<tr>");
    for (size_t column = 0; column < table->ncolumn; column++) {
        if (table->column[column].head == NULL)
            continue;
        sg_text_clear(&shown);
        sg_report_cell_put(table, row, column, &shown);
        out->failed = out->failed || shown.failed; /* the next clear forgets it */
        const char *text = sg_text_string(&shown);
        const char *tag = column == 0 ? "th" : "td";
        sg_text_printf(out, "<%s%s class=\"%s%s\">", tag, column == 0 ? " scope=\"row\"" : "",
                       table->column[column].is_number ? "n" : "t",
                       column > 0 ? verdict_class(text) : "");
        sg_text_put_html(out, text);
        sg_text_printf(out, "</%s>", tag);
    }
    sg_text_put(out, "</tr>\n");
    sg_text_release(&shown);
}

void sg_table_put_html(const struct sg_table *table, struct sg_text *out)
{
    sg_text_put(out, "<div class=\"wide\"><table id=\"");
    sg_text_put_html(out, table->id);
    sg_text_put(out, "\">\n<caption>");
    sg_text_put_html(out, table->title);
    sg_text_put(out, "</caption>\n<thead><tr>");
    for (size_t column = 0; column < table->ncolumn; column++)
        if (table->column[column].head != NULL)
            put_head(&table->column[column], out);
    sg_text_put(out, "</tr></thead>\n<tbody>\n");
    for (size_t row = 0; row < table->nrow; row++)
        put_row(table, row, out);
    if (table->nrow == 0)
        sg_text_printf(out, "<tr><td colspan=\"%zu\">no rows</td></tr>\n", table->ncolumn);
    sg_text_put(out, "</tbody>\n</table></div>\n");
    for (size_t i = 0; i < table->nnote; i++) {
        sg_text_put(out, "<p class=\"note\">");
        sg_text_put_html(out, table->note[i]);
        sg_text_put(out, "</p>\n");
    }
}
