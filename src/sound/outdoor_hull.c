/* outdoor_hull.c - the convex hull of points in the plane of the ways round. */
#include "outdoor_internal.h"

#include <stdlib.h>

#define FEW 32 /* so many are sorted on the spot */

static int by_u(const void *left, const void *right)
{
    const struct sg_uv *a = left, *b = right;
    if (a->u < b->u)
        return -1;
    if (a->u > b->u)
        return 1;
    return a->v < b->v ? -1 : a->v > b->v;
}

static void sort_points(struct sg_uv *point, size_t count)
{
    if (count > FEW) {
        qsort(point, count, sizeof(*point), by_u);
        return;
    }
    for (size_t i = 1; i < count; i++) {
        struct sg_uv p = point[i];
        size_t k = i;
        for (; k > 0 && by_u(&p, &point[k - 1]) < 0; k--)
            point[k] = point[k - 1];
        point[k] = p;
    }
}

static double turn(struct sg_uv a, struct sg_uv b, struct sg_uv p)
{
    return (b.u - a.u) * (p.v - a.v) - (b.v - a.v) * (p.u - a.u);
}

size_t sg_convex_hull(struct sg_uv *point, size_t count, struct sg_uv *hull)
{
    size_t n = 0;
    sort_points(point, count);
    for (size_t i = 0; i < count; i++) {
        while (n > 1 && turn(hull[n - 2], hull[n - 1], point[i]) <= 1e-12)
            n--;
        hull[n++] = point[i];
    }
    size_t lower = n + 1;
    for (size_t i = count - 1; i > 0; i--) {
        while (n >= lower && turn(hull[n - 2], hull[n - 1], point[i - 1]) <= 1e-12)
            n--;
        hull[n++] = point[i - 1];
    }
    return n > 1 ? n - 1 : n;
}
