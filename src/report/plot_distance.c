/* plot_distance.c - level against distance, a line and a band a method, with the limits in use.
 * The curve of a method is its relation with the drive that governs at its worst receptor.
 */
#include "internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define POINTS 61
#define LIMITS_MOST 16
#define LABEL_MOST 60 /* characters that fit beside the frame */
#define SAME_VALUE 0.005
#define FRAME_PX 390.0
#define TOP_PX 28.0
#define BOTTOM_PX 70.0 /* below the frame, without the key */
#define KEY_LINE_PX 18.0
#define LABEL_GAP_PX 13.5

struct limit_line {
    double value;
    const struct sg_verdict *verdict; /* first of this value */
    size_t more;                      /* other rows of the same value */
    double at;                        /* of the label, share of the frame's height */
};

struct limit_lines {
    struct limit_line line[LIMITS_MOST];
    size_t count, left_out;
};

static bool is_drawn(const struct sg_verdict *verdict)
{
    const struct sg_limit_row *row = verdict->row;
    if (row == NULL || verdict->set == NULL || !(verdict->limit > 0.0))
        return false;
    return row->quantity == SG_Q_PPV &&
           (row->position == SG_AT_FREE_FIELD || row->position == SG_AT_FOUNDATION ||
            row->position == SG_AT_BOUNDARY || row->position == SG_AT_ASSET);
}

static struct limit_line *find_value(struct limit_lines *lines, double value)
{
    for (size_t i = 0; i < lines->count; i++)
        if (fabs(lines->line[i].value - value) <= SAME_VALUE * value)
            return &lines->line[i];
    return NULL;
}

/* Keeps the lowest values when there are more than can be told apart. */
static void add_limit(struct limit_lines *lines, const struct sg_verdict *verdict)
{
    struct limit_line *same = find_value(lines, verdict->limit);
    if (same != NULL) {
        same->more += same->verdict->row != verdict->row;
        return;
    }
    size_t at = lines->count;
    while (at > 0 && lines->line[at - 1].value > verdict->limit)
        at--;
    if (lines->count == LIMITS_MOST) {
        lines->left_out = 1;
        if (at == LIMITS_MOST)
            return;
        lines->count--;
    }
    memmove(&lines->line[at + 1], &lines->line[at], (lines->count - at) * sizeof lines->line[0]);
    lines->line[at] = (struct limit_line){ .value = verdict->limit, .verdict = verdict };
    lines->count++;
}

static void collect_limits(const struct sg_study *study, struct limit_lines *out)
{
    *out = (struct limit_lines){ .count = 0 };
    for (size_t i = 0; i < study->nmethod * study->nreceptor; i++)
        for (size_t k = 0; k < study->outcome[i].nverdict; k++)
            if (is_drawn(&study->outcome[i].verdict[k]))
                add_limit(out, &study->outcome[i].verdict[k]);
}

/* The outcome with the largest predicted velocity of a method; NULL = none. */
static const struct sg_outcome *worst_outcome(const struct sg_study *study, size_t method)
{
    const struct sg_outcome *worst = NULL;
    for (size_t receptor = 0; receptor < study->nreceptor; receptor++) {
        const struct sg_outcome *outcome = sg_study_outcome(study, method, receptor);
        bool usable = outcome->ppv.quantity == SG_Q_PPV && sg_is_set(outcome->ppv.central);
        if (usable && (worst == NULL || outcome->ppv.central > worst->ppv.central))
            worst = outcome;
    }
    return worst;
}

static double farthest_m(const struct sg_study *study)
{
    double farthest = 100.0;
    for (size_t i = 0; i < study->nmethod * study->nreceptor; i++)
        farthest = fmax(farthest, study->outcome[i].distance_m);
    return fmin(50.0 * ceil(farthest / 50.0), 500.0);
}

struct span {
    double low, high;
};

static void stretch(struct span *span, double value)
{
    if (!(value > 0.0) || !isfinite(value))
        return;
    span->low = fmin(span->low, value);
    span->high = fmax(span->high, value);
}

/* One block of data: distance, central, upper. False when the method has no curve. */
static bool put_curve(const struct sg_study *study, const struct sg_outcome *outcome, double far_m,
                      struct sg_text *data, struct span *span)
{
    const struct sg_model *model =
        outcome == NULL ? NULL : study->site->method[outcome->method].model;
    if (model == NULL)
        return false;
    for (int i = 0; i < POINTS; i++) {
        struct sg_value value = SG_VALUE_INIT;
        double distance_m = pow(far_m, (double)i / (double)(POINTS - 1));
        if (!sg_ok(sg_vibration_at(model, &outcome->drive, distance_m, &value, NULL, NULL)))
            continue;
        stretch(span, value.central);
        stretch(span, value.upper);
        sg_text_printf(data, "%.6g %.6g %.6g\n", distance_m, value.central, value.upper);
    }
    sg_text_put(data, "\n\n");
    return true;
}

static void put_limit_label(const struct limit_line *line, struct sg_text *script)
{
    const struct sg_verdict *verdict = line->verdict;
    struct sg_text full = SG_TEXT_INIT, cut = SG_TEXT_INIT;
    sg_text_printf(&full, "%.3g: %s, %s", line->value, verdict->set->id, verdict->row->label);
    if (sg_is_set(verdict->frequency_hz))
        sg_text_printf(&full, ", %.3g Hz", verdict->frequency_hz);
    sg_report_put_cut(&cut, sg_text_string(&full), LABEL_MOST - (line->more > 0 ? 5 : 0));
    if (line->more > 0)
        sg_text_printf(&cut, " (+%zu)", line->more);
    sg_report_put_quoted(script, sg_text_string(&cut));
    script->failed = script->failed || full.failed || cut.failed;
    sg_text_release(&full);
    sg_text_release(&cut);
}

