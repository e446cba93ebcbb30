/* outdoor_yard.c - the shortest way round on one hand when source or receptor stands inside the
 * hull of the obstacles, in a yard or behind a wall with arms: a string pulled tight round corners.
 *
 * Source: ISO/TR 17534-3:2015 5.2 (shortest lines round the edges), as its case T18 shows it.
 *
 * The string bends a hair beside the corners, in each free sector between the bars that meet there,
 * so that it never slips through a joint. A place on the direct way inside the first obstacle tells
 * the hands apart: from there a ray goes off to the right, and the number of times that a way
 * passes the ray from source to receptor is 0 round the left and 1 round the right.
 */
#include "outdoor_internal.h"

#include <math.h>

#define HAIR_M 1e-5
#define MOST_ARMS 16u
#define TURNS 4u /* passes of the ray: -1 .. 2 */
#define NO_TURN 1u
#define GOAL_NODE 1u
#define FEW_BARS 32u /* tried one after the other */

struct yard {
    const struct sg_bar *bar;
    size_t nbar;
    struct sg_uv *node; /* source, receptor, places beside the corners */
    size_t nnode, room;
    double ray_u;            /* the ray starts at (ray_u, 0) and runs to negative v */
    double last_u;           /* from ray_u to there no string passes between source and receptor */
    struct sg_box_tree bars; /* asked when there are more than FEW_BARS */
};

struct state {             /* a node reached with so many passes */
    double way_m, least_m; /* from the source; and at least, on to the receptor */
    size_t from;
    bool known, done;
};

/* On which side of a -> b a place lies: 1 left, -1 right, 0 on the line. */
static int side_of(struct sg_uv a, struct sg_uv b, struct sg_uv p)
{
    double du = b.u - a.u, dv = b.v - a.v;
    double off = du * (p.v - a.v) - dv * (p.u - a.u), slack = 1e-3 * HAIR_M * hypot(du, dv);
    return off > slack ? 1 : off < -slack ? -1 : 0;
}

static bool between(struct sg_uv a, struct sg_uv b, struct sg_uv p)
{
    double du = b.u - a.u, dv = b.v - a.v;
    double along = du * (p.u - a.u) + dv * (p.v - a.v);
    return along > 0 && along < du * du + dv * dv;
}

/* Touching a bar counts: the string runs a hair beside all of them. */
static bool bars_it(struct sg_uv a, struct sg_uv b, struct sg_uv c, struct sg_uv d)
{
    int first = side_of(a, b, c), last = side_of(a, b, d);
    if (first == 0 && last == 0)
        return between(a, b, c) || between(a, b, d);
    return first * last <= 0 && side_of(c, d, a) * side_of(c, d, b) <= 0;
}

struct view {
    const struct yard *yard;
    struct sg_uv a, b;
    bool blocked;
};

static bool try_bar(size_t item, void *payload)
{
    struct view *v = payload;
    const struct sg_bar *bar = &v->yard->bar[item];
    v->blocked = bars_it(v->a, v->b, bar->a, bar->b);
    return !v->blocked;
}

static bool blocked(const struct yard *y, struct sg_uv a, struct sg_uv b)
{
    struct view view = { y, a, b, false };
    if (y->nbar > FEW_BARS)
        sg_box_tree_ask(&y->bars, (struct sg_xy){ a.u, a.v }, (struct sg_xy){ b.u, b.v }, try_bar,
                        &view);
    for (size_t i = 0; y->nbar <= FEW_BARS && i < y->nbar && !view.blocked; i++)
        try_bar(i, &view);
    if (view.blocked)
        return true;
    struct sg_uv from = { y->ray_u, 0 }, to = { y->last_u, 0 };
    return y->last_u - y->ray_u > SG_SAME_PLACE_M && bars_it(a, b, from, to);
}

/* Inside a building: an odd number of its bars lies on one side. Bars of one obstacle follow each
 * other. */
static bool built_over(const struct yard *y, struct sg_uv p)
{
    bool odd = false;
    for (size_t i = 0; i < y->nbar; i++) {
        const struct sg_bar *bar = &y->bar[i];
        if (i > 0 && bar->obstacle != y->bar[i - 1].obstacle) {
            if (odd)
                return true;
            odd = false;
        }
        if (bar->closed && (bar->a.v > p.v) != (bar->b.v > p.v) &&
            p.u < (bar->b.u - bar->a.u) * (p.v - bar->a.v) / (bar->b.v - bar->a.v) + bar->a.u)
            odd = !odd;
    }
    return odd;
}

