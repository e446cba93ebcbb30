/* australia_nz.c - New South Wales 2006, people; AS 2187.2-2006 Appendix J, blasting; the New Zealand
 * road agency's guide.
 */
#include "rows.h"

#define LAB ((unsigned)SG_USE_LABORATORY | (unsigned)SG_USE_HOSPITAL)
#define DESK ((unsigned)SG_USE_OFFICE | (unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_WORSHIP)
#define PEOPLE                                                                                     \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA,                       \
    .position = SG_AT_FLOOR, PLAIN
#define VDV(name, text, bits, when, preferred, maximum, how)                                       \
    { .id = name "-preferred", .label = text ", preferred", .uses = bits, PEOPLE,                  \
      .quantity = SG_Q_VDV, .axes = SG_AXES_LARGEST, .characters = EITHER, .rule = SG_RULE_DOSE,   \
      .period = when, FLAT(preferred), .effect = "above the preferred value",                      \
      CITE("nsw2006", "intermittent vibration, " text, how) },                                     \
    { .id = name "-maximum", .label = text ", maximum", .uses = bits, PEOPLE,                      \
      .quantity = SG_Q_VDV, .axes = SG_AXES_LARGEST, .characters = EITHER, .rule = SG_RULE_DOSE,   \
      .period = when, FLAT(maximum), .on_request = true, .effect = "above the maximum: negotiate", \
      CITE("nsw2006", "intermittent vibration, " text, how) }

static const struct sg_limit_row vdv_row[] = {
    VDV("critical", "critical areas", LAB, SG_ANY_TIME, 0.10, 0.20, SG_GRADE_SEEN),
    VDV("home-day", "residences; day", SG_USE_RESIDENTIAL, SG_DAY, 0.20, 0.40, SG_GRADE_SEEN),
    VDV("home-night", "residences; night", SG_USE_RESIDENTIAL, SG_NIGHT, 0.13, 0.26, SG_GRADE_SEEN),
    VDV("office", "offices, schools, worship", DESK, SG_ANY_TIME, 0.40, 0.80, SG_GRADE_SEEN),
    VDV("workshop", "workshops", SG_USE_INDUSTRY, SG_ANY_TIME, 0.80, 1.60, SG_GRADE_MEMORY_HIGH),
};
static const struct sg_time_window windows[] = {
    { SG_WINDOW_DAY, 7, 22, SG_ALL_DAYS, NULL, 0, { "nsw2006", "hours", SG_GRADE_MEMORY_HIGH } },
    { SG_WINDOW_NIGHT, 22, 7, SG_ALL_DAYS, NULL, 0, { "nsw2006", "hours", SG_GRADE_MEMORY_HIGH } },
};
#define NSW_NOTES                                                                                  \
    "Goals, not mandatory; no occupational, blasting or structural-damage coverage.",              \
        "Above the preferred value may be acceptable for temporary works; above the maximum: "     \
        "negotiate."

const struct sg_limit_set sg_limits_nsw_vdv = {
    .id = "NSW-2006-VDV",
    .title = "New South Wales, intermittent vibration, dose",
    .jurisdiction = "Australia, New South Wales",
    .document = "nsw2006",
    .edition = "2006",
    .legal = "guidance",
    .rows_are_levels = true,
    USUAL_CHARACTER,
    .frequency = SG_FREQUENCY_FILTER,
    .reading = { .weighting = "Wg", .low_hz = 1, .high_hz = 80,
                 .statistic = "fourth-power dose over the period", .rating_day_h = 15,
                 .rating_night_h = 9 },
    WINDOWS(windows),
    .bridge_refused = "the dose is on the Wg weighting of 1992, which is not carried here",
    ROWS(vdv_row),
    NOTES(NSW_NOTES),
};

#define RMS(name, text, bits, when, which, axis, preferred, maximum)                               \
    { .id = name "-" axis "-preferred", .label = text ", " axis ", preferred", .uses = bits,       \
      PEOPLE, .quantity = SG_Q_AW_RMS, .axes = which, .characters = CONTINUOUS, .period = when,    \
      FLAT(preferred), .effect = "above the preferred value",                                      \
      CITE("nsw2006", "continuous vibration, " text, SG_GRADE_MEMORY_HIGH) },                      \
    { .id = name "-" axis "-maximum", .label = text ", " axis ", maximum", .uses = bits, PEOPLE,   \
      .quantity = SG_Q_AW_RMS, .axes = which, .characters = CONTINUOUS, .period = when,            \
      FLAT(maximum), .on_request = true, .effect = "above the maximum: negotiate",                 \
      CITE("nsw2006", "continuous vibration, " text, SG_GRADE_MEMORY_HIGH) }
#define Z_XY(name, text, bits, when, zp, zm, xp, xm)                                               \
    RMS(name, text, bits, when, SG_AXES_VERTICAL, "vertical", zp, zm),                             \
        RMS(name, text, bits, when, SG_AXES_HORIZONTAL, "horizontal", xp, xm)

