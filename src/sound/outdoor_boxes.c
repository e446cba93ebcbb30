/* outdoor_boxes.c - a packed tree of boxes: halved again and again across its longer side until
 * eight are left, then nodes of eight, so that a question costs the logarithm of the number of
 * boxes plus what it finds. The eight boxes of a node lie side by side and are tried at once.
 */
#include "base/wide.h"
#include "outdoor_internal.h"

#include <stdlib.h>

#define FAN ((size_t)SG_BOX_FAN)

struct place {
    double x, y;
    size_t item;
};

static bool before(const struct place *a, const struct place *b, bool by_x)
{
    double p = by_x ? a->x : a->y, q = by_x ? b->x : b->y;
    if (p < q)
        return true;
    return !(p > q) && a->item < b->item;
}

static void swap(struct place *a, struct place *b)
{
    struct place kept = *a;
    *a = *b;
    *b = kept;
}

/* Puts the first `want` of `count` places in front, as a sort would, in linear time. */
static void part(struct place *place, size_t count, size_t want, bool by_x)
{
    size_t low = 0, high = count;
    while (high - low > 1) {
        struct place pivot = place[low + (high - low) / 2];
        size_t i = low, k = high - 1;
        for (;;) {
            while (i + 1 < high && before(&place[i], &pivot, by_x))
                i++;
            while (k > low && before(&pivot, &place[k], by_x))
                k--;
            if (i >= k)
                break;
            swap(&place[i++], &place[k--]);
        }
        if (i == low) /* only without an order: places that are not numbers */
            return;
        if (want <= i)
            high = i;
        else
            low = i;
        if (want == low || want == high)
            return;
    }
}

/* Orders places so that eight neighbours, and eight groups of neighbours, lie close together. */
static void tile(struct place *place, size_t count)
{
    while (count > FAN) {
        size_t chunk = FAN;
        while (chunk * FAN < count)
            chunk *= FAN;
        size_t left = (count + chunk - 1) / chunk / 2 * chunk;
        double west = place[0].x, east = west, south = place[0].y, north = south;
        for (size_t i = 1; i < count; i++) {
            west = place[i].x < west ? place[i].x : west;
            east = place[i].x > east ? place[i].x : east;
            south = place[i].y < south ? place[i].y : south;
            north = place[i].y > north ? place[i].y : north;
        }
        part(place, count, left, east - west > north - south);
        tile(place, left);
        place += left;
        count -= left;
    }
}

static struct sg_box_node empty_node(void)
{
    struct sg_box_node node;
    for (size_t i = 0; i < FAN; i++) {
        node.west[i] = node.south[i] = HUGE_VAL;
        node.east[i] = node.north[i] = -HUGE_VAL;
    }
    return node;
}

static void put_box(struct sg_box_node *node, size_t i, struct sg_box box)
{
    node->west[i] = box.west;
    node->south[i] = box.south;
    node->east[i] = box.east;
    node->north[i] = box.north;
}

static struct sg_box box_round(const struct sg_box_node *node)
{
    struct sg_box box = { node->west[0], node->south[0], node->east[0], node->north[0] };
    for (size_t i = 1; i < FAN; i++) {
        box.west = node->west[i] < box.west ? node->west[i] : box.west;
        box.south = node->south[i] < box.south ? node->south[i] : box.south;
        box.east = node->east[i] > box.east ? node->east[i] : box.east;
        box.north = node->north[i] > box.north ? node->north[i] : box.north;
    }
    return box;
}

/* Fills the levels over the leaves; `node` has room for all. */
static void build(struct sg_box_tree *tree, struct sg_box_node *node, const struct sg_box *box)
{
    size_t n = (tree->count + FAN - 1) / FAN, start = 0;
    for (size_t i = 0; i < n; i++)
        node[i] = empty_node();
    for (size_t i = 0; i < tree->count; i++)
        put_box(&node[i / FAN], i % FAN, box[tree->item[i]]);
    tree->level[tree->nlevel++] = 0;
    while (n > 1) {
        size_t above = (n + FAN - 1) / FAN, next = start + n;
        for (size_t i = 0; i < above; i++)
            node[next + i] = empty_node();
        for (size_t i = 0; i < n; i++)
            put_box(&node[next + i / FAN], i % FAN, box_round(&node[start + i]));
        tree->level[tree->nlevel++] = next;
        start = next;
        n = above;
    }
}

