/* wall.c - the piles: listed, or generated along a line, and the borehole that stands for each. */
#include "site/ags.h"

#include <math.h>
#include <string.h>

static const char *section_at(size_t i)
{
    return sg_section_at(i)->id;
}

/* ---- along a line ---- */

struct line {
    struct sg_point *point;
    size_t count;
    size_t features;
};

static bool take_line(struct sg_reader *reader, const struct sg_tree *row,
                      const struct sg_shape *shape, void *payload)
{
    struct line *line = payload;
    if (shape->kind == SG_SHAPE_NONE)
        return true;
    if (shape->kind != SG_SHAPE_LINE || shape->count < 2 || line->features > 0) {
        sg_reader_error(reader, SG_ERR_INPUT, row->at,
                        "wall.line: %s; allowed: one line, joined from "
                        "start to end",
                        line->features > 0 ? "the layer has a second feature"
                                           : "the feature is not a line");
        return false;
    }
    line->point = sg_reader_alloc(reader, shape->count, sizeof(*line->point));
    if (!line->point)
        return false;
    memcpy(line->point, shape->point, shape->count * sizeof(*line->point));
    line->count = shape->count;
    line->features = 1;
    return true;
}

static void check_width(struct sg_reader *reader, const struct sg_raw_wall *raw, struct sg_spot at)
{
    const struct sg_section_row *row = raw->section[0] ? sg_section_find(raw->section) : NULL;
    if (!row || !sg_is_set(row->width_min_m) || !sg_is_set(row->width_max_m))
        return;
    if (raw->section_width_m >= row->width_min_m - 1e-9 &&
        raw->section_width_m <= row->width_max_m + 1e-9)
        return;
    sg_reader_warn(reader, at,
                   "section_width_m %.9g lies outside the widths in common use for %s "
                   "(%.9g to %.9g m; common practice)",
                   raw->section_width_m, raw->section, row->width_min_m, row->width_max_m);
}

static void generate(struct sg_reader *reader, const struct sg_raw_wall *raw,
                     const struct sg_tree *map, const struct line *line)
{
    double length_m = sg_line_length_m(line->point, line->count);
    double width_m = raw->section_width_m;
    /* A line drawn to the last pile may miss it by rounding. */
    double count = floor(length_m / width_m + 1e-6);
    if (!(count >= 1.0 && count <= (double)SG_MAX_PILES)) {
        sg_reader_error(
            reader, SG_ERR_INPUT, sg_tree_spot(map, "section_width_m"),
            "wall: a line of %.9g m has room for %.0f piles of %.9g m; allowed: 1 to %zu", length_m,
            count, width_m, SG_MAX_PILES);
        return;
    }
    size_t n = (size_t)count;
    struct sg_pile *pile = sg_reader_alloc(reader, n, sizeof(*pile));
    struct sg_place from = sg_reader_place(reader, map->at);
    for (size_t i = 0; pile && i < n; i++) {
        double chainage_m = ((double)i + 0.5) * width_m;
        const char *name = sg_arena_printf(&reader->site->arena, "P%03zu", i + 1);
        reader->nomem |= name == NULL;
        pile[i] = (struct sg_pile){ .name = name ? name : "",
                                    .chainage_m = chainage_m,
                                    .at = sg_line_at(line->point, line->count, chainage_m),
                                    .toe_depth_m = raw->toe_depth_m,
                                    .section = raw->section,
                                    .from = from };
    }
    reader->site->pile = pile;
    reader->site->npile = pile ? n : 0;
}

static void along_line(struct sg_reader *reader, const struct sg_raw_wall *raw,
                       const struct sg_tree *map)
{
    struct line line = { NULL, 0, 0 };
    static const char *const needed[] = { "section_width_m", "toe_depth_m" };
    bool complete = true;
    for (size_t i = 0; i < SG_COUNT(needed); i++) {
        if (sg_tree_value(map, needed[i]))
            continue;
        sg_reader_error(reader, SG_ERR_MISSING, map->at,
                        "wall.%s: is missing; allowed: left out only "
                        "when the piles are listed",
                        needed[i]);
        complete = false;
    }
    if (raw->line_points) {
        complete &=
            sg_bind_points(reader, raw->line_points, "wall.line_points", &line.point, &line.count);
    } else {
        struct sg_sheet sheet = { sg_reader_path(reader, raw->line), sg_tree_spot(map, "line"),
                                  NULL };
        size_t before = reader->nerror;
        if (!sheet.path)
            return;
        sg_sheet_each(reader, &sheet, take_line, &line);
        if (line.count == 0 && reader->nerror == before)
            sg_reader_error(reader, SG_ERR_INPUT, sheet.named_at,
                            "wall.line: %s holds no line; "
                            "allowed: a layer with one line",
                            sg_quoted(reader, sheet.path));
    }
    if (!complete || line.count < 2 || !sg_is_set(raw->section_width_m) ||
        !sg_is_set(raw->toe_depth_m))
        return;
    check_width(reader, raw, sg_tree_spot(map, "section_width_m"));
    generate(reader, raw, map, &line);
}

