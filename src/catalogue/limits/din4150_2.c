/* din4150_2.c - DIN 4150-2:1999, people in buildings: Table 1 (areas), Table 2 (construction work in
 * the daytime, by days with vibration). Values as A_u / A_o / A_r.
 */
#include "rows.h"

#define ROOM                                                                                       \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .position = SG_AT_FLOOR,                    \
    .quantity = SG_Q_KBF_MAX, .axes = SG_AXES_LARGEST, .characters = EITHER, PLAIN
#define STEPS(lower, upper, dose)                                                                  \
    .rule = SG_RULE_TWO_STEP, FLAT(lower), .upper_value = upper, .dose_value = dose,               \
    .effect = "considerable annoyance no longer ruled out"
#define HOMES ((unsigned)SG_AREA_RESIDENTIAL | (unsigned)SG_AREA_PURE_RESIDENTIAL)

/* row of Table 1, area, label; day A_u, A_o, A_r; night A_u, A_o, A_r. Day A_o of row 4: see the
 * disagreement below. */
#define TABLE_1(X)                                                                                 \
    X("1", "industrial", SG_AREA_INDUSTRIAL, 0.4, 6, 0.2, 0.3, 0.6, 0.15)                          \
    X("2", "mainly commercial", SG_AREA_COMMERCIAL, 0.3, 6, 0.15, 0.2, 0.4, 0.1)                   \
    X("3", "mixed", SG_AREA_MIXED, 0.2, 5, 0.1, 0.15, 0.3, 0.07)                                   \
    X("4", "residential", HOMES, 0.15, 3, 0.07, 0.1, 0.2, 0.05)                                    \
    X("5", "specially protected", SG_AREA_CARE, 0.1, 3, 0.05, 0.1, 0.15, 0.05)

#define DAY_ROW(n, name, bits, au, ao, ar, more_days, how, grade)                                  \
    { .id = "area-" n "-day", .label = name "; day", .uses = SG_ANY_USE, .areas = bits, ROOM,      \
      .period = SG_DAY, STEPS(au, ao, ar), .days_above = more_days,                                \
      CITE("din4150-2", "Table 1, row " n how, grade) }
#define NIGHT_ROW(n, name, bits, au, ao, ar, how, grade)                                           \
    { .id = "area-" n "-night", .label = name "; night", .uses = SG_ANY_USE, .areas = bits, ROOM,  \
      .period = SG_NIGHT, STEPS(au, ao, ar), CITE("din4150-2", "Table 1, row " n how, grade) }
#define BOTH(n, name, bits, au, ao, ar, nu, no, nr)                                                \
    DAY_ROW(n, name, bits, au, ao, ar, 0, "", SG_GRADE_SEEN),                                      \
        NIGHT_ROW(n, name, bits, nu, no, nr, "", SG_GRADE_SEEN),
/* the values of Table 1 were read; that they hold for construction work at night and over 78 days
 * is recalled */
#define AFTER_78(n, name, bits, au, ao, ar, nu, no, nr)                                            \
    DAY_ROW(n, name, bits, au, ao, ar, 78, " (over 78 days: recalled)", SG_GRADE_MEMORY_HIGH),     \
        NIGHT_ROW(n, name, bits, nu, no, nr, " (works at night: recalled)", SG_GRADE_MEMORY_HIGH),
#define RARE(n, name, bits, when, suffix, limit)                                                   \
    { .id = "rare-" n "-" suffix, .label = name ", rare short events; " suffix,                    \
      .uses = SG_ANY_USE, .areas = bits, ROOM, .period = when, FLAT(limit), .on_request = true,    \
      .effect = "considerable annoyance no longer ruled out",                                      \
      CITE("din4150-2", "Table 1, row " n ", rare short events", SG_GRADE_SEEN) }

