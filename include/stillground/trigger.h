/* trigger.h - events, blows and runs found in a recording. Pure. */
#ifndef STILLGROUND_TRIGGER_H
#define STILLGROUND_TRIGGER_H

#include "stillground/base.h"

struct sg_trigger_config {
    double rate_hz;
    double level;                 /* |x| that starts an event; unset = STA/LTA instead */
    double release_ratio;         /* ends below level * ratio ... */
    double release_s;             /* ... for so long */
    double sta_s, lta_s, on, off; /* recursive means of squares; LTA stands still in an event */
    double pre_s, post_s;
};
extern const struct sg_trigger_config sg_trigger_usual; /* practice: 0.5, 1 s; 0.1, 10 s, 4, 1.5 */
struct sg_event {
    double start_s, end_s, peak, peak_s;
};
typedef void sg_event_sink(const struct sg_event *event, void *payload);
struct sg_trigger {
    struct sg_trigger_config config;
    struct sg_event event;
    double sta, lta, quiet_s, warm_s;
    bool open;
};
void sg_trigger_init(struct sg_trigger *trigger, const struct sg_trigger_config *config);
/* x: the largest |component| at each sample. Ended events go to the sink. */
void sg_trigger_run(struct sg_trigger *trigger, const double *x, size_t count, double time_s,
                    sg_event_sink *sink, void *payload);
void sg_trigger_close(struct sg_trigger *trigger, double time_s, sg_event_sink *sink,
                      void *payload);

/* Largest |x| of each step, as blows are counted on; values beyond capacity are dropped. */
struct sg_envelope {
    double *value; /* the caller's */
    size_t capacity, count, per_step, filled;
    double held;
};
void sg_envelope_init(struct sg_envelope *envelope, double *value, size_t capacity, double rate_hz,
                      double step_s);
void sg_envelope_add(struct sg_envelope *envelope, const double *x, size_t count);

/* Hammer blows: a local maximum of the envelope that stands out of the noise, at least 60 % of the
 * usual spacing after the one before. */
struct sg_blow {
    double time_s, peak;
};
struct sg_blows {
    size_t count, kept;
    double per_minute; /* from the median spacing; unset below 3 blows */
    double missing;    /* spacings near twice the median */
    double regular;    /* share of spacings within 20 % of the median */
};
/* envelope: one value a step; blow may be NULL (capacity 0). */
sg_status sg_blows_count(const double *envelope, size_t count, double step_s, double start_s,
                         struct sg_blow *blow, size_t capacity, struct sg_blows *out);

/* Phases of a vibratory run, from the frequency of the strongest line in short spectra. */
enum sg_run_phase { SG_RUN_OFF, SG_RUN_START, SG_RUN_STEADY, SG_RUN_STOP, SG_RUN_END };
const char *sg_run_phase_id(enum sg_run_phase phase);
struct sg_run_piece {
    enum sg_run_phase phase;
    double start_s, end_s;
    double from_hz, to_hz;
    double ppv; /* largest |x| in it */
};
/* Pieces in order of time; at most capacity are kept, *count is how many there were. */
sg_status sg_run_phases(const double *velocity, size_t samples, double rate_hz, double start_s,
                        struct sg_run_piece *piece, size_t capacity, size_t *count);

#endif
