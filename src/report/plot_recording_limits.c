/* plot_recording_limits.c - plots of one sensor of a recording beside limits: third octaves under
 * curves that are read band by band, peaks over frequency on limits of peak velocity.
 */
#include "picture.h"

#include <math.h>

#define LABEL_MOST 110

/* Lines of limits: dark on white, told apart by their dashes too. */
static const char *line_of(size_t index, struct sg_arena *arena)
{
    static const char *const colour[] = { "#000000", "#CC79A7", "#E69F00", "#56B4E9",
                                          "#7A4B00", "#5B2A86", "#707070" };
    const char *line = sg_arena_printf(arena, "lc rgb '%s' lw 1.6 dt %zu",
                                       colour[index % SG_COUNT(colour)], 1 + index % 5);
    return line ? line : "lt 7";
}

/* The place where a limit holds and what it is, without what does not fit. */
static void put_limit_title(const struct sg_limit_set *set, const struct sg_limit_row *row,
                            struct sg_text *script)
{
    struct sg_text full = SG_TEXT_INIT, cut = SG_TEXT_INIT;
    sg_text_printf(&full, "%s, %s: %s", set->id, sg_position_id(row->position), row->label);
    sg_report_put_cut(&cut, sg_text_string(&full), LABEL_MOST);
    sg_report_put_quoted(script, sg_text_string(&cut));
    script->failed = script->failed || full.failed || cut.failed;
    sg_text_release(&full);
    sg_text_release(&cut);
}

/* ---- bands ----------------------------------------------------------------------------------- */

static double band_value(const struct sg_kept *kept, size_t axis, int at, bool most)
{
    if (kept->measured.is_sound)
        return most ? kept->measured.sound.third_max_db[at] : kept->measured.sound.third_db[at];
    return most ? kept->band_max[axis][at] : kept->band_rms[axis][at];
}

/* The bands that were measured, in the order of their frequency. */
struct shown {
    int third[SG_BAND_COUNT];
    size_t count;
    double least; /* smallest value above nothing */
};

static struct shown put_bands(const struct sg_pictured *of, size_t naxis, struct sg_plot *plot,
                              struct sg_text *tics)
{
    bool sound = of->kept->measured.is_sound;
    int first = sound ? -17 : SG_BAND_FIRST, last = sound ? SG_BAND_LAST : -5;
    struct shown shown = { .count = 0, .least = SG_INFINITY };
    for (int third = first; third <= last; third++) {
        if (!sg_is_set(band_value(of->kept, 0, third - SG_BAND_FIRST, false)))
            continue;
        sg_text_printf(tics, "%s'%g' %zu", shown.count > 0 ? ", " : "", sg_band_nominal_hz(third),
                       shown.count);
        sg_text_printf(&plot->data, "%zu", shown.count);
        for (size_t i = 0; i < naxis; i++) {
            double mean = band_value(of->kept, i, third - SG_BAND_FIRST, false);
            shown.least = mean > 0.0 ? fmin(shown.least, mean) : shown.least;
            sg_text_printf(&plot->data, " %.6g %.6g", mean,
                           band_value(of->kept, i, third - SG_BAND_FIRST, true));
        }
        sg_text_put(&plot->data, "\n");
        shown.third[shown.count++] = third;
    }
    sg_text_put(&plot->data, "\n\n");
    return shown;
}

/* A curve that is read band by band, as velocity: v = a / (2 pi f). False when no band shown lies
 * on it. */
static bool put_band_limit(const struct sg_limit_row *row, const struct shown *shown,
                           struct sg_text *data)
{
    bool any = false;
    for (size_t k = 0; k < shown->count; k++) {
        double hz = sg_band_nominal_hz(shown->third[k]), limit;
        if (!sg_ok(sg_limit_at(row, hz, &limit)))
            continue;
        if (row->quantity == SG_Q_A_RMS_BAND)
            limit *= 1e3 / (2.0 * SG_PI * sg_band_hz(shown->third[k]));
        sg_text_printf(data, "%zu %.6g\n", k, limit);
        any = true;
    }
    sg_text_put(data, any ? "\n\n" : "");
    return any;
}

