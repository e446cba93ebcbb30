/* fta_ppv.c - Plant table, FTA, peak particle velocity. */
#include "stillground/catalogue.h"

#define CITE(locus) { "fta2006", locus, SG_GRADE_SEEN }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "PPV_ref", "pile-impact", SG_LEVEL_CENTRAL, 0.644, "in/s", CITE("Table 12-2, typical") },
    { SG_ROLE_K, "PPV_ref", "pile-impact", SG_LEVEL_UPPER, 1.518, "in/s", CITE("Table 12-2, upper range") },
    { SG_ROLE_K, "PPV_ref", "pile-sonic", SG_LEVEL_CENTRAL, 0.17, "in/s", CITE("Table 12-2, typical") },
    { SG_ROLE_K, "PPV_ref", "pile-sonic", SG_LEVEL_UPPER, 0.734, "in/s", CITE("Table 12-2, upper range") },
    { SG_ROLE_K, "PPV_ref", "clam-shovel", SG_LEVEL_ANY, 0.202, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "hydromill-soil", SG_LEVEL_ANY, 0.008, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "hydromill-rock", SG_LEVEL_ANY, 0.017, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "vibratory-roller", SG_LEVEL_ANY, 0.21, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "hoe-ram", SG_LEVEL_ANY, 0.089, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "large-bulldozer", SG_LEVEL_ANY, 0.089, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "caisson-drilling", SG_LEVEL_ANY, 0.089, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "loaded-trucks", SG_LEVEL_ANY, 0.076, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "jackhammer", SG_LEVEL_ANY, 0.035, "in/s", CITE("Table 12-2") },
    { SG_ROLE_K, "PPV_ref", "small-bulldozer", SG_LEVEL_ANY, 0.003, "in/s", CITE("Table 12-2") },
    { SG_ROLE_R_REF, "D_ref", NULL, SG_LEVEL_ANY, 25, "ft", CITE("sect. 12.2.1") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.5, "", CITE("sect. 12.2.1") },
};
/* clang-format on */
static const char *const notes[] = {
    "averages of measurements with considerable scatter over many soils; no energy enters",
    "the upper range of the impact row is said to rest on curves without data points (Caltrans 2013)",
    "caisson drilling carries the same figure as a large bulldozer: a stand-in on the safe side",
    NULL,
};

const struct sg_model sg_model_fta_ppv = {
    .id = "fta-ppv",
    .title = "Plant table, FTA, peak particle velocity",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_IMPACT) | SG_TECHNIQUE_BIT(SG_VIBRATORY) |
                  SG_TECHNIQUE_BIT(SG_PRESS_IN_AUGERING),
    .form = SG_FORM_POWER,
    .k_by = SG_KEY_VARIANT,
    .default_variant = { [SG_IMPACT] = "pile-impact", [SG_VIBRATORY] = "pile-sonic",
                         [SG_PRESS_IN_AUGERING] = "caisson-drilling" },
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_RANGE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "PPV = PPV_ref (25/D)^1.5; D in ft",
    .note = notes,
    .cite = CITE("sect. 12.2.1, Table 12-2; same in FTA 2018 Eq. 7-2"),
};
