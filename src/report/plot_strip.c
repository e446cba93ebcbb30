/* plot_strip.c - the wall from end to end: which method where, the highest value against its
 * limit, and the ground down to below the toes. */
#include "internal.h"
#include "stillground/report_works.h"

#include <math.h>

#define WIDTH_PX 1000.0
#define METHOD_PX 70.0
#define RATIO_PX 190.0
#define GROUND_PX 230.0
#define TOP_PX 34.0
#define GAP_PX 44.0
#define KEY_LINE_PX 19.0

static const char *const kind_colour[SG_SOIL_KIND_END] = {
    [SG_SOIL_GRANULAR] = "#E8D49A", [SG_SOIL_COHESIVE] = "#B8A58C", [SG_SOIL_FILL] = "#CFCFCF",
    [SG_SOIL_ORGANIC] = "#8C9A6B",  [SG_SOIL_ROCK] = "#9AA6B2",
};

struct frame {
    double height_px, left, right;
    double from_m, to_m;
};

static double half_width(const struct sg_site *site, size_t pile)
{
    const struct sg_pile *p = site->pile;
    double before = pile > 0 ? p[pile].chainage_m - p[pile - 1].chainage_m : 0;
    double after = pile + 1 < site->npile ? p[pile + 1].chainage_m - p[pile].chainage_m : before;
    double width = before > 0 ? fmin(before, after > 0 ? after : before) : after;
    return width > 0 ? width / 2 : 0.5;
}

static void put_panel(struct sg_text *script, const struct frame *f, double top_px,
                      double height_px)
{
    sg_text_printf(script,
                   "set lmargin at screen %.4f\nset rmargin at screen %.4f\n"
                   "set tmargin at screen %.4f\nset bmargin at screen %.4f\n"
                   "set xrange [%.6g:%.6g]\n",
                   f->left, f->right, 1 - top_px / f->height_px,
                   1 - (top_px + height_px) / f->height_px, f->from_m, f->to_m);
}

static void put_methods(const struct sg_plan *plan, struct sg_plot *plot)
{
    const struct sg_site *site = plan->values->site;
    for (size_t i = 0; i < plan->nstretch; i++) {
        const struct sg_stretch *s = &plan->stretch[i];
        double from = s->from_m - half_width(site, s->first);
        double to = s->to_m + half_width(site, s->last);
        sg_text_printf(
            &plot->script,
            "set object %zu rectangle from first %.6g, graph 0.1 to first %.6g, graph 0.9 "
            "fc lt %zu fs solid 0.55 noborder\n",
            i + 1, from, to, s->method % 8 + 1);
    }
    sg_text_put(&plot->script, "set title 'method' offset 0,-0.6 font ',11'\nset yrange [0:1]\n"
                               "unset ytics\nset format x ''\nunset key\n"
                               "plot NaN notitle\nunset object\nset ytics nomirror out\n");
}

static void put_ratios(const struct sg_plan *plan, struct sg_plot *plot)
{
    const struct sg_wall_values *v = plan->values;
    double low = 1, high = 1;
    for (size_t i = 0; i < plan->nstretch; i++) {
        const struct sg_stretch *s = &plan->stretch[i];
        for (size_t k = s->first; k <= s->last; k++) {
            const struct sg_pile_value *value = &v->value[k * v->nmethod + s->method];
            const double part[] = { value->vibration_ratio, value->noise_ratio };
            sg_text_printf(&plot->data, "%.6g", v->site->pile[k].chainage_m);
            for (int n = 0; n < 2; n++) {
                bool usable = part[n] > 0 && isfinite(part[n]);
                low = usable ? fmin(low, part[n]) : low;
                high = usable ? fmax(high, part[n]) : high;
                sg_text_printf(&plot->data, usable ? " %.6g" : " nan", part[n]);
            }
            sg_text_put(&plot->data, "\n");
        }
    }
    sg_text_printf(
        &plot->script,
        "set title 'highest value as a share of its limit' offset 0,-0.6 font ',11'\n"
        "set logscale y\nset yrange [%.4g:%.4g]\nset format y '%%g'\n"
        "set arrow 1 from graph 0, first 1 to graph 1, first 1 nohead lc rgb '#303030' "
        "lw 1.4\nset label 1 'limit' at graph 1.005, first 1 left font ',10'\n"
        "set label 2 'vibration' at graph 1.055, graph 0.95 left font ',10' textcolor lt "
        "1\nset label 3 'noise' at graph 1.055, graph 0.84 left font ',10' textcolor lt 2\n"
        "plot @DATA index 0 using 1:2 with linespoints lt 1 pi -12 notitle, @DATA index 0 "
        "using 1:3 with linespoints lt 2 pi -12 notitle\n"
        "unset logscale y\nunset arrow\nunset label\n",
        fmax(low / 1.5, 1e-3), high * 1.5);
}

