/* plot_calendar.c - receptors against days of work, shaded by the highest ratio to a limit. */
#include "internal.h"
#include "stillground/report_works.h"

#include <math.h>
#include <stdlib.h>

#define RECEPTORS_MOST 40
#define NAME_MOST 30
#define ROW_PX 22.0
#define TOP_PX 40.0
#define BOTTOM_PX 110.0
#define TICKS_MOST 24

/* Steps of shade: quiet, half the limit, amber, limit, over. Colours tell apart in grey too. */
static const struct {
    double from;
    const char *colour, *text;
} steps[] = {
    { 0.0, "#F2F2F2", "under half the limit" },   { 0.5, "#C6DBEF", "from half the limit" },
    { 0.8, "#F6C667", "from 80 % of the limit" }, { 1.0, "#D55E00", "over the limit" },
    { 2.0, "#7A1F00", "over twice the limit" },
};

struct line {
    size_t receptor;
    double highest;
};

static int by_highest(const void *left, const void *right)
{
    const struct line *a = left, *b = right;
    if (a->highest > b->highest || a->highest < b->highest)
        return a->highest > b->highest ? -1 : 1;
    return a->receptor < b->receptor ? -1 : a->receptor > b->receptor;
}

static size_t step_of(double ratio)
{
    size_t step = 0;
    for (size_t i = 0; i < SG_COUNT(steps); i++)
        step = i == 3 ? (ratio > 1.0 ? i : step) : ratio >= steps[i].from ? i : step;
    return ratio > 1.0 || step < 3 ? step : 2;
}

/* Index of each slot's day among the days with work. */
static size_t number_days(const struct sg_schedule *s, size_t *index)
{
    size_t count = 0;
    for (size_t i = 0; i < s->nslot; i++) {
        count += i == 0 || s->slot[i].day != s->slot[i - 1].day;
        index[i] = count - 1;
    }
    return count;
}

static void put_ticks(const struct sg_schedule *s, const size_t *index, size_t days,
                      struct sg_text *script)
{
    size_t every = (days + TICKS_MOST - 1) / TICKS_MOST, next = 0;
    bool first = true;
    sg_text_put(script, "set xtics rotate by 60 right font ',9' (");
    for (size_t i = 0; i < s->nslot; i++) {
        if (index[i] < next)
            continue;
        sg_text_put(script, first ? "'" : ", '");
        sg_civil_put(script, s->slot[i].day);
        sg_text_printf(script, "' %zu", index[i]);
        next = index[i] + every;
        first = false;
    }
    sg_text_put(script, ")\n");
}

static void put_cells(const struct sg_calendar *c, const struct line *line, size_t lines,
                      const size_t *index, struct sg_plot *plot)
{
    const struct sg_schedule *s = c->schedule;
    for (size_t step = 0; step < SG_COUNT(steps); step++) {
        bool any = false;
        for (size_t k = 0; k < lines; k++) {
            for (size_t i = 0; i < s->nslot; i++) {
                double ratio = 0; /* the day's highest over its shifts */
                if (i > 0 && index[i] == index[i - 1])
                    continue;
                for (size_t j = i; j < s->nslot && index[j] == index[i]; j++)
                    ratio = fmax(ratio, c->receptor[line[k].receptor].value[j].ratio);
                if (step_of(ratio) != step)
                    continue;
                sg_text_printf(&plot->data, "%zu %zu\n", index[i], k);
                any = true;
            }
        }
        sg_text_put(&plot->data, any ? "\n\n" : "nan nan\n\n\n");
    }
}

static void put_names(const struct sg_calendar *c, const struct line *line, size_t lines,
                      struct sg_text *script)
{
    sg_text_put(script, "set ytics font ',10' (");
    for (size_t k = 0; k < lines; k++) {
        struct sg_text cut = SG_TEXT_INIT;
        sg_report_put_cut(&cut, c->site->receptor[line[k].receptor].name, NAME_MOST);
        sg_text_put(script, k > 0 ? ", " : "");
        sg_report_put_quoted(script, sg_text_string(&cut));
        sg_text_printf(script, " %zu", k);
        script->failed = script->failed || cut.failed;
        sg_text_release(&cut);
    }
    sg_text_put(script, ")\n");
}

static void put_frame(struct sg_plot *plot, size_t days, size_t lines)
{
    sg_text_printf(
        &plot->script,
        "set lmargin at screen 0.24\nset rmargin at screen 0.98\n"
        "set tmargin at screen %.4f\nset bmargin at screen %.4f\n"
        "set xrange [-0.5:%.1f]\nset yrange [%.1f:-0.5]\nunset grid\n"
        "set key at screen 0.98, screen 0.985 right top horizontal font ',10' samplen 1\n"
        "set style fill solid 1 noborder\nplot ",
        1 - TOP_PX / plot->height_px, BOTTOM_PX / plot->height_px, (double)days - 0.5,
        (double)lines - 0.5);
    for (size_t i = 0; i < SG_COUNT(steps); i++)
        sg_text_printf(&plot->script,
                       "%s@DATA index %zu using 1:2:(0.46):(0.42) with boxxyerror fc rgb '%s' "
                       "title '%s'",
                       i > 0 ? ", " : "", i, steps[i].colour, steps[i].text);
    sg_text_put(&plot->script, "\n");
}

sg_status sg_plot_calendar_script(const struct sg_calendar *calendar, struct sg_plot *out)
{
    const struct sg_schedule *s = calendar->schedule;
    size_t lines = calendar->nreceptor < RECEPTORS_MOST ? calendar->nreceptor : RECEPTORS_MOST;
    struct line *line = sg_alloc(calendar->nreceptor + 1, sizeof *line);
    size_t *index = sg_alloc(s->nslot + 1, sizeof *index);
    *out = SG_PLOT_INIT;
    out->id = "calendar";
    out->title = "Receptors by day of work";
    out->description = "A row a receptor, the highest first, a column a day with work, each cell "
                       "shaded by the day's highest upper value as a share of its limit.";
    out->width_px = 1000;
    out->height_px = TOP_PX + BOTTOM_PX + ROW_PX * (double)lines;
    if (line != NULL && index != NULL) {
        size_t days = number_days(s, index);
        for (size_t r = 0; r < calendar->nreceptor; r++) {
            line[r].receptor = r;
            for (size_t i = 0; i < s->nslot; i++)
                line[r].highest = fmax(line[r].highest, calendar->receptor[r].value[i].ratio);
        }
        qsort(line, calendar->nreceptor, sizeof *line, by_highest);
        put_cells(calendar, line, lines, index, out);
        put_ticks(s, index, days, &out->script);
        put_names(calendar, line, lines, &out->script);
        put_frame(out, days, lines);
    }
    bool failed = line == NULL || index == NULL || out->data.failed || out->script.failed;
    sg_free(line);
    sg_free(index);
    return failed ? SG_ERR_NOMEM : SG_OK;
}

sg_status sg_plot_calendar(const struct sg_calendar *calendar, const char *keep_dir,
                           struct sg_text *svg, struct sg_errors *errors)
{
    struct sg_plot plot = SG_PLOT_INIT;
    sg_status status = sg_plot_calendar_script(calendar, &plot);
    if (!sg_ok(status)) {
        sg_plot_release(&plot);
        return status;
    }
    return sg_plot_finish(&plot, keep_dir, svg, errors);
}
