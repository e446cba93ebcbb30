/* caltrans_other_plant.c - Other plant, Caltrans 2013 Eq. 12. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "PPV_ref", "vibratory-roller", SG_LEVEL_ANY, 0.21, "in/s", CITE("Table 18, used in Example 2") },
    { SG_ROLE_K, "PPV_ref", "large-bulldozer", SG_LEVEL_ANY, 0.089, "in/s", RECALLED("Table 18") },
    { SG_ROLE_K, "PPV_ref", "caisson-drilling", SG_LEVEL_ANY, 0.089, "in/s", RECALLED("Table 18") },
    { SG_ROLE_K, "PPV_ref", "loaded-trucks", SG_LEVEL_ANY, 0.076, "in/s", RECALLED("Table 18") },
    { SG_ROLE_K, "PPV_ref", "jackhammer", SG_LEVEL_ANY, 0.035, "in/s", RECALLED("Table 18") },
    { SG_ROLE_K, "PPV_ref", "small-bulldozer", SG_LEVEL_ANY, 0.003, "in/s", RECALLED("Table 18") },
    CALTRANS_ATTENUATION,
};
/* clang-format on */
static const char *const notes[] = {
    CALTRANS_NEAR_NOTE,
    NULL,
};

const struct sg_model sg_model_caltrans_other_plant = {
    .id = "caltrans-other-plant",
    .title = "Other plant, Caltrans 2013 Eq. 12",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .k_by = SG_KEY_VARIANT,
    .n_by = SG_KEY_PROPAGATION,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "PPV = PPV_ref (25/D)^n; D in ft",
    .note = notes,
    .cite = CITE("Eq. 12"),
};
