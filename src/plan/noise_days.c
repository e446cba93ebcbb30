/* noise_days.c - triggers of noise that count by days, and the crew's day.
 *
 * Sources: the limit sets (days out of days running) and the rows of exposure values carry theirs.
 * A pile's days are its minutes over a day's work, one pile after the other, days_per_week days
 * from the first day of each week on. */
#include "plan_internal.h"

#include <math.h>
#include <string.h>

#define DAYS_MOST 3000

/* ---- triggers ---- */

/* Planned days at piles from which the level passes a trigger, and whether enough of them lie in
 * the set's running days. */
struct counted {
    double day[DAYS_MOST];
    size_t count;
};

static double level_from_pile(const struct sg_site *site, const struct sg_noise_ask *ask,
                              size_t method, size_t receptor, size_t pile)
{
    struct sg_site view = *site;
    struct sg_value value;
    view.pile = &site->pile[pile];
    view.npile = 1;
    sg_noise_value(&view, method, receptor, ask, &value, NULL);
    return value.central;
}

static double calendar_day(double work_day, double per_week)
{
    double days = per_week >= 1 ? floor(per_week) : 1;
    return floor(work_day / days) * 7 + fmod(work_day, days);
}

static void count_days(const struct sg_site *site, const struct sg_day_trigger *t,
                       const double *level, double trigger_db, struct counted *out)
{
    const struct sg_method *m = &site->method[t->method];
    double done = 0;
    out->count = 0;
    for (size_t i = 0; i < site->npile; i++) {
        double end = done + m->minutes_per_pile / 60.0 / site->hours.work_h;
        double first = floor(done + 1e-9), last = fmax(first, ceil(end - 1e-9) - 1);
        for (double d = first; level[i] > trigger_db && d <= last && out->count < DAYS_MOST; d++) {
            double day = calendar_day(d, site->hours.days_per_week);
            if (sg_noise_clocked(t->verdict->row) &&
                !sg_noise_clock_on(&site->hours, t->verdict->row, (unsigned)fmod(day, 7)))
                continue;
            if (out->count == 0 || out->day[out->count - 1] < day)
                out->day[out->count++] = day;
        }
        done = end;
    }
}

static bool enough(const struct sg_limit_set *set, const struct counted *days)
{
    double first;
    for (size_t i = 0; i < SG_COUNT(set->count_days); i++) {
        if (set->count_days[i] > 0 &&
            sg_days_in_window(days->day, days->count, set->count_days[i], set->of_days[i], &first))
            return true;
    }
    return false;
}

/* Puts the days of one limit to those of the others; each day counts once. */
static void merge(struct counted *into, const struct counted *days)
{
    for (size_t i = 0; i < days->count && into->count < DAYS_MOST; i++) {
        size_t at = into->count;
        while (at > 0 && into->day[at - 1] > days->day[i])
            at--;
        if (at > 0 && !(into->day[at - 1] < days->day[i]))
            continue;
        memmove(&into->day[at + 1], &into->day[at], (into->count - at) * sizeof(into->day[0]));
        into->day[at] = days->day[i];
        into->count++;
    }
}

/* Days on which any limit of a set is passed by a method at a receptor. */
struct together {
    struct counted insulation, rehousing;
};

/* By octave bands a pile is a calculation of its own: all of them are taken as the nearest. */
static sg_status tell_days(const struct sg_study *study, struct sg_day_trigger *t,
                           struct together *any)
{
    const struct sg_site *site = study->site;
    const struct sg_verdict *v = t->verdict;
    struct sg_noise_ask ask = sg_noise_ask_of(&site->hours, v->set, v->row, v->period);
    double *level = sg_alloc(site->npile + 1, sizeof(*level));
    struct counted *days = sg_alloc(1, sizeof(*days));
    sg_status status = level && days ? SG_OK : SG_ERR_NOMEM;
    t->days_at_most = site->outdoor != NULL;
    for (size_t i = 0; status == SG_OK && i < site->npile; i++)
        level[i] = t->days_at_most ? v->value_central
                                   : level_from_pile(site, &ask, t->method, t->receptor, i);
    if (status == SG_OK) {
        count_days(site, t, level, v->limit, days);
        t->days_over = (double)days->count;
        merge(&any->insulation, days);
        count_days(site, t, level, sg_is_set(t->rehousing_db) ? t->rehousing_db : SG_INFINITY,
                   days);
        t->days_rehousing = (double)days->count;
        merge(&any->rehousing, days);
    }
    sg_free(level);
    sg_free(days);
    return status;
}

