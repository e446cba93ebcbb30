/* japan.c - Japan, Noise and Vibration Regulation Acts: specified construction work at the boundary. */
#include "rows.h"

#define BOUNDARY                                                                                   \
    .classes = SG_ANY_CLASS, .uses = SG_ANY_USE, .areas = SG_ANY_AREA, .position = SG_AT_BOUNDARY, \
    .characters = EITHER, .techniques = SG_ANY_TECHNIQUE, .period = SG_ANY_TIME,                   \
    .interpolation = SG_LINEAR, .below = SG_BELOW_EXTEND,                                          \
    .effect = "the authority may ask for improvement"
#define HOURS                                                                                      \
    "Night work is barred: 19-07 (zone 1), 22-06 (zone 2); no Sundays and holidays; at most 10 h "  \
    "(zone 1) or 14 h (zone 2) a day and 6 days running. In designated areas only."

/* barred 19-07 in zone 1 and 22-06 in zone 2; hours a day and days running as in HOURS */
#define ZONES(key, how, grade)                                                                     \
    { SG_WINDOW_PERMITTED, 7, 19, SG_WORKING_DAYS | SG_SATURDAY, "1", 10,                          \
      { key, "hours, zone 1" how, grade } },                                                       \
    { SG_WINDOW_PERMITTED, 6, 22, SG_WORKING_DAYS | SG_SATURDAY, "2", 14,                          \
      { key, "hours, zone 2" how, grade } }
static const struct sg_time_window noise_window[] = { ZONES("jp-noise-act", "", SG_GRADE_SEEN) };
/* of the vibration act only the barred night and the six days were read */
static const struct sg_time_window vibration_window[] = {
    ZONES("jp-vibration-act", " (hours a day, Sundays recalled)", SG_GRADE_MEMORY_HIGH)
};

static const struct sg_limit_row noise_row[] = {
    { .id = "boundary", .label = "site boundary", .purpose = SG_FOR_NOISE, BOUNDARY,
      .quantity = SG_Q_LAFMAX, .axes = SG_AXES_NONE, FLAT(85),
      CITE("jp-noise-act", "specified construction work, level at the boundary", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_jp_noise_85 = {
    .id = "JP-NOISE-85",
    .title = "Japan, noise of specified construction work",
    .jurisdiction = "Japan",
    .document = "jp-noise-act",
    .edition = "1968, as amended",
    .legal = "statute",
    .excluded = SG_ANY_PRESS_IN,
    .excluded_why = "the act's list leaves out press-in drivers and drivers used with an earth auger",
    USUAL_CHARACTER,
    WINDOWS(noise_window),
    .consecutive_days = 6,
    .requires = SG_NEEDS_NOTICE,
    ROWS(noise_row),
    NOTES("The act reads steady, intermittent and irregular noise in different ways; the largest fast "
          "level is judged here, which is not below any of them.",
          HOURS, "Being outside the act is no statement that the noise is acceptable."),
};

static const struct sg_limit_row vibration_row[] = {
    { .id = "boundary", .label = "site boundary", .purpose = SG_FOR_PEOPLE, BOUNDARY,
      .quantity = SG_Q_VL_JP, .axes = SG_AXES_VERTICAL, FLAT(75),
      CITE("jp-vibration-act", "specified construction work, level at the boundary",
           SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_jp_vib_75 = {
    .id = "JP-VIB-75",
    .title = "Japan, vibration of specified construction work",
    .jurisdiction = "Japan",
    .document = "jp-vibration-act",
    .edition = "1976, as amended",
    .legal = "statute",
    .excluded = SG_ANY_PRESS_IN,
    .excluded_why = "the act's list leaves out press-in drivers",
    USUAL_CHARACTER,
    .frequency = SG_FREQUENCY_FILTER,
    .reading = { .weighting = "vertical, JIS C 1510", .reference = 1e-5, .reference_unit = "m/s2",
                 .tau_s = 0.63, .low_hz = 1, .high_hz = 80,
                 .statistic = "steady: the value; intermittent: mean of the maxima; irregular: L10 "
                              "of 100 readings at 5 s" },
    WINDOWS(vibration_window),
    .consecutive_days = 6,
    .requires = SG_NEEDS_NOTICE,
    .bridges = SG_BRIDGE_VL,
    ROWS(vibration_row),
    NOTES("Weighted vertical level re 1e-5 m/s2, time constant 0.63 s; the ISO reference is 1e-6, "
          "20 dB apart.",
          HOURS, "Being outside the act is no statement that the vibration is acceptable."),
};
