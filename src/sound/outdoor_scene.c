/* outdoor_scene.c - a scene checked and made ready: heights in one datum, faces indexed.
 *
 * Rules for geometry (common practice, no source): the height of a building counts from the lowest
 * ground at its corners, that of a wall from the ground under it; what stands within 1 mm of a face
 * stands outside.
 */
#include "outdoor_internal.h"

#include <math.h>

bool sg_meet(struct sg_xy a, struct sg_xy b, struct sg_xy c, struct sg_xy d, double *along,
             double *across)
{
    double ux = b.x - a.x, uy = b.y - a.y, vx = d.x - c.x, vy = d.y - c.y;
    double cross = ux * vy - uy * vx;
    double scale = (fabs(ux) + fabs(uy)) * (fabs(vx) + fabs(vy));
    if (!(fabs(cross) > 1e-12 * scale))
        return false;
    double wx = c.x - a.x, wy = c.y - a.y;
    *along = (wx * vy - wy * vx) / cross;
    *across = (wx * uy - wy * ux) / cross;
    return *along >= 0 && *along <= 1 && *across >= -1e-12 && *across <= 1 + 1e-12;
}

bool sg_inside(const struct sg_spot3 *corner, size_t count, struct sg_xy at)
{
    bool inside = false;
    for (size_t i = 0, j = count - 1; i < count; j = i++) {
        const struct sg_spot3 *a = &corner[i], *b = &corner[j];
        if ((a->y_m > at.y) != (b->y_m > at.y) &&
            at.x < (b->x_m - a->x_m) * (at.y - a->y_m) / (b->y_m - a->y_m) + a->x_m)
            inside = !inside;
    }
    return inside;
}

double sg_to_segment_m(struct sg_xy at, struct sg_xy a, struct sg_xy b)
{
    double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
    double t = square > 0 ? ((at.x - a.x) * dx + (at.y - a.y) * dy) / square : 0;
    t = fmin(fmax(t, 0.0), 1.0);
    return hypot(a.x + t * dx - at.x, a.y + t * dy - at.y);
}

static struct sg_xy xy_of(const struct sg_spot3 *spot)
{
    return (struct sg_xy){ spot->x_m, spot->y_m };
}

/* ---- heights ---- */

static double base_of(const struct sg_relief *relief, const struct sg_obstacle *o)
{
    double lowest = HUGE_VAL;
    for (size_t i = 0; i < o->ncorner; i++)
        lowest = fmin(lowest, sg_relief_at(relief, o->corner[i].x_m, o->corner[i].y_m));
    return lowest;
}

static double top_of(const struct sg_relief *relief, const struct sg_obstacle *o, size_t corner,
                     double base_m)
{
    const struct sg_spot3 *c = &o->corner[corner];
    if (sg_is_set(c->z_m))
        return c->z_m;
    return c->height_m + (o->closed ? base_m : sg_relief_at(relief, c->x_m, c->y_m));
}

static bool throws_back(const struct sg_obstacle *o)
{
    for (size_t b = 0; b < SG_BANDS; b++) {
        if (o->reflection[b] > sg_outdoor_numbers.least_reflection)
            return true;
    }
    return false;
}

static void build(struct sg_outdoor *to, struct sg_face *face, struct sg_built *built, size_t index)
{
    const struct sg_obstacle *o = &to->scene->obstacle[index];
    double base_m = o->closed ? base_of(&to->relief, o) : 0;
    int outside = o->closed ? (sg_ring_area(o->corner, o->ncorner) > 0 ? -1 : 1)
                            : 0; /* left of a -> b is +1 */
    bool reflects = throws_back(o);
    *built = (struct sg_built){ .first = to->nface, .count = sg_obstacle_sides(o) };
    for (size_t i = 0; i < built->count; i++) {
        size_t j = (i + 1) % o->ncorner;
        const struct sg_spot3 *a = &o->corner[i], *b = &o->corner[j];
        struct sg_face *f = &face[to->nface++];
        *f = (struct sg_face){ .a = { a->x_m, a->y_m, top_of(&to->relief, o, i, base_m) },
                               .b = { b->x_m, b->y_m, top_of(&to->relief, o, j, base_m) },
                               .obstacle = index,
                               .reflects = reflects,
                               .outside = outside };
        to->nreflecting += reflects;
        struct sg_box box = sg_box_of(xy_of(a), xy_of(b), 0);
        if (i == 0)
            built->box = box;
        built->box =
            (struct sg_box){ fmin(box.west, built->box.west), fmin(box.south, built->box.south),
                             fmax(box.east, built->box.east), fmax(box.north, built->box.north) };
    }
    sg_faces_join(&to->relief, &face[built->first], built->count);
}