static enum sg_verdict_state against(double central, double upper, double limit)
{
    if (!sg_is_set(central) || !sg_is_set(limit))
        return SG_NOT_DETERMINABLE;
    return central > limit ? SG_OVER : upper > limit ? SG_LIKELY_WITHIN : SG_WITHIN;
}

/* The factor of re-housing stands on the pressure. */
static double rehousing(const struct sg_verdict *v)
{
    for (size_t i = 0; i < v->set->nfactor; i++) {
        if (sg_same(v->set->factor[i].id, "rehousing"))
            return v->limit - 20.0 * log10(v->factor) + 20.0 * log10(v->set->factor[i].dflt);
    }
    return SG_UNSET;
}

static sg_status tell_trigger(const struct sg_study *study, struct sg_day_trigger *t,
                              struct together *any)
{
    const struct sg_verdict *v = t->verdict;
    double days = sg_method_days(study->site, &study->site->method[t->method]);
    t->days_planned = sg_is_set(days) ? ceil(days - 1e-9) : SG_UNSET;
    t->days_over = t->days_rehousing = t->rehousing_db = SG_UNSET;
    t->rehousing = SG_NOT_DETERMINABLE;
    if (!sg_is_set(v->limit))
        return SG_OK;
    t->rehousing_db = rehousing(v);
    t->rehousing = against(v->value_central, v->value_upper, t->rehousing_db);
    return sg_is_set(days) && study->site->npile > 0 ? tell_days(study, t, any) : SG_OK;
}

static bool counts(const struct sg_verdict *v)
{
    return v->set && v->row && v->row->purpose == SG_FOR_NOISE && v->set->count_days[0] > 0;
}

/* All triggers of one receptor and method, set by set: the rule over days asks for days on which
 * the values of the set are passed, whichever row it is. */
static sg_status tell_triggers(const struct sg_study *study, struct sg_day_trigger *list,
                               size_t count, struct together *any)
{
    sg_status status = SG_OK;
    for (size_t first = 0, last; first < count && sg_ok(status); first = last) {
        const struct sg_limit_set *set = list[first].verdict->set;
        any->insulation.count = any->rehousing.count = 0;
        for (last = first; last < count && list[last].verdict->set == set && sg_ok(status); last++)
            status = tell_trigger(study, &list[last], any);
        for (size_t i = first; i < last; i++) {
            list[i].needed = enough(set, &any->insulation);
            list[i].needed_rehousing = enough(set, &any->rehousing);
        }
    }
    return status;
}

sg_status sg_triggers_make(const struct sg_study *study, struct sg_arena *arena,
                           struct sg_day_trigger **out, size_t *count)
{
    size_t room = 0, n = 0, pairs = study->nmethod * study->nreceptor;
    for (size_t k = 0; k < pairs; k++) {
        for (size_t i = 0; i < study->outcome[k].nverdict; i++)
            room += counts(&study->outcome[k].verdict[i]);
    }
    struct sg_day_trigger *list = sg_arena_alloc(arena, room + 1, sizeof(*list));
    struct together *any = sg_alloc(1, sizeof(*any));
    sg_status status = list && any ? SG_OK : SG_ERR_NOMEM;
    for (size_t k = 0; k < pairs && sg_ok(status); k++) {
        const struct sg_outcome *o = &study->outcome[k];
        size_t first = n;
        for (size_t i = 0; i < o->nverdict; i++) {
            if (counts(&o->verdict[i]))
                list[n++] = (struct sg_day_trigger){ .method = o->method,
                                                     .receptor = o->receptor,
                                                     .verdict = &o->verdict[i] };
        }
        status = tell_triggers(study, &list[first], n - first, any);
    }
    sg_free(any);
    if (!sg_ok(status))
        return status;
    *out = list;
    *count = n;
    return SG_OK;
}

