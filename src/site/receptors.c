/* receptors.c - who and what stands near the wall: typed, from tables, from outlines. */
#include "site_internal.h"

#include <math.h>
#include <string.h>

struct gathering {
    struct sg_receptor *receptor; /* on the heap while growing, as the two lists beside it */
    struct sg_named *named;       /* by index, not sorted */
    size_t count, capacity;
    struct sg_named *sorted; /* receptors known before the outlines are read */
    size_t nsorted;
    bool full;
};

static bool room(struct sg_reader *reader, struct gathering *g, struct sg_spot at)
{
    if (g->count < g->capacity)
        return true;
    if (g->count >= SG_MAX_RECEPTORS) {
        if (!g->full)
            sg_reader_error(reader, SG_ERR_INPUT, at,
                            "there are more than %zu receptors; allowed: at "
                            "most %zu",
                            SG_MAX_RECEPTORS, SG_MAX_RECEPTORS);
        g->full = true;
        return false;
    }
    size_t capacity = g->capacity > 0 ? 2 * g->capacity : 64;
    struct sg_receptor *receptor = sg_realloc(g->receptor, capacity, sizeof(*receptor));
    if (receptor)
        g->receptor = receptor;
    struct sg_named *named = sg_realloc(g->named, capacity, sizeof(*named));
    if (named)
        g->named = named;
    reader->nomem |= !receptor || !named;
    if (!receptor || !named)
        return false;
    g->capacity = capacity;
    return true;
}

/* ---- one receptor ---- */

static const char *transfer_at(size_t i)
{
    return sg_transfer_at(i)->id;
}

/* The couplings of ground to foundation stand first in their table. */
static size_t coupling_count(void)
{
    size_t count = 0;
    while (count < sg_transfer_count() && sg_transfer_at(count)->coupling)
        count++;
    return count;
}

static const char *limit_at(size_t i)
{
    return sg_limit_set_at(i)->id;
}

static void together(struct sg_reader *reader, const struct sg_tree *row, bool has, const char *key,
                     const char *with)
{
    if (!has)
        sg_reader_error(reader, SG_ERR_MISSING, row->at,
                        "%s: is missing; allowed: a text that says "
                        "where %s comes from, needed with it",
                        key, with);
}

static struct sg_building_transfer read_transfer(struct sg_reader *reader,
                                                 const struct sg_raw_receptor *raw,
                                                 const struct sg_tree *row)
{
    struct sg_building_transfer t = {
        NULL,       raw->foundation_factor, raw->floor_factor, raw->published_floor,
        raw->floor, raw->transfer_source
    };
    bool own = sg_is_set(t.foundation_factor) || sg_is_set(t.floor_factor);
    if (raw->foundation[0]) {
        t.foundation = sg_transfer_find(raw->foundation);
        if (t.foundation && !t.foundation->coupling)
            t.foundation = NULL; /* a row of the same table, but not a foundation */
        if (!t.foundation)
            sg_reader_unknown(reader, sg_tree_spot(row, "foundation"), "foundation",
                              raw->foundation, transfer_at, coupling_count());
        if (sg_is_set(t.foundation_factor))
            sg_reader_error(
                reader, SG_ERR_INPUT, sg_tree_spot(row, "foundation_factor"),
                "foundation_factor: is given beside foundation; allowed: one of the two");
    }
    if (t.use_published_floor && sg_is_set(t.floor_factor))
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(row, "floor_factor"),
                        "floor_factor: is "
                        "given beside published_floor: true; allowed: one of the two");
    together(reader, row, !own || t.source[0], "transfer_source", "the own factor");
    return t;
}

const char *const *sg_build_limit_list(struct sg_reader *reader, const struct sg_tree *list,
                                       const char *key, size_t *count)
{
    const char *const *ids = sg_bind_texts(reader, list, key, count);
    for (size_t i = 0; ids && i < *count; i++) {
        struct sg_spot at = list->kind == SG_TREE_LIST ? list->child[i]->at : list->at;
        if (!sg_site_limit_set(reader->site, ids[i]))
            sg_reader_unknown(reader, at, key, ids[i], limit_at, sg_limit_set_count());
    }
    return *count > 0 ? ids : NULL;
}

static void read_footprint(struct sg_reader *reader, struct sg_receptor *r,
                           const struct sg_point *point, size_t count)
{
    struct sg_point *ring = sg_reader_alloc(reader, count, sizeof(*ring));
    if (!ring)
        return;
    memcpy(ring, point, count * sizeof(*ring));
    r->footprint = ring;
    r->nfootprint = count;
}

/* A ring may repeat its first point; the struct does not. */
static void typed_footprint(struct sg_reader *reader, const struct sg_tree *list,
                            struct sg_receptor *r)
{
    struct sg_point *ring = NULL;
    size_t count = 0;
    if (!sg_bind_points(reader, list, "receptors.list.footprint_points", &ring, &count))
        return;
    if (count > 3 &&
        sg_same_plan(ring[0].x_m, ring[0].y_m, ring[count - 1].x_m, ring[count - 1].y_m))
        count--;
    r->footprint = ring;
    r->nfootprint = count;
}

