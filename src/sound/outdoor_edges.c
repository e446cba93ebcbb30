/* outdoor_edges.c - screening of one way: the rubber band over the edges in its vertical plane, the
 * ways round the sides, and what they leave in each band.
 *
 * Sources: ISO 9613-2:1996 clause 7.4; ISO/TR 17534-3:2015 clause 5 (rubber band 5.2, caps 5.3,
 * z < 0 gives 0 5.4, no side ways round the ground 5.8). An obstacle counts in the bands whose
 * wavelength is shorter than its extent across the way.
 */
#include "outdoor_internal.h"

#include <math.h>

size_t sg_band_from(const struct sg_outdoor *outdoor, struct sg_xy a, struct sg_xy b,
                    size_t obstacle)
{
    double dx = b.x - a.x, dy = b.y - a.y, length_m = sqrt(dx * dx + dy * dy);
    const struct sg_obstacle *o = &outdoor->scene->obstacle[obstacle];
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (size_t i = 0; i < o->ncorner; i++) {
        double v = ((o->corner[i].y_m - a.y) * dx - (o->corner[i].x_m - a.x) * dy) / length_m;
        low = v < low ? v : low;
        high = v > high ? v : high;
    }
    size_t band = 0;
    while (band < SG_BANDS && !(high - low > outdoor->wavelength_m[band]))
        band++;
    return band;
}

/* The same across the leg that meets the obstacle at s. */
static size_t leg_band_from(const struct sg_outdoor *outdoor, const struct sg_way *way,
                            const struct sg_crossing *met)
{
    size_t leg = 0;
    while (leg < way->order && met->s > way->offset_m[leg + 1])
        leg++;
    const struct sg_xyz *a = &way->at[leg], *b = &way->at[leg + 1];
    return sg_band_from(outdoor, (struct sg_xy){ a->x, a->y }, (struct sg_xy){ b->x, b->y },
                        met->obstacle);
}

/* ---- the rubber band ---- */

struct band {
    double s, z;
};

/* Upper hull over source, points (sorted by s) and receptor; returns how many are in hull. */
static size_t rubber_band(const struct sg_way *way, const struct band *point, size_t count,
                          struct band *hull)
{
    struct band end = { way->plan_m, way->at[way->order + 1].z };
    size_t n = 0;
    hull[n++] = (struct band){ 0, way->at[0].z };
    for (size_t i = 0; i <= count; i++) {
        struct band p = i < count ? point[i] : end;
        while (n > 1) {
            const struct band *a = &hull[n - 2], *b = &hull[n - 1];
            if ((b->z - a->z) * (p.s - a->s) > (p.z - a->z) * (b->s - a->s) + 1e-12)
                break;
            n--;
        }
        hull[n++] = p;
    }
    return n;
}

static double apart(const struct band *a, const struct band *b)
{
    double ds = b->s - a->s, dz = b->z - a->z;
    return sqrt(ds * ds + dz * dz);
}

static struct sg_edges edges_of(const struct sg_way *way, const struct band *hull, size_t n)
{
    struct sg_edges e = { .count = n - 2, .direct_m = way->direct_m, .meteo = 1.0 };
    if (n < 3)
        return e;
    e.first_m = apart(&hull[0], &hull[1]);
    e.last_m = apart(&hull[n - 2], &hull[n - 1]);
    for (size_t i = 1; i + 2 < n; i++)
        e.between_m += apart(&hull[i], &hull[i + 1]);
    e.detour_m = e.first_m + e.between_m + e.last_m - way->direct_m;
    return e;
}

static double sight_at(const struct sg_way *way, double s)
{
    double z0 = way->at[0].z;
    return z0 + (way->at[way->order + 1].z - z0) * s / way->plan_m;
}

/* ---- one set of bands ---- */