static void put_bars(const struct sg_pictured *of, size_t naxis, struct sg_plot *plot)
{
    for (size_t i = 0; i < naxis; i++) {
        const char *name = sg_picture_axis(&of->trace[i], i, &plot->arena);
        double shift = ((double)i - 0.5 * (double)(naxis - 1)) * 0.8 / (double)naxis;
        sg_text_printf(
            &plot->script,
            "%s@DATA index 0 using ($1+%.4f):%zu with boxes lt %zu fs solid 0.6 noborder "
            "title '%s, mean', @DATA index 0 using ($1+%.4f):%zu with points lt %zu ps 0.6 "
            "title '%s, largest'",
            i > 0 ? ", " : "", shift, 2 + 2 * i, i + 1, name ? name : "", shift, 3 + 2 * i, i + 1,
            name ? name : "");
    }
}

sg_status sg_picture_thirds(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                            struct sg_errors *errors)
{
    bool sound = of->kept->measured.is_sound;
    size_t naxis = sound ? 1 : of->kept->measured.vibration.naxis, block = 1;
    size_t ncurve = sound ? 0 : of->nband_limit;
    double key_px = ncurve > 0 ? 19.0 * (double)(ncurve + 2 * naxis) : 0.0;
    struct sg_text tics = SG_TEXT_INIT;
    struct sg_plot plot = sg_picture_start(
        of, id,
        sound        ? "one-third-octave levels, mean and largest fast"
        : ncurve > 0 ? "one-third-octave velocity, mean and largest fast, with criterion curves"
                     : "one-third-octave velocity, mean and largest fast",
        460.0 + key_px);
    struct shown shown = put_bands(of, naxis, &plot, &tics);
    double base = sound ? 10.0 * floor(shown.least / 10.0) - 10.0 : shown.least / 3.0;
    sg_text_printf(&plot.script,
                   "%sset xrange [-1:%zu]\nset yrange [%.6g:*]\nset xtics rotate by -60 (%s)\n"
                   "set xlabel 'band (Hz)'\nset ylabel '%s'\nset boxwidth %.3f\n%s\nplot ",
                   sound ? "" : "set logscale y\nset format y '%g'\n", shown.count, base,
                   sg_text_string(&tics), sound ? "level (dB re 20 µPa)" : "velocity (mm/s rms)",
                   0.8 / (double)naxis,
                   ncurve > 0 ? "set key below left vertical Left reverse maxcols 1 samplen 4"
                              : "set key left top Left reverse");
    put_bars(of, naxis, &plot);
    for (size_t i = 0; i < ncurve; i++) {
        if (!put_band_limit(of->band_limit[i], &shown, &plot.data))
            continue;
        sg_text_printf(&plot.script, ", @DATA index %zu using 1:2 with lines %s title ", block++,
                       line_of(i, &plot.arena));
        put_limit_title(of->band_set[i], of->band_limit[i], &plot.script);
    }
    sg_text_put(&plot.script, "\n");
    plot.script.failed = plot.script.failed || tics.failed;
    sg_text_release(&tics);
    if (shown.count > 0)
        return sg_picture_end(&plot, svg, errors);
    sg_plot_release(&plot);
    return SG_OK;
}

/* ---- peaks on limits ------------------------------------------------------------------------- */

#define CURVE_POINTS 120
#define CURVE_LOW_HZ 1.0
#define CURVE_HIGH_HZ 200.0

static double curve_hz(int point)
{
    return CURVE_LOW_HZ * pow(CURVE_HIGH_HZ / CURVE_LOW_HZ, (double)point / CURVE_POINTS);
}

static bool put_limit(const struct sg_limit_row *row, struct sg_text *data)
{
    bool any = false;
    for (int i = 0; i <= CURVE_POINTS; i++) {
        double hz = curve_hz(i), limit;
        if (!sg_ok(sg_limit_at(row, hz, &limit)))
            continue;
        sg_text_printf(data, "%.6g %.6g\n", hz, limit);
        any = true;
    }
    sg_text_put(data, any ? "\n\n" : "");
    return any;
}

