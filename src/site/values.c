/* values.c - values that the table of fields does not take apart: points, lists of texts, clock
 * times; and looking keys up in a tree.
 */
#include "site_internal.h"

#include <string.h>

/* ---- the tree ---- */

static bool is_key(const struct sg_tree *key, const char *name)
{
    return key->kind == SG_TREE_TEXT && strcmp(key->text, name) == 0;
}

const struct sg_tree *sg_tree_value(const struct sg_tree *map, const char *key)
{
    if (!map || map->kind != SG_TREE_MAP)
        return NULL;
    for (size_t i = 0; i < map->count; i++) {
        if (is_key(map->child[2 * i], key))
            return map->child[2 * i + 1];
    }
    return NULL;
}

struct sg_spot sg_tree_spot(const struct sg_tree *map, const char *key)
{
    const struct sg_tree *value = sg_tree_value(map, key);
    return value ? value->at : map->at;
}

/* ---- values ---- */

bool sg_bind_points(struct sg_reader *reader, const struct sg_tree *list, const char *key,
                    struct sg_point **out, size_t *count)
{
    struct sg_point *points = sg_reader_alloc(reader, list->count, sizeof(*points));
    bool good = points != NULL;
    for (size_t i = 0; points && i < list->count; i++) {
        const struct sg_tree *pair = list->child[i];
        if (pair->kind != SG_TREE_LIST || pair->count != 2) {
            sg_reader_error(reader, SG_ERR_INPUT, pair->at,
                            "%s: a point is not two numbers; "
                            "allowed: [x_m, y_m]",
                            key);
            good = false;
            continue;
        }
        good &= sg_bind_number(reader, pair->child[0], key, &points[i].x_m);
        good &= sg_bind_number(reader, pair->child[1], key, &points[i].y_m);
    }
    *out = points;
    *count = list->count;
    return good;
}

/* "a; b" of a table: pieces in the arena. */
static const char *const *split_texts(struct sg_reader *reader, const struct sg_tree *text,
                                      size_t *count)
{
    size_t most = 1;
    for (const char *c = text->text; *c; c++)
        most += *c == ';';
    const char **list = sg_reader_alloc(reader, most, sizeof(*list));
    const char *c = text->text;
    *count = 0;
    while (list && *c) {
        c += strspn(c, "; \t");
        size_t length = strcspn(c, ";");
        const char *next = c + length;
        while (length > 0 && (c[length - 1] == ' ' || c[length - 1] == '\t'))
            length--;
        if (length > 0) {
            const char *piece = sg_arena_copy(&reader->site->arena, c, length);
            reader->nomem |= piece == NULL;
            list[*count] = piece ? piece : "";
            ++*count;
        }
        c = next;
    }
    return list;
}

const char *const *sg_bind_texts(struct sg_reader *reader, const struct sg_tree *list,
                                 const char *key, size_t *count)
{
    *count = 0;
    if (list->kind == SG_TREE_TEXT && list->from_table)
        return split_texts(reader, list, count);
    if (list->kind != SG_TREE_LIST) {
        sg_reader_error(reader, SG_ERR_INPUT, list->at, "%s: is not a list; allowed: [id, ...]",
                        key);
        return NULL;
    }
    const char **texts = sg_reader_alloc(reader, list->count, sizeof(*texts));
    for (size_t i = 0; texts && i < list->count; i++) {
        const struct sg_tree *item = list->child[i];
        if (item->kind != SG_TREE_TEXT || item->length == 0)
            sg_reader_error(reader, SG_ERR_INPUT, item->at,
                            "%s: an entry is not a text; allowed: "
                            "[id, ...]",
                            key);
        else
            texts[(*count)++] = item->text;
    }
    return texts;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool sg_bind_clock(struct sg_reader *reader, const struct sg_tree *value, const char *key,
                   const char *text, double *out)
{
    size_t colon = strspn(text, "0123456789");
    if ((colon == 1 || colon == 2) && text[colon] == ':' && is_digit(text[colon + 1]) &&
        is_digit(text[colon + 2]) && text[colon + 3] == '\0') {
        int hours = text[0] - '0';
        if (colon == 2)
            hours = 10 * hours + (text[1] - '0');
        int minutes = 10 * (text[colon + 1] - '0') + (text[colon + 2] - '0');
        if (minutes < 60 && hours * 60 + minutes <= 24 * 60) {
            *out = hours + minutes / 60.0;
            return true;
        }
    }
    sg_reader_error(reader, SG_ERR_INPUT, value->at,
                    "%s: %s is not a clock time; allowed: HH:MM "
                    "from 00:00 to 24:00",
                    key, sg_quoted(reader, text));
    return false;
}
