/* table_csv.c - a table as CSV. Source: RFC 4180 (CRLF, quotes doubled). The header holds the
 * machine names with their units. Text cells that a spreadsheet would take for a formula are
 * guarded; numbers are not, so that negative ones survive.
 */
#include "internal.h"

#include <math.h>

static void put_cell(const struct sg_table *table, size_t row, size_t column, struct sg_text *out)
{
    const struct sg_cell *cell = sg_report_cell(table, row, column);
    if (cell->text != NULL)
        sg_text_put_csv(out, cell->text);
    else if (isfinite(cell->number))
        sg_report_cell_put(table, row, column, out);
}

void sg_report_put_csv_table(const struct sg_table *table, struct sg_text *out)
{
    const char *gap = "";
    for (size_t column = 0; column < table->ncolumn; column++) {
        if (table->column[column].key == NULL)
            continue;
        sg_text_put(out, gap);
        sg_text_put_csv(out, table->column[column].key);
        gap = ",";
    }
    sg_text_put(out, "\r\n");
    for (size_t row = 0; row < table->nrow; row++) {
        gap = "";
        for (size_t column = 0; column < table->ncolumn; column++) {
            if (table->column[column].key == NULL)
                continue;
            sg_text_put(out, gap);
            put_cell(table, row, column, out);
            gap = ",";
        }
        sg_text_put(out, "\r\n");
    }
}
