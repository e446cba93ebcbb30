/* attewell_farmer_1973.c - Impact driving, Attewell and Farmer 1973. */
#include "stillground/catalogue.h"

#define CITE(locus) { "attewell-farmer1973", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k", NULL, SG_LEVEL_CENTRAL, 0.75, "mm/s", { "attewell-farmer1973", "working value of later practice", SG_GRADE_MEMORY_MID } },
    { SG_ROLE_K, "k", NULL, SG_LEVEL_UPPER,   1.5,  "mm/s", CITE("all grounds, conservative") },
    { SG_ROLE_M, "1/2", NULL, SG_LEVEL_ANY, 0.5, "", CITE("relation") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.0, "", CITE("relation") },
};
/* clang-format on */
static const char *const notes[] = {
    "said to over-predict (Wood and Theissen 1982, in Caltrans 2013)",
    NULL,
};

const struct sg_model sg_model_attewell_farmer_1973 = {
    .id = "attewell-farmer-1973",
    .title = "Impact driving, Attewell and Farmer 1973",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_IMPACT),
    .form = SG_FORM_POWER,
    .uses_energy = true,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_RANGE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = k sqrt(W) / r; W in J, r in m",
    .note = notes,
    .cite = CITE("relation"),
};