sg_status sg_box_tree_make(const struct sg_box *box, size_t count, struct sg_arena *arena,
                           struct sg_box_tree *out)
{
    struct sg_box_tree tree = { .count = count };
    if (count == 0) {
        *out = tree;
        return SG_OK;
    }
    struct place *place = sg_alloc(count, sizeof(*place));
    size_t *item = sg_arena_alloc(arena, count, sizeof(*item));
    struct sg_box_node *node = sg_arena_alloc(arena, count / 4 + SG_BOX_LEVELS, sizeof(*node));
    if (!place || !item || !node) {
        sg_free(place);
        return SG_ERR_NOMEM;
    }
    for (size_t i = 0; i < count; i++)
        place[i] = (struct place){ box[i].west + box[i].east, box[i].south + box[i].north, i };
    tile(place, count);
    for (size_t i = 0; i < count; i++)
        item[i] = place[i].item;
    sg_free(place);
    tree.item = item;
    tree.node = node;
    build(&tree, node, box);
    *out = tree;
    return SG_OK;
}

/* ---- questions ---- */

struct question { /* a stretch from a; without direction a box alone */
    struct sg_box box;
    struct sg_xy a;
    double dx, dy, slack;
};

SG_INLINED double less(double a, double b)
{
    return a < b ? a : b;
}

SG_INLINED double more(double a, double b)
{
    return a > b ? a : b;
}

/* Bit i: box i may be met. Passed by: all four corners on one side of the line. */
SG_INLINED unsigned hits(const struct sg_box_node *n, const struct question *q)
{
    uint64_t bits = 0;
#pragma omp simd reduction(| : bits)
    for (size_t i = 0; i < FAN; i++) {
        double left = (n->west[i] - q->a.x) * q->dy, right = (n->east[i] - q->a.x) * q->dy;
        double low = (n->south[i] - q->a.y) * q->dx, high = (n->north[i] - q->a.y) * q->dx;
        double most = more(left, right) - less(low, high);
        double least = less(left, right) - more(low, high);
        uint64_t hit = (n->west[i] <= q->box.east) & (n->east[i] >= q->box.west) &
                       (n->south[i] <= q->box.north) & (n->north[i] >= q->box.south) &
                       (most >= -q->slack) & (least <= q->slack);
        bits |= hit << i;
    }
    return (unsigned)bits;
}

SG_FOR_THIS_CPU
static void ask(const struct sg_box_tree *tree, const struct question *q, sg_box_fn *fn,
                void *payload)
{
    struct {
        size_t level, node;
    } stack[SG_BOX_LEVELS * SG_BOX_FAN];
    size_t n = 0;
    stack[n].level = tree->nlevel - 1;
    stack[n++].node = 0;
    while (n > 0) {
        size_t level = stack[--n].level, node = stack[n].node;
        unsigned bits = hits(&tree->node[tree->level[level] + node], q);
        for (; bits != 0; bits &= bits - 1) {
            size_t child = node * FAN + (size_t)__builtin_ctz(bits);
            if (level > 0) {
                stack[n].level = level - 1;
                stack[n++].node = child;
            } else if (!fn(tree->item[child], payload)) {
                return;
            }
        }
    }
}

void sg_box_tree_ask(const struct sg_box_tree *tree, struct sg_xy a, struct sg_xy b, sg_box_fn *fn,
                     void *payload)
{
    double dx = b.x - a.x, dy = b.y - a.y;
    struct question q = { sg_box_of(a, b, 0), a, dx, dy, 1e-9 * (fabs(dx) + fabs(dy)) };
    if (tree->count > 0)
        ask(tree, &q, fn, payload);
}

void sg_box_tree_within(const struct sg_box_tree *tree, const struct sg_box *box, sg_box_fn *fn,
                        void *payload)
{
    struct question q = { *box, { 0, 0 }, 0, 0, 0 };
    if (tree->count > 0)
        ask(tree, &q, fn, payload);
}

struct sg_box sg_box_of(struct sg_xy a, struct sg_xy b, double margin)
{
    return (struct sg_box){ (a.x < b.x ? a.x : b.x) - margin, (a.y < b.y ? a.y : b.y) - margin,
                            (a.x > b.x ? a.x : b.x) + margin, (a.y > b.y ? a.y : b.y) + margin };
}
