/* scene.c - the scene of the octave-band method: air, ground, heights, walls, buildings. Inline or
 * from layers that GDAL reads.
 */
#include "site_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A list that grows while layers are walked. */
struct growing {
    void *item;
    size_t count, capacity, size;
};

static void *next_item(struct sg_reader *reader, struct growing *list)
{
    if (list->count == list->capacity) {
        size_t capacity = list->capacity > 0 ? 2 * list->capacity : 16;
        char *grown = sg_reader_alloc(reader, capacity, list->size);
        if (!grown)
            return NULL;
        if (list->count > 0)
            memcpy(grown, list->item, list->count * list->size);
        list->item = grown;
        list->capacity = capacity;
    }
    return (char *)list->item + list->size * list->count++;
}

/* Heights in the datum, as in the table of fields: no place on land lies beyond. */
#define LOWEST_M (-1000.0)
#define HIGHEST_M 9000.0

struct building {
    struct sg_scene *scene;
    struct growing region, cover, height, height_at, obstacle, obstacle_at;
    bool closed; /* the layer being read */
};

/* ---- points and bands ---- */

/* [x, y] or [x, y, z]; z unset when it is not given. */
static bool read_points(struct sg_reader *reader, const struct sg_tree *list, const char *key,
                        size_t least, struct sg_spot3 **out)
{
    struct sg_spot3 *spot = sg_reader_alloc(reader, list->count, sizeof(*spot));
    bool good = spot != NULL;
    for (size_t i = 0; spot && i < list->count; i++) {
        const struct sg_tree *one = list->child[i];
        spot[i] = (struct sg_spot3){ 0, 0, SG_UNSET, SG_UNSET };
        if (one->kind != SG_TREE_LIST || one->count < least || one->count > 3) {
            sg_reader_error(reader, SG_ERR_INPUT, one->at,
                            "%s: a point has the wrong number of figures; allowed: %s", key,
                            least == 3 ? "[x_m, y_m, z_m]" : "[x_m, y_m] or [x_m, y_m, top_m]");
            good = false;
            continue;
        }
        good &= sg_bind_number(reader, one->child[0], key, &spot[i].x_m);
        good &= sg_bind_number(reader, one->child[1], key, &spot[i].y_m);
        if (one->count == 3)
            good &= sg_bind_number(reader, one->child[2], key, &spot[i].z_m);
    }
    *out = spot;
    return good;
}

/* Corners of an outline: it may repeat its first point at the end, the struct does not. */
static size_t ring_count(const struct sg_spot3 *corner, size_t count)
{
    bool closed = count > 3 && sg_same_plan(corner[0].x_m, corner[0].y_m, corner[count - 1].x_m,
                                            corner[count - 1].y_m);
    return closed ? count - 1 : count;
}

/* ---- obstacles and regions ---- */

static void put_obstacle(struct sg_reader *reader, struct building *b,
                         const struct sg_raw_obstacle *raw, struct sg_spot3 *corner, size_t count,
                         struct sg_spot at)
{
    const char *what = b->closed ? "buildings" : "walls";
    bool both = sg_is_set(raw->height_m) && sg_is_set(raw->top_m);
    size_t without = 0;
    for (size_t i = 0; i < count; i++) {
        if (sg_is_set(corner[i].z_m) &&
            !(corner[i].z_m >= LOWEST_M && corner[i].z_m <= HIGHEST_M)) {
            sg_reader_error(reader, SG_ERR_INPUT, at,
                            "scene.%s: a top of %.9g m; allowed: %g to %g m in the datum", what,
                            corner[i].z_m, LOWEST_M, HIGHEST_M);
            return;
        }
        if (sg_is_set(corner[i].z_m))
            continue;
        corner[i].height_m = raw->height_m;
        corner[i].z_m = raw->top_m;
        without += !sg_is_set(raw->height_m) && !sg_is_set(raw->top_m);
    }
    if (both || without > 0) {
        sg_reader_error(
            reader, both ? SG_ERR_INPUT : SG_ERR_MISSING, at,
            "scene.%s: %s; allowed: height_m above the ground (over 0), or top_m in the "
            "datum, or a third figure (of a layer: a height other than 0) at every point",
            what, both ? "height_m and top_m are both given" : "has no height");
        return;
    }
    if (count < (b->closed ? 3u : 2u)) {
        sg_reader_error(reader, SG_ERR_INPUT, at, "scene.%s: has %zu points; allowed: %u or more",
                        what, count, b->closed ? 3u : 2u);
        return;
    }
    struct sg_obstacle *o = next_item(reader, &b->obstacle);
    struct sg_place *from = next_item(reader, &b->obstacle_at);
    if (!o || !from)
        return;
    *from = sg_reader_place(reader, at);
    *o = (struct sg_obstacle){ raw->name, b->closed, corner, count, { 0 } };
    for (size_t k = 0; k < SG_BANDS; k++)
        o->reflection[k] = raw->reflection;
    if (raw->octaves && raw->reflection > 0)
        sg_reader_error(
            reader, SG_ERR_INPUT, at,
            "scene.%s: reflection and reflection_octaves are both given; allowed: one of "
            "them",
            what);
    if (raw->octaves)
        sg_bind_octaves(reader, raw->octaves, "reflection_octaves", &sg_octaves_of_shares,
                        o->reflection);
}

