/* caltrans_energy_scaling.c - Scaling with the energy of a blow, Caltrans 2013 Eq. 8. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_M, "1/2", NULL, SG_LEVEL_ANY, 0.5, "", CITE("Eq. 8") },
    { SG_ROLE_W_REF, "E_1", NULL, SG_LEVEL_ANY, SG_UNSET, "J", CITE("Eq. 8") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 0, "", CITE("Eq. 8") },
};
/* clang-format on */

const struct sg_model sg_model_caltrans_energy_scaling = {
    .id = "caltrans-energy-scaling",
    .title = "Scaling with the energy of a blow, Caltrans 2013 Eq. 8",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .uses_energy = true,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_SITE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "V_2 = V_1 (E_2/E_1)^0.5; give the value V_1 and the constant E_1",
    .cite = CITE("Eq. 8"),
};
