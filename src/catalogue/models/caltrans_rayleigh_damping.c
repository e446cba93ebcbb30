/* caltrans_rayleigh_damping.c - Rayleigh wave with material damping from one reference value, Caltrans 2013 Eq. 6. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_N, "1/2", NULL, SG_LEVEL_ANY, 0.5, "", CITE("Eq. 6") },
};
/* clang-format on */

const struct sg_model sg_model_caltrans_rayleigh_damping = {
    .id = "caltrans-rayleigh-damping",
    .title = "Rayleigh wave with material damping from one reference value, Caltrans 2013 Eq. 6",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_SITE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v_b = v_a (r_a/r_b)^0.5 exp(alpha (r_a - r_b)); give v_a, r_a and alpha",
    .cite = CITE("Eq. 6"),
};
