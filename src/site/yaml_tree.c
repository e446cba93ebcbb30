/* yaml_tree.c - YAML text into struct sg_tree, with the place of every node. The only file that
 * knows libyaml.
 *
 * An alias becomes a second pointer to the same node; a node inside itself is refused, and so is
 * nesting deeper than any site file needs.
 */
#include "site_internal.h"

#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#define DEEPEST 16u

struct conversion {
    struct sg_reader *reader;
    yaml_document_t *document;
    struct sg_tree **done; /* by node number, NULL = not yet */
    bool *open;            /* being converted: meeting it again is a ring */
    bool failed;
};

static struct sg_spot spot_of(const struct sg_reader *reader, yaml_mark_t mark)
{
    return (struct sg_spot){ .file = reader->site->file,
                             .line = mark.line + 1,
                             .column = mark.column + 1 };
}

static bool is_blank(const yaml_node_t *node)
{
    if (node->data.scalar.style != YAML_PLAIN_SCALAR_STYLE)
        return false;
    const char *text = (const char *)node->data.scalar.value;
    return text[0] == '\0' || strcmp(text, "~") == 0 || strcmp(text, "null") == 0;
}

static struct sg_tree *convert(struct conversion *c, int number, unsigned depth);

static bool convert_list(struct conversion *c, const yaml_node_t *node, struct sg_tree *tree,
                         unsigned depth)
{
    const yaml_node_item_t *item = node->data.sequence.items.start;
    tree->count = (size_t)(node->data.sequence.items.top - item);
    tree->child = sg_reader_alloc(c->reader, tree->count, sizeof(struct sg_tree *));
    for (size_t i = 0; tree->child && i < tree->count; i++) {
        tree->child[i] = convert(c, item[i], depth);
        if (!tree->child[i])
            return false;
    }
    return tree->child != NULL;
}

static bool convert_map(struct conversion *c, const yaml_node_t *node, struct sg_tree *tree,
                        unsigned depth)
{
    const yaml_node_pair_t *pair = node->data.mapping.pairs.start;
    tree->count = (size_t)(node->data.mapping.pairs.top - pair);
    tree->child = sg_reader_alloc(c->reader, 2 * tree->count, sizeof(struct sg_tree *));
    for (size_t i = 0; tree->child && i < tree->count; i++) {
        tree->child[2 * i] = convert(c, pair[i].key, depth);
        if (!tree->child[2 * i])
            return false;
        tree->child[2 * i + 1] = convert(c, pair[i].value, depth);
        if (!tree->child[2 * i + 1])
            return false;
    }
    return tree->child != NULL;
}

static bool convert_node(struct conversion *c, const yaml_node_t *node, struct sg_tree *tree,
                         unsigned depth)
{
    switch (node->type) {
    case YAML_SCALAR_NODE:
        tree->kind = SG_TREE_TEXT;
        tree->blank = is_blank(node);
        tree->length = node->data.scalar.length;
        tree->text = sg_arena_copy(&c->reader->site->arena, (const char *)node->data.scalar.value,
                                   tree->length);
        c->reader->nomem |= tree->text == NULL;
        return tree->text != NULL;
    case YAML_SEQUENCE_NODE:
        tree->kind = SG_TREE_LIST;
        return convert_list(c, node, tree, depth + 1);
    case YAML_MAPPING_NODE:
        tree->kind = SG_TREE_MAP;
        return convert_map(c, node, tree, depth + 1);
    case YAML_NO_NODE:
    default:
        return false;
    }
}

static struct sg_tree *refuse_node(struct conversion *c, const yaml_node_t *node, const char *why)
{
    if (!c->failed)
        sg_reader_error(c->reader, SG_ERR_INPUT, spot_of(c->reader, node->start_mark), "%s", why);
    c->failed = true;
    return NULL;
}