/* Moves labels apart so that none covers another; the lines are sorted by value. */
static void place_labels(struct limit_lines *lines, struct span span, double gap)
{
    double scale = log10(span.high / span.low);
    double floor_at = 0.0;
    for (size_t i = 0; i < lines->count; i++) {
        double own = log10(lines->line[i].value / span.low) / scale;
        lines->line[i].at = fmax(own, floor_at);
        floor_at = lines->line[i].at + gap;
    }
    double ceiling_at = 1.0;
    for (size_t i = lines->count; i-- > 0;) {
        lines->line[i].at = fmin(lines->line[i].at, ceiling_at);
        ceiling_at = lines->line[i].at - gap;
    }
}

static void put_limits(const struct limit_lines *lines, struct sg_text *script)
{
    for (size_t i = 0; i < lines->count; i++) {
        const struct limit_line *line = &lines->line[i];
        sg_text_printf(script,
                       "set arrow from graph 0, first %.6g to graph 1, first %.6g nohead "
                       "lc rgb '#505050' lw 0.8 dt (2,2) back\n"
                       "set arrow from graph 1, first %.6g to graph 1.035, graph %.4f nohead "
                       "lc rgb '#A0A0A0' lw 0.6\n"
                       "set label ",
                       line->value, line->value, line->value, line->at);
        put_limit_label(line, script);
        sg_text_printf(script, " at graph 1.045, graph %.4f left font ',10'\n", line->at);
    }
    sg_text_printf(script,
                   "set label 'Limits in mm/s%s' at graph 1.0, screen 0.98 left "
                   "font ',10'\n",
                   lines->left_out > 0 ? " (the lowest; higher ones not drawn)" : "");
}

static void put_frame(double far_m, struct span span, struct sg_plot *plot)
{
    sg_text_printf(&plot->script,
                   "set logscale xy\nset xrange [1:%.6g]\nset yrange [%.6g:%.6g]\n"
                   "set xtics (1,2,5,10,20,50,100,200,500)\nset format y '%%g'\n"
                   "set lmargin at screen 0.085\nset rmargin at screen 0.55\n"
                   "set tmargin at screen %.4f\nset bmargin at screen %.4f\n"
                   "set xlabel 'plan distance from the pile (m)'\n"
                   "set ylabel 'peak particle velocity, ground, free field (mm/s)'\n"
                   "set key at screen 0.085, screen %.4f left bottom vertical Left reverse "
                   "samplen 6 maxcols 1\n"
                   "set label 'line with markers: central; band and thin line: upper value' "
                   "at screen 0.085, screen 0.98 left font ',10'\n",
                   far_m, span.low, span.high, 1.0 - TOP_PX / plot->height_px,
                   1.0 - (TOP_PX + FRAME_PX) / plot->height_px, 6.0 / plot->height_px);
}

static void put_curves(const struct sg_site *site, const bool *drawn, struct sg_text *script)
{
    size_t block = 0;
    sg_text_put(script, "plot ");
    for (size_t method = 0; method < site->nmethod; method++) {
        if (!drawn[method])
            continue;
        size_t type = method % 8 + 1;
        sg_text_printf(script,
                       "%s@DATA index %zu using 1:2:3 with filledcurves fs transparent solid 0.13 "
                       "noborder lt %zu notitle, "
                       "@DATA index %zu using 1:3 with lines lt %zu lw 0.9 notitle, "
                       "@DATA index %zu using 1:2 with linespoints lt %zu pi -%zu title ",
                       block > 0 ? ", " : "", block, type, block, type, block, type,
                       6 + method % 4);
        sg_report_put_quoted(script, site->method[method].name);
        block++;
    }
    if (block == 0)
        sg_text_put(script, "NaN title 'no method has a relation for velocity'");
    sg_text_put(script, "\n");
}

sg_status sg_plot_distance_script(const struct sg_study *study, struct sg_plot *out)
{
    struct limit_lines lines;
    struct span span = { SG_INFINITY, 0.0 };
    double far_m = farthest_m(study);
    bool *drawn = sg_alloc(study->nmethod + 1, sizeof *drawn);
    if (drawn == NULL)
        return SG_ERR_NOMEM;

    *out = SG_PLOT_INIT;
    out->id = "distance";
    out->title = "Peak particle velocity against distance";
    out->description = "For each method the central value as a line with markers and the range up "
                       "to the upper value as a band, against plan distance from the pile, both "
                       "axes logarithmic; limits in use as dotted horizontal lines with names.";
    out->width_px = 900.0;
    out->height_px = TOP_PX + FRAME_PX + BOTTOM_PX + KEY_LINE_PX * (double)study->nmethod;
    for (size_t method = 0; method < study->nmethod; method++)
        drawn[method] = put_curve(study, worst_outcome(study, method), far_m, &out->data, &span);
    collect_limits(study, &lines);
    for (size_t i = 0; i < lines.count; i++)
        stretch(&span, lines.line[i].value);
    if (!(span.high > span.low))
        span = (struct span){ 0.1, 100.0 };
    span.low = fmax(span.low / 1.3, span.high * 1e-5);
    span.high *= 1.3;
    place_labels(&lines, span, LABEL_GAP_PX / FRAME_PX);
    put_frame(far_m, span, out);
    put_limits(&lines, &out->script);
    put_curves(study->site, drawn, &out->script);
    sg_free(drawn);
    return out->data.failed || out->script.failed ? SG_ERR_NOMEM : SG_OK;
}

sg_status sg_plot_distance(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                           struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_distance_script(study, &plot);
    if (!sg_ok(status)) {
        sg_plot_release(&plot);
        return status;
    }
    return sg_plot_finish(&plot, keep_dir, svg, errors);
}
