/* hours_table.c - hours and days of work that limit sets permit, beside the planned ones.
 * Planned are the shifts of the programme; without one, the working day of `hours` on the first
 * days of the week. */
#include "internal.h"

#include <math.h>
#include <string.h>

#define SETS_MOST 64
#define SHOWN_DAYS 120 /* of the programme; a longer run than any set asks for */
#define FRIDAY 4
#define SATURDAY 5

struct planned {
    const struct sg_site *site;
    const struct sg_shift *shift;
    size_t nshift;
    struct sg_shift own; /* of `hours` */
    double days_running;
};

struct asked {
    struct sg_table *table;
    const struct planned *planned;
    const struct sg_limit_set *set;
    unsigned marks, *seen;
};

/* ---- what is planned ------------------------------------------------------------------------- */

static unsigned first_days(double week)
{
    unsigned days = (unsigned)ceil(fmin(fmax(week, 1.0), 7.0));
    return (1u << days) - 1;
}

static bool is_holiday(const struct sg_programme *programme, long day)
{
    for (size_t i = 0; programme != NULL && i < programme->nholiday; i++)
        if (programme->holiday[i] == day)
            return true;
    return false;
}

/* Days of work of the method that takes longest; unset when none is known. */
static double longest_days(const struct sg_study *study)
{
    double days = SG_UNSET;
    for (size_t i = 0; i < study->nmethod; i++)
        if (sg_is_set(study->summary[i].days) && !(study->summary[i].days <= days))
            days = ceil(study->summary[i].days);
    return days;
}

/* The longest run of days that the week and the holidays make; the works may end it earlier. */
static double days_running(const struct sg_study *study, const struct planned *planned)
{
    const struct sg_programme *programme = study->site->programme;
    double day[SHOWN_DAYS], most = longest_days(study);
    size_t count = 0;
    long first = programme != NULL ? programme->start_day : 4; /* a Monday */
    unsigned weekdays = 0;
    for (size_t i = 0; i < planned->nshift; i++)
        weekdays |= planned->shift[i].weekdays;
    for (long i = 0; i < SHOWN_DAYS; i++) {
        if (sg_is_set(most) && (double)count >= most)
            break;
        bool worked = (weekdays & (1u << (unsigned)sg_civil_weekday(first + i))) != 0;
        if (worked && !is_holiday(programme, first + i))
            day[count++] = (double)i;
    }
    return sg_longest_run(day, count);
}

static void plan_of(const struct sg_study *study, struct planned *out)
{
    const struct sg_site *site = study->site;
    const struct sg_programme *programme = site->programme;
    *out = (struct planned){ .site = site };
    out->own = (struct sg_shift){ "", site->hours.start_h, site->hours.end_h, site->hours.work_h,
                                  first_days(site->hours.days_per_week) };
    bool shifts = programme != NULL && programme->nshift > 0;
    out->shift = shifts ? programme->shift : &out->own;
    out->nshift = shifts ? programme->nshift : 1;
    out->days_running = days_running(study, out);
}

/* ---- what is permitted ----------------------------------------------------------------------- */

/* Days of the week that a set may tell apart. What comes after them matters past midnight only. */
struct kind {
    const char *name;
    unsigned day, day_after, weekdays;
};
static const struct kind kinds[] = {
    { "working days", SG_WORKING_DAYS, SG_WORKING_DAYS, (1u << FRIDAY) - 1 },
    { "Friday", SG_WORKING_DAYS, SG_SATURDAY, 1u << FRIDAY },
    { "Saturday", SG_SATURDAY, SG_HOLIDAY, 1u << SATURDAY },
    { "Sunday", SG_HOLIDAY, SG_WORKING_DAYS, 1u << (SATURDAY + 1) },
};

/* Without a midnight in the shift a Friday is a working day like the others. */
static bool is_asked(const struct sg_shift *shift, size_t k)
{
    const unsigned friday = 1u << FRIDAY, others = friday - 1;
    bool over_midnight = !(shift->end_h > shift->start_h);
    bool only_friday = (shift->weekdays & others) == 0;
    if (kinds[k].weekdays == friday)
        return (shift->weekdays & friday) != 0 && (over_midnight || only_friday);
    return (shift->weekdays & kinds[k].weekdays) != 0;
}

static void put_clock(struct sg_text *out, double hour)
{
    int minutes = (int)lround(hour * 60.0);
    sg_text_printf(out, "%02d:%02d", minutes / 60, minutes % 60);
}

static void put_span(struct sg_text *out, double start_h, double end_h)
{
    put_clock(out, start_h);
    sg_text_put(out, " to ");
    put_clock(out, end_h);
}

static bool holds(const struct sg_time_window *window, unsigned day, const char *zone)
{
    bool here = zone == NULL || window->zone == NULL || sg_same(zone, window->zone);
    return window->kind == SG_WINDOW_PERMITTED && (window->days & day) != 0 && here;
}

static void put_allowed(struct asked *a, unsigned day, const char *zone)
{
    struct sg_text text = SG_TEXT_INIT;
    for (size_t i = 0; i < a->set->nwindow; i++) {
        const struct sg_time_window *window = &a->set->window[i];
        if (!holds(window, day, zone))
            continue;
        sg_text_put(&text, text.length > 0 ? "; " : "");
        put_span(&text, window->start_h, window->end_h);
        if (window->most_h > 0.0)
            sg_text_printf(&text, ", %.4g h", window->most_h);
    }
    sg_text_put(&text, text.length > 0 ? "" : "none");
    sg_report_put_text(a->table, &text);
}

