/* caltrans.c - California Department of Transportation, 2013: Tables 19 (damage) and 20 (annoyance).
 * Printed in in/s. Both impact and vibratory pile drivers belong to the continuous column.
 */
#include "rows.h"

#define IN_S(value) FLAT((value) * SG_MM_PER_INCH)
#define GROUND                                                                                     \
    .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_FREE_FIELD, .quantity = SG_Q_PPV,  \
    .axes = SG_AXES_LARGEST, .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME,                \
    .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND
#define DAMAGE GROUND, .purpose = SG_FOR_DAMAGE, .effect = "damage potential"
#define MODERN ((unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED)
#define T19(row, grade) CITE("caltrans2013", "Table 19, row " row, grade)
#define T20(row, grade) CITE("caltrans2013", "Table 20, row " row, grade)

static const struct sg_limit_row damage_row[] = {
    { .id = "ruins-transient", .label = "extremely fragile historic, ruins; transient",
      .classes = SG_CLASS_FRAGILE, DAMAGE, .characters = SHORT_TERM, IN_S(0.12),
      T19("1", SG_GRADE_SEEN) },
    { .id = "ruins-continuous", .label = "extremely fragile historic, ruins; continuous",
      .classes = SG_CLASS_FRAGILE, DAMAGE, .characters = CONTINUOUS, IN_S(0.08),
      T19("1", SG_GRADE_MEMORY_HIGH) },
    { .id = "fragile-transient", .label = "fragile; transient", .classes = SG_CLASS_FRAGILE, DAMAGE,
      .characters = SHORT_TERM, IN_S(0.2), .on_request = true, T19("2", SG_GRADE_MEMORY_HIGH) },
    { .id = "fragile-continuous", .label = "fragile; continuous", .classes = SG_CLASS_FRAGILE, DAMAGE,
      .characters = CONTINUOUS, IN_S(0.1), .on_request = true, T19("2", SG_GRADE_MEMORY_HIGH) },
    { .id = "historic-transient", .label = "historic and some old; transient",
      .classes = SG_CLASS_LISTED, DAMAGE, .characters = SHORT_TERM, IN_S(0.5),
      T19("3", SG_GRADE_MEMORY_HIGH) },
    { .id = "historic-continuous", .label = "historic and some old; continuous",
      .classes = SG_CLASS_LISTED, DAMAGE, .characters = CONTINUOUS, IN_S(0.25),
      T19("3", SG_GRADE_MEMORY_HIGH) },
    { .id = "older-house-transient", .label = "older residential; transient",
      .classes = SG_CLASS_OLDER_HOUSE, DAMAGE, .characters = SHORT_TERM, IN_S(0.5),
      T19("4", SG_GRADE_MEMORY_HIGH) },
    { .id = "older-house-continuous", .label = "older residential; continuous",
      .classes = SG_CLASS_OLDER_HOUSE, DAMAGE, .characters = CONTINUOUS, IN_S(0.3),
      T19("4", SG_GRADE_SEEN) },
    { .id = "new-house-transient", .label = "new residential; transient",
      .classes = SG_CLASS_MODERN_HOUSE, DAMAGE, .characters = SHORT_TERM, IN_S(1.0),
      T19("5", SG_GRADE_MEMORY_HIGH) },
    { .id = "new-house-continuous", .label = "new residential; continuous",
      .classes = SG_CLASS_MODERN_HOUSE, DAMAGE, .characters = CONTINUOUS, IN_S(0.5),
      T19("5", SG_GRADE_MEMORY_HIGH) },
    { .id = "modern-transient", .label = "modern industrial or commercial, framed; transient",
      .classes = MODERN, DAMAGE, .characters = SHORT_TERM, IN_S(2.0),
      T19("6", SG_GRADE_MEMORY_HIGH) },
    { .id = "modern-continuous", .label = "modern industrial or commercial, framed; continuous",
      .classes = MODERN, DAMAGE, .characters = CONTINUOUS, IN_S(0.5),
      T19("6", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_caltrans_damage = {
    .id = "CALTRANS-DAMAGE",
    .title = "California, vibration damage potential",
    .jurisdiction = "United States, California",
    .document = "caltrans2013",
    .edition = "September 2013, Table 19 (the edition of 2020 is held to have the same values)",
    .legal = "guidance",
    ALL_CONTINUOUS,
    ROWS(damage_row),
    NOTES("Impact and vibratory pile drivers belong to the continuous / frequent intermittent column "
          "(recalled); press-in driving is put there too. The transient column is for single events.",
          "Compared with the value on the ground at the building, as the worked examples do.",
          "Class 'fragile' is judged by the row of ruins; the row of fragile buildings (0.1 in/s "
          "continuous) is worked on request.",
          "The table bodies were not read. The manual calls its procedures screening aids."),
};

#define PEOPLE GROUND, .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS

static const struct sg_limit_row annoyance_row[] = {
    { .id = "barely-transient", .label = "barely perceptible; transient", PEOPLE,
      .characters = SHORT_TERM, IN_S(0.04), .on_request = true, .effect = "barely perceptible",
      T20("1", SG_GRADE_MEMORY_HIGH) },
    { .id = "barely-continuous", .label = "barely perceptible; continuous", PEOPLE,
      .characters = CONTINUOUS, IN_S(0.01), .on_request = true, .effect = "barely perceptible",
      T20("1", SG_GRADE_MEMORY_HIGH) },
    { .id = "distinctly-transient", .label = "distinctly perceptible; transient", PEOPLE,
      .characters = SHORT_TERM, IN_S(0.25), .on_request = true, .effect = "distinctly perceptible",
      T20("2", SG_GRADE_MEMORY_HIGH) },
    { .id = "distinctly-continuous", .label = "distinctly perceptible; continuous", PEOPLE,
      .characters = CONTINUOUS, IN_S(0.04), .on_request = true, .effect = "distinctly perceptible",
      T20("2", SG_GRADE_MEMORY_HIGH) },
    { .id = "strongly-transient", .label = "strongly perceptible; transient", PEOPLE,
      .characters = SHORT_TERM, IN_S(0.9), .effect = "strongly perceptible",
      T20("3", SG_GRADE_MEMORY_HIGH) },
    { .id = "strongly-continuous", .label = "strongly perceptible; continuous", PEOPLE,
      .characters = CONTINUOUS, IN_S(0.10), .effect = "strongly perceptible, begins to annoy",
      T20("3", SG_GRADE_MEMORY_HIGH) },
    { .id = "severe-transient", .label = "severe; transient", PEOPLE, .characters = SHORT_TERM,
      IN_S(2.0), .on_request = true, .effect = "severe", T20("4", SG_GRADE_MEMORY_HIGH) },
    { .id = "severe-continuous", .label = "severe; continuous", PEOPLE, .characters = CONTINUOUS,
      IN_S(0.4), .on_request = true, .effect = "severe", T20("4", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_caltrans_annoyance = {
    .id = "CALTRANS-ANNOYANCE",
    .title = "California, vibration annoyance potential",
    .jurisdiction = "United States, California",
    .document = "caltrans2013",
    .edition = "September 2013, Table 20 (the edition of 2020 is held to have the same values)",
    .legal = "guidance",
    .rows_are_levels = true,
    ALL_CONTINUOUS,
    ROWS(annoyance_row),
    NOTES("A scale, not a limit. The step 'strongly perceptible' is taken as the limit here because "
          "the department's older scale has continuous vibration begin to annoy at 0.1 in/s.",
          "Impact and vibratory pile drivers belong to the continuous / frequent intermittent column "
          "(recalled); press-in driving is put there too.",
          "Compared with the value on the ground at the building; a floor inside may move more.",
          "The table bodies were not read: all values are recalled and unverified."),
};