/* ---- listed ---- */

struct piles {
    const struct sg_raw_wall *wall;
    struct sg_pile *pile; /* on the heap while growing */
    struct sg_named *named;
    size_t count, capacity;
    size_t with_chainage;
    bool good;
};

static bool room_for_pile(struct sg_reader *reader, struct piles *piles, struct sg_spot at)
{
    if (piles->count < piles->capacity)
        return true;
    if (piles->count >= SG_MAX_PILES) {
        sg_reader_error(reader, SG_ERR_INPUT, at,
                        "there are more than %zu piles; allowed: at most %zu", SG_MAX_PILES,
                        SG_MAX_PILES);
        return false;
    }
    size_t capacity = piles->capacity > 0 ? 2 * piles->capacity : 256;
    struct sg_pile *pile = sg_realloc(piles->pile, capacity, sizeof(*pile));
    if (pile)
        piles->pile = pile;
    struct sg_named *named = sg_realloc(piles->named, capacity, sizeof(*named));
    if (named)
        piles->named = named;
    reader->nomem |= !pile || !named;
    if (!pile || !named)
        return false;
    piles->capacity = capacity;
    return true;
}

static bool missing(struct sg_reader *reader, const struct sg_tree *row, const char *key,
                    const char *allowed)
{
    if (!sg_tree_value(row, key)) /* else its fault is reported already */
        sg_reader_error(reader, SG_ERR_MISSING, row->at, "%s: is missing; allowed: %s", key,
                        allowed);
    return false;
}

static bool take_pile(struct sg_reader *reader, const struct sg_tree *row,
                      const struct sg_shape *shape, void *payload)
{
    struct piles *piles = payload;
    struct sg_raw_pile raw;
    if (!room_for_pile(reader, piles, row->at))
        return false;
    bool good = sg_bind(reader, "wall.piles", row, &raw);
    if (row->kind != SG_TREE_MAP)
        return true;
    if (shape->kind == SG_SHAPE_POINT && !sg_is_set(raw.x_m) && !sg_is_set(raw.y_m)) {
        raw.x_m = shape->point[0].x_m;
        raw.y_m = shape->point[0].y_m;
    }
    if (!sg_is_set(raw.x_m))
        good = missing(reader, row, "x_m", "the easting in metres");
    if (!sg_is_set(raw.y_m))
        good = missing(reader, row, "y_m", "the northing in metres");
    if (!sg_is_set(raw.toe_depth_m))
        raw.toe_depth_m = piles->wall->toe_depth_m;
    if (!sg_is_set(raw.toe_depth_m))
        good =
            missing(reader, row, "toe_depth_m", "a depth in metres here, or one for all in wall");
    piles->pile[piles->count] = (struct sg_pile){
        .name = raw.name,
        .at = { raw.x_m, raw.y_m },
        .chainage_m = raw.chainage_m,
        .toe_depth_m = raw.toe_depth_m,
        .section = raw.section[0] ? raw.section : piles->wall->section,
        .from = sg_reader_place(reader, row->at),
    };
    piles->named[piles->count] =
        (struct sg_named){ raw.name, sg_tree_spot(row, "name"), piles->count };
    piles->with_chainage += sg_is_set(raw.chainage_m);
    piles->good &= good;
    piles->count++;
    return true;
}

/* Chainage from pile to pile when the table gives none. */
static void measure_chainage(struct sg_pile *pile, size_t count)
{
    double chainage_m = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (i > 0)
            chainage_m +=
                hypot(pile[i].at.x_m - pile[i - 1].at.x_m, pile[i].at.y_m - pile[i - 1].at.y_m);
        pile[i].chainage_m = chainage_m;
    }
}

