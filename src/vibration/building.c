/* building.c - from the ground beside a building to its foundation and its floors.
 *
 * The factors are the user's, or rows of FTA 2006 Table 10-1; none is taken by default. */
#include "vibration_internal.h"

#include <math.h>

double sg_factor_from_db(double level_db)
{
    return pow(10.0, level_db / 20.0);
}

static void scale(struct sg_value *value, double factor)
{
    if (sg_quantity_is_level(value->quantity)) {
        value->central += 20.0 * log10(factor);
        value->upper += 20.0 * log10(factor);
    } else {
        value->central *= factor;
        value->upper *= factor;
    }
}

static sg_status refuse(struct sg_value *value, const char *why)
{
    value->central = SG_UNSET;
    value->upper = SG_UNSET;
    value->why = why;
    return SG_ERR_UNDETERMINED;
}

static void to_foundation(struct sg_value *value, const struct sg_into_building *into,
                          struct sg_working *working)
{
    if (!sg_is_set(into->foundation_factor)) {
        sg_working_add(
            working, NULL, "ground to foundation",
            "no factor given: free-field value taken as the foundation value, no credit");
        return;
    }
    scale(value, into->foundation_factor);
    value->grade = sg_grade_worse(value->grade, into->grade);
    sg_working_add(working, NULL, "ground to foundation", "x %.6f (%s) = %.5f, upper %.5f",
                   into->foundation_factor, into->foundation_from, value->central, value->upper);
}

sg_status sg_vibration_into(const struct sg_value *free_field, const struct sg_into_building *into,
                            enum sg_position position, struct sg_value *out,
                            struct sg_working *working)
{
    struct sg_value value = *free_field;
    value.position = position;
    sg_status status = SG_OK;
    if (!sg_is_set(value.central)) {
        *out = value;
        return SG_ERR_UNDETERMINED;
    }
    switch (position) {
    case SG_AT_FREE_FIELD:
    case SG_AT_BOUNDARY:
        break;
    case SG_AT_ASSET:
        sg_working_add(working, NULL, "ground to asset",
                       "free-field value taken as the value on the asset, no credit");
        break;
    case SG_AT_FOUNDATION:
        to_foundation(&value, into, working);
        break;
    case SG_AT_FLOOR:
    case SG_AT_TOPMOST_FLOOR:
        if (!sg_is_set(into->floor_factor)) {
            status = refuse(&value, "stated on a floor; no transfer factor from the foundation to "
                                    "the floor is given");
            break;
        }
        to_foundation(&value, into, working);
        scale(&value, into->floor_factor);
        value.grade = sg_grade_worse(value.grade, into->grade);
        sg_working_add(working, NULL, "foundation to floor", "x %.6f (%s) = %.5f, upper %.5f",
                       into->floor_factor, into->floor_from, value.central, value.upper);
        break;
    case SG_AT_FACADE:
    case SG_AT_ROOM:
    case SG_POSITION_END:
        status = refuse(&value, "a vibration value cannot be moved to this position");
        break;
    }
    if (sg_grade_unverified(value.grade))
        value.marks |= SG_MARK_UNVERIFIED;
    *out = value;
    return status;
}
