/* din4150_1_propagation.c - Propagation from one reference value, DIN 4150-1. */
#include "stillground/catalogue.h"

#define CITE(locus) { "din4150-1", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_N, "n", "point-steady-surface",    SG_LEVEL_ANY, 0.5, "", CITE("table of exponents") },
    { SG_ROLE_N, "n", "point-steady-body",       SG_LEVEL_ANY, 1.0, "", CITE("table of exponents") },
    { SG_ROLE_N, "n", "point-impulsive-surface", SG_LEVEL_ANY, 1.0, "", CITE("table of exponents") },
    { SG_ROLE_N, "n", "point-impulsive-body",    SG_LEVEL_ANY, 1.5, "", CITE("table of exponents") },
    { SG_ROLE_N, "n", "line-steady-surface",     SG_LEVEL_ANY, 0.0, "", CITE("table of exponents") },
    { SG_ROLE_N, "n", "line-steady-body",        SG_LEVEL_ANY, 0.5, "", CITE("table of exponents") },
    { SG_ROLE_N, "n", "line-impulsive-surface",  SG_LEVEL_ANY, 0.5, "", CITE("table of exponents") },
    { SG_ROLE_N, "n", "line-impulsive-body",     SG_LEVEL_ANY, 1.0, "", CITE("table of exponents") },
};
/* clang-format on */

const struct sg_model sg_model_din4150_1_propagation = {
    .id = "din4150-1-propagation",
    .title = "Propagation from one reference value, DIN 4150-1",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .n_by = SG_KEY_VARIANT,
    .default_variant = { [SG_IMPACT] = "point-impulsive-surface",
                         [SG_VIBRATORY] = "point-steady-surface",
                         [SG_PRESS_IN] = "point-steady-surface",
                         [SG_PRESS_IN_JETTING] = "point-steady-surface",
                         [SG_PRESS_IN_AUGERING] = "point-steady-surface" },
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_SITE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = v_1 (R/R_1)^-n exp(-alpha (R - R_1)); give v_1, R_1 and alpha",
    .cite = CITE("relation"),
};
