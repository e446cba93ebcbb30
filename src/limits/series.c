/* series.c - rules over time: runs of days, percentile levels, clock windows that may run over
 * midnight, the difference from a prediction, and shares of a limit. Pure; the caller brings the
 * readings.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "limits/curve.h"

/* Clock times that differ by less than a second are the same. */
#define CLOCK_H (1.0 / 3600.0)

/* ---- clock windows --------------------------------------------------------------------------- */

static double clock_of(double time_h)
{
    return time_h - 24.0 * floor(time_h / 24.0);
}

bool sg_in_window(const struct sg_time_window *window, double clock_h)
{
    double clock = clock_of(clock_h);
    if (window->start_h < window->end_h) {
        return clock >= window->start_h && clock < window->end_h;
    }
    return clock >= window->start_h || clock < window->end_h;
}

enum sg_period sg_period_at(const struct sg_limit_set *set, double clock_h)
{
    return sg_period_on(set, SG_ALL_DAYS, clock_h);
}

enum sg_period sg_period_on(const struct sg_limit_set *set, unsigned day, double clock_h)
{
    for (size_t i = 0; i < set->nwindow; i++) {
        const struct sg_time_window *window = &set->window[i];
        if (!sg_in_window(window, clock_h) || (window->days & day) == 0) {
            continue;
        }
        if (window->kind == SG_WINDOW_DAY) {
            return SG_DAY;
        }
        if (window->kind == SG_WINDOW_EVENING) {
            return SG_EVENING;
        }
        if (window->kind == SG_WINDOW_NIGHT) {
            return SG_NIGHT;
        }
    }
    return SG_ANY_TIME;
}

static double overlap(double a, double b, double c, double d)
{
    return fmax(0.0, fmin(b, d) - fmax(a, c));
}

/* Hours of start..end (end beyond start) in a window. One that runs over midnight belongs to the
 * day on which it begins; the day before the shift's is taken to be of the shift's kind. */
static double hours_in(const struct sg_time_window *window, const unsigned kind[2], double start_h,
                       double end_h)
{
    double length = window->end_h - window->start_h, sum = 0.0;
    length += length > 0.0 ? 0.0 : 24.0;
    for (int day = -1; day <= 1; day++) {
        double from = window->start_h + 24.0 * day;
        if ((window->days & kind[day > 0]) != 0) {
            sum += overlap(start_h, end_h, from, from + length);
        }
    }
    return sum;
}

double sg_hours_within_days(const struct sg_limit_set *set, enum sg_window_kind kind,
                            const unsigned day[2], const char *zone, double start_h, double end_h)
{
    double sum = 0.0;
    end_h += end_h > start_h ? 0.0 : 24.0;
    for (size_t i = 0; i < set->nwindow; i++) {
        const struct sg_time_window *window = &set->window[i];
        bool here = zone == NULL || window->zone == NULL || sg_same(zone, window->zone);
        if (window->kind == kind && here) {
            sum += hours_in(window, day, start_h, end_h);
        }
    }
    return fmin(sum, end_h - start_h);
}

double sg_hours_within(const struct sg_limit_set *set, enum sg_window_kind kind, unsigned day,
                       const char *zone, double start_h, double end_h)
{
    const unsigned same[2] = { day, day };
    return sg_hours_within_days(set, kind, same, zone, start_h, end_h);
}

/* One zone of the permitted windows; false with the reason when the shift does not keep to it. */
static bool shift_fits(const struct sg_limit_set *set, const struct sg_worked_shift *shift,
                       const char *zone, char *reason, size_t size)
{
    double end_h = shift->end_h + (shift->end_h > shift->start_h ? 0.0 : 24.0);
    const unsigned day[2] = { shift->day, shift->day_after != 0 ? shift->day_after : shift->day };
    double inside =
        sg_hours_within_days(set, SG_WINDOW_PERMITTED, day, zone, shift->start_h, shift->end_h);
    double outside = end_h - shift->start_h - inside;
    const char *where = zone != NULL ? ", zone " : "";
    if (outside > CLOCK_H) {
        snprintf(reason, size, "%.4g h of the shift are outside the permitted hours of %s%s%s",
                 outside, set->id, where, zone != NULL ? zone : "");
        return false;
    }
    for (size_t i = 0; i < set->nwindow; i++) {
        const struct sg_time_window *window = &set->window[i];
        bool here = window->zone == NULL || sg_same(zone, window->zone);
        bool today = window->kind == SG_WINDOW_PERMITTED && (window->days & shift->day) != 0;
        if (today && here && window->most_h > 0.0 && shift->work_h > window->most_h) {
            snprintf(reason, size, "%.4g h of work a day are more than the %.4g h of %s%s%s",
                     shift->work_h, window->most_h, set->id, where, zone != NULL ? zone : "");
            return false;
        }
    }
    return true;
}

static bool all_zones_fit(const struct sg_limit_set *set, const struct sg_worked_shift *shift,
                          char *reason, size_t size)
{
    bool zoned = false;
    for (size_t i = 0; i < set->nwindow; i++) {
        const struct sg_time_window *window = &set->window[i];
        if (window->kind != SG_WINDOW_PERMITTED || window->zone == NULL) {
            continue;
        }
        zoned = true;
        if (!shift_fits(set, shift, window->zone, reason, size)) {
            return false;
        }
    }
    return zoned || shift_fits(set, shift, NULL, reason, size);
}

