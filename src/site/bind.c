/* bind.c - a map, or a row of a table, into a struct through the table of fields. */
#include "site_internal.h"

#include <math.h>
#include <string.h>

/* ---- what is allowed ---- */

void sg_field_put_allowed(const struct sg_field *field, struct sg_text *out)
{
    switch (field->kind) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_COUNT:
        sg_text_printf(out, "%s from %.9g to %.9g%s%s",
                       field->kind == SG_FIELD_COUNT ? "a whole number" : "a number", field->min,
                       field->max, field->unit[0] ? " " : "", field->unit);
        break;
    case SG_FIELD_BOOL:
        sg_text_put(out, "true or false");
        break;
    case SG_FIELD_CHOICE:
        for (size_t i = 0; field->choice[i]; i++)
            sg_text_printf(out, "%s%s", i > 0 ? ", " : "", field->choice[i]);
        break;
    case SG_FIELD_FILE:
        sg_text_put(out, "the name of a file");
        break;
    case SG_FIELD_LIST:
    case SG_FIELD_BLOCKS:
    case SG_FIELD_BLOCKS_OR_FILE:
        sg_text_printf(out, "a list of %.9g", field->min);
        if (field->max > field->min)
            sg_text_printf(out, " to %.9g", field->max);
        sg_text_put(out, field->kind == SG_FIELD_LIST ? " items" : " maps");
        if (field->kind == SG_FIELD_BLOCKS_OR_FILE)
            sg_text_put(out, ", or a map that names a file");
        break;
    case SG_FIELD_MAP:
    case SG_FIELD_BLOCK:
        sg_text_put(out, "a map of keys and values");
        break;
    case SG_FIELD_TEXT:
    default:
        sg_text_put(out, sg_same(field->key, "name")
                             ? "a text in one line, up to 200 bytes, without "
                               "control characters"
                             : "a text");
        break;
    }
}

/* One key being set. */
struct setting {
    struct sg_reader *reader;
    const struct sg_field *field;
    const struct sg_tree *value;
    const char *label; /* "methods.energy_kJ", or the column's name */
    void *target;
};

static bool refuse(const struct setting *s, const char *what)
{
    struct sg_text allowed = SG_TEXT_INIT;
    sg_field_put_allowed(s->field, &allowed);
    const char *value = s->value->kind == SG_TREE_TEXT   ? s->value->text
                        : s->value->kind == SG_TREE_LIST ? "[...]"
                                                         : "{...}";
    sg_reader_error(s->reader, SG_ERR_INPUT, s->value->at, "%s: %s %s; allowed: %s", s->label,
                    sg_quoted(s->reader, value), what, sg_text_string(&allowed));
    s->reader->nomem |= allowed.failed;
    sg_text_release(&allowed);
    return false;
}

static void *slot(const struct setting *s)
{
    return (char *)s->target + s->field->offset;
}

/* ---- texts ---- */

/* Why a text cannot be taken, or NULL. Names stand in one line of every output, so they hold no
 * control characters; other texts may be broken into lines. */
static const char *text_fault(const struct sg_tree *value, bool is_name)
{
    if (strlen(value->text) != value->length)
        return "holds a NUL character";
    if (value->length > (is_name ? SG_MAX_NAME : SG_MAX_PROSE))
        return is_name ? "is longer than 200 bytes" : "is longer than 20000 bytes";
    for (const unsigned char *c = (const unsigned char *)value->text; *c; c++) {
        if ((*c == '\n' || *c == '\t') && !is_name)
            continue;
        if (*c == '\n' || *c == '\r')
            return "holds a line break";
        if (*c < 0x20 || *c == 0x7f || (*c == 0xc2 && c[1] >= 0x80 && c[1] <= 0x9f))
            return "holds a control character";
    }
    return NULL;
}

