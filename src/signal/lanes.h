/* lanes.h - several filters side by side. Inside src/signal only. Every lane does the
 * same operations in the same order, without contraction: all versions give the same bits. */
#ifndef SIGNAL_LANES_H
#define SIGNAL_LANES_H

#include "base/wide.h"
#include "stillground/signal.h"

#define SG_FILTER_LANES 8
struct sg_filter_job {
    const struct sg_filter *filter;
    struct sg_filter_state *state;
    const double *in;
    double *out; /* not any job's in */
};
/* As sg_filter_run on each job, bit by bit, at most SG_FILTER_LANES of them. */
void sg_filter_run_lanes(const struct sg_filter_job *job, size_t njob, size_t count);
/* The equaliser of a filter alone; out may be in. */
void sg_filter_taps(const struct sg_filter *filter, double *history, const double *in, double *out,
                    size_t count);

/* Detectors side by side: exponential and running means of squares, in every lane. */
struct sg_detectors {
    double *ring; /* length times SG_FILTER_LANES squares */
    size_t length, at, filled;
    double sum[SG_FILTER_LANES], k[SG_FILTER_LANES], mean[SG_FILTER_LANES];
};
struct sg_detected { /* over one block */
    double square[SG_FILTER_LANES], fourth[SG_FILTER_LANES], peak2[SG_FILTER_LANES];
    double largest_mean[SG_FILTER_LANES];
    double largest_sum[SG_FILTER_LANES]; /* of the running sums; -1 until a span is full */
};
sg_status sg_detectors_init(struct sg_detectors *detectors, double rate_hz, double span_s);
void sg_detectors_release(struct sg_detectors *detectors);
void sg_detectors_restart(struct sg_detectors *detectors);
/* x and mean: count samples, lane by lane; mean gets the exponential means. x may be mean. */
void sg_detectors_run(struct sg_detectors *detectors, double (*x)[SG_FILTER_LANES],
                      double (*mean)[SG_FILTER_LANES], size_t count, struct sg_detected *out);

#endif
