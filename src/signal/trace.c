/* trace.c - records thinned for drawing, in memory that does not grow with their length: when there
 * are too many steps, neighbours are joined.
 */
#include "stillground/event.h"

#include <math.h>
#include <string.h>

/* ---- waveform -------------------------------------------------------------------------------- */

void sg_trace_init(struct sg_trace *trace, enum sg_kind kind, enum sg_axis axis, double rate_hz)
{
    trace->kind = kind;
    trace->axis = axis;
    trace->rate_hz = rate_hz;
    trace->start_s = SG_UNSET;
    trace->per_step = 1;
    trace->filled = trace->count = 0;
}

static void join_steps(struct sg_trace *trace)
{
    for (size_t i = 0; i < SG_TRACE_STEPS / 2; i++) {
        trace->low[i] = fmin(trace->low[2 * i], trace->low[2 * i + 1]);
        trace->high[i] = fmax(trace->high[2 * i], trace->high[2 * i + 1]);
    }
    trace->count = SG_TRACE_STEPS / 2;
    trace->per_step *= 2;
}

static void add_sample(struct sg_trace *trace, double x)
{
    if (trace->filled == 0) {
        if (trace->count == SG_TRACE_STEPS)
            join_steps(trace);
        trace->low[trace->count] = trace->high[trace->count] = x;
        trace->count++;
    } else {
        trace->low[trace->count - 1] = fmin(trace->low[trace->count - 1], x);
        trace->high[trace->count - 1] = fmax(trace->high[trace->count - 1], x);
    }
    trace->filled = trace->filled + 1 < trace->per_step ? trace->filled + 1 : 0;
}

/* A gap is drawn as a line at 0. */
void sg_trace_add(struct sg_trace *trace, const double *sample, size_t count, double time_s)
{
    if (!sg_is_set(trace->start_s))
        trace->start_s = time_s;
    double now = (double)trace->count * (double)trace->per_step -
                 (trace->filled > 0 ? (double)(trace->per_step - trace->filled) : 0.0);
    double missing = floor((time_s - trace->start_s) * trace->rate_hz - now + 0.5);
    for (; missing > 0.0; missing -= 1.0)
        add_sample(trace, 0.0);
    for (size_t i = 0; i < count; i++)
        add_sample(trace, sample[i]);
}

double sg_trace_step_s(const struct sg_trace *trace)
{
    return (double)trace->per_step / trace->rate_hz;
}

/* ---- spectrogram ----------------------------------------------------------------------------- */

sg_status sg_mosaic_init(struct sg_mosaic *mosaic, double rate_hz, double top_hz)
{
    struct sg_mosaic made = { .rate_hz = rate_hz, .start_s = SG_UNSET, .per_column = 1 };
    made.length = 64;
    while ((double)made.length * 4.0 * top_hz / rate_hz < 1024.0 && made.length < 65536)
        made.length *= 2;
    made.line_step_hz = rate_hz / (double)made.length;
    size_t all = made.length / 2 + 1;
    made.nline = (size_t)(top_hz / made.line_step_hz) + 1;
    made.nline = made.nline < all ? made.nline : all;
    made.density = sg_alloc(SG_MOSAIC_COLUMNS * made.nline, sizeof *made.density);
    made.window = sg_alloc(made.length, sizeof *made.window);
    made.piece = sg_alloc(made.length, sizeof *made.piece);
    made.work = sg_alloc(made.length, sizeof *made.work);
    made.power = sg_alloc(all, sizeof *made.power);
    sg_status status = made.density && made.window && made.piece && made.work && made.power
                           ? sg_transform_new(made.length, &made.transform)
                           : SG_ERR_NOMEM;
    if (!sg_ok(status)) {
        sg_mosaic_release(&made);
        return status;
    }
    double coherent, enbw;
    sg_taper_fill(SG_TAPER_HANN, made.window, made.length, &coherent, &enbw);
    *mosaic = made;
    return SG_OK;
}

void sg_mosaic_release(struct sg_mosaic *mosaic)
{
    sg_free(mosaic->density);
    sg_free(mosaic->window);
    sg_free(mosaic->piece);
    sg_free(mosaic->work);
    sg_free(mosaic->power);
    sg_transform_free(mosaic->transform);
    *mosaic = (struct sg_mosaic){ .rate_hz = 0.0 };
}

static void join_columns(struct sg_mosaic *mosaic)
{
    size_t n = mosaic->nline;
    for (size_t i = 0; i < SG_MOSAIC_COLUMNS / 2; i++)
        for (size_t k = 0; k < n; k++)
            mosaic->density[i * n + k] =
                0.5 * (mosaic->density[2 * i * n + k] + mosaic->density[(2 * i + 1) * n + k]);
    mosaic->count = SG_MOSAIC_COLUMNS / 2;
    mosaic->per_column *= 2;
}

static void end_piece(struct sg_mosaic *mosaic)
{
    double squares = 0.0;
    for (size_t i = 0; i < mosaic->length; i++) {
        mosaic->work[i] = mosaic->piece[i] * mosaic->window[i];
        squares += mosaic->window[i] * mosaic->window[i];
    }
    sg_transform_power(mosaic->transform, mosaic->work, mosaic->power);
    if (mosaic->filled == 0) {
        if (mosaic->count == SG_MOSAIC_COLUMNS)
            join_columns(mosaic);
        mosaic->count++;
        memset(mosaic->density + (mosaic->count - 1) * mosaic->nline, 0,
               mosaic->nline * sizeof *mosaic->density);
    }
    double scale = 2.0 / (mosaic->rate_hz * squares * (double)mosaic->per_column);
    for (size_t k = 0; k < mosaic->nline; k++)
        mosaic->density[(mosaic->count - 1) * mosaic->nline + k] += mosaic->power[k] * scale;
    mosaic->filled = mosaic->filled + 1 < mosaic->per_column ? mosaic->filled + 1 : 0;
    memmove(mosaic->piece, mosaic->piece + mosaic->length / 2,
            mosaic->length / 2 * sizeof *mosaic->piece);
    mosaic->at = mosaic->length / 2;
}

void sg_mosaic_add(struct sg_mosaic *mosaic, const double *sample, size_t count, double time_s)
{
    if (!sg_is_set(mosaic->start_s))
        mosaic->start_s = time_s;
    for (size_t i = 0; i < count; i++) {
        mosaic->piece[mosaic->at++] = sample[i];
        if (mosaic->at == mosaic->length)
            end_piece(mosaic);
    }
}

double sg_mosaic_step_s(const struct sg_mosaic *mosaic)
{
    return (double)mosaic->per_column * (double)(mosaic->length / 2) / mosaic->rate_hz;
}
