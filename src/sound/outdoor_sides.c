/* outdoor_sides.c - ways round the sides: obstacles cut by the plane that holds source and receptor
 * and stands square to their vertical plane, then the convex hull of the cut on either hand.
 *
 * Sources: ISO 9613-2:1996 clause 7.4; ISO/TR 17534-3:2015 5.2 (ways longer than eight times
 * that over the top are left out). Going round the hull of the cut, not of the plan, reproduces the
 * published cases. Obstacles that a way round would run into are taken into the hull too.
 */
#include "outdoor_internal.h"

#include <math.h>
#include <stdlib.h>

/* Coordinates in the plane: u from source to receptor, v to the left. */
struct uv {
    double u, v;
};
struct cut {
    const struct sg_outdoor *outdoor;
    const struct sg_way *way;
    double stretch;   /* u per metre of plan */
    struct uv *point; /* cut corners */
    size_t count, room;
    size_t *taken; /* obstacles in the hull */
    size_t ntaken, taken_room;
    bool failed;
};

/* Mirrors a place through the faces that the leg's sound still has to meet. */
static struct sg_xy unfold(const struct cut *c, size_t leg, struct sg_xy p)
{
    for (size_t i = leg; i < c->way->order; i++) {
        const struct sg_face *f = &c->outdoor->face[c->way->face[i]];
        double dx = f->b.x - f->a.x, dy = f->b.y - f->a.y, square = dx * dx + dy * dy;
        double off = ((p.x - f->a.x) * dy - (p.y - f->a.y) * dx) / square;
        p = (struct sg_xy){ p.x - 2 * off * dy, p.y + 2 * off * dx };
    }
    return p;
}

static struct sg_xy origin(const struct cut *c)
{
    return unfold(c, 0, (struct sg_xy){ c->way->at[0].x, c->way->at[0].y });
}

static struct uv to_plane(const struct cut *c, struct sg_xy p)
{
    struct sg_xy o = origin(c);
    const struct sg_xyz *r = &c->way->at[c->way->order + 1];
    double dx = (r->x - o.x) / c->way->plan_m, dy = (r->y - o.y) / c->way->plan_m;
    double along = (p.x - o.x) * dx + (p.y - o.y) * dy;
    return (struct uv){ along * c->stretch, (p.y - o.y) * dx - (p.x - o.x) * dy };
}

static struct sg_xy to_plan(const struct cut *c, struct uv p)
{
    struct sg_xy o = origin(c);
    const struct sg_xyz *r = &c->way->at[c->way->order + 1];
    double dx = (r->x - o.x) / c->way->plan_m, dy = (r->y - o.y) / c->way->plan_m;
    double along = p.u / c->stretch;
    return (struct sg_xy){ o.x + along * dx - p.v * dy, o.y + along * dy + p.v * dx };
}

static double plane_z(const struct cut *c, double u)
{
    double z0 = c->way->at[0].z;
    return z0 + (c->way->at[c->way->order + 1].z - z0) * u / c->way->direct_m;
}

static void add_point(struct cut *c, struct uv p)
{
    if (c->count == c->room) {
        size_t room = c->room > 0 ? 2 * c->room : 32;
        struct uv *grown = sg_realloc(c->point, room, sizeof(*grown));
        if (!grown) {
            c->failed = true;
            return;
        }
        c->point = grown;
        c->room = room;
    }
    c->point[c->count++] = p;
}

static bool is_taken(const struct cut *c, size_t obstacle)
{
    for (size_t i = 0; i < c->ntaken; i++) {
        if (c->taken[i] == obstacle)
            return true;
    }
    return false;
}

/* The leg that meets an obstacle: the first one that does; obstacles beside a way count as on the
 * last leg. */
