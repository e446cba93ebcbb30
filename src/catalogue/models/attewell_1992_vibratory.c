/* attewell_1992_vibratory.c - Vibratory driving, Attewell, Selby and O'Donnell 1992. */
#include "stillground/catalogue.h"

#define CITE(locus) { "attewell1992", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_A, "a", NULL, SG_LEVEL_CENTRAL, -0.464, "", CITE("mean") },
    { SG_ROLE_A, "a", NULL, SG_LEVEL_MIDDLE,  -0.213, "", CITE("mean + 1/2 SD") },
    { SG_ROLE_A, "a", NULL, SG_LEVEL_UPPER,   0.038, "", CITE("mean + 1 SD") },
    { SG_ROLE_B, "b", NULL, SG_LEVEL_ANY, 1.64, "", CITE("relation") },
    { SG_ROLE_C, "c", NULL, SG_LEVEL_ANY, 0.334, "", CITE("relation") },
};
/* clang-format on */
static const char *const notes[] = {
    "the parabola turns over at small distances; s is held at its turning point there",
    "the upper row, mean + 1 SD, is exceeded in about 16 % of cases: less than most percentiles asked for",
    NULL,
};

const struct sg_model sg_model_attewell_1992_vibratory = {
    .id = "attewell-1992-vibratory",
    .title = "Vibratory driving, Attewell, Selby and O'Donnell 1992",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_VIBRATORY),
    .form = SG_FORM_LOG,
    .uses_energy = true,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_SD,
    .exceedance_percent = { 50, 31, 16 },
    .formula = "lg v = a + b s - c s^2, s = lg(sqrt(W)/r); W in J, r in m",
    .note = notes,
    .cite = CITE("relation"),
};