static void read_obstacles(struct sg_reader *reader, struct building *b, const struct sg_tree *list)
{
    const char *block = b->closed ? "scene.buildings" : "scene.walls";
    for (size_t i = 0; list && i < list->count; i++) {
        const struct sg_tree *map = list->child[i];
        struct sg_raw_obstacle raw;
        struct sg_spot3 *corner;
        if (!sg_bind(reader, block, map, &raw))
            continue;
        if (!raw.points) {
            sg_reader_error(reader, SG_ERR_MISSING, map->at,
                            "%s.%s: is missing; allowed: a list of "
                            "points",
                            block, b->closed ? "outline" : "line");
            continue;
        }
        if (read_points(reader, raw.points, block, 2, &corner))
            put_obstacle(reader, b, &raw, corner,
                         b->closed ? ring_count(corner, raw.points->count) : raw.points->count,
                         map->at);
    }
}

/* Corners of a shape; its heights, where it has any, are tops in the datum. */
static struct sg_spot3 *of_shape(struct sg_reader *reader, const struct sg_shape *shape, bool tops)
{
    struct sg_spot3 *corner = sg_reader_alloc(reader, shape->count, sizeof(*corner));
    for (size_t i = 0; corner && i < shape->count; i++)
        corner[i] = (struct sg_spot3){ shape->point[i].x_m, shape->point[i].y_m, SG_UNSET,
                                       tops && shape->z_m ? shape->z_m[i] : SG_UNSET };
    return corner;
}

/* A line that ends where it began is an outline, as drawings have them. */
static struct sg_shape closed_up(const struct sg_shape *given)
{
    struct sg_shape shape = given ? *given : (struct sg_shape){ .kind = SG_SHAPE_NONE };
    size_t n = shape.count;
    if (shape.kind == SG_SHAPE_LINE && n > 3 &&
        sg_same_plan(shape.point[0].x_m, shape.point[0].y_m, shape.point[n - 1].x_m,
                     shape.point[n - 1].y_m)) {
        shape.kind = SG_SHAPE_RING;
        shape.count--;
    }
    return shape;
}

static bool wrong_shape(struct sg_reader *reader, const struct sg_tree *row,
                        const struct sg_shape *shape, enum sg_shape_kind kind)
{
    if (shape->kind == kind)
        return false;
    sg_reader_error(reader, SG_ERR_INPUT, row->at, "scene: the geometry does not fit; allowed: %s",
                    kind == SG_SHAPE_RING ? "an outline, or a line that ends where it began"
                                          : "a line");
    return true;
}

static bool take_obstacle(struct sg_reader *reader, const struct sg_tree *row,
                          const struct sg_shape *shape, void *payload)
{
    struct building *b = payload;
    struct sg_raw_obstacle raw;
    struct sg_shape own = b->closed || !shape ? closed_up(shape) : *shape;
    if (wrong_shape(reader, row, &own, b->closed ? SG_SHAPE_RING : SG_SHAPE_LINE) ||
        !sg_bind(reader, b->closed ? "scene.buildings" : "scene.walls", row, &raw))
        return true;
    bool told = sg_is_set(raw.height_m) || sg_is_set(raw.top_m);
    struct sg_spot3 *corner = of_shape(reader, &own, !told);
    if (corner)
        put_obstacle(reader, b, &raw, corner, own.count, row->at);
    return corner != NULL;
}

static void put_region(struct sg_reader *reader, struct building *b, struct sg_spot3 *corner,
                       size_t count, double factor, struct sg_spot at)
{
    struct sg_ground_region *r = next_item(reader, &b->region);
    if (r)
        *r = (struct sg_ground_region){ corner, count, factor, sg_reader_place(reader, at) };
}

