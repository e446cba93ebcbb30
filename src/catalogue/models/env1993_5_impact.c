/* env1993_5_impact.c - Impact driving, European prestandard ENV 1993-5:1998. */
#include "stillground/catalogue.h"

#define CITE(locus) { "env1993-5", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "C", "soft",    SG_LEVEL_ANY, 0.5,  "mm/s", CITE("annex C") },
    { SG_ROLE_K, "C", "medium",  SG_LEVEL_ANY, 0.75, "mm/s", CITE("annex C") },
    { SG_ROLE_K, "C", "hard",    SG_LEVEL_ANY, 1.0,  "mm/s", CITE("annex C") },
    { SG_ROLE_K, "C", "refusal", SG_LEVEL_ANY, 1.0,  "mm/s", CITE("annex C, row of rock and obstructions") },
    { SG_ROLE_M, "1/2", NULL, SG_LEVEL_ANY, 0.5, "", CITE("annex C") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.0, "", CITE("annex C") },
};
/* clang-format on */
static const char *const notes[] = {
    "the annex was not carried into EN 1993-5:2007 as far as known",
    "a pile driven to refusal has no row of its own: that of rock and obstructions is taken",
    NULL,
};

const struct sg_model sg_model_env1993_5_impact = {
    .id = "env1993-5-impact",
    .title = "Impact driving, European prestandard ENV 1993-5:1998",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_IMPACT),
    .form = SG_FORM_POWER,
    .uses_energy = true,
    .k_by = SG_KEY_GROUND,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = C sqrt(W) / r; W in J, r in m",
    .note = notes,
    .cite = CITE("annex C"),
};
