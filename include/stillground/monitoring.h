/* monitoring.h - measured recordings as tables and plots. Report room. */
#ifndef STILLGROUND_MONITORING_H
#define STILLGROUND_MONITORING_H

#include "stillground/logbook.h"
#include "stillground/recorded.h"
#include "stillground/report.h"

/* One recording with what was found in it. */
struct sg_taken {
    const char *file;
    const struct sg_calibration *calibration; /* NULL = uncalibrated */
    struct sg_recording_info info;
    struct sg_kept_list kept;
    struct sg_event_list events;
    struct sg_recorded verdicts; /* whole recording; empty for measure */
    double exposure_h;        /* of a working day, for LEX,8h and KB_FTr; unset = not asked for */
    double rating_h;          /* that KB_FTr is referred to; unset = none */
    struct sg_mosaic *mosaic; /* a spectrogram a channel, when asked for; NULL = none */
};
#define SG_TAKEN_INIT                                                                              \
    ((struct sg_taken){                                                                            \
        .verdicts = SG_RECORDED_INIT, .exposure_h = SG_UNSET, .rating_h = SG_UNSET })
struct sg_taken_list {
    const struct sg_taken *item;
    size_t count;
};

/* Each makes one table over all recordings; a table without rows says so by nrow. */
sg_status sg_table_peaks(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_motion(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_kb(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_levels(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_sums(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_doses(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_sound(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_percentiles(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_rating(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_octaves(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_response(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_spectrum(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_spectrogram(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_thirds(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_findings(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_events(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_blows(const struct sg_taken_list *list, struct sg_table *out);
sg_status sg_table_checked(const struct sg_taken_list *list, struct sg_table *out);

/* ---- over days ------------------------------------------------------------------------------- */

/* Values over their limits and complaints, with time and cause. */
sg_status sg_table_register(const struct sg_logbook *book, struct sg_table *out);
/* Days and readings over each limit at each receptor, by the rule of the limit. */
sg_status sg_table_days_over(const struct sg_logbook *book, struct sg_table *out);
/* The highest measured figures beside the predicted ones. */
sg_status sg_table_beside(const struct sg_site *site, const struct sg_beside_list *list,
                          struct sg_table *out);

/* The tables of one check as a self-contained HTML document with marks, cautions and a place for
 * those who answer for it. */
sg_status sg_document_measured(const struct sg_site *site, const struct sg_table *const *table,
                               size_t count, struct sg_text *out);

/* ---- plots ----------------------------------------------------------------------------------- */

/* What the plots of one sensor are made from. */
struct sg_pictured {
    const char *name; /* of the recording, for titles and file names */
    const struct sg_kept *kept;
    const struct sg_trace *trace; /* one a channel of the sensor */
    size_t ntrace;
    const struct sg_spectrum *density;  /* one a channel; NULL = none */
    const struct sg_mosaic *mosaic;     /* spectrogram of the first channel; NULL = none */
    const struct sg_event_list *events; /* blows of this sensor are drawn as peaks; NULL = none */
    const struct sg_limit_row *const *limit; /* limits on PPV by frequency, for the peaks */
    const struct sg_limit_set *const *set;
    size_t nlimit;
    const struct sg_limit_row *const *band_limit; /* read band by band, for the third octaves */
    const struct sg_limit_set *const *band_set;
    size_t nband_limit;
};
/* SVG texts made by gnuplot; id is the file name without extension. */
sg_status sg_picture_waveform(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                              struct sg_errors *errors);
sg_status sg_picture_spectrum(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                              struct sg_errors *errors);
sg_status sg_picture_spectrogram(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                                 struct sg_errors *errors);
sg_status sg_picture_thirds(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                            struct sg_errors *errors);
sg_status sg_picture_peaks(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                           struct sg_errors *errors);

#endif
