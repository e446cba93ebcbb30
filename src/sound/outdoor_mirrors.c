/* outdoor_mirrors.c - image sources: ways by way of reflecting faces, up to three of them.
 *
 * Source: ISO 9613-2:1996 clause 7.5; several reflections: ISO/TR 17534-3:2015 5.9. The point of
 * reflection lies on the face and, on the straight unfolded way, between the ground there and its
 * top.
 */
#include "outdoor_internal.h"

#include <math.h>

struct hunt {
    const struct sg_outdoor *outdoor;
    struct sg_xyz source, receptor;
    size_t skip, orders;
    double longest_m;
    size_t face[SG_MIRRORS];
    struct sg_xy image[SG_MIRRORS + 1];
    size_t depth;
    sg_way_fn *fn;
    void *payload;
    sg_status status;
};

static struct sg_xy start_of(const struct sg_face *f)
{
    return (struct sg_xy){ f->a.x, f->a.y };
}

static struct sg_xy end_of(const struct sg_face *f)
{
    return (struct sg_xy){ f->b.x, f->b.y };
}

/* Distance to the left of a -> b. */
static double left_of(const struct sg_face *f, struct sg_xy p)
{
    double dx = f->b.x - f->a.x, dy = f->b.y - f->a.y;
    return ((p.y - f->a.y) * dx - (p.x - f->a.x) * dy) / hypot(dx, dy);
}

static struct sg_xy mirrored(const struct sg_face *f, struct sg_xy p)
{
    double dx = f->b.x - f->a.x, dy = f->b.y - f->a.y, length = hypot(dx, dy);
    double off = left_of(f, p);
    return (struct sg_xy){ p.x + 2 * off * dy / length, p.y - 2 * off * dx / length };
}

/* Both places in front of the face, on the same side. */
static bool in_front(const struct sg_face *f, struct sg_xy a, struct sg_xy b)
{
    double left_a = left_of(f, a), left_b = left_of(f, b);
    if (fabs(left_a) < SG_SAME_PLACE_M || fabs(left_b) < SG_SAME_PLACE_M)
        return false;
    if ((left_a > 0) != (left_b > 0))
        return false;
    return f->outside == 0 || (f->outside > 0) == (left_a > 0);
}