enum sg_verdict_state sg_judge_shift(const struct sg_limit_set *set,
                                     const struct sg_worked_shift *shift, char *reason, size_t size)
{
    bool windows = false;
    reason[0] = '\0';
    for (size_t i = 0; i < set->nwindow; i++) {
        windows = windows || set->window[i].kind == SG_WINDOW_PERMITTED;
    }
    if (!windows && !(set->consecutive_days > 0.0)) {
        snprintf(reason, size, "%s says nothing of hours", set->id);
        return SG_NOT_DETERMINABLE;
    }
    if (windows && shift->zone != NULL && !shift_fits(set, shift, shift->zone, reason, size)) {
        return SG_OVER;
    }
    if (windows && shift->zone == NULL && !all_zones_fit(set, shift, reason, size)) {
        return SG_OVER;
    }
    if (set->consecutive_days > 0.0 && shift->days_running > set->consecutive_days) {
        snprintf(reason, size, "%.4g days running are more than the %.4g of %s",
                 shift->days_running, set->consecutive_days, set->id);
        return SG_OVER;
    }
    return SG_WITHIN;
}

/* ---- days ------------------------------------------------------------------------------------ */

static bool is_first_of_its_day(const double *day, size_t index)
{
    for (size_t i = 0; i < index; i++) {
        if (!(day[i] < day[index]) && !(day[i] > day[index])) {
            return false;
        }
    }
    return true;
}

bool sg_days_in_window(const double *day, size_t count, double needed, double of, double *first)
{
    bool found = false;
    for (size_t i = 0; i < count; i++) {
        double inside = 0.0;
        for (size_t k = 0; k < count; k++) {
            if (day[k] >= day[i] && day[k] < day[i] + of && is_first_of_its_day(day, k)) {
                inside += 1.0;
            }
        }
        if (inside >= needed && (!found || day[i] < *first)) {
            *first = day[i];
            found = true;
        }
    }
    return found;
}

static bool has_day(const double *day, size_t count, double wanted)
{
    for (size_t i = 0; i < count; i++) {
        if (fabs(day[i] - wanted) < 0.5) {
            return true;
        }
    }
    return false;
}

double sg_longest_run(const double *day, size_t count)
{
    double longest = 0.0;
    for (size_t i = 0; i < count; i++) {
        double run = 1.0;
        while (has_day(day, count, day[i] + run)) {
            run += 1.0;
        }
        longest = fmax(longest, run);
    }
    return longest;
}

static int falling(const void *a, const void *b)
{
    double one = *(const double *)a, two = *(const double *)b;
    return (one < two) - (one > two);
}

double sg_level_exceeded(double *level, size_t count, double percent)
{
    if (count == 0) {
        return SG_UNSET;
    }
    qsort(level, count, sizeof *level, falling);
    size_t at = (size_t)floor(percent / 100.0 * (double)count);
    return level[at < count ? at : count - 1];
}

/* ---- difference from prediction, shares of a limit ------------------------------------------- */

enum sg_verdict_state sg_judge_difference(const struct sg_value *predicted,
                                          const struct sg_value *measured, double allowed,
                                          double *ratio, char *reason, size_t size)
{
    reason[0] = '\0';
    *ratio = SG_UNSET;
    bool same = predicted->quantity == measured->quantity &&
                predicted->position == measured->position && predicted->axes == measured->axes;
    if (!same) {
        snprintf(reason, size,
                 "predicted and measured are not the same quantity at the same place and axis");
        return SG_NOT_DETERMINABLE;
    }
    if (!sg_is_set(predicted->upper) || !sg_is_set(measured->central)) {
        snprintf(reason, size, "one of the two is not known");
        return SG_NOT_DETERMINABLE;
    }
    bool level = sg_quantity_is_level(predicted->quantity);
    *ratio = level ? pow(10.0, (measured->central - predicted->upper) / 20.0)
                   : measured->central / predicted->upper;
    if (*ratio <= allowed) {
        return SG_WITHIN;
    }
    snprintf(reason, size, "measured is %.3g times the predicted upper value; %.3g is allowed",
             *ratio, allowed);
    return SG_OVER;
}

const char *sg_alert_id(enum sg_alert alert)
{
    static const char *const id[] = { "-", "amber", "red", "?" };
    return (unsigned)alert < SG_COUNT(id) ? id[alert] : "?";
}

enum sg_alert sg_alert_of(const struct sg_verdict *verdict, double amber, double red)
{
    double ratio = sg_is_set(verdict->ratio_upper) ? verdict->ratio_upper : verdict->ratio_central;
    if (verdict->state == SG_NOT_DETERMINABLE || !sg_is_set(ratio)) {
        return SG_ALERT_UNKNOWN;
    }
    if (sg_is_set(red) && ratio >= red) {
        return SG_ALERT_RED;
    }
    return sg_is_set(amber) && ratio >= amber ? SG_ALERT_AMBER : SG_ALERT_NONE;
}
