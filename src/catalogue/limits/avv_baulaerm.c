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
/* one reading at night more than 20 dB(A) over the value also fails (recalled) */
#define READING_DB 20
#define READING(name, text, bit, night)                                                            \
    { .id = name "-night-peak", .label = text "; night, a single reading",                      \
      .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .uses = SG_ANY_USE, .areas = bit,          \
      .position = SG_AT_FACADE, .quantity = SG_Q_LAFMAX, .axes = SG_AXES_NONE,                     \
      .characters = EITHER, .techniques = SG_ANY_TECHNIQUE, .period = SG_NIGHT,                    \
      FLAT((night) + READING_DB), .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND,            \
      .effect = "the night value counts as passed by one reading",                                 \
      CITE("avv-baulaerm1970", "3.1.1, " name ", and 20 dB(A) for one reading",                    \
           SG_GRADE_MEMORY_HIGH) }
#define BOTH(name, text, bit, day, night)                                                          \
    AREA(name, text, bit, SG_DAY, 13, "day", day),                                                 \
        AREA(name, text, bit, SG_NIGHT, 11, "night", night), READING(name, text, bit, night)

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
    { SG_WINDOW_DAY, 7, 20, SG_ALL_DAYS, NULL, 0, { "avv-baulaerm1970", "3.1.1, hours", SG_GRADE_SEEN } },
    { SG_WINDOW_NIGHT, 20, 7, SG_ALL_DAYS, NULL, 0, { "avv-baulaerm1970", "3.1.1, hours", SG_GRADE_SEEN } },
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
    NOTES("Day 07-20, night 20-07. The evening is judged with the night values.",
          "The document's rating level is not a plain LAeq: it takes 5 s maxima, so that impulsive "
          "noise rates higher, and corrects for operating time in steps (10 dB up to 2.5 h by day or "
          "2 h at night, 5 dB up to 8 h or 6 h, else none; recalled). Neither is applied. LAeq over "
          "13 h or 11 h can lie up to 2.6 dB below the rating level from the steps alone.",
          "At night one reading more than 20 dB(A) over the value also fails (recalled): its rows are "
          "held against LAFmax, which can lie above the reading of the document, not below."),
};
