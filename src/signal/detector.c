/* detector.c - time weighting, running means, peaks between samples, order statistics of levels.
 *
 * Sources: IEC 61672-1:2013 5.8 (exponential weighting); ISO 8041-1:2017 (linear running rms);
 * percentile rule and the parabola through three samples: common practice, no source.
 */
#include "lanes.h"

#include <math.h>
#include <string.h>

#define LEVEL_LOW_DB (-200.0)
#define LEVEL_CLASSES 50000
#define CLASSES_PER_DB 100.0
#define RUNNING_MAX ((size_t)1 << 24)

void sg_exponential_init(struct sg_exponential *detector, double rate_hz, double tau_s)
{
    detector->k = -expm1(-1.0 / (rate_hz * tau_s));
    detector->y = 0.0;
}

sg_status sg_running_init(struct sg_running *running, double rate_hz, double span_s)
{
    double length = floor(rate_hz * span_s + 0.5);
    if (!(length >= 1.0) || length > (double)RUNNING_MAX)
        return SG_ERR_DOMAIN;
    struct sg_running made = { .length = (size_t)length };
    made.ring = sg_alloc(made.length, sizeof *made.ring);
    if (made.ring == NULL)
        return SG_ERR_NOMEM;
    *running = made;
    return SG_OK;
}

void sg_running_release(struct sg_running *running)
{
    sg_free(running->ring);
    running->ring = NULL;
}

/* So rounding does not pile up. */
void sg_running_turn(struct sg_running *running)
{
    double sum = 0.0;
    for (size_t i = 0; i < running->length; i++)
        sum += running->ring[i];
    running->sum = sum;
    running->at = 0;
}

void sg_peak_clear(struct sg_peak *peak)
{
    *peak = (struct sg_peak){ .sampled = 0.0, .value = 0.0, .time_s = SG_UNSET };
}

/* Three samples a, b, c around a turning point b: the parabola's top. */
static double parabola(double a, double b, double c, double *shift)
{
    double bend = a - 2.0 * b + c;
    *shift = fabs(bend) > 0.0 ? 0.5 * (a - c) / bend : 0.0;
    return b - 0.25 * (a - c) * *shift;
}

void sg_peak_judge(struct sg_peak_finder *finder, struct sg_peak *peak, double x, double time_s,
                   double step_s)
{
    double size = fabs(x);
    if (size > peak->sampled) {
        peak->sampled = size;
        peak->signed_sample = x;
        if (size > peak->value) {
            peak->value = size;
            peak->time_s = time_s;
        }
    }
    double a = finder->before, b = finder->at, middle = fabs(b);
    if (finder->seen >= 2 && middle * 1.5 > peak->value && middle >= fabs(a) && middle > size &&
        middle > 0.0) {
        double sign = b > 0.0 ? 1.0 : -1.0, shift;
        double top = parabola(sign * a, middle, sign * x, &shift);
        if (top > peak->value) {
            peak->value = top;
            peak->time_s = finder->time_s + shift * step_s;
        }
    }
}

/* A parabola adds less than half to a sample. The thousandth covers what squaring rounds. */
bool sg_peak_quiet(const struct sg_peak_finder *finder, const struct sg_peak *peak, double square)
{
    double limit2 = peak->value * peak->value * (0.999 / 2.25);
    return square < limit2 && finder->at * finder->at < limit2;
}

void sg_peak_run(struct sg_peak_finder *finder, struct sg_peak *peak, const double *x,
                 size_t stride, size_t count, double square, double time_s, double step_s)
{
    size_t last = count - 1;
    if (!sg_peak_quiet(finder, peak, square)) {
        for (size_t k = 0; k < count; k++)
            sg_peak_step(finder, peak, x[k * stride], time_s + (double)k * step_s, step_s);
        return;
    }
    finder->before = count > 1 ? x[(last - 1) * stride] : finder->at;
    finder->at = x[last * stride];
    finder->time_s = time_s + (double)last * step_s;
    finder->seen += count;
}

sg_status sg_levels_init(struct sg_levels *levels)
{
    struct sg_levels made = { .total = 0 };
    made.count = sg_alloc(LEVEL_CLASSES, sizeof *made.count);
    made.sum = sg_alloc(LEVEL_CLASSES, sizeof *made.sum);
    if (made.count == NULL || made.sum == NULL) {
        sg_levels_release(&made);
        return SG_ERR_NOMEM;
    }
    *levels = made;
    return SG_OK;
}

void sg_levels_release(struct sg_levels *levels)
{
    sg_free(levels->count);
    sg_free(levels->sum);
    levels->count = NULL;
    levels->sum = NULL;
}

void sg_levels_add(struct sg_levels *levels, double level_db)
{
    if (isnan(level_db))
        return;
    double held = fmax(level_db, LEVEL_LOW_DB);
    double at = floor((held - LEVEL_LOW_DB) * CLASSES_PER_DB);
    size_t class = at < LEVEL_CLASSES - 1 ? (size_t)at : LEVEL_CLASSES - 1;
    levels->count[class]++;
    levels->sum[class] += held;
    levels->total++;
}

void sg_levels_merge(struct sg_levels *into, const struct sg_levels *more)
{
    for (size_t i = 0; i < LEVEL_CLASSES; i++) {
        into->count[i] += more->count[i];
        into->sum[i] += more->sum[i];
    }
    into->total += more->total;
}

void sg_levels_clear(struct sg_levels *levels)
{
    memset(levels->count, 0, LEVEL_CLASSES * sizeof *levels->count);
    memset(levels->sum, 0, LEVEL_CLASSES * sizeof *levels->sum);
    levels->total = 0;
}

/* The order statistic of a rank counted from 0; the mean of its class. */
static double ranked(const struct sg_levels *levels, uint64_t rank)
{
    uint64_t below = 0;
    for (size_t i = 0; i < LEVEL_CLASSES; i++) {
        below += levels->count[i];
        if (below > rank)
            return levels->sum[i] / (double)levels->count[i];
    }
    return SG_UNSET;
}

double sg_levels_exceeded(const struct sg_levels *levels, double percent)
{
    if (levels->total == 0 || !(percent >= 0.0 && percent <= 100.0))
        return SG_UNSET;
    double at = (1.0 - percent / 100.0) * (double)(levels->total - 1);
    double low = floor(at);
    double a = ranked(levels, (uint64_t)low);
    double share = at - low;
    return share > 0.0 ? a + share * (ranked(levels, (uint64_t)low + 1) - a) : a;
}