/* A round power of ten below everything that is drawn, so that nothing lies on the frame. */
static double peaks_floor(const struct sg_pictured *of)
{
    const struct sg_vibration_figures *f = &of->kept->measured.vibration;
    double least = f->pcpv_mm_s, limit;
    for (size_t i = 0; i < f->naxis; i++)
        least = fmin(least, f->axis[i].ppv_mm_s);
    for (size_t i = 0; of->events && i < of->events->count; i++)
        if (!of->events->event[i].is_sound &&
            of->events->event[i].group == of->kept->measured.group)
            least = fmin(least, of->events->event[i].ppv_mm_s);
    for (size_t i = 0; i < of->nlimit; i++)
        for (int k = 0; k <= CURVE_POINTS; k++)
            if (sg_ok(sg_limit_at(of->limit[i], curve_hz(k), &limit)))
                least = fmin(least, limit);
    return least > 0.0 ? pow(10.0, floor(log10(0.8 * least))) : 1e-3;
}

static size_t put_axis_peaks(const struct sg_pictured *of, size_t axis, struct sg_text *data)
{
    const struct sg_vibration_figures *f = &of->kept->measured.vibration;
    size_t count = 0;
    double hz = sg_is_set(f->axis[axis].frequency_crossing_hz)
                    ? f->axis[axis].frequency_crossing_hz
                    : f->axis[axis].frequency_spectrum_hz;
    if (sg_is_set(hz)) {
        sg_text_printf(data, "%.6g %.6g\n", hz, f->axis[axis].ppv_mm_s);
        count++;
    }
    for (size_t i = 0; of->events && i < of->events->count; i++) {
        const struct sg_found_event *e = &of->events->event[i];
        if (e->is_sound || e->group != of->kept->measured.group ||
            e->ppv_axis != f->axis_of[axis] || !sg_is_set(e->ppv_frequency_hz))
            continue;
        sg_text_printf(data, "%.6g %.6g\n", e->ppv_frequency_hz, e->ppv_mm_s);
        count++;
    }
    sg_text_put(data, count > 0 ? "\n\n" : "");
    return count;
}

sg_status sg_picture_peaks(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                           struct sg_errors *errors)
{
    size_t block = 0, curves = of->nlimit, naxis = of->kept->measured.vibration.naxis;
    double key_px = 19.0 * (double)(curves + naxis);
    struct sg_plot plot = sg_picture_start(of, id, "peaks over their frequency", 470.0 + key_px);
    sg_text_printf(&plot.script,
                   "set logscale xy\nset xrange [%g:%g]\nset yrange [%g:*]\nset xtics "
                   "(1,2,5,10,20,50,100,200)\n"
                   "set format y '%%g'\nset xlabel 'frequency of the peak (Hz)'\n"
                   "set ylabel 'peak particle velocity (mm/s)'\n"
                   "set label 'peaks as measured; a limit holds at the place its name gives' at "
                   "graph 0.01, graph 0.97 font ',10'\nset key below left vertical Left reverse "
                   "maxcols 1 samplen 4\nplot ",
                   CURVE_LOW_HZ, CURVE_HIGH_HZ, peaks_floor(of));
    for (size_t i = 0; i < naxis; i++) {
        const char *name = sg_picture_axis(&of->trace[i], i, &plot.arena);
        if (put_axis_peaks(of, i, &plot.data) == 0)
            continue;
        sg_text_printf(&plot.script,
                       "%s@DATA index %zu using 1:2 with points lt %zu ps 1.1 title '%s'",
                       block > 0 ? ", " : "", block, i + 1, name ? name : "");
        block++;
    }
    if (block == 0) {
        sg_plot_release(&plot);
        return SG_OK;
    }
    for (size_t i = 0; i < of->nlimit; i++) {
        if (!put_limit(of->limit[i], &plot.data))
            continue;
        sg_text_printf(&plot.script, ", @DATA index %zu using 1:2 with lines %s title ", block++,
                       line_of(i, &plot.arena));
        put_limit_title(of->set[i], of->limit[i], &plot.script);
    }
    sg_text_put(&plot.script, "\n");
    return sg_picture_end(&plot, svg, errors);
}
