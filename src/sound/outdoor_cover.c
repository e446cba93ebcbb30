/* outdoor_cover.c - what the way goes through: foliage, industrial sites, housing.
 *
 * Source: ISO 9613-2:1996 Annex A, recalled. The way is an arc of 5 km radius. Foliage: Table A.1;
 * what lies beyond 200 m costs nothing more. Industrial sites: Table A.2, at most 10 dB. Housing:
 * Ahous,1 = 0.1 B db, at most 10 dB; of Ahous and the ground attenuation without the houses the
 * greater one holds. Ground attenuation below 0 stays as it is, so that a few metres of houses
 * never take its gain away: as reading 5.5 of ISO/TR 17534-3 does for screens. Ahous,2 averages
 * over the gaps in rows beside a road or railway, which no point source may count on: not built.
 */
#include "outdoor_internal.h"

#include <math.h>
#include <string.h>

#define STEP_M 0.25

/* Which kinds stand over a place of the way, and how densely it is built there. */
static double look(const struct sg_outdoor *outdoor, struct sg_xy at, double z, bool *in)
{
    const struct sg_scene *scene = outdoor->scene;
    double built = 0;
    for (size_t i = 0; i < scene->ncover; i++) {
        const struct sg_cover *c = &scene->cover[i];
        if (!sg_inside(c->corner, c->ncorner, at) ||
            z >= sg_outdoor_ground_m(outdoor, at.x, at.y) + c->height_m)
            continue;
        in[c->kind] = true;
        if (c->kind == SG_COVER_HOUSING)
            built = fmax(built, c->built);
    }
    return built;
}

static void go_along(const struct sg_outdoor *outdoor, const struct sg_way *way,
                     struct sg_outdoor_path *path)
{
    double step_count = ceil(way->plan_m / STEP_M), step_m = way->direct_m / step_count;
    double z0 = way->at[0].z, rise_m = way->at[way->order + 1].z - z0;
    for (double k = 0; k < step_count; k += 1.0) { /* middles of equal steps, the same both ways */
        double share = (k + 0.5) / step_count, s = share * way->plan_m;
        double over_m = s * (way->plan_m - s) / (2.0 * sg_outdoor_numbers.arc_m);
        bool in[SG_COVER_END] = { false };
        path->built_m +=
            step_m * look(outdoor, sg_way_place(way, s), z0 + share * rise_m + over_m, in);
        for (size_t kind = 0; kind < SG_COVER_END; kind++)
            path->cover_m[kind] += in[kind] ? step_m : 0;
    }
}

void sg_way_cover(const struct sg_outdoor *outdoor, const struct sg_way *way,
                  struct sg_outdoor_path *path)
{
    path->built_m = 0;
    memset(path->cover_m, 0, sizeof(path->cover_m));
    memset(path->amisc_db, 0, sizeof(path->amisc_db));
    if (outdoor->scene->ncover == 0)
        return;
    go_along(outdoor, way, path);
    sg_foliage_db(path->cover_m[SG_COVER_FOLIAGE], path->amisc_db[SG_COVER_FOLIAGE]);
    sg_industry_db(path->cover_m[SG_COVER_INDUSTRY], path->amisc_db[SG_COVER_INDUSTRY]);
    sg_housing_db(path->built_m, path->agr_db, path->amisc_db[SG_COVER_HOUSING]);
}

double sg_path_misc_db(const struct sg_outdoor_path *path, size_t band)
{
    double sum = 0;
    for (size_t kind = 0; kind < SG_COVER_END; kind++)
        sum += path->amisc_db[kind][band];
    return sum;
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

void sg_industry_db(double through_m, double *db)
{
    const struct sg_outdoor_numbers *n = &sg_outdoor_numbers;
    for (size_t b = 0; b < SG_BANDS; b++)
        db[b] = fmin(n->industry_db_m[b] * through_m, n->industry_most_db);
}

void sg_housing_db(double built_m, const double *ground_db, double *db)
{
    const struct sg_outdoor_numbers *n = &sg_outdoor_numbers;
    double houses_db = fmin(n->housing_factor * built_m, n->housing_most_db);
    for (size_t b = 0; b < SG_BANDS; b++)
        db[b] = fmax(0.0, houses_db - fmax(0.0, ground_db[b]));
}