static size_t leg_of(const struct cut *c, size_t obstacle)
{
    const struct sg_built *built = &c->outdoor->built[obstacle];
    for (size_t leg = 0; leg < c->way->order; leg++) {
        struct sg_xy a = { c->way->at[leg].x, c->way->at[leg].y };
        struct sg_xy b = { c->way->at[leg + 1].x, c->way->at[leg + 1].y };
        for (size_t i = 0; i < built->count; i++) {
            const struct sg_face *f = &c->outdoor->face[built->first + i];
            double along, across;
            if (sg_meet(a, b, (struct sg_xy){ f->a.x, f->a.y }, (struct sg_xy){ f->b.x, f->b.y },
                        &along, &across))
                return leg;
        }
    }
    return c->way->order;
}

/* Takes the corners of an obstacle that reach over the plane, and where its edge passes it. */
static void take(struct cut *c, size_t obstacle)
{
    const struct sg_built *built = &c->outdoor->built[obstacle];
    if (c->ntaken == c->taken_room) {
        size_t room = c->taken_room > 0 ? 2 * c->taken_room : 16;
        size_t *grown = sg_realloc(c->taken, room, sizeof(*grown));
        if (!grown) {
            c->failed = true;
            return;
        }
        c->taken = grown;
        c->taken_room = room;
    }
    c->taken[c->ntaken++] = obstacle;
    size_t leg = leg_of(c, obstacle);
    for (size_t i = 0; i < built->count && !c->failed; i++) {
        const struct sg_face *f = &c->outdoor->face[built->first + i];
        struct uv a = to_plane(c, unfold(c, leg, (struct sg_xy){ f->a.x, f->a.y }));
        struct uv b = to_plane(c, unfold(c, leg, (struct sg_xy){ f->b.x, f->b.y }));
        double over_a = f->a.z - plane_z(c, a.u), over_b = f->b.z - plane_z(c, b.u);
        if (over_a >= 0)
            add_point(c, a);
        if (over_b >= 0)
            add_point(c, b);
        if ((over_a < 0) != (over_b < 0)) {
            double t = over_a / (over_a - over_b);
            add_point(c, (struct uv){ a.u + t * (b.u - a.u), a.v + t * (b.v - a.v) });
        }
    }
}

/* ---- the hull ---- */

static int by_u(const void *left, const void *right)
{
    const struct uv *a = left, *b = right;
    if (a->u < b->u)
        return -1;
    if (a->u > b->u)
        return 1;
    return a->v < b->v ? -1 : a->v > b->v;
}

static double turn(struct uv a, struct uv b, struct uv p)
{
    return (b.u - a.u) * (p.v - a.v) - (b.v - a.v) * (p.u - a.u);
}

