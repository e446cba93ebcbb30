/* programme.c - when the work is done: shifts, days off, quiet windows, possessions, rigs. */
#include "site/site_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool read_day(struct sg_reader *reader, const struct sg_tree *value, struct sg_spot at,
                     const char *key, const char *text, long *out)
{
    if (sg_civil_parse(text, out) == SG_OK)
        return true;
    sg_reader_error(reader, SG_ERR_INPUT, value ? value->at : at,
                    "%s: %s is not a date; allowed: YYYY-MM-DD", key, sg_quoted(reader, text));
    return false;
}

static bool read_clock(struct sg_reader *reader, const struct sg_tree *map, const char *key,
                       const char *label, const char *text, double *out)
{
    const struct sg_tree *value = sg_tree_value(map, key);
    return sg_bind_clock(reader, value ? value : map, label, text, out);
}

static unsigned read_weekdays(struct sg_reader *reader, const struct sg_tree *list, const char *key,
                              unsigned dflt)
{
    size_t count;
    unsigned days = 0;
    if (!list)
        return dflt;
    const char *const *text = sg_bind_texts(reader, list, key, &count);
    for (size_t i = 0; text && i < count; i++) {
        int found = -1;
        for (int d = 0; d < 7; d++)
            found = sg_same(text[i], sg_civil_weekday_id(d)) ? d : found;
        if (found < 0)
            sg_reader_error(reader, SG_ERR_INPUT, list->at,
                            "%s: %s is not a day; allowed: mon, "
                            "tue, wed, thu, fri, sat, sun",
                            key, sg_quoted(reader, text[i]));
        else
            days |= 1u << found;
    }
    return days;
}

static void read_shifts(struct sg_reader *reader, const struct sg_tree *list, unsigned weekdays,
                        struct sg_programme *out)
{
    const struct sg_hours *hours = &reader->site->hours;
    size_t count = list ? list->count : 1;
    struct sg_shift *shift = sg_reader_alloc(reader, count, sizeof(*shift));
    if (!shift)
        return;
    out->shift = shift;
    out->nshift = count;
    if (!list) {
        shift[0] = (struct sg_shift){ "", hours->start_h, hours->end_h, hours->work_h, weekdays };
        return;
    }
    for (size_t i = 0; i < count; i++) {
        struct sg_raw_shift raw;
        const struct sg_tree *map = list->child[i];
        if (!sg_bind(reader, "programme.shifts", map, &raw))
            continue;
        shift[i] = (struct sg_shift){ .name = raw.name, .work_h = raw.work_h };
        bool good = read_clock(reader, map, "start", "shifts.start", raw.start, &shift[i].start_h);
        good &= read_clock(reader, map, "end", "shifts.end", raw.end, &shift[i].end_h);
        shift[i].weekdays = read_weekdays(reader, raw.weekdays, "shifts.weekdays", weekdays);
        double span_h = shift[i].end_h - shift[i].start_h;
        span_h += span_h <= 0 ? 24 : 0;
        if (good && raw.work_h > span_h + 1e-9)
            sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "work_h"),
                            "shifts.work_h: "
                            "'%.9g' is more than the %.9g h from start to end; allowed: at most "
                            "that",
                            raw.work_h, span_h);
    }
}

static int by_day(const void *left, const void *right)
{
    long a = *(const long *)left, b = *(const long *)right;
    return (a > b) - (a < b);
}

static void read_holidays(struct sg_reader *reader, const struct sg_tree *list,
                          struct sg_programme *out)
{
    size_t count = 0;
    const char *const *text =
        list ? sg_bind_texts(reader, list, "programme.holidays", &count) : NULL;
    long *day = sg_reader_alloc(reader, count + 1, sizeof(*day));
    for (size_t i = 0; day && i < count; i++) {
        if (read_day(reader, list, list->at, "programme.holidays", text[i], &day[out->nholiday]))
            out->nholiday++;
    }
    if (day && out->nholiday > 1)
        qsort(day, out->nholiday, sizeof(*day), by_day);
    out->holiday = day;
}

/* Clock times of a window must be times that clocks show. */
static void check_clock(struct sg_reader *reader, const struct sg_tree *map, const char *key,
                        const struct sg_zone *zone, long day, double hour_h)
{
    double utc_s;
    struct sg_spot at = sg_tree_spot(map, key);
    struct sg_text text = SG_TEXT_INIT;
    sg_civil_put(&text, day);
    sg_status status = sg_zone_utc(zone, day, hour_h, -1, &utc_s);
    if (status == SG_ERR_DOMAIN)
        sg_reader_error(reader, SG_ERR_INPUT, at,
                        "%s: clocks are put forward and do not show this "
                        "time on %s; allowed: a time that there is",
                        key, sg_text_string(&text));
    else if (status == SG_ERR_UNDETERMINED)
        sg_reader_warn(reader, at,
                       "%s: clocks are put back and show this time twice on %s; the "
                       "first is taken",
                       key, sg_text_string(&text));
    sg_text_release(&text);
}

