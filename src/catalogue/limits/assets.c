/* assets.c - owners' values for water and gas pipes; underground cavities by DIN 4150-3; fresh
 * concrete, three sources that differ fortyfold and are never chosen by the program.
 */
#include "rows.h"

#define ON_PIPE                                                                                    \
    .purpose = SG_FOR_UTILITY, .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_ASSET,  \
    .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .characters = EITHER,                           \
    .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND, .period = SG_ANY_TIME

static const struct sg_limit_row water_row[] = {
    { .id = "stop", .label = "water mains and sewers: work stops above", .classes = SG_ANY_PIPE,
      ON_PIPE, .techniques = SG_ANY_TECHNIQUE, FLAT(1.5), .effect = "work stops",
      CITE("water-uk", "piling and drilling", SG_GRADE_SEEN) },
};
const struct sg_limit_set sg_limits_water_uk = {
    .id = "WATER-UK",
    .title = "A water utility, piling and drilling near mains and sewers",
    .jurisdiction = "United Kingdom",
    .document = "water-uk",
    .edition = "edition not stated",
    .legal = "owner",
    .exceed = SG_EXCEED_STOP,
    .requires = SG_NEEDS_OWNER | SG_NEEDS_MONITORING,
    USUAL_CHARACTER,
    ROWS(water_row),
    NOTES("Evidence of calibration is wanted before the start; the sensor is fixed on or at the asset "
          "nearest the source, level within 10 degrees.",
          "One utility's value; the owner of the asset decides."),
};

static const struct sg_limit_row gas_uk_row[] = {
    { .id = "pipe", .label = "high-pressure gas main", .classes = SG_CLASS_PIPE_STEEL, ON_PIPE,
      .techniques = SG_ANY_TECHNIQUE, FLAT(75), .effect = "the owner's value is passed",
      CITE("gas-uk", "piling clause", SG_GRADE_MEMORY_MID) },
    { .id = "monitor", .label = "high-pressure gas main, monitored from", .classes = SG_CLASS_PIPE_STEEL,
      ON_PIPE, .techniques = SG_ANY_TECHNIQUE, FLAT(50), .on_request = true,
      .effect = "monitoring is asked for", CITE("gas-uk", "piling clause", SG_GRADE_MEMORY_MID) },
};
const struct sg_limit_set sg_limits_gas_uk = {
    .id = "GAS-UK",
    .title = "High-pressure gas, works beside mains",
    .jurisdiction = "United Kingdom",
    .document = "gas-uk",
    .edition = "family of 2017 (contents read, numbers not)",
    .legal = "owner",
    .requires = SG_NEEDS_OWNER | SG_NEEDS_MONITORING,
    USUAL_CHARACTER,
    ROWS(gas_uk_row),
    NOTES("Recalled and unverified. The owner is consulted for piling within 15 m (recalled)."),
};

static const struct sg_limit_row gas_au_row[] = {
    { .id = "low", .label = "live steel pipe, low end of what is used", .classes = SG_CLASS_PIPE_STEEL,
      ON_PIPE, .techniques = 0, .on_request = true, .other_sources = SG_OTHER_BLASTING, FLAT(70),
      .effect = "the value used is passed", CITE("gas-au", "blasting near pipes", SG_GRADE_SEEN) },
    { .id = "high", .label = "live steel pipe, high end of what is used",
      .classes = SG_CLASS_PIPE_STEEL, ON_PIPE, .techniques = 0, .on_request = true,
      .other_sources = SG_OTHER_BLASTING, FLAT(100), .effect = "the value used is passed",
      CITE("gas-au", "blasting near pipes", SG_GRADE_SEEN) },
    { .id = "research", .label = "welded steel pipe, mining research (5 in/s)",
      .classes = SG_CLASS_PIPE_STEEL, ON_PIPE, .techniques = 0, .on_request = true,
      .other_sources = SG_OTHER_BLASTING, FLAT(5 * SG_MM_PER_INCH),
      .effect = "the research value is passed",
      CITE("gas-au", "quoted at second hand", SG_GRADE_SEEN) },
};
const struct sg_limit_set sg_limits_gas_au = {
    .id = "GAS-AU",
    .title = "Gas pipelines near blasting: not for piling",
    .jurisdiction = "Australia, United States",
    .document = "gas-au",
    .edition = "edition not stated",
    .legal = "guidance",
    .excluded = SG_ANY_TECHNIQUE,
    .excluded_why = "the values are used for blasting near live pipes",
    .by_choice = true,
    .requires = SG_NEEDS_OWNER,
    USUAL_CHARACTER,
    ROWS(gas_au_row),
    NOTES("A brittle coating may govern. The owner of the pipe decides."),
};

#define LINING(name, text, limit, asked)                                                           \
    { .id = name, .label = "underground cavity, lining of " text, .purpose = SG_FOR_RAIL,          \
      .classes = SG_CLASS_RAIL_STRUCTURE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA,                \
      .position = SG_AT_ASSET, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST,                      \
      .characters = SHORT_TERM, PLAIN, .period = SG_ANY_TIME, FLAT(limit), .on_request = asked,    \
      .effect = "damage to the lining no longer ruled out",                                        \
      CITE("din4150-3", "Table 2 (2016)", SG_GRADE_MEMORY_MID) }
