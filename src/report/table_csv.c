/* table_csv.c - a table as CSV. Source: RFC 4180 (CRLF, quotes doubled). The header holds the
 * machine names with their units. Text cells that a spreadsheet would take for a formula are
 * guarded; numbers are not, so that negative ones survive.
 */
#include "internal.h"

#include <math.h>

void sg_report_put_csv_table(const struct sg_table *table, struct sg_text *out)
{
    for (size_t column = 0; column < table->ncolumn; column++) {
        sg_text_put(out, column > 0 ? "," : "");
        sg_text_put_csv(out, table->column[column].key);
    }
    sg_text_put(out, "\r\n");
    for (size_t row = 0; row < table->nrow; row++) {
        for (size_t column = 0; column < table->ncolumn; column++) {
            const struct sg_cell *cell = sg_report_cell(table, row, column);
            sg_text_put(out, column > 0 ? "," : "");
            if (cell->text != NULL)
                sg_text_put_csv(out, cell->text);
            else if (isfinite(cell->number))
                sg_report_cell_put(table, row, column, out);
        }
        sg_text_put(out, "\r\n");
    }
}
