/* outdoor_ground.c - attenuation by the ground: general method by three regions, and the
 * alternative method for A-weighted levels.
 *
 * Source: ISO 9613-2:1996 Eq. (9) to (11), Table 3.
 */
#include "outdoor_internal.h"

#include <math.h>

#define TERMS ((size_t)SG_BANDS) /* two terms of each of the four functions: as many as bands */

/* The four functions at once. */
static void functions(double height_m, double plan_m, double *out)
{
    double fall[TERMS], rise[TERMS];
    for (size_t i = 0; i < TERMS; i++) {
        const struct sg_ground_term *t = &sg_outdoor_numbers.ground[i / 2].term[i % 2];
        double above_m = height_m - t->shift_m;
        fall[i] = -t->decay * above_m * above_m;
        rise[i] = -t->rate * (t->power > 1.5 ? plan_m * plan_m : plan_m);
    }
    sg_bands_exp(fall, fall);
    sg_bands_exp(rise, rise);
    for (size_t i = 0; i < TERMS; i += 2) {
        const struct sg_ground_function_row *row = &sg_outdoor_numbers.ground[i / 2];
        out[i / 2] = row->base + row->term[0].strength * fall[i] * (1.0 - rise[i]) +
                     row->term[1].strength * fall[i + 1] * (1.0 - rise[i + 1]);
    }
}

double sg_ground_function(size_t which, double height_m, double plan_m)
{
    double all[4];
    functions(height_m, plan_m, all);
    return all[which];
}

/* As or Ar. */
static void end_region(double height_m, double plan_m, double g, double *out_db)
{
    double hard_db = sg_outdoor_numbers.region_db, all[4] = { 0 };
    if (g > 0)
        functions(height_m, plan_m, all);
    out_db[0] = hard_db;
    for (size_t b = 1; b < SG_BANDS; b++)
        out_db[b] = b <= 4 ? hard_db + g * all[b - 1] : hard_db * (1.0 - g);
}

double sg_ground_middle_share(const struct sg_ground_path *path)
{
    double ends_m =
        sg_outdoor_numbers.region_heights * (path->source_height_m + path->receptor_height_m);
    return path->plan_m <= ends_m ? 0.0 : 1.0 - ends_m / path->plan_m;
}

void sg_ground_general(const struct sg_ground_path *path, double *total_db, double *source_db,
                       double *middle_db, double *receptor_db)
{
    double as_db[SG_BANDS], ar_db[SG_BANDS];
    double q = sg_ground_middle_share(path), most_db = sg_outdoor_numbers.middle_db;
    end_region(path->source_height_m, path->plan_m, path->g_source, as_db);
    end_region(path->receptor_height_m, path->plan_m, path->g_receptor, ar_db);
    for (size_t b = 0; b < SG_BANDS; b++) {
        double am_db = b == 0 ? most_db * q : most_db * q * (1.0 - path->g_middle);
        total_db[b] = as_db[b] + am_db + ar_db[b];
        if (source_db)
            source_db[b] = as_db[b];
        if (middle_db)
            middle_db[b] = am_db;
        if (receptor_db)
            receptor_db[b] = ar_db[b];
    }
}

double sg_ground_alternative_db(double distance_m, double mean_height_m)
{
    const struct sg_outdoor_numbers *n = &sg_outdoor_numbers;
    double db = n->alternative_db - (2.0 * mean_height_m / distance_m) *
                                        (n->alternative_a + n->alternative_b / distance_m);
    return db > 0 ? db : 0.0;
}

double sg_ground_solid_angle_db(double source_height_m, double receptor_height_m, double plan_m)
{
    double less_m = source_height_m - receptor_height_m;
    double more_m = source_height_m + receptor_height_m;
    double plan2 = plan_m * plan_m;
    return 10.0 * log10(1.0 + (plan2 + less_m * less_m) / (plan2 + more_m * more_m));
}
