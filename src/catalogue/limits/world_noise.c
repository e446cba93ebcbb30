/* world_noise.c - construction noise: Hong Kong, New South Wales 2009, China GB 12523-2011, and the
 * community guidelines of the World Health Organization of 1999.
 */
#include "rows.h"

#define HOMES ((unsigned)SG_USE_RESIDENTIAL | (unsigned)SG_USE_HOSPITAL | (unsigned)SG_USE_WORSHIP)
#define NOISE(where)                                                                               \
    .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA, .position = where,     \
    .axes = SG_AXES_NONE, .characters = EITHER, PLAIN

#define HK_DAY .from_h = 7, .to_h = 19, .on_days = SG_WORKING_DAYS | SG_SATURDAY
static const struct sg_limit_row hk_row[] = {
    { .id = "daytime", .label = "daytime works other than percussive piling, 30 min",
      .uses = HOMES | (unsigned)SG_USE_OFFICE, NOISE(SG_AT_FACADE), .quantity = SG_Q_LAEQ,
      .period = SG_DAY, .averaging_h = 0.5, FLAT(75), HK_DAY, .effect = "the daytime level is passed",
      CITE("hk-noise", "daytime works", SG_GRADE_SEEN) },
    { .id = "school", .label = "schools, 30 min", .uses = SG_USE_SCHOOL, NOISE(SG_AT_FACADE),
      .quantity = SG_Q_LAEQ, .period = SG_DAY, .averaging_h = 0.5, FLAT(70), HK_DAY,
      .effect = "the daytime level is passed", CITE("hk-noise", "schools", SG_GRADE_SEEN) },
    { .id = "examination", .label = "schools in examinations, 30 min", .uses = SG_USE_SCHOOL,
      NOISE(SG_AT_FACADE), .quantity = SG_Q_LAEQ, .period = SG_DAY, .averaging_h = 0.5, FLAT(65),
      .on_request = true, .effect = "the daytime level is passed",
      CITE("hk-noise", "schools", SG_GRADE_SEEN) },
};
static const struct sg_time_window hk_window[] = {
    { SG_WINDOW_PERMITTED, 7, 19, SG_WORKING_DAYS | SG_SATURDAY, NULL, 12,
      { "hk-noise", "percussive piling barred 19 to 07 and on holidays", SG_GRADE_SEEN } },
};
const struct sg_limit_set sg_limits_hk_noise = {
    .id = "HK-NOISE",
    .complaint_triggers = true, /* action level: one documented complaint */
    .title = "Hong Kong, construction noise in the daytime",
    .jurisdiction = "Hong Kong",
    .document = "hk-noise",
    .edition = "as read 2024 to 2026",
    .legal = "statute",
    .excluded = SG_TECHNIQUE_BIT(SG_IMPACT),
    .excluded_why = "percussive piling needs a permit with hours (3, 5 or 12 a day) by a method of "
                    "its own",
    WINDOWS(hk_window),
    USUAL_CHARACTER,
    ROWS(hk_row),
    NOTES("School values are quoted as limit levels in a monitoring manual.",
          "07-19 on days other than Sundays and holidays (recalled); other hours need a permit with "
          "values of its own.",
          "Percussive piling is barred from 19 to 07 and on holidays; its permit states the hours."),
};

#define NSW(name, text, bits, where, when, hours, limit)                                           \
    { .id = name, .label = text, .uses = bits, NOISE(where), .quantity = SG_Q_LAEQ,                \
      .period = when, .averaging_h = hours, FLAT(limit), .effect = "noise affected",               \
      CITE("icng2009", text, SG_GRADE_MEMORY_HIGH) }
