/* france_spain_italy.c - French circular of 23 July 1986; UNE 22-381-93; UNI 9614 of 1990 and 2017. */
#include "rows.h"

#define RESISTANT ((unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED)
#define DELICATE ((unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE)
#define CIRCULAR(name, text, bits, kind, suffix, a, b, c)                                          \
    { .id = name "-" suffix, .label = text "; " suffix, .purpose = SG_FOR_DAMAGE, .classes = bits, \
      .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_FOUNDATION,                      \
      .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, .characters = kind,                           \
      .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME, .interpolation = SG_STEP,             \
      .below = SG_BELOW_NONE, .above_hz = 100, CURVE({ 4, a }, { 8, b }, { 30, c }),               \
      .effect = "damage no longer ruled out",                                                      \
      CITE("fr-circular1986", "limit table, " suffix, SG_GRADE_MEMORY_HIGH) }

/* mm/s from 4, from 8 and from 30 to 100 Hz */
static const struct sg_limit_row fr_row[] = {
    CIRCULAR("resistant", "resistant", RESISTANT, CONTINUOUS, "continuous", 5, 6, 8),
    CIRCULAR("sensitive", "sensitive", SG_ANY_HOUSE, CONTINUOUS, "continuous", 3, 5, 6),
    CIRCULAR("very-sensitive", "very sensitive", DELICATE, CONTINUOUS, "continuous", 2, 3, 4),
    CIRCULAR("resistant", "resistant", RESISTANT, SHORT_TERM, "impulsive", 8, 12, 15),
    CIRCULAR("sensitive", "sensitive", SG_ANY_HOUSE, SHORT_TERM, "impulsive", 6, 9, 12),
    CIRCULAR("very-sensitive", "very sensitive", DELICATE, SHORT_TERM, "impulsive", 4, 6, 9),
};

const struct sg_limit_set sg_limits_fr_1986 = {
    .id = "FR-1986",
    .title = "French circular on vibration from classified installations",
    .jurisdiction = "France",
    .document = "fr-circular1986",
    .edition = "23 July 1986",
    .legal = "guidance",
    .frequency = SG_FREQUENCY_AT_PEAK,
    .reading = { .low_hz = 4, .high_hz = 150, .statistic = "largest value of each component" },
    .short_up_to_per_min = 60,
    USUAL_CHARACTER,
    ROWS(fr_row),
    NOTES("Recalled and unverified; the lowest value, 2 mm/s, was read.",
          "Impulsive: few, more than 1 s apart, each shorter than 0.5 s. Faster repetition, and so "
          "vibratory driving and more than 60 blows a minute, counts as continuous.",
          "The class goes by construction, foundation and soil; here by building class only.",
          "Written for classified installations, used on sites by custom. Below 4 Hz it asks for a "
          "study of its own; above 100 Hz it has no value."),
};

