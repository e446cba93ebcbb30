/* outdoor_follow.c - walls whose height counts from the ground follow it between their corners.
 *
 * Common practice, no source: a hoarding of 3 m is 3 m high in a dip and on a rise, though it was
 * drawn from end to end in one line.
 */
#include "outdoor_internal.h"

#include <math.h>

#define OFF_M 0.1 /* the top runs straight where the ground is no further off than this */

/* Whether the ground between the first and the last of these places runs straight. */
static bool straight(const struct sg_crossing *at, size_t count)
{
    double s0 = at[0].s, z0 = at[0].z, long_m = at[count - 1].s - s0;
    for (size_t i = 1; i + 1 < count; i++) {
        double share = long_m > 0 ? (at[i].s - s0) / long_m : 0;
        if (fabs(z0 + share * (at[count - 1].z - z0) - at[i].z) > OFF_M)
            return false;
    }
    return true;
}

/* Corners to be put between a and b; returns how many. `put` may be NULL. */
static size_t bends(const struct sg_outdoor *outdoor, const struct sg_spot3 *a,
                    const struct sg_spot3 *b, struct sg_spot3 *put, sg_status *status)
{
    if (sg_is_set(a->z_m) || sg_is_set(b->z_m))
        return 0;
    struct sg_way way =
        sg_way_direct((struct sg_xyz){ a->x_m, a->y_m, 0 }, (struct sg_xyz){ b->x_m, b->y_m, 0 });
    struct sg_crossings ground;
    size_t count = 0;
    sg_crossings_init(&ground);
    sg_way_heights(outdoor, &way, &ground);
    if (ground.failed)
        *status = SG_ERR_NOMEM;
    for (size_t i = 0, k = 1; k + 1 < ground.count; k++) {
        double s = ground.item[k].s, share = s / way.plan_m;
        if (s < 2 * SG_SAME_PLACE_M || s > way.plan_m - 2 * SG_SAME_PLACE_M ||
            straight(&ground.item[i], k + 2 - i))
            continue;
        if (put)
            put[count] =
                (struct sg_spot3){ a->x_m + share * (b->x_m - a->x_m),
                                   a->y_m + share * (b->y_m - a->y_m),
                                   a->height_m + share * (b->height_m - a->height_m), SG_UNSET };
        count++;
        i = k;
    }
    sg_crossings_release(&ground);
    return count;
}

static sg_status follow(const struct sg_outdoor *outdoor, struct sg_obstacle *wall,
                        struct sg_arena *arena)
{
    sg_status status = SG_OK;
    size_t more = 0, n = 0;
    for (size_t i = 0; i + 1 < wall->ncorner; i++)
        more += bends(outdoor, &wall->corner[i], &wall->corner[i + 1], NULL, &status);
    if (more == 0 || !sg_ok(status))
        return status;
    struct sg_spot3 *corner = sg_arena_alloc(arena, wall->ncorner + more, sizeof(*corner));
    if (!corner)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < wall->ncorner; i++) {
        corner[n++] = wall->corner[i];
        if (i + 1 < wall->ncorner)
            n += bends(outdoor, &wall->corner[i], &wall->corner[i + 1], &corner[n], &status);
    }
    wall->corner = corner;
    wall->ncorner = n;
    return status;
}

sg_status sg_walls_follow(struct sg_outdoor *outdoor, struct sg_arena *arena)
{
    const struct sg_scene *given = outdoor->scene;
    if (outdoor->relief.flat || given->nobstacle == 0)
        return SG_OK;
    struct sg_scene *scene = sg_arena_alloc(arena, 1, sizeof(*scene));
    struct sg_obstacle *obstacle = sg_arena_alloc(arena, given->nobstacle, sizeof(*obstacle));
    if (!scene || !obstacle)
        return SG_ERR_NOMEM;
    sg_status status = SG_OK;
    for (size_t i = 0; i < given->nobstacle && sg_ok(status); i++) {
        obstacle[i] = given->obstacle[i];
        if (!obstacle[i].closed)
            status = follow(outdoor, &obstacle[i], arena);
    }
    *scene = *given;
    scene->obstacle = obstacle;
    outdoor->scene = scene;
    return status;
}