static const struct sg_time_window windows[] = {
    { SG_WINDOW_DAY, 6, 22, SG_ALL_DAYS, NULL, 0, { "din4150-2", "T_r 16 h", SG_GRADE_SEEN } },
    { SG_WINDOW_NIGHT, 22, 6, SG_ALL_DAYS, NULL, 0, { "din4150-2", "T_r 8 h", SG_GRADE_SEEN } },
    { SG_WINDOW_REST, 6, 7, SG_WORKING_DAYS | SG_SATURDAY, NULL, 0,
      { "din4150-2", "rest hours", SG_GRADE_SEEN } },
    { SG_WINDOW_REST, 19, 22, SG_WORKING_DAYS | SG_SATURDAY, NULL, 0,
      { "din4150-2", "rest hours", SG_GRADE_SEEN } },
    { SG_WINDOW_REST, 6, 22, SG_HOLIDAY, NULL, 0, { "din4150-2", "rest hours", SG_GRADE_SEEN } },
};
#define KB                                                                                         \
    .frequency = SG_FREQUENCY_FILTER,                                                              \
    .reading = { .weighting = "KB", .tau_s = 0.125, .low_hz = 1, .high_hz = 80,                    \
                 .statistic = "largest KB_F; dose from the largest value of each 30 s",            \
                 .block_s = 30, .rating_day_h = 16, .rating_night_h = 8, .rest_weight = 2 },       \
    WINDOWS(windows), .rare_per_day = 3, .bridges = SG_BRIDGE_KB,                                  \
    .bridge_refused = "the document judges KB_F only; from a peak velocity it knows clause 7"

