/* between.c - the ground between two boreholes, at each pile.
 *
 * The boreholes are put on the wall by the foot of the perpendicular on the line of the piles.
 * Between two of them the layers are matched from the top down by soil (the longest common
 * sequence);
 * a matched layer's thickness and blow count run linearly, a layer without a match thins out to
 * nothing at the other borehole. The state follows the blow count, else the nearer borehole. The
 * distance between two boreholes is gone in SG_BETWEEN_STEPS steps. Beyond the first and the last
 * the nearest stands. It is a reading of the ground between, not knowledge of it. */
#include "site/ags.h"

#include <math.h>
#include <string.h>

/* Common practice, no source: farther off the wall a borehole says little of it. */
#define FAR_FROM_WALL_M 50.0
#define OPEN_BASE_M 1000.0 /* deeper than any pile */

/* ---- on the wall ---- */

static double foot(const struct sg_site *site, struct sg_point at, double *away_m)
{
    double chainage_m = site->npile > 0 ? site->pile[0].chainage_m : 0;
    *away_m =
        site->npile > 0 ? hypot(at.x_m - site->pile[0].at.x_m, at.y_m - site->pile[0].at.y_m) : 0;
    for (size_t i = 1; i < site->npile; i++) {
        const struct sg_pile *a = &site->pile[i - 1], *b = &site->pile[i];
        double dx = b->at.x_m - a->at.x_m, dy = b->at.y_m - a->at.y_m;
        double square = dx * dx + dy * dy;
        double share =
            square > 0 ? ((at.x_m - a->at.x_m) * dx + (at.y_m - a->at.y_m) * dy) / square : 0;
        share = fmin(fmax(share, 0), 1);
        double away = hypot(at.x_m - a->at.x_m - share * dx, at.y_m - a->at.y_m - share * dy);
        if (away < *away_m) {
            *away_m = away;
            chainage_m = a->chainage_m + share * (b->chainage_m - a->chainage_m);
        }
    }
    return chainage_m;
}

void sg_ags_place(struct sg_reader *reader)
{
    struct sg_site *site = reader->site;
    struct sg_borehole *hole = (struct sg_borehole *)site->borehole;
    struct sg_spot at = { .file = site->file };
    for (size_t i = 0; reader->ags_at && i < site->nborehole; i++) {
        double away_m;
        if (!sg_is_set(reader->ags_at[i].x_m))
            continue;
        hole[i].chainage_m = foot(site, reader->ags_at[i], &away_m);
        if (away_m > SG_MAX_EXTENT_M)
            sg_reader_error(reader, SG_ERR_INPUT, at,
                            "borehole %s lies %.0f m off the wall; "
                            "allowed: at most %.0f m; the CRS may be another (boreholes.crs)",
                            hole[i].name, away_m, SG_MAX_EXTENT_M);
        else if (away_m > FAR_FROM_WALL_M)
            sg_reader_warn(reader, at,
                           "borehole %s lies %.0f m off the wall; it is taken for "
                           "chainage %.1f m all the same",
                           hole[i].name, away_m, hole[i].chainage_m);
    }
}

/* ---- between two ---- */

#define LAYERS_MAX ((size_t)200)

/* Lengths of the longest common sequences of the layers from i and from j on. */
static void common(const struct sg_borehole *a, const struct sg_borehole *b, unsigned char *length)
{
    size_t width = b->nlayer + 1;
    for (size_t i = a->nlayer + 1; i-- > 0;) {
        for (size_t j = width; j-- > 0;) {
            unsigned char *here = &length[i * width + j];
            if (i == a->nlayer || j == b->nlayer) {
                *here = 0;
                continue;
            }
            unsigned char skip_a = length[(i + 1) * width + j], skip_b = length[i * width + j + 1];
            unsigned char both = (unsigned char)(length[(i + 1) * width + j + 1] + 1);
            *here = skip_a > skip_b ? skip_a : skip_b;
            if (sg_same(a->layer[i].soil->soil, b->layer[j].soil->soil) && both > *here)
                *here = both;
        }
    }
}