static bool set_text(const struct setting *s)
{
    bool is_name = sg_same(s->field->key, "name") || s->field->kind == SG_FIELD_FILE;
    const char *fault = text_fault(s->value, is_name);
    if (fault)
        return refuse(s, fault);
    bool needed = s->field->dflt == NULL || s->field->kind == SG_FIELD_FILE;
    if (needed && strspn(s->value->text, " ") == s->value->length)
        return refuse(s, "is empty");
    *(const char **)slot(s) = s->value->text;
    return true;
}

static bool set_choice(const struct setting *s)
{
    size_t count = 0;
    for (; s->field->choice[count]; count++) {
        if (strcmp(s->field->choice[count], s->value->text) == 0) {
            *(const char **)slot(s) = s->field->choice[count];
            return true;
        }
    }
    if (s->value->text[0] == '\0' && s->field->dflt)
        return true;
    const char *nearest = sg_nearest(s->value->text, s->field->choice, count);
    char what[96] = "is not known";
    struct sg_text text = SG_TEXT_INIT;
    if (nearest) {
        sg_text_printf(&text, "is not known (meant: %s?)", nearest);
        size_t length = text.length < sizeof(what) ? text.length : sizeof(what) - 1;
        if (!text.failed)
            memcpy(what, text.data, length + 1);
        what[sizeof(what) - 1] = '\0';
        sg_text_release(&text);
    }
    return refuse(s, what);
}

/* ---- numbers ---- */

/* "28 kJ": a number followed by letters. */
static bool has_unit(const char *text)
{
    text += strspn(text, " \t");
    const char *digit = strpbrk(text, "0123456789");
    if (!digit || strspn(text, "+-.") != (size_t)(digit - text))
        return false;
    text += strspn(text, "+-.0123456789");
    if ((*text == 'e' || *text == 'E') && strspn(text + 1, "+-0123456789") > 0)
        return false; /* an exponent */
    text += strspn(text, " \t");
    return (*text >= 'A' && *text <= 'Z') || (*text >= 'a' && *text <= 'z') || *text == '%' ||
           *text == '/';
}

static const char *number_fault(const struct sg_field *field, const char *text, double *out)
{
    const char *why = NULL;
    double value;
    if (sg_parse_number(text, &value, &why) != SG_OK)
        return has_unit(text)
                   ? "has text after the number; the unit stands in the key, the value is "
                     "the number alone"
                   : why;
    if (value < field->min)
        return "is too small";
    if (value > field->max)
        return "is too large";
    if (field->kind == SG_FIELD_COUNT && value > floor(value))
        return "is not a whole number";
    *out = value;
    return NULL;
}

static bool set_number(const struct setting *s)
{
    const char *fault = strlen(s->value->text) != s->value->length
                            ? "is not a number"
                            : number_fault(s->field, s->value->text, slot(s));
    return fault ? refuse(s, fault) : true;
}

static bool set_bool(const struct setting *s)
{
    bool yes = strcmp(s->value->text, "true") == 0;
    if (!yes && strcmp(s->value->text, "false") != 0)
        return refuse(s, "is neither");
    *(bool *)slot(s) = yes;
    return true;
}

/* ---- one key ---- */

static bool set_tree(const struct setting *s, enum sg_tree_kind kind)
{
    bool table_list = s->field->kind == SG_FIELD_LIST && s->value->from_table;
    if (s->value->kind != kind && !table_list)
        return refuse(s, kind == SG_TREE_LIST ? "is not a list" : "is not a map");
    bool counted = s->field->kind != SG_FIELD_BLOCK && !table_list &&
                   !(s->field->kind == SG_FIELD_BLOCKS_OR_FILE && kind == SG_TREE_MAP);
    if (counted && (double)s->value->count < s->field->min)
        return refuse(s, "has too few entries");
    if (counted && (double)s->value->count > s->field->max)
        return refuse(s, "has too many entries");
    *(const struct sg_tree **)slot(s) = s->value;
    return true;
}