struct screen {
    const struct sg_outdoor *outdoor;
    const struct sg_way *way;
    const struct sg_crossings *edges, *ground;
    const size_t *from; /* per edge: first band in which its obstacle counts */
    struct band *point, *hull;
    size_t *set;
    size_t until; /* the ways round hold for the bands before this one */
};

/* Just under the line of sight: the edge with the least detour, counted negative. */
static struct sg_edges grazing(const struct screen *s, size_t npoint)
{
    struct sg_edges best = { .direct_m = s->way->direct_m, .detour_m = -HUGE_VAL, .meteo = 1.0 };
    struct band a = { 0, s->way->at[0].z }, b = { s->way->plan_m, s->way->at[s->way->order + 1].z };
    for (size_t i = 0; i < npoint; i++) {
        double first_m = apart(&a, &s->point[i]), last_m = apart(&s->point[i], &b);
        double z = s->way->direct_m - first_m - last_m;
        if (z > best.detour_m)
            best = (struct sg_edges){ .count = 1,
                                      .first_m = first_m,
                                      .last_m = last_m,
                                      .detour_m = z,
                                      .direct_m = s->way->direct_m,
                                      .meteo = 1.0 };
    }
    return best;
}

static size_t points_of(const struct screen *s, size_t band, bool *ground_cuts, size_t *nset)
{
    size_t n = 0, e = 0, g = 0;
    *ground_cuts = false;
    *nset = 0;
    double end = s->way->plan_m - SG_SAME_PLACE_M;
    while (e < s->edges->count || g < s->ground->count) {
        bool edge_next = g == s->ground->count ||
                         (e < s->edges->count && s->edges->item[e].s <= s->ground->item[g].s);
        const struct sg_crossing *c = edge_next ? &s->edges->item[e] : &s->ground->item[g];
        bool counts = !edge_next || band >= s->from[e];
        e += edge_next;
        g += !edge_next;
        if (!counts || c->s < SG_SAME_PLACE_M || c->s > end)
            continue;
        s->point[n++] = (struct band){ c->s, c->z };
        if (!(c->z > sight_at(s->way, c->s) + 1e-9))
            continue;
        if (!edge_next)
            *ground_cuts = true;
        else
            s->set[(*nset)++] = c->obstacle;
    }
    return n;
}

static size_t distinct(size_t *set, size_t count)
{
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        bool seen = false;
        for (size_t k = 0; k < n; k++)
            seen |= set[k] == set[i];
        if (!seen)
            set[n++] = set[i];
    }
    return n;
}

static sg_status trace(struct screen *s, size_t band, struct sg_edges *top, struct sg_edges *side)
{
    bool ground_cuts;
    size_t nset, npoint = points_of(s, band, &ground_cuts, &nset);
    s->until = SG_BANDS;
    side[0] = side[1] = (struct sg_edges){ .count = 0 };
    *top = edges_of(s->way, s->hull, rubber_band(s->way, s->point, npoint, s->hull));
    if (top->count == 0) {
        if (s->outdoor->scene->near_sight && npoint > 0)
            *top = grazing(s, npoint);
        return SG_OK;
    }
    top->meteo = sg_screen_meteo(top);
    nset = distinct(s->set, nset);
    if (nset == 0 || ground_cuts)
        return SG_OK;
    struct sg_side_set set = { s->set, nset, band, SG_BANDS };
    sg_status status = sg_way_sides(s->outdoor, s->way, &set, top->detour_m + top->direct_m, side);
    s->until = set.until;
    return status;
}

/* As sg_screen_combined_db, on energies (a way round leaves 1 / argument of it), for the bands from
 * `first` on. */