static bool take_region(struct sg_reader *reader, const struct sg_tree *row,
                        const struct sg_shape *shape, void *payload)
{
    struct building *b = payload;
    struct sg_raw_region raw;
    struct sg_shape own = closed_up(shape);
    if (wrong_shape(reader, row, &own, SG_SHAPE_RING) ||
        !sg_bind(reader, "scene.regions", row, &raw))
        return true;
    struct sg_spot3 *corner = of_shape(reader, &own, false);
    if (corner)
        put_region(reader, b, corner, own.count, raw.factor, row->at);
    return corner != NULL;
}

static bool take_height(struct sg_reader *reader, const struct sg_tree *row,
                        const struct sg_shape *shape, void *payload)
{
    struct building *b = payload;
    struct sg_raw_height raw;
    if (!sg_bind(reader, "scene.heights", row, &raw))
        return true;
    if (shape && shape->kind == SG_SHAPE_POINT) {
        raw.x_m = shape->point[0].x_m;
        raw.y_m = shape->point[0].y_m;
        if (!sg_is_set(raw.z_m) && shape->z_m)
            raw.z_m = shape->z_m[0];
    }
    if (!(raw.z_m >= LOWEST_M && raw.z_m <= HIGHEST_M)) {
        sg_reader_error(reader, SG_ERR_MISSING, row->at,
                        "scene.heights.z_m: is missing, or too low or high; allowed: a number from "
                        "%g to %g m, or points with a height other than 0",
                        LOWEST_M, HIGHEST_M);
        return true;
    }
    if (!sg_is_set(raw.x_m) || !sg_is_set(raw.y_m)) {
        sg_reader_error(reader, SG_ERR_MISSING, row->at,
                        "x_m, y_m: are missing; allowed: two columns, or a layer of points");
        return true;
    }
    struct sg_spot3 *spot = next_item(reader, &b->height);
    struct sg_place *from = next_item(reader, &b->height_at);
    if (!spot || !from)
        return false;
    *spot = (struct sg_spot3){ raw.x_m, raw.y_m, SG_UNSET, raw.z_m };
    *from = sg_reader_place(reader, row->at);
    return true;
}

static void read_layer(struct sg_reader *reader, const struct sg_tree *map, const char *key,
                       const char *file, const char *block, sg_row_fn *fn, struct building *b)
{
    if (file[0] == '\0')
        return;
    struct sg_sheet sheet = { sg_reader_path(reader, file), sg_tree_spot(map, key), block };
    if (sheet.path)
        sg_sheet_each(reader, &sheet, fn, b);
}

/* ---- ground ---- */

static void read_ground(struct sg_reader *reader, const struct sg_raw_scene *raw,
                        const struct sg_tree *map, struct building *b)
{
    for (size_t i = 0; raw->regions && i < raw->regions->count; i++) {
        struct sg_raw_region one;
        struct sg_spot3 *corner;
        const struct sg_tree *at = raw->regions->child[i];
        if (!sg_bind(reader, "scene.regions", at, &one))
            continue;
        if (!one.outline || one.outline->count < 3)
            sg_reader_error(reader, SG_ERR_MISSING, at->at,
                            "scene.regions.outline: has fewer than three points; allowed: [[x_m, "
                            "y_m], ...]");
        else if (read_points(reader, one.outline, "scene.regions.outline", 2, &corner))
            put_region(reader, b, corner, ring_count(corner, one.outline->count), one.factor,
                       at->at);
    }
    read_layer(reader, map, "regions_file", raw->regions_file, "scene.regions", take_region, b);
    for (size_t i = 0; raw->heights && i < raw->heights->count; i++)
        take_height(reader, raw->heights->child[i], NULL, b);
    read_layer(reader, map, "heights_file", raw->heights_file, "scene.heights", take_height, b);
    size_t lines = raw->height_lines ? raw->height_lines->count : 0;
    struct sg_terrain_line *line = sg_reader_alloc(reader, lines + 1, sizeof(*line));
    struct sg_place *from = sg_reader_alloc(reader, lines + 1, sizeof(*from));
    for (size_t i = 0; line && from && i < lines; i++) {
        const struct sg_tree *one = raw->height_lines->child[i];
        struct sg_spot3 *point;
        if (one->kind != SG_TREE_LIST || one->count < 2) {
            sg_reader_error(reader, SG_ERR_INPUT, one->at,
                            "scene.height_lines: a line has fewer than two points; allowed: [[x_m, "
                            "y_m, z_m], ...]");
            continue;
        }
        if (!read_points(reader, one, "scene.height_lines", 3, &point))
            continue;
        from[b->scene->nterrain_line] = sg_reader_place(reader, one->at);
        line[b->scene->nterrain_line++] = (struct sg_terrain_line){ point, one->count };
    }
    b->scene->terrain_line = line;
    b->scene->terrain_line_at = from;
}