/* flat to 15 Hz, at one displacement to 75 Hz (0.212, 0.095, 0.042 mm), flat above */
#define UNE(name, text, bits, low)                                                                 \
    { .id = name, .label = text, .purpose = SG_FOR_DAMAGE, .classes = bits, .uses = SG_ANY_USE,    \
      .areas = SG_ANY_AREA, .position = SG_AT_FOUNDATION, .quantity = SG_Q_PPV,                    \
      .axes = SG_AXES_LARGEST, .characters = EITHER, .techniques = SG_ANY_TECHNIQUE,               \
      .period = SG_ANY_TIME, .other_sources = SG_OTHER_BLASTING, .interpolation = SG_LINEAR,       \
      .below = SG_BELOW_NONE, CURVE({ 2, low }, { 15, low }, { 75, 5 * (low) }),                   \
      .effect = "damage no longer ruled out",                                                      \
      CITE("une22381", "group " name, SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_row une_row[] = {
    UNE("I", "industrial, reinforced concrete or steel", RESISTANT, 20),
    UNE("II", "dwellings, offices, schools", SG_ANY_HOUSE, 9),
    UNE("III", "archaeological, historic, delicate", DELICATE, 4),
};

const struct sg_limit_set sg_limits_une22381 = {
    .id = "UNE22381",
    .title = "UNE 22-381, vibration from blasting, used for sheet piles by custom",
    .jurisdiction = "Spain",
    .document = "une22381",
    .edition = "1993",
    .legal = "standard",
    .frequency = SG_FREQUENCY_AT_PEAK,
    USUAL_CHARACTER,
    ROWS(une_row),
    NOTES("Recalled and unverified. Written for blasting; used for sheet piling in Catalonia by "
          "custom only.",
          "From 15 to 75 Hz a displacement (0.212, 0.095, 0.042 mm) holds: the velocity grows with "
          "frequency. Below 2 Hz there is no value."),
};

#define PEOPLE                                                                                     \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA,                       \
    .position = SG_AT_FLOOR, .characters = EITHER, PLAIN, .effect = "disturbance"
#define WORK ((unsigned)SG_USE_OFFICE | (unsigned)SG_USE_INDUSTRY)

static const struct sg_limit_row uni2017_row[] = {
    { .id = "home-day", .label = "dwelling; day", .uses = SG_USE_RESIDENTIAL, PEOPLE,
      .quantity = SG_Q_AW_RMS, .axes = SG_AXES_LARGEST, .period = SG_DAY, FLAT(7.2e-3),
      CITE("uni9614-2017", "limits", SG_GRADE_MEMORY_MID) },
    { .id = "home-night", .label = "dwelling; night", .uses = SG_USE_RESIDENTIAL, PEOPLE,
      .quantity = SG_Q_AW_RMS, .axes = SG_AXES_LARGEST, .period = SG_NIGHT, FLAT(3.6e-3),
      CITE("uni9614-2017", "limits", SG_GRADE_MEMORY_MID) },
    { .id = "home-holiday", .label = "dwelling; day on Sundays and holidays",
      .uses = SG_USE_RESIDENTIAL, PEOPLE, .quantity = SG_Q_AW_RMS, .axes = SG_AXES_LARGEST,
      .period = SG_DAY, FLAT(5.4e-3), .on_request = true,
      CITE("uni9614-2017", "limits", SG_GRADE_MEMORY_MID) },
    { .id = "workplace", .label = "workplaces", .uses = WORK, PEOPLE, .quantity = SG_Q_AW_RMS,
      .axes = SG_AXES_LARGEST, .period = SG_ANY_TIME, FLAT(14e-3),
      CITE("uni9614-2017", "limits", SG_GRADE_MEMORY_MID) },
    { .id = "hospital", .label = "hospitals", .uses = SG_USE_HOSPITAL, PEOPLE,
      .quantity = SG_Q_AW_RMS, .axes = SG_AXES_LARGEST, .period = SG_ANY_TIME, FLAT(2.0e-3),
      CITE("uni9614-2017", "limits", SG_GRADE_MEMORY_MID) },
};

const struct sg_limit_set sg_limits_uni9614_2017 = {
    .id = "UNI9614-2017",
    .title = "UNI 9614, people in buildings",
    .jurisdiction = "Italy",
    .document = "uni9614-2017",
    .edition = "2017",
    .legal = "standard",
    .frequency = SG_FREQUENCY_FILTER,
    .reading = { .weighting = "Wm", .tau_s = 1, .low_hz = 1, .high_hz = 80,
                 .statistic = "mean + 1.8 standard deviations of the maxima of 15 events or more, "
                              "residual vibration taken off in squares" },
    USUAL_CHARACTER,
    ROWS(uni2017_row),
    NOTES("All values are recalled and unverified.",
          "Not retroactive to sources or permits before its date. Not for sensitive equipment and "
          "not for damage; UNI 9916:2014 adopts the tables of DIN 4150-3 for that (recalled)."),
};

#define LEVEL(name, text, when, which, limit)                                                      \
    { .id = name, .label = text, .uses = SG_USE_RESIDENTIAL, PEOPLE, .quantity = SG_Q_LAW_ISO,     \
      .axes = which, .period = when, FLAT(limit),                                                  \
      CITE("uni9614-1990", "limits", SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_row uni1990_row[] = {
    LEVEL("home-day-horizontal", "dwelling, x and y; day", SG_DAY, SG_AXES_HORIZONTAL, 77),
    LEVEL("home-day-vertical", "dwelling, z; day", SG_DAY, SG_AXES_VERTICAL, 77 + 3),
    LEVEL("home-night-horizontal", "dwelling, x and y; night", SG_NIGHT, SG_AXES_HORIZONTAL, 74),
    LEVEL("home-night-vertical", "dwelling, z; night", SG_NIGHT, SG_AXES_VERTICAL, 74 + 3),
};

const struct sg_limit_set sg_limits_uni9614_1990 = {
    .id = "UNI9614-1990",
    .title = "UNI 9614 of 1990, people in buildings",
    .jurisdiction = "Italy",
    .document = "uni9614-1990",
    .edition = "1990",
    .legal = "standard",
    .status = SG_SET_SUPERSEDED,
    .frequency = SG_FREQUENCY_FILTER,
    .reading = { .weighting = "of the 1990 edition", .reference = 1e-6, .reference_unit = "m/s2",
                 .low_hz = 1, .high_hz = 80, .statistic = "weighted rms level" },
    USUAL_CHARACTER,
    ROWS(uni1990_row),
    NOTES("Recalled and unverified; replaced in 2017, and the later edition is not retroactive."),
};
