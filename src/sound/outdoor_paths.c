/* outdoor_paths.c - all ways from a source to a receptor with their terms, and the level they give.
 *
 * Source: ISO 9613-2:1996 Eq. (3) to (6), (20), in the order of the standard.
 */
#include "outdoor_internal.h"

#include <math.h>

#define NEAREST_M 1.0
#define FACADE_REACH_M 2.0

struct collect {
    const struct sg_outdoor *outdoor;
    const struct sg_spot3 *source, *receptor;
    bool facade;
    struct sg_outdoor_path *path;
    struct sg_xyz at[SG_OUTDOOR_PATHS][SG_MIRRORS]; /* points of reflection of each */
    size_t max, count;
};

/* hm: area F between the straight way and the ground by the length d of the way. */
static double mean_height_m(const struct sg_way *way, const struct sg_crossings *ground,
                            const struct sg_ground_path *path)
{
    if (ground->count < 2)
        return 0.5 * (path->source_height_m + path->receptor_height_m) * way->plan_m /
               way->direct_m;
    double sum = 0, z0 = way->at[0].z, slope = (way->at[way->order + 1].z - z0) / way->plan_m;
    for (size_t i = 1; i < ground->count; i++) {
        const struct sg_crossing *a = &ground->item[i - 1], *b = &ground->item[i];
        double over_a = z0 + slope * a->s - a->z, over_b = z0 + slope * b->s - b->z;
        sum += 0.5 * (over_a + over_b) * (b->s - a->s);
    }
    return sum / way->direct_m;
}

static void put_ground(const struct sg_outdoor *outdoor, struct sg_outdoor_path *path)
{
    if (outdoor->scene->ground_method == SG_GROUND_GENERAL) {
        sg_ground_general(&path->ground, path->agr_db, NULL, NULL, NULL);
        return;
    }
    double db = sg_ground_alternative_db(path->distance_m, path->mean_height_m);
    path->by_mean_height = true;
    for (size_t b = 0; b < SG_BANDS; b++)
        path->agr_db[b] = db;
    path->dc_db += sg_ground_solid_angle_db(path->ground.source_height_m,
                                            path->ground.receptor_height_m, path->ground.plan_m);
}

/* Smaller side of a surface as the way sees it: length and height, each with the angle in its own
 * plane. */
static double seen_m(const struct sg_way *way, size_t mirror, const struct sg_face *f)
{
    return fmin(f->surface_long_m * way->cos_incidence[mirror],
                f->surface_high_m * way->plan_m / way->direct_m);
}

/* Loss of the faces on the way, and the bands for which they are large enough. Eq. (19) has to hold
 * from the lower edge of a band on; at the middle of the band it would let through 250 Hz in case
 * T19 of ISO/TR 17534-3, which the report leaves out. */
static void put_mirrors(const struct sg_outdoor *outdoor, const struct sg_way *way,
                        struct sg_outdoor_path *path)
{
    for (size_t b = 0; b < SG_BANDS; b++)
        path->mirror_db[b] = 0;
    for (size_t i = 0; i < way->order; i++) {
        const struct sg_face *f = &outdoor->face[way->face[i]];
        const struct sg_obstacle *o = &outdoor->scene->obstacle[f->obstacle];
        double least_m = seen_m(way, i, f);
        double before_m = way->offset_m[i + 1] / way->plan_m * way->direct_m;
        path->mirror[i] = o->name && o->name[0] ? o->name : (o->closed ? "building" : "wall");
        for (size_t b = 0; b < SG_BANDS; b++) {
            double share = o->reflection[b];
            if (!(share > sg_outdoor_numbers.least_reflection) ||
                !sg_reflection_counts(least_m, 1.0, before_m, way->direct_m - before_m,
                                      sqrt(2.0) * outdoor->wavelength_m[b]))
                path->mirror_db[b] = SG_UNSET;
            else
                path->mirror_db[b] += 10.0 * log10(share);
        }
    }
}

static bool same_spot(struct sg_xyz a, struct sg_xyz b)
{
    return fabs(a.x - b.x) + fabs(a.y - b.y) < SG_SAME_PLACE_M;
}

