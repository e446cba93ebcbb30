/* plot_plan.c - the site seen from above, a panel a method: piles, receptors with their worst
 * verdict as colour and as shape, footprints, scale bar, north. Both axes have one scale.
 */
#include "internal.h"

#include <math.h>

#define COLUMNS 2
#define PANEL_WIDTH_PX 440.0
#define FRAME_LEFT_PX 62.0
#define FRAME_RIGHT_PX 12.0
#define FRAME_TOP_PX 34.0
#define FRAME_BOTTOM_PX 52.0
#define NAME_COLUMNS 3
#define NAMES_MOST 60
#define NAME_PX 15.0
#define NAME_MOST 40
#define LARGE_M 10000.0                     /* coordinates from here on are shown from an offset */
#define STATES ((size_t)SG_VERDICT_END + 1) /* and "no limit applies" */

struct look {
    const char *name, *colour;
    int mark;
    double size;
};

/* Order of enum sg_verdict_state; the last row: no limit applies. */
static const struct look looks[STATES] = {
    [SG_WITHIN] = { "within", "#009E73", 6, 0.9 },
    [SG_LIKELY_WITHIN] = { "likely within", "#0072B2", 8, 1.0 },
    [SG_OVER] = { "over", "#D55E00", 5, 1.0 },
    [SG_NOT_DETERMINABLE] = { "not determinable", "#000000", 2, 0.9 },
    [SG_VERDICT_END] = { "no limit applies", "#808080", 7, 0.4 },
};

struct box {
    double x0, y0, x1, y1;
};

struct sheet {
    const struct sg_study *study;
    struct box box;
    double offset_x, offset_y;
    size_t panels, rows;
    double panel_px, names_px; /* heights */
};

static void include(struct box *box, struct sg_point at)
{
    box->x0 = fmin(box->x0, at.x_m);
    box->y0 = fmin(box->y0, at.y_m);
    box->x1 = fmax(box->x1, at.x_m);
    box->y1 = fmax(box->y1, at.y_m);
}

static struct box extent(const struct sg_site *site)
{
    struct box box = { SG_INFINITY, SG_INFINITY, -SG_INFINITY, -SG_INFINITY };
    for (size_t i = 0; i < site->npile; i++)
        include(&box, site->pile[i].at);
    for (size_t i = 0; i < site->nreceptor; i++) {
        include(&box, site->receptor[i].at);
        for (size_t k = 0; k < site->receptor[i].nfootprint; k++)
            include(&box, site->receptor[i].footprint[k]);
    }
    if (!(box.x0 <= box.x1))
        return (struct box){ 0.0, 0.0, 1.0, 1.0 };
    double margin = fmax(0.06 * fmax(box.x1 - box.x0, box.y1 - box.y0), 2.0);
    return (struct box){ box.x0 - margin, box.y0 - margin, box.x1 + margin, box.y1 + margin };
}

static double offset_of(double low, double high)
{
    bool small = fabs(low) < LARGE_M && fabs(high) < LARGE_M;
    return small ? 0.0 : floor(low / 100.0) * 100.0;
}

static struct sheet layout(const struct sg_study *study)
{
    struct sheet sheet = { .study = study, .box = extent(study->site) };
    double frame_px = PANEL_WIDTH_PX - FRAME_LEFT_PX - FRAME_RIGHT_PX;
    double ratio = (sheet.box.y1 - sheet.box.y0) / (sheet.box.x1 - sheet.box.x0);
    size_t named = study->nreceptor < NAMES_MOST ? study->nreceptor : NAMES_MOST;
    sheet.offset_x = offset_of(sheet.box.x0, sheet.box.x1);
    sheet.offset_y = offset_of(sheet.box.y0, sheet.box.y1);
    sheet.panels = study->nmethod > 0 ? study->nmethod : 1;
    sheet.rows = (sheet.panels + COLUMNS - 1) / COLUMNS;
    sheet.panel_px = fmin(fmax(frame_px * ratio, 150.0), 640.0) + FRAME_TOP_PX + FRAME_BOTTOM_PX;
    sheet.names_px = 44.0 + NAME_PX * ceil((double)named / NAME_COLUMNS);
    return sheet;
}

/* ---- data ------------------------------------------------------------------------------------ */

static void put_point(const struct sheet *sheet, struct sg_point at, struct sg_text *data)
{
    sg_text_printf(data, "%.3f %.3f", at.x_m - sheet->offset_x, at.y_m - sheet->offset_y);
}

static size_t state_of(const struct sg_outcome *outcome)
{
    if (outcome->governing == SIZE_MAX)
        return SG_VERDICT_END;
    return (size_t)outcome->verdict[outcome->governing].state;
}

static size_t count_state(const struct sg_study *study, size_t method, size_t state)
{
    size_t count = 0;
    for (size_t i = 0; i < study->nreceptor; i++)
        count += state_of(sg_study_outcome(study, method, i)) == state;
    return count;
}

