/* plot_curves.c - the limits in use on peak particle velocity over frequency, and for each method
 * the predicted value at the receptor that comes closest to one of them, as a bar: as wide as the
 * frequencies at which it can arise, as high as the way from the central to the upper value. When
 * that limit is the same at all frequencies, an open bar tells of the closest one that is not.
 */
#include "internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CURVES_MOST 20
#define DOCUMENTS_MOST 8
#define POINTS 97
#define LABEL_MOST 56 /* characters that fit beside the frame */
#define KEY_MOST 120
#define FRAME_PX 390.0
#define TOP_PX 28.0
#define BOTTOM_PX 70.0 /* below the frame, without the key */
#define KEY_LINE_PX 18.0
#define LABEL_GAP_PX 13.5
#define LEAST_HZ 1.0
#define MOST_HZ 100.0
#define THIN 1.02 /* half the width of a bar of one frequency, as a ratio */

struct curve {
    const struct sg_verdict *verdict; /* first of this row and factor */
    size_t document;                  /* number of its document */
    double end_hz, end;               /* where the curve leaves the frame or ends */
    double at;                        /* of the label, share of the frame's height */
    double ratio;                     /* highest value over the limit */
};

struct curves {
    struct curve curve[CURVES_MOST];
    size_t count, left_out;
    const char *document[DOCUMENTS_MOST];
    size_t ndocument;
};

struct span {
    double low, high;
};

struct bar {
    const struct sg_outcome *outcome; /* NULL = no limit on velocity was judged */
    const struct sg_verdict *verdict;
    double low_hz, high_hz; /* unset = not known */
    size_t method;
    bool open; /* the method's second bar */
};

static bool is_drawn(const struct sg_verdict *verdict)
{
    const struct sg_limit_row *row = verdict->row;
    if (row == NULL || verdict->set == NULL || !(verdict->limit > 0.0) || verdict->outside_scope)
        return false;
    return row->quantity == SG_Q_PPV && row->nnode > 0 && verdict->factor > 0.0 &&
           (row->position == SG_AT_FREE_FIELD || row->position == SG_AT_FOUNDATION ||
            row->position == SG_AT_BOUNDARY || row->position == SG_AT_ASSET);
}

static void stretch(struct span *span, double value)
{
    if (!(value > 0.0) || !isfinite(value))
        return;
    span->low = fmin(span->low, value);
    span->high = fmax(span->high, value);
}

/* ---- which curves ---------------------------------------------------------------------------- */

/* Owners' values are rows made for one receptor: they are the same curve when they say the same. */
static bool same_curve(const struct sg_verdict *a, const struct sg_verdict *b)
{
    bool same_row =
        a->row == b->row || (sg_same(a->set->id, "OWNER") && sg_same(b->set->id, "OWNER") &&
                             !(fabs(a->limit - b->limit) > 0.0));
    return same_row && !(fabs(a->factor - b->factor) > 1e-9);
}

static size_t document_of(struct curves *curves, const char *document)
{
    for (size_t i = 0; i < curves->ndocument; i++)
        if (sg_same(curves->document[i], document))
            return i;
    if (curves->ndocument == DOCUMENTS_MOST)
        return DOCUMENTS_MOST - 1; /* the rest share the last pattern; labels tell them apart */
    curves->document[curves->ndocument] = document;
    return curves->ndocument++;
}

/* The limits that are come closest to are kept when there are more than can be told apart. */
static void add_curve(struct curves *curves, const struct sg_verdict *verdict)
{
    double ratio = sg_is_set(verdict->ratio_upper) ? verdict->ratio_upper : 0.0;
    size_t lowest = 0;
    for (size_t i = 0; i < curves->count; i++) {
        if (same_curve(curves->curve[i].verdict, verdict)) {
            curves->curve[i].ratio = fmax(curves->curve[i].ratio, ratio);
            return;
        }
        if (curves->curve[i].ratio < curves->curve[lowest].ratio)
            lowest = i;
    }
    struct curve added = { .verdict = verdict, .ratio = ratio };
    if (curves->count < CURVES_MOST) {
        curves->curve[curves->count++] = added;
        return;
    }
    curves->left_out = 1;
    if (ratio > curves->curve[lowest].ratio)
        curves->curve[lowest] = added;
}

static void collect_curves(const struct sg_study *study, struct curves *out)
{
    *out = (struct curves){ .count = 0 };
    for (size_t i = 0; i < study->nmethod * study->nreceptor; i++)
        for (size_t k = 0; k < study->outcome[i].nverdict; k++)
            if (is_drawn(&study->outcome[i].verdict[k]))
                add_curve(out, &study->outcome[i].verdict[k]);
    for (size_t i = 0; i < out->count; i++)
        out->curve[i].document = document_of(out, out->curve[i].verdict->set->document);
}