static const struct sg_limit_row cavity_row[] = {
    LINING("concrete", "reinforced concrete, shotcrete, segments", 80, true),
    LINING("plain", "plain concrete, natural stone", 60, true),
    LINING("masonry", "masonry (lining not known: this one)", 40, false),
};
const struct sg_limit_set sg_limits_din4150_3_cavities = {
    .id = "DIN4150-3-cavities",
    .title = "DIN 4150-3, underground cavities, short-term",
    .jurisdiction = "Germany",
    .document = "din4150-3",
    .edition = "2016-12, Table 2",
    .legal = "standard",
    .frequency = SG_FREQUENCY_NONE,
    USUAL_CHARACTER,
    ROWS(cavity_row),
    NOTES("Recalled and unverified; that the table exists was read.",
          "The component normal to the lining; the largest component stands for it, on the safe side.",
          "The lowest row is judged until the lining is known; the others on request."),
};

#define CONCRETE(name, text, limit, key, how)                                                      \
    { .id = name, .label = text, .purpose = SG_FOR_CONCRETE, WHOEVER, .position = SG_AT_ASSET,     \
      .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .characters = EITHER, PLAIN,                  \
      .period = SG_ANY_TIME, FLAT((limit) * SG_MM_PER_INCH), .on_request = true,                   \
      .effect = "harm to the concrete no longer ruled out", CITE(key, "by age", how) }
#define CONCRETE_SET                                                                               \
    .jurisdiction = "research", .legal = "research", .by_choice = true,                            \
    .requires = SG_NEEDS_ENGINEER,                                                                 \
    DISAGREEMENTS("Values for concrete under 3 h differ fortyfold between sources (0.1 and 4 in/s); "\
                  "tests on drilled shafts found no consistent effect. The program does not "       \
                  "choose: name a set and a row.")
#define CONCRETE_NOTE                                                                              \
    "A caution, not a limit: concrete, age and value are the engineer's choice (row=...)."

static const struct sg_limit_row wiss_row[] = {
    CONCRETE("to-10-h", "under 10 h", 0.1, "concrete-wiss", SG_GRADE_SEEN),
    CONCRETE("to-24-h", "10 to 24 h", 4.0, "concrete-wiss", SG_GRADE_SEEN),
    CONCRETE("over-24-h", "over 24 h", 7.0, "concrete-wiss", SG_GRADE_SEEN),
};
const struct sg_limit_set sg_limits_concrete_wiss = {
    .id = "FRESH-CONCRETE-WISS",
    .title = "Fresh concrete, guidance after Wiss",
    .document = "concrete-wiss",
    .edition = "in two trade articles",
    CONCRETE_SET,
    USUAL_CHARACTER,
    ROWS(wiss_row),
    NOTES(CONCRETE_NOTE),
};
static const struct sg_limit_row hulshizer_row[] = {
    CONCRETE("to-3-h", "under 3 h", 4.0, "concrete-hulshizer", SG_GRADE_MEMORY_MID),
    CONCRETE("to-11-h", "3 to 11 h", 1.5, "concrete-hulshizer", SG_GRADE_MEMORY_MID),
    CONCRETE("to-24-h", "11 to 24 h", 2.0, "concrete-hulshizer", SG_GRADE_MEMORY_MID),
    CONCRETE("to-48-h", "24 to 48 h", 4.0, "concrete-hulshizer", SG_GRADE_MEMORY_MID),
    CONCRETE("over-48-h", "over 48 h", 7.0, "concrete-hulshizer", SG_GRADE_MEMORY_MID),
};
const struct sg_limit_set sg_limits_concrete_hulshizer = {
    .id = "FRESH-CONCRETE-HULSHIZER",
    .title = "Fresh concrete, Hulshizer and Desai",
    .document = "concrete-hulshizer",
    .edition = "edition not stated",
    CONCRETE_SET,
    USUAL_CHARACTER,
    ROWS(hulshizer_row),
    NOTES(CONCRETE_NOTE, "Recalled and unverified."),
};
static const struct sg_limit_row oriard_row[] = {
    CONCRETE("to-4-h", "under 4 h", 4, "concrete-oriard", SG_GRADE_MEMORY_MID),
    CONCRETE("to-24-h", "4 to 24 h", 6, "concrete-oriard", SG_GRADE_MEMORY_MID),
    CONCRETE("to-3-days", "1 to 3 days", 9, "concrete-oriard", SG_GRADE_MEMORY_MID),
    CONCRETE("to-7-days", "3 to 7 days", 12, "concrete-oriard", SG_GRADE_MEMORY_MID),
    CONCRETE("to-10-days", "7 to 10 days", 15, "concrete-oriard", SG_GRADE_MEMORY_MID),
    CONCRETE("over-10-days", "over 10 days", 20, "concrete-oriard", SG_GRADE_MEMORY_MID),
};
static const struct sg_limit_factor oriard_factor[] = {
    { .id = "distance", .low = 0.6, .high = 1.0, .dflt = 0.6,
      .meaning = "1.0 to 50 ft, then 0.8, 0.7 and 0.6 beyond 250 ft", .decided_by = "by the distance",
      CITE("concrete-oriard", "distance factor", SG_GRADE_MEMORY_MID) },
};
const struct sg_limit_set sg_limits_concrete_oriard = {
    .id = "FRESH-CONCRETE-ORIARD",
    .title = "Mass concrete near blasting, Oriard and Coulson",
    .document = "concrete-oriard",
    .edition = "edition not stated",
    CONCRETE_SET,
    USUAL_CHARACTER,
    ROWS(oriard_row),
    FACTORS(oriard_factor),
    NOTES(CONCRETE_NOTE, "Recalled and unverified. Written for blasting."),
};
