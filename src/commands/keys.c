/* keys.c - the keys of a file as a table, from the table of fields that reads it. */
#include "commands.h"

static void put_range(const struct sg_field *field, struct sg_table *table)
{
    struct sg_text text = SG_TEXT_INIT;
    switch (field->kind) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_COUNT:
        sg_text_printf(&text, "%.9g to %.9g%s", field->min, field->max,
                       field->kind == SG_FIELD_COUNT ? ", whole" : "");
        break;
    case SG_FIELD_LIST:
    case SG_FIELD_BLOCKS:
        sg_text_printf(&text, "list of %.9g to %.9g", field->min, field->max);
        break;
    case SG_FIELD_BLOCKS_OR_FILE:
        sg_text_printf(&text, "list of %.9g to %.9g, or map", field->min, field->max);
        break;
    case SG_FIELD_BOOL:
        sg_text_put(&text, "true, false");
        break;
    case SG_FIELD_CHOICE:
        for (size_t i = 0; field->choice[i]; i++)
            sg_text_printf(&text, "%s%s", i > 0 ? ", " : "", field->choice[i]);
        break;
    case SG_FIELD_FILE:
        sg_text_put(&text, "file");
        break;
    case SG_FIELD_MAP:
    case SG_FIELD_BLOCK:
        sg_text_put(&text, "map");
        break;
    case SG_FIELD_TEXT:
    default:
        sg_text_put(&text, "text");
        break;
    }
    sg_table_text(table, sg_text_string(&text));
    table->failed |= text.failed;
    sg_text_release(&text);
}

int sg_command_keys(const char *title, size_t count, const struct sg_field *(*at)(size_t index),
                    const char *note, enum sg_format format)
{
    static const struct sg_column columns[] = {
        { "block", "block", 0, false },     { "key", "key", 0, false },
        { "unit", "unit", 0, false },       { "allowed", "allowed", 0, false },
        { "default", "default", 0, false }, { "meaning", "meaning", 0, false },
    };
    struct sg_table table;
    sg_table_init(&table, "keys", title, columns, SG_COUNT(columns));
    for (size_t i = 0; i < count; i++) {
        const struct sg_field *field = at(i);
        sg_table_text(&table, field->block[0] ? field->block : "(top)");
        sg_table_text(&table, field->key);
        sg_table_text(&table, field->unit);
        put_range(field, &table);
        sg_table_text(&table, field->dflt ? field->dflt : "needed");
        sg_table_text(&table, field->meaning);
    }
    sg_table_note(&table, "%s", note);
    sg_table_note(&table, "An empty default: the key may be left out.");
    const struct sg_table *list[] = { &table };
    int result = sg_command_tables(list, 1, format);
    sg_table_release(&table);
    return result;
}