static void put_end(struct asked *a, enum sg_verdict_state state, const char *reason)
{
    sg_table_text(a->table, sg_verdict_id(state));
    sg_report_put_marks(a->table, a->marks);
    sg_table_text(a->table, reason);
    *a->seen |= a->marks;
}

static void put_shift(struct asked *a, const struct sg_shift *shift, const struct kind *kind,
                      const char *zone)
{
    unsigned day = kind->day;
    struct sg_worked_shift worked = {
        shift->start_h, shift->end_h, shift->work_h, 0.0, day, zone, kind->day_after,
    };
    struct sg_text planned = SG_TEXT_INIT;
    char reason[240];
    enum sg_verdict_state state = sg_judge_shift(a->set, &worked, reason, sizeof reason);
    sg_table_text(a->table, a->set->id);
    sg_table_printf(a->table, "%s%s%s", kind->name, zone != NULL ? ", zone " : "",
                    zone != NULL ? zone : "");
    put_allowed(a, day, zone);
    put_span(&planned, shift->start_h, shift->end_h);
    sg_text_printf(&planned, ", %.4g h", shift->work_h);
    sg_report_put_text(a->table, &planned);
    put_end(a, state, reason);
}

static bool zone_came_before(const struct sg_limit_set *set, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (set->window[i].kind == SG_WINDOW_PERMITTED &&
            sg_same(set->window[i].zone, set->window[index].zone))
            return true;
    return false;
}

/* Every zone that the set knows, or the one that holds everywhere. */
static void put_zones(struct asked *a, const struct sg_shift *shift, const struct kind *kind)
{
    bool zoned = false, any = false;
    for (size_t i = 0; i < a->set->nwindow; i++) {
        const struct sg_time_window *window = &a->set->window[i];
        if (window->kind != SG_WINDOW_PERMITTED)
            continue;
        any = true;
        if (window->zone == NULL || zone_came_before(a->set, i))
            continue;
        zoned = true;
        put_shift(a, shift, kind, window->zone);
    }
    if (any && !zoned)
        put_shift(a, shift, kind, NULL);
}

static void put_days(struct asked *a)
{
    double most = a->set->consecutive_days, planned = a->planned->days_running;
    if (!(most > 0.0))
        return;
    sg_table_text(a->table, a->set->id);
    sg_table_text(a->table, "days running");
    sg_table_printf(a->table, "%.4g", most);
    sg_table_printf(a->table, "%.4g", planned);
    put_end(a, planned > most ? SG_OVER : SG_WITHIN,
            planned > most ? "more days running than the set has" : "");
}

static void put_set(struct asked *a)
{
    a->marks = 0;
    for (size_t i = 0; i < a->set->nwindow; i++)
        if (a->set->window[i].kind == SG_WINDOW_PERMITTED &&
            sg_grade_unverified(a->set->window[i].cite.grade))
            a->marks = (unsigned)SG_MARK_UNVERIFIED;
    for (size_t i = 0; i < a->planned->nshift; i++)
        for (size_t k = 0; k < SG_COUNT(kinds); k++)
            if (is_asked(&a->planned->shift[i], k))
                put_zones(a, &a->planned->shift[i], &kinds[k]);
    put_days(a);
}

/* ---- the table ------------------------------------------------------------------------------- */

static size_t collect_sets(const struct sg_site *site, const struct sg_limit_set **set)
{
    size_t count = 0;
    for (size_t r = 0; r < site->nreceptor; r++) {
        size_t nlist = 0;
        const char *const *list = sg_site_limit_sets(site, &site->receptor[r], &nlist);
        for (size_t i = 0; i < nlist; i++) {
            const struct sg_limit_set *found = sg_site_limit_set(site, list[i]);
            size_t at = 0;
            while (at < count && set[at] != found)
                at++;
            if (found != NULL && at == count && count < SETS_MOST)
                set[count++] = found;
        }
    }
    return count;
}

sg_status sg_table_hours(const struct sg_study *study, struct sg_table *out)
{
    static const struct sg_column columns[] = {
        { "limit_set", "limit set", 0, false }, { "rule", "rule", 0, false },
        { "allowed", "allowed", 0, false },     { "planned", "planned", 0, false },
        { "verdict", "verdict", 0, false },     { "marks", "marks", 0, false },
        { "reason", "reason", 0, false },
    };
    const struct sg_limit_set *set[SETS_MOST];
    struct planned planned;
    unsigned seen = 0;
    size_t count = collect_sets(study->site, set);
    plan_of(study, &planned);
    sg_table_init(out, "hours", "Hours and days", columns, SG_COUNT(columns));
    for (size_t i = 0; i < count; i++) {
        struct asked asked = { out, &planned, set[i], 0, &seen };
        put_set(&asked);
    }
    sg_table_note(out, "Hours that the limit sets in use permit, and those of the site file; after "
                       "a comma the hours of work a day. Which zone holds, which techniques are "
                       "concerned and what is excepted is for the authority to say.");
    sg_table_note(out, "Days running: as the week and the holidays make them, no more than the "
                       "slowest method takes.");
    sg_report_marks_note(out, seen);
    return sg_report_table_status(out);
}