static const struct sg_limit_row rms_row[] = {
    Z_XY("critical", "critical areas", LAB, SG_ANY_TIME, 0.005, 0.010, 0.0036, 0.0072),
    Z_XY("home-day", "residences; day", SG_USE_RESIDENTIAL, SG_DAY, 0.010, 0.020, 0.0071, 0.014),
    Z_XY("home-night", "residences; night", SG_USE_RESIDENTIAL, SG_NIGHT, 0.007, 0.014, 0.005, 0.010),
    Z_XY("office", "offices, schools, worship", DESK, SG_ANY_TIME, 0.020, 0.040, 0.014, 0.028),
    Z_XY("workshop", "workshops", SG_USE_INDUSTRY, SG_ANY_TIME, 0.040, 0.080, 0.029, 0.058),
};

const struct sg_limit_set sg_limits_nsw_rms = {
    .id = "NSW-2006-RMS",
    .title = "New South Wales, continuous vibration, weighted rms",
    .jurisdiction = "Australia, New South Wales",
    .document = "nsw2006",
    .edition = "2006",
    .legal = "guidance",
    .rows_are_levels = true,
    USUAL_CHARACTER,
    .frequency = SG_FREQUENCY_FILTER,
    .reading = { .weighting = "Wg", .low_hz = 1, .high_hz = 80, .statistic = "weighted rms" },
    WINDOWS(windows),
    ROWS(rms_row),
    NOTES(NSW_NOTES, "All values of this table are recalled and unverified."),
};

#define BLAST(name, text, bits, limit)                                                             \
    .id = name, .label = text, .purpose = SG_FOR_PEOPLE, .classes = bits, .uses = SG_ANY_USE,      \
    .areas = SG_ANY_AREA, .position = SG_AT_FREE_FIELD, .quantity = SG_Q_PPV,                      \
    .axes = SG_AXES_LARGEST, NO_PILING, .other_sources = SG_OTHER_BLASTING,                        \
    .period = SG_ANY_TIME, FLAT(limit), .effect = "the blasting value is passed"

static const struct sg_limit_row as_row[] = {
    { BLAST("sensitive-95", "sensitive site, long or many blasts; 95 % of blasts", SG_ANY_CLASS, 5),
      .rule = SG_RULE_PERCENTILE, .percent = 5, CITE("as2187-2", "Appendix J", SG_GRADE_SEEN) },
    { BLAST("sensitive-max", "sensitive site, every blast", SG_ANY_CLASS, 10),
      CITE("as2187-2", "Appendix J", SG_GRADE_SEEN) },
    { BLAST("occupied", "occupied, not sensitive", SG_ANY_CLASS, 25),
      CITE("as2187-2", "Appendix J", SG_GRADE_MEMORY_HIGH) },
    { BLAST("unoccupied", "unoccupied, reinforced concrete or steel", SG_ANY_CLASS, 100),
      CITE("as2187-2", "Appendix J", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_as2187_2 = {
    .id = "AS2187-2",
    .title = "AS 2187.2 Appendix J, blasting only: not for piling",
    .jurisdiction = "Australia",
    .document = "as2187-2",
    .edition = "2006, Appendix J",
    .legal = "standard",
    .excluded = SG_ANY_TECHNIQUE,
    .excluded_why = "the document is about explosives",
    .by_choice = true,
    USUAL_CHARACTER,
    ROWS(as_row),
    NOTES("Listed to stop its misuse: limits for other sources lie well below blasting limits, "
          "because lasting vibration excites resonance.",
          "Other structures: the curve of BS 7385-2 (recalled).",
          "Longer than 12 months or more than 20 blasts: 5 mm/s for 95 %, 10 at most; else 10."),
};

#define NZ(name, text, where, bits, when, a, b)                                                    \
    { .id = name "-A", .label = text "; category A", .purpose = SG_FOR_PEOPLE,                     \
      .classes = SG_ANY_CLASS, .uses = bits, .areas = SG_ANY_AREA, .position = where,              \
      .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .characters = EITHER, PLAIN, .period = when,  \
      FLAT(a), .effect = "consult those affected",                                                 \
      CITE("nz-road", text, SG_GRADE_MEMORY_MID) },                                                \
    { .id = name "-B", .label = text "; category B", .purpose = SG_FOR_PEOPLE,                     \
      .classes = SG_ANY_CLASS, .uses = bits, .areas = SG_ANY_AREA, .position = where,              \
      .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .characters = EITHER, PLAIN, .period = when,  \
      FLAT(b), .on_request = true, .effect = "work goes on only with monitoring by an expert",     \
      CITE("nz-road", text, SG_GRADE_MEMORY_MID) }

static const struct sg_limit_row nz_row[] = {
    NZ("home-night", "occupied dwelling, night", SG_AT_FLOOR, SG_USE_RESIDENTIAL, SG_NIGHT, 0.3, 1),
    NZ("home-day", "occupied dwelling, day", SG_AT_FLOOR, SG_USE_RESIDENTIAL, SG_DAY, 1, 5),
    NZ("other", "other occupied building", SG_AT_FLOOR,
       DESK | (unsigned)SG_USE_INDUSTRY | LAB, SG_ANY_TIME, 2, 5),
};

const struct sg_limit_set sg_limits_nz_road = {
    .id = "NZ-ROAD",
    .title = "New Zealand, road works, vibration",
    .jurisdiction = "New Zealand",
    .document = "nz-road",
    .edition = "edition not stated",
    .legal = "guidance",
    USUAL_CHARACTER,
    ROWS(nz_row),
    NOTES("All values are recalled and unverified; what each category asks for is recalled too.",
          "Category A is judged, B on request. Unoccupied buildings: DIN 4150-3 and BS 5228-2."),
};
