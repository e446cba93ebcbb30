/* din4150_3.c - DIN 4150-3:2016-12, guide values for structures: short-term (Table 1), long-term
 * (Table 4) and buried pipework (Table 3). Values of 1999, which did not change as far as known.
 */
#include "rows.h"

#define LINE_1 ((unsigned)SG_CLASS_INDUSTRIAL)
#define LINE_2 ((unsigned)SG_CLASS_FRAMED | SG_ANY_HOUSE)
#define LINE_3 ((unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE)
#define BUILDING                                                                                   \
    .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .quantity = SG_Q_PPV,      \
    .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME, .interpolation = SG_LINEAR,             \
    .below = SG_BELOW_EXTEND, .effect = "reduced serviceability no longer ruled out"
#define FOUNDATION BUILDING, .position = SG_AT_FOUNDATION, .axes = SG_AXES_LARGEST
#define TOPMOST BUILDING, .position = SG_AT_TOPMOST_FLOOR, .axes = SG_AXES_HORIZONTAL
#define FLOOR BUILDING, .position = SG_AT_FLOOR, .axes = SG_AXES_VERTICAL

/* id, label, classes, value or nodes { Hz, mm/s }, cite */
static const struct sg_limit_row short_row[] = {
    { .id = "line-1-foundation", .label = "commercial, industrial and similar; foundation",
      .classes = LINE_1, FOUNDATION, .characters = SHORT_TERM,
      CURVE({ 1, 20 }, { 10, 20 }, { 50, 40 }, { 100, 50 }),
      CITE("din4150-3", "Table 1, line 1", SG_GRADE_SEEN) },
    { .id = "line-2-foundation",
      .label = "dwellings and similar, framed buildings taken with them; foundation",
      .classes = LINE_2, FOUNDATION, .characters = SHORT_TERM,
      CURVE({ 1, 5 }, { 10, 5 }, { 50, 15 }, { 100, 20 }),
      CITE("din4150-3", "Table 1, line 2", SG_GRADE_SEEN) },
    { .id = "line-3-foundation", .label = "specially sensitive, worth preserving, fragile; foundation",
      .classes = LINE_3, FOUNDATION, .characters = SHORT_TERM,
      CURVE({ 1, 3 }, { 10, 3 }, { 50, 8 }, { 100, 10 }),
      CITE("din4150-3", "Table 1, line 3", SG_GRADE_SEEN) },
    { .id = "line-1-topmost", .label = "commercial, industrial and similar; topmost floor",
      .classes = LINE_1, TOPMOST, .characters = SHORT_TERM, FLAT(40),
      CITE("din4150-3", "Table 1, line 1", SG_GRADE_SEEN) },
    { .id = "line-2-topmost",
      .label = "dwellings and similar, framed buildings taken with them; topmost floor",
      .classes = LINE_2, TOPMOST, .characters = SHORT_TERM, FLAT(15),
      CITE("din4150-3", "Table 1, line 2", SG_GRADE_SEEN) },
    { .id = "line-3-topmost", .label = "specially sensitive, worth preserving, fragile; topmost floor",
      .classes = LINE_3, TOPMOST, .characters = SHORT_TERM, FLAT(8),
      CITE("din4150-3", "Table 1, line 3", SG_GRADE_SEEN) },
    { .id = "line-1-floor", .label = "commercial, industrial and similar; floors",
      .classes = LINE_1, FLOOR, .characters = SHORT_TERM, FLAT(20),
      CITE("din4150-3", "Table 1, line 1", SG_GRADE_SEEN) },
    { .id = "line-2-floor", .label = "dwellings and similar, framed buildings taken with them; floors",
      .classes = LINE_2, FLOOR, .characters = SHORT_TERM, FLAT(20),
      CITE("din4150-3", "Table 1, line 2", SG_GRADE_SEEN) },
    { .id = "line-3-floor",
      .label = "specially sensitive, worth preserving, fragile; floors (a lower value may be needed)",
      .classes = LINE_3, FLOOR, .characters = SHORT_TERM, FLAT(20),
      CITE("din4150-3", "Table 1, line 3", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_din4150_3_short = {
    .id = "DIN4150-3-short",
    .title = "DIN 4150-3, short-term vibration, buildings",
    .jurisdiction = "Germany",
    .document = "din4150-3",
    .edition = "2016-12, Table 1 (values read from 1999)",
    .legal = "standard",
    .frequency = SG_FREQUENCY_AT_PEAK,
    .reading = { .weighting = "none", .low_hz = 1, .high_hz = 100,
                 .statistic = "largest value of each component" },
    USUAL_CHARACTER,
    ROWS(short_row),
    NOTES("Guide values, not limits: kept, damage that lowers serviceability is not expected; "
          "exceeded, damage does not necessarily follow and closer study is called for.",
          "Short-term vibration is too rare to cause fatigue and cannot build up resonance. Impact "
          "driving is usually taken as short-term, vibratory driving is not.",
          "The frequency is the one governing at the time of the peak. Below 1 Hz the document does "
          "not apply; the value for 1 to 10 Hz is used.",
          "For massive engineering structures (abutments, block foundations) line 1 may be raised "
          "up to twofold.",
          "Settlement of loose sand and silt is a separate mechanism without a guide value.",
          "Editions: 2016 adds rules for start-up and shut-down and for the place of measurement; "
          "Table 1 is held not to have changed since 1999."),
};

static const struct sg_limit_row long_row[] = {
    { .id = "line-1-topmost", .label = "commercial, industrial and similar; topmost floor",
      .classes = LINE_1, TOPMOST, .characters = CONTINUOUS, FLAT(10),
      CITE("din4150-3", "Table 4, line 1", SG_GRADE_MEMORY_HIGH) },
    { .id = "line-2-topmost",
      .label = "dwellings and similar, framed buildings taken with them; topmost floor",
      .classes = LINE_2, TOPMOST, .characters = CONTINUOUS, FLAT(5),
      CITE("din4150-3", "Table 4, line 2", SG_GRADE_MEMORY_HIGH) },
    { .id = "line-3-topmost", .label = "specially sensitive, worth preserving, fragile; topmost floor",
      .classes = LINE_3, TOPMOST, .characters = CONTINUOUS, FLAT(2.5),
      CITE("din4150-3", "Table 4, line 3", SG_GRADE_MEMORY_HIGH) },
    { .id = "line-1-floor", .label = "commercial, industrial and similar; floors",
      .classes = LINE_1, FLOOR, .characters = CONTINUOUS, FLAT(10),
      CITE("din4150-3", "Table 4, line 1", SG_GRADE_MEMORY_HIGH) },
    { .id = "line-2-floor", .label = "dwellings and similar, framed buildings taken with them; floors",
      .classes = LINE_2, FLOOR, .characters = CONTINUOUS, FLAT(10),
      CITE("din4150-3", "Table 4, line 2", SG_GRADE_MEMORY_HIGH) },
    { .id = "line-3-floor",
      .label = "specially sensitive, worth preserving, fragile; floors (a lower value may be needed)",
      .classes = LINE_3, FLOOR, .characters = CONTINUOUS, FLAT(10),
      CITE("din4150-3", "Table 4, line 3", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_din4150_3_long = {
    .id = "DIN4150-3-long",
    .title = "DIN 4150-3, long-term vibration, buildings",
    .jurisdiction = "Germany",
    .document = "din4150-3",
    .edition = "2016-12, Table 4 (Table 3 of 1999)",
    .legal = "standard",
    .bridge_refused = "there is no foundation criterion for long-term vibration; Table 1 will not do",
    USUAL_CHARACTER,
    ROWS(long_row),
    NOTES("All values of this table are recalled and unverified: check them on paper.",
          "There is no foundation value for long-term vibration. A value on the ground or the "
          "foundation cannot be judged without a transfer into the building.",
          "Starting and stopping a vibratory driver passes through floor resonance and can fall "
          "between short-term and long-term; the document has a rule for it that was not read.",
          "Settlement of loose sand and silt is a separate mechanism without a guide value."),
};

#define PIPE                                                                                       \
    .purpose = SG_FOR_UTILITY, .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_ASSET,  \
    .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .characters = EITHER,                           \
    .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME, .interpolation = SG_LINEAR,             \
    .below = SG_BELOW_EXTEND, .effect = "damage to the pipe no longer ruled out"

static const struct sg_limit_row pipe_row[] = {
    { .id = "line-1", .label = "welded steel", .classes = SG_CLASS_PIPE_STEEL, PIPE, FLAT(100),
      CITE("din4150-3", "Table 3, line 1", SG_GRADE_SEEN) },
    { .id = "line-2",
      .label = "stoneware, concrete, reinforced or prestressed concrete, metal with or without flanges",
      .classes = SG_CLASS_PIPE_RIGID, PIPE, FLAT(80),
      CITE("din4150-3", "Table 3, line 2", SG_GRADE_SEEN) },
    { .id = "line-3", .label = "masonry, plastic", .classes = SG_CLASS_PIPE_MASONRY, PIPE, FLAT(50),
      CITE("din4150-3", "Table 3, line 3", SG_GRADE_SEEN) },
};

static const struct sg_limit_factor pipe_factor[] = {
    { .id = "long-term", .low = 0.5, .high = 1.0, .dflt = 0.5, .characters = CONTINUOUS,
      .meaning = "half of the short-term value for long-term vibration, unless more is proved",
      .decided_by = "the owner of the pipe, on proof",
      CITE("din4150-3", "text to Table 3", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_din4150_3_pipes = {
    .id = "DIN4150-3-pipes",
    .title = "DIN 4150-3, buried pipework",
    .jurisdiction = "Germany",
    .document = "din4150-3",
    .edition = "2016-12, Table 3 (Table 2 of 1999)",
    .legal = "standard",
    USUAL_CHARACTER,
    ROWS(pipe_row),
    FACTORS(pipe_factor),
    NOTES("The value is meant on the pipe. The owner's value takes precedence.",
          "House connections close to a building (about 2 m, recalled) are judged with the "
          "foundation values of the building."),
};
