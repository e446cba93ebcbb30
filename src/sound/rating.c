/* rating.c - day-evening-night level, residual sound, on-time that keeps a limit, permitted hours,
 * exposure of a crew.
 *
 * Sources: ISO 1996-2:2017 Eq. (16); Hong Kong memorandum on percussive piling, 2.3 to 2.9 (the
 * table of distances is taken to be 20 lg D + 8, recalled); 29 CFR 1910.95; NIOSH 1998. Energy
 * relations are definitions.
 */
#include "laws.h"

#include <math.h>

#define WORKING_DAY_H 8.0
#define REFERENCE_PA 20e-6
#define NIOSH_EXCHANGE_DB 3.0 /* by definition of the rule's name */
#define OSHA_EXCHANGE_DB 5.0

double sg_sound_lden(double day_db, double evening_db, double night_db)
{
    double part[] = { sg_level_on_time(day_db, 12.0 / 24.0),
                      sg_level_on_time(evening_db + sg_sound_number(SG_SOUND_EVENING_DB),
                                       4.0 / 24.0),
                      sg_level_on_time(night_db + sg_sound_number(SG_SOUND_NIGHT_DB), 8.0 / 24.0) };
    return sg_level_sum(part, SG_COUNT(part));
}

double sg_sound_without_residual(double with_db, double residual_db, bool *upper_bound)
{
    bool bound = !(with_db - residual_db >= sg_sound_number(SG_SOUND_RESIDUAL_DB));
    if (upper_bound)
        *upper_bound = bound;
    if (bound)
        return with_db;
    return 10.0 * log10(pow(10.0, 0.1 * with_db) - pow(10.0, 0.1 * residual_db));
}

double sg_sound_most_hours(double running_db, double limit_db, double period_h)
{
    double share = pow(10.0, 0.1 * (limit_db - running_db));
    return period_h * fmin(share, 1.0);
}

double sg_sound_hk_corrected_db(double lwa_db, double distance_m, bool building, double screen_db)
{
    if (!(distance_m >= 1.0) || !(screen_db >= 0))
        return SG_UNSET;
    double distance_db = sg_sound_number(SG_SOUND_HARD_SLOPE_DB) * log10(distance_m) +
                         sg_sound_number(SG_SOUND_HALF_SPACE_DB);
    return lwa_db - distance_db + (building ? sg_sound_number(SG_SOUND_HK_BUILDING_DB) : 0) -
           screen_db;
}

double sg_sound_hk_hours(double corrected_db, double acceptable_db)
{
    double over_db = corrected_db - acceptable_db;
    if (!sg_is_set(over_db))
        return SG_UNSET;
    if (over_db <= 0)
        return sg_sound_number(SG_SOUND_HK_HOURS_LONG);
    return sg_sound_number(over_db <= sg_sound_number(SG_SOUND_HK_STEP_DB)
                               ? SG_SOUND_HK_HOURS_MIDDLE
                               : SG_SOUND_HK_HOURS_SHORT);
}

double sg_sound_exposure_8h(const double *level_db, const double *hours, size_t count)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += hours[i] / WORKING_DAY_H * pow(10.0, 0.1 * level_db[i]);
    return sum > 0 ? 10.0 * log10(sum) : SG_UNSET;
}

double sg_sound_hours_3db(double level_db)
{
    return WORKING_DAY_H /
           pow(2.0, (level_db - sg_sound_number(SG_SOUND_NIOSH_DB)) / NIOSH_EXCHANGE_DB);
}

double sg_sound_hours_5db(double level_db)
{
    return WORKING_DAY_H /
           pow(2.0, (level_db - sg_sound_number(SG_SOUND_OSHA_DB)) / OSHA_EXCHANGE_DB);
}

double sg_sound_peak_db(double pressure_pa)
{
    return 20.0 * log10(pressure_pa / REFERENCE_PA);
}
