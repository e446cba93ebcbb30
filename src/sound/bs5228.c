/* bs5228.c - levels over hard, soft and mixed ground from an activity level or a sound power.
 *
 * Source: BS 5228-1:2009+A1:2014 Annex F (recalled, see the catalogue). R: distance, m; f: share of
 * soft ground.
 *   hard          L = L10 - 20 lg(R / 10)               L = LWA - (20 lg R + 8)
 *   soft, R >= 25 L = L10 - (25 lg(R / 10) - 2)         L = LWA - (25 lg R + 1)
 *   mixed         between the two by f; under 25 m the hard law
 * The two laws join at 25 m to 0.01 dB, not exactly: the soft level there is the higher one.
 */
#include "laws.h"

#include <math.h>

static const struct sg_cite *cite_of(enum sg_sound_number number)
{
    return &sg_sound_number_at(number)->cite;
}

static bool soft_holds(const struct sg_sound_path *path)
{
    return path->soft_fraction > 0 && path->distance_m >= sg_sound_number(SG_SOUND_SOFT_FROM_M);
}

static double mixed(double hard_db, double soft_db, double fraction, struct sg_working *working)
{
    double attenuation_db = hard_db + fraction * (soft_db - hard_db);
    if (fraction < 1)
        sg_working_add(working, cite_of(SG_SOUND_SOFT_SLOPE_DB), "mixed ground",
                       "%.3f + %g (%.3f - %.3f) = %.3f dB", hard_db, fraction, soft_db, hard_db,
                       attenuation_db);
    return attenuation_db;
}

static double from_activity(double level_db, const struct sg_sound_path *path,
                            struct sg_working *working)
{
    double at_m = sg_sound_number(SG_SOUND_ACTIVITY_AT_M), r_m = path->distance_m;
    double hard_slope = sg_sound_number(SG_SOUND_HARD_SLOPE_DB);
    double attenuation_db = hard_slope * log10(r_m / at_m);
    sg_working_add(working, cite_of(SG_SOUND_HARD_SLOPE_DB), "distance, hard ground",
                   "KH = %g lg(%g / %g) = %.3f dB", hard_slope, r_m, at_m, attenuation_db);
    if (soft_holds(path)) {
        double slope = sg_sound_number(SG_SOUND_SOFT_SLOPE_DB);
        double offset_db = sg_sound_number(SG_SOUND_SOFT_OFFSET_DB);
        double soft_db = slope * log10(r_m / at_m) - offset_db;
        sg_working_add(working, cite_of(SG_SOUND_SOFT_SLOPE_DB), "distance, soft ground",
                       "KS = %g lg(%g / %g) - %g = %.3f dB", slope, r_m, at_m, offset_db, soft_db);
        attenuation_db = mixed(attenuation_db, soft_db, path->soft_fraction, working);
    }
    return level_db - attenuation_db;
}

static double from_power(double power_db, const struct sg_sound_path *path,
                         struct sg_working *working)
{
    double r_m = path->distance_m;
    double hard_slope = sg_sound_number(SG_SOUND_HARD_SLOPE_DB);
    double half_space_db = sg_sound_number(SG_SOUND_HALF_SPACE_DB);
    double attenuation_db = hard_slope * log10(r_m) + half_space_db;
    sg_working_add(working, cite_of(SG_SOUND_HALF_SPACE_DB), "distance, hard ground",
                   "%g lg(%g) + %g = %.3f dB", hard_slope, r_m, half_space_db, attenuation_db);
    if (soft_holds(path)) {
        double slope = sg_sound_number(SG_SOUND_SOFT_SLOPE_DB);
        double offset_db = sg_sound_number(SG_SOUND_SOFT_POWER_DB);
        double soft_db = slope * log10(r_m) + offset_db;
        sg_working_add(working, cite_of(SG_SOUND_SOFT_POWER_DB), "distance, soft ground",
                       "%g lg(%g) + %g = %.3f dB", slope, r_m, offset_db, soft_db);
        attenuation_db = mixed(attenuation_db, soft_db, path->soft_fraction, working);
    }
    return power_db - attenuation_db;
}

double sg_bs5228_level(const struct sg_sound_item *item, const struct sg_sound_path *path,
                       struct sg_working *working)
{
    if (path->soft_fraction > 0 && !soft_holds(path))
        sg_working_add(working, cite_of(SG_SOUND_SOFT_FROM_M), "ground",
                       "%g m is nearer than %g m: the hard ground law", path->distance_m,
                       sg_sound_number(SG_SOUND_SOFT_FROM_M));
    if (item->kind == SG_SOURCE_LAEQ_10M)
        return from_activity(item->level_db, path, working);
    return from_power(sg_sound_power(item->kind, item->level_db, working), path, working);
}

struct sg_sound_fall sg_bs5228_fall(const struct sg_sound_path *path)
{
    double hard = sg_sound_number(SG_SOUND_HARD_SLOPE_DB);
    double soft = sg_sound_number(SG_SOUND_SOFT_SLOPE_DB);
    return (struct sg_sound_fall){ .anchor_m = sg_sound_number(SG_SOUND_SOFT_FROM_M),
                                   .slope_db = hard + path->soft_fraction * (soft - hard),
                                   .near_slope_db = hard };
}
