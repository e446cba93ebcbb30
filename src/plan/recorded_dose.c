/* recorded_dose.c - doses of a recording over the period that a limit is stated on.
 *
 * A recording seldom covers a day. What was recorded is taken to last as long as the works do in
 * the period (hours of the site file, as for predictions) or as long as the user says; then
 * VDV_T = VDV_t (T / t)^(1/4), BS 6472-1, and KB_FTr = KB_FTm sqrt((Te1 + w Te2) / Tr), DIN 4150-2,
 * with Te2 in the rest hours of the set and w their weight.
 */
#include "recorded_internal.h"

#include <math.h>

#define HOUR_S 3600.0

/* The longest on-time among the methods of the technique; all of the time when there is none. */
static double on_time(const struct sg_recorded_judging *j)
{
    double most = 0.0;
    for (size_t i = 0; i < j->site->nmethod; i++)
        if (j->site->method[i].technique == j->as->technique &&
            j->site->method[i].on_time_percent > most)
            most = j->site->method[i].on_time_percent;
    return most > 0.0 ? most / 100.0 : 1.0;
}

struct sg_exposure sg_recorded_exposure(const struct sg_recorded_judging *j,
                                        const struct sg_limit_set *set, enum sg_period period)
{
    const struct sg_hours *hours = &j->site->hours;
    double shift_h = hours->end_h - hours->start_h, recorded_s = j->measured->seconds;
    shift_h += shift_h > 0.0 ? 0.0 : 24.0;
    /* Rest hours take in all of a Sunday. */
    unsigned day = j->as->clocked && j->as->day != 0 ? j->as->day : SG_WORKING_DAYS;
    double inside_h = shift_h, rest_h = 0.0;
    if (set->nwindow > 0)
        inside_h = sg_hours_within(set, sg_window_of_period(set, period), day, NULL, hours->start_h,
                                   hours->end_h);
    if (period != SG_NIGHT && set->reading.rest_weight > 0.0)
        rest_h = sg_hours_within(set, SG_WINDOW_REST, day, NULL, hours->start_h, hours->end_h);
    bool given = j->as->exposure_h > 0.0;
    double works_s = given ? HOUR_S * j->as->exposure_h
                           : HOUR_S * hours->work_h * on_time(j) * inside_h / shift_h;
    struct sg_exposure exposure = { .all_s = fmax(works_s, recorded_s) };
    double rest_share = inside_h > 0.0 ? fmin(1.0, rest_h / inside_h) : 0.0;
    exposure.rest_s = exposure.all_s * rest_share;
    if (exposure.all_s > recorded_s)
        exposure.marks = SG_MARK_ESTIMATE | (given ? SG_MARK_USER : 0u);
    return exposure;
}

bool sg_recorded_dose(const struct sg_recorded_judging *j, const struct sg_limit_set *set,
                      const struct sg_limit_row *row, enum sg_period period, size_t axis,
                      struct sg_dose_value *out)
{
    const struct sg_reading_rule *reading = &set->reading;
    const struct sg_axis_figures *f = &j->measured->vibration.axis[axis];
    bool night = row->period == SG_NIGHT; /* also where it stands for the evening */
    double rating_h = night ? reading->rating_night_h : reading->rating_day_h;
    if (!(rating_h > 0.0) || f->takts == 0 || !sg_is_set(f->kbft_m))
        return false;
    struct sg_exposure exposure = sg_recorded_exposure(j, set, period);
    out->central = sg_kb_rated(f->kbft_m, (exposure.all_s - exposure.rest_s) / HOUR_S, f->kbft_m,
                               exposure.rest_s / HOUR_S, reading->rest_weight, rating_h);
    out->upper = out->central;
    out->marks = exposure.marks;
    return true;
}

void sg_recorded_works(const struct sg_recorded_judging *j, struct sg_judged *judged)
{
    for (size_t i = 0; i < j->site->nmethod; i++) {
        struct sg_judged one = *judged;
        if (j->site->method[i].technique != j->as->technique)
            continue;
        sg_bridged_judged(j->site, i, &one);
        judged->days = fmax(judged->days, one.days);
        judged->blows_per_min = fmax(judged->blows_per_min, one.blows_per_min);
    }
}
