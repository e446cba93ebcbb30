/* overrides.c - values of the command line put into the tree of a site file: "hours.work_h=8",
 * "methods.Impact hammer.energy_kJ=20", "receptors.list.2.storeys=3". A list is entered by the name
 * of one of its maps, or by its number counted from 1. */
#include "site/site_internal.h"

#include <string.h>

struct path {
    struct sg_reader *reader;
    const char *whole; /* "a.b=c", for messages */
    struct sg_spot at;
};

static void refuse(const struct path *p, const char *part, size_t length, const char *what)
{
    const char *word = sg_arena_copy(&p->reader->site->arena, part, length);
    p->reader->nomem |= !word;
    sg_reader_error(p->reader, SG_ERR_INPUT, p->at, "--set %s: %s %s",
                    sg_quoted(p->reader, p->whole), sg_quoted(p->reader, word ? word : ""), what);
}

static bool is_word(const char *part, size_t length, const struct sg_tree *text)
{
    return text && text->kind == SG_TREE_TEXT && text->length == length &&
           memcmp(text->text, part, length) == 0;
}

/* The item of a list by name or number; how many bytes of the path it took in *length. Names may
 * hold dots, so the longest that fits is taken. */
static struct sg_tree *list_item(const struct sg_tree *list, const char *part, const char *end,
                                 size_t *length)
{
    for (size_t n = (size_t)(end - part); n > 0; n--) {
        if (part + n < end && part[n] != '.')
            continue;
        for (size_t i = 0; i < list->count; i++) {
            const struct sg_tree *item = list->child[i];
            if (item->kind == SG_TREE_MAP && is_word(part, n, sg_tree_value(item, "name"))) {
                *length = n;
                return list->child[i];
            }
        }
    }
    size_t number = 0, digits = strspn(part, "0123456789");
    for (size_t i = 0; i < digits && i < 7; i++)
        number = 10 * number + (size_t)(part[i] - '0');
    *length = digits;
    bool whole = digits > 0 && (part + digits == end || part[digits] == '.');
    return whole && number >= 1 && number <= list->count ? list->child[number - 1] : NULL;
}

static struct sg_tree **map_slot(struct sg_tree *map, const char *part, size_t length)
{
    for (size_t i = 0; i < map->count; i++) {
        if (is_word(part, length, map->child[2 * i]))
            return &map->child[2 * i + 1];
    }
    return NULL;
}

static struct sg_tree *new_text(struct path *p, const char *text, size_t length)
{
    struct sg_tree *node = sg_reader_alloc(p->reader, 1, sizeof(*node));
    if (!node)
        return NULL;
    *node = (struct sg_tree){ .kind = SG_TREE_TEXT, .at = p->at, .length = length };
    node->text = sg_arena_copy(&p->reader->site->arena, text, length);
    p->reader->nomem |= !node->text;
    return node->text ? node : NULL;
}

static void add_pair(struct path *p, struct sg_tree *map, const char *key, size_t length,
                     struct sg_tree *value)
{
    struct sg_tree **grown =
        sg_reader_alloc(p->reader, 2 * map->count + 2, sizeof(struct sg_tree *));
    struct sg_tree *name = new_text(p, key, length);
    if (!grown || !name)
        return;
    if (map->count > 0)
        memcpy(grown, map->child, 2 * map->count * sizeof(struct sg_tree *));
    grown[2 * map->count] = name;
    grown[2 * map->count + 1] = value;
    map->child = grown;
    map->count++;
}

/* A file's own value that is a list or a map cannot be replaced by a single value. */
static void put_value(struct path *p, struct sg_tree *map, const char *key, size_t length,
                      const char *value)
{
    struct sg_tree **slot = map_slot(map, key, length);
    struct sg_tree *node = new_text(p, value, strlen(value));
    if (!node)
        return;
    if (slot && (*slot)->kind != SG_TREE_TEXT)
        refuse(p, key, length, "holds more than one value; allowed: a key with a single value");
    else if (slot)
        *slot = node;
    else
        add_pair(p, map, key, length, node);
}

static void set_one(struct path *p, struct sg_tree *root)
{
    const char *end = strchr(p->whole, '='), *part = p->whole;
    struct sg_tree *node = root;
    if (!end || end == part) {
        refuse(p, part, strlen(part), "is no key=value; allowed: hours.work_h=8");
        return;
    }
    for (;;) {
        const char *dot = memchr(part, '.', (size_t)(end - part));
        size_t length = (size_t)((dot ? dot : end) - part);
        struct sg_tree *next;
        if (node->kind == SG_TREE_MAP && !dot) {
            put_value(p, node, part, length, end + 1);
            return;
        }
        if (node->kind == SG_TREE_LIST) {
            next = list_item(node, part, end, &length);
        } else {
            struct sg_tree **slot = node->kind == SG_TREE_MAP ? map_slot(node, part, length) : NULL;
            next = slot ? *slot : NULL;
        }
        if (!next || part + length >= end) {
            refuse(p, part, length,
                   next ? "is not a single value; allowed: a key below it"
                        : "is not in the file; allowed: keys from the top down, "
                          "names or numbers in lists, with dots between");
            return;
        }
        node = next;
        part += length + 1;
    }
}

void sg_tree_override(struct sg_reader *reader, struct sg_tree *root, const char *const *set,
                      size_t count)
{
    for (size_t i = 0; i < count; i++) {
        struct path p = { reader, set[i], { .file = "command line", .line = i + 1, .column = 1 } };
        if (root->kind == SG_TREE_MAP)
            set_one(&p, root);
    }
}