static double thickness(const struct sg_layer *layer)
{
    double base_m = isfinite(layer->base_m) ? layer->base_m : OPEN_BASE_M;
    return fmax(base_m - layer->top_m, 0);
}

/* Whether a test in a layer of one of the site's boreholes met refusal. */
static bool refused(const struct sg_site *site, const struct sg_borehole *hole,
                    const struct sg_layer *layer)
{
    for (size_t i = 0; i < site->nrefusal; i++) {
        const struct sg_refusal *r = &site->refusal[i];
        if (hole == &site->borehole[r->borehole] && r->depth_m >= layer->top_m &&
            r->depth_m < layer->base_m)
            return true;
    }
    return false;
}

/* Two layers of one soil at a share of the way. A refusal in either is not averaged away. */
static struct sg_layer blend(const struct sg_layer *a, const struct sg_layer *b, double share,
                             bool keep_harder)
{
    struct sg_layer out = share < 0.5 ? *a : *b;
    if (sg_is_set(a->spt_n) && sg_is_set(b->spt_n)) {
        out.spt_n =
            keep_harder ? fmax(a->spt_n, b->spt_n) : (1 - share) * a->spt_n + share * b->spt_n;
        const struct sg_soil *by_n = sg_soil_by_n(a->soil->soil, out.spt_n);
        bool settled = sg_same(out.soil->state, "obstructed");
        if (by_n && !settled)
            out.soil = by_n;
    }
    return out;
}

static void put(struct sg_borehole *out, struct sg_layer *list, struct sg_layer layer,
                double *top_m, double thick_m)
{
    if (!(thick_m > 1e-9))
        return;
    layer.top_m = *top_m;
    *top_m += thick_m;
    layer.base_m = *top_m;
    list[out->nlayer++] = layer;
}

static double mix(double a, double b, double share)
{
    if (sg_is_set(a) && sg_is_set(b))
        return (1 - share) * a + share * b;
    return share < 0.5 ? a : b;
}

bool sg_between_boreholes(struct sg_reader *reader, const struct sg_borehole *a,
                          const struct sg_borehole *b, double share, struct sg_borehole *out)
{
    size_t i = 0, j = 0, width = b->nlayer + 1;
    double top_m = 0;
    struct sg_layer *list = sg_reader_alloc(reader, a->nlayer + b->nlayer + 1, sizeof(*list));
    unsigned char *length = sg_alloc((a->nlayer + 1) * width, 1);
    reader->nomem |= !length;
    if (!list || !length || a->nlayer > LAYERS_MAX || b->nlayer > LAYERS_MAX) {
        sg_free(length);
        return false;
    }
    common(a, b, length);
    *out = (struct sg_borehole){ .name = a->name,
                                 .layer = list,
                                 .chainage_m = mix(a->chainage_m, b->chainage_m, share),
                                 .water_depth_m = mix(a->water_depth_m, b->water_depth_m, share) };
    while (i < a->nlayer || j < b->nlayer) {
        const struct sg_layer *la = i < a->nlayer ? &a->layer[i] : NULL;
        const struct sg_layer *lb = j < b->nlayer ? &b->layer[j] : NULL;
        bool match = la && lb && sg_same(la->soil->soil, lb->soil->soil) &&
                     length[i * width + j] == length[(i + 1) * width + j + 1] + 1;
        if (match) {
            bool hard = refused(reader->site, a, la) || refused(reader->site, b, lb);
            put(out, list, blend(la, lb, share, hard), &top_m,
                (1 - share) * thickness(la) + share * thickness(lb));
            i++;
            j++;
        } else if (la && (!lb || length[(i + 1) * width + j] >= length[i * width + j + 1])) {
            put(out, list, *la, &top_m, (1 - share) * thickness(la));
            i++;
        } else {
            put(out, list, *lb, &top_m, share * thickness(lb));
            j++;
        }
    }
    bool open = a->nlayer > 0 && b->nlayer > 0 && !isfinite(a->layer[a->nlayer - 1].base_m) &&
                !isfinite(b->layer[b->nlayer - 1].base_m);
    if (open && out->nlayer > 0)
        list[out->nlayer - 1].base_m = HUGE_VAL;
    sg_free(length);
    return true;
}