static double from_bar_m(const struct sg_bar *bar, struct sg_uv p)
{
    return sg_to_segment_m((struct sg_xy){ p.u, p.v }, (struct sg_xy){ bar->a.u, bar->a.v },
                           (struct sg_xy){ bar->b.u, bar->b.v });
}

/* Directions in which bars leave a corner, by angle. */
static size_t arms_of(const struct yard *y, struct sg_uv p, double *angle)
{
    size_t n = 0;
    for (size_t i = 0; i < y->nbar; i++) {
        const struct sg_uv end[2] = { y->bar[i].a, y->bar[i].b };
        if (from_bar_m(&y->bar[i], p) > SG_SAME_PLACE_M)
            continue;
        for (size_t k = 0; k < 2 && n < MOST_ARMS; k++) {
            double du = end[k].u - p.u, dv = end[k].v - p.v;
            if (!(hypot(du, dv) > SG_SAME_PLACE_M))
                continue;
            double at = atan2(dv, du);
            size_t to = n++;
            for (; to > 0 && angle[to - 1] > at; to--)
                angle[to] = angle[to - 1];
            angle[to] = at;
        }
    }
    return n;
}

static void add_node(struct yard *y, struct sg_uv corner, double angle)
{
    struct sg_uv at = { corner.u + HAIR_M * cos(angle), corner.v + HAIR_M * sin(angle) };
    if (y->nnode == y->room || built_over(y, at))
        return;
    for (size_t k = 2; k < y->nnode; k++) {
        if (hypot(y->node[k].u - at.u, y->node[k].v - at.v) < 0.1 * HAIR_M)
            return;
    }
    y->node[y->nnode++] = at;
}

/* One node in the middle of each sector; three round the end of a wall and in other wide sectors,
 * so that a string along either side stays clear of it. */
static void add_corner(struct yard *y, struct sg_uv p)
{
    double angle[MOST_ARMS];
    size_t n = arms_of(y, p, angle);
    for (size_t i = 0; i < n; i++) {
        double next = i + 1 < n ? angle[i + 1] : angle[0] + 2 * SG_PI;
        double wide = next - angle[i];
        if (wide > 1e-9)
            add_node(y, p, angle[i] + 0.5 * wide);
        if (wide > 1.5 * SG_PI + 1e-9) {
            add_node(y, p, angle[i] + 0.25 * wide);
            add_node(y, p, angle[i] + 0.75 * wide);
        }
    }
}

/* Where a bar meets the direct way; unset when it does not. */
static double on_direct(const struct sg_bar *bar, double direct_m)
{
    if ((bar->a.v > 0) == (bar->b.v > 0))
        return SG_UNSET;
    double u = bar->a.u - bar->a.v * (bar->b.u - bar->a.u) / (bar->b.v - bar->a.v);
    return u > 0 && u < direct_m ? u : SG_UNSET;
}

/* The direct way's place nearest to its end at `end_u` that lies in the middle of an obstacle; a
 * wall has no depth. */
static double middle_near(const struct yard *y, double direct_m, double end_u)
{
    double first = SG_UNSET, second = SG_UNSET;
    size_t obstacle = SIZE_MAX;
    for (size_t i = 0; i < y->nbar; i++) {
        double u = on_direct(&y->bar[i], direct_m);
        if (!sg_is_set(u) || (sg_is_set(first) && fabs(u - end_u) >= fabs(first - end_u)))
            continue;
        first = u;
        obstacle = y->bar[i].closed ? y->bar[i].obstacle : SIZE_MAX;
    }
    for (size_t i = 0; i < y->nbar; i++) {
        double u = on_direct(&y->bar[i], direct_m);
        if (y->bar[i].obstacle == obstacle && fabs(u - end_u) > fabs(first - end_u) &&
            (!sg_is_set(second) || fabs(u - end_u) < fabs(second - end_u)))
            second = u;
    }
    return sg_is_set(second) ? 0.5 * (first + second) : first;
}

/* All obstacles on the direct way stay on one hand: the stretch from the first to the last of them
 * counts as built over. */
static bool start_ray(struct yard *y, double direct_m)
{
    y->ray_u = middle_near(y, direct_m, 0);
    y->last_u = middle_near(y, direct_m, direct_m);
    return sg_is_set(y->ray_u);
}

/* How the count of passes changes from a to b. */
static int passes(const struct yard *y, struct sg_uv a, struct sg_uv b)
{
    bool before_a = a.u < y->ray_u, before_b = b.u < y->ray_u;
    if (before_a == before_b)
        return 0;
    double v = a.v + (b.v - a.v) * (y->ray_u - a.u) / (b.u - a.u);
    if (v >= 0)
        return 0;
    return before_a ? 1 : -1;
}