static void read_window(struct sg_reader *reader, const char *block, const struct sg_tree *map,
                        const struct sg_zone *zone, struct sg_window *out)
{
    struct sg_raw_window raw = { .from_m = SG_UNSET, .to_m = SG_UNSET };
    if (!sg_bind(reader, block, map, &raw))
        return;
    *out = (struct sg_window){ .name = raw.name, .from_m = raw.from_m, .to_m = raw.to_m };
    const char *last = raw.last[0] ? raw.last : raw.first;
    bool good =
        read_day(reader, sg_tree_value(map, "first"), map->at, "first", raw.first, &out->first_day);
    good &= read_day(reader, sg_tree_value(map, "last"), map->at, "last", last, &out->last_day);
    good &= read_clock(reader, map, "start", "start", raw.start, &out->start_h);
    good &= read_clock(reader, map, "end", "end", raw.end, &out->end_h);
    if (!good)
        return;
    if (out->last_day < out->first_day)
        sg_reader_error(reader, SG_ERR_INPUT, sg_tree_spot(map, "last"),
                        "last: is before first; allowed: the same day or a later one");
    check_clock(reader, map, "start", zone, out->first_day, out->start_h);
    check_clock(reader, map, "end", zone, out->last_day + (out->end_h <= out->start_h), out->end_h);
}

static const struct sg_window *read_windows(struct sg_reader *reader, const char *block,
                                            const struct sg_tree *list, const struct sg_zone *zone,
                                            size_t *count)
{
    size_t n = list ? list->count : 0;
    struct sg_window *window = sg_reader_alloc(reader, n + 1, sizeof(*window));
    for (size_t i = 0; window && i < n; i++)
        read_window(reader, block, list->child[i], zone, &window[i]);
    *count = window ? n : 0;
    return window;
}

/* Days on which the working hours of the site are worked; of all shifts when none has these. */
static unsigned worked_days(const struct sg_hours *hours, const struct sg_programme *programme)
{
    unsigned same = 0, any = 0;
    for (size_t i = 0; i < programme->nshift; i++) {
        const struct sg_shift *shift = &programme->shift[i];
        any |= shift->weekdays;
        if (fabs(shift->start_h - hours->start_h) < 1e-9 &&
            fabs(shift->end_h - hours->end_h) < 1e-9)
            same |= shift->weekdays;
    }
    return same != 0 ? same : any;
}

static void read_programme(struct sg_reader *reader, const struct sg_tree *map)
{
    struct sg_raw_programme raw;
    struct sg_programme *out = sg_reader_alloc(reader, 1, sizeof(*out));
    if (!sg_bind(reader, "programme", map, &raw) || !out)
        return;
    if (!read_day(reader, sg_tree_value(map, "start"), map->at, "programme.start", raw.start,
                  &out->start_day))
        return;
    out->zone.offset_h = raw.utc_offset_h;
    out->zone.daylight = sg_same(raw.daylight_saving, "europe")          ? SG_DAYLIGHT_EUROPE
                         : sg_same(raw.daylight_saving, "united-states") ? SG_DAYLIGHT_UNITED_STATES
                                                                         : SG_DAYLIGHT_NONE;
    double week = reader->site->hours.days_per_week;
    unsigned first_days = week >= 1 && week <= 7 ? (1u << (unsigned)week) - 1 : 1u;
    unsigned weekdays = read_weekdays(reader, raw.weekdays, "programme.weekdays", first_days);
    read_shifts(reader, raw.shifts, weekdays, out);
    read_holidays(reader, raw.holidays, out);
    out->quiet = read_windows(reader, "programme.quiet", raw.quiet, &out->zone, &out->nquiet);
    out->possession = read_windows(reader, "programme.possessions", raw.possessions, &out->zone,
                                   &out->npossession);
    out->rigs = (size_t)raw.rigs;
    out->backward = sg_same(raw.order, "backward");
    out->set_up_minutes = raw.set_up_minutes;
    out->change_over_minutes = raw.change_over_minutes;
    out->least_run = (size_t)raw.least_run;
    reader->site->programme = out;
    reader->site->hours.weekdays = worked_days(&reader->site->hours, out);
}

void sg_build_programme(struct sg_reader *reader, const struct sg_raw_site *raw)
{
    struct sg_monitoring *m = &reader->site->monitoring;
    sg_bind(reader, "monitoring", raw->monitoring, m);
    if (m->amber_percent > m->red_percent)
        sg_reader_error(
            reader, SG_ERR_INPUT, sg_tree_spot(raw->monitoring, "amber_percent"),
            "monitoring.amber_percent: is more than red_percent; allowed: at most that");
    if (raw->programme)
        read_programme(reader, raw->programme);
}