static bool is_buried(const struct sg_outdoor *to, const struct sg_built *built)
{
    for (size_t i = 0; i < built->count; i++) {
        const struct sg_face *f = &to->face[built->first + i];
        if (f->a.z > sg_relief_at(&to->relief, f->a.x, f->a.y) - SG_SAME_PLACE_M ||
            f->b.z > sg_relief_at(&to->relief, f->b.x, f->b.y) - SG_SAME_PLACE_M)
            return false;
    }
    return true;
}

static sg_status index_faces(struct sg_outdoor *to, struct sg_arena *arena)
{
    struct sg_box *box = sg_alloc(to->nface + 1, sizeof(*box));
    if (!box)
        return SG_ERR_NOMEM;
    for (size_t i = 0; i < to->nface; i++) {
        const struct sg_face *f = &to->face[i];
        box[i] = sg_box_of((struct sg_xy){ f->a.x, f->a.y }, (struct sg_xy){ f->b.x, f->b.y }, 0);
    }
    sg_status status = sg_box_tree_make(box, to->nface, arena, &to->faces);
    sg_free(box);
    return status;
}

static sg_status index_buildings(struct sg_outdoor *to, struct sg_arena *arena)
{
    size_t n = 0;
    struct sg_box *box = sg_alloc(to->scene->nobstacle + 1, sizeof(*box));
    size_t *building = sg_arena_alloc(arena, to->scene->nobstacle + 1, sizeof(*building));
    sg_status status = box && building ? SG_OK : SG_ERR_NOMEM;
    for (size_t i = 0; sg_ok(status) && i < to->scene->nobstacle; i++) {
        if (!to->scene->obstacle[i].closed)
            continue;
        box[n] = to->built[i].box;
        building[n++] = i;
    }
    if (sg_ok(status))
        status = sg_box_tree_make(box, n, arena, &to->grounds);
    to->building = building;
    sg_free(box);
    return status;
}

sg_status sg_outdoor_make(const struct sg_scene *scene, struct sg_arena *arena,
                          const struct sg_outdoor **out, struct sg_errors *errors)
{
    size_t sides = 0;
    sg_status status = sg_scene_check(scene, errors);
    struct sg_outdoor *to = sg_arena_alloc(arena, 1, sizeof(*to));
    if (!to)
        return SG_ERR_NOMEM;
    to->scene = scene;
    for (size_t b = 0; b < SG_BANDS; b++) {
        to->alpha_db_m[b] = sg_air_absorption_db_km(&scene->air, sg_octave_exact_hz(b)) / 1000.0;
        to->wavelength_m[b] = sg_outdoor_numbers.sound_speed_m_s / sg_octave_nominal_hz(b);
        if (!sg_is_set(to->alpha_db_m[b]) && b == 0)
            status = sg_errors_add(
                errors, SG_ERR_INPUT, NULL,
                "air: %g C, %g %%, %g kPa; allowed: -20 to 50 C, 10 to 100 %%, up "
                "to 200 kPa",
                scene->air.temperature_c, scene->air.humidity_percent, scene->air.pressure_kpa);
    }
    if (status == SG_OK)
        status = sg_relief_make(scene, arena, &to->relief, errors);
    if (status == SG_OK)
        status = sg_walls_follow(to, arena);
    if (status != SG_OK)
        return status;
    scene = to->scene;
    for (size_t i = 0; i < scene->nobstacle; i++)
        sides += sg_obstacle_sides(&scene->obstacle[i]);
    struct sg_face *face = sg_arena_alloc(arena, sides + 1, sizeof(*face));
    struct sg_built *built = sg_arena_alloc(arena, scene->nobstacle + 1, sizeof(*built));
    if (!face || !built)
        return SG_ERR_NOMEM;
    to->face = face;
    to->built = built;
    for (size_t i = 0; i < scene->nobstacle; i++) {
        build(to, face, &built[i], i);
        if (is_buried(to, &built[i]))
            status = sg_errors_add(errors, SG_ERR_INPUT, sg_obstacle_place(scene, i),
                                   "%s %zu (%s): its top lies under the ground all along; allowed: "
                                   "a top above the ground somewhere",
                                   scene->obstacle[i].closed ? "building" : "wall", i + 1,
                                   sg_obstacle_label(&scene->obstacle[i]));
    }
    if (status == SG_OK)
        status = index_faces(to, arena);
    if (status == SG_OK)
        status = index_buildings(to, arena);
    if (status == SG_OK)
        *out = to;
    return status;
}

