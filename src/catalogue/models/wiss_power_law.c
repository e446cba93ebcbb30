/* wiss_power_law.c - Power law from one reference value, Wiss 1981, Caltrans 2013 Eq. 7. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.1, "", CITE("Eq. 7; n suggested default") },
};
/* clang-format on */
static const char *const notes[] = {
    "n holds geometry and damping together; it is not alpha",
    NULL,
};

const struct sg_model sg_model_wiss_power_law = {
    .id = "wiss-power-law",
    .title = "Power law from one reference value, Wiss 1981, Caltrans 2013 Eq. 7",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_SITE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "V = k D^-n; give one value with its distance, and n",
    .note = notes,
    .cite = CITE("Eq. 7"),
};