static bool set_scalar(const struct setting *s)
{
    if (s->value->kind != SG_TREE_TEXT)
        return refuse(s, "is not a single value");
    switch (s->field->kind) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_COUNT:
        return s->value->blank ? refuse(s, "is missing its value") : set_number(s);
    case SG_FIELD_BOOL:
        return s->value->blank ? refuse(s, "is missing its value") : set_bool(s);
    case SG_FIELD_CHOICE:
        return s->value->blank ? refuse(s, "is missing its value") : set_choice(s);
    case SG_FIELD_TEXT:
    case SG_FIELD_FILE:
    case SG_FIELD_LIST:
    case SG_FIELD_MAP:
    case SG_FIELD_BLOCK:
    case SG_FIELD_BLOCKS:
    case SG_FIELD_BLOCKS_OR_FILE:
    default:
        return set_text(s);
    }
}

static bool set_value(const struct setting *s)
{
    switch (s->field->kind) {
    case SG_FIELD_LIST:
    case SG_FIELD_BLOCKS:
        return set_tree(s, SG_TREE_LIST);
    case SG_FIELD_BLOCKS_OR_FILE:
        return set_tree(s, s->value->kind == SG_TREE_MAP ? SG_TREE_MAP : SG_TREE_LIST);
    case SG_FIELD_MAP:
    case SG_FIELD_BLOCK:
        return set_tree(s, SG_TREE_MAP);
    case SG_FIELD_TEXT:
    case SG_FIELD_NUMBER:
    case SG_FIELD_COUNT:
    case SG_FIELD_BOOL:
    case SG_FIELD_CHOICE:
    case SG_FIELD_FILE:
    default:
        return set_scalar(s);
    }
}

static void set_default(const struct sg_field *field, void *target)
{
    void *to = (char *)target + field->offset;
    const char *dflt = field->dflt ? field->dflt : "";
    double value = SG_UNSET;
    switch (field->kind) {
    case SG_FIELD_NUMBER:
    case SG_FIELD_COUNT:
        if (dflt[0] != '\0')
            sg_parse_number(dflt, &value, NULL);
        *(double *)to = value;
        break;
    case SG_FIELD_BOOL:
        *(bool *)to = strcmp(dflt, "true") == 0;
        break;
    case SG_FIELD_LIST:
    case SG_FIELD_MAP:
    case SG_FIELD_BLOCK:
    case SG_FIELD_BLOCKS:
    case SG_FIELD_BLOCKS_OR_FILE:
        *(const struct sg_tree **)to = NULL;
        break;
    case SG_FIELD_TEXT:
    case SG_FIELD_CHOICE:
    case SG_FIELD_FILE:
    default:
        *(const char **)to = dflt;
        break;
    }
}

/* ---- one block ---- */

struct binding {
    struct sg_reader *reader;
    const char *block;
    const struct sg_field *field;
    size_t nfield;
    const struct sg_tree *map;
    void *target;
    bool seen[64]; /* by field */
};

/* Rows of a table have their columns in one order, so the search goes on where the last ended. */
static size_t find_field(const struct binding *b, const char *key, size_t start)
{
    for (size_t i = 0; i < b->nfield; i++) {
        size_t index = (start + i) % b->nfield;
        if (strcmp(b->field[index].key, key) == 0)
            return index;
    }
    return b->nfield;
}

static void refuse_key(const struct binding *b, const struct sg_tree *key)
{
    const char *known[64];
    size_t count = b->nfield < SG_COUNT(known) ? b->nfield : SG_COUNT(known);
    struct sg_text allowed = SG_TEXT_INIT;
    for (size_t i = 0; i < count; i++) {
        known[i] = b->field[i].key;
        sg_text_printf(&allowed, "%s%s", i > 0 ? ", " : "", known[i]);
    }
    const char *nearest = sg_nearest(key->text, known, count);
    sg_reader_error(b->reader, SG_ERR_UNKNOWN, key->at,
                    "%s: %s is not a known key%s%s%s; "
                    "allowed: %s",
                    b->block[0] ? b->block : "top level", sg_quoted(b->reader, key->text),
                    nearest ? " (meant: " : "", nearest ? nearest : "", nearest ? "?)" : "",
                    sg_text_string(&allowed));
    sg_text_release(&allowed);
}

