/* vibration_meter.h - the state of a vibration meter, shared by vibration_make.c, which designs it,
 * and vibration_meter.c, which runs it. Inside src/signal only.
 */
#ifndef SIGNAL_VIBRATION_METER_H
#define SIGNAL_VIBRATION_METER_H

#include "lanes.h"

#define VIBRATION_CHUNK 1024 /* samples of all axes handled at a time */
#define MM_PER_M 1000.0
#define SLOPE_HALF 4 /* differentiator: 9 taps */

/* What runs side by side for one axis: its filters, the doses first, and the velocity itself. */
enum { LANE_KB = SG_DOSE_END, LANE_JP, LANE_DISPLACEMENT, LANE_VELOCITY, LANE_END };
_Static_assert(LANE_END == SG_FILTER_LANES, "a lane for each filter and the velocity");

struct dose_chain {
    bool used;
    struct sg_filter filter;
};

struct axis_chain {
    enum sg_kind kind;
    double offset;
    struct sg_filter to_velocity, to_displacement, kb, jp;
    struct sg_filter_state to_velocity_state;
    struct dose_chain dose[SG_DOSE_END];
    struct sg_filter_bank bank; /* all but to_velocity */
    bool jp_used;
    struct sg_detectors detectors;
    struct sg_peak_finder velocity, displacement, acceleration;
    double slope[2 * SLOPE_HALF]; /* the last velocities */
    size_t slope_seen;
    struct sg_bands *bands;
    double takt_max2;
    uint64_t takt_samples, jp_samples;
    double *ring; /* last `window` velocities */
    size_t ring_at, ring_filled, since_peak, pending;
};

struct sg_vibration_meter {
    struct sg_vibration_config config;
    size_t naxis, window;
    double step_s;
    uint64_t takt_length, jp_length;
    struct axis_chain axis[SG_AXES_MAX];
    uint64_t samples;                          /* since the last close */
    double pvs2;                               /* largest squared vector sum since then */
    const double *velocity[SG_AXES_MAX];       /* of this chunk */
    double made[SG_AXES_MAX][VIBRATION_CHUNK]; /* velocities from accelerations */
    double acceleration[VIBRATION_CHUNK +
                        SG_LANES_PIECE]; /* of one axis, and room for a whole last piece */
    double run_up[2 * SLOPE_HALF + VIBRATION_CHUNK + SG_LANES_PIECE];
};

#endif
