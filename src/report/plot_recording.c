/* plot_recording.c - plots of one sensor of a recording: waveform, spectrum, spectrogram.
 */
#include "stillground/monitoring.h"

#include "picture.h"
#include "recording_rows.h"

#include <math.h>
#include <string.h>

#define WIDTH_PX 900.0

const char *sg_picture_unit(const struct sg_pictured *of)
{
    return sg_kind_unit(of->ntrace > 0 ? of->trace[0].kind : SG_KIND_VELOCITY);
}

const char *sg_picture_axis(const struct sg_trace *trace, size_t index, struct sg_arena *arena)
{
    if (trace->kind == SG_KIND_PRESSURE)
        return "sound pressure";
    if (trace->axis == SG_AXIS_NONE)
        return sg_arena_printf(arena, "channel %zu", index + 1);
    return sg_arena_printf(arena, "axis %s", sg_axis_id(trace->axis));
}

/* Ids inside a drawing stand in attributes: of a file name only letters and digits are kept. */
static const char *plain_id(const char *id, struct sg_arena *arena)
{
    char *plain = sg_arena_copy(arena, id, strlen(id));
    for (char *c = plain; c && *c; c++) {
        bool kept = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') ||
                    (*c >= '0' && *c <= '9') || *c == '-';
        *c = kept ? *c : '_';
    }
    return plain ? plain : "plot";
}

struct sg_plot sg_picture_start(const struct sg_pictured *of, const char *id, const char *title,
                                double height_px)
{
    struct sg_plot plot = SG_PLOT_INIT;
    plot.id = plain_id(id, &plot.arena);
    const char *whole = sg_arena_printf(&plot.arena, "%s: %s", sg_rows_file(of->name), title);
    plot.title = whole ? whole : title;
    plot.description = plot.title;
    plot.width_px = WIDTH_PX;
    plot.height_px = height_px;
    sg_text_put(&plot.script, "set title ");
    sg_report_put_quoted(&plot.script, plot.title);
    sg_text_put(&plot.script, " font ',13'\n");
    return plot;
}

sg_status sg_picture_end(struct sg_plot *plot, struct sg_text *svg, struct sg_errors *errors)
{
    return sg_plot_finish(plot, NULL, svg, errors);
}

/* ---- waveform -------------------------------------------------------------------------------- */

static void put_trace(const struct sg_trace *trace, struct sg_text *data)
{
    double step_s = sg_trace_step_s(trace);
    for (size_t i = 0; i < trace->count; i++)
        sg_text_printf(data, "%.6f %.6g %.6g\n", trace->start_s + (double)i * step_s, trace->low[i],
                       trace->high[i]);
    sg_text_put(data, "\n\n");
}

/* Time and height of the peak of one trace; for sound the largest of the trace. */
static void mark_peak(const struct sg_pictured *of, size_t index, double *time_s, double *height)
{
    const struct sg_trace *trace = &of->trace[index];
    const struct sg_measured *m = &of->kept->measured;
    double most = 0.0;
    *time_s = *height = 0.0;
    for (size_t i = 0; i < trace->count; i++) {
        double larger = -trace->low[i] > trace->high[i] ? trace->low[i] : trace->high[i];
        if (fabs(larger) <= most)
            continue;
        most = fabs(larger);
        *height = larger;
        *time_s = trace->start_s + (double)i * sg_trace_step_s(trace);
    }
    if (!m->is_sound && trace->kind == SG_KIND_VELOCITY && index < m->vibration.naxis &&
        sg_is_set(m->vibration.axis[index].time_s)) {
        *time_s = m->vibration.axis[index].time_s;
        *height = copysign(m->vibration.axis[index].ppv_mm_s, *height);
    }
}

static double common_height(const struct sg_pictured *of)
{
    double most = 1e-12;
    for (size_t k = 0; k < of->ntrace; k++)
        for (size_t i = 0; i < of->trace[k].count; i++)
            most = fmax(most, fmax(of->trace[k].high[i], -of->trace[k].low[i]));
    return 1.15 * most;
}

sg_status sg_picture_waveform(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                              struct sg_errors *errors)
{
    double panel = of->ntrace > 1 ? 190.0 : 300.0;
    struct sg_plot plot = SG_PLOT_INIT;
    plot = sg_picture_start(of, id, "waveform with the peak marked",
                            60.0 + panel * (double)of->ntrace);
    double height = common_height(of);
    for (size_t i = 0; i < of->ntrace; i++)
        put_trace(&of->trace[i], &plot.data);
    sg_text_printf(&plot.script, "set multiplot layout %zu,1 title ", of->ntrace);
    sg_report_put_quoted(&plot.script, plot.title);
    sg_text_printf(&plot.script,
                   " font ',13'\nunset title\nset lmargin 10\nset rmargin 3\nset bmargin 3\n"
                   "set tmargin 1\nset yrange [%.6g:%.6g]\nset key right top\n",
                   -height, height);
    for (size_t i = 0; i < of->ntrace; i++) {
        double at, peak;
        mark_peak(of, i, &at, &peak);
        const char *name = sg_picture_axis(&of->trace[i], i, &plot.arena);
        const struct sg_trace *trace = &of->trace[i];
        double end_s = trace->start_s + (double)trace->count * sg_trace_step_s(trace);
        bool late = at - trace->start_s > 0.75 * (end_s - trace->start_s);
        const char *side = late ? "right" : "left"; /* the text stays inside the frame */
        sg_text_printf(&plot.script, "unset label\nset xlabel %s\nset ylabel '%s (%s)'\n",
                       i + 1 == of->ntrace ? "'time from the first sample (s)'" : "''",
                       name ? name : "", sg_picture_unit(of));
        sg_text_printf(&plot.script,
                       "set label '%.3g %s at %.2f s' at %.6f,%.6g %s point lt 2 pt 6 ps 1.2 "
                       "offset %d,0 font ',11'\n",
                       fabs(peak), sg_picture_unit(of), at, at, peak, side, late ? -2 : 1);
        sg_text_printf(&plot.script,
                       "plot @DATA index %zu using 1:2:3 with filledcurves lt 1 fs solid 0.7 "
                       "notitle, @DATA index %zu using 1:2 with lines lt 1 lw 0.7 notitle, "
                       "@DATA index %zu using 1:3 with lines lt 1 lw 0.7 notitle\n",
                       i, i, i);
    }
    sg_text_put(&plot.script, "unset multiplot\n");
    return sg_picture_end(&plot, svg, errors);
}

