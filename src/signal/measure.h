/* measure.h - the state of one pass over a recording, shared by measure.c and
 * measure_prepare.c. Inside src/signal only.
 */
#ifndef SIGNAL_MEASURE_H
#define SIGNAL_MEASURE_H

#include "stillground/signal.h"

struct channel_state {
    struct sg_calibration_channel given;
    double factor;
    bool corrected;
    struct sg_filter geophone;
    struct sg_filter_state geophone_state;
    struct sg_watch watch;
    double *calibrated; /* SG_BLOCK_FRAMES */
    size_t partner;     /* channel of another sensor on the same axis; its own = none */
    double pair[6];     /* count, sums of x, y, x x, y y, x y with the partner's y */
};

struct group_state {
    size_t number;
    bool is_sound;
    size_t channel[SG_AXES_MAX], nchannel;
    struct sg_vibration_config config;
    struct sg_vibration_meter *vibration;
    struct sg_vibration_sums vibration_now, vibration_all;
    struct sg_sound_meter *sound;
    struct sg_sound_sums sound_now, sound_all;
    struct sg_quality_found found, found_all;
    double *laf;                /* levels every LAF_STEP_S, for impulses */
    size_t laf_count, laf_wait; /* readings to pass over while the detector rises */
    double laf_start_s;
    struct sg_onset onset, onset_all;
    size_t onsets, onsets_all;
    struct sg_density *density[SG_AXES_MAX];
    struct sg_spectrum spectrum[SG_AXES_MAX], spectrum_all[SG_AXES_MAX];
    struct sg_response *response[SG_AXES_MAX];
    double psv[SG_AXES_MAX][SG_RESPONSE_COUNT], psv_all[SG_AXES_MAX][SG_RESPONSE_COUNT];
};

#define LAF_STEP_S 0.02
#define LAF_WAIT 50              /* 1 s, eight time constants of F */
#define LAF_ROOM ((size_t)90000) /* half an hour, the time over which one impulse governs */

struct run {
    struct sg_recording *recording;
    const struct sg_recording_info *info;
    const struct sg_calibration *calibration;
    struct sg_measure_options options;
    const struct sg_measure_sinks *sinks;
    struct sg_errors *errors;
    struct channel_state *channel;
    struct group_state *group;
    size_t ngroup;
    double start_epoch_s, interval_start_s, end_s;
    double next_frame; /* grid frame at which the interval ends; HUGE_VAL = never */
    uint64_t intervals;
};

/* Everything that must stand before the first sample: channels, groups, tones, offsets, meters. */
sg_status sg_run_prepare(struct run *run);
/* Looks for onsets in the levels kept, and empties them. */
void sg_run_judge_onsets(struct group_state *group);
/* What is known of a group without its samples: missing calibration, its age, the band. */
void sg_run_note_standing(struct run *run, struct group_state *group, double time_s);
/* Channels of two sensors that carry the same quantity on the same axis. */
void sg_run_find_partners(struct run *run);
void sg_run_add_pairs(struct run *run, size_t count);
/* What only the whole recording shows: its length, sensors of opposite signs. */
void sg_run_note_whole(struct run *run);

#endif
