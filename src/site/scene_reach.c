/* scene_reach.c - walls, buildings, heights and regions of ground that lie so far from every pile,
 * source and receptor that they stand in no way: most often a layer in another CRS, or one with
 * easting and northing swapped. They do nothing there, which must not pass unseen.
 *
 * The distance is that beyond which a receptor is refused (SG_MAX_REACH_M; common practice, no
 * source).
 */
#include "site_internal.h"

#include <math.h>

struct extent {
    double west_m, south_m, east_m, north_m;
};

static void stretch(struct extent *e, double x_m, double y_m)
{
    if (!sg_is_set(x_m) || !sg_is_set(y_m))
        return;
    e->west_m = fmin(e->west_m, x_m);
    e->east_m = fmax(e->east_m, x_m);
    e->south_m = fmin(e->south_m, y_m);
    e->north_m = fmax(e->north_m, y_m);
}

/* All places that make or hear sound. */
static struct extent extent_of(const struct sg_site *site)
{
    struct extent e = { HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL };
    const struct sg_scene *scene = site->scene;
    for (size_t i = 0; i < site->npile; i++)
        stretch(&e, site->pile[i].at.x_m, site->pile[i].at.y_m);
    for (size_t i = 0; i < site->nreceptor; i++)
        stretch(&e, site->receptor[i].at.x_m, site->receptor[i].at.y_m);
    for (size_t i = 0; i < scene->nemitter; i++)
        stretch(&e, scene->emitter[i].at.x_m, scene->emitter[i].at.y_m);
    for (size_t i = 0; i < scene->nlistener; i++)
        stretch(&e, scene->listener[i].at.x_m, scene->listener[i].at.y_m);
    return e;
}

static struct extent extent_round(const struct sg_spot3 *spot, size_t count)
{
    struct extent e = { HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL };
    for (size_t i = 0; i < count; i++)
        stretch(&e, spot[i].x_m, spot[i].y_m);
    return e;
}

static double gap_m(const struct extent *a, const struct extent *b)
{
    double x = fmax(fmax(b->west_m - a->east_m, a->west_m - b->east_m), 0.0);
    double y = fmax(fmax(b->south_m - a->north_m, a->south_m - b->north_m), 0.0);
    return hypot(x, y);
}

static bool is_far(const struct extent *all, const struct sg_spot3 *spot, size_t count)
{
    struct extent e = extent_round(spot, count);
    return count > 0 && gap_m(all, &e) > SG_MAX_REACH_M;
}

static void warn(struct sg_reader *reader, struct sg_spot at, const char *what, size_t far,
                 size_t all)
{
    if (far > 0)
        sg_reader_warn(reader, at,
                       "scene: of %zu %s %zu lie farther than %.0f m from all that makes or hears "
                       "sound; easting and northing may be swapped, or the CRS be another",
                       all, what, far, SG_MAX_REACH_M);
}

static void check_obstacles(struct sg_reader *reader, const struct extent *all)
{
    const struct sg_scene *scene = reader->site->scene;
    struct sg_spot at = { .file = reader->site->file };
    size_t far = 0;
    for (size_t i = 0; i < scene->nobstacle; i++) {
        if (!is_far(all, scene->obstacle[i].corner, scene->obstacle[i].ncorner))
            continue;
        const struct sg_place *from = scene->obstacle_at ? &scene->obstacle_at[i] : NULL;
        if (far == 0 && from && from->file)
            at = (struct sg_spot){ .file = from->file, .line = from->line, .column = from->column };
        far++;
    }
    warn(reader, at, "walls and buildings", far, scene->nobstacle);
}

void sg_check_scene_reach(struct sg_reader *reader)
{
    const struct sg_scene *scene = reader->site->scene;
    struct sg_spot at = { .file = reader->site->file };
    size_t heights = 0, regions = 0;
    if (!scene)
        return;
    struct extent all = extent_of(reader->site);
    if (!(all.west_m <= all.east_m))
        return;
    check_obstacles(reader, &all);
    for (size_t i = 0; i < scene->nterrain; i++)
        heights += is_far(&all, &scene->terrain[i], 1);
    warn(reader, at, "heights of the ground", heights, scene->nterrain);
    for (size_t i = 0; i < scene->nregion; i++)
        regions += is_far(&all, scene->region[i].corner, scene->region[i].ncorner);
    warn(reader, at, "regions of ground", regions, scene->nregion);
    if (!reader->local && scene->nemitter > 0)
        sg_geo_check_area(
            reader, (struct sg_point){ scene->emitter[0].at.x_m, scene->emitter[0].at.y_m }, at);
}
