/* table.c - tables filled cell by cell, and the way into each notation. */
#include "internal.h"

#include <math.h>
#include <string.h>

#define SAME_AS_COLUMN (-2)
#define BY_SIZE (-1)

void sg_table_init(struct sg_table *table, const char *id, const char *title,
                   const struct sg_column *column, size_t ncolumn)
{
    *table = (struct sg_table){
        .id = id, .title = title, .column = column, .ncolumn = ncolumn, .arena = SG_ARENA_INIT
    };
}

void sg_table_release(struct sg_table *table)
{
    if (table == NULL)
        return;
    sg_free(table->cell);
    sg_free((void *)table->note);
    sg_arena_release(&table->arena);
    *table = (struct sg_table){ .arena = SG_ARENA_INIT };
}

static void put_cell(struct sg_table *table, struct sg_cell cell)
{
    if (table->failed || table->ncolumn == 0)
        return;
    if (table->ncell == table->capacity) {
        size_t capacity = table->capacity == 0 ? 8 * table->ncolumn : 2 * table->capacity;
        struct sg_cell *grown = sg_realloc(table->cell, capacity, sizeof *grown);
        if (grown == NULL) {
            table->failed = true;
            return;
        }
        table->cell = grown;
        table->capacity = capacity;
    }
    table->cell[table->ncell++] = cell;
    table->nrow = table->ncell / table->ncolumn;
}

/* A cleaned copy in the table's arena; NULL marks the table as failed. */
static const char *keep_text(struct sg_table *table, const char *text)
{
    struct sg_text clean = SG_TEXT_INIT;
    sg_report_put_clean(&clean, text, false);
    const char *kept =
        clean.failed ? NULL : sg_arena_copy(&table->arena, sg_text_string(&clean), clean.length);
    sg_text_release(&clean);
    if (kept == NULL)
        table->failed = true;
    return kept;
}

void sg_table_text(struct sg_table *table, const char *text)
{
    const char *kept = keep_text(table, text == NULL ? "" : text);
    if (kept != NULL)
        put_cell(table, (struct sg_cell){ kept, SG_UNSET, SAME_AS_COLUMN });
}

void sg_table_printf(struct sg_table *table, const char *format, ...)
{
    struct sg_text text = SG_TEXT_INIT;
    va_list arguments;
    va_start(arguments, format);
    sg_text_vprintf(&text, format, arguments);
    va_end(arguments);
    if (text.failed)
        table->failed = true;
    else
        sg_table_text(table, sg_text_string(&text));
    sg_text_release(&text);
}

void sg_table_number(struct sg_table *table, double number)
{
    sg_table_number_to(table, number, SAME_AS_COLUMN);
}

void sg_table_number_to(struct sg_table *table, double number, int decimals)
{
    put_cell(table, (struct sg_cell){ NULL, number, decimals });
}

static void keep_note(struct sg_table *table, const char *text)
{
    for (size_t i = 0; i < table->nnote; i++)
        if (sg_same(table->note[i], text))
            return;
    const char **grown = sg_realloc((void *)table->note, table->nnote + 1, sizeof *grown);
    if (grown == NULL) {
        table->failed = true;
        return;
    }
    table->note = grown;
    const char *kept = keep_text(table, text);
    if (kept != NULL)
        table->note[table->nnote++] = kept;
}

void sg_table_note(struct sg_table *table, const char *format, ...)
{
    struct sg_text text = SG_TEXT_INIT;
    va_list arguments;
    va_start(arguments, format);
    sg_text_vprintf(&text, format, arguments);
    va_end(arguments);
    if (text.failed)
        table->failed = true;
    else
        keep_note(table, sg_text_string(&text));
    sg_text_release(&text);
}

const struct sg_cell *sg_report_cell(const struct sg_table *table, size_t row, size_t column)
{
    return &table->cell[row * table->ncolumn + column];
}

int sg_report_cell_decimals(const struct sg_table *table, size_t row, size_t column)
{
    const struct sg_cell *cell = sg_report_cell(table, row, column);
    int decimals =
        cell->decimals == SAME_AS_COLUMN ? table->column[column].decimals : cell->decimals;
    return decimals == BY_SIZE ? sg_ppv_decimals(cell->number) : decimals;
}

void sg_report_cell_put(const struct sg_table *table, size_t row, size_t column,
                        struct sg_text *out)
{
    const struct sg_cell *cell = sg_report_cell(table, row, column);
    if (cell->text != NULL)
        sg_text_put(out, cell->text);
    else if (!isfinite(cell->number))
        sg_text_put(out, "-");
    else
        sg_text_put_number(out, cell->number, sg_report_cell_decimals(table, row, column));
}

sg_status sg_report_table_status(const struct sg_table *table)
{
    if (table->failed)
        return SG_ERR_NOMEM;
    return table->ncell == table->nrow * table->ncolumn ? SG_OK : SG_ERR_BUG;
}

sg_status sg_table_put(const struct sg_table *const *table, size_t count, enum sg_format format,
                       struct sg_text *out)
{
    for (size_t i = 0; i < count; i++) {
        sg_status status = sg_report_table_status(table[i]);
        if (!sg_ok(status))
            return status;
    }
    if (format == SG_FORMAT_JSON)
        return sg_report_put_json(table, count, out);
    for (size_t i = 0; i < count; i++) {
        if (i > 0)
            sg_text_put(out, format == SG_FORMAT_CSV ? "\r\n" : "\n");
        if (format == SG_FORMAT_CSV)
            sg_report_put_csv_table(table[i], out);
        else
            sg_report_put_text_table(table[i], out);
    }
    return out->failed ? SG_ERR_NOMEM : SG_OK;
}
