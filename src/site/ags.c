/* ags.c - boreholes out of an AGS file: LOCA or HOLE, GEOL, ISPT and WSTK put together.
 */
#include "site/ags.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define FULL_ENERGY_PERCENT 60.0 /* N60: the count at 60 % of the energy of free fall */

/* ---- looking things up ---- */

/* The next row of the groups of a name; start with both at 0. */
static const struct sg_ags_row *next_row(const struct sg_ags *ags, const char *name,
                                         const char *name_3, size_t at[2],
                                         const struct sg_ags_group **group)
{
    for (; at[0] < ags->ngroup; at[0]++, at[1] = 0) {
        const struct sg_ags_group *g = &ags->group[at[0]];
        bool mine = sg_same(g->name, name) || (name_3 && sg_same(g->name, name_3));
        if (mine && at[1] < g->nrow) {
            *group = g;
            return &g->row[at[1]++];
        }
    }
    return NULL;
}

static struct sg_ags_hole *find_hole(const struct sg_ags_building *b, const char *name)
{
    for (size_t i = 0; i < b->nhole; i++) {
        if (sg_same(b->hole[i].name, name))
            return &b->hole[i];
    }
    return NULL;
}

static const char *hole_id(const struct sg_ags_group *g, const struct sg_ags_row *row)
{
    return sg_ags_cell(g, row, "LOCA_ID", "HOLE_ID");
}

/* The borehole of a row of GEOL, ISPT or WSTK; says so when there is none. */
static struct sg_ags_hole *owner(struct sg_ags_building *b, const struct sg_ags_group *g,
                                 const struct sg_ags_row *row)
{
    const char *id = hole_id(g, row);
    struct sg_ags_hole *hole = find_hole(b, id);
    if (!hole)
        sg_reader_warn(b->reader, row->at,
                       "group %s: the borehole %s is not in %s; the row is left "
                       "out",
                       g->name, sg_quoted(b->reader, id), b->ags->edition == 3 ? "HOLE" : "LOCA");
    return hole;
}

/* A number in metres by the unit of its heading; unset when the cell is empty or is refused. */
static double metres(struct sg_ags_building *b, const struct sg_ags_group *g,
                     const struct sg_ags_row *row, const char *heading, const char *heading_3)
{
    const char *text = sg_ags_cell(g, row, heading, heading_3), *why = NULL;
    const char *unit = sg_ags_unit(g, heading, heading_3);
    double value, factor = 1;
    if (text[0] == '\0')
        return SG_UNSET;
    if (sg_parse_number(text, &value, &why) != SG_OK) {
        sg_reader_warn(b->reader, row->at, "%s: %s %s; allowed: a number in metres", heading,
                       sg_quoted(b->reader, text), why ? why : "is not a number");
        return SG_UNSET;
    }
    if (unit[0] && sg_unit_factor(unit, "m", &factor) != SG_OK) {
        sg_reader_warn(b->reader, row->at, "%s: the unit %s is not known; metres are taken",
                       heading, sg_quoted(b->reader, unit));
        factor = 1;
    }
    return value * factor;
}

/* ---- oddities of the whole file ---- */

static const struct sg_ags_row *declared(const struct sg_ags_building *b, const char *group,
                                         const char *heading)
{
    const struct sg_ags_group *g;
    const struct sg_ags_row *row;
    size_t at[2] = { 0, 0 };
    while ((row = next_row(b->ags, "DICT", NULL, at, &g)) != NULL) {
        if (sg_same(sg_ags_cell(g, row, "DICT_GRP", NULL), group) &&
            sg_same(sg_ags_cell(g, row, "DICT_HDNG", NULL), heading))
            return row;
    }
    return NULL;
}

static void check_headings(struct sg_ags_building *b, const struct sg_ags_group *g)
{
    static const char *const shared[] = { "LOCA_ID", "HOLE_ID", "FILE_FSET" };
    size_t prefix = strlen(g->name);
    for (size_t i = 0; i < g->nheading; i++) {
        const char *heading = g->heading[i];
        bool known = strncmp(heading, g->name, prefix) == 0 && heading[prefix] == '_';
        for (size_t k = 0; k < SG_COUNT(shared); k++)
            known |= sg_same(heading, shared[k]);
        if (declared(b, g->name, heading))
            sg_reader_warn(b->reader, g->at,
                           "group %s: %s is a heading of the user's own, declared "
                           "in DICT; it is passed over",
                           g->name, sg_quoted(b->reader, heading));
        else if (!known)
            sg_reader_warn(b->reader, g->at,
                           "group %s: %s is no heading of the group and is not "
                           "declared in DICT; it is passed over",
                           g->name, sg_quoted(b->reader, heading));
    }
}

