/* monitors.h - what to measure where: receptors that need it, levels at which to act and to
 * stop, and the fewest monitors that stand for all of them. Pure.
 */
#ifndef STILLGROUND_MONITORS_H
#define STILLGROUND_MONITORS_H

#include "stillground/plan.h"

/* A receptor that is to be watched for one kind of effect. */
struct sg_watch {
    size_t receptor, method;          /* method that brings the highest ratio */
    const struct sg_verdict *verdict; /* that governs it; of the study */
    bool noise;
    double ratio;                     /* upper value / limit */
    double amber, red;                /* in the limit's unit */
    double band_low_hz, band_high_hz; /* that the instrument must cover; unset = by its standard */
    double range;                     /* that it must measure up to, in the limit's unit */
    double distance_m;                /* from the works */
    bool survey;    /* condition survey before the works: damage limit, amber reached */
    size_t monitor; /* index in `at` of the monitor that stands for it */
};
struct sg_monitors {
    struct sg_arena arena;
    struct sg_watch *watch;
    size_t nwatch;
    size_t *at; /* watches at whose place a monitor stands */
    size_t count;
    size_t least; /* no fewer can do; equal to count when the search was exact */
};
#define SG_MONITORS_INIT ((struct sg_monitors){ .arena = SG_ARENA_INIT })
/* Watched is every receptor whose upper value reaches the amber share of a limit under a method of
 * the study, and of each kind (vibration, noise) the governing one in any case. A monitor stands
 * for
 * a receptor of the same kind within the site's cover_m that is no nearer to the works than the
 * monitor is. */
sg_status sg_monitors_make(const struct sg_study *study, struct sg_monitors *out);
void sg_monitors_release(struct sg_monitors *monitors);

/* Fewest of n sets (bit rows of `covers`, words of 64) whose union is everything; exact within
 * max_nodes of search, else the greedy cover with a lower bound in *least. */
sg_status sg_fewest_cover(const uint64_t *covers, size_t n, size_t max_nodes,
                          struct sg_arena *arena, size_t *chosen, size_t *count, size_t *least);

#endif
