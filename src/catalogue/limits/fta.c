/* fta.c - US Federal Transit Administration, 2018, Table 7-5: construction vibration damage criteria.
 * Printed in in/s.
 */
#include "rows.h"

#define IN_S(value) FLAT((value) * SG_MM_PER_INCH)
#define GROUND                                                                                     \
    .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA,                            \
    .position = SG_AT_FREE_FIELD, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST,                   \
    .characters = EITHER, .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME,                   \
    .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND, .effect = "damage potential"

#define LEVEL(name, text, bits, limit)                                                             \
    { .id = name, .label = text, .classes = bits, .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE,    \
      .areas = SG_ANY_AREA, .position = SG_AT_FREE_FIELD, .quantity = SG_Q_LV_US,                  \
      .axes = SG_AXES_LARGEST, .characters = EITHER, PLAIN, .period = SG_ANY_TIME, FLAT(limit),    \
      .on_request = true, .effect = "damage potential",                                            \
      CITE("fta2018", "Table 7-5, level column", SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_row row[] = {
    { .id = "I", .label = "reinforced concrete, steel or timber, no plaster; framed buildings",
      .classes = SG_CLASS_FRAMED, GROUND, IN_S(0.5),
      CITE("fta2018", "Table 7-5, row I", SG_GRADE_MEMORY_HIGH) },
    { .id = "II",
      .label = "engineered concrete and masonry, no plaster; industrial buildings, material not known",
      .classes = SG_CLASS_INDUSTRIAL, GROUND, IN_S(0.3),
      CITE("fta2018", "Table 7-5, row II", SG_GRADE_SEEN) },
    { .id = "III", .label = "non-engineered timber and masonry; houses of any age",
      .classes = SG_ANY_HOUSE, GROUND, IN_S(0.2),
      CITE("fta2018", "Table 7-5, row III", SG_GRADE_MEMORY_HIGH) },
    { .id = "IV", .label = "extremely susceptible to damage; fragile, and listed taken with them",
      .classes = (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE, GROUND, IN_S(0.12),
      CITE("fta2018", "Table 7-5, row IV", SG_GRADE_MEMORY_HIGH) },
    /* the table's level column; crest factor 4 */
    LEVEL("I-level", "row I, as a level", SG_CLASS_FRAMED, 102),
    LEVEL("II-level", "row II, as a level", SG_CLASS_INDUSTRIAL, 98),
    LEVEL("III-level", "row III, as a level", SG_ANY_HOUSE, 94),
    LEVEL("IV-level", "row IV, as a level", (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE, 90),
};

const struct sg_limit_set sg_limits_fta_damage = {
    .id = "FTA-DAMAGE",
    .title = "United States, construction vibration damage criteria",
    .jurisdiction = "United States",
    .document = "fta2018",
    .edition = "2018, Table 7-5",
    .legal = "guidance",
    .reading = { .reference = 1e-6, .reference_unit = "in/s",
                 .statistic = "peak; the level column assumes a crest factor of 4" },
    .bridges = SG_BRIDGE_LV,
    ALL_CONTINUOUS,
    ROWS(row),
    NOTES("The rows go by construction, not by use or age: industrial buildings are put one row "
          "lower, houses in row III and listed buildings in row IV because more is not known.",
          "Compared with the value on the ground at the building.",
          "The document tells no short-term from continuous vibration."),
};
