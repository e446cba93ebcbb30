/* bs6472.c - BS 6472-1:2008, vibration dose of people in buildings (Table 1); BS 6472-2:2008,
 * blasting, listed to stop its misuse.
 */
#include "rows.h"

#define DOSE                                                                                       \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA,                       \
    .position = SG_AT_FLOOR, .quantity = SG_Q_VDV, .axes = SG_AXES_LARGEST, .characters = EITHER,  \
    PLAIN, .rule = SG_RULE_DOSE
#define SCALE(place, text, bits, when, part, low, grade)                                           \
    { .id = place "-unlikely", .label = text ", adverse comment not expected below; " part, DOSE,  \
      .uses = bits, .period = when, FLAT(low), .on_request = true,                                 \
      .effect = "low probability of adverse comment",                                              \
      CITE("bs6472-1", "Table 1, " text ", " part, grade) },                                       \
    { .id = place "-possible", .label = text ", adverse comment possible above; " part, DOSE,      \
      .uses = bits, .period = when, FLAT(2 * (low)), .effect = "adverse comment possible",         \
      CITE("bs6472-1", "Table 1, " text ", " part, grade) },                                       \
    { .id = place "-probable", .label = text ", adverse comment probable above; " part, DOSE,      \
      .uses = bits, .period = when, FLAT(4 * (low)), .on_request = true,                           \
      .effect = "adverse comment probable",                                                        \
      CITE("bs6472-1", "Table 1, " text ", " part, grade) },                                       \
    { .id = place "-very-likely", .label = text ", adverse comment very likely above; " part,      \
      DOSE, .uses = bits, .period = when, FLAT(8 * (low)), .on_request = true,                     \
      .effect = "adverse comment very likely",                                                     \
      CITE("bs6472-1", "Table 1, " text ", " part, grade) }

/* lowest value of each scale, m/s^1.75; the next steps are 2, 4 and 8 times it */
static const struct sg_limit_row row[] = {
    SCALE("home-day", "residential", SG_USE_RESIDENTIAL, SG_DAY, "day", 0.2, SG_GRADE_SEEN),
    SCALE("home-night", "residential", SG_USE_RESIDENTIAL, SG_NIGHT, "night", 0.1, SG_GRADE_SEEN),
    SCALE("office", "offices (twice the day values)", SG_USE_OFFICE, SG_DAY, "day", 2 * 0.2,
          SG_GRADE_MEMORY_HIGH),
    SCALE("workshop", "workshops (four times the day values)", SG_USE_INDUSTRY, SG_DAY, "day",
          4 * 0.2, SG_GRADE_MEMORY_HIGH),
};

static const struct sg_time_window windows[] = {
    { SG_WINDOW_DAY, 7, 23, SG_ALL_DAYS, NULL, 0, { "bs6472-1", "Table 1, 16 h day", SG_GRADE_SEEN } },
    { SG_WINDOW_NIGHT, 23, 7, SG_ALL_DAYS, NULL, 0,
      { "bs6472-1", "Table 1, 8 h night", SG_GRADE_SEEN } },
};

const struct sg_limit_set sg_limits_bs6472_1 = {
    .id = "BS6472-1-2008",
    .title = "BS 6472-1, vibration dose of people in buildings",
    .jurisdiction = "United Kingdom",
    .document = "bs6472-1",
    .edition = "2008, Table 1",
    .legal = "standard",
    .rows_are_levels = true,
    USUAL_CHARACTER,
    .frequency = SG_FREQUENCY_FILTER,
    .reading = { .weighting = "Wb vertical, Wd horizontal", .low_hz = 0.5, .high_hz = 80,
                 .statistic = "fourth-power dose over the period", .rating_day_h = 16,
                 .rating_night_h = 8 },
    WINDOWS(windows),
    .bridges = SG_BRIDGE_VDV,
    .bridge_refused = "the dose is a fourth-power sum; an eVDV from an rms value underestimates "
                      "above a crest factor of about 6 (1992 edition) and will not do for impacts",
    ROWS(row),
    NOTES("A scale of ranges. The start of 'adverse comment possible' is taken as the limit here.",
          "Axis with the highest dose; axes are not combined. Where vibration enters the person, "
          "normally the middle of an occupied floor (recalled).",
          "Critical working areas are outside the document; blasting has a part of its own.",
          "Half the amplitude gives the same dose in 16 times the time."),
};

#define BLAST(name, text, bits, when, limit)                                                       \
    { .id = name, .label = text, .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .uses = bits,  \
      .areas = SG_ANY_AREA, .position = SG_AT_FOUNDATION, .quantity = SG_Q_PPV,                    \
      .axes = SG_AXES_LARGEST, NO_PILING, .other_sources = SG_OTHER_BLASTING, .period = when,      \
      FLAT(limit), .effect = "blasting no longer satisfactory",                                    \
      CITE("bs6472-2", "satisfactory magnitudes, up to 3 blasts a day", SG_GRADE_MEMORY_MID) }

static const struct sg_limit_row blast_row[] = {
    BLAST("home-day", "residential, day (6 mm/s of 6 to 10)", SG_USE_RESIDENTIAL, SG_DAY, 6),
    BLAST("home-other", "residential, other times", SG_USE_RESIDENTIAL, SG_EVENING, 4.5),
    BLAST("home-night", "residential, night", SG_USE_RESIDENTIAL, SG_NIGHT, 2),
    BLAST("office", "offices", SG_USE_OFFICE, SG_ANY_TIME, 14),
    BLAST("workshop", "workshops", SG_USE_INDUSTRY, SG_ANY_TIME, 14),
};

const struct sg_limit_set sg_limits_bs6472_2 = {
    .id = "BS6472-2-2008",
    .title = "BS 6472-2, blasting only: not for piling",
    .jurisdiction = "United Kingdom",
    .document = "bs6472-2",
    .edition = "2008",
    .legal = "standard",
    .excluded = SG_ANY_TECHNIQUE,
    .excluded_why = "the document is about blasting",
    .by_choice = true,
    USUAL_CHARACTER,
    ROWS(blast_row),
    NOTES("Listed to stop its misuse: blasting only, do not apply it to piling.",
          "All values are recalled and unverified. More than 3 blasts a day lower them."),
};
