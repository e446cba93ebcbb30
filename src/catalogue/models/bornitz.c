/* bornitz.c - Propagation from one reference value, Bornitz. */
#include "stillground/catalogue.h"

#define CITE(locus) { "woods1997", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_N, "n", "rayleigh",     SG_LEVEL_ANY, 0.5, "", { "caltrans2013", "Eq. 6", SG_GRADE_SEEN } },
    { SG_ROLE_N, "n", "body",         SG_LEVEL_ANY, 1.0, "", CITE("body wave in the interior") },
    { SG_ROLE_N, "n", "body-surface", SG_LEVEL_ANY, 2.0, "", CITE("body wave along the surface") },
};
/* clang-format on */

const struct sg_model sg_model_bornitz = {
    .id = "bornitz",
    .title = "Propagation from one reference value, Bornitz",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .n_by = SG_KEY_VARIANT,
    .default_variant = { "rayleigh", "rayleigh", "rayleigh", "rayleigh", "rayleigh" },
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_SITE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "w_2 = w_1 (r_1/r_2)^n exp(-alpha (r_2 - r_1)); give w_1, r_1 and alpha",
    .cite = CITE("relation"),
};
