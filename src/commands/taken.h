/* taken.h - reads and measures recordings, once for the commands measure and check. */
#ifndef COMMANDS_TAKEN_H
#define COMMANDS_TAKEN_H

#include "commands.h"
#include "stillground/monitoring.h"

#define SG_CURVE_SETS_MAX 8

struct sg_take_options {
    const char *calibration; /* file; NULL = beside the recording */
    const char *plots;       /* folder; NULL = none */
    bool events;
    double trigger;       /* mm/s or Pa; unset = by itself */
    double pre_s, post_s; /* of triggered events; unset = the usual ones */
    bool keep_spectra;    /* for their table */
    bool spectrograms;    /* of every channel, for their table */
    struct sg_measure_options measure;
    const struct sg_site *site; /* whose limits the plots show; NULL = none */
    const char *receptor;       /* instead of the calibration's; NULL = that one */
    const struct sg_limit_set *set[SG_CURVE_SETS_MAX]; /* named ones, drawn beside */
    size_t nset;
    struct sg_csv_map map;
};

#define SG_TAKE_OPTIONS_INIT                                                                       \
    ((struct sg_take_options){ .trigger = SG_UNSET,                                                \
                               .pre_s = SG_UNSET,                                                  \
                               .post_s = SG_UNSET,                                                 \
                               .measure = SG_MEASURE_OPTIONS_INIT,                                 \
                               .map = SG_CSV_MAP_INIT })

/* A recording with everything that was found in it. Release with sg_take_release. */
struct sg_take {
    struct sg_taken taken;
    struct sg_arena arena; /* of the calibration */
    struct sg_calibration calibration;
};
sg_status sg_take_recording(const char *path, const struct sg_take_options *options,
                            struct sg_take *out, struct sg_errors *errors);
void sg_take_release(struct sg_take *take);

/* "90", "90s", "5min", "1h" in seconds. */
sg_status sg_take_seconds(const char *word, double *out, const char **why);
/* Ends the program with a usage error when drawings of two recordings would have one name. */
struct argp_state;
void sg_take_own_names(const struct argp_state *state, const char *const *path, size_t count);
/* The rate of --rate; ends the program likewise. */
double sg_take_rate(const struct argp_state *state, const char *word);
/* The hours of --exposure; ends the program with a usage error when they will not do. */
double sg_take_exposure(const struct argp_state *state, const char *word);

#endif
