/* plot_fit.c - a site law over its values: line, upper limit, confidence of the mean, the limit
 * that matters, receptors at their distance. Values far from the line are drawn apart, not left
 * out.
 */
#include "internal.h"

#include "stillground/fit.h"

#include <math.h>
#include <stdlib.h>

#define STEPS 81
#define RECEPTORS_MOST 60
#define NAME_GAP 0.02 /* share of the axis that a name takes */

#define TICS "0.01,0.02,0.05,0.1,0.2,0.5,1,2,5,10,20,50,100,200,500,1000,2000,5000"

struct frame {
    double near, far, low, high;
    bool level, scaled;
};

static double abscissa(const struct sg_site_law *law, double distance_m, double energy_J)
{
    return pow(10.0, sg_site_law_x(law, distance_m, law->scaled ? energy_J : 1.0));
}

static void stretch(struct frame *frame, double value)
{
    if (!isfinite(value))
        return;
    frame->low = fmin(frame->low, value);
    frame->high = fmax(frame->high, value);
}

/* As the fit judges: with leverage on an ordinary line, which is the one whose mean has 1/n of the
 * variance; on its scatter alone on the others. */
static bool is_wild(const struct sg_site_law *law, const struct sg_law_point *p)
{
    double x = log10(abscissa(law, p->distance_m, p->energy_J)), off = x - law->centre;
    double y = sg_quantity_is_level(law->quantity) ? p->value : log10(p->value);
    double residual = y - sg_site_law_line(law, x);
    if (fabs(law->mean_variance * (double)law->npoint - 1.0) > 1e-9)
        return sg_site_law_wild(residual, law->scatter, 0.0, SG_INFINITY);
    double leverage = law->mean_variance + law->slope_variance * off * off;
    return sg_site_law_wild(residual, law->scatter, leverage, law->dof);
}

/* Block 0: values near the line; block 1: wild ones. A block is never empty. */
static void put_points(const struct sg_site_law *law, struct frame *frame, struct sg_text *data,
                       size_t count[2])
{
    for (int wild = 0; wild < 2; wild++) {
        count[wild] = 0;
        for (size_t i = 0; i < law->npoint_kept; i++) {
            const struct sg_law_point *p = &law->point[i];
            double x = abscissa(law, p->distance_m, p->energy_J);
            if (is_wild(law, p) != (wild == 1))
                continue;
            sg_text_printf(data, "%.6g %.6g\n", x, p->value);
            frame->near = fmin(frame->near, x);
            frame->far = fmax(frame->far, x);
            stretch(frame, p->value);
            count[wild]++;
        }
        if (count[wild] == 0)
            sg_text_put(data, "NaN NaN\n");
        sg_text_put(data, "\n\n");
    }
}

/* Block 2: abscissa, line, upper, mean from, mean to. */
static void put_lines(const struct sg_site_law *law, double confidence, struct frame *frame,
                      struct sg_text *data)
{
    for (int i = 0; i < STEPS; i++) {
        double at = frame->near * pow(frame->far / frame->near, (double)i / (STEPS - 1));
        double x = log10(at), low, high;
        double y = sg_site_law_line(law, x), up = sg_site_law_upper(law, x, law->percentile);
        sg_fit_mean_band(law, x, confidence, &low, &high);
        double v[] = { sg_site_law_value(law, y), sg_site_law_value(law, up),
                       sg_site_law_value(law, low), sg_site_law_value(law, high) };
        sg_text_printf(data, "%.6g %.6g %.6g %.6g %.6g\n", at, v[0], v[1], v[2], v[3]);
        for (size_t k = 0; k < 2; k++)
            stretch(frame, v[k]);
    }
    sg_text_put(data, "\n\n");
}

struct mark {
    double r;
    const char *name;
};

static int by_distance(const void *left, const void *right)
{
    const struct mark *a = left, *b = right;
    return (a->r > b->r) - (a->r < b->r);
}

/* Receptors at the distance of their nearest pile; the frame grows to hold them. */
static size_t find_receptors(const struct sg_site_law *law, const struct sg_fit_view *view,
                             struct frame *frame, struct mark *mark)
{
    const struct sg_site *site = view->site;
    size_t n = 0;
    if (site == NULL || law->scaled || law->distance == SG_DISTANCE_TOE)
        return 0;
    for (size_t i = 0; i < site->nreceptor && n < RECEPTORS_MOST; i++) {
        size_t pile = sg_site_nearest_pile(site, i);
        if (pile == SIZE_MAX)
            continue;
        double r = sg_site_distance_m(&site->receptor[i], site->pile[pile].at);
        if (r < SG_NEAREST_M)
            continue;
        frame->near = fmin(frame->near, r);
        frame->far = fmax(frame->far, r);
        mark[n++] = (struct mark){ r, site->receptor[i].name };
    }
    qsort(mark, n, sizeof *mark, by_distance);
    return n;
}

static void put_name(const struct mark *mark, size_t more, struct sg_text *script)
{
    struct sg_text cut = SG_TEXT_INIT;
    sg_report_put_cut(&cut, mark->name, 24);
    if (more > 0)
        sg_text_printf(&cut, " (+%zu)", more);
    sg_text_put(script, "set label ");
    sg_report_put_quoted(script, sg_text_string(&cut));
    sg_text_printf(script, " at %.6g, graph 0.045 rotate by 90 left font ',9'\n", mark->r);
    script->failed = script->failed || cut.failed;
    sg_text_release(&cut);
}