static struct sg_receptor from_raw(struct sg_reader *reader, const struct sg_raw_receptor *raw,
                                   const struct sg_tree *row)
{
    struct sg_receptor r = {
        .name = raw->name,
        .at = { raw->x_m, raw->y_m },
        .position = sg_same(raw->position, "facade") ? SG_AT_FACADE : SG_AT_FREE_FIELD,
        .storeys = raw->storeys,
        .dominant_frequency_hz = raw->dominant_frequency_hz,
        .ambient_day_db = raw->ambient_day_db,
        .ambient_evening_db = raw->ambient_evening_db,
        .ambient_night_db = raw->ambient_night_db,
        .height_m = raw->height_m,
        .screening_db = raw->screening_db,
        .other_day_db = raw->other_day_db,
        .other_evening_db = raw->other_evening_db,
        .other_night_db = raw->other_night_db,
        .background_day_db = raw->background_day_db,
        .background_evening_db = raw->background_evening_db,
        .background_night_db = raw->background_night_db,
        .windows = raw->windows,
        .percussive_screen = raw->percussive_screen,
        .own_ppv_limit_mm_s = raw->own_ppv_limit_mm_s,
        .own_limit_source = raw->own_limit_source,
        .from = sg_reader_place(reader, row->at),
    };
    /* The words were checked against the choices, so a miss leaves 0 only after an error. */
    sg_use_find(raw->use, &r.use);
    sg_class_find(raw->building_class, &r.building_class);
    sg_area_find(raw->area, &r.area);
    r.transfer = read_transfer(reader, raw, row);
    if (raw->limit_sets)
        r.limit_set = sg_build_limit_list(reader, raw->limit_sets, "limit_sets", &r.nlimit_set);
    together(reader, row, !sg_is_set(r.own_ppv_limit_mm_s) || r.own_limit_source[0],
             "own_limit_source", "own_ppv_limit_mm_s");
    return r;
}

static bool take_receptor(struct sg_reader *reader, const struct sg_tree *row,
                          const struct sg_shape *shape, void *payload)
{
    struct gathering *g = payload;
    struct sg_raw_receptor raw;
    if (!room(reader, g, row->at))
        return false;
    sg_bind(reader, "receptors.list", row, &raw);
    if (row->kind != SG_TREE_MAP)
        return true;
    struct sg_receptor r = from_raw(reader, &raw, row);
    if (shape->kind == SG_SHAPE_POINT && !sg_is_set(r.at.x_m) && !sg_is_set(r.at.y_m))
        r.at = shape->point[0];
    else if (shape->kind == SG_SHAPE_RING)
        read_footprint(reader, &r, shape->point, shape->count);
    else if (shape->kind == SG_SHAPE_LINE)
        sg_reader_error(reader, SG_ERR_INPUT, row->at,
                        "geometry: is a line; allowed: a point or an "
                        "outline");
    else if (raw.footprint_points && raw.footprint_points->kind == SG_TREE_LIST)
        typed_footprint(reader, raw.footprint_points, &r);
    g->receptor[g->count] = r;
    g->named[g->count] = (struct sg_named){ r.name, sg_tree_spot(row, "name"), g->count };
    g->count++;
    return true;
}

/* An outline that belongs to a known receptor, or a receptor of its own. */
static bool take_footprint(struct sg_reader *reader, const struct sg_tree *row,
                           const struct sg_shape *shape, void *payload)
{
    struct gathering *g = payload;
    const struct sg_tree *name = sg_tree_value(row, "name");
    const struct sg_named *known = name ? sg_names_find(g->sorted, g->nsorted, name->text) : NULL;
    if (shape->kind != SG_SHAPE_RING) {
        sg_reader_error(reader, SG_ERR_INPUT, row->at,
                        "geometry: is not an outline; allowed: a "
                        "polygon");
        return true;
    }
    if (!known)
        return take_receptor(reader, row, shape, payload);
    struct sg_receptor *r = &g->receptor[known->index];
    if (r->footprint)
        sg_reader_error(reader, SG_ERR_INPUT, name->at,
                        "name: %s has a second outline; allowed: one a "
                        "receptor",
                        sg_quoted(reader, name->text));
    else
        read_footprint(reader, r, shape->point, shape->count);
    return true;
}

/* ---- all of them ---- */

static bool sort_known(struct sg_reader *reader, struct gathering *g)
{
    g->nsorted = g->count;
    g->sorted = sg_alloc(g->count, sizeof(*g->sorted));
    reader->nomem |= g->sorted == NULL;
    if (!g->sorted)
        return false;
    if (g->count > 0)
        memcpy(g->sorted, g->named, g->count * sizeof(*g->sorted));
    sg_names_check(reader, "receptor", g->sorted, g->nsorted);
    return true;
}

/* Names among those that came with the outlines, which sort_known has not seen. Names equal to a
 * known one went to that receptor. */
