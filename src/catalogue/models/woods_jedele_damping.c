/* woods_jedele_damping.c - Rayleigh wave with damping by ground class from one reference value, Woods and Jedele. */
#include "stillground/catalogue.h"

#define CITE(locus) { "woods1997", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_ALPHA, "alpha", "I", SG_LEVEL_CENTRAL, 0.033, "1/m", CITE("class I at 5 Hz, upper end") },
    { SG_ROLE_ALPHA, "alpha", "I", SG_LEVEL_UPPER, 0.01, "1/m", CITE("class I at 5 Hz, lower end") },
    { SG_ROLE_ALPHA, "alpha", "II", SG_LEVEL_CENTRAL, 0.01, "1/m", CITE("class II at 5 Hz, upper end") },
    { SG_ROLE_ALPHA, "alpha", "II", SG_LEVEL_UPPER, 0.0033, "1/m", CITE("class II at 5 Hz, lower end") },
    { SG_ROLE_ALPHA, "alpha", "III", SG_LEVEL_CENTRAL, 0.0033, "1/m", CITE("class III at 5 Hz, upper end") },
    { SG_ROLE_ALPHA, "alpha", "III", SG_LEVEL_UPPER, 0.00033, "1/m", CITE("class III at 5 Hz, lower end") },
    { SG_ROLE_ALPHA, "alpha", "IV", SG_LEVEL_CENTRAL, 0.00033, "1/m", CITE("class IV at 5 Hz, below this") },
    { SG_ROLE_ALPHA, "alpha", "IV", SG_LEVEL_UPPER, 0, "1/m", CITE("class IV at 5 Hz, no lower end stated") },
    { SG_ROLE_F_REF, "f_1", NULL, SG_LEVEL_ANY, 5, "Hz", CITE("damping at 5 Hz, in proportion to frequency") },
    { SG_ROLE_N, "1/2", NULL, SG_LEVEL_ANY, 0.5, "", CITE("Rayleigh wave") },
};
/* clang-format on */
static const char *const notes[] = {
    "upper: the least damping of the class; central: the most",
    NULL,
};

const struct sg_model sg_model_woods_jedele_damping = {
    .id = "woods-jedele-damping",
    .title = "Rayleigh wave with damping by ground class from one reference value, Woods and Jedele",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_SITE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v_2 = v_1 (r_1/r_2)^0.5 exp(-alpha (r_2 - r_1)), alpha = alpha_5Hz f/5; give v_1, r_1, class and f",
    .note = notes,
    .cite = CITE("table of damping by class"),
};