static double cross(struct sg_xy o, struct sg_xy a, struct sg_xy b)
{
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

/* Whether sound from the last image meets the face from a side that throws it back, with the
 * receptor on that side of the last mirror: what trace_back would find out, asked before. */
static bool meets_front(const struct hunt *h, const struct sg_face *f)
{
    double side = cross(start_of(f), end_of(f), h->image[h->depth]);
    if (f->outside != 0 && (f->outside > 0) != (side > 0))
        return false;
    struct sg_xy to = { h->receptor.x, h->receptor.y };
    bool last = h->depth + 1 == h->orders;
    return !last || (cross(start_of(f), end_of(f), to) > 0) == (side > 0);
}

/* Whether a part of the face lies where the last mirror throws the sound of its image. */
static bool in_beam(const struct hunt *h, const struct sg_face *f)
{
    if (h->depth == 0)
        return true;
    const struct sg_face *mirror = &h->outdoor->face[h->face[h->depth - 1]];
    struct sg_xy apex = h->image[h->depth], a = start_of(mirror), b = end_of(mirror);
    struct sg_xy p = start_of(f), q = end_of(f);
    double turn = cross(apex, a, b) > 0 ? 1.0 : -1.0;
    double slack =
        1e-9 * (fabs(a.x - apex.x) + fabs(a.y - apex.y) + fabs(b.x - apex.x) + fabs(b.y - apex.y)) *
        (fabs(p.x - apex.x) + fabs(p.y - apex.y) + fabs(q.x - apex.x) + fabs(q.y - apex.y));
    bool before_a = turn * cross(apex, a, p) < -slack && turn * cross(apex, a, q) < -slack;
    bool behind_b = turn * cross(apex, b, p) > slack && turn * cross(apex, b, q) > slack;
    bool this_side = turn * cross(a, b, p) > slack && turn * cross(a, b, q) > slack;
    return !before_a && !behind_b && !this_side;
}

/* No way by the face is shorter than straight from the image to it and straight on. */
static bool near_enough(const struct hunt *h, const struct sg_face *f)
{
    struct sg_xy to = { h->receptor.x, h->receptor.y };
    return sg_to_segment_m(h->image[h->depth], start_of(f), end_of(f)) +
               sg_to_segment_m(to, start_of(f), end_of(f)) <=
           h->longest_m * (1 + 1e-12);
}

/* Goes back from the receptor through the faces. False when a point misses its face. */
static bool trace_back(const struct hunt *h, struct sg_way *way)
{
    const size_t n = h->depth;
    struct sg_xy to = { h->receptor.x, h->receptor.y };
    *way = (struct sg_way){ .order = n };
    way->at[0] = h->source;
    way->at[n + 1] = h->receptor;
    way->plan_m = hypot(to.x - h->image[n].x, to.y - h->image[n].y);
    way->direct_m = hypot(way->plan_m, h->receptor.z - h->source.z);
    way->offset_m[n + 1] = way->plan_m;
    for (size_t i = n; i > 0; i--) {
        const struct sg_face *f = &h->outdoor->face[h->face[i - 1]];
        double along, across;
        if (!in_front(f, h->image[i - 1], to) ||
            !sg_meet(h->image[i], to, start_of(f), end_of(f), &along, &across))
            return false;
        double s = along * hypot(to.x - h->image[i].x, to.y - h->image[i].y);
        double z = h->source.z + (h->receptor.z - h->source.z) * s / way->plan_m;
        double x = f->a.x + across * (f->b.x - f->a.x), y = f->a.y + across * (f->b.y - f->a.y);
        if (z > f->a.z + across * (f->b.z - f->a.z) || z < sg_relief_at(&h->outdoor->relief, x, y))
            return false;
        double off_m = fabs(left_of(f, h->image[i])) + fabs(left_of(f, to));
        double plan_m = hypot(to.x - h->image[i].x, to.y - h->image[i].y);
        way->cos_incidence[i - 1] = off_m / plan_m;
        way->face[i - 1] = h->face[i - 1];
        way->offset_m[i] = s;
        to = (struct sg_xy){ x, y };
        way->at[i] = (struct sg_xyz){ x, y, z };
    }
    return way->plan_m <= h->longest_m;
}

static bool try_face(size_t item, void *payload)
{
    struct hunt *h = payload;
    const struct sg_face *f = &h->outdoor->face[item];
    if (!f->reflects || f->obstacle == h->skip || (h->depth > 0 && h->face[h->depth - 1] == item) ||
        !meets_front(h, f) || !in_beam(h, f) ||
        fabs(left_of(f, h->image[h->depth])) < SG_SAME_PLACE_M || !near_enough(h, f))
        return true;
    h->face[h->depth] = item;
    h->image[h->depth + 1] = mirrored(f, h->image[h->depth]);
    h->depth++;
    struct sg_way way;
    if (trace_back(h, &way))
        h->status = h->fn(&way, h->payload);
    if (h->depth < h->orders && sg_ok(h->status)) {
        struct sg_xy from = { h->source.x, h->source.y }, to = { h->receptor.x, h->receptor.y };
        struct sg_box box = sg_box_of(from, to, 0.5 * h->longest_m);
        sg_box_tree_within(&h->outdoor->faces, &box, try_face, h);
    }
    h->depth--;
    return sg_ok(h->status);
}

sg_status sg_ways_mirrored(const struct sg_outdoor *outdoor, struct sg_xyz source,
                           struct sg_xyz receptor, size_t skip_obstacle, sg_way_fn *fn,
                           void *payload)
{
    size_t orders = outdoor->scene->reflections;
    if (orders == 0 || outdoor->nreflecting == 0)
        return SG_OK;
    struct hunt h = { .outdoor = outdoor,
                      .source = source,
                      .receptor = receptor,
                      .skip = skip_obstacle,
                      .orders = orders < SG_MIRRORS ? orders : SG_MIRRORS,
                      .fn = fn,
                      .payload = payload,
                      .status = SG_OK };
    struct sg_xy from = { source.x, source.y }, to = { receptor.x, receptor.y };
    h.image[0] = from;
    h.longest_m = hypot(to.x - from.x, to.y - from.y) + outdoor->scene->reach_m;
    struct sg_box box = sg_box_of(from, to, 0.5 * h.longest_m);
    sg_box_tree_within(&outdoor->faces, &box, try_face, &h);
    return h.status;
}
