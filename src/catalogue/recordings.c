/* recordings.c - words for what a recording's channels carry. Units: SI, velocity in mm/s as the
 * limit documents state it.
 */
#include "stillground/calibration.h"

const char *sg_kind_id(enum sg_kind kind)
{
    static const char *const id[SG_KIND_END] = { "velocity", "acceleration", "sound-pressure" };
    return kind < SG_KIND_END ? id[kind] : "?";
}

const char *sg_kind_unit(enum sg_kind kind)
{
    static const char *const unit[SG_KIND_END] = { "mm/s", "m/s2", "Pa" };
    return kind < SG_KIND_END ? unit[kind] : "?";
}

sg_status sg_kind_find(const char *id, enum sg_kind *out)
{
    for (int kind = 0; kind < SG_KIND_END; kind++)
        if (sg_same(id, sg_kind_id((enum sg_kind)kind))) {
            *out = (enum sg_kind)kind;
            return SG_OK;
        }
    return SG_ERR_UNKNOWN;
}

const char *sg_axis_id(enum sg_axis axis)
{
    static const char *const id[SG_AXIS_END] = { "x", "y", "z", "none" };
    return axis < SG_AXIS_END ? id[axis] : "?";
}
