/* fta.c - levels from the emission level at 50 ft with a ground factor.
 *
 * Source: FTA 2018 Eq. 7-1 and, for G = 0, the FHWA 2006 form (recalled, see the catalogue).
 *   L = L50 - 20 lg(D / 50 ft) - 10 G lg(D / 50 ft);  the usage factor is the on-time of the period
 */
#include "laws.h"

#include <math.h>

static const struct sg_cite *cite_of(enum sg_sound_number number)
{
    return &sg_sound_number_at(number)->cite;
}

/* Level at 50 ft of any kind of level. */
static double emission(const struct sg_sound_item *item, struct sg_working *working)
{
    if (item->kind == SG_SOURCE_LMAX_50FT)
        return item->level_db;
    double at_m = sg_sound_reference_m(SG_SOURCE_LMAX_50FT);
    double slope = sg_sound_number(SG_SOUND_HARD_SLOPE_DB);
    double half_space_db = sg_sound_number(SG_SOUND_HALF_SPACE_DB);
    double power_db = sg_sound_power(item->kind, item->level_db, working);
    double level_db = power_db - slope * log10(at_m) - half_space_db;
    sg_working_add(working, cite_of(SG_SOUND_HALF_SPACE_DB), "level at 50 ft",
                   "%.3f - %g lg(%g) - %g = %.3f dB(A)", power_db, slope, at_m, half_space_db,
                   level_db);
    return level_db;
}

double sg_fta_level(const struct sg_sound_item *item, const struct sg_sound_path *path,
                    struct sg_working *working)
{
    double level_db = emission(item, working);
    double at_ft = sg_sound_number(SG_SOUND_MAXIMUM_AT_FT);
    double d_ft = path->distance_m / SG_M_PER_FOOT;
    double slope = sg_sound_number(SG_SOUND_HARD_SLOPE_DB);
    double divergence_db = slope * log10(d_ft / at_ft);
    sg_working_add(working, cite_of(SG_SOUND_GROUND_SLOPE_DB), "distance",
                   "%g m = %.3f ft; %g lg(%.3f / %g) = %.3f dB", path->distance_m, d_ft, slope,
                   d_ft, at_ft, divergence_db);
    level_db -= divergence_db;
    if (path->ground_factor > 0) {
        double ground = sg_sound_number(SG_SOUND_GROUND_SLOPE_DB);
        double ground_db = ground * path->ground_factor * log10(d_ft / at_ft);
        sg_working_add(working, cite_of(SG_SOUND_GROUND_SLOPE_DB), "ground",
                       "%g x %.4g lg(%.3f / %g) = %.3f dB", ground, path->ground_factor, d_ft,
                       at_ft, ground_db);
        level_db -= ground_db;
    }
    return level_db;
}

struct sg_sound_fall sg_fta_fall(const struct sg_sound_path *path)
{
    double slope = sg_sound_number(SG_SOUND_HARD_SLOPE_DB) +
                   sg_sound_number(SG_SOUND_GROUND_SLOPE_DB) * path->ground_factor;
    return (struct sg_sound_fall){ .anchor_m = sg_sound_reference_m(SG_SOURCE_LMAX_50FT),
                                   .slope_db = slope,
                                   .near_slope_db = slope };
}

double sg_sound_soft_ground_factor(double effective_height_m)
{
    double height_ft = effective_height_m / SG_M_PER_FOOT;
    double high_ft = sg_sound_number(SG_SOUND_GROUND_HIGH_FT);
    double soft = sg_sound_number(SG_SOUND_GROUND_SOFT);
    if (!sg_is_set(height_ft) || height_ft < 0)
        return SG_UNSET;
    if (height_ft < sg_sound_number(SG_SOUND_GROUND_LOW_FT))
        return soft;
    return height_ft < high_ft ? soft * (1.0 - height_ft / high_ft) : 0.0;
}
