/* geometry.c - distances in the plane, and what stands where on a site. */
#include "site_internal.h"

#include <math.h>

static double between(struct sg_point a, struct sg_point b)
{
    return hypot(b.x_m - a.x_m, b.y_m - a.y_m);
}

/* The point of a straight piece nearest to `from`. */
static struct sg_point nearest_on_piece(struct sg_point a, struct sg_point b, struct sg_point from)
{
    double dx = b.x_m - a.x_m, dy = b.y_m - a.y_m;
    double square = dx * dx + dy * dy;
    double share = 0.0;
    if (square > 0.0)
        share = ((from.x_m - a.x_m) * dx + (from.y_m - a.y_m) * dy) / square;
    share = fmin(fmax(share, 0.0), 1.0);
    return (struct sg_point){ a.x_m + share * dx, a.y_m + share * dy };
}

double sg_ring_distance_m(const struct sg_point *ring, size_t count, struct sg_point from,
                          struct sg_point *nearest)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        struct sg_point p = nearest_on_piece(ring[i], ring[(i + 1) % count], from);
        double distance = between(p, from);
        if (distance < least) {
            least = distance;
            if (nearest)
                *nearest = p;
        }
    }
    return least;
}

/* Counts the edges that a ray in +x direction crosses. */
bool sg_ring_contains(const struct sg_point *ring, size_t count, struct sg_point at)
{
    bool inside = false;
    for (size_t i = 0; i < count; i++) {
        struct sg_point a = ring[i], b = ring[(i + 1) % count];
        if ((a.y_m > at.y_m) == (b.y_m > at.y_m))
            continue;
        double x = a.x_m + (at.y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m);
        if (at.x_m < x)
            inside = !inside;
    }
    return inside;
}

double sg_line_length_m(const struct sg_point *line, size_t count)
{
    double length = 0.0;
    for (size_t i = 1; i < count; i++)
        length += between(line[i - 1], line[i]);
    return length;
}

struct sg_point sg_line_at(const struct sg_point *line, size_t count, double chainage_m)
{
    double left = chainage_m;
    for (size_t i = 1; i < count; i++) {
        double piece = between(line[i - 1], line[i]);
        if (left <= piece && piece > 0.0) {
            double share = left / piece;
            return (struct sg_point){
                line[i - 1].x_m + share * (line[i].x_m - line[i - 1].x_m),
                line[i - 1].y_m + share * (line[i].y_m - line[i - 1].y_m),
            };
        }
        left -= piece;
    }
    return line[count - 1];
}

/* ---- public ---- */

double sg_site_distance_m(const struct sg_receptor *receptor, struct sg_point from)
{
    if (!receptor->footprint || receptor->nfootprint == 0)
        return between(receptor->at, from);
    if (sg_ring_contains(receptor->footprint, receptor->nfootprint, from))
        return 0.0;
    return sg_ring_distance_m(receptor->footprint, receptor->nfootprint, from, NULL);
}

size_t sg_site_nearest_pile(const struct sg_site *site, size_t receptor)
{
    size_t nearest = SIZE_MAX;
    double least = HUGE_VAL;
    if (receptor >= site->nreceptor)
        return SIZE_MAX;
    for (size_t i = 0; i < site->npile; i++) {
        double distance = sg_site_distance_m(&site->receptor[receptor], site->pile[i].at);
        if (distance < least) {
            least = distance;
            nearest = i;
        }
    }
    return nearest;
}

const struct sg_layer *sg_site_layer(const struct sg_borehole *borehole, double depth_m)
{
    for (size_t i = 0; i < borehole->nlayer; i++) {
        const struct sg_layer *layer = &borehole->layer[i];
        if (depth_m >= layer->top_m && depth_m <= layer->base_m)
            return layer;
    }
    return NULL;
}

double sg_layer_n(const struct sg_layer *layer)
{
    if (sg_is_set(layer->spt_n))
        return layer->spt_n;
    if (!layer->soil || layer->soil->kind == SG_SOIL_ROCK)
        return SG_UNSET;
    if (isinf(layer->soil->n_high))
        return layer->soil->n_low;
    return 0.5 * (layer->soil->n_low + layer->soil->n_high);
}

const char *const *sg_site_limit_sets(const struct sg_site *site,
                                      const struct sg_receptor *receptor, size_t *count)
{
    if (receptor->limit_set) {
        *count = receptor->nlimit_set;
        return receptor->limit_set;
    }
    for (size_t i = 0; i < site->nlimits; i++) {
        if (site->limits[i].use == receptor->use) {
            *count = site->limits[i].nlimit_set;
            return site->limits[i].limit_set;
        }
    }
    *count = 0;
    return NULL;
}

const struct sg_limit_set *sg_site_limit_set(const struct sg_site *site, const char *id)
{
    for (size_t i = 0; i < site->nown_set; i++) {
        if (sg_same(site->own_set[i]->id, id))
            return site->own_set[i];
    }
    return sg_limit_set_find(id);
}

void sg_site_release(struct sg_site *site)
{
    if (!site)
        return;
    sg_arena_release(&site->arena);
    *site = SG_SITE_INIT;
}

bool sg_same_plan(double x1_m, double y1_m, double x2_m, double y2_m)
{
    return hypot(x1_m - x2_m, y1_m - y2_m) < 1e-9;
}