/* ---- at each pile ---- */

struct neighbours {
    size_t left, right; /* SIZE_MAX = none */
};

static struct neighbours neighbours_of(const struct sg_site *site, size_t count, double chainage_m)
{
    struct neighbours n = { SIZE_MAX, SIZE_MAX };
    for (size_t i = 0; i < count; i++) {
        double at = site->borehole[i].chainage_m;
        if (at <= chainage_m && (n.left == SIZE_MAX || at > site->borehole[n.left].chainage_m))
            n.left = i;
        if (at > chainage_m && (n.right == SIZE_MAX || at < site->borehole[n.right].chainage_m))
            n.right = i;
    }
    return n;
}

struct made { /* the boreholes made so far, by their neighbours and step */
    struct sg_borehole *hole;
    size_t count, capacity;
    struct neighbours last;
    int last_step;
    size_t last_index;
};

static size_t ground_at(struct sg_reader *reader, struct made *made, struct neighbours n, int step)
{
    const struct sg_site *site = reader->site;
    if (made->last.left == n.left && made->last.right == n.right && made->last_step == step)
        return made->last_index;
    if (made->count == made->capacity) {
        struct sg_borehole *grown = sg_reader_alloc(reader, 2 * made->capacity, sizeof(*grown));
        if (!grown)
            return n.left;
        memcpy(grown, made->hole, made->count * sizeof(*grown));
        made->hole = grown;
        made->capacity *= 2;
    }
    const struct sg_borehole *a = &site->borehole[n.left], *b = &site->borehole[n.right];
    struct sg_borehole *out = &made->hole[made->count];
    if (!sg_between_boreholes(reader, a, b, (double)step / SG_BETWEEN_STEPS, out))
        return n.left;
    const char *name = sg_arena_printf(&reader->site->arena, "%s to %s, %d/%d", a->name, b->name,
                                       step, SG_BETWEEN_STEPS);
    reader->nomem |= !name;
    out->name = name ? name : "";
    made->last = n;
    made->last_step = step;
    made->last_index = made->count;
    return made->count++;
}

void sg_interpolate_ground(struct sg_reader *reader)
{
    struct sg_site *site = reader->site;
    struct sg_pile *pile = (struct sg_pile *)site->pile;
    size_t given = site->nborehole;
    struct made made = { .count = given, .capacity = 2 * given + 16, .last_step = -1 };
    if (!reader->interpolate || given < 2)
        return;
    made.hole = sg_reader_alloc(reader, made.capacity, sizeof(*made.hole));
    if (!made.hole)
        return;
    memcpy(made.hole, site->borehole, given * sizeof(*made.hole));
    for (size_t i = 0; i < site->npile; i++) {
        struct neighbours n = neighbours_of(site, given, pile[i].chainage_m);
        if (n.left == SIZE_MAX || n.right == SIZE_MAX)
            continue; /* beyond the ends the nearest stands */
        double from = site->borehole[n.left].chainage_m, to = site->borehole[n.right].chainage_m;
        int step = (int)lround((pile[i].chainage_m - from) / (to - from) * SG_BETWEEN_STEPS);
        if (step <= 0 || step >= SG_BETWEEN_STEPS)
            continue; /* at the borehole itself, which is the nearest */
        pile[i].borehole = ground_at(reader, &made, n, step);
    }
    site->borehole = made.hole;
    site->nborehole = made.count;
}