static const struct sg_limit_row area_row[] = {
    TABLE_1(BOTH)
    RARE("1", "industrial", SG_AREA_INDUSTRIAL, SG_DAY, "day", 6),
    RARE("2", "mainly commercial", SG_AREA_COMMERCIAL, SG_DAY, "day", 6),
    RARE("3", "mixed", SG_AREA_MIXED, SG_DAY, "day", 5),
    RARE("4", "residential", HOMES, SG_DAY, "day", 3),
    RARE("5", "specially protected", SG_AREA_CARE, SG_DAY, "day", 3),
    RARE("1", "industrial", SG_AREA_INDUSTRIAL, SG_NIGHT, "night", 0.6),
    RARE("2", "mainly commercial", SG_AREA_COMMERCIAL, SG_NIGHT, "night", 0.4),
    RARE("3", "mixed", SG_AREA_MIXED, SG_NIGHT, "night", 0.3),
    RARE("4", "residential", HOMES, SG_NIGHT, "night", 0.2),
    RARE("5", "specially protected", SG_AREA_CARE, SG_NIGHT, "night", 0.15),
    { .id = "blasting", .label = "blasting on construction sites", .purpose = SG_FOR_PEOPLE,
      WHOEVER, .position = SG_AT_FLOOR, .quantity = SG_Q_KBF_MAX, .axes = SG_AXES_LARGEST,
      NO_PILING, .other_sources = SG_OTHER_BLASTING, .period = SG_DAY, FLAT(8),
      .effect = "considerable annoyance no longer ruled out",
      CITE("din4150-2", "Table 1, construction-site blasting", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_din4150_2_table1 = {
    .id = "DIN4150-2-table1",
    .title = "DIN 4150-2, people in buildings, by area",
    .jurisdiction = "Germany",
    .document = "din4150-2",
    .edition = "1999, Table 1",
    .legal = "standard",
    USUAL_CHARACTER,
    KB,
    ROWS(area_row),
    DISAGREEMENTS("Day A_o of row 4 is printed as 0,3 in one reprint's road table; its own table of "
                  "rare events, both reprints' rail tables and memory have 3. 3 is used."),
    NOTES("At most A_u: kept. Over A_o: not kept. Between: kept when KB_FTr is at most A_r; rare "
          "short events (at most 3 a day) are held against A_o only.",
          "At the point of strongest vibration of the floor, the largest of three axes.",
          "Construction work in the daytime has a table of its own, DIN4150-2-construction.",
          "Surface urban rail: A_u and A_r times 1.5; rail at night A_o 0.6."),
};

/* Up to 1 day as read; 6 to 26 and 26 to 78 days are recalled; 2 to 6 days run linearly, which
 * gives 0.733 to 0.467 for stage I as the reprint prints it. */
#define STAGE_DAYS(ao, u1, r1, u26, r26, u78, r78)                                                 \
    .rule = SG_RULE_TWO_STEP, FLAT(u1), .upper_value = ao, .dose_value = r1,                       \
    .days = (const struct sg_days_piece[]){ { 0, 1, u1, ao, r1 },                                  \
                                            { 7, 26, u26, ao, r26 },                               \
                                            { 26, 78, u78, ao, r78 } },                            \
    .ndays = 3, .days_linear = true, .days_to = 78
#define STAGE(n, ...)                                                                              \
    STAGE_DAYS(__VA_ARGS__),                                                                       \
    CITE("din4150-2", "Table 2, stage " n " (columns from 6 days on recalled)",                    \
         SG_GRADE_MEMORY_HIGH)

static const struct sg_limit_row construction_row[] = {
    { .id = "stage-I", .label = "stage I; day", .uses = SG_ANY_USE, .areas = SG_ANY_AREA, ROOM,
      .period = SG_DAY, .effect = "serious annoyance possible without further measures",
      STAGE("I", 5, 0.8, 0.4, 0.4, 0.3, 0.3, 0.2) },
    { .id = "stage-II", .label = "stage II, with the measures; day", .uses = SG_ANY_USE,
      .areas = SG_ANY_AREA, ROOM, .period = SG_DAY, .on_request = true,
      .effect = "serious annoyance in spite of notice and measures",
      STAGE("II", 5, 1.2, 0.8, 0.8, 0.6, 0.6, 0.4) },
    { .id = "stage-III", .label = "stage III; day", .uses = SG_ANY_USE, .areas = SG_ANY_AREA, ROOM,
      .period = SG_DAY, .on_request = true,
      .effect = "unacceptable unless special measures are taken, such as relocation",
      STAGE("III", 5, 1.6, 1.2, 1.2, 1.0, 0.8, 0.6) },
    TABLE_1(AFTER_78)
    { .id = "stage-I-industrial", .label = "stage I, industrial and commercial areas; day",
      .uses = SG_ANY_USE, .areas = (unsigned)SG_AREA_INDUSTRIAL | (unsigned)SG_AREA_COMMERCIAL, ROOM,
      .period = SG_DAY, .on_request = true, STAGE_DAYS(6, 0.8, 0.4, 0.4, 0.3, 0.3, 0.2),
      .effect = "serious annoyance possible without further measures",
      CITE("din4150-2", "Table 2, A_o in industrial and commercial areas", SG_GRADE_MEMORY_MID) },
};

const struct sg_limit_set sg_limits_din4150_2_construction = {
    .id = "DIN4150-2-construction",
    .title = "DIN 4150-2, people in buildings, construction work",
    .jurisdiction = "Germany",
    .document = "din4150-2",
    .edition = "1999, Table 2; Table 1 at night and over 78 days",
    .legal = "standard",
    USUAL_CHARACTER,
    KB,
    ROWS(construction_row),
    .requires = SG_NEEDS_NOTICE | SG_NEEDS_MONITORING,
    DISAGREEMENTS("Day A_o of row 4 of Table 1 is printed as 0,3 in one reprint's road table; every "
                  "other table has 3. 3 is used."),
    NOTES("By the number of days with vibration near the receptor; the days of the whole wall are "
          "taken, which is the stricter. 2 to 6 days: straight line from 1 day to 7. Over 78 days "
          "and at night: Table 1, which goes by area.",
          "Stage I needs no prior notice. Stage II asks for notice, explanation, limited hours, a "
          "contact person, measurement and records. Above stage III the work is unacceptable "
          "without special measures (all recalled). Stage I is judged; II and III on request.",
          "Columns from 6 days on are recalled and unverified, and so is that Table 1 holds at night "
          "and over 78 days.",
          "A KB from a predicted peak velocity rests on an assumed c_F and is an estimate."),
};