static void put_ground(const struct sg_plan *plan, struct sg_plot *plot, double deepest_m)
{
    const struct sg_site *site = plan->values->site;
    size_t object = 1;
    for (size_t i = 0, last; i < site->npile; i = last + 1) {
        size_t at = site->pile[i].borehole;
        for (last = i; last + 1 < site->npile && site->pile[last + 1].borehole == at; last++)
            ;
        double from = site->pile[i].chainage_m - half_width(site, i);
        double to = site->pile[last].chainage_m + half_width(site, last);
        for (size_t k = 0; at < site->nborehole && k < site->borehole[at].nlayer; k++) {
            const struct sg_layer *layer = &site->borehole[at].layer[k];
            if (layer->top_m >= deepest_m)
                break;
            static const double shade[SG_GROUND_GROUP_END] = { 0.35, 0.65, 1.0, 1.0 };
            sg_text_printf(&plot->script,
                           "set object %zu rectangle from first %.6g, first %.6g to first %.6g, "
                           "first %.6g fc rgb '%s' fs solid %.2f border lc rgb '#FFFFFF' behind\n",
                           object++, from, layer->top_m, to, fmin(layer->base_m, deepest_m),
                           kind_colour[layer->soil->kind], shade[layer->soil->group]);
        }
    }
    sg_text_put(&plot->data, "\n\n");
    for (size_t i = 0; i < site->npile; i++)
        sg_text_printf(&plot->data, "%.6g %.6g\n", site->pile[i].chainage_m,
                       site->pile[i].toe_depth_m);
    sg_text_printf(&plot->script,
                   "set title 'ground (darker is harder) and toes' offset 0,-0.6 font ',11'\n"
                   "set yrange [%.6g:0]\nset format y '%%g'\nset format x '%%g'\nunset grid\n"
                   "set ylabel 'depth (m)'\nset xlabel 'chainage (m)'\n",
                   deepest_m);
    static const char *const names[SG_SOIL_KIND_END] = {
        [SG_SOIL_GRANULAR] = "sand, gravel, silt",
        [SG_SOIL_COHESIVE] = "clay",
        [SG_SOIL_FILL] = "fill",
        [SG_SOIL_ORGANIC] = "peat",
        [SG_SOIL_ROCK] = "rock",
    };
    for (int k = 0; k < (int)SG_SOIL_KIND_END; k++)
        sg_text_printf(
            &plot->script,
            "set object %zu rectangle from graph 1.005, graph %.3f to graph 1.02, graph "
            "%.3f noclip fc rgb '%s' fs solid 1 noborder\nset label %d '%s' at graph 1.026, "
            "graph %.3f left font ',10'\n",
            object++, 0.86 - 0.11 * k, 0.94 - 0.11 * k, kind_colour[k], k + 1, names[k],
            0.9 - 0.11 * k);
    sg_text_put(&plot->script, "plot @DATA index 1 using 1:2 with lines lc rgb '#202020' lw 1.4 dt "
                               "solid notitle\n");
}

static void put_key(const struct sg_plan *plan, const struct frame *f, struct sg_plot *plot)
{
    const struct sg_site *site = plan->values->site;
    size_t line = 0;
    for (size_t m = 0; m < site->nmethod; m++) {
        bool used = false;
        for (size_t i = 0; i < plan->nstretch; i++)
            used |= plan->stretch[i].method == m;
        if (!used)
            continue;
        double y = (14 + KEY_LINE_PX * (double)line++) / f->height_px;
        sg_text_printf(
            &plot->script,
            "set object %zu rectangle from screen %.4f, screen %.4f to screen %.4f, screen "
            "%.4f fc lt %zu fs solid 0.55 noborder\nset label %zu ",
            500 + m, f->left, y - 6 / f->height_px, f->left + 0.025, y + 6 / f->height_px,
            m % 8 + 1, 500 + m);
        sg_report_put_quoted(&plot->script, site->method[m].name);
        sg_text_printf(&plot->script, " at screen %.4f, screen %.4f left font ',11'\n",
                       f->left + 0.033, y);
    }
}

sg_status sg_plot_strip_script(const struct sg_plan *plan, struct sg_plot *out)
{
    const struct sg_site *site = plan->values->site;
    size_t last = site->npile - 1;
    double deepest_m = 0;
    struct frame f = { .left = 0.07, .right = 0.85 };
    *out = SG_PLOT_INIT;
    out->id = "strip";
    out->title = "The wall by chainage: method, highest value against its limit, ground";
    out->description =
        "Three strips over the chainage of the wall: the method chosen for each "
        "stretch as a coloured bar; vibration and noise at the receptor that governs "
        "each pile as a share of the limit, on a logarithmic scale with the limit as "
        "a line; the ground as coloured layers with the toes of the piles as a line.";
    for (size_t i = 0; i < site->npile; i++)
        deepest_m = fmax(deepest_m, site->pile[i].toe_depth_m * 1.15);
    f.from_m = fmin(site->pile[0].chainage_m, site->pile[last].chainage_m) - half_width(site, 0);
    f.to_m = fmax(site->pile[0].chainage_m, site->pile[last].chainage_m) + half_width(site, last);
    f.height_px = TOP_PX + METHOD_PX + GAP_PX + RATIO_PX + GAP_PX + GROUND_PX + 52 +
                  KEY_LINE_PX * (double)site->nmethod;
    out->width_px = WIDTH_PX;
    out->height_px = f.height_px;
    sg_text_put(&out->script, "set multiplot\n");
    put_key(plan, &f, out);
    put_panel(&out->script, &f, TOP_PX, METHOD_PX);
    put_methods(plan, out);
    sg_text_put(&out->script, "unset label\n");
    put_panel(&out->script, &f, TOP_PX + METHOD_PX + GAP_PX, RATIO_PX);
    put_ratios(plan, out);
    put_panel(&out->script, &f, TOP_PX + METHOD_PX + 2 * GAP_PX + RATIO_PX, GROUND_PX);
    put_ground(plan, out, deepest_m);
    sg_text_put(&out->script, "unset multiplot\n");
    return out->data.failed || out->script.failed ? SG_ERR_NOMEM : SG_OK;
}

sg_status sg_plot_strip(const struct sg_plan *plan, const char *keep_dir, struct sg_text *svg,
                        struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_strip_script(plan, &plot);
    if (!sg_ok(status)) {
        sg_plot_release(&plot);
        return status;
    }
    return sg_plot_finish(&plot, keep_dir, svg, errors);
}
