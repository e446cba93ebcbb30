/* avv_baulaerm.c - Germany, AVV Baulaerm 1970, 3.1.1: construction noise by area, day and night. */
#include "rows.h"

#define AREA(name, text, bit, when, hours, suffix, limit)                                          \
    { .id = name "-" suffix, .label = text "; " suffix, .purpose = SG_FOR_NOISE,                   \
      .classes = SG_ANY_CLASS, .uses = SG_ANY_USE, .areas = bit, .position = SG_AT_FACADE,         \
      .quantity = SG_Q_LAEQ, .axes = SG_AXES_NONE, .characters = EITHER,                           \
      .techniques = SG_ANY_TECHNIQUE, .period = when, .averaging_h = hours, FLAT(limit),           \
      .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND,                                        \
      .effect = "the guide value is passed; measures are ordered above 5 dB(A) more",              \
      CITE("avv-baulaerm1970", "3.1.1, " name, SG_GRADE_SEEN) }
#define BOTH(name, text, bit, day, night)                                                          \
    AREA(name, text, bit, SG_DAY, 13, "day", day),                                                  \
    AREA(name, text, bit, SG_NIGHT, 11, "night", night), PEAK(name, text, bit, night + 20)
/* one reading more than 20 dB(A) over the value of the night */
#define PEAK(name, text, bit, limit)                                                               \
    { .id = name "-night-peak", .label = text "; night, single readings",                          \
      .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .uses = SG_ANY_USE, .areas = bit,          \
      .position = SG_AT_FACADE, .quantity = SG_Q_LAFMAX, .axes = SG_AXES_NONE,                     \
      .characters = EITHER, .techniques = SG_ANY_TECHNIQUE, .period = SG_NIGHT, FLAT(limit),       \
      .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND,                                        \
      .effect = "the guide value of the night counts as passed",                                   \
      CITE("avv-baulaerm1970", "3.1.1, single readings at night", SG_GRADE_MEMORY_HIGH) }

/* id, label, area, day dB(A), night dB(A) */
static const struct sg_limit_row row[] = {
    BOTH("industrial", "industry only", SG_AREA_INDUSTRIAL, 70, 70),
    BOTH("commercial", "mainly commercial", SG_AREA_COMMERCIAL, 65, 50),
    BOTH("mixed", "mixed", SG_AREA_MIXED, 60, 45),
    BOTH("residential", "mainly residential", SG_AREA_RESIDENTIAL, 55, 40),
    BOTH("pure-residential", "purely residential", SG_AREA_PURE_RESIDENTIAL, 50, 35),
    BOTH("care", "spa, hospital, care", SG_AREA_CARE, 45, 35),
};

static const struct sg_time_window window[] = {
    { SG_WINDOW_DAY, 7, 20, SG_ALL_DAYS, NULL, 0, { "avv-baulaerm1970", "3.1.1", SG_GRADE_SEEN } },
    { SG_WINDOW_NIGHT, 20, 7, SG_ALL_DAYS, NULL, 0, { "avv-baulaerm1970", "3.1.1", SG_GRADE_SEEN } },
};

const struct sg_limit_set sg_limits_avv_baulaerm = {
    .id = "AVV-BAULAERM",
    .title = "Germany, construction noise by area",
    .jurisdiction = "Germany",
    .document = "avv-baulaerm1970",
    .edition = "1970, 3.1.1",
    .legal = "statute",
    USUAL_CHARACTER,
    ROWS(row),
    WINDOWS(window),
    .rating = "avv-baulaerm",
    .action_above_db = 5,
    NOTES("Day 07-20, night 20-07, by the clock hours of the shift.",
          "Predictions are rated: the level while plant runs, less 10 dB up to 2.5 h of operation by "
          "day (2 h at night), 5 dB up to 8 h (6 h), else none (recalled). The hours are taken item "
          "of plant by item of plant. Recordings are held against the value as read, without steps.",
          "The document reads 5 s maxima, in which blows rate higher; where no maximum of a blow is "
          "known the mean level while running stands for them, which is too low for driving by blows.",
          "Measures are ordered when the rating level is more than 5 dB(A) over the value; said "
          "beside the verdict. Single readings at night need a source stated as a maximum."),
};