static struct sg_tree *convert(struct conversion *c, int number, unsigned depth)
{
    yaml_node_t *node = yaml_document_get_node(c->document, number);
    if (!node)
        return NULL;
    size_t index = (size_t)number - 1;
    if (c->done[index])
        return c->done[index];
    if (c->open[index])
        return refuse_node(c, node,
                           "an anchor is used inside itself; a value cannot contain itself");
    if (depth > DEEPEST)
        return refuse_node(c, node, "is nested too deeply; no key of a site file goes this deep");
    struct sg_tree *tree = sg_reader_alloc(c->reader, 1, sizeof(*tree));
    if (!tree)
        return NULL;
    tree->at = spot_of(c->reader, node->start_mark);
    c->open[index] = true;
    if (!convert_node(c, node, tree, depth))
        return NULL;
    c->open[index] = false;
    c->done[index] = tree;
    return tree;
}

static size_t line_of_offset(const char *bytes, size_t length, size_t offset)
{
    size_t line = 1;
    for (size_t i = 0; i < length && i < offset; i++)
        line += bytes[i] == '\n';
    return line;
}

static void report_parser(struct sg_reader *reader, const yaml_parser_t *parser, const char *bytes,
                          size_t length)
{
    const char *problem = parser->problem ? parser->problem : "cannot be read";
    if (parser->error == YAML_MEMORY_ERROR) {
        reader->nomem = true;
        return;
    }
    struct sg_spot at = spot_of(reader, parser->problem_mark);
    if (parser->error == YAML_READER_ERROR) {
        at.line = line_of_offset(bytes, length, parser->problem_offset);
        at.column = 0;
    }
    sg_reader_error(reader, SG_ERR_INPUT, at,
                    "is not YAML: %s%s%s; allowed: YAML in UTF-8, indented "
                    "with spaces",
                    problem, parser->context ? " " : "", parser->context ? parser->context : "");
}

static struct sg_tree *convert_document(struct sg_reader *reader, yaml_document_t *document)
{
    struct sg_tree *root = NULL;
    size_t count = (size_t)(document->nodes.top - document->nodes.start);
    struct conversion c = { .reader = reader, .document = document };
    c.done = sg_alloc(count, sizeof(*c.done));
    c.open = sg_alloc(count, sizeof(*c.open));
    if (!c.done || !c.open) {
        reader->nomem = true;
        goto done;
    }
    root = convert(&c, 1, 0);
done:
    sg_free(c.open);
    sg_free(c.done);
    return root;
}

/* Reports anything that follows the first document. */
static void check_end(struct sg_reader *reader, yaml_parser_t *parser, const char *bytes,
                      size_t length)
{
    yaml_document_t document;
    if (!yaml_parser_load(parser, &document)) {
        report_parser(reader, parser, bytes, length);
        return;
    }
    const yaml_node_t *root = yaml_document_get_root_node(&document);
    if (root)
        sg_reader_error(reader, SG_ERR_INPUT, spot_of(reader, root->start_mark),
                        "a second document begins here; allowed: one document a file");
    yaml_document_delete(&document);
}

struct sg_tree *sg_yaml_load(struct sg_reader *reader, const char *bytes, size_t length)
{
    yaml_parser_t parser;
    yaml_document_t document;
    struct sg_tree *root = NULL;
    if (!yaml_parser_initialize(&parser)) {
        reader->nomem = true;
        return NULL;
    }
    yaml_parser_set_input_string(&parser, (const unsigned char *)bytes, length);
    if (!yaml_parser_load(&parser, &document)) {
        report_parser(reader, &parser, bytes, length);
        goto done;
    }
    if (yaml_document_get_root_node(&document))
        root = convert_document(reader, &document);
    else
        sg_reader_error(
            reader, SG_ERR_INPUT, (struct sg_spot){ .file = reader->site->file }, "is empty; %s",
            reader->needs ? reader->needs
                          : "allowed: a site file (at least title, crs, wall, receptors, "
                            "methods and hours), or the law that fit wrote");
    if (root)
        check_end(reader, &parser, bytes, length);
    yaml_document_delete(&document);
done:
    yaml_parser_delete(&parser);
    return root;
}
