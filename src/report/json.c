/* json.c - tables as JSON, and the JSON Schema of the site file. The only file that knows jansson.
 * Sources: RFC 8259 (JSON has no NaN: missing numbers are null); JSON Schema draft 2020-12.
 */
#include "internal.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

#define SCHEMA_ID "stillground/1"
#define WHOLE_MAX 9007199254740992.0 /* 2^53: whole numbers a double holds exactly */
#define DUMP_FLAGS (JSON_INDENT(1) | JSON_REAL_PRECISION(17))

/* Whole numbers are written without a point. */
static json_t *number_or_null(double value)
{
    if (!isfinite(value))
        return json_null();
    double whole = nearbyint(value);
    if (fabs(value) < WHOLE_MAX && !(whole < value) && !(whole > value))
        return json_integer((json_int_t)whole);
    return json_real(value);
}

static json_t *text_value(const char *text)
{
    struct sg_text clean = SG_TEXT_INIT;
    sg_report_put_clean(&clean, text, false);
    json_t *value = clean.failed ? NULL : json_string(sg_text_string(&clean));
    sg_text_release(&clean);
    return value;
}

static int take_bytes(const char *bytes, size_t length, void *payload)
{
    struct sg_text *out = payload;
    sg_text_put_bytes(out, bytes, length);
    return out->failed ? -1 : 0;
}

/* Appends a dumped value; takes the reference. */
static sg_status dump(json_t *root, struct sg_text *out)
{
    int bad = root == NULL ? -1 : json_dump_callback(root, take_bytes, out, DUMP_FLAGS);
    json_decref(root);
    if (bad != 0)
        return SG_ERR_NOMEM;
    sg_text_put(out, "\n");
    return out->failed ? SG_ERR_NOMEM : SG_OK;
}

/* ---- tables ---------------------------------------------------------------------------------- */

static json_t *one_line(const char *head)
{
    struct sg_text clean = SG_TEXT_INIT;
    sg_report_put_clean(&clean, head, true);
    json_t *value = clean.failed ? NULL : json_string(sg_text_string(&clean));
    sg_text_release(&clean);
    return value;
}

