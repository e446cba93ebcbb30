/* plot_receptors.c - every receptor against its closest limit, a mark a method: vibration as a
 * ratio to the limit, sound as a difference from it. Receptors stand in the order of their
 * highest ratio.
 */
#include "internal.h"

#include <math.h>
#include <stdlib.h>

#define RECEPTORS_MOST 40
#define NAME_MOST 32
#define ROW_PX 24.0
#define TOP_PX 58.0
#define BOTTOM_PX 52.0 /* below the frame, without the key */
#define KEY_LINE_PX 18.0

enum panel { VIBRATION, SOUND, PANEL_END };

struct line {
    size_t receptor;
    double highest; /* upper ratio over all methods and limits; unset = none judged */
};

struct span {
    double low, high;
};

static bool belongs(const struct sg_verdict *verdict, enum panel panel)
{
    if (verdict->row == NULL)
        return false;
    enum sg_quantity quantity = verdict->row->quantity;
    bool sound = quantity == SG_Q_LAEQ || quantity == SG_Q_LAFMAX;
    return sound == (panel == SOUND);
}

/* The verdict of a panel with the highest upper ratio; NULL = none has a ratio. */
static const struct sg_verdict *closest(const struct sg_outcome *outcome, enum panel panel)
{
    const struct sg_verdict *best = NULL;
    for (size_t i = 0; i < outcome->nverdict; i++) {
        const struct sg_verdict *verdict = &outcome->verdict[i];
        bool usable =
            belongs(verdict, panel) && verdict->ratio_upper > 0.0 && isfinite(verdict->ratio_upper);
        if (usable && (best == NULL || verdict->ratio_upper > best->ratio_upper))
            best = verdict;
    }
    return best;
}

static bool is_open(const struct sg_outcome *outcome, enum panel panel)
{
    for (size_t i = 0; i < outcome->nverdict; i++)
        if (outcome->verdict[i].state == SG_NOT_DETERMINABLE &&
            belongs(&outcome->verdict[i], panel))
            return true;
    return false;
}

static int by_highest(const void *a, const void *b)
{
    const struct line *left = a, *right = b;
    double l = sg_is_set(left->highest) ? left->highest : -1.0;
    double r = sg_is_set(right->highest) ? right->highest : -1.0;
    if (l > r || l < r)
        return l > r ? -1 : 1;
    return left->receptor < right->receptor ? -1 : left->receptor > right->receptor;
}

static struct line *sorted_lines(const struct sg_study *study)
{
    struct line *lines = sg_alloc(study->nreceptor + 1, sizeof *lines);
    for (size_t i = 0; lines != NULL && i < study->nreceptor; i++) {
        lines[i] = (struct line){ i, SG_UNSET };
        for (size_t k = 0; k < study->nmethod * (size_t)PANEL_END; k++) {
            const struct sg_outcome *outcome = sg_study_outcome(study, k / PANEL_END, i);
            const struct sg_verdict *verdict = closest(outcome, (enum panel)(k % PANEL_END));
            if (verdict != NULL)
                lines[i].highest = fmax(lines[i].highest, verdict->ratio_upper);
        }
    }
    if (lines != NULL)
        qsort(lines, study->nreceptor, sizeof *lines, by_highest);
    return lines;
}

static double row_at(size_t rank, size_t shown, size_t method, size_t nmethod)
{
    double share = nmethod < 2 ? 0.0 : (double)method / (double)(nmethod - 1) - 0.5;
    return (double)(shown - rank) - 0.6 * share;
}

/* Where a verdict stands on the axis of its panel. */
static void place(const struct sg_verdict *verdict, double *central, double *upper)
{
    if (sg_quantity_is_level(verdict->row->quantity)) {
        *central = verdict->value_central - verdict->limit;
        *upper = verdict->value_upper - verdict->limit;
    } else {
        *central = verdict->ratio_central > 0.0 ? verdict->ratio_central : verdict->ratio_upper;
        *upper = verdict->ratio_upper;
    }
}

