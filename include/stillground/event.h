/* event.h - what is kept of a measured recording, and the events found in it: hammer blows,
 * phases of a vibratory run, triggered events, each with figures of its own.
 */
#ifndef STILLGROUND_EVENT_H
#define STILLGROUND_EVENT_H

#include "stillground/signal.h"

/* Figures of one sensor over one interval, kept after the call that reported them. */
struct sg_kept {
    struct sg_measured measured; /* without the sums and densities, which are gone */
    double band_rms[SG_AXES_MAX][SG_BAND_COUNT], band_max[SG_AXES_MAX][SG_BAND_COUNT]; /* mm/s */
    double psv_mm_s[SG_AXES_MAX][SG_RESPONSE_COUNT]; /* unset = not asked for */
    struct sg_spectrum spectrum[SG_AXES_MAX]; /* of the last report of a sensor, when wanted */
};
struct sg_kept_list {
    struct sg_kept *item;
    size_t count, capacity;
    bool failed;  /* memory ran out: some are missing */
    bool spectra; /* keep the densities of each sensor's last report */
};
void sg_keep(struct sg_kept_list *list, const struct sg_measured *measured);
/* The figures with the bands beside them, for judging; borrows from kept. */
struct sg_measured sg_kept_measured(const struct sg_kept *kept);
void sg_kept_release(struct sg_kept_list *list);

enum sg_event_kind {
    SG_EVENT_BLOW,
    SG_EVENT_RUN_START,
    SG_EVENT_RUN_STEADY,
    SG_EVENT_RUN_STOP,
    SG_EVENT_TRIGGERED,
    SG_EVENT_KIND_END
};
const char *sg_event_kind_id(enum sg_event_kind kind); /* "blow", "start", "steady", ... */

/* One event with the part of the recording that its figures were taken from. */
struct sg_found_event {
    enum sg_event_kind kind;
    size_t group;
    bool is_sound;
    double start_s, end_s;
    double from_hz, to_hz; /* of the drive, phases of a run only */
    double ppv_mm_s, ppv_time_s, ppv_frequency_hz, pvs_mm_s, kbf_max;
    enum sg_axis ppv_axis;
    double laeq_db, lafmax_db, lae_db, lcpeak_db;
};
/* Blows of one sensor over one piece of record. */
struct sg_blow_rate {
    size_t group;
    double start_s, end_s;
    struct sg_blows blows;
};
struct sg_event_list {
    struct sg_found_event *event;
    size_t count, capacity;
    struct sg_blow_rate *rate;
    size_t nrate, rate_capacity;
    bool failed;
};
void sg_event_list_release(struct sg_event_list *list);

/* Listens to the calibrated blocks of sg_measure. Events are looked for in pieces of at most ten
 * minutes, shorter at high rates, so that memory does not grow with the length of a recording; one
 * that reaches over the end of a piece is reported in two parts. */
struct sg_event_meter;
sg_status sg_event_meter_new(const struct sg_recording_info *info,
                             const struct sg_calibration *calibration,
                             const struct sg_trigger_config *trigger, struct sg_event_list *list,
                             struct sg_event_meter **out);
void sg_event_meter_free(struct sg_event_meter *meter);
/* To be called from a sg_calibrated_sink. */
void sg_event_meter_add(struct sg_event_meter *meter, size_t channel, const double *sample,
                        size_t count, double time_s);
void sg_event_meter_close(struct sg_event_meter *meter);

/* ---- thinned records, for drawing ------------------------------------------------------------ */

/* A waveform as the smallest and largest sample of each step, so that no peak is lost. Steps double
 * when there are too many. */
#define SG_TRACE_STEPS 1500
struct sg_trace {
    enum sg_kind kind;
    enum sg_axis axis;
    double rate_hz, start_s;
    size_t per_step, filled, count;
    double low[SG_TRACE_STEPS], high[SG_TRACE_STEPS];
};
void sg_trace_init(struct sg_trace *trace, enum sg_kind kind, enum sg_axis axis, double rate_hz);
void sg_trace_add(struct sg_trace *trace, const double *sample, size_t count, double time_s);
double sg_trace_step_s(const struct sg_trace *trace);

/* A spectrogram: mean densities of columns that grow wider when there are too many. Hann window,
 * half overlap. */
#define SG_MOSAIC_COLUMNS 400
struct sg_mosaic {
    double rate_hz, start_s, line_step_hz;
    size_t length, nline; /* of a transform; lines kept of each column */
    size_t per_column, filled, count;
    double *density; /* SG_MOSAIC_COLUMNS times nline */
    double *window, *piece, *power, *work;
    size_t at;
    struct sg_transform *transform;
};
sg_status sg_mosaic_init(struct sg_mosaic *mosaic, double rate_hz, double top_hz);
void sg_mosaic_release(struct sg_mosaic *mosaic);
void sg_mosaic_add(struct sg_mosaic *mosaic, const double *sample, size_t count, double time_s);
double sg_mosaic_step_s(const struct sg_mosaic *mosaic);

#endif