/* A point of reflection where two faces join is found on both. */
static bool is_there(const struct collect *c, const struct sg_way *way)
{
    for (size_t i = 0; i < c->count; i++) {
        bool same = c->path[i].order == way->order;
        for (size_t k = 0; k < way->order && same; k++)
            same = same_spot(c->at[i][k], way->at[k + 1]);
        if (same)
            return true;
    }
    return false;
}

/* Where a way goes: behind the others, or when no place is left instead of the longest, if that is
 * longer. The direct way comes first and stays. NULL when there is no place. */
static struct sg_outdoor_path *place_for(struct collect *c, double distance_m)
{
    if (c->count < c->max)
        return &c->path[c->count++];
    size_t longest = 0;
    for (size_t i = 1; i < c->count; i++) {
        if (longest == 0 || c->path[i].distance_m > c->path[longest].distance_m)
            longest = i;
    }
    return longest > 0 && c->path[longest].distance_m > distance_m ? &c->path[longest] : NULL;
}

static sg_status add_way(const struct sg_way *way, void *payload)
{
    struct collect *c = payload;
    struct sg_crossings edges, ground;
    struct sg_outdoor_path path = { .order = way->order };
    struct sg_outdoor_path *place = is_there(c, way) ? NULL : place_for(c, way->direct_m);
    if (!place)
        return SG_OK;
    for (size_t k = 0; k < way->order; k++)
        c->at[place - c->path][k] = way->at[k + 1];
    sg_crossings_init(&edges);
    sg_crossings_init(&ground);
    path.ground.source_height_m = c->source->height_m;
    path.ground.receptor_height_m = c->receptor->height_m;
    path.ground.plan_m = way->plan_m;
    path.distance_m = way->direct_m;
    path.facade = c->facade;
    path.dc_db = c->facade ? sg_sound_number(SG_SOUND_FACADE_DB) : 0;
    path.adiv_db = sg_divergence_db(way->direct_m);
    for (size_t b = 0; b < SG_BANDS; b++)
        path.aatm_db[b] = c->outdoor->alpha_db_m[b] * way->direct_m;
    sg_way_profile(c->outdoor, way, &edges, &ground);
    sg_status status =
        edges.failed || ground.failed ? SG_ERR_NOMEM : sg_way_ground(c->outdoor, way, &path.ground);
    path.q = sg_ground_middle_share(&path.ground);
    path.mean_height_m = mean_height_m(way, &ground, &path.ground);
    put_ground(c->outdoor, &path);
    sg_way_cover(c->outdoor, way, &path);
    put_mirrors(c->outdoor, way, &path);
    if (sg_ok(status))
        status = sg_way_screen(c->outdoor, way, &edges, &ground, &path);
    path.cmet_db = sg_weather_db(c->outdoor->scene->c0_db, path.ground.source_height_m,
                                 path.ground.receptor_height_m, path.ground.plan_m);
    sg_crossings_release(&edges);
    sg_crossings_release(&ground);
    *place = path;
    return status;
}

struct facade {
    const struct sg_outdoor *outdoor;
    struct sg_xy at;
    double nearest_m;
    size_t face;
};

/* Of faces equally near the last one, whatever the order in which they are asked. */
static bool try_facade(size_t item, void *payload)
{
    struct facade *of = payload;
    const struct sg_face *f = &of->outdoor->face[item];
    double d =
        sg_to_segment_m(of->at, (struct sg_xy){ f->a.x, f->a.y }, (struct sg_xy){ f->b.x, f->b.y });
    if (d > of->nearest_m || (!(d < of->nearest_m) && of->face != SIZE_MAX && item < of->face))
        return true;
    of->nearest_m = d;
    of->face = item;
    return true;
}

/* The obstacle a facade receptor stands in front of: its reflection is in the + 3 dB already. */
static size_t own_facade(const struct sg_outdoor *outdoor, const struct sg_spot3 *receptor)
{
    struct facade of = { outdoor, { receptor->x_m, receptor->y_m }, FACADE_REACH_M, SIZE_MAX };
    struct sg_box near = sg_box_of(of.at, of.at, FACADE_REACH_M + SG_SAME_PLACE_M);
    sg_box_tree_within(&outdoor->faces, &near, try_facade, &of);
    return of.face == SIZE_MAX ? SIZE_MAX : outdoor->face[of.face].obstacle;
}