static void put_rings(const struct sheet *sheet, struct sg_text *data)
{
    const struct sg_site *site = sheet->study->site;
    for (size_t i = 0; i < site->nreceptor; i++) {
        const struct sg_receptor *receptor = &site->receptor[i];
        for (size_t k = 0; k <= receptor->nfootprint && receptor->nfootprint > 0; k++) {
            put_point(sheet, receptor->footprint[k % receptor->nfootprint], data);
            sg_text_put(data, "\n");
        }
        sg_text_put(data, receptor->nfootprint > 0 ? "\n" : "");
    }
}

/* Block 0: piles. Block 1: footprints. Then a block for each method and state: x, y, number. Every
 * block ends in a row without numbers, for empty blocks would not be counted. */
static void put_data(const struct sheet *sheet, struct sg_text *data)
{
    static const char end[] = "NaN NaN 0\n\n\n";
    const struct sg_study *study = sheet->study;
    for (size_t i = 0; i < study->site->npile; i++) {
        put_point(sheet, study->site->pile[i].at, data);
        sg_text_put(data, "\n");
    }
    sg_text_put(data, end);
    put_rings(sheet, data);
    sg_text_put(data, end);
    for (size_t method = 0; method < study->nmethod; method++) {
        for (size_t state = 0; state < STATES; state++) {
            for (size_t i = 0; i < study->nreceptor; i++) {
                if (state_of(sg_study_outcome(study, method, i)) != state)
                    continue;
                put_point(sheet, study->site->receptor[i].at, data);
                sg_text_printf(data, " %zu\n", i + 1);
            }
            sg_text_put(data, end);
        }
    }
}

/* ---- script ---------------------------------------------------------------------------------- */

static void put_axis(struct sg_text *script, const char *axis, double offset)
{
    sg_text_printf(script, "set %slabel '%s", axis, axis);
    if (offset > 0.0 || offset < 0.0)
        sg_text_printf(script, " minus %.0f", offset);
    sg_text_printf(script, " (m)' font ',10'%s\n", axis[0] == 'y' ? " offset 1.5,0" : "");
}

/* Length of 1, 2 or 5 times a power of ten near a fifth of the width. */
static double bar_length_m(double width_m)
{
    double power = pow(10.0, floor(log10(width_m / 5.0)));
    double digit = width_m / 5.0 / power;
    return power * (digit >= 5.0 ? 5.0 : digit >= 2.0 ? 2.0 : 1.0);
}

static void put_common(const struct sheet *sheet, struct sg_text *script)
{
    const struct box *box = &sheet->box;
    double bar_m = bar_length_m(box->x1 - box->x0);
    double x = box->x0 - sheet->offset_x + 0.04 * (box->x1 - box->x0);
    double y = box->y0 - sheet->offset_y + 0.05 * (box->y1 - box->y0);
    sg_text_printf(script,
                   "set size ratio -1\nset xrange [%.3f:%.3f]\nset yrange [%.3f:%.3f]\n"
                   "set border 15\nset tics font ',9'\nunset key\nset style fill solid 0.25\n",
                   box->x0 - sheet->offset_x, box->x1 - sheet->offset_x, box->y0 - sheet->offset_y,
                   box->y1 - sheet->offset_y);
    put_axis(script, "x", sheet->offset_x);
    put_axis(script, "y", sheet->offset_y);
    sg_text_printf(script,
                   "set arrow from %.3f,%.3f to %.3f,%.3f heads size graph 0.008,90 lw 1.4 "
                   "lc rgb '#202020' front\n"
                   "set label '%g m' at %.3f,%.3f center offset 0,0.6 font ',9' front\n",
                   x, y, x + bar_m, y, bar_m, x + bar_m / 2.0, y);
}

static void put_names(const struct sheet *sheet, double line_px, double height_px,
                      struct sg_text *script)
{
    const struct sg_site *site = sheet->study->site;
    struct sg_text name = SG_TEXT_INIT;
    for (size_t i = 0; i < site->nreceptor && i < NAMES_MOST; i++) {
        double y_px = line_px - 20.0 - NAME_PX * (double)(i / NAME_COLUMNS);
        sg_text_clear(&name);
        sg_text_printf(&name, "%zu ", i + 1);
        sg_report_put_cut(&name, site->receptor[i].name, NAME_MOST);
        script->failed = script->failed || name.failed; /* the next clear forgets it */
        sg_text_put(script, "set label ");
        sg_report_put_quoted(script, sg_text_string(&name));
        sg_text_printf(script, " at screen %.4f, screen %.4f left font ',9.5'\n",
                       0.03 + 0.325 * (double)(i % NAME_COLUMNS), y_px / height_px);
    }
    sg_text_release(&name);
}

static void put_legend(const struct sheet *sheet, double height_px, struct sg_text *script)
{
    double line_px = sheet->names_px - 14.0;
    for (size_t i = 0; i < STATES; i++)
        sg_text_printf(script,
                       "set label '%s' at screen %.4f, screen %.4f left point pt %d ps %.1f "
                       "lc rgb '%s' offset 1,-0.25 font ',10'\n",
                       looks[i].name, 0.03 + 0.165 * (double)i, line_px / height_px, looks[i].mark,
                       looks[i].size, looks[i].colour);
    sg_text_printf(script,
                   "set label 'pile' at screen 0.90, screen %.4f left point pt 5 ps 0.3 "
                   "lc rgb '#202020' offset 1,-0.25 font ',10'\n",
                   line_px / height_px);
    put_names(sheet, line_px, height_px, script);
}