static void check_late_names(struct sg_reader *reader, struct gathering *g)
{
    size_t late = g->count - g->nsorted;
    if (late > 1)
        sg_names_check(reader, "receptor", g->named + g->nsorted, late);
}

/* The place on an outline that is nearest to any pile stands for the receptor. */
static void place_by_outline(const struct sg_site *site, struct sg_receptor *r)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < site->npile; i++) {
        struct sg_point p = r->footprint[0];
        double distance = sg_ring_distance_m(r->footprint, r->nfootprint, site->pile[i].at, &p);
        if (distance < least) {
            least = distance;
            r->at = p;
        }
    }
}

static void place_all(struct sg_reader *reader, struct gathering *g, const struct sg_spot *spots)
{
    for (size_t i = 0; i < g->count; i++) {
        struct sg_receptor *r = &g->receptor[i];
        if (sg_is_set(r->at.x_m) && sg_is_set(r->at.y_m))
            continue;
        if (r->footprint)
            place_by_outline(reader->site, r);
        else
            sg_reader_error(reader, SG_ERR_MISSING, spots[i],
                            "x_m, y_m: no position is given for %s; "
                            "allowed: x_m and y_m in metres, a point or a footprint",
                            sg_quoted(reader, r->name));
    }
}

static bool within_reach(const struct sg_site *site, const struct sg_receptor *r)
{
    for (size_t i = 0; i < site->npile; i++) {
        if (sg_site_distance_m(r, site->pile[i].at) <= SG_MAX_REACH_M)
            return true;
    }
    return false;
}

static void check_reach(struct sg_reader *reader, const struct gathering *g,
                        const struct sg_spot *spots)
{
    const struct sg_site *site = reader->site;
    for (size_t i = 0; i < g->count && site->npile > 0; i++) {
        const struct sg_receptor *r = &g->receptor[i];
        if (!sg_is_set(r->at.x_m) || !sg_is_set(r->at.y_m) || within_reach(site, r))
            continue;
        sg_reader_error(
            reader, SG_ERR_INPUT, spots[i],
            "x_m, y_m: receptor %s at x %.9g, y %.9g is "
            "farther than %.0f m from every pile (pile %s at x %.9g, y %.9g); allowed: one "
            "site; easting and northing may be swapped, or the CRS be another",
            sg_quoted(reader, r->name), r->at.x_m, r->at.y_m, SG_MAX_REACH_M, site->pile[0].name,
            site->pile[0].at.x_m, site->pile[0].at.y_m);
    }
}

static void keep_receptors(struct sg_reader *reader, struct gathering *g, struct sg_spot at)
{
    struct sg_spot *spots = sg_alloc(g->count, sizeof(*spots));
    struct sg_receptor *kept = sg_reader_alloc(reader, g->count, sizeof(*kept));
    reader->nomem |= spots == NULL;
    if (!spots || !kept)
        goto done;
    for (size_t i = 0; i < g->count; i++)
        spots[g->named[i].index] = g->named[i].at;
    place_all(reader, g, spots);
    check_reach(reader, g, spots);
    if (g->count == 0 && reader->nerror == 0)
        sg_reader_error(reader, SG_ERR_MISSING, at,
                        "receptors: there are none; allowed: at least one "
                        "in list, table or footprints");
    if (g->count > 0)
        memcpy(kept, g->receptor, g->count * sizeof(*kept));
    reader->site->receptor = kept;
    reader->site->nreceptor = g->count;
done:
    sg_free(spots);
}

static void gather(struct sg_reader *reader, const struct sg_raw_receptors *raw,
                   const struct sg_tree *map, struct gathering *g)
{
    const struct sg_shape none = { .kind = SG_SHAPE_NONE };
    for (size_t i = 0; raw->list && i < raw->list->count; i++) {
        if (!take_receptor(reader, raw->list->child[i], &none, g))
            return;
    }
    if (raw->table[0]) {
        struct sg_sheet sheet = { sg_reader_path(reader, raw->table), sg_tree_spot(map, "table"),
                                  "receptors.list" };
        if (sheet.path)
            sg_sheet_each(reader, &sheet, take_receptor, g);
    }
    if (!sort_known(reader, g))
        return;
    if (raw->footprints[0]) {
        struct sg_sheet sheet = { sg_reader_path(reader, raw->footprints),
                                  sg_tree_spot(map, "footprints"), "receptors.list" };
        if (sheet.path)
            sg_sheet_each(reader, &sheet, take_footprint, g);
    }
    check_late_names(reader, g);
}

void sg_build_receptors(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    struct gathering g = { .count = 0 };
    struct sg_raw_receptors receptors;
    if (!raw->receptors)
        return;
    sg_bind(reader, "receptors", raw->receptors, &receptors);
    gather(reader, &receptors, raw->receptors, &g);
    if (!reader->nomem)
        keep_receptors(reader, &g, raw->receptors->at);
    sg_free(g.sorted);
    sg_free(g.named);
    sg_free(g.receptor);
}
