/* outdoor_way.c - one way of the sound unfolded into a straight line: the edges it crosses, the
 * heights of the ground under it, the kinds of ground along it.
 *
 * Source: ISO 9613-2:1996 clause 7.3; length-weighted mean of G in a region: ISO/TR 17534-3:2015,
 * 6.2.5.
 */
#include "outdoor_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void sg_crossings_init(struct sg_crossings *list)
{
    list->item = list->fixed;
    list->count = 0;
    list->capacity = SG_COUNT(list->fixed);
    list->failed = false;
}

void sg_crossings_add(struct sg_crossings *list, double s, double z, size_t obstacle)
{
    if (list->count == list->capacity) {
        bool fixed = list->item == list->fixed;
        struct sg_crossing *grown =
            sg_realloc(fixed ? NULL : list->item, 2 * list->capacity, sizeof(*grown));
        if (!grown) {
            list->failed = true;
            return;
        }
        if (fixed)
            memcpy(grown, list->fixed, sizeof(list->fixed));
        list->item = grown;
        list->capacity *= 2;
    }
    list->item[list->count++] = (struct sg_crossing){ s, z, obstacle };
}

void sg_crossings_release(struct sg_crossings *list)
{
    if (list->item != list->fixed)
        sg_free(list->item);
    list->item = list->fixed;
}

static int by_s(const void *left, const void *right)
{
    const struct sg_crossing *a = left, *b = right;
    if (a->s < b->s)
        return -1;
    if (a->s > b->s)
        return 1;
    return a->z < b->z ? -1 : a->z > b->z;
}

static void sort_crossings(struct sg_crossings *list)
{
    if (list->count > 1)
        qsort(list->item, list->count, sizeof(*list->item), by_s);
}

struct sg_way sg_way_direct(struct sg_xyz source, struct sg_xyz receptor)
{
    struct sg_way way = { .order = 0, .at = { source, receptor } };
    way.plan_m = hypot(receptor.x - source.x, receptor.y - source.y);
    way.direct_m = hypot(way.plan_m, receptor.z - source.z);
    way.offset_m[1] = way.plan_m;
    return way;
}

/* ---- what a leg meets ---- */

struct leg {
    const struct sg_outdoor *outdoor;
    const struct sg_way *way;
    size_t index;
    struct sg_xy a, b;
    double length_m, offset_m;
    struct sg_crossings *list;
};

static bool is_mirror(const struct leg *leg, size_t face)
{
    size_t i = leg->index;
    return (i > 0 && leg->way->face[i - 1] == face) ||
           (i < leg->way->order && leg->way->face[i] == face);
}

static bool add_edge(size_t item, void *payload)
{
    struct leg *leg = payload;
    const struct sg_face *f = &leg->outdoor->face[item];
    double along, across;
    if (is_mirror(leg, item) || !sg_meet(leg->a, leg->b, (struct sg_xy){ f->a.x, f->a.y },
                                         (struct sg_xy){ f->b.x, f->b.y }, &along, &across))
        return true;
    double at_m = along * leg->length_m;
    if (at_m < SG_SAME_PLACE_M || at_m > leg->length_m - SG_SAME_PLACE_M)
        return true;
    sg_crossings_add(leg->list, leg->offset_m + at_m, f->a.z + across * (f->b.z - f->a.z),
                     f->obstacle);
    return !leg->list->failed;
}

static bool add_height(size_t item, void *payload)
{
    struct leg *leg = payload;
    const struct sg_relief *relief = &leg->outdoor->relief;
    const struct sg_xyz *a = &relief->point[relief->edge[2 * item]];
    const struct sg_xyz *b = &relief->point[relief->edge[2 * item + 1]];
    double along, across;
    if (!sg_meet(leg->a, leg->b, (struct sg_xy){ a->x, a->y }, (struct sg_xy){ b->x, b->y }, &along,
                 &across))
        return true;
    sg_crossings_add(leg->list, leg->offset_m + along * leg->length_m,
                     a->z + across * (b->z - a->z), SIZE_MAX);
    return !leg->list->failed;
}

static struct leg leg_of(const struct sg_outdoor *outdoor, const struct sg_way *way, size_t index,
                         struct sg_crossings *list)
{
    const struct sg_xyz *a = &way->at[index], *b = &way->at[index + 1];
    return (struct leg){ outdoor,
                         way,
                         index,
                         { a->x, a->y },
                         { b->x, b->y },
                         hypot(b->x - a->x, b->y - a->y),
                         way->offset_m[index],
                         list };
}

