/* rail.c - railway owners' values for works beside the line: Hong Kong and Malaysia. */
#include "rows.h"

#define ON_RAIL                                                                                    \
    .purpose = SG_FOR_RAIL, .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_ASSET,     \
    .axes = SG_AXES_LARGEST, .characters = EITHER, .period = SG_ANY_TIME,                          \
    .interpolation = SG_LINEAR, .effect = "the owner's value is passed"

/* movements that hold beside the vibration values; nothing here predicts them */
#define GEOMETRY                                                                                   \
    .classes = SG_CLASS_RAIL_STRUCTURE, ON_RAIL, .techniques = SG_ANY_TECHNIQUE,                   \
    .below = SG_BELOW_EXTEND, .on_request = true

static const struct sg_limit_row hk_row[] = {
    { .id = "structure", .label = "railway structures, prolonged vibration",
      .classes = SG_CLASS_RAIL_STRUCTURE, ON_RAIL, .quantity = SG_Q_PPV,
      .techniques = SG_ANY_TECHNIQUE, FLAT(15), .below = SG_BELOW_EXTEND,
      CITE("hk-rail-protection", "vibration, structures", SG_GRADE_SEEN) },
    { .id = "structure-blasting", .label = "railway structures, blasting only",
      .classes = SG_CLASS_RAIL_STRUCTURE, ON_RAIL, .quantity = SG_Q_PPV, .techniques = 0, FLAT(25),
      .below = SG_BELOW_EXTEND, .on_request = true,
      CITE("hk-rail-protection", "vibration, structures", SG_GRADE_SEEN) },
    /* 10 mm/s and 80 um together: a sine of 0.080 mm has 10 mm/s at 19.9 Hz, and less below. */
    { .id = "equipment",
      .label = "overhead-line masts, signalling, telecommunication: 10 mm/s and 80 um",
      .classes = SG_CLASS_RAIL_EQUIPMENT, ON_RAIL, .quantity = SG_Q_PPV,
      .techniques = SG_ANY_TECHNIQUE, CURVE({ 10.0 / (2.0 * SG_PI * 0.080), 10 }),
      .below = SG_BELOW_DISPLACEMENT, .below_displacement_mm = 0.080,
      CITE("hk-rail-protection", "vibration, equipment", SG_GRADE_SEEN) },
    { .id = "equipment-displacement",
      .label = "overhead-line masts, signalling, telecommunication: amplitude 80 um",
      .classes = SG_CLASS_RAIL_EQUIPMENT, ON_RAIL, .quantity = SG_Q_DISPLACEMENT,
      .techniques = SG_ANY_TECHNIQUE, FLAT(0.080), .below = SG_BELOW_EXTEND, .on_request = true,
      CITE("hk-rail-protection", "vibration, equipment", SG_GRADE_SEEN) },
    { .id = "pressure", .label = "metro structure, change of pressure", GEOMETRY,
      .quantity = SG_Q_PRESSURE_CHANGE, FLAT(20),
      CITE("hk-rail-protection", "pressure", SG_GRADE_SEEN) },
    { .id = "movement", .label = "metro structure, movement", GEOMETRY, .quantity = SG_Q_MOVEMENT,
      FLAT(20), CITE("hk-rail-protection", "movement", SG_GRADE_SEEN) },
    { .id = "distortion", .label = "metro structure, distortion 1 in 1000", GEOMETRY,
      .quantity = SG_Q_DISTORTION, FLAT(1e-3),
      CITE("hk-rail-protection", "distortion", SG_GRADE_SEEN) },
    { .id = "cross-level", .label = "track, change of cross-level", GEOMETRY,
      .quantity = SG_Q_MOVEMENT, FLAT(5),
      CITE("hk-rail-protection", "cross-level", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_rail_hk = {
    .exceed = SG_EXCEED_STOP,
    .requires = SG_NEEDS_OWNER | SG_NEEDS_MONITORING,
    .id = "RAIL-HK",
    .title = "Hong Kong, works beside the metro",
    .jurisdiction = "Hong Kong",
    .document = "hk-rail-protection",
    .edition = "edition not stated",
    .legal = "owner",
    USUAL_CHARACTER,
    ROWS(hk_row),
    NOTES("The 25 mm/s for blasting holds for no kind of piling; it is listed to stop its misuse.",
          "The equipment amplitude is read as 80 micrometres; its unit was garbled in what was read. "
          "For a peak velocity it is turned into a velocity at the lowest plausible frequency, as "
          "for a sine.",
          "Movement limits hold beside these and are listed on request; settlement is a duty of its "
          "own. Clearances: piles 3 m or more from underground structures, 3 m from the fence or 7 m "
          "from the track centreline.",
          "The railway's consent, monitoring and stop-work rules are needed whatever the number."),
};

static const struct sg_limit_row my_row[] = {
    { .id = "structure", .label = "track structure, continuous and intermittent",
      .classes = SG_CLASS_RAIL_STRUCTURE, ON_RAIL, .quantity = SG_Q_PPV,
      .techniques = SG_ANY_TECHNIQUE, FLAT(15), .below = SG_BELOW_EXTEND,
      CITE("my-rail-protection", "abstract", SG_GRADE_SEEN) },
    { .id = "signalling", .label = "signalling", .classes = SG_CLASS_RAIL_EQUIPMENT, ON_RAIL,
      .quantity = SG_Q_PPV, .techniques = SG_ANY_TECHNIQUE, FLAT(10), .below = SG_BELOW_EXTEND,
      CITE("my-rail-protection", "abstract", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_rail_my = {
    .requires = SG_NEEDS_OWNER | SG_NEEDS_MONITORING,
    .id = "RAIL-MY",
    .title = "Malaysia, works beside the railway",
    .jurisdiction = "Malaysia",
    .document = "my-rail-protection",
    .edition = "edition not stated",
    .legal = "owner",
    USUAL_CHARACTER,
    ROWS(my_row),
    NOTES("Only the abstract of a study was read; the railway's own document decides.",
          "The railway's consent, monitoring and stop-work rules are needed whatever the number."),
};
