/* vibration_criteria.c - generic vibration criteria for sensitive rooms; ISO 2631-2:1989 base curves
 * with the multipliers repeated in ISO 10137:2007, Annex C. Band by band, in third octaves.
 */
#include "rows.h"

#define BAND                                                                                       \
    .classes = SG_ANY_CLASS, .areas = SG_ANY_AREA, .position = SG_AT_FLOOR, .rule = SG_RULE_BANDS, \
    .characters = EITHER, .techniques = SG_ANY_TECHNIQUE
/* flat from 8 to 80 Hz; from 4 to 8 Hz at one acceleration: twice the value at 4 Hz */
#define FROM_8_HZ(um_s)                                                                            \
    .interpolation = SG_LOG_LOG, .below = SG_BELOW_NONE, .above_hz = 80,                           \
    CURVE({ 4, 2e-3 * (um_s) }, { 8, 1e-3 * (um_s) })
#define FROM_1_HZ(um_s)                                                                            \
    .interpolation = SG_LINEAR, .below = SG_BELOW_NONE, .above_hz = 80,                            \
    CURVE({ 1, 1e-3 * (um_s) }, { 80, 1e-3 * (um_s) })
#define VC(name, text, bits, when, what, shape, asked)                                             \
    { .id = name, .label = text, .purpose = what, .uses = bits, BAND, .quantity = SG_Q_V_RMS_BAND, \
      .axes = SG_AXES_LARGEST, .period = when, shape, .on_request = asked,                         \
      .effect = "criterion passed in a band",                                                      \
      CITE("generic-criteria", name, SG_GRADE_MEMORY_HIGH) }
#define LAB SG_FOR_EQUIPMENT

