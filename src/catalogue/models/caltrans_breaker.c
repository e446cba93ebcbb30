/* caltrans_breaker.c - Hydraulic breakers, Caltrans 2013 Eq. 11. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K,     "PPV_ref", NULL, SG_LEVEL_ANY, 0.24, "in/s",  CITE("Eq. 11") },
    { SG_ROLE_W_REF, "E_ref",   NULL, SG_LEVEL_ANY, 5000, "ft.lb", CITE("Eq. 11") },
    { SG_ROLE_M,     "1/2",     NULL, SG_LEVEL_ANY, 0.5,  "",      CITE("Eq. 11") },
    CALTRANS_ATTENUATION,
};
/* clang-format on */
static const char *const notes[] = {
    CALTRANS_NEAR_NOTE,
    NULL,
};

const struct sg_model sg_model_caltrans_breaker = {
    .id = "caltrans-breaker",
    .title = "Hydraulic breakers, Caltrans 2013 Eq. 11",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .uses_energy = true,
    .n_by = SG_KEY_PROPAGATION,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "PPV = PPV_ref (25/D)^n (E/E_ref)^0.5; D in ft, E in ft.lb",
    .note = notes,
    .cite = CITE("Eq. 11"),
};
