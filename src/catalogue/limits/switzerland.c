/* switzerland.c - SN 640 312a:2013: vibration of structures, by class of building and number of
 * events. Peak of the resultant; steps in frequency.
 */
#include "rows.h"

#define PEAK                                                                                       \
    .purpose = SG_FOR_DAMAGE, .classes = SG_ANY_BUILDING, .uses = SG_ANY_USE,                      \
    .areas = SG_ANY_AREA, .position = SG_AT_FOUNDATION, .quantity = SG_Q_PVS,                      \
    .axes = SG_AXES_RESULTANT, .characters = EITHER, .period = SG_ANY_TIME,                        \
    .interpolation = SG_STEP, .below = SG_BELOW_EXTEND,                                            \
    .effect = "minor damage no longer hardly likely; likely from twice the value"

static const struct sg_limit_row row[] = {
    { .id = "frequent", .label = "normal sensitivity; frequent events (pile driving)", PEAK,
      .techniques = SG_ANY_TECHNIQUE, CURVE({ 8, 6 }, { 30, 8 }, { 60, 12 }),
      CITE("sn640312a", "normal class, frequent", SG_GRADE_SEEN) },
    { .id = "occasional", .label = "normal sensitivity; occasional events (far below 1 000)", PEAK,
      .techniques = 0, .on_request = true,
      .other_sources = SG_OTHER_BLASTING, CURVE({ 8, 15 }, { 30, 20 }, { 60, 30 }),
      CITE("sn640312a", "normal class, occasional", SG_GRADE_SEEN) },
    { .id = "permanent", .label = "normal sensitivity; permanent (far above 100 000 events)", PEAK,
      .techniques = SG_ANY_TECHNIQUE, .on_request = true, .other_sources = SG_OTHER_TRAFFIC,
      CURVE({ 8, 2 }, { 30, 4 }, { 60, 6 }),
      CITE("sn640312a", "normal class, permanent", SG_GRADE_SEEN) },
};

static const struct sg_limit_factor factor[] = {
    { .id = "raised", .low = 0.5, .high = 1.0, .dflt = 0.5, .characters = EITHER,
      .classes = (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE,
      .meaning = "raised sensitivity: plaster or hollow-tile ceilings, half-timber, historic",
      .decided_by = "the engineer who knows the building",
      CITE("sn640312a", "classes", SG_GRADE_MEMORY_HIGH) },
    { .id = "little", .low = 1.0, .high = 2.0, .dflt = 1.0, .classes = SG_CLASS_INDUSTRIAL,
      .meaning = "little sensitive: industrial buildings of reinforced concrete or steel, car parks",
      .decided_by = "the engineer who knows the building",
      CITE("sn640312a", "classes", SG_GRADE_MEMORY_HIGH) },
    { .id = "very-little", .low = 1.0, .high = 3.0, .dflt = 1.0,
      .meaning = "very little sensitive: bridges and retaining structures of reinforced concrete",
      .decided_by = "the engineer who knows the structure",
      CITE("sn640312a", "classes", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_sn640312a = {
    .id = "SN640312a",
    .title = "SN 640 312a, vibration of structures",
    .jurisdiction = "Switzerland",
    .document = "sn640312a",
    .edition = "2013",
    .legal = "standard",
    .frequency = SG_FREQUENCY_AT_PEAK,
    .minor_times = 2,
    .tolerance = "isolated passing by up to 30 % raises the risk little",
    USUAL_CHARACTER,
    ROWS(row),
    FACTORS(factor),
    DISAGREEMENTS("Permanent events below 30 Hz: the extract that was read prints 2, memory has 3. "
                  "The printed 2 is used until the paper copy settles it.",
                  "The extract prints the unit as mm/s2; evidently mm/s is meant."),
    NOTES("Impact and vibratory pile driving are 'frequent' by name; press-in driving is put there.",
          "Peak of the resultant. A predicted component bounds it: the resultant is at least the "
          "largest component and at most 1.732 times it.",
          "Bands below 30, 30 to 60 and above 60 Hz; the ends 8 and 150 Hz are recalled, below 8 Hz "
          "the value of the lowest band is used. Steps, no line between them.",
          "Through-cracks only at several times the values."),
};