void sg_way_heights(const struct sg_outdoor *outdoor, const struct sg_way *way,
                    struct sg_crossings *ground)
{
    for (size_t i = 0; i <= way->order && !outdoor->relief.flat; i++) {
        struct leg leg = leg_of(outdoor, way, i, ground);
        sg_box_tree_ask(&outdoor->relief.edges, leg.a, leg.b, add_height, &leg);
        sg_crossings_add(ground, leg.offset_m, sg_relief_at(&outdoor->relief, leg.a.x, leg.a.y),
                         SIZE_MAX);
        if (i == way->order)
            sg_crossings_add(ground, way->plan_m, sg_relief_at(&outdoor->relief, leg.b.x, leg.b.y),
                             SIZE_MAX);
    }
    sort_crossings(ground);
}

void sg_way_profile(const struct sg_outdoor *outdoor, const struct sg_way *way,
                    struct sg_crossings *edges, struct sg_crossings *ground)
{
    for (size_t i = 0; i <= way->order; i++) {
        struct leg leg = leg_of(outdoor, way, i, edges);
        sg_box_tree_ask(&outdoor->faces, leg.a, leg.b, add_edge, &leg);
    }
    sort_crossings(edges);
    sg_way_heights(outdoor, way, ground);
}

/* ---- kinds of ground ---- */

static double factor_at(const struct sg_scene *scene, struct sg_xy at)
{
    for (size_t i = scene->nregion; i > 0; i--) {
        const struct sg_ground_region *r = &scene->region[i - 1];
        if (sg_inside(r->corner, r->ncorner, at))
            return r->factor;
    }
    return scene->ground_factor;
}

/* Places where a leg goes from one region into another. */
static void add_borders(const struct leg *leg)
{
    const struct sg_scene *scene = leg->outdoor->scene;
    for (size_t i = 0; i < scene->nregion; i++) {
        const struct sg_ground_region *r = &scene->region[i];
        for (size_t k = 0; k < r->ncorner; k++) {
            const struct sg_spot3 *c = &r->corner[k], *d = &r->corner[(k + 1) % r->ncorner];
            double along, across;
            if (sg_meet(leg->a, leg->b, (struct sg_xy){ c->x_m, c->y_m },
                        (struct sg_xy){ d->x_m, d->y_m }, &along, &across))
                sg_crossings_add(leg->list, leg->offset_m + along * leg->length_m, 0, SIZE_MAX);
        }
    }
}

struct sg_xy sg_way_place(const struct sg_way *way, double s)
{
    size_t leg = 0;
    while (leg < way->order && s > way->offset_m[leg + 1])
        leg++;
    double length_m = way->offset_m[leg + 1] - way->offset_m[leg];
    double t = length_m > 0 ? (s - way->offset_m[leg]) / length_m : 0;
    const struct sg_xyz *a = &way->at[leg], *b = &way->at[leg + 1];
    return (struct sg_xy){ a->x + t * (b->x - a->x), a->y + t * (b->y - a->y) };
}

/* Mean of G from s = from to s = to. borders: sorted. */
static double mean_factor(const struct sg_scene *scene, const struct sg_way *way,
                          const struct sg_crossings *borders, double from, double to)
{
    double sum = 0, start = from;
    if (!(to - from > SG_SAME_PLACE_M))
        return factor_at(scene, sg_way_place(way, 0.5 * (from + to)));
    for (size_t i = 0; i <= borders->count; i++) {
        double end = i < borders->count ? borders->item[i].s : to;
        end = fmin(fmax(end, from), to);
        if (end > start)
            sum += (end - start) * factor_at(scene, sg_way_place(way, 0.5 * (start + end)));
        start = fmax(start, end);
    }
    return sum / (to - from);
}

sg_status sg_way_ground(const struct sg_outdoor *outdoor, const struct sg_way *way,
                        struct sg_ground_path *path)
{
    const struct sg_scene *scene = outdoor->scene;
    path->g_source = path->g_middle = path->g_receptor = scene->ground_factor;
    if (scene->nregion == 0)
        return SG_OK;
    struct sg_crossings borders;
    sg_crossings_init(&borders);
    for (size_t i = 0; i <= way->order; i++) {
        struct leg leg = leg_of(outdoor, way, i, &borders);
        add_borders(&leg);
        sg_crossings_add(&borders, way->offset_m[i], 0, SIZE_MAX);
    }
    sort_crossings(&borders);
    double n = sg_outdoor_numbers.region_heights, all_m = way->plan_m;
    double near_m = fmin(n * path->source_height_m, all_m);
    double far_m = fmin(n * path->receptor_height_m, all_m);
    path->g_source = mean_factor(scene, way, &borders, 0, near_m);
    path->g_receptor = mean_factor(scene, way, &borders, all_m - far_m, all_m);
    if (all_m - far_m > near_m)
        path->g_middle = mean_factor(scene, way, &borders, near_m, all_m - far_m);
    sg_status status = borders.failed ? SG_ERR_NOMEM : SG_OK;
    sg_crossings_release(&borders);
    return status;
}
