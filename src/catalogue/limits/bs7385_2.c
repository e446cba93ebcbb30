/* bs7385_2.c - BS 7385-2:1993, Table 1 (the same as BS 5228-2:2009+A1:2014, Table B.2): cosmetic
 * damage by transient vibration.
 */
#include "rows.h"

#define BASE                                                                                       \
    .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA,                            \
    .position = SG_AT_FOUNDATION, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST,                   \
    .characters = EITHER, .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME,                   \
    .interpolation = SG_LINEAR, .effect = "cosmetic damage possible; minor from 2 times, major from 4"

/* nodes { Hz, mm/s } */
static const struct sg_limit_row row[] = {
    { .id = "line-1", .label = "reinforced or framed; industrial and heavy commercial",
      .classes = (unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED, BASE, CURVE({ 4, 50 }),
      .below = SG_BELOW_NONE, CITE("bs7385-2", "Table 1, line 1", SG_GRADE_SEEN) },
    { .id = "line-2",
      .label = "unreinforced or light framed; residential, light commercial; listed in sound condition",
      .classes = SG_ANY_HOUSE | (unsigned)SG_CLASS_LISTED, BASE,
      CURVE({ 4, 15 }, { 15, 20 }, { 40, 50 }), .below = SG_BELOW_DISPLACEMENT,
      .below_displacement_mm = 0.6, .below_grade = SG_GRADE_MEMORY_HIGH,
      CITE("bs7385-2", "Table 1, line 2 (0.6 mm below 4 Hz is recalled)", SG_GRADE_SEEN) },
};

static const struct sg_limit_factor factor[] = {
    { .id = "continuous", .low = 0.5, .high = 1.0, .dflt = 0.5, .characters = CONTINUOUS,
      .meaning = "continuous vibration with resonance: the values may need cutting by up to half",
      .decided_by = "the engineer who knows the building",
      CITE("bs7385-2", "text to Table 1", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_bs7385_2 = {
    .id = "BS7385-2",
    .title = "BS 7385-2, cosmetic damage to buildings",
    .jurisdiction = "United Kingdom",
    .document = "bs7385-2",
    .edition = "1993, Table 1 (repeated in BS 5228-2:2009+A1:2014, Table B.2)",
    .legal = "standard",
    USUAL_CHARACTER,
    .frequency = SG_FREQUENCY_PULSE,
    .reading = { .weighting = "none", .low_hz = 4, .high_hz = 250,
                 .statistic = "largest value of each component" },
    .minor_times = 2,
    .major_times = 4,
    ROWS(row),
    FACTORS(factor),
    NOTES("Values for transient vibration that does not excite resonance. For continuous vibration "
          "the cut to one half is the default here; the document says 'may need' and 'up to'.",
          "Between the printed frequencies the document has a figure, no formula. Straight lines on "
          "linear axes are the lower reading and the default; log-log is at most 0.7 mm/s higher.",
          "Buildings of historical value are not taken as more sensitive unless structurally unsound "
          "(recalled). The document has no value for unsound or strained buildings: their "
          "engineer's limit is needed.",
          "Range 4 to 250 Hz (recalled). Below 4 Hz line 2 is a displacement of 0.6 mm (recalled, "
          "unverified); line 1 has no value there."),
};
