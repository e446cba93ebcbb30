/* jcma1994_level.c - Japanese vibration level by method and distance, JCMA 1994. */
#include "stillground/catalogue.h"

#define CITE(locus) { "jcma1994", locus, SG_GRADE_SEEN }
#define MIDDLE { "jcma1994", "level table, middle of the range", SG_GRADE_DERIVED }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "L_0", "diesel-under-2t", SG_LEVEL_CENTRAL, (75 + 80) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "diesel-under-2t", SG_LEVEL_UPPER, 80, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "diesel-under-2t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "diesel-2-3t", SG_LEVEL_CENTRAL, (72 + 84) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "diesel-2-3t", SG_LEVEL_UPPER, 84, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "diesel-2-3t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "diesel-3-4t", SG_LEVEL_CENTRAL, (76 + 89) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "diesel-3-4t", SG_LEVEL_UPPER, 89, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "diesel-3-4t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "diesel-over-4t", SG_LEVEL_CENTRAL, (70 + 91) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "diesel-over-4t", SG_LEVEL_UPPER, 91, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "diesel-over-4t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "drop-hammer", SG_LEVEL_CENTRAL, (63 + 89) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "drop-hammer", SG_LEVEL_UPPER, 89, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "drop-hammer", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "hydraulic-hammer-6.5t", SG_LEVEL_CENTRAL, (85 + 88) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "hydraulic-hammer-6.5t", SG_LEVEL_UPPER, 88, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "hydraulic-hammer-6.5t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "hydraulic-hammer-8t", SG_LEVEL_CENTRAL, (85 + 91) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "hydraulic-hammer-8t", SG_LEVEL_UPPER, 91, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "hydraulic-hammer-8t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "vibratory-under-30kW", SG_LEVEL_CENTRAL, (71 + 77) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "vibratory-under-30kW", SG_LEVEL_UPPER, 77, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "vibratory-under-30kW", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "vibratory-30-40kW", SG_LEVEL_CENTRAL, (70 + 75) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "vibratory-30-40kW", SG_LEVEL_UPPER, 75, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "vibratory-30-40kW", SG_LEVEL_ANY, 15, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "vibratory-over-40kW", SG_LEVEL_CENTRAL, (72 + 92) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "vibratory-over-40kW", SG_LEVEL_UPPER, 92, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "vibratory-over-40kW", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "earth-auger", SG_LEVEL_CENTRAL, (50 + 61) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "earth-auger", SG_LEVEL_UPPER, 61, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "earth-auger", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "pre-boring", SG_LEVEL_CENTRAL, (50 + 64) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "pre-boring", SG_LEVEL_UPPER, 64, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "pre-boring", SG_LEVEL_ANY, 5, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "earth-drill-20t", SG_LEVEL_CENTRAL, (59 + 67) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "earth-drill-20t", SG_LEVEL_UPPER, 67, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "earth-drill-20t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "earth-drill-30t", SG_LEVEL_CENTRAL, (58 + 61) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "earth-drill-30t", SG_LEVEL_UPPER, 61, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "earth-drill-30t", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "full-casing-1.3m", SG_LEVEL_CENTRAL, (57 + 68) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "full-casing-1.3m", SG_LEVEL_UPPER, 68, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "full-casing-1.3m", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_K, "L_0", "full-casing-2.0m", SG_LEVEL_CENTRAL, (53 + 58) / 2.0, "dB", MIDDLE },
    { SG_ROLE_K, "L_0", "full-casing-2.0m", SG_LEVEL_UPPER, 58, "dB", CITE("level table") },
    { SG_ROLE_R_REF, "r_0", "full-casing-2.0m", SG_LEVEL_ANY, 7, "m", CITE("level table") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 15, "", CITE("formula") },
    { SG_ROLE_ALPHA, "alpha", NULL, SG_LEVEL_ANY, 0.01, "1/m", CITE("formula: 0.01 to 0.04, the smaller") },
};
/* clang-format on */
static const char *const notes[] = {
    "for hammers the slow averaging of the meter hides the true peak: a lower bound on velocity",
    NULL,
};

const struct sg_model sg_model_jcma1994_level = {
    .id = "jcma1994-level",
    .title = "Japanese vibration level by method and distance, JCMA 1994",
    .quantity = SG_Q_VL_JP,
    .form = SG_FORM_LEVEL,
    .k_by = SG_KEY_VARIANT,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_RANGE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "L = L_0 - 15 lg(r/r_0) - 8.68 alpha (r - r_0); dB re 1e-5 m/s2, vertical, weighted",
    .note = notes,
    .cite = CITE("formula and level table"),
};