/* Above the frame, where it covers nothing; the tag makes the next panel's take its place. */
static void put_north(const struct sheet *sheet, double x, double y, double height,
                      struct sg_text *script)
{
    bool projected = !sg_same(sheet->study->site->crs, "local-metre");
    sg_text_printf(script,
                   "set arrow 9001 from screen %.5f,%.5f to screen %.5f,%.5f head filled "
                   "lw 1.2 lc rgb '#202020' front\n"
                   "set label 9001 '%s' at screen %.5f,%.5f left offset 1,0 font ',9' front\n",
                   x, y, x, y + height, projected ? "grid north" : "y of the grid", x,
                   y + 0.4 * height);
}

static void put_margins(const struct sheet *sheet, size_t panel, double width_px, double height_px,
                        struct sg_text *script)
{
    double left = PANEL_WIDTH_PX * (double)(panel % COLUMNS);
    double top = height_px - sheet->panel_px * (double)(panel / COLUMNS);
    sg_text_printf(
        script,
        "set lmargin at screen %.5f\nset rmargin at screen %.5f\n"
        "set tmargin at screen %.5f\nset bmargin at screen %.5f\n",
        (left + FRAME_LEFT_PX) / width_px, (left + PANEL_WIDTH_PX - FRAME_RIGHT_PX) / width_px,
        (top - FRAME_TOP_PX) / height_px, (top - sheet->panel_px + FRAME_BOTTOM_PX) / height_px);
    put_north(sheet, (left + FRAME_LEFT_PX + 8.0) / width_px,
              (top - FRAME_TOP_PX + 4.0) / height_px, 20.0 / height_px, script);
}

static void put_panel(const struct sheet *sheet, size_t method, struct sg_text *script)
{
    const struct sg_study *study = sheet->study;
    sg_text_put(script, "set title ");
    sg_report_put_quoted(script, method < study->nmethod ? study->site->method[method].name : "");
    sg_text_put(script,
                " font ',12' offset 0,-0.5\n"
                "plot NaN notitle, @DATA index 1 using 1:2 with filledcurves closed "
                "lc rgb '#B0B0B0' notitle, "
                "@DATA index 1 using 1:2 with lines lc rgb '#707070' lw 0.8 dt solid notitle, "
                "@DATA index 0 using 1:2 with points pt 5 ps 0.22 lc rgb '#202020' "
                "notitle");
    for (size_t state = 0; state < STATES && method < study->nmethod; state++) {
        size_t block = 2 + method * STATES + state;
        if (count_state(study, method, state) == 0)
            continue;
        sg_text_printf(script,
                       ", @DATA index %zu using 1:2 with points pt %d ps %.1f lw 1.6 "
                       "lc rgb '%s' notitle, "
                       "@DATA index %zu using 1:2:(sprintf('%%d',$3)) with labels left "
                       "offset 0.8,0.5 font ',8.5' tc rgb '#202020' notitle",
                       block, looks[state].mark, looks[state].size, looks[state].colour, block);
    }
    sg_text_put(script, "\n");
}

sg_status sg_plot_plan_script(const struct sg_study *study, struct sg_plot *out)
{
    struct sheet sheet = layout(study);
    *out = SG_PLOT_INIT;
    out->id = "plan";
    out->title = "Site plan with the worst verdict at each receptor, one panel a method";
    out->description = "Piles as dots, buildings as outlines, receptors as numbered marks: circle "
                       "within, triangle likely within, filled square over, cross not "
                       "determinable. Equal scale in both directions.";
    out->width_px = PANEL_WIDTH_PX * (sheet.panels > 1 ? COLUMNS : 1);
    if (sheet.panels == 1)
        out->width_px *= 1.6; /* room for the list of names */
    out->height_px = sheet.panel_px * (double)sheet.rows + sheet.names_px;
    put_data(&sheet, &out->data);
    put_common(&sheet, &out->script);
    sg_text_put(&out->script, "set multiplot\n");
    for (size_t panel = 0; panel < sheet.panels; panel++) {
        if (panel + 1 == sheet.panels)
            put_legend(&sheet, out->height_px, &out->script);
        put_margins(&sheet, panel, out->width_px, out->height_px, &out->script);
        put_panel(&sheet, panel, &out->script);
    }
    sg_text_put(&out->script, "unset multiplot\n");
    return out->data.failed || out->script.failed ? SG_ERR_NOMEM : SG_OK;
}

sg_status sg_plot_plan(const struct sg_study *study, const char *keep_dir, struct sg_text *svg,
                       struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_plan_script(study, &plot);
    if (!sg_ok(status)) {
        sg_plot_release(&plot);
        return status;
    }
    return sg_plot_finish(&plot, keep_dir, svg, errors);
}