static json_t *columns_value(const struct sg_table *table)
{
    json_t *list = json_array();
    for (size_t i = 0; i < table->ncolumn; i++) {
        const struct sg_column *column = &table->column[i];
        if (column->key == NULL)
            continue;
        json_t *entry = json_object();
        int bad = json_object_set_new(entry, "key", text_value(column->key));
        bad |= json_object_set_new(entry, "head",
                                   one_line(column->head != NULL ? column->head : column->key));
        bad |= json_object_set_new(entry, "type",
                                   json_string(column->is_number ? "number" : "string"));
        if (json_array_append_new(list, entry) != 0 || bad != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *row_value(const struct sg_table *table, size_t row)
{
    json_t *entry = json_object();
    for (size_t i = 0; i < table->ncolumn; i++) {
        const struct sg_cell *cell = sg_report_cell(table, row, i);
        if (table->column[i].key == NULL)
            continue;
        json_t *value = cell->text != NULL ? text_value(cell->text) : number_or_null(cell->number);
        if (json_object_set_new(entry, table->column[i].key, value) != 0) {
            json_decref(entry);
            return NULL;
        }
    }
    return entry;
}

static json_t *table_value(const struct sg_table *table)
{
    json_t *value = json_object();
    json_t *rows = json_array();
    json_t *notes = json_array();
    int bad = 0;
    for (size_t row = 0; row < table->nrow; row++)
        bad |= json_array_append_new(rows, row_value(table, row));
    for (size_t i = 0; i < table->nnote; i++)
        bad |= json_array_append_new(notes, text_value(table->note[i]));
    bad |= json_object_set_new(value, "id", text_value(table->id));
    bad |= json_object_set_new(value, "title", text_value(table->title));
    bad |= json_object_set_new(value, "columns", columns_value(table));
    bad |= json_object_set_new(value, "rows", rows);
    bad |= json_object_set_new(value, "notes", notes);
    if (bad != 0) {
        json_decref(value);
        return NULL;
    }
    return value;
}

sg_status sg_report_put_json(const struct sg_table *const *table, size_t count, struct sg_text *out)
{
    json_t *root = json_object();
    json_t *list = json_array();
    int bad = 0;
    for (size_t i = 0; i < count; i++)
        bad |= json_array_append_new(list, table_value(table[i]));
    bad |= json_object_set_new(root, "schema", json_string(SCHEMA_ID));
    bad |= json_object_set_new(root, "tables", list);
    if (bad != 0) {
        json_decref(root);
        return SG_ERR_NOMEM;
    }
    return dump(root, out);
}

/* ---- schema of the site file ----------------------------------------------------------------- */

#define DEEPEST 6 /* nesting of blocks; the table of fields has no loops */

static json_t *block_schema(const char *path, int depth);

static json_t *described(const struct sg_field *field)
{
    json_t *schema = json_object();
    struct sg_text meaning = SG_TEXT_INIT;
    sg_text_put(&meaning, field->meaning == NULL ? "" : field->meaning);
    if (field->unit != NULL && field->unit[0] != '\0')
        sg_text_printf(&meaning, " [%s]", field->unit);
    json_object_set_new(schema, "description", text_value(sg_text_string(&meaning)));
    sg_text_release(&meaning);
    return schema;
}

static void set_type(json_t *schema, const char *type)
{
    json_object_set_new(schema, "type", json_string(type));
}

static json_t *choice_list(const char *const *choice)
{
    json_t *list = json_array();
    for (; choice != NULL && *choice != NULL; choice++)
        json_array_append_new(list, text_value(*choice));
    return list;
}

static json_t *text_or_choice(const struct sg_field *field)
{
    json_t *schema = json_object();
    set_type(schema, "string");
    if (field->choice != NULL)
        json_object_set_new(schema, "enum", choice_list(field->choice));
    return schema;
}

static void set_bound(json_t *schema, const char *name, double value)
{
    if (isfinite(value))
        json_object_set_new(schema, name, number_or_null(value));
}

/* The default in the kind of the field. */
static void set_default(json_t *schema, const struct sg_field *field)
{
    double number = 0.0;
    if (field->dflt == NULL || field->dflt[0] == '\0')
        return;
    bool is_number = field->kind == SG_FIELD_NUMBER || field->kind == SG_FIELD_COUNT;
    if (is_number && sg_ok(sg_parse_number(field->dflt, &number, NULL)))
        json_object_set_new(schema, "default", number_or_null(number));
    else if (field->kind == SG_FIELD_BOOL)
        json_object_set_new(schema, "default", json_boolean(sg_same(field->dflt, "true")));
    else if (!is_number)
        json_object_set_new(schema, "default", text_value(field->dflt));
}

static char *block_path(const struct sg_field *field, struct sg_arena *arena)
{
    return field->block[0] == '\0' ? sg_arena_printf(arena, "%s", field->key)
                                   : sg_arena_printf(arena, "%s.%s", field->block, field->key);
}

/* A list of words, or of points: keys that end in _points hold [x, y] in metres. */
static json_t *list_items(const struct sg_field *field)
{
    static const char points[] = "_points";
    size_t length = strlen(field->key), ending = sizeof points - 1;
    if (length < ending || strcmp(field->key + length - ending, points) != 0)
        return text_or_choice(field);
    json_t *point = json_object();
    json_t *number = json_object();
    set_type(number, "number");
    set_type(point, "array");
    json_object_set_new(point, "items", number);
    json_object_set_new(point, "minItems", json_integer(2));
    json_object_set_new(point, "maxItems", json_integer(2));
    return point;
}

static void set_lengths(json_t *schema, const struct sg_field *field)
{
    set_bound(schema, "minItems", field->min);
    if (field->max > 0.0)
        set_bound(schema, "maxItems", field->max);
}

static void set_nested(json_t *schema, const struct sg_field *field, int depth)
{
    struct sg_arena arena = SG_ARENA_INIT;
    const char *path = block_path(field, &arena);
    json_t *block = path == NULL ? NULL : block_schema(path, depth + 1);
    if (field->kind == SG_FIELD_BLOCKS) {
        set_type(schema, "array");
        json_object_set_new(schema, "items", block);
        set_lengths(schema, field);
    } else if (block != NULL) {
        json_object_update(schema, block);
        json_decref(block);
    }
    sg_arena_release(&arena);
}

/* A list of maps, or one map that names a file. */
static void set_list_or_file(json_t *schema, const struct sg_field *field, int depth)
{
    struct sg_field list = *field;
    struct sg_arena arena = SG_ARENA_INIT;
    json_t *listed = json_object(), *ways = json_array();
    list.kind = SG_FIELD_BLOCKS;
    set_nested(listed, &list, depth);
    json_array_append_new(ways, listed);
    const char *path = sg_arena_printf(&arena, "%s.file", field->key);
    if (path != NULL)
        json_array_append_new(ways, block_schema(path, depth + 1));
    json_object_set_new(schema, "anyOf", ways);
    sg_arena_release(&arena);
}

/* A map from names to one text, number or list of texts; the words allowed as names, if told. */
static void set_map(json_t *schema, const struct sg_field *field)
{
    json_t *entry = json_object();
    json_t *kinds = json_array();
    json_t *items = json_object();
    set_type(schema, "object");
    json_array_append_new(kinds, json_string("array"));
    json_array_append_new(kinds, json_string("string"));
    json_array_append_new(kinds, json_string("number"));
    json_object_set_new(entry, "type", kinds);
    set_type(items, "string");
    json_object_set_new(entry, "items", items);
    json_object_set_new(schema, "additionalProperties", entry);
    if (field->choice != NULL) {
        json_t *names = json_object();
        json_object_set_new(names, "enum", choice_list(field->choice));
        json_object_set_new(schema, "propertyNames", names);
    }
}

static json_t *field_schema(const struct sg_field *field, int depth)
{
    json_t *schema = described(field);
    switch (field->kind) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_COUNT:
        set_type(schema, field->kind == SG_FIELD_NUMBER ? "number" : "integer");
        set_bound(schema, "minimum", field->min);
        set_bound(schema, "maximum", field->max);
        break;
    case SG_FIELD_BOOL:
        set_type(schema, "boolean");
        break;
    case SG_FIELD_LIST:
        set_type(schema, "array");
        json_object_set_new(schema, "items", list_items(field));
        set_lengths(schema, field);
        break;
    case SG_FIELD_MAP:
        set_map(schema, field);
        break;
    case SG_FIELD_BLOCKS_OR_FILE:
        set_list_or_file(schema, field, depth);
        break;
    case SG_FIELD_BLOCK:
    case SG_FIELD_BLOCKS:
        set_nested(schema, field, depth);
        break;
    case SG_FIELD_TEXT:
    case SG_FIELD_CHOICE:
    case SG_FIELD_FILE: {
        json_t *text = text_or_choice(field);
        json_object_update(schema, text);
        json_decref(text);
        break;
    }
    }
    set_default(schema, field);
    return schema;
}

static json_t *block_schema(const char *path, int depth)
{
    json_t *schema = json_object();
    json_t *properties = json_object();
    json_t *required = json_array();
    set_type(schema, "object");
    for (size_t i = 0; i < sg_field_count() && depth < DEEPEST; i++) {
        const struct sg_field *field = sg_field_at(i);
        if (!sg_same(field->block, path))
            continue;
        json_object_set_new(properties, field->key, field_schema(field, depth));
        if (field->dflt == NULL)
            json_array_append_new(required, json_string(field->key));
    }
    json_object_set_new(schema, "properties", properties);
    if (json_array_size(required) > 0)
        json_object_set_new(schema, "required", required);
    else
        json_decref(required);
    json_object_set_new(schema, "additionalProperties", json_false());
    return schema;
}

sg_status sg_schema_put(struct sg_text *out)
{
    json_t *root = json_object();
    json_t *block = block_schema("", 0);
    int bad = json_object_set_new(root, "$schema",
                                  json_string("https://json-schema.org/draft/2020-12/schema"));
    bad |= json_object_set_new(root, "title", json_string("stillground site file"));
    bad |= json_object_update(root, block);
    json_decref(block);
    if (bad != 0) {
        json_decref(root);
        return SG_ERR_NOMEM;
    }
    return dump(root, out);
}