static void keep_piles(struct sg_reader *reader, struct piles *piles, struct sg_spot at)
{
    if (piles->count == 0 || reader->nomem)
        return;
    sg_names_check(reader, "pile", piles->named, piles->count);
    if (piles->with_chainage > 0 && piles->with_chainage < piles->count)
        sg_reader_error(reader, SG_ERR_MISSING, at,
                        "wall: %zu of %zu piles have a chainage_m; allowed: "
                        "all of them, or none",
                        piles->with_chainage, piles->count);
    if (!piles->good)
        return;
    if (piles->with_chainage == 0)
        measure_chainage(piles->pile, piles->count);
    struct sg_pile *kept = sg_reader_alloc(reader, piles->count, sizeof(*kept));
    if (!kept)
        return;
    memcpy(kept, piles->pile, piles->count * sizeof(*kept));
    reader->site->pile = kept;
    reader->site->npile = piles->count;
}

static void from_list(struct sg_reader *reader, const struct sg_raw_wall *raw,
                      const struct sg_tree *map)
{
    struct piles piles = { .wall = raw, .good = true };
    const struct sg_shape none = { .kind = SG_SHAPE_NONE };
    struct sg_spot at = sg_tree_spot(map, raw->piles ? "piles" : "pile_table");
    if (raw->piles) {
        for (size_t i = 0; i < raw->piles->count; i++) {
            if (!take_pile(reader, raw->piles->child[i], &none, &piles))
                break;
        }
    } else {
        struct sg_sheet sheet = { sg_reader_path(reader, raw->pile_table), at, "wall.piles" };
        if (sheet.path)
            sg_sheet_each(reader, &sheet, take_pile, &piles);
    }
    keep_piles(reader, &piles, at);
    sg_free(piles.named);
    sg_free(piles.pile);
}

/* ---- the ground under each ---- */

static size_t nearest_borehole(const struct sg_site *site, double chainage_m)
{
    size_t nearest = 0;
    double least = HUGE_VAL;
    for (size_t i = 0; i < site->nborehole; i++) {
        double at_m = site->borehole[i].chainage_m;
        double away = sg_is_set(at_m) ? fabs(at_m - chainage_m) : 0.0;
        bool tie = away <= least && away >= least;
        if (away < least || (tie && at_m < site->borehole[nearest].chainage_m)) {
            least = away;
            nearest = i;
        }
    }
    return nearest;
}

static void give_ground(struct sg_reader *reader, struct sg_spot at)
{
    struct sg_site *site = reader->site;
    struct sg_pile *pile = (struct sg_pile *)site->pile;
    size_t below = 0, first = 0;
    sg_ags_place(reader);
    for (size_t i = 0; i < site->npile && site->nborehole > 0; i++)
        pile[i].borehole = nearest_borehole(site, pile[i].chainage_m);
    sg_interpolate_ground(reader);
    for (size_t i = 0; i < site->npile && site->nborehole > 0; i++) {
        if (sg_site_layer(&site->borehole[pile[i].borehole], pile[i].toe_depth_m))
            continue;
        first = below == 0 ? i : first;
        below++;
    }
    if (below > 0)
        sg_reader_warn(reader, at,
                       "%zu piles reach below the last layer of their borehole (the first: "
                       "%s, borehole %s); nothing is known of the ground at their toe",
                       below, pile[first].name, site->borehole[pile[first].borehole].name);
}

void sg_build_wall(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    static const char *const ways[] = { "line", "line_points", "pile_table", "piles" };
    const struct sg_tree *map = raw->wall;
    struct sg_raw_wall wall;
    size_t given = 0;
    if (!map)
        return;
    bool good = sg_bind(reader, "wall", map, &wall);
    for (size_t i = 0; i < SG_COUNT(ways); i++)
        given += sg_tree_value(map, ways[i]) != NULL;
    if (given != 1) {
        sg_reader_error(reader, given == 0 ? SG_ERR_MISSING : SG_ERR_INPUT, map->at,
                        "wall: the piles are given in %zu ways; allowed: one of line, line_points, "
                        "pile_table, piles",
                        given);
        return;
    }
    if (wall.section[0] && !sg_section_find(wall.section))
        sg_reader_unknown(reader, sg_tree_spot(map, "section"), "wall.section", wall.section,
                          section_at, sg_section_count());
    if (wall.line[0] || wall.line_points)
        along_line(reader, &wall, map);
    else if (wall.pile_table[0] || wall.piles)
        from_list(reader, &wall, map);
    if (good && reader->site->npile > 0)
        give_ground(reader, map->at);
}
