/* uk_noise.c - BS 5228-1:2009+A1:2014, Annex E: fixed limits, and categories by ambient noise. */
#include "rows.h"

#define HOMES                                                                                      \
    ((unsigned)SG_USE_RESIDENTIAL | (unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_HOSPITAL |          \
     (unsigned)SG_USE_WORSHIP)
#define FACADE                                                                                     \
    .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .position = SG_AT_FACADE,                    \
    .quantity = SG_Q_LAEQ, .axes = SG_AXES_NONE, .characters = EITHER,                             \
    .techniques = SG_ANY_TECHNIQUE, .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND
#define ABC(name, text, when, hours, from, to, kinds, asked, letter, limit)                        \
    { .id = name "-" letter, .label = text ", category " letter, FACADE, .uses = HOMES,            \
      .areas = SG_ANY_AREA, .period = when, .averaging_h = hours, .category = letter, FLAT(limit), \
      .from_h = from, .to_h = to, .on_days = kinds, .on_request = asked,                           \
      .effect = "potential significant effect",                                                    \
      CITE("bs5228-1", "Table E.1, " text, SG_GRADE_MEMORY_HIGH) }
#define THREE(name, text, when, hours, from, to, kinds, asked, a, b, c)                            \
    ABC(name, text, when, hours, from, to, kinds, asked, "A", a),                                  \
        ABC(name, text, when, hours, from, to, kinds, asked, "B", b),                              \
        ABC(name, text, when, hours, from, to, kinds, asked, "C", c)

static const struct sg_limit_row abc_row[] = {
    THREE("day", "day", SG_DAY, 12, 7, 19, SG_WORKING_DAYS, false, 65, 70, 75),
    THREE("evening", "evening", SG_EVENING, 4, 19, 23, SG_WORKING_DAYS, false, 55, 60, 65),
    THREE("night", "night", SG_NIGHT, 8, 23, 7, SG_ALL_DAYS, false, 45, 50, 55),
    THREE("saturday", "Saturday 07-13", SG_DAY, 6, 7, 13, SG_SATURDAY, true, 65, 70, 75),
    THREE("saturday-13", "Saturday 13-23", SG_EVENING, 10, 13, 23, SG_SATURDAY, true, 55, 60, 65),
    THREE("sunday", "Sunday 07-23", SG_EVENING, 16, 7, 23, SG_HOLIDAY, true, 55, 60, 65),
};

const struct sg_limit_set sg_limits_bs5228_1_abc = {
    .id = "BS5228-1-ABC",
    .title = "BS 5228-1, noise by ambient category",
    .jurisdiction = "United Kingdom",
    .document = "bs5228-1",
    .edition = "2009+A1:2014, Table E.1",
    .legal = "standard",
    .ambient_round_db = 5.0,
    USUAL_CHARACTER,
    ROWS(abc_row),
    NOTES("All values are recalled and unverified.",
          "Category by the ambient level rounded to the nearest 5 dB: below the value of A it is A, "
          "equal to it B, above it C. Site noise alone, at the facade.",
          "Where the ambient is above the value of C, the document asks whether the total rises by "
          "more than 3 dB; the value of C, which is stricter, is used here.",
          "Day 07-19 on weekdays and 07-13 on Saturdays; evening 19-23, on Saturdays from 13, on "
          "Sundays from 07; night 23-07. Saturdays and Sundays are judged where they are worked, by "
          "the ambient level given for the evening from 13 and 07 on. Each level is averaged over "
          "all the hours of its row. Written for dwellings; schools, hospitals and places of "
          "worship are taken with them."),
};

static const struct sg_limit_row fixed_row[] = {
    { .id = "quiet", .label = "away from main roads and industry", FACADE, .uses = SG_ANY_USE,
      .areas = (unsigned)SG_AREA_COMMERCIAL | (unsigned)SG_AREA_MIXED |
               (unsigned)SG_AREA_RESIDENTIAL | (unsigned)SG_AREA_PURE_RESIDENTIAL |
               (unsigned)SG_AREA_CARE,
      .period = SG_DAY, .averaging_h = 12, FLAT(70), .effect = "the fixed limit is passed",
      CITE("bs5228-1", "Annex E, fixed limits", SG_GRADE_SEEN) },
    { .id = "industrial", .label = "near main roads or industry (industrial areas)", FACADE,
      .uses = SG_ANY_USE, .areas = SG_AREA_INDUSTRIAL, .period = SG_DAY, .averaging_h = 12, FLAT(75),
      .effect = "the fixed limit is passed",
      CITE("bs5228-1", "Annex E, fixed limits", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_uk_fixed_noise = {
    .id = "UK-FIXED-NOISE",
    .title = "United Kingdom, simple fixed noise limit",
    .jurisdiction = "United Kingdom",
    .document = "bs5228-1",
    .edition = "2009+A1:2014, Annex E (origin 1963)",
    .legal = "guidance",
    USUAL_CHARACTER,
    ROWS(fixed_row),
    NOTES("07-19 only; the document has no fixed value for evening and night.",
          "Outside the nearest occupied room.",
          "75 dB(A) also holds near main roads: only industrial areas get it here, because an area "
          "type does not tell whether a main road is near."),
};
