/* netherlands.c - SBR-A (2017), buildings, and SBR-B (2002, 2006), people. */
#include "rows.h"

#define SOUND_MASONRY (SG_ANY_HOUSE | (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE)
#define CATEGORY                                                                                   \
    .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA,                            \
    .position = SG_AT_FOUNDATION, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST,                   \
    .characters = EITHER, PLAIN, .period = SG_ANY_TIME, .effect = "risk of damage above about 1 %"

static const struct sg_limit_row a_row[] = {
    { .id = "category-1", .label = "reinforced concrete, steel or timber",
      .classes = (unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED, CATEGORY,
      CURVE({ 1, 20 }, { 10, 20 }, { 50, 40 }, { 100, 50 }),
      CITE("sbr-a", "category 1", SG_GRADE_MEMORY_MID) },
    { .id = "category-2", .label = "masonry", .classes = SOUND_MASONRY, CATEGORY,
      CURVE({ 1, 5 }, { 10, 5 }, { 50, 15 }, { 100, 20 }),
      CITE("sbr-a", "category 2", SG_GRADE_MEMORY_MID) },
};

static const struct sg_limit_factor a_factor[] = {
    { .id = "repeated", .low = 1 / 1.5, .high = 1 / 1.5, .dflt = 1 / 1.5, .characters = SHORT_TERM,
      .meaning = "repeated short vibration (pile driving): divided by 1.5",
      .decided_by = "the document", CITE("sbr-a", "gamma_t", SG_GRADE_MEMORY_HIGH) },
    { .id = "continuous", .low = 1 / 2.5, .high = 1 / 1.5, .dflt = 1 / 2.5,
      .characters = CONTINUOUS,
      .meaning = "continuous vibration: divided by 2.5; whether vibratory driving is continuous (2.5) "
                 "or repeated (1.5) must be looked up, the stricter is the default",
      .decided_by = "who has the 2017 text", CITE("sbr-a", "gamma_t", SG_GRADE_MEMORY_HIGH) },
    { .id = "monument", .low = 1 / 1.7, .high = 1 / 1.7, .dflt = 1 / 1.7, .characters = EITHER,
      .classes = (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE,
      .meaning = "monument or poor condition: divided by 1.7", .decided_by = "the document",
      CITE("sbr-a", "gamma_s", SG_GRADE_MEMORY_MID) },
    { .id = "one-point", .low = 1 / 1.6, .high = 1.0, .dflt = 1 / 1.6,
      .meaning = "measured at one point: divided by 1.6; limited 1.4; extensive 1.0",
      .decided_by = "who lays out the measurement", CITE("sbr-a", "gamma_v", SG_GRADE_MEMORY_MID) },
};

const struct sg_limit_set sg_limits_sbr_a = {
    .id = "SBR-A",
    .title = "SBR-A, damage to buildings",
    .jurisdiction = "Netherlands",
    .document = "sbr-a",
    .edition = "2017 (numbers not read in it)",
    .legal = "guidance",
    .frequency = SG_FREQUENCY_AT_PEAK,
    USUAL_CHARACTER,
    ROWS(a_row),
    FACTORS(a_factor),
    NOTES("All values are recalled and unverified; the 2017 text was not read.",
          "Kept means a risk that is accepted, of the order of 1 % (recalled), not none.",
          "Settlement has a criterion of its own."),
};

#define ROOM                                                                                       \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA,                       \
    .position = SG_AT_FLOOR, .quantity = SG_Q_KBF_MAX, .axes = SG_AXES_LARGEST,                    \
    .characters = EITHER, PLAIN, .rule = SG_RULE_TWO_STEP, .effect = "nuisance"
#define HOME ((unsigned)SG_USE_RESIDENTIAL | (unsigned)SG_USE_HOSPITAL)
#define DESK ((unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_OFFICE | (unsigned)SG_USE_WORSHIP)
#define STEPS(a1, a2, a3) FLAT(a1), .upper_value = a2, .dose_value = a3
#define V_EFF                                                                                      \
    .frequency = SG_FREQUENCY_FILTER,                                                              \
    .reading = { .weighting = "KB", .tau_s = 0.125, .low_hz = 1, .high_hz = 80,                    \
                 .statistic = "largest v_eff; dose from the largest value of each 30 s",           \
                 .block_s = 30 },                                                                  \
    .bridges = SG_BRIDGE_KB

static const struct sg_limit_row b_row[] = {
    { .id = "home-day", .label = "health, dwellings; day and evening", .uses = HOME, ROOM,
      .period = SG_DAY, STEPS(0.1, 0.4, 0.05), CITE("sbr-b", "Table 1", SG_GRADE_SEEN) },
    { .id = "home-evening", .label = "health, dwellings; evening, as by day", .uses = HOME, ROOM,
      .period = SG_EVENING, STEPS(0.1, 0.4, 0.05), CITE("sbr-b", "Table 1", SG_GRADE_SEEN) },
    { .id = "home-night", .label = "health, dwellings; night", .uses = HOME, ROOM,
      .period = SG_NIGHT, STEPS(0.1, 0.2, 0.05), CITE("sbr-b", "Table 1", SG_GRADE_SEEN) },
    { .id = "office", .label = "education, office, assembly", .uses = DESK, ROOM,
      .period = SG_ANY_TIME, STEPS(0.15, 0.6, 0.07), CITE("sbr-b", "Table 1", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_sbr_b = {
    .id = "SBR-B",
    .title = "SBR-B, people in buildings, lasting vibration",
    .jurisdiction = "Netherlands",
    .document = "sbr-b",
    .edition = "2002 and 2006, Table 1",
    .legal = "guidance",
    USUAL_CHARACTER,
    V_EFF,
    ROWS(b_row),
    NOTES("V_max at most A1, or V_max at most A2 and V_per at most A3. v_eff is weighted as KB_F "
          "(recalled) and is judged as that quantity. The hours over which V_per is averaged were not "
          "read: no V_per is worked out from a prediction.",
          "For lasting sources. Construction work has a table of its own, SBR-B-construction."),
};

static const struct sg_limit_row b4_row[] = {
    { .id = "building-work", .label = "dwelling, childcare, health, education; day",
      .uses = HOME | (unsigned)SG_USE_SCHOOL, ROOM, .period = SG_DAY, STEPS(0.8, 6, 0.4),
      .days = (const struct sg_days_piece[]){ { 0, 1, 0.8, 6, 0.4 },
                                              { 6, 26, 0.4, 6, 0.3 },
                                              { 26, 78, 0.3, 6, 0.2 } },
      .ndays = 3, .days_to = 78, CITE("sbr-b", "Table 4", SG_GRADE_MEMORY_MID) },
};

const struct sg_limit_set sg_limits_sbr_b_construction = {
    .id = "SBR-B-construction",
    .title = "SBR-B, people in buildings, construction work",
    .jurisdiction = "Netherlands",
    .document = "sbr-b",
    .edition = "2002 and 2006, Table 4; law through Bbl article 7.18",
    .legal = "statute",
    USUAL_CHARACTER,
    V_EFF,
    ROWS(b4_row),
    NOTES("All values are recalled and unverified; that the table is law was read. The hours over "
          "which V_per is averaged were not: no V_per is worked out from a prediction.",
          "Values for 2 to 6 days and for more than 78 days are not known here: such work is not "
          "determinable."),
};