/* ---- bars ------------------------------------------------------------------------------------ */

/* The frequencies of the moment that the limit was read in. */
static void find_band(struct bar *bar)
{
    const struct sg_outcome *outcome = bar->outcome;
    const struct sg_value *value = &outcome->ppv;
    double at_hz = bar->verdict->frequency_hz;
    for (size_t i = 0; i < outcome->nmoment && sg_is_set(at_hz); i++) {
        const struct sg_value *of = &outcome->moment[i].ppv;
        if (at_hz >= of->frequency_low_hz && at_hz <= of->frequency_high_hz) {
            value = of;
            break;
        }
    }
    bar->low_hz = value->frequency_low_hz;
    bar->high_hz = value->frequency_high_hz;
    if (!sg_is_set(bar->low_hz))
        bar->low_hz = bar->high_hz;
    if (!sg_is_set(bar->high_hz))
        bar->high_hz = bar->low_hz;
}

static bool by_frequency(const struct sg_limit_row *row)
{
    return row->nnode > 1 || row->below != SG_BELOW_EXTEND || row->above_hz > 0.0;
}

static struct bar bar_of(const struct sg_study *study, size_t method, bool open)
{
    struct bar bar = { NULL, NULL, SG_UNSET, SG_UNSET, method, open };
    for (size_t receptor = 0; receptor < study->nreceptor; receptor++) {
        const struct sg_outcome *outcome = sg_study_outcome(study, method, receptor);
        for (size_t k = 0; k < outcome->nverdict; k++) {
            const struct sg_verdict *verdict = &outcome->verdict[k];
            if (!is_drawn(verdict) || !(verdict->ratio_upper > 0.0) ||
                (open && !by_frequency(verdict->row)))
                continue;
            if (bar.verdict == NULL || verdict->ratio_upper > bar.verdict->ratio_upper) {
                bar.outcome = outcome;
                bar.verdict = verdict;
            }
        }
    }
    if (bar.verdict != NULL)
        find_band(&bar);
    return bar;
}

/* One or two bars a method, at most 2 * nmethod; returns how many. */
static size_t make_bars(const struct sg_study *study, struct bar *bar)
{
    size_t count = 0;
    for (size_t method = 0; method < study->nmethod; method++) {
        bar[count] = bar_of(study, method, false);
        bool flat = bar[count].verdict != NULL && !by_frequency(bar[count].verdict->row);
        count++;
        bar[count] = bar_of(study, method, true);
        count += flat && bar[count].verdict != NULL;
    }
    return count;
}

static bool bar_is_drawn(const struct bar *bar)
{
    return bar->verdict != NULL && bar->low_hz > 0.0 && bar->verdict->value_upper > 0.0;
}

/* ---- data ------------------------------------------------------------------------------------ */

static void put_point(struct curve *curve, double hz, struct sg_text *data, struct span *span)
{
    double value = SG_UNSET;
    if (!sg_ok(sg_limit_at(curve->verdict->row, hz, &value)))
        return;
    value *= curve->verdict->factor;
    stretch(span, value);
    curve->end_hz = hz;
    curve->end = value;
    sg_text_printf(data, "%.6g %.6g\n", hz, value);
}

/* Points on a logarithmic raster with the nodes among them, and one just below each, where a curve
 * may jump. */
static void put_curve(struct curve *curve, struct span hz, struct sg_text *data, struct span *span)
{
    const struct sg_limit_row *row = curve->verdict->row;
    size_t node = 0;
    for (int i = 0; i < POINTS; i++) {
        double at_hz = hz.low * pow(hz.high / hz.low, (double)i / (double)(POINTS - 1));
        for (; node < row->nnode && row->node[node].frequency_hz <= at_hz; node++) {
            if (row->node[node].frequency_hz > hz.low) {
                put_point(curve, row->node[node].frequency_hz * (1.0 - 1e-6), data, span);
                put_point(curve, row->node[node].frequency_hz, data, span);
            }
        }
        put_point(curve, at_hz, data, span);
    }
    sg_text_put(data, "NaN NaN\n\n\n");
}

/* ---- script ---------------------------------------------------------------------------------- */

static int by_end(const void *a, const void *b)
{
    const struct curve *left = a, *right = b;
    if (left->end < right->end || left->end > right->end)
        return left->end < right->end ? -1 : 1;
    return strcmp(left->verdict->set->id, right->verdict->set->id);
}

/* Moves labels apart so that none covers another; the curves are sorted by their ends. */
static void place_labels(struct curves *curves, struct span span, double gap)
{
    double scale = log10(span.high / span.low), floor_at = 0.0, ceiling_at = 1.0;
    for (size_t i = 0; i < curves->count; i++) {
        double own = log10(curves->curve[i].end / span.low) / scale;
        curves->curve[i].at = fmax(own, floor_at);
        floor_at = curves->curve[i].at + gap;
    }
    for (size_t i = curves->count; i-- > 0;) {
        curves->curve[i].at = fmin(curves->curve[i].at, ceiling_at);
        ceiling_at = curves->curve[i].at - gap;
    }
}

