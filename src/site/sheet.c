/* sheet.c - a table or layer, whatever its form, as rows; one row as a tree. */
#include "site_internal.h"

#include <string.h>

static bool ends_in(const char *path, const char *ending)
{
    size_t length = strlen(path), tail = strlen(ending);
    if (length < tail)
        return false;
    for (size_t i = 0; i < tail; i++) {
        char c = path[length - tail + i];
        if (c >= 'A' && c <= 'Z')
            c = (char)(c - 'A' + 'a');
        if (c != ending[i])
            return false;
    }
    return true;
}

void sg_sheet_each(struct sg_reader *reader, const struct sg_sheet *sheet, sg_row_fn *fn,
                   void *payload)
{
    if (ends_in(sheet->path, ".csv") || ends_in(sheet->path, ".tsv") ||
        ends_in(sheet->path, ".txt"))
        sg_csv_each(reader, sheet, fn, payload);
    else
        sg_geo_each(reader, sheet, fn, payload);
}

static const struct sg_field *field_of(const char *block, const char *column, const char **nearest)
{
    size_t count;
    const struct sg_field *field = sg_block_fields(block, &count);
    const char *known[64];
    for (size_t i = 0; i < count; i++) {
        known[i < SG_COUNT(known) ? i : 0] = field[i].key;
        if (sg_same(field[i].key, column))
            return &field[i];
    }
    *nearest = sg_nearest(column, known, count < SG_COUNT(known) ? count : SG_COUNT(known));
    return NULL;
}

/* A shapefile keeps the first ten characters of a name (its attribute file is dBASE III). */
const char *sg_column_of_cut(const char *block, const char *column)
{
    enum { KEPT = 10 };
    size_t count;
    const struct sg_field *field = sg_block_fields(block, &count);
    const char *full = column;
    if (strlen(column) != KEPT)
        return column;
    for (size_t i = 0; i < count; i++) {
        if (strcmp(field[i].key, column) == 0)
            return column;
        if (strncmp(field[i].key, column, KEPT) == 0)
            full = field[i].key;
    }
    return full;
}

static void put_columns(const char *block, struct sg_text *out)
{
    size_t count;
    const struct sg_field *field = sg_block_fields(block, &count);
    for (size_t i = 0; i < count; i++)
        sg_text_printf(out, "%s%s", i > 0 ? ", " : "", field[i].key);
}

static bool refuse_column(struct sg_reader *reader, const struct sg_tree *key, const char *block,
                          const char *nearest)
{
    struct sg_text allowed = SG_TEXT_INIT;
    put_columns(block, &allowed);
    sg_reader_error(reader, SG_ERR_UNKNOWN, key->at, "column %s is not known%s%s%s; allowed: %s",
                    sg_quoted(reader, key->text), nearest ? " (meant: " : "",
                    nearest ? nearest : "", nearest ? "?)" : "", sg_text_string(&allowed));
    sg_text_release(&allowed);
    return false;
}

/* Layers of a GIS carry columns of their own, so these are passed over; what looks like a mistyped
 * key is said. */
static void pass_over(struct sg_reader *reader, const struct sg_tree *key, const char *nearest)
{
    if (nearest)
        sg_reader_hint(reader, key->at, "column %s is passed over (meant: %s?)",
                       sg_quoted(reader, key->text), nearest);
}

static bool check_column(struct sg_reader *reader, struct sg_row *row, const struct sg_sheet *sheet,
                         bool strict, size_t i)
{
    const struct sg_tree *key = &row->key[i];
    const char *nearest = NULL;
    if (field_of(sheet->block, key->text, &nearest)) {
        row->wanted[i] = true;
    } else if (strict) {
        return refuse_column(reader, key, sheet->block, nearest);
    } else {
        pass_over(reader, key, nearest);
    }
    for (size_t j = 0; j < i && row->wanted[i]; j++) {
        if (strcmp(row->key[j].text, key->text) != 0)
            continue;
        sg_reader_error(reader, SG_ERR_INPUT, key->at,
                        "column %s stands in the header a second time; "
                        "allowed: each column once",
                        sg_quoted(reader, key->text));
        return false;
    }
    return true;
}

static bool has_column(const struct sg_row *row, const char *name)
{
    for (size_t i = 0; i < row->ncolumn; i++) {
        if (sg_same(row->key[i].text, name))
            return true;
    }
    return false;
}

/* A column that is needed and not there is said once, not for every row. */
static bool check_needed(struct sg_reader *reader, const struct sg_row *row,
                         const struct sg_sheet *sheet, bool strict)
{
    size_t count;
    bool good = true;
    const struct sg_field *field = sg_block_fields(sheet->block, &count);
    struct sg_spot at = { .file = sheet->path,
                          .line = strict ? row->key[0].at.line : 0,
                          .column = strict ? 1 : 0 };
    for (size_t i = 0; i < count; i++) {
        if (field[i].dflt || has_column(row, field[i].key))
            continue;
        sg_reader_error(reader, SG_ERR_MISSING, at, "column %s is missing (%s)", field[i].key,
                        field[i].meaning);
        good = false;
    }
    return good;
}

bool sg_row_start(struct sg_reader *reader, struct sg_row *row, const struct sg_sheet *sheet,
                  bool strict)
{
    bool good = true;
    row->value = sg_reader_alloc(reader, row->ncolumn, sizeof(*row->value));
    row->wanted = sg_reader_alloc(reader, row->ncolumn, sizeof(*row->wanted));
    row->map = (struct sg_tree){ .kind = SG_TREE_MAP, .from_table = true };
    row->map.child = sg_reader_alloc(reader, 2 * row->ncolumn, sizeof(struct sg_tree *));
    if (!row->value || !row->wanted || !row->map.child)
        return false;
    row->every_cell = sg_same(sheet->block, SG_ANY_COLUMNS);
    for (size_t i = 0; i < row->ncolumn && row->every_cell; i++)
        row->wanted[i] = true;
    if (!sheet->block || row->every_cell)
        return true;
    for (size_t i = 0; i < row->ncolumn; i++)
        good &= check_column(reader, row, sheet, strict, i);
    return check_needed(reader, row, sheet, strict) && good;
}

void sg_row_clear(struct sg_row *row, struct sg_spot at)
{
    row->map.at = at;
    row->map.count = 0;
}

void sg_row_put(struct sg_row *row, size_t column, const char *text, struct sg_spot at)
{
    if (!row->wanted[column] || (text[0] == '\0' && !row->every_cell))
        return;
    struct sg_tree *value = &row->value[column];
    *value = (struct sg_tree){
        .kind = SG_TREE_TEXT, .from_table = true, .at = at, .text = text, .length = strlen(text)
    };
    row->key[column].at = at;
    row->map.child[2 * row->map.count] = &row->key[column];
    row->map.child[2 * row->map.count + 1] = value;
    row->map.count++;
}
