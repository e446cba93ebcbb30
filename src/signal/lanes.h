/* lanes.h - several filters side by side. Inside src/signal only. Every lane does the
 * same operations in the same order, without contraction: all versions give the same bits. */
#ifndef SIGNAL_LANES_H
#define SIGNAL_LANES_H

#include "base/wide.h"
#include "stillground/signal.h"

#define SG_FILTER_LANES 8
#define SG_LANES_PIECE 128 /* samples worked on at a time; eight lanes of them fit near the core */

/* One second-order section, y from x, with the states s and t. As the transposed direct form II,
 * but with y put in, so that s waits for one product and one sum of the sample before: p and q are
 * the denominator's a1 and a2, b the numerator's b0, c = b1 - a1 b0, d = b2 - a2 b0. For numbers
 * and for lanes of them; the order of operations is what makes both give the same bits. */
#define SG_SECTION_STEP(b, c, d, p, q, s, t, x, y)                                                 \
    do {                                                                                           \
        const __typeof__(s) s_ = (s), x_ = (x);                                                    \
        (y) = (b)*x_ + s_;                                                                         \
        (s) = ((c)*x_ + (t)) - (p)*s_;                                                             \
        (t) = (d)*x_ - (q)*s_;                                                                     \
    } while (0)

/* Filters side by side, each as sg_filter_run, bit by bit. An empty lane passes its samples. */
struct sg_filter_bank {
    size_t nsection, ntap; /* the most of any lane */
    double b[SG_SECTIONS_MAX][SG_FILTER_LANES], c[SG_SECTIONS_MAX][SG_FILTER_LANES];
    double d[SG_SECTIONS_MAX][SG_FILTER_LANES], p[SG_SECTIONS_MAX][SG_FILTER_LANES];
    double q[SG_SECTIONS_MAX][SG_FILTER_LANES], s[SG_SECTIONS_MAX][SG_FILTER_LANES];
    double t[SG_SECTIONS_MAX][SG_FILTER_LANES], tap[SG_TAPS_MAX][SG_FILTER_LANES];
    double past[SG_TAPS_MAX][SG_FILTER_LANES]; /* the last samples, before the equalisers */
};
void sg_bank_init(struct sg_filter_bank *bank);
void sg_bank_put(struct sg_filter_bank *bank, size_t lane, const struct sg_filter *filter);
void sg_bank_restart(struct sg_filter_bank *bank);
/* One signal into every lane. */
void sg_lanes_spread(const double *in, double (*x)[SG_FILTER_LANES], size_t count);
/* In place, any count. Faster when x stands on a 64-byte boundary. */
void sg_bank_run(struct sg_filter_bank *bank, double (*x)[SG_FILTER_LANES], size_t count);

/* Detectors side by side: exponential and running means of squares, in every lane. */
struct sg_detectors {
    double *block, *ring; /* ring: length times SG_FILTER_LANES squares, on a 64-byte boundary */
    size_t length, at, filled;
    double sum[SG_FILTER_LANES], k[SG_FILTER_LANES], mean[SG_FILTER_LANES];
    /* summed until the owner clears them */
    double square[SG_FILTER_LANES], fourth[SG_FILTER_LANES];
};
struct sg_detected { /* over one block */
    double peak2[SG_FILTER_LANES];
    double largest_mean[SG_FILTER_LANES];
    double largest_sum[SG_FILTER_LANES]; /* of the running sums; -1 until a span is full */
};
sg_status sg_detectors_init(struct sg_detectors *detectors, double rate_hz, double span_s);
void sg_detectors_release(struct sg_detectors *detectors);
void sg_detectors_restart(struct sg_detectors *detectors);
/* x and mean: count samples, lane by lane; mean gets the exponential means. x may be mean. */
void sg_detectors_run(struct sg_detectors *detectors, double (*x)[SG_FILTER_LANES],
                      double (*mean)[SG_FILTER_LANES], size_t count, struct sg_detected *out);

/* ---- blocks of one signal -------------------------------------------------------------------- */

/* The largest square. */
double sg_block_square(const double *x, size_t count);
/* The largest sum of squares over naxis signals, sample by sample. */
double sg_block_vector(const double *const *x, size_t naxis, size_t count);

/* True when no sample of a block with this largest square can change the peak. */
bool sg_peak_quiet(const struct sg_peak_finder *finder, const struct sg_peak *peak, double square);
/* As count times sg_peak_step, on x[0], x[stride] ...; square is the largest of the block. */
void sg_peak_run(struct sg_peak_finder *finder, struct sg_peak *peak, const double *x,
                 size_t stride, size_t count, double square, double time_s, double step_s);

#endif
