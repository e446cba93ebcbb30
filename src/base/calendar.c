/* calendar.c - days and clock times. The count of days follows from the rules of the Gregorian
 * calendar (400 years have 146097 days); the rules of daylight saving stand in calendar.h. */
#include "stillground/calendar.h"

#include <math.h>
#include <string.h>

#define DAY_S 86400.0
#define HOUR_S 3600.0

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int month_length(int year, int month)
{
    static const int length[] = { 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31 };
    return length[month - 1] + (month == 2 && is_leap(year));
}

/* Years begin in March here, so that the leap day is the last. */
long sg_civil_day(int year, int month, int day)
{
    long y = year - (month <= 2);
    long era = y / 400, year_of_era = y - era * 400;
    long day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    long day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * 146097 + day_of_era - 719468;
}

void sg_civil_split(long day, int *year, int *month, int *day_of_month)
{
    long shifted = day + 719468, era = shifted / 146097, day_of_era = shifted - era * 146097;
    long year_of_era =
        (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    long day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    long part = (5 * day_of_year + 2) / 153;
    *day_of_month = (int)(day_of_year - (153 * part + 2) / 5 + 1);
    *month = (int)(part + (part < 10 ? 3 : -9));
    *year = (int)(year_of_era + era * 400 + (*month <= 2));
}

static bool read_digits(const char *text, size_t count, int *out)
{
    *out = 0;
    for (size_t i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return false;
        *out = 10 * *out + (text[i] - '0');
    }
    return true;
}

sg_status sg_civil_parse(const char *text, long *out)
{
    int year, month, day;
    if (strlen(text) != 10 || text[4] != '-' || text[7] != '-' || !read_digits(text, 4, &year) ||
        !read_digits(text + 5, 2, &month) || !read_digits(text + 8, 2, &day))
        return SG_ERR_INPUT;
    if (year < 1600 || year > 3000 || month < 1 || month > 12 || day < 1 ||
        day > month_length(year, month))
        return SG_ERR_INPUT;
    *out = sg_civil_day(year, month, day);
    return SG_OK;
}

void sg_civil_put(struct sg_text *text, long day)
{
    int year, month, day_of_month;
    sg_civil_split(day, &year, &month, &day_of_month);
    sg_text_printf(text, "%04d-%02d-%02d", year, month, day_of_month);
}

int sg_civil_weekday(long day)
{
    long w = (day + 3) % 7; /* 1970-01-01 was a Thursday */
    return (int)(w < 0 ? w + 7 : w);
}

const char *sg_civil_weekday_id(int weekday)
{
    static const char *const ids[] = { "mon", "tue", "wed", "thu", "fri", "sat", "sun" };
    return weekday >= 0 && weekday < 7 ? ids[weekday] : "";
}

/* ---- local time ---- */

/* The n-th Sunday of a month from its start, or the last (n = 0). */
static long sunday_of(int year, int month, int n)
{
    int length = month_length(year, month);
    long last = sg_civil_day(year, month, length);
    if (n == 0)
        return last - (sg_civil_weekday(last) + 1) % 7;
    long first = sg_civil_day(year, month, 1);
    return first + (6 - sg_civil_weekday(first)) + 7L * (n - 1);
}

/* The two moments of a year at which clocks change, as UTC. False = they do not. */
static bool changes_of(const struct sg_zone *zone, int year, double *forward_s, double *back_s)
{
    switch (zone->daylight) {
    case SG_DAYLIGHT_EUROPE:
        *forward_s = (double)sunday_of(year, 3, 0) * DAY_S + HOUR_S;
        *back_s = (double)sunday_of(year, 10, 0) * DAY_S + HOUR_S;
        return true;
    case SG_DAYLIGHT_UNITED_STATES:
        *forward_s = (double)sunday_of(year, 3, 2) * DAY_S + (2 - zone->offset_h) * HOUR_S;
        *back_s = (double)sunday_of(year, 11, 1) * DAY_S + (1 - zone->offset_h) * HOUR_S;
        return true;
    case SG_DAYLIGHT_NONE:
    default:
        return false;
    }
}

double sg_zone_offset_h(const struct sg_zone *zone, double utc_s)
{
    int year, month, day;
    double forward_s, back_s;
    sg_civil_split((long)floor(utc_s / DAY_S + zone->offset_h / 24), &year, &month, &day);
    if (!changes_of(zone, year, &forward_s, &back_s))
        return zone->offset_h;
    return zone->offset_h + (utc_s >= forward_s && utc_s < back_s ? 1 : 0);
}

sg_status sg_zone_utc(const struct sg_zone *zone, long day, double hour_h, int fold, double *utc_s)
{
    double clock_s = (double)day * DAY_S + hour_h * HOUR_S;
    double summer_s = clock_s - (zone->offset_h + 1) * HOUR_S;
    double winter_s = clock_s - zone->offset_h * HOUR_S;
    bool is_summer = sg_zone_offset_h(zone, summer_s) > zone->offset_h + 0.5;
    bool is_winter = sg_zone_offset_h(zone, winter_s) < zone->offset_h + 0.5;
    if (!is_summer && !is_winter)
        return SG_ERR_DOMAIN;
    if (is_summer && is_winter && fold < 0)
        return SG_ERR_UNDETERMINED;
    *utc_s = is_summer && (!is_winter || fold == 0) ? summer_s : winter_s;
    return SG_OK;
}

/* A time that is left out: the moment of the change, which is the same clock time by winter. */
static double moment(const struct sg_zone *zone, long day, double hour_h)
{
    double utc_s;
    if (sg_zone_utc(zone, day, hour_h, 0, &utc_s) == SG_OK)
        return utc_s;
    double forward_s, back_s;
    int year, month, day_of_month;
    sg_civil_split(day, &year, &month, &day_of_month);
    return changes_of(zone, year, &forward_s, &back_s) ? forward_s : 0;
}

double sg_zone_span_h(const struct sg_zone *zone, long day, double from_h, double to_h)
{
    double end_h = to_h > from_h ? to_h : to_h + 24;
    return (moment(zone, day, end_h) - moment(zone, day, from_h)) / HOUR_S;
}