static void check_groups(struct sg_ags_building *b)
{
    static const char *const read[] = { "LOCA", "HOLE", "GEOL", "ISPT", "WSTK" };
    bool project = false;
    for (size_t i = 0; i < b->ags->ngroup; i++) {
        project |= sg_same(b->ags->group[i].name, "PROJ");
        for (size_t k = 0; k < SG_COUNT(read); k++) {
            if (sg_same(b->ags->group[i].name, read[k]))
                check_headings(b, &b->ags->group[i]);
        }
    }
    if (!project)
        sg_reader_warn(b->reader, (struct sg_spot){ .file = b->path, .line = 1, .column = 1 },
                       "there is no group PROJ");
}

/* ---- where a borehole stands ---- */

static bool pair_of(struct sg_ags_building *b, const struct sg_ags_group *g,
                    const struct sg_ags_row *row, const char *const heading[4],
                    struct sg_point *out)
{
    out->x_m = metres(b, g, row, heading[0], heading[2]);
    out->y_m = metres(b, g, row, heading[1], heading[3]);
    return sg_is_set(out->x_m) && sg_is_set(out->y_m);
}

static bool degrees_of(const struct sg_ags_group *g, const struct sg_ags_row *row,
                       struct sg_point *out)
{
    const char *lon = sg_ags_cell(g, row, "LOCA_LON", NULL);
    const char *lat = sg_ags_cell(g, row, "LOCA_LAT", NULL);
    return lon[0] && lat[0] && sg_ags_read_degrees(lon, &out->x_m) &&
           sg_ags_read_degrees(lat, &out->y_m);
}

/* Moves a place into the site's CRS and warns where it had to be guessed which CRS it is in. */
static void into_site(struct sg_ags_building *b, const struct sg_ags_row *row,
                      const char *reference, struct sg_point *place)
{
    const char *crs = b->raw.crs[0] ? b->raw.crs : reference;
    if (b->reader->local) {
        if (b->raw.crs[0])
            sg_reader_warn(b->reader, row->at,
                           "the site counts in a local grid; the position is "
                           "taken to be in it");
        return;
    }
    if (strncmp(crs, "EPSG:", 5) != 0) {
        sg_reader_warn(b->reader, row->at,
                       "LOCA_GREF %s names no CRS; the position is taken to be "
                       "in the site's; allowed: EPSG:n, or boreholes.crs in the site file",
                       crs[0] ? sg_quoted(b->reader, crs) : "is empty and");
        return;
    }
    if (!sg_geo_point(b->reader, crs, place)) {
        sg_reader_warn(b->reader, row->at,
                       "the position cannot be brought from %s into the site's "
                       "CRS; the position is left out",
                       sg_quoted(b->reader, crs));
        *place = (struct sg_point){ SG_UNSET, SG_UNSET };
    }
}

static struct sg_point place_of(struct sg_ags_building *b, const struct sg_ags_group *g,
                                const struct sg_ags_row *row)
{
    static const char *const grid[4] = { "LOCA_NATE", "LOCA_NATN", "HOLE_NATE", "HOLE_NATN" };
    static const char *const own[4] = { "LOCA_LOCX", "LOCA_LOCY", NULL, NULL };
    struct sg_point place;
    if (b->reader->local && pair_of(b, g, row, own, &place))
        return place;
    if (pair_of(b, g, row, grid, &place)) {
        into_site(b, row, sg_ags_cell(g, row, "LOCA_GREF", NULL), &place);
        return place;
    }
    if (!b->reader->local && degrees_of(g, row, &place) &&
        sg_geo_point(b->reader, "EPSG:4326", &place))
        return place;
    return (struct sg_point){ SG_UNSET, SG_UNSET };
}

static void read_holes(struct sg_ags_building *b)
{
    const struct sg_ags_group *g;
    const struct sg_ags_row *row;
    size_t at[2] = { 0, 0 }, count = 0;
    while (next_row(b->ags, "LOCA", "HOLE", at, &g))
        count++;
    b->hole = sg_reader_alloc(b->reader, count + 1, sizeof(*b->hole));
    at[0] = at[1] = 0;
    while (b->hole && (row = next_row(b->ags, "LOCA", "HOLE", at, &g)) != NULL) {
        const char *id = hole_id(g, row);
        struct sg_ags_hole *first = find_hole(b, id);
        if (id[0] == '\0' || first || b->nhole >= (size_t)SG_MAX_BOREHOLES) {
            sg_reader_warn(b->reader, row->at, "group %s: the borehole %s %s; the row is left out",
                           g->name, sg_quoted(b->reader, id),
                           first   ? "is given a second time"
                           : id[0] ? "is one too many"
                                   : "has no name");
            continue;
        }
        b->hole[b->nhole++] = (struct sg_ags_hole){
            .name = id, .at = row->at, .place = place_of(b, g, row), .water_m = SG_UNSET
        };
    }
}

