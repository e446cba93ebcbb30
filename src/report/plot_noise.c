/* plot_noise.c - octave bands of each item of plant at a receptor, and what measures would leave
 * there. Told apart by mark, dash and hatching as well as by colour, for print in grey.
 */
#include "internal.h"

#include "stillground/noise.h"
#include "stillground/outdoor.h"

#include <math.h>

#define NAME_MOST 46
#define ITEMS_MOST 7

static bool has_bands(const struct sg_noise_part *part)
{
    for (size_t b = 0; b < SG_BANDS; b++)
        if (sg_is_set(part->band_db[b]))
            return true;
    return false;
}

/* ---- spectrum -------------------------------------------------------------------------------- */

struct spectrum {
    size_t shown[ITEMS_MOST], count;
    double low, high;
};

static void put_item(struct sg_plot *plot, const double *band_db, struct spectrum *s)
{
    for (size_t b = 0; b < SG_BANDS; b++) {
        if (!sg_is_set(band_db[b])) {
            sg_text_printf(&plot->data, "%zu NaN\n", b);
            continue;
        }
        sg_text_printf(&plot->data, "%zu %.3f\n", b, band_db[b]);
        s->low = fmin(s->low, band_db[b]);
        s->high = fmax(s->high, band_db[b]);
    }
    sg_text_put(&plot->data, "\n\n");
}

/* The items with bands, then their sum. */
static void put_spectra(struct sg_plot *plot, const struct sg_noise_part *part, size_t count,
                        struct spectrum *s)
{
    double sum_db[SG_BANDS];
    for (size_t b = 0; b < SG_BANDS; b++)
        sum_db[b] = SG_UNSET;
    for (size_t i = 0; i < count && s->count < ITEMS_MOST; i++) {
        if (!has_bands(&part[i]))
            continue;
        s->shown[s->count++] = i;
        put_item(plot, part[i].band_db, s);
        for (size_t b = 0; b < SG_BANDS; b++) {
            double pair[] = { sum_db[b], part[i].band_db[b] };
            sum_db[b] = sg_level_sum(pair, SG_COUNT(pair));
        }
    }
    put_item(plot, sum_db, s);
}

static void put_spectrum_script(struct sg_plot *plot, const struct sg_noise_part *part,
                                const struct spectrum *s)
{
    struct sg_text *script = &plot->script;
    sg_text_put(script, "set xrange [-0.4:7.4]\nset xtics (");
    for (size_t b = 0; b < SG_BANDS; b++)
        sg_text_printf(script, "%s'%.0f' %zu", b > 0 ? ", " : "", sg_octave_nominal_hz(b), b);
    sg_text_printf(
        script,
        ")\nset xlabel 'octave band, mid frequency (Hz)' font ',11'\n"
        "set ylabel 'sound pressure level, unweighted (dB)' font ',11'\n"
        "set yrange [%g:%g]\nset bmargin at screen 0.24\nset key at screen 0.5, screen 0.02 center "
        "bottom horizontal "
        "samplen 4 font ',11'\nplot @DATA index %zu using 1:2 with lines lc rgb '#B0B0B0' "
        "lw 6 dt solid title 'all of these'",
        10.0 * floor(fmax(s->low, s->high - 60.0) / 10.0), 10.0 * ceil((s->high + 1.0) / 10.0),
        s->count);
    for (size_t i = 0; i < s->count; i++) {
        sg_text_printf(script, ", @DATA index %zu using 1:2 with linespoints lt %zu title ", i,
                       i + 1);
        sg_report_put_quoted(script, part[s->shown[i]].name);
    }
    sg_text_put(script, "\n");
}

sg_status sg_plot_spectrum_script(const struct sg_study *study, size_t method, struct sg_plot *out)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_noise_part *part = NULL;
    size_t count = 0, receptor = sg_noise_receptor(study, method);
    struct spectrum s = { .low = SG_INFINITY, .high = -SG_INFINITY };
    *out = SG_PLOT_INIT;
    sg_status status = receptor == SIZE_MAX
                           ? SG_ERR_MISSING
                           : sg_noise_parts_of(study, method, receptor, &arena, &part, &count);
    if (sg_ok(status))
        put_spectra(out, part, count, &s);
    if (sg_ok(status) && s.count == 0)
        status = SG_ERR_MISSING;
    if (sg_ok(status)) {
        out->id = sg_arena_printf(&out->arena, "noise-spectrum-%zu", method + 1);
        out->title =
            sg_arena_printf(&out->arena, "Octave bands at %s: %s",
                            study->site->receptor[receptor].name, study->site->method[method].name);
        out->description =
            "Each item of plant at its loudest position and height while it runs, "
            "unweighted, at the receptor that governs the noise of the method. Items "
            "of which only an A-weighted level is known are not drawn.";
        out->width_px = 760.0;
        out->height_px = 380.0;
        put_spectrum_script(out, part, &s);
        if (out->data.failed || out->script.failed || !out->title || !out->id)
            status = SG_ERR_NOMEM;
    }
    sg_arena_release(&arena);
    return status;
}