/* Convex hull against the clock of the sorted points; hull has room for 2 * count. */
static size_t convex_hull(const struct uv *point, size_t count, struct uv *hull)
{
    size_t n = 0;
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

static bool is_at(struct uv p, double u, double v)
{
    return fabs(p.u - u) < 1e-9 && fabs(p.v - v) < 1e-9;
}

/* The hull from source to receptor on one hand (0 left, 1 right). 0 when one of the two lies within
 * the hull: there is no way round on that hand by the rule. */
static size_t chain_of(struct cut *c, size_t hand, struct uv *sorted, struct uv *hull,
                       struct uv *chain)
{
    size_t n = c->count + 2, from = SIZE_MAX, to = SIZE_MAX;
    for (size_t i = 0; i < c->count; i++)
        sorted[i] = c->point[i];
    sorted[c->count] = (struct uv){ 0, 0 };
    sorted[c->count + 1] = (struct uv){ c->way->direct_m, 0 };
    qsort(sorted, n, sizeof(*sorted), by_u);
    n = convex_hull(sorted, n, hull);
    for (size_t i = 0; i < n; i++) {
        if (is_at(hull[i], 0, 0))
            from = i;
        if (is_at(hull[i], c->way->direct_m, 0))
            to = i;
    }
    if (from == SIZE_MAX || to == SIZE_MAX)
        return 0;
    size_t length = 0;
    for (size_t i = from;; i = hand == 1 ? (i + 1) % n : (i + n - 1) % n) {
        chain[length++] = hull[i];
        if (i == to)
            return length;
    }
}

/* ---- obstacles in the way round ---- */

struct search {
    struct cut *cut;
    struct uv a, b; /* the stretch of the way */
    struct sg_xy pa, pb;
    size_t found;
};

static bool look(size_t item, void *payload)
{
    struct search *s = payload;
    const struct sg_face *f = &s->cut->outdoor->face[item];
    double along, across;
    struct sg_xy c = { f->a.x, f->a.y }, d = { f->b.x, f->b.y };
    if (is_taken(s->cut, f->obstacle) || !sg_meet(s->pa, s->pb, c, d, &along, &across))
        return true;
    double length_m = hypot(s->pb.x - s->pa.x, s->pb.y - s->pa.y);
    bool at_end = along * length_m < SG_SAME_PLACE_M || (1 - along) * length_m < SG_SAME_PLACE_M;
    bool at_source = is_at(s->a, 0, 0) && along < 0.5;
    bool at_receptor = is_at(s->b, s->cut->way->direct_m, 0) && along > 0.5;
    if (at_end && (at_source || at_receptor))
        return true;
    double u = s->a.u + along * (s->b.u - s->a.u);
    if (!(f->a.z + across * (f->b.z - f->a.z) > plane_z(s->cut, u)))
        return true;
    s->found = f->obstacle;
    return false;
}

/* True when something was found and taken. Reflected ways are not searched: it is folded. */
static bool run_into(struct cut *c, const struct uv *chain, size_t n)
{
    if (c->way->order > 0)
        return false;
    for (size_t i = 0; i + 1 < n; i++) {
        struct search s = {
            c, chain[i], chain[i + 1], to_plan(c, chain[i]), to_plan(c, chain[i + 1]), SIZE_MAX
        };
        sg_box_tree_ask(&c->outdoor->faces, s.pa, s.pb, look, &s);
        if (s.found != SIZE_MAX) {
            take(c, s.found);
            return true;
        }
    }
    return false;
}

static void measure(const struct cut *c, const struct uv *chain, size_t n, double over_m,
                    struct sg_edges *out)
{
    struct sg_edges e = {
        .count = n - 2, .direct_m = c->way->direct_m, .side = true, .meteo = 1.0
    };
    double all_m = 0;
    for (size_t i = 0; i + 1 < n; i++) {
        double piece_m = hypot(chain[i + 1].u - chain[i].u, chain[i + 1].v - chain[i].v);
        all_m += piece_m;
        if (i == 0)
            e.first_m = piece_m;
        else if (i + 2 == n)
            e.last_m = piece_m;
        else
            e.between_m += piece_m;
    }
    e.detour_m = all_m - c->way->direct_m;
    if (all_m <= sg_outdoor_numbers.side_ratio * over_m && e.detour_m > 0)
        *out = e;
}

static sg_status one_side(struct cut *c, size_t hand, double over_m, struct sg_edges *out)
{
    sg_status status = SG_OK;
    struct uv *work = NULL;
    for (bool again = true; again && status == SG_OK && !c->failed;) {
        size_t room = c->count + 2;
        sg_free(work);
        work = sg_alloc(5 * room + 5, sizeof(*work));
        if (!work)
            return SG_ERR_NOMEM;
        struct uv *sorted = work, *hull = work + room, *chain = work + 3 * room + 2;
        size_t n = chain_of(c, hand, sorted, hull, chain);
        again = n > 2 && run_into(c, chain, n);
        if (!again && n > 2)
            measure(c, chain, n, over_m, out);
    }
    sg_free(work);
    return c->failed ? SG_ERR_NOMEM : status;
}

sg_status sg_way_sides(const struct sg_outdoor *outdoor, const struct sg_way *way,
                       const struct sg_side_set *set, double over_m, struct sg_edges *side)
{
    sg_status status = SG_OK;
    for (size_t hand = 0; hand < 2 && status == SG_OK; hand++) {
        struct cut c = { .outdoor = outdoor, .way = way, .stretch = way->direct_m / way->plan_m };
        for (size_t i = 0; i < set->count && !c.failed; i++)
            take(&c, set->obstacle[i]);
        status = c.failed ? SG_ERR_NOMEM : one_side(&c, hand, over_m, &side[hand]);
        sg_free(c.point);
        sg_free(c.taken);
    }
    return status;
}