/* ---- geology ---- */

static const char *own_class(const struct sg_ags_building *b, const char *code)
{
    for (size_t i = 0; code[0] && b->raw.classes && i < b->raw.classes->count; i++) {
        const struct sg_tree *key = b->raw.classes->child[2 * i];
        const struct sg_tree *value = b->raw.classes->child[2 * i + 1];
        if (key->kind == SG_TREE_TEXT && value->kind == SG_TREE_TEXT &&
            strcasecmp(key->text, code) == 0)
            return value->text;
    }
    return NULL;
}

/* "sand dense" or "sand" into soil and state. */
static void split_class(struct sg_ags_building *b, const char *text, struct sg_ags_geology *out)
{
    size_t length = strcspn(text, " ");
    out->soil = sg_arena_copy(&b->reader->site->arena, text, length);
    out->state = text + length + strspn(text + length, " ");
    b->reader->nomem |= !out->soil;
    out->own = true;
}

static void classify(struct sg_ags_building *b, const struct sg_ags_group *g,
                     const struct sg_ags_row *row, struct sg_ags_geology *out)
{
    const char *own = own_class(b, sg_ags_cell(g, row, "GEOL_LEG", NULL));
    if (!own)
        own = own_class(b, sg_ags_cell(g, row, "GEOL_GEOL", NULL));
    if (!own)
        own = own_class(b, sg_ags_cell(g, row, "GEOL_DESC", NULL));
    if (own)
        split_class(b, own, out);
    else
        sg_ags_read_soil(out->description, &out->soil, &out->state);
    if (out->soil && out->soil[0] == '\0')
        sg_reader_warn(b->reader, row->at,
                       "no soil is found in the description %s; the layer is "
                       "left out and the one above goes on; allowed: a class in boreholes.classes",
                       sg_quoted(b->reader, out->description));
}

static int by_top(const void *left, const void *right)
{
    const struct sg_ags_geology *a = left, *b = right;
    if (a->top_m < b->top_m || a->top_m > b->top_m)
        return a->top_m < b->top_m ? -1 : 1;
    return a->at.line < b->at.line ? -1 : a->at.line > b->at.line;
}

bool sg_ags_grow(struct sg_reader *reader, void **list, size_t count, size_t size)
{
    if (count > 0 && (count & (count - 1)) != 0)
        return true; /* room for the next power of two */
    void *grown = sg_reader_alloc(reader, count > 0 ? 2 * count : 1, size);
    if (grown && count > 0)
        memcpy(grown, *list, count * size);
    *list = grown ? grown : *list;
    return grown != NULL;
}

static void read_geology(struct sg_ags_building *b)
{
    const struct sg_ags_group *g;
    const struct sg_ags_row *row;
    size_t at[2] = { 0, 0 };
    while ((row = next_row(b->ags, "GEOL", NULL, at, &g)) != NULL) {
        struct sg_ags_hole *hole = owner(b, g, row);
        struct sg_ags_geology layer = { .at = row->at, .soil = "", .state = "" };
        layer.top_m = metres(b, g, row, "GEOL_TOP", NULL);
        layer.base_m = metres(b, g, row, "GEOL_BASE", "GEOL_BASE");
        layer.description = sg_ags_cell(g, row, "GEOL_DESC", NULL);
        if (!hole)
            continue;
        if (!sg_is_set(layer.top_m) || layer.top_m < 0 || layer.base_m <= layer.top_m) {
            sg_reader_warn(b->reader, row->at,
                           "GEOL_TOP and GEOL_BASE do not go from top to base; "
                           "the layer is left out");
            continue;
        }
        classify(b, g, row, &layer);
        if (layer.soil && layer.soil[0] &&
            sg_ags_grow(b->reader, (void **)&hole->geology, hole->ngeology, sizeof(layer)))
            hole->geology[hole->ngeology++] = layer;
    }
    for (size_t i = 0; i < b->nhole; i++) {
        if (b->hole[i].ngeology > 1)
            qsort(b->hole[i].geology, b->hole[i].ngeology, sizeof(struct sg_ags_geology), by_top);
    }
}

/* ---- tests and water ---- */

static int by_depth(const void *left, const void *right)
{
    const struct sg_ags_test *a = left, *b = right;
    if (a->depth_m < b->depth_m || a->depth_m > b->depth_m)
        return a->depth_m < b->depth_m ? -1 : 1;
    return a->at.line < b->at.line ? -1 : a->at.line > b->at.line;
}

