/* usa_blasting.c - United States: USBM RI 8507 Appendix B, a state-law form of it, 30 CFR 816.67, all
 * for blasting; AASHTO R 8. Printed in inches and in/s.
 */
#include "rows.h"

#define IN(value) ((value) * SG_MM_PER_INCH)
#define BLAST                                                                                      \
    .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA,                            \
    .position = SG_AT_FREE_FIELD, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST, NO_PILING,        \
    .other_sources = SG_OTHER_BLASTING, .period = SG_ANY_TIME, .effect = "damage no longer ruled out"
/* where a velocity meets a displacement d: v / (2 pi d) */
#define MEETS(v, d) ((v) / (2.0 * SG_PI * (d)))

static const struct sg_limit_row ri_row[] = {
    { .id = "drywall", .label = "gypsum board", .classes = SG_CLASS_MODERN_HOUSE, BLAST,
      .interpolation = SG_LINEAR, .below = SG_BELOW_DISPLACEMENT, .below_displacement_mm = IN(0.030),
      .below_grade = SG_GRADE_MEMORY_HIGH,
      CURVE({ MEETS(0.75, 0.030), IN(0.75) }, { MEETS(0.75, 0.008), IN(0.75) },
            { MEETS(2.0, 0.008), IN(2.0) }),
      CITE("ri8507", "Appendix B", SG_GRADE_MEMORY_HIGH) },
    { .id = "plaster", .label = "plaster on lath", .classes = SG_CLASS_OLDER_HOUSE, BLAST,
      .interpolation = SG_LINEAR, .below = SG_BELOW_DISPLACEMENT, .below_displacement_mm = IN(0.030),
      .below_grade = SG_GRADE_MEMORY_HIGH,
      CURVE({ MEETS(0.50, 0.030), IN(0.50) }, { MEETS(0.50, 0.008), IN(0.50) },
            { MEETS(2.0, 0.008), IN(2.0) }),
      CITE("ri8507", "Appendix B", SG_GRADE_MEMORY_HIGH) },
};

const struct sg_limit_set sg_limits_ri8507 = {
    .id = "RI8507",
    .title = "USBM RI 8507 Appendix B, blasting only: not for piling",
    .jurisdiction = "United States",
    .document = "ri8507",
    .edition = "1980, Appendix B",
    .legal = "research",
    .frequency = SG_FREQUENCY_AT_PEAK,
    .excluded = SG_ANY_TECHNIQUE,
    .excluded_why = "the report is about blasting and houses",
    .by_choice = true,
    USUAL_CHARACTER,
    ROWS(ri_row),
    NOTES("Recalled and unverified; the corner frequencies are derived from the displacements.",
          "Any component, on the ground at the house. Blasting only."),
};

static const struct sg_limit_row state_row[] = {
    { .id = "velocity", .label = "velocity form: 0.5 in/s from 2.5 to 10 Hz, then 0.05 f to 2.0",
      .classes = SG_ANY_BUILDING, BLAST, .interpolation = SG_LINEAR, .below = SG_BELOW_NONE,
      CURVE({ 2.5, IN(0.5) }, { 10, IN(0.5) }, { 40, IN(2.0) }),
      CITE("us-state-blasting", "velocity form", SG_GRADE_SEEN) },
};

const struct sg_limit_set sg_limits_us_state = {
    .id = "US-STATE-BLASTING",
    .title = "State blasting law, blasting only: not for piling",
    .jurisdiction = "United States",
    .document = "us-state-blasting",
    .edition = "in use",
    .legal = "statute",
    .frequency = SG_FREQUENCY_AT_PEAK,
    .excluded = SG_ANY_TECHNIQUE,
    .excluded_why = "the statutes are about blasting",
    .by_choice = true,
    USUAL_CHARACTER,
    ROWS(state_row),
    NOTES("Any one of three components, not the vector sum. The displacement form of the same law is "
          "known at its two ends only and is left out."),
};