static void put_bands(const struct sg_outdoor *outdoor, const struct sg_edges *top,
                      const struct sg_edges *side, size_t first, struct sg_outdoor_path *path)
{
    double argument[SG_BANDS], db[SG_BANDS] = { 0 }, around[SG_BANDS] = { 0 }, over_db[SG_BANDS];
    for (size_t i = 0; i < 2; i++) {
        for (size_t b = 0; b < SG_BANDS; b++)
            argument[b] = sg_screen_argument(&side[i], outdoor->wavelength_m[b], 1.0);
        if (side[i].count > 0)
            sg_bands_db(argument, db);
        for (size_t b = first; b < SG_BANDS; b++) {
            path->side_db[i][b] = side[i].count > 0 ? db[b] : SG_UNSET;
            around[b] += side[i].count > 0 ? 1.0 / argument[b] : 0;
        }
    }
    for (size_t b = first; b < SG_BANDS; b++)
        path->top_db[b] = path->abar_db[b] = 0;
    if (top->count == 0)
        return;
    double cap_db = top->count > 1 ? sg_outdoor_numbers.cap_more_db : sg_outdoor_numbers.cap_one_db;
    for (size_t b = 0; b < SG_BANDS; b++)
        argument[b] = sg_screen_argument(top, outdoor->wavelength_m[b], top->meteo);
    sg_bands_db(argument, db);
    for (size_t b = 0; b < SG_BANDS; b++) {
        double agr_db = path->agr_db[b] > 0 ? path->agr_db[b] : 0;
        db[b] = db[b] < cap_db ? db[b] : cap_db;
        over_db[b] = db[b] > agr_db ? agr_db - db[b] : 0;
    }
    sg_bands_ratio(over_db, argument);
    for (size_t b = 0; b < SG_BANDS; b++)
        argument[b] += around[b];
    if (side[0].count + side[1].count > 0)
        sg_bands_db(argument, argument);
    for (size_t b = first; b < SG_BANDS; b++) {
        path->top_db[b] = db[b];
        double left_db = around[b] > 0 ? argument[b] : over_db[b];
        path->abar_db[b] = left_db < 0 ? -left_db : 0;
    }
}

static bool same_from(const size_t *from, size_t count, size_t band)
{
    for (size_t i = 0; i < count; i++) {
        if (from[i] == band)
            return false;
    }
    return true;
}

sg_status sg_way_screen(const struct sg_outdoor *outdoor, const struct sg_way *way,
                        const struct sg_crossings *edges, const struct sg_crossings *ground,
                        struct sg_outdoor_path *path)
{
    struct sg_edges top = { .count = 0 }, side[2] = { { .count = 0 }, { .count = 0 } };
    size_t all = edges->count + ground->count;
    if (all == 0) {
        put_bands(outdoor, &top, side, 0, path);
        return SG_OK;
    }
    enum { FIXED = 96 };
    struct band fixed_points[2 * FIXED + 2];
    size_t fixed_sets[2 * FIXED];
    bool grown = all > FIXED;
    struct band *points = grown ? sg_alloc(2 * all + 2, sizeof(*points)) : fixed_points;
    size_t *sets = grown ? sg_alloc(2 * all, sizeof(*sets)) : fixed_sets;
    sg_status status = points && sets ? SG_OK : SG_ERR_NOMEM;
    struct screen s = { outdoor,
                        way,
                        edges,
                        ground,
                        sets,
                        points,
                        points ? points + all : NULL,
                        sets ? sets + all : NULL,
                        0 };
    for (size_t i = 0; status == SG_OK && i < edges->count; i++)
        sets[i] = leg_band_from(outdoor, way, &edges->item[i]);
    bool shown = false;
    for (size_t b = 0; status == SG_OK && b < SG_BANDS; b++) {
        if (b > 0 && b < s.until && same_from(sets, edges->count, b))
            continue;
        status = trace(&s, b, &top, side);
        if (sg_ok(status))
            put_bands(outdoor, &top, side, b, path);
        if (top.count > 0 && !shown) {
            path->top = top;
            path->side[0] = side[0];
            path->side[1] = side[1];
            shown = true;
        }
    }
    if (grown) {
        sg_free(points);
        sg_free(sets);
    }
    return status;
}