/* A tick at the foot for each; names that would cover each other stand as the first and a count. */
static void put_receptors(const struct frame *frame, const struct mark *mark, size_t n,
                          struct sg_text *script)
{
    double gap = pow(frame->far / frame->near, NAME_GAP);
    for (size_t i = 0; i < n; i++)
        sg_text_printf(script,
                       "set arrow from %.6g, graph 0 to %.6g, graph 0.035 nohead lw 1.6 "
                       "lc rgb '#404040' front\n",
                       mark[i].r, mark[i].r);
    for (size_t i = 0; i < n;) {
        size_t k = i + 1;
        while (k < n && mark[k].r < mark[i].r * gap)
            k++;
        put_name(&mark[i], k - i - 1, script);
        i = k;
    }
}

static void put_frame(const struct sg_site_law *law, const struct frame *frame,
                      struct sg_text *script)
{
    const char *abscissa = law->scaled ? "scaled distance r / sqrt(W) (m/sqrt(J))"
                           : law->distance == SG_DISTANCE_TOE ? "distance to the toe (m)"
                                                              : "plan distance (m)";
    sg_text_printf(
        script,
        "set logscale x\n%sset xrange [%.6g:%.6g]\nset yrange [%.6g:%.6g]\n"
        "set format xy '%%g'\nset xtics (%s)\n%s%s%sset xlabel '%s'\nset ylabel '%s (%s)'\n"
        "set key at screen 0.09, screen 0.975 left top vertical Left reverse maxrows 3 "
        "samplen 4\nset tmargin at screen 0.80\n",
        frame->level ? "" : "set logscale y\n", frame->near, frame->far, frame->low, frame->high,
        TICS, frame->level ? "" : "set ytics (", frame->level ? "" : TICS,
        frame->level ? "" : ")\n", abscissa, sg_quantity_meaning(law->quantity),
        sg_quantity_unit(law->quantity));
}

static void put_drawing(const struct sg_site_law *law, const struct sg_fit_view *view,
                        const size_t count[2], struct sg_text *script)
{
    bool prediction = law->upper == SG_LINE_PREDICTION;
    sg_text_printf(script,
                   "plot @DATA index 2 using 1:4:5 with filledcurves fs transparent solid 0.18 "
                   "noborder lt 1 title '%g %% confidence of the mean', "
                   "@DATA index 2 using 1:2 with lines lt 1 title 'line (50 %%)', "
                   "@DATA index 2 using 1:3 with lines lt 2 title '%g %% %s'",
                   view->confidence, law->percentile,
                   prediction ? "prediction limit" : "parallel line");
    if (sg_is_set(view->limit))
        sg_text_printf(script, ", %.6g with lines lt 7 title 'limit %g'", view->limit, view->limit);
    if (count[0] > 0)
        sg_text_printf(script,
                       ", @DATA index 0 using 1:2 with points pt 7 ps 0.6 lc rgb '#202020' "
                       "title 'measured (%zu)'",
                       count[0]);
    if (count[1] > 0)
        sg_text_printf(script,
                       ", @DATA index 1 using 1:2 with points pt 2 ps 1.1 lw 2 "
                       "lc rgb '#D55E00' title 'measured, far from the line (%zu)'",
                       count[1]);
    sg_text_put(script, "\n");
}

sg_status sg_plot_fit_script(const struct sg_site_law *law, const struct sg_fit_view *view,
                             struct sg_plot *out)
{
    struct frame frame = { law->low_m, law->high_m, SG_INFINITY, -SG_INFINITY, false, law->scaled };
    struct mark mark[RECEPTORS_MOST];
    size_t count[2];
    *out = SG_PLOT_INIT;
    out->id = "site-law";
    out->title = "Site law and the values behind it";
    out->description = "Measured values against distance with the fitted line, its upper limit and "
                       "the confidence of the mean line; values far from the line stand out and "
                       "are part of the fit; receptors at the foot, at the distance of their "
                       "nearest pile.";
    out->width_px = 820.0;
    out->height_px = 520.0;
    frame.level = sg_quantity_is_level(law->quantity);
    if (law->scaled) {
        frame.near = SG_INFINITY;
        frame.far = 0.0;
    }
    put_points(law, &frame, &out->data, count);
    if (!(frame.far > 0.0)) { /* the file keeps no points: about the centre of the data */
        frame.near = pow(10.0, law->centre - 0.5);
        frame.far = pow(10.0, law->centre + 0.5);
    }
    size_t nmark = find_receptors(law, view, &frame, mark);
    frame.near /= 1.15;
    frame.far *= 1.15;
    put_receptors(&frame, mark, nmark, &out->script);
    put_lines(law, view->confidence, &frame, &out->data);
    if (sg_is_set(view->limit))
        stretch(&frame, view->limit);
    frame.low = frame.level ? frame.low - 3.0 : frame.low / 1.4;
    frame.high = frame.level ? frame.high + 3.0 : frame.high * 1.4;
    put_frame(law, &frame, &out->script);
    put_drawing(law, view, count, &out->script);
    return out->data.failed || out->script.failed ? SG_ERR_NOMEM : SG_OK;
}

sg_status sg_plot_fit(const struct sg_site_law *law, const struct sg_fit_view *view,
                      const char *keep_dir, struct sg_text *svg, struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_fit_script(law, view, &plot);
    if (!sg_ok(status)) {
        sg_plot_release(&plot);
        return status;
    }
    return sg_plot_finish(&plot, keep_dir, svg, errors);
}