#define BY_DISTANCE(name, text, limit)                                                             \
    { .id = name, .label = text, .classes = SG_ANY_BUILDING, BLAST, .interpolation = SG_LINEAR,    \
      .below = SG_BELOW_EXTEND, FLAT(IN(limit)),                                                   \
      CITE("cfr30-816-67", "by distance", SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_row osmre_row[] = {
    { .id = "curve", .label = "Figure 1", .classes = SG_ANY_BUILDING, BLAST,
      .interpolation = SG_LOG_LOG, .below = SG_BELOW_NONE,
      CURVE({ 1, IN(0.19) }, { 4, IN(0.75) }, { 11, IN(0.75) }, { 30, IN(2.0) }),
      CITE("cfr30-816-67", "Figure 1", SG_GRADE_MEMORY_HIGH) },
    BY_DISTANCE("to-300-ft", "0 to 300 ft", 1.25),
    BY_DISTANCE("to-5000-ft", "301 to 5000 ft", 1.00),
    BY_DISTANCE("beyond-5000-ft", "over 5000 ft", 0.75),
};

const struct sg_limit_set sg_limits_osmre = {
    .id = "OSMRE",
    .title = "30 CFR 816.67, blasting only: not for piling",
    .jurisdiction = "United States",
    .document = "cfr30-816-67",
    .edition = "in force",
    .legal = "statute",
    .frequency = SG_FREQUENCY_AT_PEAK,
    .excluded = SG_ANY_TECHNIQUE,
    .excluded_why = "the regulation is about blasting at surface mines",
    .by_choice = true,
    USUAL_CHARACTER,
    ROWS(osmre_row),
    NOTES("Recalled and unverified. Any one of three components, not the vector sum.",
          "The sloping parts are lines of about one displacement (0.03 in and 0.0107 in)."),
};

#define GROUND                                                                                     \
    .purpose = SG_FOR_DAMAGE, .uses = SG_ANY_USE, .areas = SG_ANY_AREA,                            \
    .position = SG_AT_FREE_FIELD, .quantity = SG_Q_PPV, .axes = SG_AXES_LARGEST,                   \
    .characters = EITHER, PLAIN, .period = SG_ANY_TIME, .effect = "damage no longer ruled out"
#define AASHTO(name, text, bits, low, high)                                                        \
    { .id = name, .label = text ", lower value", .classes = bits, GROUND, FLAT(IN(low)),           \
      CITE("aashto-r8", "limiting velocities", SG_GRADE_MEMORY_HIGH) },                            \
    { .id = name "-upper", .label = text ", upper value", .classes = bits, GROUND,                 \
      FLAT(IN(high)), .on_request = true,                                                          \
      CITE("aashto-r8", "limiting velocities", SG_GRADE_MEMORY_HIGH) }

static const struct sg_limit_row aashto_row[] = {
    { .id = "historic", .label = "historic or critical; fragile taken with them",
      .classes = (unsigned)SG_CLASS_LISTED | (unsigned)SG_CLASS_FRAGILE, GROUND, FLAT(IN(0.1)),
      CITE("aashto-r8", "limiting velocities", SG_GRADE_MEMORY_HIGH) },
    AASHTO("plastered", "residential, plastered walls", SG_CLASS_OLDER_HOUSE, 0.2, 0.3),
    AASHTO("gypsum", "residential, gypsum board, good repair", SG_CLASS_MODERN_HOUSE, 0.4, 0.5),
    AASHTO("engineered", "engineered, no plaster",
           (unsigned)SG_CLASS_INDUSTRIAL | (unsigned)SG_CLASS_FRAMED, 1.0, 1.5),
};

const struct sg_limit_set sg_limits_aashto_r8 = {
    .id = "AASHTO-R8",
    .title = "AASHTO R 8, limiting velocities for buildings",
    .jurisdiction = "United States",
    .document = "aashto-r8",
    .edition = "edition not stated",
    .legal = "guidance",
    ALL_CONTINUOUS,
    ROWS(aashto_row),
    .requires = SG_NEEDS_SURVEY | SG_NEEDS_MONITORING,
    NOTES("All values are recalled and unverified; the text on surveys and sensors was read.",
          "Ranges are judged at their lower end; the upper ends are worked on request.",
          "Survey by capable people before work begins; sensor on the ground beside the structure; "
          "velocity and frequency are both recorded."),
};
