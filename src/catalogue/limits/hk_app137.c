/* hk_app137.c - Hong Kong, PNAP APP-137: ground vibration from pile driving and extraction. */
#include "rows.h"

#define STURDY                                                                                     \
    ((unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED | (unsigned)SG_CLASS_MODERN_HOUSE)
#define SENSITIVE ((unsigned)SG_CLASS_OLDER_HOUSE | (unsigned)SG_CLASS_FRAGILE)
#define BUILDING                                                                                   \
    .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA,                            \
    .position = SG_AT_FOUNDATION, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST,                   \
    .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME, .interpolation = SG_LINEAR,             \
    .below = SG_BELOW_EXTEND, .effect = "the guide value is passed"

static const struct sg_limit_row row[] = {
    { .id = "robust-transient", .label = "robust and stable; transient", .classes = STURDY, BUILDING,
      .characters = SHORT_TERM, FLAT(15),
      CITE("hk-app137", "guide values", SG_GRADE_MEMORY_HIGH) },
    { .id = "robust-continuous", .label = "robust and stable; continuous", .classes = STURDY,
      BUILDING, .characters = CONTINUOUS, FLAT(7.5),
      CITE("hk-app137", "guide values", SG_GRADE_MEMORY_HIGH) },
    { .id = "sensitive-transient",
      .label = "vibration-sensitive or dilapidated, older houses taken with them; transient",
      .classes = SENSITIVE, BUILDING, .characters = SHORT_TERM, FLAT(7.5),
      CITE("hk-app137", "guide values", SG_GRADE_SEEN) },
    { .id = "sensitive-continuous",
      .label = "vibration-sensitive or dilapidated, older houses taken with them; continuous",
      .classes = SENSITIVE, BUILDING, .characters = CONTINUOUS, FLAT(3.0),
      CITE("hk-app137", "guide values", SG_GRADE_SEEN) },
    { .id = "historic", .label = "declared monuments and historic buildings",
      .classes = SG_CLASS_LISTED, BUILDING, .characters = EITHER, FLAT(3.0),
      CITE("hk-app137", "guide values", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_hk_app137 = {
    .id = "HK-APP137",
    .title = "Hong Kong, ground vibration from pile driving and extraction",
    .jurisdiction = "Hong Kong",
    .document = "hk-app137",
    .edition = "as quoted in monitoring reports of 2024 and 2025",
    .legal = "guidance",
    USUAL_CHARACTER,
    ROWS(row),
    .requires = SG_NEEDS_SURVEY | SG_NEEDS_ENGINEER | SG_NEEDS_MONITORING,
    DISAGREEMENTS("One project's manual text allows 7.5 mm/s for graded and 15 mm/s for other "
                  "historic buildings, while its reports apply 3.0 mm/s. 3.0 is used."),
    NOTES(          "A qualified surveyor or structural engineer sets the limit of a particular structure; "
          "condition survey, photographs and monitoring plan are asked for.",
          "Settlement is controlled beside vibration and is not covered by these values."),
};