/* ---- spectrum -------------------------------------------------------------------------------- */

sg_status sg_picture_spectrum(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                              struct sg_errors *errors)
{
    bool sound = of->kept->measured.is_sound;
    double top_hz = sound ? 10000.0 : 200.0, low_hz = sound ? 20.0 : 1.0, most = 0.0;
    if (of->density == NULL)
        return SG_OK; /* too short for one segment */
    struct sg_plot plot = sg_picture_start(of, id, "power spectral density", 460.0);
    for (size_t i = 0; i < of->ntrace; i++) {
        const struct sg_spectrum *d = &of->density[i];
        for (size_t k = 1; k < d->count; k++) {
            double hz = (double)k * d->step_hz;
            if (hz < low_hz || hz > top_hz)
                continue;
            most = fmax(most, d->value[k]);
            sg_text_printf(&plot.data, "%.6g %.6g\n", hz, fmax(d->value[k], 1e-30));
        }
        sg_text_put(&plot.data, "\n\n");
    }
    sg_text_printf(&plot.script,
                   "set logscale xy\nset xrange [%.6g:%.6g]\nset yrange [%.6g:%.6g]\n"
                   "set format y '%%.0e'\nset xlabel 'frequency (Hz)'\n"
                   "set ylabel 'density ((%s)^2/Hz)'\nset key right top\n"
                   "set label 'Welch: %s window, %.0f %% overlap, %zu segments, %.3g Hz noise "
                   "bandwidth' at graph 0.01, graph 0.03 font ',10'\nplot ",
                   low_hz, fmin(top_hz, of->density[0].step_hz * (double)of->density[0].count),
                   most * 1e-8, most * 3.0, sg_picture_unit(of), sg_taper_id(of->density[0].window),
                   100.0 * of->density[0].overlap, of->density[0].averages, of->density[0].enbw_hz);
    for (size_t i = 0; i < of->ntrace; i++) {
        const char *name = sg_picture_axis(&of->trace[i], i, &plot.arena);
        sg_text_printf(&plot.script, "%s@DATA index %zu using 1:2 with lines lt %zu title '%s'",
                       i > 0 ? ", " : "", i, i + 1, name ? name : "");
    }
    sg_text_put(&plot.script, "\n");
    return sg_picture_end(&plot, svg, errors);
}

/* ---- spectrogram ----------------------------------------------------------------------------- */

sg_status sg_picture_spectrogram(const struct sg_pictured *of, const char *id, struct sg_text *svg,
                                 struct sg_errors *errors)
{
    const struct sg_mosaic *m = of->mosaic;
    double most = 1e-30;
    if (m == NULL)
        return SG_OK; /* too short for two columns */
    bool sound = of->kept->measured.is_sound;
    size_t join = m->nline > 256 ? m->nline / 256 : 1;
    struct sg_plot plot = sg_picture_start(
        of, id, sound ? "spectrogram" : "spectrogram, vertical or first axis", 460.0);
    for (size_t c = 0; c < m->count; c++) {
        double middle_s = m->start_s + ((double)c + 1.0) * sg_mosaic_step_s(m);
        for (size_t k = 1; k + join <= m->nline; k += join) {
            double density = 1e-30;
            for (size_t n = 0; n < join; n++)
                density = fmax(density, m->density[c * m->nline + k + n]);
            most = fmax(most, density);
            sg_text_printf(&plot.data, "%.5g %.5g %.2f\n", middle_s,
                           ((double)k + 0.5 * (double)(join - 1)) * m->line_step_hz,
                           10.0 * log10(density));
        }
        sg_text_put(&plot.data, "\n");
    }
    double top = 10.0 * log10(most);
    sg_text_printf(&plot.script,
                   "set xlabel 'time from the first sample (s)'\nset ylabel 'frequency (Hz)'\n"
                   "set cblabel 'density (dB re 1 (%s)^2/Hz)'\nset cbrange [%.1f:%.1f]\n"
                   "set palette defined (0 '#FFFFFF', 1 '#56B4E9', 2 '#0072B2', 3 '#000000')\n"
                   "set xrange [*:*] noextend\nset yrange [*:*] noextend\nset rmargin 16\nset "
                   "cblabel offset 2\n"
                   "plot @DATA using 1:2:3 with image pixels notitle\n",
                   sg_picture_unit(of), top - 70.0, top);
    return sg_picture_end(&plot, svg, errors);
}