/* ---- measures -------------------------------------------------------------------------------- */

static void put_bars(struct sg_plot *plot, const struct sg_measures *all, double *low, double *high)
{
    *low = fmin(all->now_db, sg_is_set(all->limit_db) ? all->limit_db : all->now_db);
    *high = fmax(all->now_db, sg_is_set(all->limit_db) ? all->limit_db : all->now_db);
    sg_text_printf(&plot->data, "%zu %.3f %.3f\n", all->count + 1, all->now_db, all->now_db);
    for (size_t i = 0; i < all->count; i++) {
        const struct sg_measure *m = &all->measure[i];
        sg_text_printf(&plot->data, "%zu %.3f %.3f\n", all->count - i, m->low_db, m->high_db);
        *low = fmin(*low, m->low_db);
        *high = fmax(*high, m->high_db);
    }
    *low = 10.0 * floor((*low - 4.0) / 10.0);
    *high = 5.0 * ceil((*high + 1.0) / 5.0);
}

static void put_names(struct sg_text *script, const struct sg_measures *all)
{
    sg_text_printf(script, "set yrange [0.4:%.1f]\nset ytics ('as planned' %zu",
                   (double)all->count + 1.6, all->count + 1);
    for (size_t i = 0; i < all->count; i++) {
        sg_text_put(script, ", ");
        sg_plot_put_tic(all->measure[i].name, NAME_MOST, script);
        sg_text_printf(script, " %zu", all->count - i);
    }
    sg_text_put(script, ") scale 0 font ',10'\nset grid noytics xtics\n");
}

static void put_measures_script(struct sg_plot *plot, const struct sg_measures *all, double low,
                                double high)
{
    struct sg_text *script = &plot->script;
    put_names(script, all);
    sg_text_printf(script,
                   "set xrange [%g:%g]\nset lmargin at screen 0.40\nset rmargin at screen 0.84\n"
                   "set tmargin at screen %.4f\nset bmargin at screen %.4f\nunset key\n"
                   "set xlabel 'level at the receptor (dB(A))' font ',11'\n",
                   low, high, 1.0 - 34.0 / plot->height_px, 64.0 / plot->height_px);
    if (sg_is_set(all->limit_db))
        sg_text_printf(script,
                       "set arrow from %g, graph 0 to %g, graph 1 nohead lc rgb '#000000' lw 1.8 "
                       "front\nset label 'limit %.1f' at %g, graph 1 center offset 0,0.6 font "
                       "',10'\n",
                       all->limit_db, all->limit_db, all->limit_db, all->limit_db);
    sg_text_printf(script,
                   "set arrow from %g, graph 0 to %g, graph 1 nohead lc rgb '#404040' lw 1.2 dt "
                   "(4,4) front\n",
                   all->now_db, all->now_db);
    sg_text_printf(script,
                   "plot @DATA using 2:1:(%g):2:($1-0.3):($1+0.3) with boxxyerror fs solid 1.0 "
                   "border lc rgb '#0072B2', "
                   "@DATA using 3:1:2:3:($1-0.3):($1+0.3) with boxxyerror fs pattern 4 border lc "
                   "rgb '#0072B2' lc rgb '#0072B2' dt solid, "
                   "@DATA using (%g):1:(abs($3-$2) < 0.05 ? sprintf('%%.1f', $2) : "
                   "sprintf('%%.1f to %%.1f', $2, $3)) with labels left offset 0.8,0 font ',10'\n",
                   low, high);
}

sg_status sg_plot_measures_script(const struct sg_study *study, size_t method, struct sg_plot *out)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_measures all;
    double low, high;
    *out = SG_PLOT_INIT;
    sg_status status = sg_measures_make(study, method, &arena, &all);
    if (sg_ok(status) && all.count == 0)
        status = SG_ERR_MISSING;
    if (sg_ok(status)) {
        out->id = "noise-measures";
        out->title = sg_arena_printf(&out->arena, "Measures against noise at %s: %s",
                                     study->site->receptor[all.receptor].name,
                                     study->site->method[method].name);
        out->description = "Level that each measure by itself would leave, central value; hatched: "
                           "from the larger to the smaller effect where a document states a range. "
                           "Dashed line: as planned; full line: the limit that governs.";
        out->width_px = 900.0;
        out->height_px = 98.0 + 26.0 * (double)(all.count + 1);
        put_bars(out, &all, &low, &high);
        put_measures_script(out, &all, low, high);
        if (out->data.failed || out->script.failed || !out->title)
            status = SG_ERR_NOMEM;
    }
    sg_arena_release(&arena);
    return status;
}
