/* period.c - levels over a period: on-time, sum over plant, the distance that keeps a level, events
 * and haul roads.
 *
 * Sources: BS 5228-1:2009+A1:2014 Annex F (on-time, summation, Eq. F.6), FHWA 2006 (the maximum is
 * the loudest single item, never a sum); grades in the catalogue. Energy relations are definitions.
 */
#include "laws.h"

#include <math.h>

#define FARTHEST_M 1e5
#define NEAREST_M 1.0

const char sg_sound_upper_text[] =
    "central + 1.3 u, about 8 in 10 results within 1.3 u on either side; "
    "the scatter is assumed (common practice), no standard deviation is published";

/* Sum so far. Both unset until the first item that runs. */
struct sum {
    double laeq_db, loudest_db;
};

static sg_status add_item(enum sg_sound_method method, const struct sg_sound_item *item,
                          const struct sg_sound_path *path, struct sum *sum,
                          struct sg_working *working)
{
    double level_db;
    sg_status status = sg_sound_item_at(method, item, path, &level_db, working);
    if (!sg_ok(status))
        return status;
    double part_db = sg_level_on_time(level_db, item->on_time_share);
    sg_working_add(working, NULL, "on-time", "%.3f + 10 lg(%g) = %.3f %+.3f = %.3f dB(A)", level_db,
                   item->on_time_share, level_db, 10.0 * log10(item->on_time_share), part_db);
    double pair[] = { sum->laeq_db, part_db };
    sum->laeq_db = sg_level_sum(pair, SG_COUNT(pair));
    /* the count of an item stands for several machines; the maximum is of one */
    double single_db = level_db - 10.0 * log10(item->count);
    if (!sg_is_set(sum->loudest_db) || single_db > sum->loudest_db)
        sum->loudest_db = single_db;
    return status;
}

static void set_marks(enum sg_sound_method method, const struct sg_sound_item *item, size_t nitem,
                      const struct sg_sound_path *path, struct sg_value *value)
{
    value->grade = sg_sound_method_grade(method, path);
    bool unverified = sg_grade_unverified(value->grade);
    for (size_t i = 0; i < nitem; i++) {
        value->grade = sg_grade_worse(value->grade, item[i].grade);
        unverified = unverified || sg_grade_unverified(item[i].grade);
        if (item[i].grade == SG_GRADE_USER)
            value->marks |= SG_MARK_USER;
        if (sg_sound_bridged(method, item[i].kind))
            value->marks |= SG_MARK_ESTIMATE;
    }
    if (unverified)
        value->marks |= SG_MARK_UNVERIFIED;
    if (path->distance_m > sg_sound_number(SG_SOUND_VALID_TO_M))
        value->marks |= SG_MARK_RANGE;
}

double sg_sound_upper(double central_db, struct sg_working *working)
{
    return sg_sound_upper_with(central_db, sg_sound_number(SG_SOUND_METHOD_SD_DB), working);
}

double sg_sound_upper_with(double central_db, double method_db, struct sg_working *working)
{
    const struct sg_sound_number_row *coverage = sg_sound_number_at(SG_SOUND_COVERAGE);
    double source_db = sg_sound_number(SG_SOUND_SOURCE_SD_DB);
    double u_db = sqrt(source_db * source_db + method_db * method_db);
    double upper_db = central_db + coverage->value * u_db;
    sg_working_add(working, &coverage->cite, "upper value",
                   "u = sqrt(%g^2 + %g^2) = %.3f dB; %.3f + %g x %.3f = %.3f dB(A)", source_db,
                   method_db, u_db, central_db, coverage->value, u_db, upper_db);
    return upper_db;
}

static const char *why_unset(const struct sg_sound_item *item, size_t nitem)
{
    bool runs = false;
    for (size_t i = 0; i < nitem; i++) {
        if (!sg_is_set(item[i].level_db))
            return "the sound level of an item of plant is not known";
        runs = runs || (item[i].count > 0 && item[i].on_time_share > 0);
    }
    return runs ? NULL : "no plant runs in the period";
}

/* An item that never runs adds nothing; anything outside these ranges is a mistake. */
static bool shares_valid(const struct sg_sound_item *item, size_t nitem)
{
    for (size_t i = 0; i < nitem; i++) {
        if (!(item[i].on_time_share >= 0 && item[i].on_time_share <= 1) || !(item[i].count >= 0))
            return false;
    }
    return true;
}

