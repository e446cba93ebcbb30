/* outdoor_sides.c - ways round the sides: obstacles cut by the plane that holds source and receptor
 * and stands square to their vertical plane, then the convex hull of the cut on either hand.
 *
 * Sources: ISO 9613-2:1996 clause 7.4; ISO/TR 17534-3:2015 5.2 (ways longer than eight times
 * that over the top are left out). Going round the hull of the cut, not of the plan, reproduces the
 * published cases. Obstacles that a way round would run into are taken into the hull too. When
 * source or receptor stands inside the hull, the way is pulled tight round the corners instead
 * (outdoor_yard.c).
 */
#include "outdoor_internal.h"

#include <math.h>
#include <string.h>

#define FEW 32 /* corners that need no memory of their own */

struct cut {
    const struct sg_outdoor *outdoor;
    const struct sg_way *way;
    struct sg_xy origin, along;            /* of u, in plan */
    double stretch;                        /* u per metre of plan */
    struct sg_uv fixed_point[FEW], *point; /* cut corners */
    size_t count, room;
    size_t fixed_taken[FEW], *taken; /* obstacles in the hull */
    size_t ntaken, taken_room;
    struct sg_uv fixed_work[5 * FEW + 15], *work; /* sorted, hull, chain */
    size_t work_room;
    size_t base;             /* corners that serve both hands */
    size_t near[FEW], nnear; /* faces round the hull, unless more than FEW */
    size_t near_for;         /* how many obstacles were taken when it was asked for; 0 = never */
    struct sg_side_set *set;
    struct sg_uv clear[FEW]; /* first corners of the last way round; nothing is met between them */
    size_t nclear;
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

static struct sg_uv to_plane(const struct cut *c, struct sg_xy p)
{
    double dx = p.x - c->origin.x, dy = p.y - c->origin.y;
    return (struct sg_uv){ (dx * c->along.x + dy * c->along.y) * c->stretch,
                           dy * c->along.x - dx * c->along.y };
}

static struct sg_xy to_plan(const struct cut *c, struct sg_uv p)
{
    double along = p.u / c->stretch;
    return (struct sg_xy){ c->origin.x + along * c->along.x - p.v * c->along.y,
                           c->origin.y + along * c->along.y + p.v * c->along.x };
}

static double plane_z(const struct cut *c, double u)
{
    double z0 = c->way->at[0].z;
    return z0 + (c->way->at[c->way->order + 1].z - z0) * u / c->way->direct_m;
}

/* Room for one more; the first FEW stand in the cut itself. NULL without memory. */
static void *grown(void *list, const void *fixed, size_t *room, size_t size)
{
    void *more = sg_realloc(list == fixed ? NULL : list, 2 * *room, size);
    if (more && list == fixed)
        memcpy(more, fixed, *room * size);
    if (more)
        *room *= 2;
    return more;
}

static void add_point(struct cut *c, struct sg_uv p)
{
    if (c->count == c->room) {
        struct sg_uv *more = grown(c->point, c->fixed_point, &c->room, sizeof(*more));
        if (!more) {
            c->failed = true;
            return;
        }
        c->point = more;
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

static bool is_mirror(const struct cut *c, size_t leg, size_t face)
{
    return (leg > 0 && c->way->face[leg - 1] == face) ||
           (leg < c->way->order && c->way->face[leg] == face);
}

/* Whether a leg of the way meets an obstacle; obstacles beside a direct way count as on it. */
static bool on_leg(const struct cut *c, size_t obstacle, size_t leg)
{
    const struct sg_built *built = &c->outdoor->built[obstacle];
    struct sg_xy a = { c->way->at[leg].x, c->way->at[leg].y };
    struct sg_xy b = { c->way->at[leg + 1].x, c->way->at[leg + 1].y };
    if (c->way->order == 0)
        return true;
    for (size_t i = 0; i < built->count; i++) {
        const struct sg_face *f = &c->outdoor->face[built->first + i];
        double along, across;
        if (!is_mirror(c, leg, built->first + i) &&
            sg_meet(a, b, (struct sg_xy){ f->a.x, f->a.y }, (struct sg_xy){ f->b.x, f->b.y },
                    &along, &across))
            return true;
    }
    return false;
}

struct edge_cut { /* top edge of a face in the plane, and how far its ends reach over it */
    struct sg_uv a, b, on;
    double over_a, over_b;
    bool leaves; /* at `on` */
};

static struct edge_cut cut_edge(const struct cut *c, size_t leg, const struct sg_face *f)
{
    struct edge_cut e = { .a = to_plane(c, unfold(c, leg, (struct sg_xy){ f->a.x, f->a.y })),
                          .b = to_plane(c, unfold(c, leg, (struct sg_xy){ f->b.x, f->b.y })) };
    e.over_a = f->a.z - plane_z(c, e.a.u);
    e.over_b = f->b.z - plane_z(c, e.b.u);
    e.leaves = (e.over_a < 0) != (e.over_b < 0);
    double t = e.leaves ? e.over_a / (e.over_a - e.over_b) : 0;
    e.on = (struct sg_uv){ e.a.u + t * (e.b.u - e.a.u), e.a.v + t * (e.b.v - e.a.v) };
    return e;
}

/* Takes the corners of an obstacle that reach over the plane, and where its edge passes it. */
static void take(struct cut *c, size_t obstacle)
{
    const struct sg_built *built = &c->outdoor->built[obstacle];
    if (c->ntaken == c->taken_room) {
        size_t *more = grown(c->taken, c->fixed_taken, &c->taken_room, sizeof(*more));
        if (!more) {
            c->failed = true;
            return;
        }
        c->taken = more;
    }
    c->taken[c->ntaken++] = obstacle;
    for (size_t leg = 0; leg <= c->way->order; leg++) {
        if (!on_leg(c, obstacle, leg))
            continue;
        for (size_t i = 0; i < built->count && !c->failed; i++) {
            struct edge_cut e = cut_edge(c, leg, &c->outdoor->face[built->first + i]);
            if (e.over_a >= 0)
                add_point(c, e.a);
            if (e.over_b >= 0)
                add_point(c, e.b);
            if (e.leaves)
                add_point(c, e.on);
        }
    }
}

/* ---- the hull ---- */

static bool is_at(struct sg_uv p, double u, double v)
{
    return fabs(p.u - u) < 1e-9 && fabs(p.v - v) < 1e-9;
}

/* The hull of the corners, source and receptor. */
static size_t hull_of(const struct cut *c, struct sg_uv *sorted, struct sg_uv *hull)
{
    size_t n = c->count + 2;
    for (size_t i = 0; i < c->count; i++)
        sorted[i] = c->point[i];
    sorted[c->count] = (struct sg_uv){ 0, 0 };
    sorted[c->count + 1] = (struct sg_uv){ c->way->direct_m, 0 };
    return sg_convex_hull(sorted, n, hull);
}

/* What lies within the hull never comes to lie on it again: of many corners behind the first `base`
 * only those of the hull are kept. */
static void thin_out(struct cut *c, const struct sg_uv *hull, size_t n)
{
    if (c->count < c->base + 2 * n + FEW)
        return;
    memcpy(c->point + c->base, hull, n * sizeof(*hull));
    c->count = c->base + n;
}

/* The hull from source to receptor on one hand (0 left, 1 right). 0 when one of the two lies within
 * the hull. */
static size_t chain_of(struct cut *c, size_t hand, struct sg_uv *sorted, struct sg_uv *hull,
                       struct sg_uv *chain)
{
    size_t n = hull_of(c, sorted, hull), from = SIZE_MAX, to = SIZE_MAX;
    thin_out(c, hull, n);
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
    struct sg_uv a, b; /* the stretch of the way */
    struct sg_xy pa, pb;
    size_t found;
};

static bool look(size_t item, void *payload)
{
    struct search *s = payload;
    const struct sg_face *f = &s->cut->outdoor->face[item];
    double along, across;
    struct sg_xy c = { f->a.x, f->a.y }, d = { f->b.x, f->b.y };
    if (!sg_meet(s->pa, s->pb, c, d, &along, &across) || is_taken(s->cut, f->obstacle))
        return true;
    double dx = s->pb.x - s->pa.x, dy = s->pb.y - s->pa.y, length_m = sqrt(dx * dx + dy * dy);
    bool at_end = along * length_m < SG_SAME_PLACE_M || (1 - along) * length_m < SG_SAME_PLACE_M;
    bool at_source = is_at(s->a, 0, 0) && along < 0.5;
    bool at_receptor = is_at(s->b, s->cut->way->direct_m, 0) && along > 0.5;
    if (at_end && (at_source || at_receptor))
        return true;
    double u = s->a.u + along * (s->b.u - s->a.u);
    if (!(f->a.z + across * (f->b.z - f->a.z) > plane_z(s->cut, u)))
        return true;
    size_t band = sg_band_from(s->cut->outdoor, s->pa, s->pb, f->obstacle);
    if (band > s->cut->set->band) {
        s->cut->set->until = band < s->cut->set->until ? band : s->cut->set->until;
        return true;
    }
    s->found = f->obstacle;
    return false;
}

static bool note_near(size_t item, void *payload)
{
    struct cut *c = payload;
    if (c->nnear < FEW)
        c->near[c->nnear] = item;
    return c->nnear++ < FEW;
}

/* All stretches of both ways lie in the box of the hull: one question serves them all. */
static void ask_near(struct cut *c)
{
    const struct sg_xyz *r = &c->way->at[c->way->order + 1];
    struct sg_box box = sg_box_of(c->origin, (struct sg_xy){ r->x, r->y }, SG_SAME_PLACE_M);
    for (size_t i = 0; i < c->count; i++) {
        struct sg_xy p = to_plan(c, c->point[i]);
        struct sg_box one = sg_box_of(p, p, SG_SAME_PLACE_M);
        box.west = one.west < box.west ? one.west : box.west;
        box.south = one.south < box.south ? one.south : box.south;
        box.east = one.east > box.east ? one.east : box.east;
        box.north = one.north > box.north ? one.north : box.north;
    }
    c->nnear = 0;
    c->near_for = c->ntaken;
    sg_box_tree_within(&c->outdoor->faces, &box, note_near, c);
}

static void look_along(struct search *s)
{
    const struct cut *c = s->cut;
    if (c->nnear > FEW) {
        sg_box_tree_ask(&c->outdoor->faces, s->pa, s->pb, look, s);
        return;
    }
    for (size_t i = 0; i < c->nnear && look(c->near[i], s); i++)
        continue;
}

/* Stretches at the start that were looked along before, when fewer obstacles were taken. */
static size_t first_unclear(const struct cut *c, const struct sg_uv *chain, size_t n)
{
    size_t i = 0;
    while (i + 1 < c->nclear && i + 1 < n &&
           memcmp(&chain[i], &c->clear[i], 2 * sizeof(*chain)) == 0)
        i++;
    return i;
}

/* True when something was found and taken. Reflected ways are not searched: it is folded. */
static bool run_into(struct cut *c, const struct sg_uv *chain, size_t n)
{
    if (c->way->order > 0)
        return false;
    if (c->near_for != c->ntaken)
        ask_near(c);
    for (size_t i = first_unclear(c, chain, n); i + 1 < n; i++) {
        struct search s = {
            c, chain[i], chain[i + 1], to_plan(c, chain[i]), to_plan(c, chain[i + 1]), SIZE_MAX
        };
        look_along(&s);
        if (s.found != SIZE_MAX) {
            c->nclear = i + 1 < FEW ? i + 1 : FEW;
            memcpy(c->clear, chain, c->nclear * sizeof(*chain));
            take(c, s.found);
            return true;
        }
    }
    return false;
}

/* A chain without a bend: nothing reaches over to that hand, the edge stands on the direct way and
 * z = 0, as it does where it reaches over by a hair. */
static void measure(const struct cut *c, const struct sg_uv *chain, size_t n, double over_m,
                    struct sg_edges *out)
{
    struct sg_edges e = {
        .count = n > 2 ? n - 2 : 1, .direct_m = c->way->direct_m, .side = true, .meteo = 1.0
    };
    double all_m = 0;
    for (size_t i = 0; i + 1 < n; i++) {
        double du = chain[i + 1].u - chain[i].u, dv = chain[i + 1].v - chain[i].v;
        double piece_m = sqrt(du * du + dv * dv);
        all_m += piece_m;
        if (i == 0)
            e.first_m = piece_m;
        else if (i + 2 == n)
            e.last_m = piece_m;
        else
            e.between_m += piece_m;
    }
    e.detour_m = fmax(0.0, all_m - c->way->direct_m);
    if (all_m <= sg_outdoor_numbers.side_ratio * over_m)
        *out = e;
}

static struct sg_uv *work_for(struct cut *c)
{
    size_t need = 5 * (c->count + 2) + 5;
    if (need > c->work_room) {
        struct sg_uv *more = sg_alloc(2 * need, sizeof(*more));
        if (!more)
            return NULL;
        if (c->work != c->fixed_work)
            sg_free(c->work);
        c->work = more;
        c->work_room = 2 * need;
    }
    return c->work;
}

/* Both hands start from the same corners. */
static sg_status thin_base(struct cut *c)
{
    if (c->count > FEW) {
        struct sg_uv *sorted = work_for(c);
        if (!sorted)
            return SG_ERR_NOMEM;
        struct sg_uv *hull = sorted + c->count + 2;
        thin_out(c, hull, hull_of(c, sorted, hull));
    }
    c->base = c->count;
    return SG_OK;
}

/* ---- in a yard ---- */

static void add_bar(const struct cut *c, struct sg_uv a, struct sg_uv b, size_t obstacle,
                    struct sg_bar *bar, size_t *count)
{
    bar[(*count)++] =
        (struct sg_bar){ a, b, obstacle, c->outdoor->scene->obstacle[obstacle].closed };
}

/* What of the faces of an obstacle reaches over the plane, and for a building the lines along which
 * the plane leaves its roof. At most twice as many bars as faces a leg. */
static void bars_of(const struct cut *c, size_t obstacle, size_t leg, struct sg_bar *bar,
                    size_t *count)
{
    const struct sg_built *built = &c->outdoor->built[obstacle];
    struct sg_uv open = { 0, 0 };
    size_t nopen = 0;
    for (size_t i = 0; i < built->count; i++) {
        const struct sg_face *f = &c->outdoor->face[built->first + i];
        struct edge_cut e = cut_edge(c, leg, f);
        if (e.over_a < 0 && e.over_b < 0)
            continue;
        add_bar(c, e.over_a < 0 ? e.on : e.a, e.over_b < 0 ? e.on : e.b, obstacle, bar, count);
        if (e.leaves && f->outside != 0 && nopen++ % 2 == 1)
            add_bar(c, open, e.on, obstacle, bar, count);
        open = e.leaves ? e.on : open;
    }
}

/* The way pulled tight; *chain is the caller's to free. */
static sg_status tight(struct cut *c, size_t hand, struct sg_uv **chain, size_t *count)
{
    size_t most = 0, nbar = 0;
    for (size_t i = 0; i < c->ntaken; i++)
        most += 2 * (c->way->order + 1) * c->outdoor->built[c->taken[i]].count;
    struct sg_bar *bar = sg_alloc(most + 1, sizeof(*bar));
    size_t room = 10 * most + 2; /* corners with their sectors */
    *chain = sg_alloc(room, sizeof(**chain));
    sg_status status = bar && *chain ? SG_OK : SG_ERR_NOMEM;
    for (size_t i = 0; sg_ok(status) && i < c->ntaken; i++) {
        for (size_t leg = 0; leg <= c->way->order; leg++) {
            if (on_leg(c, c->taken[i], leg))
                bars_of(c, c->taken[i], leg, bar, &nbar);
        }
    }
    if (sg_ok(status))
        status = sg_way_taut(bar, nbar, c->way->direct_m, hand, *chain, room, count);
    sg_free(bar);
    return status;
}

static sg_status one_side(struct cut *c, size_t hand, double over_m, struct sg_edges *out)
{
    sg_status status = SG_OK;
    for (bool again = true; again && !c->failed && sg_ok(status);) {
        size_t room = c->count + 2;
        struct sg_uv *sorted = work_for(c), *in_yard = NULL;
        if (!sorted)
            return SG_ERR_NOMEM;
        struct sg_uv *hull = sorted + room, *chain = sorted + 3 * room + 2;
        size_t n = chain_of(c, hand, sorted, hull, chain);
        if (n == 0) {
            status = tight(c, hand, &in_yard, &n);
            chain = in_yard;
        }
        again = sg_ok(status) && n > 2 && run_into(c, chain, n);
        if (!again && sg_ok(status) && n > 1)
            measure(c, chain, n, over_m, out);
        sg_free(in_yard);
    }
    return c->failed ? SG_ERR_NOMEM : status;
}

static void start_cut(struct cut *c, const struct sg_outdoor *outdoor, const struct sg_way *way)
{
    const struct sg_xyz *r = &way->at[way->order + 1];
    c->outdoor = outdoor;
    c->way = way;
    c->stretch = way->direct_m / way->plan_m;
    c->origin = unfold(c, 0, (struct sg_xy){ way->at[0].x, way->at[0].y });
    c->along.x = (r->x - c->origin.x) / way->plan_m;
    c->along.y = (r->y - c->origin.y) / way->plan_m;
    c->point = c->fixed_point;
    c->taken = c->fixed_taken;
    c->work = c->fixed_work;
    c->room = c->taken_room = FEW;
    c->work_room = SG_COUNT(c->fixed_work);
    c->count = c->base = c->ntaken = c->nnear = c->near_for = 0;
    c->failed = false;
}

sg_status sg_way_sides(const struct sg_outdoor *outdoor, const struct sg_way *way,
                       struct sg_side_set *set, double over_m, struct sg_edges *side)
{
    struct cut c;
    start_cut(&c, outdoor, way);
    c.set = set;
    for (size_t i = 0; i < set->count && !c.failed; i++)
        take(&c, set->obstacle[i]);
    sg_status status = c.failed ? SG_ERR_NOMEM : thin_base(&c);
    size_t count = c.count, ntaken = c.ntaken;
    for (size_t hand = 0; hand < 2 && sg_ok(status); hand++) {
        c.count = count;
        c.near_for = c.ntaken == ntaken ? c.near_for : 0;
        c.ntaken = ntaken;
        c.nclear = 0;
        status = one_side(&c, hand, over_m, &side[hand]);
    }
    if (c.point != c.fixed_point)
        sg_free(c.point);
    if (c.taken != c.fixed_taken)
        sg_free(c.taken);
    if (c.work != c.fixed_work)
        sg_free(c.work);
    return status;
}
