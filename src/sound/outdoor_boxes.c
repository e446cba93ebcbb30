/* outdoor_boxes.c - a packed tree of boxes: sorted into columns and rows once, then nodes of eight,
 * so that a question costs the logarithm of the number of boxes plus what it finds.
 */
#include "outdoor_internal.h"

#include <math.h>
#include <stdlib.h>

#define FAN 8u

struct place {
    double x, y;
    size_t item;
};

static int compare(double a, double b, size_t i, size_t j)
{
    if (a < b)
        return -1;
    if (a > b)
        return 1;
    return i < j ? -1 : i > j;
}

static int by_x(const void *left, const void *right)
{
    const struct place *a = left, *b = right;
    return compare(a->x, b->x, a->item, b->item);
}

static int by_y(const void *left, const void *right)
{
    const struct place *a = left, *b = right;
    return compare(a->y, b->y, a->item, b->item);
}

static struct sg_box joined(struct sg_box a, struct sg_box b)
{
    return (struct sg_box){ fmin(a.west, b.west), fmin(a.south, b.south), fmax(a.east, b.east),
                            fmax(a.north, b.north) };
}

static void sort_places(struct place *place, size_t count)
{
    size_t leaves = (count + FAN - 1) / FAN;
    size_t columns = (size_t)ceil(sqrt((double)leaves));
    size_t in_column = (leaves + columns - 1) / columns * FAN;
    qsort(place, count, sizeof(*place), by_x);
    for (size_t i = 0; i < count; i += in_column) {
        size_t n = count - i < in_column ? count - i : in_column;
        qsort(place + i, n, sizeof(*place), by_y);
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
    struct sg_box *all = sg_arena_alloc(arena, 2 * count + 24, sizeof(*all));
    if (!place || !item || !all) {
        sg_free(place);
        return SG_ERR_NOMEM;
    }
    for (size_t i = 0; i < count; i++)
        place[i] = (struct place){ box[i].west + box[i].east, box[i].south + box[i].north, i };
    sort_places(place, count);
    for (size_t i = 0; i < count; i++) {
        item[i] = place[i].item;
        all[i] = box[item[i]];
    }
    sg_free(place);
    size_t start = 0, n = count, next = count;
    tree.level[tree.nlevel++] = 0;
    while (n > 1) {
        size_t above = (n + FAN - 1) / FAN;
        for (size_t i = 0; i < n; i++) {
            size_t to = next + i / FAN;
            all[to] = i % FAN == 0 ? all[start + i] : joined(all[to], all[start + i]);
        }
        tree.level[tree.nlevel++] = next;
        start = next;
        next += above;
        n = above;
    }
    tree.item = item;
    tree.box = all;
    *out = tree;
    return SG_OK;
}

/* A question: a stretch, or a box when direction is 0. */
struct question {
    struct sg_box box;
    struct sg_xy a;
    double dx, dy;
    bool stretch;
    sg_box_fn *fn;
    void *payload;
};

static bool may_meet(const struct question *q, const struct sg_box *b)
{
    if (b->west > q->box.east || b->east < q->box.west || b->south > q->box.north ||
        b->north < q->box.south)
        return false;
    if (!q->stretch)
        return true;
    /* all four corners on one side of the line: passed by */
    double left = (b->west - q->a.x) * q->dy, right = (b->east - q->a.x) * q->dy;
    double low = (b->south - q->a.y) * q->dx, high = (b->north - q->a.y) * q->dx;
    double most = fmax(left, right) - fmin(low, high), least = fmin(left, right) - fmax(low, high);
    double slack = 1e-9 * (fabs(q->dx) + fabs(q->dy));
    return most >= -slack && least <= slack;
}

static bool visit(const struct sg_box_tree *tree, const struct question *q, size_t level,
                  size_t node)
{
    if (!may_meet(q, &tree->box[tree->level[level] + node]))
        return true;
    if (level == 0)
        return q->fn(tree->item[node], q->payload);
    size_t below = level == 1 ? tree->count : tree->level[level] - tree->level[level - 1];
    for (size_t i = node * FAN; i < (node + 1) * FAN && i < below; i++) {
        if (!visit(tree, q, level - 1, i))
            return false;
    }
    return true;
}

void sg_box_tree_ask(const struct sg_box_tree *tree, struct sg_xy a, struct sg_xy b, sg_box_fn *fn,
                     void *payload)
{
    struct question q = { sg_box_of(a, b, 0), a, b.x - a.x, b.y - a.y, true, fn, payload };
    if (tree->count > 0)
        visit(tree, &q, tree->nlevel - 1, 0);
}

void sg_box_tree_within(const struct sg_box_tree *tree, const struct sg_box *box, sg_box_fn *fn,
                        void *payload)
{
    struct question q = { *box, { 0, 0 }, 0, 0, false, fn, payload };
    if (tree->count > 0)
        visit(tree, &q, tree->nlevel - 1, 0);
}

struct sg_box sg_box_of(struct sg_xy a, struct sg_xy b, double margin)
{
    return (struct sg_box){ fmin(a.x, b.x) - margin, fmin(a.y, b.y) - margin,
                            fmax(a.x, b.x) + margin, fmax(a.y, b.y) + margin };
}
