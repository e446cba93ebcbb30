/* inverse.h - the questions turned round: how near, how strong, how long, for one receptor,
 * method and limit. Every answer put forward again gives the limit back. Pure.
 */
#ifndef STILLGROUND_INVERSE_H
#define STILLGROUND_INVERSE_H

#include "stillground/choice.h"

enum sg_answer {
    SG_ANSWERED,
    SG_ANSWER_ALWAYS,   /* the limit is kept whatever the value, within what is asked about */
    SG_ANSWER_NONE,     /* no solution: it is broken whatever the value */
    SG_ANSWER_NOT_ASKED /* the question does not fit (see why) */
};
struct sg_inverse_value {
    enum sg_answer answer;
    double value;    /* unset unless answered */
    const char *why; /* one sentence where there is no number; NULL otherwise */
};
/* What keeps one limit, for one receptor and one method. */
struct sg_inverse {
    const struct sg_limit_set *set; /* NULL = the owner's own value */
    const struct sg_limit_row *row;
    double limit, now;                  /* in the row's unit; the predicted value */
    struct sg_inverse_value distance_m; /* least */
    struct sg_inverse_value energy_kJ;  /* highest per blow or cycle */
    struct sg_inverse_value minutes;    /* most of running time a day, of the rig */
    struct sg_inverse_value piles;      /* most a day, whole piles */
};
/* All limits that are judged at a receptor by a method. The list is in the arena. by: the
 * central or the upper value is brought to the limit; the percentile is the site's. */
sg_status sg_inverse_all(const struct sg_site *site, size_t method, size_t receptor,
                         enum sg_confidence by, struct sg_arena *arena, struct sg_inverse **out,
                         size_t *count, struct sg_errors *errors);

/* Longest running time, h, of a source with `running_db` so that its level over period_h is
 * limit_db:
 * period x 10^((limit - running) / 10). More than the period when the limit is never reached. */
double sg_inverse_on_time_h(double running_db, double limit_db, double period_h);
/* Distance at which v = k (r / 1 m)^-n equals a limit; unset unless all are positive. */
double sg_inverse_power_m(double k, double n, double limit);

#endif
