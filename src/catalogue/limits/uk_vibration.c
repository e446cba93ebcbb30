/* uk_vibration.c - values met in United Kingdom permits beside the standards: a highways document, a
 * high-speed rail project, a council's screening value, and the annex of a withdrawn pre-standard.
 */
#include "rows.h"

#define PEOPLE                                                                                     \
    .purpose = SG_FOR_PEOPLE, WHOEVER, .position = SG_AT_FLOOR, .axes = SG_AXES_LARGEST,           \
    .characters = EITHER, PLAIN

static const struct sg_limit_row la111_row[] = {
    { .id = "lowest-effect", .label = "lowest observed adverse effect", PEOPLE, .quantity = SG_Q_PPV,
      .period = SG_ANY_TIME, FLAT(0.3), .on_request = true, .effect = "minor magnitude",
      CITE("la111", "construction vibration", SG_GRADE_MEMORY_HIGH) },
    { .id = "significant-effect", .label = "significant observed adverse effect", PEOPLE,
      .quantity = SG_Q_PPV, .period = SG_ANY_TIME, FLAT(1.0), .effect = "moderate magnitude",
      CITE("la111", "construction vibration", SG_GRADE_MEMORY_HIGH) },
    { .id = "major", .label = "major magnitude", PEOPLE, .quantity = SG_Q_PPV,
      .period = SG_ANY_TIME, FLAT(10), .on_request = true, .effect = "major magnitude",
      CITE("la111", "construction vibration", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_la111 = {
    .id = "LA111",
    .title = "Highways, construction vibration, people",
    .jurisdiction = "United Kingdom",
    .document = "la111",
    .edition = "2020",
    .legal = "guidance",
    .rows_are_levels = true,
    USUAL_CHARACTER,
    ROWS(la111_row),
    NOTES("All values are recalled and unverified.",
          "The significant level is taken as the limit. Where vibration enters the person."),
};

#define HSR_DOSE(name, text, when, limit, asked)                                                   \
    { .id = name, .label = text, PEOPLE, .quantity = SG_Q_VDV, .rule = SG_RULE_DOSE,               \
      .period = when, FLAT(limit), .on_request = asked, .effect = text " passed",                  \
      CITE("hsr-uk", "vibration dose", SG_GRADE_MEMORY_MID) }

static const struct sg_limit_row hsr_people_row[] = {
    HSR_DOSE("lowest-day", "lowest observed adverse effect, day", SG_DAY, 0.2, true),
    HSR_DOSE("lowest-night", "lowest observed adverse effect, night", SG_NIGHT, 0.1, true),
    HSR_DOSE("significant-day", "significant observed adverse effect, day", SG_DAY, 0.8, false),
    HSR_DOSE("significant-night", "significant observed adverse effect, night", SG_NIGHT, 0.4, false),
};

const struct sg_limit_set sg_limits_hsr_uk_people = {
    .id = "HSR-UK-PEOPLE",
    .title = "A high-speed rail project, vibration dose",
    .jurisdiction = "United Kingdom",
    .document = "hsr-uk",
    .edition = "edition not stated",
    .legal = "owner",
    .rows_are_levels = true,
    USUAL_CHARACTER,
    .frequency = SG_FREQUENCY_FILTER,
    .reading = { .weighting = "Wb vertical, Wd horizontal", .low_hz = 0.5, .high_hz = 80,
                 .statistic = "fourth-power dose over the period", .rating_day_h = 16,
                 .rating_night_h = 8 },
    .bridges = SG_BRIDGE_VDV,
    ROWS(hsr_people_row),
    NOTES("All values are recalled and unverified; they held for one project."),
};

#define SCREEN(name, text, bits, kind, limit)                                                      \
    { .id = name, .label = text, .purpose = SG_FOR_DAMAGE, .classes = bits, .uses = SG_ANY_USE,    \
      .areas = SG_ANY_AREA, .position = SG_AT_FOUNDATION, .quantity = SG_Q_PPV,                    \
      .axes = SG_AXES_LARGEST, .characters = kind, PLAIN, .period = SG_ANY_TIME, FLAT(limit),      \
      .effect = "closer study asked for", CITE("hsr-uk", "damage screen", SG_GRADE_MEMORY_MID) }
#define SOUND (SG_ANY_BUILDING & ~(unsigned)SG_CLASS_FRAGILE & ~(unsigned)SG_CLASS_LISTED)
#define VULNERABLE ((unsigned)SG_CLASS_FRAGILE | (unsigned)SG_CLASS_LISTED)

static const struct sg_limit_row hsr_damage_row[] = {
    SCREEN("building-transient", "buildings; transient", SOUND, SHORT_TERM, 12),
    SCREEN("building-continuous", "buildings; continuous", SOUND, CONTINUOUS, 6),
    SCREEN("vulnerable-transient", "vulnerable buildings, listed taken with them; transient",
           VULNERABLE, SHORT_TERM, 6),
    SCREEN("vulnerable-continuous", "vulnerable buildings, listed taken with them; continuous",
           VULNERABLE, CONTINUOUS, 3),
};

const struct sg_limit_set sg_limits_hsr_uk_damage = {
    .id = "HSR-UK-DAMAGE",
    .title = "A high-speed rail project, screening for damage",
    .jurisdiction = "United Kingdom",
    .document = "hsr-uk",
    .edition = "edition not stated",
    .legal = "owner",
    USUAL_CHARACTER,
    ROWS(hsr_damage_row),
    NOTES("All values are recalled and unverified; they held for one project.",
          "A screen: above it the building is looked at, below it nothing more is asked."),
};

static const struct sg_limit_row council_row[] = {
    { .id = "screen", .label = "no survey needed below, any axis", PEOPLE, .quantity = SG_Q_PPV,
      .period = SG_ANY_TIME, FLAT(0.14), .effect = "survey and assessment asked for",
      CITE("uk-council-note", "screening value", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_uk_council = {
    .id = "UK-COUNCIL-SCREEN",
    .title = "A council's screening value",
    .jurisdiction = "United Kingdom",
    .document = "uk-council-note",
    .edition = "edition not stated",
    .legal = "guidance",
    USUAL_CHARACTER,
    ROWS(council_row),
    NOTES("Above it BS 6472-1 is used, and both peak velocity and dose are judged: peak velocity may "
          "matter more at night.",
          "0.14 mm/s is the peak of the 1989 base curve above 8 Hz (derived)."),
};

#define ANNEX_C(name, text, bits, what, transient, continuous)                                     \
    { .id = name "-transient", .label = text "; transient", .purpose = what, .classes = bits,      \
      .uses = SG_ANY_USE, .areas = SG_ANY_AREA, ANNEX_PLACE, .characters = SHORT_TERM,             \
      FLAT(transient), CITE("env1993-5", "Annex C", SG_GRADE_MEMORY_HIGH) },                       \
    { .id = name "-continuous", .label = text "; continuous", .purpose = what, .classes = bits,    \
      .uses = SG_ANY_USE, .areas = SG_ANY_AREA, ANNEX_PLACE, .characters = CONTINUOUS,             \
      FLAT(continuous), CITE("env1993-5", "Annex C", SG_GRADE_MEMORY_HIGH) }
#define ANNEX_PLACE                                                                                \
    .position = SG_AT_FOUNDATION, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, PLAIN,            \
    .period = SG_ANY_TIME, .effect = "the tabled value is passed"

static const struct sg_limit_row env_row[] = {
    ANNEX_C("merit", "architectural merit, fragile taken with it",
            (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE, SG_FOR_DAMAGE, 4, 2),
    ANNEX_C("residential", "residential", SG_ANY_HOUSE, SG_FOR_DAMAGE, 10, 5),
    ANNEX_C("light-commercial", "light commercial, framed", SG_CLASS_FRAMED, SG_FOR_DAMAGE, 20, 10),
    ANNEX_C("heavy-industrial", "heavy industrial", SG_CLASS_INDUSTRIAL, SG_FOR_DAMAGE, 30, 15),
#undef ANNEX_PLACE
#define ANNEX_PLACE                                                                                \
    .position = SG_AT_ASSET, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, PLAIN,                 \
    .period = SG_ANY_TIME, .effect = "the tabled value is passed"
    ANNEX_C("services", "buried services", SG_ANY_PIPE, SG_FOR_UTILITY, 40, 25),
};

const struct sg_limit_set sg_limits_env1993_5_c = {
    .id = "ENV1993-5-C",
    .title = "ENV 1993-5, Annex C: a comparator, withdrawn",
    .jurisdiction = "Europe",
    .document = "env1993-5",
    .edition = "1998, Annex C; dropped from EN 1993-5:2007",
    .legal = "standard",
    .status = SG_SET_SUPERSEDED,
    USUAL_CHARACTER,
    ROWS(env_row),
    NOTES("All values are recalled and unverified.",
          "The annex was not carried into EN 1993-5:2007. Useful to compare with only."),
};
