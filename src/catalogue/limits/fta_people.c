/* fta_people.c - US Federal Transit Administration, 2018: annoyance (Table 6-3), ground-borne noise,
 * special buildings, construction noise. Levels re 1 microinch per second rms.
 */
#include "rows.h"

#define SLEEP ((unsigned)SG_USE_RESIDENTIAL | (unsigned)SG_USE_HOSPITAL)
#define DAYTIME                                                                                    \
    ((unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_WORSHIP | (unsigned)SG_USE_OFFICE)
#define LEVEL                                                                                      \
    .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA,                       \
    .position = SG_AT_FREE_FIELD, .quantity = SG_Q_LV_US, .axes = SG_AXES_VERTICAL,                \
    .characters = EITHER, PLAIN, .period = SG_ANY_TIME, .other_sources = SG_OTHER_RAIL,            \
    .effect = "annoyance"
#define T63(n, text, bits, frequent, occasional, infrequent)                                       \
    { .id = n "-frequent", .label = text "; frequent events", .uses = bits, LEVEL,                 \
      FLAT(frequent), CITE("fta2018", "Table 6-3, category " n, SG_GRADE_SEEN) },                  \
    { .id = n "-occasional", .label = text "; 30 to 70 events a day", .uses = bits, LEVEL,         \
      FLAT(occasional), .on_request = true,                                                        \
      CITE("fta2018", "Table 6-3, category " n, SG_GRADE_MEMORY_HIGH) },                           \
    { .id = n "-infrequent", .label = text "; under 30 events a day", .uses = bits, LEVEL,         \
      FLAT(infrequent), .on_request = true,                                                        \
      CITE("fta2018", "Table 6-3, category " n, SG_GRADE_SEEN) }
#define ROOM(name, text, bits, limit, how)                                                         \
    { .id = name, .label = text, .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .uses = bits,   \
      .areas = SG_ANY_AREA, .position = SG_AT_ROOM, .quantity = SG_Q_LP_GROUND,                    \
      .axes = SG_AXES_NONE, .characters = EITHER, PLAIN, .period = SG_ANY_TIME, FLAT(limit),       \
      .on_request = true, .other_sources = SG_OTHER_RAIL, .effect = "annoyance",                   \
      CITE("fta2018", "Table 6-3, ground-borne noise", how) }

static const struct sg_limit_row row[] = {
    T63("1", "high sensitivity", SG_USE_LABORATORY, 65, 65, 65),
    T63("2", "where people sleep", SLEEP, 72, 75, 80),
    T63("3", "institutional, daytime", DAYTIME, 75, 78, 83),
    { .id = "concert", .label = "concert hall, television or recording studio",
      .uses = SG_ANY_USE, LEVEL, FLAT(65), .on_request = true,
      CITE("fta2018", "special buildings", SG_GRADE_MEMORY_HIGH) },
    { .id = "theatre-frequent", .label = "theatre, auditorium; frequent events",
      .uses = SG_ANY_USE, LEVEL, FLAT(72), .on_request = true,
      CITE("fta2018", "special buildings", SG_GRADE_MEMORY_HIGH) },
    { .id = "theatre-infrequent", .label = "theatre, auditorium; infrequent events",
      .uses = SG_ANY_USE, LEVEL, FLAT(80), .on_request = true,
      CITE("fta2018", "special buildings", SG_GRADE_MEMORY_HIGH) },
    ROOM("noise-2-frequent", "ground-borne noise, where people sleep; frequent", SLEEP, 35,
         SG_GRADE_SEEN),
    ROOM("noise-2-occasional", "ground-borne noise, where people sleep; occasional", SLEEP, 38,
         SG_GRADE_MEMORY_HIGH),
    ROOM("noise-2-infrequent", "ground-borne noise, where people sleep; infrequent", SLEEP, 43,
         SG_GRADE_SEEN),
    ROOM("noise-3-frequent", "ground-borne noise, institutional; frequent", DAYTIME, 40,
         SG_GRADE_SEEN),
    ROOM("noise-3-occasional", "ground-borne noise, institutional; occasional", DAYTIME, 43,
         SG_GRADE_MEMORY_HIGH),
    ROOM("noise-3-infrequent", "ground-borne noise, institutional; infrequent", DAYTIME, 48,
         SG_GRADE_SEEN),
};

const struct sg_limit_set sg_limits_fta_annoyance = {
    .id = "FTA-ANNOYANCE",
    .title = "United States, vibration annoyance criteria",
    .jurisdiction = "United States",
    .document = "fta2018",
    .edition = "2018, Table 6-3",
    .legal = "guidance",
    .reading = { .weighting = "none", .reference = 1e-6, .reference_unit = "in/s", .tau_s = 1,
                 .statistic = "largest 1 s rms" },
    ALL_CONTINUOUS,
    .bridges = SG_BRIDGE_LV,
    ROWS(row),
    NOTES("Intended for trains; for piling by analogy. Blows and vibration are far more than 70 events "
          "a day: the frequent column is judged, the others on request.",
          "On the ground or the floor, vertical dominant; compared on the ground here, and a floor "
          "may move more.",
          "VdB re 1e-6 in/s: 28.1 dB below the level re 1e-9 m/s of the same velocity."),
};

/* day 07-22, night 22-07, as the hours of Ldn; a value for any time is over the worst such time */
#define DAYTIME_H .from_h = 7, .to_h = 22
#define NIGHT_H .from_h = 22, .to_h = 7
#define ALWAYS_H .from_h = 0, .to_h = 24
#define NOISE(name, text, bits, when, hours, limit, clock)                                         \
    { .id = name, .label = text, .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .uses = bits,   \
      .areas = SG_ANY_AREA, .position = SG_AT_FREE_FIELD, .quantity = SG_Q_LAEQ,                   \
      .axes = SG_AXES_NONE, .characters = EITHER, PLAIN, .period = when, .averaging_h = hours,     \
      FLAT(limit), clock, .effect = "adverse community reaction",                                  \
      CITE("fta2018", "construction noise, " text, SG_GRADE_MEMORY_HIGH) }
#define LDN(name, text, bits, limit)                                                               \
    { .id = name, .label = text, .purpose = SG_FOR_NOISE, .classes = SG_ANY_CLASS, .uses = bits,   \
      .areas = SG_ANY_AREA, .position = SG_AT_FREE_FIELD, .quantity = SG_Q_LDN,                    \
      .axes = SG_AXES_NONE, .characters = EITHER, PLAIN, .period = SG_ANY_TIME, FLAT(limit),       \
      ALWAYS_H, .effect = "adverse community reaction",                                                      \
      CITE("fta2018", "construction noise, " text, SG_GRADE_MEMORY_HIGH) }
#define HOMES                                                                                      \
    (SLEEP | (unsigned)SG_USE_SCHOOL | (unsigned)SG_USE_WORSHIP)
#define TRADE ((unsigned)SG_USE_OFFICE)
#define PLANT ((unsigned)SG_USE_INDUSTRY)

static const struct sg_limit_row noise_row[] = {
    NOISE("home-day", "residential, detailed, 8 h; day", HOMES, SG_DAY, 8, 80, DAYTIME_H),
    NOISE("home-night", "residential, detailed, 8 h; night", HOMES, SG_NIGHT, 8, 70, NIGHT_H),
    NOISE("trade", "commercial, detailed, 8 h", TRADE, SG_ANY_TIME, 8, 85, ALWAYS_H),
    NOISE("plant", "industrial, detailed, 8 h", PLANT, SG_ANY_TIME, 8, 90, ALWAYS_H),
    LDN("home-ldn", "residential, 30-day average", HOMES, 75),
    LDN("trade-ldn", "commercial, 30-day average", TRADE, 80),
    LDN("plant-ldn", "industrial, 30-day average", PLANT, 85),
};

static const struct sg_limit_row general_row[] = {
    NOISE("home-day", "residential, general, 1 h; day", HOMES, SG_DAY, 1, 90, DAYTIME_H),
    NOISE("home-night", "residential, general, 1 h; night", HOMES, SG_NIGHT, 1, 80, NIGHT_H),
    NOISE("trade", "commercial, general, 1 h", TRADE, SG_ANY_TIME, 1, 100, ALWAYS_H),
    NOISE("plant", "industrial, general, 1 h", PLANT, SG_ANY_TIME, 1, 100, ALWAYS_H),
};

const struct sg_limit_set sg_limits_fta_noise_general = {
    .id = "FTA-NOISE-GENERAL",
    .title = "United States, construction noise, general assessment",
    .jurisdiction = "United States",
    .document = "fta2018",
    .edition = "2018, construction noise, general assessment",
    .legal = "guidance",
    .rating = "fta-general",
    USUAL_CHARACTER,
    ROWS(general_row),
    NOTES("All values are recalled and unverified. Day 07-22, night 22-07, by the hours of Ldn.",
          "Held against the two noisiest machines, at work all the time over hard ground and without "
          "screens, not by octave bands, 1 h. The document takes them at the middle of the site; "
          "here they stand at the pile that is nearest, which is not less.",
          "Schools, hospitals and places of worship are taken with residential."),
};

const struct sg_limit_set sg_limits_fta_noise = {
    .id = "FTA-NOISE",
    .title = "United States, construction noise criteria",
    .jurisdiction = "United States",
    .document = "fta2018",
    .edition = "2018, construction noise",
    .legal = "guidance",
    USUAL_CHARACTER,
    ROWS(noise_row),
    NOTES("All values are recalled and unverified. Day 07-22, night 22-07, by the hours of Ldn. The "
          "detailed 8 h values and the 30-day averages "
          "of Ldn (07-22, 22-07; days without work counted in) are judged here, the general 1 h values "
          "in FTA-NOISE-GENERAL.",
          "Schools, hospitals and places of worship are taken with residential."),
};
