/* calibration.h - what a recording's channels carry and how file units become physical ones, as the
 * sidecar beside the recording says. Read by the site room, used by the signal room.
 *
 * An unset number is NaN (sg_is_set).
 */
#ifndef STILLGROUND_CALIBRATION_H
#define STILLGROUND_CALIBRATION_H

#include "stillground/base.h"

/* What a channel carries after calibration. */
enum sg_kind { SG_KIND_VELOCITY, SG_KIND_ACCELERATION, SG_KIND_PRESSURE, SG_KIND_END };
const char *sg_kind_id(enum sg_kind kind);   /* "velocity", "acceleration", "sound-pressure" */
const char *sg_kind_unit(enum sg_kind kind); /* "mm/s", "m/s2", "Pa" */
sg_status sg_kind_find(const char *id, enum sg_kind *out);

enum sg_axis { SG_AXIS_X, SG_AXIS_Y, SG_AXIS_Z, SG_AXIS_NONE, SG_AXIS_END }; /* z is vertical */
const char *sg_axis_id(enum sg_axis axis);

#define SG_GROUPS_MAX 16 /* sensors of one recording */

enum sg_calibration_by { SG_BY_NONE, SG_BY_SENSITIVITY, SG_BY_FACTOR, SG_BY_TONE };
struct sg_calibration_channel {
    const char *name; /* as in the file; NULL = by position */
    enum sg_kind kind;
    enum sg_axis axis;
    size_t group; /* channels of one sensor share it */
    enum sg_calibration_by by;
    double sensitivity;              /* V per m/s, mV per m/s2 or mV per Pa, by kind */
    double gain_db;                  /* of the amplifier in front of the recorder; 0 */
    double volts_per_unit;           /* of one file unit (full scale 1.0, or a count) */
    double unit_per_file;            /* SG_BY_FACTOR: physical units of one file unit */
    double natural_hz, damping;      /* of a geophone to correct; unset = none */
    double correct_to_hz;            /* lower end after the correction, from 1 Hz */
    double tone_db, tone_hz;         /* SG_BY_TONE: 94 or 114 dB at tone_hz, from tone_start_s */
    double tone_start_s, tone_end_s; /* left out of all figures of its channel */
    bool inverted;
};
#define SG_CALIBRATION_CHANNEL_INIT                                                                \
    ((struct sg_calibration_channel){ .name = NULL,                                                \
                                      .axis = SG_AXIS_NONE,                                        \
                                      .sensitivity = SG_UNSET,                                     \
                                      .volts_per_unit = SG_UNSET,                                  \
                                      .unit_per_file = SG_UNSET,                                   \
                                      .natural_hz = SG_UNSET,                                      \
                                      .damping = SG_UNSET,                                         \
                                      .correct_to_hz = 1.0,                                        \
                                      .tone_db = SG_UNSET,                                         \
                                      .tone_hz = 1000.0,                                           \
                                      .tone_start_s = SG_UNSET,                                    \
                                      .tone_end_s = SG_UNSET })
struct sg_calibration {
    const char *file;
    struct sg_calibration_channel *channel;
    size_t nchannel;
    double start_epoch_s;       /* UTC of the first sample; unset = as the file says */
    const char *note;           /* free text */
    const char *receptor;       /* "" = none */
    const char *position;       /* id of enum sg_position, "" = none */
    const char *technique;      /* id of enum sg_technique, "" = none */
    double distance_m;          /* to the pile, plan; unset */
    double rate_hz, duration_s; /* as the recorder's log says; 0 or unset = not given */
    double residual_db;         /* sound level there without the works; unset or 0 = not known */
    const char *serial;
    double calibrated_epoch_s, valid_days; /* unset = not given */
};

#endif
