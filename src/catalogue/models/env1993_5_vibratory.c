/* env1993_5_vibratory.c - Vibratory driving, European prestandard ENV 1993-5:1998. */
#include "stillground/catalogue.h"

#define CITE(locus) { "env1993-5", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "C", NULL, SG_LEVEL_ANY, 0.7, "mm/s", CITE("annex C") },
    { SG_ROLE_M, "1/2", NULL, SG_LEVEL_ANY, 0.5, "", CITE("annex C") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.0, "", CITE("annex C") },
};
/* clang-format on */

const struct sg_model sg_model_env1993_5_vibratory = {
    .id = "env1993-5-vibratory",
    .title = "Vibratory driving, European prestandard ENV 1993-5:1998",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_VIBRATORY),
    .form = SG_FORM_POWER,
    .uses_energy = true,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = C sqrt(W) / r; W in J per cycle (power / frequency), r in m",
    .cite = CITE("annex C"),
};
