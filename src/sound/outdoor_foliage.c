/* outdoor_foliage.c - attenuation by dense foliage: how much of the curved way goes through it, and
 * what that costs in each band.
 *
 * Source: ISO 9613-2:1996 Annex A.1, Table A.1, recalled. The way is an arc of 5 km radius; what
 * lies beyond 200 m of foliage costs nothing more. Industrial sites and housing of the same annex
 * are not built.
 */
#include "outdoor_internal.h"

#include <math.h>

#define STEP_M 0.25

static bool in_foliage(const struct sg_outdoor *outdoor, struct sg_xy at, double z)
{
    const struct sg_scene *scene = outdoor->scene;
    for (size_t i = 0; i < scene->nfoliage; i++) {
        const struct sg_foliage *f = &scene->foliage[i];
        if (sg_inside(f->corner, f->ncorner, at) &&
            z < sg_outdoor_ground_m(outdoor, at.x, at.y) + f->height_m)
            return true;
    }
    return false;
}

double sg_way_foliage_m(const struct sg_outdoor *outdoor, const struct sg_way *way)
{
    double step_count = ceil(way->plan_m / STEP_M), inside = 0;
    double z0 = way->at[0].z, rise_m = way->at[way->order + 1].z - z0;
    if (outdoor->scene->nfoliage == 0)
        return 0;
    for (double k = 0; k < step_count; k += 1.0) { /* middles of equal steps, the same both ways */
        double share = (k + 0.5) / step_count, s = share * way->plan_m;
        double over_m = s * (way->plan_m - s) / (2.0 * sg_outdoor_numbers.arc_m);
        inside += in_foliage(outdoor, sg_way_place(way, s), z0 + share * rise_m + over_m);
    }
    return way->direct_m * inside / step_count;
}

void sg_foliage_db(double through_m, double *db)
{
    const struct sg_outdoor_numbers *n = &sg_outdoor_numbers;
    double most_m = through_m < n->foliage_most_m ? through_m : n->foliage_most_m;
    for (size_t b = 0; b < SG_BANDS; b++) {
        if (through_m < n->foliage_from_m)
            db[b] = 0;
        else if (through_m < n->foliage_by_length_m)
            db[b] = n->foliage_short_db[b];
        else
            db[b] = n->foliage_db_m[b] * most_m;
    }
}
