/* caltrans_vibratory.c - Vibratory pile drivers, Caltrans 2013 Eq. 10. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "PPV_ref", NULL, SG_LEVEL_ANY, 0.65, "in/s", CITE("Eq. 10") },
    { SG_ROLE_STEADY_SHARE, "steady", NULL, SG_LEVEL_ANY, 0.5, "", CITE("Eq. 10, text: 50 % or less") },
    CALTRANS_ATTENUATION,
};
/* clang-format on */
static const char *const notes[] = {
    "stands for resonance at start-up and shut-down; neither force nor energy enters",
    CALTRANS_NEAR_NOTE,
    NULL,
};

const struct sg_model sg_model_caltrans_vibratory = {
    .id = "caltrans-vibratory",
    .title = "Vibratory pile drivers, Caltrans 2013 Eq. 10",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_VIBRATORY),
    .form = SG_FORM_POWER,
    .phases = true,
    .n_by = SG_KEY_PROPAGATION,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "PPV = PPV_ref (25/D)^n; D in ft; start-up and shut-down, half of it steady",
    .note = notes,
    .cite = CITE("Eq. 10"),
};
