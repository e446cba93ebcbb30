/* caltrans_impact.c - Impact pile drivers, Caltrans 2013 Eq. 9. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K,     "PPV_ref", NULL, SG_LEVEL_ANY, 0.65,  "in/s",  CITE("Eq. 9") },
    { SG_ROLE_W_REF, "E_ref",   NULL, SG_LEVEL_ANY, 36000, "ft.lb", CITE("Eq. 9") },
    { SG_ROLE_M,     "1/2",     NULL, SG_LEVEL_ANY, 0.5,   "",      CITE("Eq. 9") },
    CALTRANS_ATTENUATION,
};
static const struct sg_range ranges[] = {
    { "energy_J", 20000 * SG_J_PER_FOOT_POUND, 300000 * SG_J_PER_FOOT_POUND, CITE("ch. 7, rated energies") },
};
/* clang-format on */
static const char *const notes[] = {
    CALTRANS_NEAR_NOTE,
    NULL,
};

const struct sg_model sg_model_caltrans_impact = {
    .id = "caltrans-impact",
    .title = "Impact pile drivers, Caltrans 2013 Eq. 9",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_IMPACT),
    .form = SG_FORM_POWER,
    .uses_energy = true,
    .n_by = SG_KEY_PROPAGATION,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "PPV = PPV_ref (25/D)^n (E/E_ref)^0.5; D in ft, E in ft.lb",
    .note = notes,
    .cite = CITE("Eq. 9"),
};