static void put_label(const struct curve *curve, struct sg_text *script)
{
    const struct sg_verdict *verdict = curve->verdict;
    struct sg_text full = SG_TEXT_INIT, cut = SG_TEXT_INIT;
    if (fabs(verdict->factor - 1.0) > 1e-9)
        sg_text_printf(&full, "%.3g x ", verdict->factor);
    sg_text_printf(&full, "%s, %s", verdict->set->id, verdict->row->label);
    sg_report_put_cut(&cut, sg_text_string(&full), LABEL_MOST);
    sg_report_put_quoted(script, sg_text_string(&cut));
    script->failed = script->failed || full.failed || cut.failed;
    sg_text_release(&full);
    sg_text_release(&cut);
}

static void put_labels(const struct curves *curves, struct sg_text *script)
{
    for (size_t i = 0; i < curves->count; i++) {
        const struct curve *curve = &curves->curve[i];
        sg_text_printf(script,
                       "set arrow from first %.6g, first %.6g to graph 1.035, graph %.4f nohead "
                       "lc rgb '#A0A0A0' lw 0.6\nset label ",
                       curve->end_hz, curve->end, curve->at);
        put_label(curve, script);
        sg_text_printf(script, " at graph 1.045, graph %.4f left font ',10'\n", curve->at);
    }
    sg_text_printf(script, "set label 'Limits%s' at graph 1.0, screen 0.98 left font ',10'\n",
                   curves->left_out > 0 ? " (those come closest to; others not drawn)" : "");
}

static void put_frame(struct span hz, struct span span, struct sg_plot *plot)
{
    sg_text_printf(&plot->script,
                   "set logscale xy\nset xrange [%.6g:%.6g]\nset yrange [%.6g:%.6g]\n"
                   "set xtics (0.5,1,2,5,10,20,50,100,200,500)\nset format y '%%g'\n"
                   "set lmargin at screen 0.085\nset rmargin at screen 0.55\n"
                   "set tmargin at screen %.4f\nset bmargin at screen %.4f\n"
                   "set xlabel 'frequency (Hz)'\n"
                   "set ylabel 'peak particle velocity (mm/s)'\n"
                   "set key at screen 0.02, screen %.4f left bottom vertical Left reverse "
                   "samplen 3 maxcols 1 font ',10'\n",
                   hz.low, hz.high, span.low, span.high, 1.0 - TOP_PX / plot->height_px,
                   1.0 - (TOP_PX + FRAME_PX) / plot->height_px, 6.0 / plot->height_px);
}

static void put_key(const struct sg_study *study, const struct bar *bar, struct sg_text *script)
{
    const struct sg_site *site = study->site;
    struct sg_text full = SG_TEXT_INIT, cut = SG_TEXT_INIT;
    sg_text_printf(&full, "%s: ", site->method[bar->method].name);
    if (bar->verdict == NULL)
        sg_text_put(&full, "no limit on velocity was judged");
    else if (!bar_is_drawn(bar))
        sg_text_put(&full, "frequency not known, no bar");
    else
        sg_text_printf(&full, "%s, %s%s", site->receptor[bar->outcome->receptor].name,
                       bar->verdict->set->id, bar->open ? " (open bar)" : "");
    sg_report_put_cut(&cut, sg_text_string(&full), KEY_MOST);
    sg_report_put_quoted(script, sg_text_string(&cut));
    script->failed = script->failed || full.failed || cut.failed;
    sg_text_release(&full);
    sg_text_release(&cut);
}

/* Dashes tell documents apart, colours methods. */
static void put_bar(const struct bar *bar, size_t block, struct sg_text *script)
{
    size_t type = bar->method % 8 + 1;
    sg_text_printf(script,
                   ", @DATA index %zu using 1:2:1:3:2:4 with boxxyerror "
                   "fs %s border lt %zu lt %zu lw 1.6 dt %s notitle"
                   ", @DATA index %zu using (sqrt($1*$3)):4 with points lt %zu ps %s notitle",
                   block, bar->open ? "empty" : "transparent solid 0.35", type, type,
                   bar->open ? "(5,3)" : "solid", block, type, bar->open ? "0.5" : "0.9");
}

