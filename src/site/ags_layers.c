/* ags_layers.c - layers of the ground out of what an AGS file says: geology cut by blow counts.
 *
 * A layer of the geology is cut where its blow counts pass from one state of the soil to another,
 * half way between two tests. Counts of one state are averaged; a refusal is never averaged away:
 * it keeps a layer of its own with the extrapolated N. The user's own classes stand before all.
 */
#include "site/ags.h"

#include <math.h>

/* The hardest state of a soil: what is taken when nothing tells the state. */
static const struct sg_soil *hardest(const char *soil)
{
    const struct sg_soil *found = NULL;
    for (size_t i = 0; i < sg_soil_count(); i++) {
        const struct sg_soil *s = sg_soil_at(i);
        if (sg_same(s->soil, soil) && (!found || s->group > found->group))
            found = s;
    }
    return found;
}

/* The state by a count, unless the user's class or an obstruction has settled it. */
static const struct sg_soil *soil_of(struct sg_ags_building *b, const struct sg_ags_geology *g,
                                     double n)
{
    const struct sg_soil *named = g->state[0] ? sg_soil_find(g->soil, g->state) : NULL;
    const struct sg_soil *counted = sg_is_set(n) ? sg_soil_by_n(g->soil, n) : NULL;
    if (named && (g->own || sg_same(g->state, "obstructed")))
        return named;
    if (counted)
        return counted;
    if (named)
        return named;
    const struct sg_soil *soil = hardest(g->soil);
    if (!soil)
        sg_reader_error(b->reader, SG_ERR_UNKNOWN, g->at,
                        "the soil %s is not known; allowed: a soil "
                        "and state of the site file",
                        sg_quoted(b->reader, g->soil));
    else if (!sg_is_set(n) || sg_soil_find(g->soil, g->state) == NULL)
        sg_reader_warn(b->reader, g->at,
                       "neither count nor words tell the state of the %s; %s is "
                       "taken, the hardest; allowed: a class in boreholes.classes",
                       g->soil, soil->state);
    return soil;
}

static void keep_refusal(struct sg_ags_building *b, size_t hole, const struct sg_ags_test *test)
{
    if (!sg_ags_grow(b->reader, (void **)&b->refusal, b->nrefusal, sizeof(*b->refusal)))
        return;
    b->refusal[b->nrefusal++] =
        (struct sg_refusal){ hole, test->depth_m, test->blows, test->pen_m, test->n };
}

struct layers {
    struct sg_layer *layer;
    size_t count;
    size_t tests; /* in the last layer */
    bool refused; /* the last layer is one */
};

/* Adds a piece, or joins it to the one above when it is of the same soil and state. */
static void put_layer(struct sg_ags_building *b, struct layers *out, struct sg_layer piece,
                      bool refused, bool first)
{
    struct sg_layer *last = out->count > 0 ? &out->layer[out->count - 1] : NULL;
    if (last && !first && last->soil == piece.soil && out->refused == refused) {
        last->base_m = piece.base_m;
        if (refused)
            last->spt_n = fmax(last->spt_n, piece.spt_n);
        else
            last->spt_n += (piece.spt_n - last->spt_n) / (double)++out->tests;
        return;
    }
    if (out->count >= (size_t)SG_MAX_LAYERS ||
        !sg_ags_grow(b->reader, (void **)&out->layer, out->count, sizeof(piece)))
        return;
    out->layer[out->count++] = piece;
    out->tests = 1;
    out->refused = refused;
}