/* A block of data: row, central, upper; its last row has no numbers, so that no block is empty. */
static void put_block(const struct sg_study *study, const struct line *lines, size_t shown,
                      size_t block, struct sg_plot *plot, struct span *span)
{
    enum panel panel = block < study->nmethod ? VIBRATION : SOUND;
    size_t method = block % study->nmethod;
    for (size_t rank = 0; rank < shown; rank++) {
        const struct sg_outcome *outcome = sg_study_outcome(study, method, lines[rank].receptor);
        const struct sg_verdict *verdict = closest(outcome, panel);
        double central, upper;
        if (verdict == NULL)
            continue;
        place(verdict, &central, &upper);
        span->low = fmin(span->low, central);
        span->high = fmax(span->high, upper);
        sg_text_printf(&plot->data, "%.4f %.6g %.6g\n", row_at(rank, shown, method, study->nmethod),
                       central, upper);
    }
    sg_text_put(&plot->data, "NaN NaN NaN\n\n\n");
}

/* A question mark where limits of the panel's kind apply and none could be judged. */
static void put_open(const struct sg_study *study, const struct line *lines, size_t shown,
                     enum panel panel, struct sg_text *script)
{
    for (size_t method = 0; method < study->nmethod; method++) {
        for (size_t rank = 0; rank < shown; rank++) {
            const struct sg_outcome *outcome =
                sg_study_outcome(study, method, lines[rank].receptor);
            if (closest(outcome, panel) == NULL && is_open(outcome, panel))
                sg_text_printf(script, "set label '?' at graph %.3f, first %.4f left font ',9'\n",
                               0.01 + 0.025 * (double)method,
                               row_at(rank, shown, method, study->nmethod));
        }
    }
}

void sg_plot_put_tic(const char *name, size_t most, struct sg_text *script)
{
    struct sg_text cut = SG_TEXT_INIT, doubled = SG_TEXT_INIT;
    sg_report_put_cut(&cut, name, most);
    for (const char *c = sg_text_string(&cut); *c != '\0'; c++) {
        sg_text_put_bytes(&doubled, c, 1);
        if (*c == '%')
            sg_text_put(&doubled, "%");
    }
    sg_report_put_quoted(script, sg_text_string(&doubled));
    script->failed = script->failed || cut.failed || doubled.failed;
    sg_text_release(&cut);
    sg_text_release(&doubled);
}

static void put_rows(const struct sg_study *study, const struct line *lines, size_t shown,
                     struct sg_text *script)
{
    sg_text_printf(script, "set yrange [0.4:%.1f]\nset ytics (", (double)shown + 0.6);
    for (size_t rank = 0; rank < shown; rank++) {
        sg_text_put(script, rank > 0 ? ", " : "");
        sg_plot_put_tic(study->site->receptor[lines[rank].receptor].name, NAME_MOST, script);
        sg_text_printf(script, " %zu", shown - rank);
    }
    sg_text_put(script, shown == 0 ? "'' 1" : "");
    sg_text_put(script, ") scale 0 font ',10'\nset grid noytics\n");
}

static void put_frame(struct sg_plot *plot, enum panel panel, size_t shown, double key_px,
                      struct span span)
{
    struct sg_text *script = &plot->script;
    double left = panel == VIBRATION ? 0.25 : 0.64, right = panel == VIBRATION ? 0.61 : 0.975;
    double limit = panel == VIBRATION ? 1.0 : 0.0;
    sg_text_printf(script,
                   "unset label\nunset arrow\nset lmargin at screen %.3f\n"
                   "set rmargin at screen %.3f\nset tmargin at screen %.4f\n"
                   "set bmargin at screen %.4f\n%sset logscale x\nset xrange [%.6g:%.6g]\n",
                   left, right, 1.0 - TOP_PX / plot->height_px,
                   (BOTTOM_PX + key_px) / plot->height_px, panel == VIBRATION ? "" : "un", span.low,
                   span.high);
    sg_text_printf(script,
                   "set arrow from %g, graph 0 to %g, graph 1 nohead lc rgb '#000000' lw 1.8\n"
                   "set label 'limit' at %g, graph 1 center offset 0,0.6 font ',10'\n",
                   limit, limit, limit);
    for (size_t i = 1; i < shown; i++)
        sg_text_printf(script,
                       "set arrow from graph 0, first %.1f to graph 1, first %.1f nohead "
                       "lc rgb '#D8D8D8' lw 0.6 back\n",
                       (double)i + 0.5, (double)i + 0.5);
    if (panel == VIBRATION)
        sg_text_printf(
            script,
            "set format x '%%g'\nset xlabel 'vibration: value / limit (ratio)' font ',11'\n"
            "set key at screen 0.02, screen %.4f left bottom vertical Left reverse "
            "samplen 2 maxcols 1\n"
            "set label 'open mark: central value; filled mark: upper value; "
            "?: nothing could be judged' at screen 0.02, screen %.4f left "
            "font ',10'\n",
            6.0 / plot->height_px, 1.0 - 16.0 / plot->height_px);
    else
        sg_text_put(script, "set format y ''\nset ytics ('' 0)\nunset key\n"
                            "set xlabel 'noise: value minus limit (dB)' font ',11'\n");
}