double sg_outdoor_ground_m(const struct sg_outdoor *outdoor, double x_m, double y_m)
{
    return sg_relief_at(&outdoor->relief, x_m, y_m);
}

/* ---- places ---- */

static bool inside_building(const struct sg_outdoor *outdoor, size_t index, struct sg_xyz at)
{
    const struct sg_obstacle *o = &outdoor->scene->obstacle[index];
    const struct sg_built *built = &outdoor->built[index];
    struct sg_xy plan = { at.x, at.y };
    double top_m = -HUGE_VAL;
    if (!sg_inside(o->corner, o->ncorner, plan))
        return false;
    for (size_t i = 0; i < built->count; i++) {
        const struct sg_face *f = &outdoor->face[built->first + i];
        if (sg_to_segment_m(plan, (struct sg_xy){ f->a.x, f->a.y },
                            (struct sg_xy){ f->b.x, f->b.y }) < SG_SAME_PLACE_M)
            return false;
        top_m = fmax(top_m, f->a.z);
    }
    return at.z < top_m;
}

struct standing {
    const struct sg_outdoor *outdoor;
    struct sg_xyz at;
    size_t inside; /* the first such building of the scene */
};

static bool try_building(size_t item, void *payload)
{
    struct standing *s = payload;
    size_t obstacle = s->outdoor->building[item];
    if (obstacle < s->inside && inside_building(s->outdoor, obstacle, s->at))
        s->inside = obstacle;
    return true;
}

sg_status sg_outdoor_place(const struct sg_outdoor *outdoor, const char *what, const char *name,
                           const struct sg_spot3 *at, struct sg_spot3 *out,
                           struct sg_errors *errors)
{
    return sg_outdoor_place_from(outdoor, what, name, NULL, at, out, errors);
}

sg_status sg_outdoor_place_from(const struct sg_outdoor *outdoor, const char *what,
                                const char *name, const struct sg_place *from,
                                const struct sg_spot3 *at, struct sg_spot3 *out,
                                struct sg_errors *errors)
{
    struct sg_spot3 spot = *at;
    double ground_m = sg_outdoor_ground_m(outdoor, at->x_m, at->y_m);
    if (sg_is_set(at->z_m))
        spot.height_m = at->z_m - ground_m;
    else
        spot.z_m = at->height_m + ground_m;
    if (!(spot.height_m >= 0))
        return sg_errors_add(errors, SG_ERR_INPUT, from,
                             "%s '%s': its height is %g m over ground that lies at %g m; allowed: "
                             "at or above the ground",
                             what, name, spot.height_m, ground_m);
    struct standing standing = { outdoor, { spot.x_m, spot.y_m, spot.z_m }, SIZE_MAX };
    struct sg_xy plan = { spot.x_m, spot.y_m };
    struct sg_box here = sg_box_of(plan, plan, 0);
    sg_box_tree_within(&outdoor->grounds, &here, try_building, &standing);
    if (standing.inside != SIZE_MAX)
        return sg_errors_add(errors, SG_ERR_INPUT, from,
                             "%s '%s' lies inside building %zu (%s); allowed: outside, or above "
                             "the roof",
                             what, name, standing.inside + 1,
                             sg_obstacle_label(&outdoor->scene->obstacle[standing.inside]));
    *out = spot;
    return SG_OK;
}
