/* outdoor_check.c - what a scene must keep to before it is worked on: outlines, heights, shares.
 * All faults are told in one run, each with its place.
 */
#include "outdoor_internal.h"

#include <math.h>

const char *sg_obstacle_label(const struct sg_obstacle *o)
{
    return o->name && o->name[0] ? o->name : (o->closed ? "building" : "wall");
}

const struct sg_place *sg_obstacle_place(const struct sg_scene *scene, size_t obstacle)
{
    return scene->obstacle_at ? &scene->obstacle_at[obstacle] : NULL;
}

size_t sg_obstacle_sides(const struct sg_obstacle *o)
{
    return o->closed ? o->ncorner : o->ncorner - 1;
}

double sg_ring_area(const struct sg_spot3 *corner, size_t count)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        const struct sg_spot3 *a = &corner[i], *b = &corner[(i + 1) % count];
        sum += (a->x_m - corner[0].x_m) * (b->y_m - corner[0].y_m) -
               (b->x_m - corner[0].x_m) * (a->y_m - corner[0].y_m);
    }
    return sum;
}

static struct sg_xy xy_of(const struct sg_spot3 *spot)
{
    return (struct sg_xy){ spot->x_m, spot->y_m };
}

static bool crosses_itself(const struct sg_spot3 *corner, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t j = i + 2; j < n; j++) {
            double along, across;
            if (i == 0 && j == n - 1)
                continue;
            if (sg_meet(xy_of(&corner[i]), xy_of(&corner[i + 1]), xy_of(&corner[j]),
                        xy_of(&corner[(j + 1) % n]), &along, &across))
                return true;
        }
    }
    return false;
}

static bool twice_in_place(const struct sg_spot3 *corner, size_t count, size_t sides)
{
    for (size_t i = 0; i < sides; i++) {
        const struct sg_spot3 *a = &corner[i], *b = &corner[(i + 1) % count];
        if (hypot(a->x_m - b->x_m, a->y_m - b->y_m) < SG_SAME_PLACE_M)
            return true;
    }
    return false;
}

static const char *fault_of_ring(const struct sg_spot3 *corner, size_t count)
{
    if (crosses_itself(corner, count))
        return "has an outline that crosses itself";
    if (!(fabs(sg_ring_area(corner, count)) > 2 * SG_SAME_PLACE_M * SG_SAME_PLACE_M))
        return "has an outline that encloses nothing";
    return NULL;
}

static bool has_height(const struct sg_obstacle *o)
{
    for (size_t i = 0; i < o->ncorner; i++) {
        const struct sg_spot3 *c = &o->corner[i];
        if (!sg_is_set(c->height_m) && !sg_is_set(c->z_m))
            return false;
        if (sg_is_set(c->height_m) && c->height_m < 0)
            return false;
    }
    return true;
}

static const char *fault_of(const struct sg_obstacle *o)
{
    if (o->ncorner < (o->closed ? 3u : 2u))
        return o->closed ? "has fewer than three corners" : "has fewer than two points";
    if (twice_in_place(o->corner, o->ncorner, sg_obstacle_sides(o)))
        return "has two corners in the same place, one after the other";
    if (!has_height(o))
        return "has no height, or one below the ground";
    return o->closed ? fault_of_ring(o->corner, o->ncorner) : NULL;
}

/* An area whose inside alone matters: a corner given twice does no harm. */
static const char *fault_of_area(const struct sg_spot3 *corner, size_t count)
{
    return count < 3 ? "has fewer than three corners" : fault_of_ring(corner, count);
}

/* Houses given one by one and as an area would screen twice. */
static sg_status check_housing(const struct sg_scene *scene, size_t obstacle,
                               struct sg_errors *errors)
{
    const struct sg_obstacle *o = &scene->obstacle[obstacle];
    struct sg_xy middle = { 0, 0 };
    for (size_t i = 0; i < o->ncorner; i++) {
        middle.x += o->corner[i].x_m / (double)o->ncorner;
        middle.y += o->corner[i].y_m / (double)o->ncorner;
    }
    for (size_t i = 0; o->closed && i < scene->ncover; i++) {
        const struct sg_cover *c = &scene->cover[i];
        if (c->kind == SG_COVER_HOUSING && sg_inside(c->corner, c->ncorner, middle))
            return sg_errors_add(errors, SG_ERR_INPUT, sg_obstacle_place(scene, obstacle),
                                 "building %zu (%s): stands in an area of housing and would count "
                                 "twice; allowed: its outline, or the area, not both",
                                 obstacle + 1, sg_obstacle_label(o));
    }
    return SG_OK;
}

/* Of regions of ground and of what sound passes through. */
static sg_status check_areas(const struct sg_scene *scene, struct sg_errors *errors)
{
    static const char *const what[] = { "area of foliage", "industrial site", "area of housing" };
    sg_status status = SG_OK;
    for (size_t i = 0; i < scene->nregion; i++) {
        const struct sg_ground_region *r = &scene->region[i];
        const char *fault = fault_of_area(r->corner, r->ncorner);
        if (!fault && !(r->factor >= 0 && r->factor <= 1))
            fault = "has a factor beyond 0 to 1";
        if (fault)
            status = sg_errors_add(errors, SG_ERR_INPUT, &r->from,
                                   "region of ground %zu: %s; allowed: an outline that does not "
                                   "cross itself, and a factor from 0 to 1",
                                   i + 1, fault);
    }
    for (size_t i = 0; i < scene->ncover; i++) {
        const struct sg_cover *c = &scene->cover[i];
        const char *fault = fault_of_area(c->corner, c->ncorner);
        if (fault)
            status = sg_errors_add(errors, SG_ERR_INPUT, &c->from,
                                   "%s: %s; allowed: an outline that does not cross itself",
                                   what[c->kind], fault);
    }
    return status;
}

sg_status sg_scene_check(const struct sg_scene *scene, struct sg_errors *errors)
{
    sg_status status = SG_OK;
    for (size_t i = 0; i < scene->nobstacle; i++) {
        const struct sg_obstacle *o = &scene->obstacle[i];
        const char *fault = fault_of(o);
        if (fault)
            status =
                sg_errors_add(errors, SG_ERR_INPUT, sg_obstacle_place(scene, i),
                              "%s %zu (%s): %s; allowed: corners apart from each other, an "
                              "outline that does not cross itself, a height above the ground",
                              o->closed ? "building" : "wall", i + 1, sg_obstacle_label(o), fault);
        if (!fault && check_housing(scene, i, errors) != SG_OK)
            status = SG_ERR_INPUT;
    }
    if (check_areas(scene, errors) != SG_OK)
        status = SG_ERR_INPUT;
    if ((unsigned)scene->edition >= SG_OUTDOOR_EDITION_END)
        status = sg_errors_add(errors, SG_ERR_INPUT, NULL,
                               "this edition of ISO 9613-2 is not built; allowed: 1996");
    if (!(scene->ground_factor >= 0 && scene->ground_factor <= 1))
        status = sg_errors_add(errors, SG_ERR_INPUT, NULL,
                               "ground factor is %g; allowed: from 0 (hard) to 1 (porous)",
                               scene->ground_factor);
    return status;
}