/* um/s rms in each third octave */
static const struct sg_limit_row vc_row[] = {
    VC("workshop", "workshop", SG_USE_INDUSTRY, SG_ANY_TIME, SG_FOR_PEOPLE, FROM_8_HZ(800), false),
    VC("office", "office", SG_USE_OFFICE, SG_ANY_TIME, SG_FOR_PEOPLE, FROM_8_HZ(400), false),
    VC("residential-day", "residential, day", SG_USE_RESIDENTIAL, SG_DAY, SG_FOR_PEOPLE,
       FROM_8_HZ(200), false),
    VC("residential-night", "residential, night", SG_USE_RESIDENTIAL, SG_NIGHT, SG_FOR_PEOPLE,
       FROM_8_HZ(100), false),
    VC("operating-theatre", "operating theatre", SG_USE_HOSPITAL, SG_ANY_TIME, LAB, FROM_8_HZ(100),
       false),
    VC("VC-A", "curve A", SG_USE_LABORATORY, SG_ANY_TIME, LAB, FROM_8_HZ(50), false),
    VC("VC-B", "curve B", SG_USE_LABORATORY, SG_ANY_TIME, LAB, FROM_8_HZ(25), true),
    VC("VC-C", "curve C", SG_USE_LABORATORY, SG_ANY_TIME, LAB, FROM_1_HZ(12.5), true),
    VC("VC-D", "curve D", SG_USE_LABORATORY, SG_ANY_TIME, LAB, FROM_1_HZ(6.25), true),
    VC("VC-E", "curve E", SG_USE_LABORATORY, SG_ANY_TIME, LAB, FROM_1_HZ(3.12), true),
    VC("VC-F", "curve F", SG_USE_LABORATORY, SG_ANY_TIME, LAB, FROM_1_HZ(1.56), true),
    VC("VC-G", "curve G", SG_USE_LABORATORY, SG_ANY_TIME, LAB, FROM_1_HZ(0.78), true),
    /* 0.025 um rms from 1 to 20 Hz, then a velocity */
    { .id = "NIST-A", .label = "curve of a constant displacement of 0.025 um to 20 Hz",
      .purpose = SG_FOR_EQUIPMENT, .uses = SG_USE_LABORATORY, BAND, .quantity = SG_Q_V_RMS_BAND,
      .axes = SG_AXES_LARGEST, .period = SG_ANY_TIME, .interpolation = SG_LINEAR,
      .below = SG_BELOW_DISPLACEMENT, .below_displacement_mm = 0.025e-3,
      .below_grade = SG_GRADE_MEMORY_HIGH, .above_hz = 100, CURVE({ 20, 3.12e-3 }, { 100, 3.12e-3 }),
      .on_request = true, .effect = "criterion passed in a band",
      CITE("generic-criteria", "NIST-A", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_vc = {
    .id = "VC",
    .title = "Generic vibration criteria for sensitive rooms",
    .jurisdiction = "international practice",
    .document = "generic-criteria",
    .edition = "as tabled for laboratories",
    .legal = "guidance",
    .frequency = SG_FREQUENCY_BANDS,
    .reading = { .weighting = "none", .low_hz = 1, .high_hz = 80,
                 .statistic = "rms velocity in each third octave, each axis; of a short event the "
                              "largest 1 s average" },
    USUAL_CHARACTER,
    .bridge_refused = "the whole spectrum is compared band by band; a peak with one frequency will "
                      "not do",
    ROWS(vc_row),
    .requires = SG_NEEDS_OWNER,
    DISAGREEMENTS("One table prints levels of 98, 92, 84, 80, 74, 68, 60, 56 dB beside workshop to "
                  "curve D without their reference: they are re 1e-8 m/s (98.2, 92.2, 86.2, 80.1, "
                  "74.1, 68.1, 62.1, 56.1), and its 84 and 60 are misprints. The velocities are used."),
    NOTES("The maker's own curve overrides. If the equipment is not known, curve A is judged for "
          "laboratories, and the stricter curves on request.",
          "um/s recalled and unverified; the same table in microinch per second was read and agrees.",
          "Framed for steady vibration: say how the average was taken. Curves H to M are for "
          "evaluation only and are not listed."),
};

/* Base curves of 1989, rms acceleration: z 1e-2 m/s2 at 1 Hz, 5e-3 from 4 to 8 Hz, 5e-2 at 80 Hz;
 * x and y 3.6e-3 to 2 Hz, then growing with f. */
#define BASE_Z(m)                                                                                  \
    .axes = SG_AXES_VERTICAL,                                                                      \
    CURVE({ 1, 1e-2 * (m) }, { 4, 5e-3 * (m) }, { 8, 5e-3 * (m) }, { 80, 5e-2 * (m) })
#define BASE_XY(m)                                                                                 \
    .axes = SG_AXES_HORIZONTAL,                                                                    \
    CURVE({ 1, 3.6e-3 * (m) }, { 2, 3.6e-3 * (m) }, { 80, 40 * 3.6e-3 * (m) })
#define ONE(name, text, bits, when, kind, curve, asked)                                            \
    { .id = name, .label = text, .purpose = SG_FOR_PEOPLE, .classes = SG_ANY_CLASS, .uses = bits,  \
      .areas = SG_ANY_AREA, .position = SG_AT_FLOOR, .rule = SG_RULE_BANDS, .characters = kind,    \
      .techniques = SG_ANY_TECHNIQUE, .quantity = SG_Q_A_RMS_BAND, .period = when,                 \
      .interpolation = SG_LOG_LOG, .below = SG_BELOW_NONE, .above_hz = 80, curve,                  \
      .on_request = asked, .effect = "adverse comment possible",                                   \
      CITE("iso2631-2-1989", "base curves, multipliers repeated in ISO 10137:2007, Annex C",       \
           SG_GRADE_MEMORY_HIGH) }
#define PAIR(name, text, bits, when, kind, m, asked)                                               \
    ONE(name "-z", text ", z", bits, when, kind, BASE_Z(m), asked),                                \
        ONE(name "-xy", text ", x and y", bits, when, kind, BASE_XY(m), asked)
#define CRITICAL ((unsigned)SG_USE_LABORATORY | (unsigned)SG_USE_HOSPITAL)

static const struct sg_limit_row iso_row[] = {
    PAIR("critical", "critical; multiplier 1", CRITICAL, SG_ANY_TIME, EITHER, 1, false),
    PAIR("home-day-continuous", "residential, day, continuous; 2 of 2 to 4", SG_USE_RESIDENTIAL,
         SG_DAY, CONTINUOUS, 2, false),
    PAIR("home-day-continuous-upper", "residential, day, continuous; 4", SG_USE_RESIDENTIAL, SG_DAY,
         CONTINUOUS, 4, true),
    PAIR("home-day-transient", "residential, day, transient; 30 of 30 to 90", SG_USE_RESIDENTIAL,
         SG_DAY, SHORT_TERM, 30, false),
    PAIR("home-day-transient-upper", "residential, day, transient; 90", SG_USE_RESIDENTIAL, SG_DAY,
         SHORT_TERM, 90, true),
    PAIR("home-night", "residential, night; 1.4", SG_USE_RESIDENTIAL, SG_NIGHT, EITHER, 1.4, false),
    PAIR("home-night-transient-upper", "residential, night, transient; 20", SG_USE_RESIDENTIAL,
         SG_NIGHT, SHORT_TERM, 20, true),
    PAIR("quiet-office", "quiet or open-plan office; 2", SG_USE_OFFICE, SG_ANY_TIME, CONTINUOUS, 2,
         true),
    PAIR("office-continuous", "office, continuous; 4", SG_USE_OFFICE, SG_ANY_TIME, CONTINUOUS, 4,
         false),
    PAIR("office-transient", "office, transient; 60 of 60 to 128", SG_USE_OFFICE, SG_ANY_TIME,
         SHORT_TERM, 60, false),
    PAIR("office-transient-upper", "office, transient; 128", SG_USE_OFFICE, SG_ANY_TIME, SHORT_TERM,
         128, true),
    PAIR("workshop-continuous", "workshop, continuous; 8", SG_USE_INDUSTRY, SG_ANY_TIME, CONTINUOUS,
         8, false),
    PAIR("workshop-transient", "workshop, transient; 90 of 90 to 128", SG_USE_INDUSTRY, SG_ANY_TIME,
         SHORT_TERM, 90, false),
    PAIR("workshop-transient-upper", "workshop, transient; 128", SG_USE_INDUSTRY, SG_ANY_TIME,
         SHORT_TERM, 128, true),
};

const struct sg_limit_set sg_limits_iso2631_2_1989 = {
    .id = "ISO2631-2-1989",
    .title = "ISO 2631-2:1989 base curves with multipliers",
    .jurisdiction = "international",
    .document = "iso2631-2-1989",
    .edition = "1989; the limits were taken out in 2003; multipliers repeated in ISO 10137:2007",
    .legal = "standard",
    .status = SG_SET_SUPERSEDED,
    .frequency = SG_FREQUENCY_BANDS,
    .reading = { .weighting = "none", .low_hz = 1, .high_hz = 80,
                 .statistic = "rms acceleration in each third octave" },
    USUAL_CHARACTER,
    .bridge_refused = "the whole spectrum is compared band by band; a peak with one frequency will "
                      "not do",
    ROWS(iso_row),
    NOTES("Recalled and unverified. The 2003 edition has no limits; they are left to countries.",
          "Ranges of multipliers are judged at their lower end, the upper end on request.",
          "z above 8 Hz is 0.0995 mm/s rms, 0.141 mm/s peak (derived)."),
};