static double plain_number(const struct sg_ags_group *g, const struct sg_ags_row *row,
                           const char *heading)
{
    double value;
    return sg_parse_number(sg_ags_cell(g, row, heading, NULL), &value, NULL) == SG_OK ? value
                                                                                      : SG_UNSET;
}

static void say_refusal(struct sg_ags_building *b, const struct sg_ags_hole *hole,
                        const struct sg_ags_test *test)
{
    if (sg_is_set(test->pen_m))
        sg_reader_warn(b->reader, test->at,
                       "borehole %s, %.9g m: refusal, %.9g blows for %.0f mm; "
                       "N %.0f is extrapolated",
                       hole->name, test->depth_m, test->blows, 1e3 * test->pen_m, test->n);
    else
        sg_reader_warn(b->reader, test->at,
                       "borehole %s, %.9g m: more than %.9g blows; that bound "
                       "stands for N",
                       hole->name, test->depth_m, test->blows);
}

static void read_test(struct sg_ags_building *b, const struct sg_ags_group *g,
                      const struct sg_ags_row *row)
{
    struct sg_ags_hole *hole = owner(b, g, row);
    struct sg_ags_test test = { .at = row->at, .depth_m = metres(b, g, row, "ISPT_TOP", NULL) };
    const char *text = sg_ags_cell(g, row, "ISPT_NVAL", NULL);
    const char *fault = sg_ags_read_n(text, plain_number(g, row, "ISPT_MAIN"),
                                      plain_number(g, row, "ISPT_NPEN"), &test);
    double energy = plain_number(g, row, "ISPT_ERAT");
    if (!hole)
        return;
    if (fault || !sg_is_set(test.depth_m) || test.depth_m < 0) {
        sg_reader_warn(b->reader, row->at,
                       "ISPT_NVAL: %s is %s; the test is left out; allowed: a "
                       "number from 0 up, or blows/penetration as 100/0.29",
                       sg_quoted(b->reader, text), fault ? fault : "at no depth");
        return;
    }
    if (b->raw.correct_energy && energy > 0)
        test.n *= energy / FULL_ENERGY_PERCENT;
    if (test.refused)
        say_refusal(b, hole, &test);
    if (sg_ags_grow(b->reader, (void **)&hole->test, hole->ntest, sizeof(test)))
        hole->test[hole->ntest++] = test;
}

static void read_tests(struct sg_ags_building *b)
{
    const struct sg_ags_group *g;
    const struct sg_ags_row *row;
    size_t at[2] = { 0, 0 };
    while ((row = next_row(b->ags, "ISPT", NULL, at, &g)) != NULL)
        read_test(b, g, row);
    at[0] = at[1] = 0;
    while ((row = next_row(b->ags, "WSTK", NULL, at, &g)) != NULL) {
        struct sg_ags_hole *hole = owner(b, g, row);
        double depth_m = metres(b, g, row, "WSTK_DPTH", "WSTK_DEP");
        if (hole && depth_m >= 0 && !(depth_m >= hole->water_m))
            hole->water_m = depth_m; /* the shallowest strike */
    }
    for (size_t i = 0; i < b->nhole; i++) {
        if (b->hole[i].ntest > 1)
            qsort(b->hole[i].test, b->hole[i].ntest, sizeof(struct sg_ags_test), by_depth);
    }
}

/* ---- the whole ---- */

static void build_from(struct sg_ags_building *b, const char *bytes, size_t length)
{
    struct sg_ags ags;
    if (!sg_ags_parse(b->reader, bytes, length, b->path, &ags))
        return;
    b->ags = &ags;
    check_groups(b);
    read_holes(b);
    read_geology(b);
    read_tests(b);
    sg_ags_build_layers(b);
    b->ags = NULL;
}

void sg_build_ags_memory(struct sg_reader *reader, const char *bytes, size_t length,
                         const char *path)
{
    struct sg_ags_building b = { .reader = reader,
                                 .path = path,
                                 .raw = { .ags = path, .crs = "", .between = "interpolate" } };
    b.named_at = (struct sg_spot){ .file = path };
    build_from(&b, bytes, length);
}

void sg_build_ags(struct sg_reader *reader, const struct sg_tree *map)
{
    struct sg_ags_building b = { .reader = reader };
    size_t length = 0;
    if (!sg_bind(reader, "boreholes.file", map, &b.raw) || map->kind != SG_TREE_MAP)
        return;
    b.named_at = sg_tree_spot(map, "ags");
    b.path = sg_reader_path(reader, b.raw.ags);
    const char *bytes =
        b.path ? sg_reader_file(reader, b.path, b.named_at, SG_AGS_MAX_BYTES, &length) : NULL;
    if (bytes)
        build_from(&b, bytes, length);
}