static void cut_layer(struct sg_ags_building *b, const struct sg_ags_hole *hole,
                      const struct sg_ags_geology *g, double top_m, double base_m,
                      struct layers *out)
{
    size_t from = 0, to;
    while (from < hole->ntest && hole->test[from].depth_m < top_m)
        from++;
    for (to = from; to < hole->ntest && hole->test[to].depth_m < base_m; to++)
        ;
    if (from == to) {
        put_layer(b, out, (struct sg_layer){ top_m, base_m, soil_of(b, g, SG_UNSET), SG_UNSET },
                  false, true);
        return;
    }
    for (size_t i = from; i < to; i++) {
        const struct sg_ags_test *test = &hole->test[i];
        double here = i == from ? top_m : 0.5 * (hole->test[i - 1].depth_m + test->depth_m);
        double below = i + 1 == to ? base_m : 0.5 * (test->depth_m + hole->test[i + 1].depth_m);
        if (!(below > here))
            continue; /* two tests at one depth */
        put_layer(b, out, (struct sg_layer){ here, below, soil_of(b, g, test->n), test->n },
                  test->refused, i == from);
    }
}

static void build_hole(struct sg_ags_building *b, const struct sg_ags_hole *hole, size_t index,
                       struct sg_borehole *out)
{
    struct layers layers = { .count = 0 };
    double top_m = 0;
    for (size_t i = 0; i < hole->ngeology; i++) {
        const struct sg_ags_geology *g = &hole->geology[i];
        bool last = i + 1 == hole->ngeology;
        double base_m = last ? g->base_m : hole->geology[i + 1].top_m;
        if (!sg_is_set(base_m))
            base_m = HUGE_VAL;
        if (!last && sg_is_set(g->base_m) && fabs(g->base_m - base_m) > 0.005)
            sg_reader_warn(b->reader, g->at,
                           "borehole %s: the layer ends at %.9g m and the next "
                           "begins at %.9g m; it is taken to end there",
                           hole->name, g->base_m, base_m);
        if (base_m > top_m)
            cut_layer(b, hole, g, top_m, base_m, &layers);
        top_m = base_m > top_m ? base_m : top_m;
    }
    for (size_t i = 0; i < hole->ntest; i++) {
        if (hole->test[i].refused)
            keep_refusal(b, index, &hole->test[i]);
    }
    *out = (struct sg_borehole){ .name = hole->name,
                                 .chainage_m = SG_UNSET,
                                 .water_depth_m = hole->water_m,
                                 .layer = layers.layer,
                                 .nlayer = layers.count };
}

static bool usable(struct sg_ags_building *b, const struct sg_ags_hole *hole)
{
    if (hole->ngeology == 0) {
        sg_reader_warn(b->reader, hole->at, "borehole %s has no geology; it is left out",
                       hole->name);
        return false;
    }
    if (b->nhole > 1 && !sg_is_set(hole->place.x_m)) {
        sg_reader_warn(b->reader, hole->at,
                       "borehole %s has no position; it is left out; allowed: "
                       "LOCA_NATE and LOCA_NATN, or one borehole alone",
                       hole->name);
        return false;
    }
    return true;
}

void sg_ags_build_layers(struct sg_ags_building *b)
{
    struct sg_borehole *holes = sg_reader_alloc(b->reader, b->nhole + 1, sizeof(*holes));
    struct sg_point *places = sg_reader_alloc(b->reader, b->nhole + 1, sizeof(*places));
    size_t count = 0;
    for (size_t i = 0; holes && places && i < b->nhole; i++) {
        if (!usable(b, &b->hole[i]))
            continue;
        build_hole(b, &b->hole[i], count, &holes[count]);
        places[count++] = b->hole[i].place;
    }
    if (count == 0)
        sg_reader_error(b->reader, SG_ERR_INPUT, b->named_at,
                        "boreholes.ags: %s holds no borehole "
                        "that can be used; allowed: one at least with GEOL rows",
                        sg_quoted(b->reader, b->path));
    b->reader->site->borehole = holes;
    b->reader->site->nborehole = count;
    b->reader->site->refusal = b->refusal;
    b->reader->site->nrefusal = b->nrefusal;
    b->reader->ags_at = places;
    b->reader->interpolate = sg_same(b->raw.between, "interpolate");
}
