/* bs5228_2.c - BS 5228-2:2009+A1:2014, Annex B: how people take vibration (Table B.1); buried
 * services and retaining walls (B.3).
 */
#include "rows.h"

#define OCCUPIED                                                                                   \
    ((unsigned)SG_USE_RESIDENTIAL | (unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_HOSPITAL |          \
     (unsigned)SG_USE_WORSHIP | (unsigned)SG_USE_OFFICE | (unsigned)SG_USE_LABORATORY)
#define SCALE                                                                                      \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA,                       \
    .position = SG_AT_FLOOR, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .characters = EITHER,  \
    .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME, .interpolation = SG_LINEAR,             \
    .below = SG_BELOW_EXTEND

static const struct sg_limit_row scale_row[] = {
    { .id = "perceptible-sensitive", .label = "perceptible in the most sensitive situations", SCALE,
      .uses = SG_ANY_USE, FLAT(0.14), .on_request = true,
      .effect = "might just be perceptible in the most sensitive situations",
      CITE("bs5228-2", "Table B.1, row 1", SG_GRADE_SEEN) },
    { .id = "perceptible", .label = "perceptible in homes (other occupied rooms taken with them)",
      SCALE, .uses = OCCUPIED, FLAT(0.3), .on_request = true,
      .effect = "might just be perceptible in residential environments",
      CITE("bs5228-2", "Table B.1, row 2", SG_GRADE_SEEN) },
    { .id = "complaint", .label = "complaint likely in homes (other occupied rooms taken with them)",
      SCALE, .uses = OCCUPIED, FLAT(1.0),
      .effect = "complaint likely; tolerable when warned and told beforehand",
      CITE("bs5228-2", "Table B.1, row 3", SG_GRADE_SEEN) },
    { .id = "intolerable", .label = "intolerable for more than a very short exposure", SCALE,
      .uses = SG_ANY_USE, FLAT(10.0), .on_request = true,
      .effect = "likely intolerable for more than a very short exposure",
      CITE("bs5228-2", "Table B.1, row 4", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_bs5228_2_b1 = {
    .id = "BS5228-2-B1",
    .title = "BS 5228-2, how people take vibration",
    .jurisdiction = "United Kingdom",
    .document = "bs5228-2",
    .edition = "2009+A1:2014, Table B.1",
    .legal = "standard",
    .rows_are_levels = true,
    .complaint_triggers = true,
    .requires = SG_NEEDS_NOTICE,
    USUAL_CHARACTER,
    ROWS(scale_row),
    NOTES("A scale of effects, not a limit. The step at which complaint is likely (1.0 mm/s) is "
          "taken as the limit here; the others are shown as effects.",
          "The place is where vibration enters the person, the floor inside: a value on the ground "
          "outside needs a transfer.",
          "Single or rare events at these levels do not always have the stated effect (recalled).",
          "Prior warning lowers annoyance."),
};

#define ASSET                                                                                      \
    .purpose = SG_FOR_UTILITY, .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_ASSET,  \
    .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .techniques = SG_ANY_TECHNIQUE,                 \
    .period = SG_ANY_TIME, .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND,                   \
    .effect = "damage to the service or wall no longer ruled out"

static const struct sg_limit_row service_row[] = {
    { .id = "service-intermittent", .label = "buried service, intermittent or transient",
      .classes = SG_ANY_PIPE, ASSET, .characters = SHORT_TERM, FLAT(30),
      CITE("bs5228-2", "B.3, buried services", SG_GRADE_MEMORY_HIGH) },
    { .id = "service-continuous", .label = "buried service, continuous", .classes = SG_ANY_PIPE,
      ASSET, .characters = CONTINUOUS, FLAT(15),
      CITE("bs5228-2", "B.3, buried services", SG_GRADE_MEMORY_HIGH) },
    { .id = "wall-toe", .label = "slender, potentially sensitive masonry wall, at the toe",
      .classes = SG_CLASS_RETAINING_WALL, ASSET, .characters = EITHER, FLAT(10),
      CITE("bs5228-2", "B.3, retaining walls", SG_GRADE_MEMORY_HIGH) },
    { .id = "wall-crest", .label = "slender, potentially sensitive masonry wall, at the crest",
      .classes = SG_CLASS_RETAINING_WALL, ASSET, .characters = EITHER, FLAT(40), .on_request = true,
      CITE("bs5228-2", "B.3, retaining walls", SG_GRADE_MEMORY_HIGH) },
};

static const struct sg_limit_factor service_factor[] = {
    { .id = "wall-continuous", .low = 1.0 / 2.5, .high = 1.0 / 1.5, .dflt = 1.0 / 2.5,
      .characters = CONTINUOUS, .classes = SG_CLASS_RETAINING_WALL,
      .meaning = "continuous vibration: wall values divided by 1.5 to 2.5",
      .decided_by = "the engineer who knows the wall",
      CITE("bs5228-2", "B.3, retaining walls", SG_GRADE_MEMORY_HIGH) },
    { .id = "wall-supported", .low = 1.5, .high = 2.0, .dflt = 1.5,
      .classes = SG_CLASS_RETAINING_WALL,
      .meaning = "propped, tied or mass gravity wall: 50 to 100 % more",
      .decided_by = "the engineer who knows the wall",
      CITE("bs5228-2", "B.3, retaining walls", SG_GRADE_MEMORY_HIGH) },
    { .id = "old-sewer", .low = 0.5, .high = 0.8, .dflt = 0.5, .classes = SG_CLASS_PIPE_MASONRY,
      .meaning = "old, dilapidated brick sewer: 20 to 50 % less",
      .decided_by = "the owner of the sewer",
      CITE("bs5228-2", "B.3, buried services", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_bs5228_2_services = {
    .id = "BS5228-2-services",
    .title = "BS 5228-2, buried services and retaining walls",
    .jurisdiction = "United Kingdom",
    .document = "bs5228-2",
    .edition = "2009+A1:2014, B.3",
    .legal = "standard",
    USUAL_CHARACTER,
    ROWS(service_row),
    FACTORS(service_factor),
    NOTES("All values are recalled and unverified. The owner's value takes precedence.",
          "At the nearest point of the service. The wall value at the crest is worked on request "
          "only: no prediction is made for a crest.",
          "Slopes, temporary works and sensitive contents: case by case."),
};