static void put_marks(const struct sg_site *site, enum panel panel, struct sg_text *script)
{
    static const int open_mark[] = { 6, 4, 8, 12, 10, 1, 2, 3 };
    static const int filled_mark[] = { 7, 5, 9, 13, 11, 1, 2, 3 };
    sg_text_put(script, "plot NaN notitle");
    for (size_t method = 0; method < site->nmethod; method++) {
        size_t type = method % 8, block = method + (panel == SOUND ? site->nmethod : 0);
        sg_text_printf(script,
                       ", @DATA index %zu using 2:1:($3-$2):(0) with vectors nohead lt %zu "
                       "lw 1.2 dt solid notitle, "
                       "@DATA index %zu using 2:1 with points lt %zu pt %d ps 0.8 notitle, "
                       "@DATA index %zu using 3:1 with points lt %zu pt %d ps 0.8 notitle",
                       block, type + 1, block, type + 1, open_mark[type], block, type + 1,
                       filled_mark[type]);
        sg_text_printf(script, ", keyentry with points lt %zu pt %d ps 0.8 title ", type + 1,
                       filled_mark[type]);
        sg_report_put_quoted(script, site->method[method].name);
    }
    sg_text_put(script, "\n");
}

static void put_panels(const struct sg_study *study, const struct line *lines, size_t shown,
                       struct sg_plot *plot)
{
    double key_px = KEY_LINE_PX * (double)study->nmethod + 6.0;
    struct span span[PANEL_END] = { { 0.5, 2.0 }, { -5.0, 5.0 } };
    for (size_t block = 0; block < study->nmethod * (size_t)PANEL_END; block++)
        put_block(study, lines, shown, block, plot,
                  &span[block < study->nmethod ? VIBRATION : SOUND]);
    span[VIBRATION] = (struct span){ span[VIBRATION].low / 1.4, span[VIBRATION].high * 1.4 };
    span[SOUND] = (struct span){ span[SOUND].low - 3.0, span[SOUND].high + 3.0 };
    put_rows(study, lines, shown, &plot->script);
    sg_text_put(&plot->script, "set multiplot\n");
    for (int panel = 0; panel < (int)PANEL_END; panel++) {
        put_frame(plot, (enum panel)panel, shown, key_px, span[panel]);
        put_open(study, lines, shown, (enum panel)panel, &plot->script);
        put_marks(study->site, (enum panel)panel, &plot->script);
    }
    sg_text_put(&plot->script, "unset multiplot\n");
}

sg_status sg_plot_receptors_script(const struct sg_study *study, struct sg_plot *out)
{
    size_t shown = study->nreceptor < RECEPTORS_MOST ? study->nreceptor : RECEPTORS_MOST;
    struct line *lines = sorted_lines(study);
    *out = SG_PLOT_INIT;
    if (lines == NULL)
        return SG_ERR_NOMEM;
    out->id = "receptors";
    out->title = shown < study->nreceptor
                     ? sg_arena_printf(&out->arena,
                                       "Receptors against limits: the %zu of %zu with the highest "
                                       "ratio",
                                       shown, study->nreceptor)
                     : "Receptors against limits";
    out->description = "For each receptor and method the limit that is come closest to: for "
                       "vibration the ratio of the value to the limit, for noise the difference "
                       "in dB. Open mark central value, filled mark upper value; a vertical line "
                       "marks the limit. Limits that could not be judged are left out.";
    out->width_px = 900.0;
    out->height_px = TOP_PX + BOTTOM_PX + 6.0 + KEY_LINE_PX * (double)study->nmethod +
                     ROW_PX * (double)(shown > 2 ? shown : 2);
    put_panels(study, lines, shown, out);
    sg_free(lines);
    return out->data.failed || out->script.failed || out->title == NULL ? SG_ERR_NOMEM : SG_OK;
}

sg_status sg_plot_receptors(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                            struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_receptors_script(study, &plot);
    if (!sg_ok(status)) {
        sg_plot_release(&plot);
        return status;
    }
    return sg_plot_finish(&plot, keep_dir, svg, errors);
}