#define OVER_BACKGROUND(name, text, when, rise, asked, from, to, kinds)                \
    { .id = name, .label = "noise affected, " text ": background + " #rise,                        \
      .uses = SG_USE_RESIDENTIAL, NOISE(SG_AT_FREE_FIELD), .quantity = SG_Q_LAEQ, .period = when,  \
      .averaging_h = 0.25, .rule = SG_RULE_RISE, .by_background = true, .rise_db = rise, FLAT(0),  \
      .on_request = asked, .from_h = from, .to_h = to, .on_days = kinds,                           \
      .effect = "noise affected", CITE("icng2009", "noise affected", SG_GRADE_MEMORY_HIGH) }
#define STANDARD(name, text, asked, from, to, kinds)                                               \
    OVER_BACKGROUND(name, "standard hours" text, SG_DAY, 10, asked, from, to, kinds)
#define OUTSIDE(name, text, when, asked, from, to, kinds)                                          \
    OVER_BACKGROUND(name, "outside standard hours, " text, when, 5, asked, from, to, kinds)
static const struct sg_limit_row nsw_row[] = {
    STANDARD("affected-standard", "", false, 7, 18, SG_WORKING_DAYS),
    STANDARD("affected-standard-saturday", ", Saturday 08-13", true, 8, 13, SG_SATURDAY),
    OUTSIDE("affected-outside-evening", "18-22", SG_EVENING, false, 18, 22, SG_ALL_DAYS),
    OUTSIDE("affected-outside", "22-07", SG_NIGHT, false, 22, 7, SG_ALL_DAYS),
    OUTSIDE("affected-saturday-07", "Saturday 07-08", SG_DAY, true, 7, 8, SG_SATURDAY),
    OUTSIDE("affected-saturday-13", "Saturday 13-18", SG_DAY, true, 13, 18, SG_SATURDAY),
    OUTSIDE("affected-sunday", "Sunday, holiday 07-18", SG_DAY, true, 7, 18, SG_HOLIDAY),
    NSW("highly-affected", "highly noise affected", SG_USE_RESIDENTIAL, SG_AT_FREE_FIELD, SG_DAY,
        0.25, 75),
    NSW("internal", "classrooms, wards, places of worship, inside",
        (unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_HOSPITAL | (unsigned)SG_USE_WORSHIP, SG_AT_ROOM,
        SG_ANY_TIME, 0.25, 45),
    NSW("office", "offices, outside", SG_USE_OFFICE, SG_AT_FREE_FIELD, SG_ANY_TIME, 0.25, 70),
    NSW("industry", "industry, outside", SG_USE_INDUSTRY, SG_AT_FREE_FIELD, SG_ANY_TIME, 0.25, 75),
};
static const struct sg_time_window nsw_window[] = {
    { SG_WINDOW_PERMITTED, 7, 18, SG_WORKING_DAYS, NULL, 0,
      { "icng2009", "standard hours", SG_GRADE_SEEN } },
    { SG_WINDOW_PERMITTED, 8, 13, SG_SATURDAY, NULL, 0,
      { "icng2009", "standard hours", SG_GRADE_SEEN } },
};
const struct sg_limit_set sg_limits_nsw_icng = {
    .id = "NSW-ICNG-2009",
    .title = "New South Wales, construction noise",
    .jurisdiction = "Australia, New South Wales",
    .document = "icng2009",
    .edition = "2009",
    .legal = "guidance",
    .rating = "icng2009",
    WINDOWS(nsw_window),
    USUAL_CHARACTER,
    ROWS(nsw_row),
    NOTES("Levels are recalled and unverified; the standard hours were read.",
          "Driving by blows is rated 5 dB up before it is held against a value (recalled).",
          "The rating background level is not an ambient LAeq: it has to be given by itself "
          "(background_day_dB, background_evening_dB, background_night_dB of a receptor); day 07-18, "
          "evening 18-22, night 22-07 (recalled). Saturday and Sunday are judged where they are "
          "worked."),
};

static const struct sg_limit_row cn_row[] = {
    { .id = "day", .label = "site boundary; day", .uses = SG_ANY_USE, NOISE(SG_AT_BOUNDARY),
      .quantity = SG_Q_LAEQ, .period = SG_DAY, .averaging_h = 16, FLAT(70),
      .from_h = 6, .to_h = 22,
      .effect = "the limit is passed", CITE("gb12523", "limits", SG_GRADE_MEMORY_HIGH) },
    { .id = "night", .label = "site boundary; night", .uses = SG_ANY_USE, NOISE(SG_AT_BOUNDARY),
      .quantity = SG_Q_LAEQ, .period = SG_NIGHT, .averaging_h = 8, FLAT(55),
      .from_h = 22, .to_h = 6,
      .effect = "the limit is passed", CITE("gb12523", "limits", SG_GRADE_MEMORY_HIGH) },
    { .id = "night-peak", .label = "site boundary; night, single peaks (55 + 15)",
      .uses = SG_ANY_USE, NOISE(SG_AT_BOUNDARY), .quantity = SG_Q_LAFMAX, .period = SG_NIGHT,
      FLAT(55 + 15), .from_h = 22, .to_h = 6, .effect = "the limit is passed",
      CITE("gb12523", "limits", SG_GRADE_MEMORY_HIGH) },
};
const struct sg_limit_set sg_limits_gb12523 = {
    .id = "GB12523-2011",
    .title = "China, noise at the boundary of construction sites",
    .jurisdiction = "China",
    .document = "gb12523",
    .edition = "2011",
    .legal = "statute",
    USUAL_CHARACTER,
    ROWS(cn_row),
    NOTES("All values are recalled and unverified, and so are the hours, day 06-22 and night 22-06, "
          "over which they are averaged."),
};

static const struct sg_limit_row who_row[] = {
    { .id = "outdoors-serious", .label = "outdoors, serious annoyance, 16 h",
      .uses = SG_USE_RESIDENTIAL, NOISE(SG_AT_FREE_FIELD), .quantity = SG_Q_LAEQ, .period = SG_DAY,
      .averaging_h = 16, FLAT(55), .from_h = 7, .to_h = 23, .effect = "serious annoyance",
      CITE("who1999", "Table 4.1", SG_GRADE_MEMORY_HIGH) },
    { .id = "outdoors-moderate", .label = "outdoors, moderate annoyance, 16 h",
      .uses = SG_USE_RESIDENTIAL, NOISE(SG_AT_FREE_FIELD), .quantity = SG_Q_LAEQ, .period = SG_DAY,
      .averaging_h = 16, FLAT(50), .on_request = true, .effect = "moderate annoyance",
      CITE("who1999", "Table 4.1", SG_GRADE_MEMORY_HIGH) },
    { .id = "bedroom", .label = "bedroom, 8 h; night", .uses = SG_USE_RESIDENTIAL,
      NOISE(SG_AT_ROOM), .quantity = SG_Q_LAEQ, .period = SG_NIGHT, .averaging_h = 8, FLAT(30),
      .effect = "sleep disturbance", CITE("who1999", "Table 4.1", SG_GRADE_MEMORY_HIGH) },
    { .id = "bedroom-maximum", .label = "bedroom, single events; night", .uses = SG_USE_RESIDENTIAL,
      NOISE(SG_AT_ROOM), .quantity = SG_Q_LAFMAX, .period = SG_NIGHT, FLAT(45),
      .effect = "sleep disturbance", CITE("who1999", "Table 4.1", SG_GRADE_MEMORY_HIGH) },
};
const struct sg_limit_set sg_limits_who1999 = {
    .id = "WHO-1999",
    .title = "World Health Organization, community noise",
    .jurisdiction = "international",
    .document = "who1999",
    .edition = "1999; the 2018 guidelines have no value for construction (recalled)",
    .legal = "guidance",
    USUAL_CHARACTER,
    ROWS(who_row),
    NOTES("All values are recalled and unverified. Written for lasting noise, not for works."),
};