static bool bind_pair(struct binding *b, size_t pair, size_t *index)
{
    const struct sg_tree *key = b->map->child[2 * pair];
    if (key->kind != SG_TREE_TEXT) {
        sg_reader_error(b->reader, SG_ERR_INPUT, key->at,
                        "%s: a key is a list or a map; allowed: a "
                        "plain key",
                        b->block[0] ? b->block : "top level");
        return false;
    }
    size_t found = find_field(b, key->text, *index);
    if (found == b->nfield) {
        refuse_key(b, key);
        return false;
    }
    *index = found;
    struct setting s = { b->reader, &b->field[found], b->map->child[2 * pair + 1], key->text,
                         b->target };
    char label[96];
    size_t block = strlen(b->block), word = strlen(key->text);
    if (block > 0 && !b->map->from_table && block + word + 2 <= sizeof(label)) {
        memcpy(label, b->block, block);
        label[block] = '.';
        memcpy(label + block + 1, key->text, word + 1);
        s.label = label;
    }
    if (b->seen[found]) {
        sg_reader_error(b->reader, SG_ERR_INPUT, key->at,
                        "%s: is given a second time; allowed: each "
                        "key once",
                        s.label);
        return false;
    }
    b->seen[found] = true;
    return set_value(&s);
}

static bool report_missing(const struct binding *b)
{
    bool complete = true;
    for (size_t i = 0; i < b->nfield; i++) {
        const struct sg_field *f = &b->field[i];
        if (f->dflt || b->seen[i])
            continue;
        struct sg_text allowed = SG_TEXT_INIT;
        sg_field_put_allowed(f, &allowed);
        sg_reader_error(b->reader, SG_ERR_MISSING, b->map->at,
                        "%s%s%s: is missing (%s); allowed: %s", b->map->from_table ? "" : b->block,
                        b->map->from_table || b->block[0] == '\0' ? "" : ".", f->key, f->meaning,
                        sg_text_string(&allowed));
        sg_text_release(&allowed);
        complete = false;
    }
    return complete;
}

bool sg_bind(struct sg_reader *reader, const char *block, const struct sg_tree *map, void *target)
{
    size_t count;
    const struct sg_field *field = sg_block_fields(block, &count);
    return sg_bind_fields(reader, &(struct sg_fields){ block, field, count }, map, target);
}

bool sg_bind_fields(struct sg_reader *reader, const struct sg_fields *block,
                    const struct sg_tree *map, void *target)
{
    struct binding b = { reader, block->name, block->field, block->count, map, target, { false } };
    for (size_t i = 0; i < b.nfield; i++)
        set_default(&b.field[i], target);
    if (!map)
        return true;
    if (map->kind != SG_TREE_MAP) {
        sg_reader_error(reader, SG_ERR_INPUT, map->at, "%s: is not a map; allowed: keys and values",
                        b.block[0] ? b.block : "the file");
        return false;
    }
    bool good = true;
    size_t index = 0;
    for (size_t i = 0; i < map->count; i++)
        good &= bind_pair(&b, i, &index);
    return report_missing(&b) && good;
}

bool sg_bind_number(struct sg_reader *reader, const struct sg_tree *value, const char *key,
                    double *out)
{
    const struct sg_field any = {
        .key = key, .kind = SG_FIELD_NUMBER, .unit = "", .min = -1e9, .max = 1e9
    };
    struct setting s = { reader, &any, value, key, out };
    return set_scalar(&s);
}
