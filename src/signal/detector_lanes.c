/* detector_lanes.c - exponential and running means of squares, eight signals side by side; lane by
 * lane the same arithmetic as struct sg_exponential and struct sg_running.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define LANES SG_FILTER_LANES

typedef double lanes __attribute__((vector_size(LANES * sizeof(double)), aligned(8), may_alias));
typedef int64_t mask __attribute__((vector_size(LANES * sizeof(double))));

sg_status sg_detectors_init(struct sg_detectors *detectors, double rate_hz, double span_s)
{
    double length = floor(rate_hz * span_s + 0.5);
    if (!(length >= 1.0) || !(length <= 1e7))
        return SG_ERR_DOMAIN;
    *detectors = (struct sg_detectors){ .length = (size_t)length };
    detectors->block = sg_alloc((detectors->length + 1) * LANES, sizeof *detectors->block);
    if (detectors->block == NULL)
        return SG_ERR_NOMEM;
    size_t over = (uintptr_t)detectors->block % (LANES * sizeof *detectors->block);
    detectors->ring = detectors->block + LANES - over / sizeof *detectors->block;
    return SG_OK;
}

void sg_detectors_release(struct sg_detectors *detectors)
{
    sg_free(detectors->block);
    detectors->block = detectors->ring = NULL;
}

void sg_detectors_restart(struct sg_detectors *detectors)
{
    memset(detectors->ring, 0, detectors->length * LANES * sizeof *detectors->ring);
    memset(detectors->sum, 0, sizeof detectors->sum);
    memset(detectors->mean, 0, sizeof detectors->mean);
    detectors->at = detectors->filled = 0;
}

/* Makes the sums afresh, once a turn of the ring, so that rounding does not pile up. */
SG_FOR_THIS_CPU
static void turn(struct sg_detectors *d)
{
    lanes sum = { 0.0 };
    for (size_t i = 0; i < d->length; i++)
        sum += *(const lanes *)(d->ring + i * LANES);
    memcpy(d->sum, &sum, sizeof d->sum);
    d->at = 0;
}

#define LARGER(most, value)                                                                        \
    do {                                                                                           \
        mask more_ = (mask)((value) > (most));                                                     \
        (most) = (lanes)(((mask)(value)&more_) | ((mask)(most) & ~more_));                         \
    } while (0)
#define AT(member) (*(lanes *)(member))

/* Up to the end of a turn of the ring; the span is full throughout or not at all. */
SG_FOR_THIS_CPU
static void run_part(struct sg_detectors *d, double (*x)[LANES], double (*mean)[LANES],
                     size_t count, bool full, struct sg_detected *out)
{
    lanes square = AT(d->square), fourth = AT(d->fourth), peak = AT(out->peak2);
    lanes slow_most = AT(out->largest_mean), sum_most = AT(out->largest_sum);
    lanes sum = AT(d->sum), slow = AT(d->mean);
    const lanes k = AT(d->k);
    double *ring = d->ring + d->at * LANES;
    for (size_t i = 0; i < count; i++, ring += LANES) {
        lanes v = AT(x[i]), v2 = v * v;
        square += v2;
        fourth += v2 * v2;
        LARGER(peak, v2);
        slow += k * (v2 - slow);
        LARGER(slow_most, slow);
        sum += v2 - AT(ring);
        AT(ring) = v2;
        AT(mean[i]) = slow;
        if (full)
            LARGER(sum_most, sum);
    }
    AT(d->square) = square;
    AT(d->fourth) = fourth;
    AT(out->peak2) = peak;
    AT(out->largest_mean) = slow_most;
    AT(out->largest_sum) = sum_most;
    AT(d->sum) = sum;
    AT(d->mean) = slow;
    d->at += count;
}

/* The last sum of a turn is the one made afresh. */
static void end_turn(struct sg_detectors *d, struct sg_detected *out)
{
    turn(d);
    for (size_t lane = 0; lane < LANES; lane++)
        out->largest_sum[lane] = fmax(out->largest_sum[lane], d->sum[lane]);
}

void sg_detectors_run(struct sg_detectors *detectors, double (*x)[LANES], double (*mean)[LANES],
                      size_t count, struct sg_detected *out)
{
    struct sg_detectors *d = detectors;
    *out = (struct sg_detected){ .peak2 = { 0.0 } };
    for (size_t lane = 0; lane < LANES; lane++)
        out->largest_sum[lane] = -1.0;
    for (size_t at = 0; at < count;) {
        size_t now = count - at, to_end = d->length - d->at;
        bool full = d->filled == d->length;
        now = now < to_end ? now : to_end;
        bool turns = now == to_end;
        if (turns && now > 1)
            run_part(d, x + at, mean + at, now - 1, full, out);
        if (turns)
            run_part(d, x + at + now - 1, mean + at + now - 1, 1, false, out);
        else
            run_part(d, x + at, mean + at, now, full, out);
        d->filled = d->filled + now < d->length ? d->filled + now : d->length;
        if (turns)
            end_turn(d, out);
        at += now;
    }
}
