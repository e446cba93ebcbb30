/* bs5228_2_percussive.c - percussive piling, BS 5228-2 Table E.1 (TRL 429), factor by the ground at the toe. */
#include "stillground/catalogue.h"

#define CITE(locus) { "bs5228-2", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k_p", "soft",    SG_LEVEL_ANY, 1.0, "mm/s", CITE("Table E.2") },
    { SG_ROLE_K, "k_p", "medium",  SG_LEVEL_ANY, 1.5, "mm/s", CITE("Table E.2") },
    { SG_ROLE_K, "k_p", "hard",    SG_LEVEL_ANY, 3.0, "mm/s", CITE("Table E.2") },
    { SG_ROLE_K, "k_p", "refusal", SG_LEVEL_ANY, 5.0, "mm/s", CITE("Table E.2") },
    { SG_ROLE_M, "1/2", NULL,      SG_LEVEL_ANY, 0.5, "",     CITE("Table E.1") },
    { SG_ROLE_N, "n",   NULL,      SG_LEVEL_ANY, 1.3, "",     CITE("Table E.1") },
};
static const struct sg_range ranges[] = {
    { "toe_depth_m", 1, 27,       CITE("Table E.1") },
    { "distance_m",  1, 111,      CITE("Table E.1") },
    { "energy_J",    1500, 85000, CITE("Table E.1") },
};
/* clang-format on */
static const char *const notes[] = {
    "r is the slope distance to the toe: the value falls as the pile goes deeper, so every depth is "
    "tried with the ground met there",
    "W is the nominal energy of a blow, without an efficiency",
    "predictions that lean on rated energy and a soil group scatter widely (Hope and Hiller 2000)",
    NULL,
};

const struct sg_model sg_model_bs5228_2_percussive = {
    .id = "bs5228-2-percussive",
    .title = "Percussive piling, BS 5228-2",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_IMPACT),
    .form = SG_FORM_POWER,
    .distance = SG_DISTANCE_TOE,
    .uses_energy = true,
    .k_by = SG_KEY_GROUND,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_BOUND,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = k_p sqrt(W) / r^1.3, r = sqrt(L^2 + x^2); W in J, r in m",
    .note = notes,
    .cite = CITE("Table E.1"),
};