static void put_cover(struct sg_reader *reader, struct building *b, const struct sg_cover *cover)
{
    struct sg_cover *to = next_item(reader, &b->cover);
    if (to)
        *to = *cover;
}

/* Outlines of one kind of what sound passes through, added to the others. */
static void read_cover(struct sg_reader *reader, const struct sg_tree *list,
                       enum sg_cover_kind kind, struct building *b)
{
    static const char *const block[] = { [SG_COVER_FOLIAGE] = "scene.foliage",
                                         [SG_COVER_INDUSTRY] = "scene.industrial_sites",
                                         [SG_COVER_HOUSING] = "scene.housing" };
    for (size_t i = 0; list && i < list->count; i++) {
        struct sg_raw_cover one = { NULL, SG_UNSET, 0 };
        struct sg_spot3 *corner;
        char outline[64];
        if (!sg_bind(reader, block[kind], list->child[i], &one))
            continue;
        snprintf(outline, sizeof(outline), "%s.outline", block[kind]);
        if (!one.outline || one.outline->count < 3)
            sg_reader_error(reader, SG_ERR_MISSING, list->child[i]->at,
                            "%s: has fewer than three points; allowed: [[x_m, y_m], ...]", outline);
        else if (read_points(reader, one.outline, outline, 2, &corner))
            put_cover(reader, b,
                      &(struct sg_cover){ kind, corner, ring_count(corner, one.outline->count),
                                          one.height_m, one.built,
                                          sg_reader_place(reader, list->child[i]->at) });
    }
}

/* ---- all of it ---- */

static void put_figures(const struct sg_raw_scene *raw, struct sg_scene *scene)
{
    *scene = SG_SCENE_INIT;
    scene->title = raw->title;
    scene->air = (struct sg_air){ raw->temperature_c, raw->humidity_percent, raw->pressure_kpa };
    scene->ground_factor = raw->ground_factor;
    scene->ground_method =
        sg_same(raw->ground_method, "alternative") ? SG_GROUND_ALTERNATIVE : SG_GROUND_GENERAL;
    scene->level_m = raw->level_m;
    scene->c0_db = raw->c0_db;
    scene->reflections = (size_t)raw->reflections;
    scene->reach_m = raw->reach_m;
    scene->near_sight = raw->near_sight;
}

void sg_build_scene(struct sg_reader *reader, const struct sg_tree *map, bool with_points)
{
    struct sg_raw_scene raw;
    struct sg_scene *scene = sg_reader_alloc(reader, 1, sizeof(*scene));
    if (!scene)
        return;
    sg_bind(reader, "scene", map, &raw);
    put_figures(&raw, scene);
    reader->site->scene = scene;
    if (!map || map->kind != SG_TREE_MAP)
        return;
    struct building b = { .scene = scene };
    b.region.size = sizeof(struct sg_ground_region);
    b.cover.size = sizeof(struct sg_cover);
    b.height.size = sizeof(struct sg_spot3);
    b.height_at.size = sizeof(struct sg_place);
    b.obstacle.size = sizeof(struct sg_obstacle);
    b.obstacle_at.size = sizeof(struct sg_place);
    if (with_points)
        sg_geo_set_crs(reader, raw.crs, sg_tree_spot(map, "crs"));
    else if (raw.sources || raw.receptors)
        sg_reader_error(reader, SG_ERR_INPUT, map->at,
                        "scene: has sources or receptors; allowed: in a case file only, a site has "
                        "its own");
    read_ground(reader, &raw, map, &b);
    read_cover(reader, raw.foliage, SG_COVER_FOLIAGE, &b);
    read_cover(reader, raw.industry, SG_COVER_INDUSTRY, &b);
    read_cover(reader, raw.housing, SG_COVER_HOUSING, &b);
    read_obstacles(reader, &b, raw.walls);
    read_layer(reader, map, "walls_file", raw.walls_file, "scene.walls", take_obstacle, &b);
    b.closed = true;
    read_obstacles(reader, &b, raw.buildings);
    read_layer(reader, map, "buildings_file", raw.buildings_file, "scene.buildings", take_obstacle,
               &b);
    if (with_points)
        sg_build_scene_points(reader, &raw, map, scene);
    scene->region = b.region.item;
    scene->nregion = b.region.count;
    scene->cover = b.cover.item;
    scene->ncover = b.cover.count;
    scene->terrain = b.height.item;
    scene->nterrain = b.height.count;
    scene->terrain_at = b.height_at.item;
    scene->obstacle = b.obstacle.item;
    scene->nobstacle = b.obstacle.count;
    scene->obstacle_at = b.obstacle_at.item;
}