/* ---- the crew ---- */

/* Level at a distance while the works go on, in the free field over hard ground, no screen. */
static struct sg_value working_level(const struct sg_site *site, size_t method, double distance_m)
{
    const struct sg_method *m = &site->method[method];
    struct sg_sound_path path = { .distance_m = distance_m };
    struct sg_sound_span span = { .worked_h = 1, .averaging_h = 1 };
    struct sg_items items;
    struct sg_value value = SG_VALUE_INIT;
    double loudest;
    value.why = "the sound level of an item of plant is not known";
    if (m->sound_law)
        sg_sound_by_law(site, m, &path, &span, &value, &loudest, NULL);
    else if (sg_items_of(m, &span, &items, NULL) == SG_OK)
        (void)sg_sound_period(sg_sound_law_of(site), items.item, items.count, &path, &value, NULL,
                              NULL);
    return value;
}

static void tell_day(const struct sg_site *site, struct sg_crew_day *day, double *level,
                     double *hours)
{
    double upper_db = 0;
    size_t n = 0;
    day->hours = 0;
    day->nearest_m = SG_UNSET;
    for (size_t i = 0; i < site->ncrew; i++) {
        const struct sg_crew_part *part = &site->crew[i];
        if (!sg_same(part->name, day->name))
            continue;
        day->exposure = working_level(site, day->method, part->distance_m);
        level[n] = day->exposure.central;
        hours[n++] = part->hours;
        day->hours += part->hours;
        upper_db = day->exposure.upper - day->exposure.central;
        if (!sg_is_set(day->nearest_m) || part->distance_m < day->nearest_m)
            day->nearest_m = part->distance_m;
    }
    day->exposure.central = sg_crew_level(level, hours, n, day->row->exchange_db);
    day->exposure.upper = day->exposure.central + upper_db;
    day->state = against(day->exposure.central, day->exposure.upper, day->row->level_db);
}

static bool first_of_name(const struct sg_site *site, size_t part)
{
    for (size_t i = 0; i < part; i++) {
        if (sg_same(site->crew[i].name, site->crew[part].name))
            return false;
    }
    return true;
}

sg_status sg_crew_days_make(const struct sg_study *study, struct sg_arena *arena,
                            struct sg_crew_day **out, size_t *count)
{
    const struct sg_site *site = study->site;
    size_t n = 0, room = study->nmethod * site->ncrew * sg_crew_row_count();
    struct sg_crew_day *list = sg_arena_alloc(arena, room + 1, sizeof(*list));
    double *level = sg_arena_alloc(arena, 2 * site->ncrew + 2, sizeof(*level));
    if (!list || !level)
        return SG_ERR_NOMEM;
    for (size_t m = 0; m < study->nmethod; m++) {
        for (size_t i = 0; i < site->ncrew; i++) {
            for (size_t k = 0; first_of_name(site, i) && k < sg_crew_row_count(); k++) {
                const struct sg_crew_row *row = sg_crew_row_at(k);
                if (!sg_same(row->rule, site->crew[i].rule))
                    continue;
                list[n] =
                    (struct sg_crew_day){ .method = m, .name = site->crew[i].name, .row = row };
                tell_day(site, &list[n++], level, level + site->ncrew + 1);
            }
        }
    }
    *out = list;
    *count = n;
    return SG_OK;
}