sg_status sg_sound_period(enum sg_sound_method method, const struct sg_sound_item *item,
                          size_t nitem, const struct sg_sound_path *path, struct sg_value *out,
                          double *loudest_db, struct sg_working *working)
{
    struct sum sum = { SG_UNSET, SG_UNSET };
    struct sg_value value = SG_VALUE_INIT;
    sg_status worst = SG_OK;
    if (!shares_valid(item, nitem))
        return SG_ERR_INPUT;
    value.why = why_unset(item, nitem);
    for (size_t i = 0; i < nitem && !value.why; i++) {
        if (!(item[i].count > 0) || !(item[i].on_time_share > 0))
            continue;
        sg_status status = add_item(method, &item[i], path, &sum, working);
        if (!sg_ok(status))
            return status;
        worst = status > worst ? status : worst;
    }
    value.quantity = SG_Q_LAEQ;
    value.axes = SG_AXES_NONE;
    value.position = path->facade ? SG_AT_FACADE : SG_AT_FREE_FIELD;
    value.model = method == SG_SOUND_FTA ? "fta2018" : "bs5228-1";
    value.distance_m = path->distance_m;
    value.upper_text = sg_sound_upper_text;
    set_marks(method, item, nitem, path, &value);
    if (!value.why) {
        value.central = sum.laeq_db;
        sg_working_add(working, NULL, "energy sum over the plant", "LAeq = %.3f dB(A)",
                       sum.laeq_db);
        value.upper = sg_sound_upper(value.central, working);
    }
    *out = value;
    if (loudest_db)
        *loudest_db = sum.loudest_db;
    return worst;
}

/* Every item falls by the same law along one path, so the sum does too: closed form from the level
 * at the anchor. The soft law starts a hundredth of a decibel above the hard one at its anchor, so
 * a limit in that gap is met twice; the farther distance is returned. */
sg_status sg_sound_distance(enum sg_sound_method method, const struct sg_sound_item *item,
                            size_t nitem, struct sg_sound_path path, double limit_db, double *out)
{
    if (!isfinite(limit_db))
        return SG_ERR_INPUT;
    struct sg_sound_fall fall = method == SG_SOUND_FTA ? sg_fta_fall(&path) : sg_bs5228_fall(&path);
    struct sg_value value;
    path.distance_m = fall.anchor_m;
    sg_status status = sg_sound_period(method, item, nitem, &path, &value, NULL, NULL);
    if (!sg_ok(status))
        return status;
    if (value.why)
        return SG_ERR_MISSING;
    double slope_db = fall.slope_db;
    if (limit_db > value.central && fall.near_slope_db < fall.slope_db) {
        /* on the nearer branch the law is that of hard ground all the way */
        path.soft_fraction = 0;
        status = sg_sound_period(method, item, nitem, &path, &value, NULL, NULL);
        if (!sg_ok(status))
            return status;
        slope_db = fall.near_slope_db;
    }
    double distance_m = fall.anchor_m * pow(10.0, (value.central - limit_db) / slope_db);
    if (!(distance_m >= NEAREST_M && distance_m <= FARTHEST_M))
        return SG_ERR_NO_SOLUTION;
    *out = distance_m;
    return SG_OK;
}

double sg_sound_haul_road(double lwa_db, double vehicles_per_h, double speed_km_h,
                          double distance_m, double angle_deg)
{
    double full_deg = sg_sound_number(SG_SOUND_HAUL_ANGLE_DEG);
    if (!(vehicles_per_h > 0 && speed_km_h > 0 && distance_m > 0 && angle_deg > 0) ||
        angle_deg > full_deg)
        return SG_UNSET;
    return lwa_db - sg_sound_number(SG_SOUND_HAUL_DB) + 10.0 * log10(vehicles_per_h) -
           10.0 * log10(speed_km_h) - 10.0 * log10(distance_m) + 10.0 * log10(angle_deg / full_deg);
}

#define FAST_S 0.125 /* time weighting F, by definition */

double sg_sound_blow_fast_db(double decay_ms)
{
    double fast_db = -10.0 * log10(FAST_S);
    double td = decay_ms / 1000.0;
    if (!sg_is_set(decay_ms) || !(td > 0))
        return fast_db;
    if (fabs(td - FAST_S) < 1e-6)
        return fast_db - 10.0 * log10(exp(1.0)); /* the limit of the form below */
    return fast_db + 10.0 * (td / (FAST_S - td)) * log10(td / FAST_S);
}

/* A level without the noise that is in it; -infinity when that is all. */
static double without(double level_db, double beside_db)
{
    double rest = -expm1((beside_db - level_db) * log(10.0) / 10.0);
    return rest > 0 ? level_db + 10.0 * log10(rest) : -SG_INFINITY;
}

double sg_sound_exceedance(double central_db, double upper_db, double limit_db, double beside_db)
{
    bool beside = sg_is_set(beside_db) && beside_db > 0;
    if (beside && sg_is_set(central_db) && sg_is_set(limit_db)) {
        if (beside_db >= limit_db)
            return 1;
        central_db = without(central_db, beside_db);
        upper_db = without(upper_db, beside_db);
        limit_db = without(limit_db, beside_db);
        if (!(central_db > -SG_INFINITY))
            return 0;
    }
    double u_db = (upper_db - central_db) / sg_sound_number(SG_SOUND_COVERAGE);
    if (!sg_is_set(u_db) || !sg_is_set(limit_db) || !(u_db > 0))
        return SG_UNSET;
    return 1.0 - sg_normal_cdf((limit_db - central_db) / u_db);
}

double sg_sound_events(double lae_db, double n, double period_s)
{
    return n > 0 && period_s > 0 ? lae_db + 10.0 * log10(n) - 10.0 * log10(period_s) : SG_UNSET;
}
