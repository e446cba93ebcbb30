/* noise_clock.c - limits on noise that name the clock hours and the days they hold for.
 *
 * Sources: the rows carry theirs. A shift belongs to the day on which it begins (common practice);
 * the first five days of a week are working days, the sixth is Saturday, the seventh counts with
 * holidays. Hours that begin after the midnight within a shift lie on the next day; those of a
 * night belong to the day on which the night begins. */
#include "plan_internal.h"

#include <math.h>

bool sg_noise_clocked(const struct sg_limit_row *row)
{
    return row && (row->to_h > row->from_h || row->to_h < row->from_h);
}

#define WEEK 7u

/* Days of the week that are worked, bit 0 = Monday. */
static unsigned weekdays_of(const struct sg_hours *hours)
{
    unsigned days =
        hours->days_per_week >= 1 ? (unsigned)ceil(fmin(hours->days_per_week, WEEK)) : 1;
    return hours->weekdays != 0 ? hours->weekdays : (1u << days) - 1;
}

unsigned sg_day_kind(unsigned weekday)
{
    const unsigned saturday = 5;
    return weekday < saturday ? SG_WORKING_DAYS : weekday == saturday ? SG_SATURDAY : SG_HOLIDAY;
}

unsigned sg_worked_kinds(const struct sg_hours *hours)
{
    unsigned kinds = 0;
    for (unsigned day = 0; day < WEEK; day++)
        kinds |= (weekdays_of(hours) >> day & 1u) != 0 ? sg_day_kind(day) : 0u;
    return kinds;
}

/* Hours of a row that begin on the day before the shift, on its day, or on the next. */
static bool touches(const struct sg_hours *hours, const struct sg_limit_row *row, int day)
{
    double to_h = row->to_h + (row->to_h > row->from_h ? 0 : 24.0);
    double from = fmax(hours->start_h, row->from_h + 24.0 * day);
    return fmin(hours->start_h + sg_shift_h(hours), to_h + 24.0 * day) - from > 1e-9;
}

bool sg_noise_clock_on(const struct sg_hours *hours, const struct sg_limit_row *row,
                       unsigned weekday)
{
    for (int day = -1; day <= 1; day++) {
        unsigned kind = sg_day_kind((weekday + WEEK + (unsigned)(day + 1) - 1) % WEEK);
        if (touches(hours, row, day) && (row->on_days == 0 || (row->on_days & kind) != 0))
            return true;
    }
    return false;
}

bool sg_noise_clock_worked(const struct sg_hours *hours, const struct sg_limit_row *row)
{
    if (row->on_request && row->cite.grade == SG_GRADE_MEMORY_LOW)
        return false;
    for (unsigned day = 0; day < WEEK; day++) {
        if ((weekdays_of(hours) >> day & 1u) != 0 && sg_noise_clock_on(hours, row, day))
            return true;
    }
    return false;
}

bool sg_noise_clock_same(const struct sg_limit_row *a, const struct sg_limit_row *b)
{
    return !(a->from_h < b->from_h) && !(a->from_h > b->from_h) && !(a->to_h < b->to_h) &&
           !(a->to_h > b->to_h) && a->on_days == b->on_days && a->period == b->period;
}