/* Dashes tell documents apart, colours methods. */
static void put_all(const struct sg_study *study, const struct curves *curves,
                    const struct bar *bar, size_t nbar, struct sg_text *script)
{
    static const char *const dash[DOCUMENTS_MOST] = { "(6,3)",          "(2,2)", "(10,3,2,3)",
                                                      "(12,4)",         "(1,3)", "(6,2,1,2,1,2)",
                                                      "(14,3,4,3,4,3)", "(4,6)" };
    sg_text_put(script, "plot NaN notitle");
    for (size_t i = 0; i < curves->count; i++)
        sg_text_printf(script,
                       ", @DATA index %zu using 1:2 with lines lc rgb '#404040' lw 1.3 dt %s "
                       "notitle",
                       i, dash[curves->curve[i].document]);
    for (size_t i = 0, block = curves->count; i < nbar; i++) {
        if (bar_is_drawn(&bar[i]))
            put_bar(&bar[i], block++, script);
        sg_text_printf(script, ", keyentry with linespoints lt %zu lw %s dt %s ps %s title ",
                       bar[i].method % 8 + 1, bar[i].open ? "1.6" : "3",
                       bar[i].open ? "(5,3)" : "solid", bar[i].open ? "0.5" : "0.9");
        put_key(study, &bar[i], script);
    }
    sg_text_put(script, "\n");
}

/* ---- all of it ------------------------------------------------------------------------------- */

static void put_bars(const struct bar *bar, size_t count, struct sg_text *data, struct span *span)
{
    for (size_t i = 0; i < count; i++) {
        if (!bar_is_drawn(&bar[i]))
            continue;
        const struct sg_verdict *verdict = bar[i].verdict;
        bool thin = bar[i].high_hz < bar[i].low_hz * THIN * THIN;
        double low = thin ? bar[i].low_hz / THIN : bar[i].low_hz;
        double high = thin ? bar[i].high_hz * THIN : bar[i].high_hz;
        double upper = verdict->value_upper;
        double central = verdict->value_central > 0.0 ? verdict->value_central : upper / THIN;
        stretch(span, central);
        stretch(span, upper);
        sg_text_printf(data, "%.6g %.6g %.6g %.6g\n\n\n", low, central, high, upper);
    }
}

static struct span frequencies(const struct bar *bar, size_t count)
{
    struct span hz = { LEAST_HZ, MOST_HZ };
    for (size_t i = 0; i < count; i++) {
        if (!bar_is_drawn(&bar[i]))
            continue;
        stretch(&hz, bar[i].low_hz / 1.1);
        stretch(&hz, bar[i].high_hz * 1.1);
    }
    return hz;
}

static const char description[] =
    "Limits in use on peak particle velocity over frequency, both axes logarithmic, one dash "
    "pattern a document, factors of the document applied. A bar a method: the predicted value at "
    "the receptor that comes closest to one of these limits, at the place of that limit, as wide "
    "as the frequencies at which it can arise, from the central to the upper value (mark). When "
    "that limit is the same at all frequencies, an open bar shows the closest one that is not. A "
    "bar holds for its own limit; others may be for other places and uses.";

sg_status sg_plot_curves_script(const struct sg_study *study, struct sg_plot *out)
{
    struct curves curves;
    struct span span = { SG_INFINITY, 0.0 };
    struct bar *bar = sg_alloc(2 * study->nmethod + 1, sizeof *bar);
    *out = SG_PLOT_INIT;
    if (bar == NULL)
        return SG_ERR_NOMEM;
    out->id = "limit-curves";
    out->title = "Limits over frequency and predicted values";
    out->description = description;
    out->width_px = 900.0;
    size_t nbar = make_bars(study, bar);
    out->height_px = TOP_PX + FRAME_PX + BOTTOM_PX + KEY_LINE_PX * (double)nbar;
    struct span hz = frequencies(bar, nbar);
    collect_curves(study, &curves);
    for (size_t i = 0; i < curves.count; i++) /* for the ends, by which they are sorted */
        put_curve(&curves.curve[i], hz, &out->data, &span);
    sg_text_release(&out->data);
    out->data = SG_TEXT_INIT;
    qsort(curves.curve, curves.count, sizeof curves.curve[0], by_end);
    for (size_t i = 0; i < curves.count; i++)
        put_curve(&curves.curve[i], hz, &out->data, &span);
    put_bars(bar, nbar, &out->data, &span);
    if (!(span.high > 0.0))
        span = (struct span){ 0.1, 100.0 };
    span = (struct span){ fmax(span.low / 1.5, span.high * 1e-5), span.high * 1.5 };
    place_labels(&curves, span, LABEL_GAP_PX / FRAME_PX);
    put_frame(hz, span, out);
    put_labels(&curves, &out->script);
    put_all(study, &curves, bar, nbar, &out->script);
    sg_free(bar);
    return out->data.failed || out->script.failed ? SG_ERR_NOMEM : SG_OK;
}

sg_status sg_plot_curves(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                         struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_curves_script(study, &plot);
    if (!sg_ok(status)) {
        sg_plot_release(&plot);
        return status;
    }
    return sg_plot_finish(&plot, keep_dir, svg, errors);
}
