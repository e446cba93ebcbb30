/* fit_request.h - what the command `fit` was asked for, between its options and its work. */
#ifndef STILLGROUND_COMMANDS_FIT_REQUEST_H
#define STILLGROUND_COMMANDS_FIT_REQUEST_H

#include "loaded.h"
#include "models_keys.h"

#define SG_FIT_LIST_MOST 32

struct sg_fit_request {
    const char *data, *log, *site;
    const char *column[SG_FIT_LIST_MOST], *only[SG_FIT_LIST_MOST], *pool[SG_FIT_LIST_MOST];
    char *set[SG_FIT_LIST_MOST];
    struct sg_pairs_options pairs;
    struct sg_fit_options fit;
    bool kind_given, trial;
    const char *prior, *against, *law;
    double prior_scatter, prior_site_share, prior_slope_scatter, prior_weight;
    size_t nset;
    double percentile, confidence, share_percent, energy_J;
    const char *limit; /* read when the quantity is known */
    enum sg_upper_line upper;
    double at_m[SG_FIT_LIST_MOST];
    size_t nat, piles;
    const char *technique, *phase, *position, *name;
    const char *output, *plot, *plots;
    enum sg_format format;
};

/* Does what was asked for; the exit status. */
int sg_fit_run(struct sg_fit_request *request);

#endif