sg_status sg_outdoor_paths(const struct sg_outdoor *outdoor, const struct sg_spot3 *source,
                           const struct sg_spot3 *receptor, bool facade,
                           struct sg_outdoor_path *path, size_t max, size_t *count)
{
    struct sg_xyz s = { source->x_m, source->y_m, source->z_m };
    struct sg_xyz r = { receptor->x_m, receptor->y_m, receptor->z_m };
    struct sg_way way = sg_way_direct(s, r);
    struct collect c; /* its points are set way by way */
    c.outdoor = outdoor;
    c.source = source;
    c.receptor = receptor;
    c.facade = facade;
    c.path = path;
    c.max = max < SG_OUTDOOR_PATHS ? max : SG_OUTDOOR_PATHS;
    c.count = 0;
    if (!(way.direct_m >= NEAREST_M) || !(way.plan_m > SG_SAME_PLACE_M))
        return SG_ERR_DOMAIN;
    sg_status status = add_way(&way, &c);
    if (sg_ok(status) && outdoor->nreflecting > 0)
        status = sg_ways_mirrored(outdoor, s, r, facade ? own_facade(outdoor, receptor) : SIZE_MAX,
                                  add_way, &c);
    if (sg_ok(status))
        *count = c.count;
    return status;
}

/* ---- levels ---- */

#define SILENT_DB -1e9 /* its energy is 0 */

static double attenuation(const struct sg_outdoor_path *p, size_t b)
{
    return p->adiv_db + p->aatm_db[b] + p->agr_db[b] + p->abar_db[b] + sg_path_misc_db(p, b) -
           p->dc_db - p->mirror_db[b];
}

void sg_outdoor_level(const struct sg_emitter *emitter, const struct sg_outdoor_path *path,
                      size_t count, struct sg_outdoor_level *out)
{
    struct sg_outdoor_level level = { .by_500_hz = true };
    size_t at = 0;
    double total = 0, long_term = 0, band[SG_BANDS] = { 0 };
    while (at + 1 < SG_BANDS && sg_octave_nominal_hz(at) < sg_outdoor_numbers.nominal_500_hz)
        at++;
    double weight[SG_BANDS], one[SG_BANDS];
    sg_bands_ratio(sg_outdoor_numbers.a_weight_db, weight);
    for (size_t b = 0; b < SG_BANDS; b++)
        level.by_500_hz &= !sg_is_set(emitter->power_db[b]);
    for (size_t i = 0; i < count; i++) {
        const struct sg_outdoor_path *p = &path[i];
        double energy = 0;
        for (size_t b = 0; b < SG_BANDS; b++) {
            double db = level.by_500_hz ? emitter->power_a_db : emitter->power_db[b];
            bool heard =
                (!level.by_500_hz || b == at) && sg_is_set(db) && sg_is_set(p->mirror_db[b]);
            one[b] = heard ? db - attenuation(p, b) : SILENT_DB;
        }
        sg_bands_ratio(one, one);
        for (size_t b = 0; b < SG_BANDS; b++) {
            band[b] += one[b];
            energy += level.by_500_hz ? one[b] : one[b] * weight[b];
        }
        total += energy;
        long_term += p->cmet_db > 0 ? energy * pow(10.0, -0.1 * p->cmet_db) : energy;
    }
    for (size_t b = 0; b < SG_BANDS; b++)
        one[b] = band[b] > 0 ? band[b] : 1.0;
    sg_bands_db(one, one);
    for (size_t b = 0; b < SG_BANDS; b++)
        level.band_db[b] = !level.by_500_hz && band[b] > 0 ? one[b] : SG_UNSET;
    level.a_db = total > 0 ? 10.0 * log10(total) : SG_UNSET;
    level.long_term_db = long_term > 0 ? 10.0 * log10(long_term) : SG_UNSET;
    *out = level;
}