static void spread(const struct yard *y, struct state *state, size_t at)
{
    size_t node = at / TURNS;
    long turn = (long)(at % TURNS);
    for (size_t next = 1; next < y->nnode; next++) {
        long turned = turn + passes(y, y->node[node], y->node[next]);
        if (next == node || turned < 0 || turned >= (long)TURNS)
            continue;
        struct state *to = &state[next * TURNS + (size_t)turned];
        double way_m = state[at].way_m +
                       hypot(y->node[next].u - y->node[node].u, y->node[next].v - y->node[node].v);
        if (to->done || (to->known && to->way_m <= way_m) ||
            blocked(y, y->node[node], y->node[next]))
            continue;
        to->way_m = way_m;
        to->least_m = way_m + hypot(y->node[next].u - y->node[GOAL_NODE].u,
                                    y->node[next].v - y->node[GOAL_NODE].v);
        to->from = at;
        to->known = true;
    }
}

/* The nodes over which the receptor may be nearest first, until `goal` is reached. No way on is
 * shorter than the straight line, so that the first way to a node is the shortest (A*; Hart,
 * Nilsson and Raphael 1968). */
static bool search(const struct yard *y, struct state *state, size_t goal)
{
    state[NO_TURN].known = true; /* the source */
    for (;;) {
        size_t nearest = SIZE_MAX;
        for (size_t i = 0; i < y->nnode * TURNS; i++) {
            if (state[i].known && !state[i].done &&
                (nearest == SIZE_MAX || state[i].least_m < state[nearest].least_m))
                nearest = i;
        }
        if (nearest == SIZE_MAX || nearest == goal)
            return nearest == goal;
        state[nearest].done = true;
        spread(y, state, nearest);
    }
}

/* Bends at one corner become one; where the string only touches a corner it has no bend. */
static size_t merged(struct sg_uv *chain, size_t count)
{
    size_t n = 1;
    for (size_t i = 1; i < count; i++) {
        struct sg_uv last = chain[n - 1], p = chain[i];
        bool end = i + 1 == count;
        if (!end && hypot(p.u - last.u, p.v - last.v) < 4 * HAIR_M)
            continue;
        if (n > 1) {
            struct sg_uv before = chain[n - 2];
            struct sg_bar over = { before, p, 0, false };
            n -= from_bar_m(&over, last) < 4 * HAIR_M;
        }
        chain[n++] = p;
    }
    return n;
}

static sg_status index_bars(struct yard *y, struct sg_arena *arena)
{
    if (y->nbar <= FEW_BARS)
        return SG_OK;
    struct sg_box *box = sg_alloc(y->nbar, sizeof(*box));
    if (!box)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < y->nbar; i++)
        box[i] = sg_box_of((struct sg_xy){ y->bar[i].a.u, y->bar[i].a.v },
                           (struct sg_xy){ y->bar[i].b.u, y->bar[i].b.v }, HAIR_M);
    sg_status status = sg_box_tree_make(box, y->nbar, arena, &y->bars);
    sg_free(box);
    return status;
}

sg_status sg_way_taut(const struct sg_bar *bar, size_t nbar, double direct_m, size_t hand,
                      struct sg_uv *chain, size_t room, size_t *count)
{
    struct yard y = { .bar = bar, .nbar = nbar, .nnode = 2, .room = room };
    struct sg_arena arena = SG_ARENA_INIT;
    *count = 0;
    if (!start_ray(&y, direct_m))
        return SG_OK;
    y.node = sg_alloc(room, sizeof(*y.node));
    struct state *state = sg_alloc(room * TURNS, sizeof(*state));
    sg_status status = y.node && state ? index_bars(&y, &arena) : SG_ERR_NOMEM;
    if (!sg_ok(status))
        goto done;
    y.node[0] = (struct sg_uv){ 0, 0 };
    y.node[1] = (struct sg_uv){ direct_m, 0 };
    for (size_t i = 0; i < nbar; i++) {
        add_corner(&y, bar[i].a);
        add_corner(&y, bar[i].b);
    }
    for (size_t i = 0; i < y.nnode * TURNS; i++)
        state[i] = (struct state){ 0, 0, 0, false, false };
    size_t goal = TURNS + NO_TURN + hand, n = 1;
    if (!search(&y, state, goal))
        goto done;
    for (size_t at = goal; at != NO_TURN; at = state[at].from)
        n++;
    size_t all = n;
    for (size_t at = goal; n > 0; at = state[at].from)
        chain[--n] = y.node[at / TURNS];
    *count = merged(chain, all);
done:
    sg_free(y.node);
    sg_free(state);
    sg_arena_release(&arena);
    return status;
}
