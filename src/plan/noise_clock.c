/* noise_clock.c - limits on noise that name the clock hours and the days they hold for.
 *
 * Sources: the rows carry theirs. A shift belongs to the day on which it begins (common practice);
 * the first five days of a week are working days, the sixth is Saturday, the seventh counts with
 * holidays. */
#include "plan_internal.h"

bool sg_noise_clocked(const struct sg_limit_row *row)
{
    return row && (row->to_h > row->from_h || row->to_h < row->from_h);
}

unsigned sg_worked_kinds(const struct sg_hours *hours)
{
    const double weekdays = 5, with_saturday = 6;
    unsigned kinds = SG_WORKING_DAYS;
    if (hours->day_kinds != 0)
        return hours->day_kinds;
    if (hours->days_per_week > weekdays)
        kinds |= SG_SATURDAY;
    if (hours->days_per_week > with_saturday)
        kinds |= SG_HOLIDAY;
    return kinds;
}

unsigned sg_day_kind(unsigned weekday)
{
    const unsigned saturday = 5;
    return weekday < saturday ? SG_WORKING_DAYS : weekday == saturday ? SG_SATURDAY : SG_HOLIDAY;
}

bool sg_noise_clock_worked(const struct sg_hours *hours, const struct sg_limit_row *row)
{
    bool day = row->on_days == 0 || (row->on_days & sg_worked_kinds(hours)) != 0;
    bool asked_only = row->on_request && row->cite.grade == SG_GRADE_MEMORY_LOW;
    return day && !asked_only && sg_shift_within_h(hours, row->from_h, row->to_h) > 1e-9;
}

bool sg_noise_clock_same(const struct sg_limit_row *a, const struct sg_limit_row *b)
{
    return !(a->from_h < b->from_h) && !(a->from_h > b->from_h) && !(a->to_h < b->to_h) &&
           !(a->to_h > b->to_h) && a->on_days == b->on_days && a->period == b->period;
}
