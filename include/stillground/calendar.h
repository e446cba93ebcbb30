/* calendar.h - days and clock times: dates as counts of days, local time with and without daylight
 * saving. No clock is read and no time zone data base: the rules are given by name.
 *
 * Rules: europe, from the last Sunday of March to the last Sunday of October, both at 01:00 UTC
 * (Directive 2000/84/EC, which the United Kingdom keeps; from memory). united-states, from the
 * second
 * Sunday of March to the first Sunday of November, both at 02:00 local time (Energy Policy Act of
 * 2005; from memory). Both are taken for every year. */
#ifndef STILLGROUND_CALENDAR_H
#define STILLGROUND_CALENDAR_H

#include "stillground/base.h"

/* Days since 1970-01-01 of a date of the Gregorian calendar, year 1600 to 3000. */
sg_status sg_civil_parse(const char *text, long *out); /* "2024-10-27" */
long sg_civil_day(int year, int month, int day);
void sg_civil_split(long day, int *year, int *month, int *day_of_month);
void sg_civil_put(struct sg_text *text, long day); /* "2024-10-27" */
int sg_civil_weekday(long day);                    /* 0 = Monday */
const char *sg_civil_weekday_id(int weekday);      /* "mon" */

enum sg_daylight { SG_DAYLIGHT_NONE, SG_DAYLIGHT_EUROPE, SG_DAYLIGHT_UNITED_STATES };
struct sg_zone {
    double offset_h; /* local standard time less UTC */
    enum sg_daylight daylight;
};
/* Local time less UTC at a moment, seconds since 1970-01-01T00:00Z. */
double sg_zone_offset_h(const struct sg_zone *zone, double utc_s);
/* The moment at which clocks show hour_h (may be 24 or more) of a day. A time that clocks leave out
 * is SG_ERR_DOMAIN; one that they show twice is SG_ERR_UNDETERMINED with fold < 0, the first with
 * fold 0, the second with fold 1. */
sg_status sg_zone_utc(const struct sg_zone *zone, long day, double hour_h, int fold, double *utc_s);
/* Real hours from one clock time to another of a day; to at most from means the next day. A time
 * that is left out counts as the moment of the change, one shown twice as the first. */
double sg_zone_span_h(const struct sg_zone *zone, long day, double from_h, double to_h);

#endif
