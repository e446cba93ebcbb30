/* caltrans_rotary.c - Displacement pile by torque and down pressure, measured anchor in Caltrans 2013. */
#include "stillground/catalogue.h"

#include "caltrans.h"

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K,     "PPV_ref", NULL, SG_LEVEL_ANY, 0.05, "in/s", CITE("statement on tests of 2001") },
    { SG_ROLE_R_REF, "D_ref",   NULL, SG_LEVEL_ANY, 25,   "ft",   CITE("statement on tests of 2001") },
    { SG_ROLE_N,     "n",       NULL, SG_LEVEL_ANY, 1.1,  "",     { "caltrans2013", "suggested default; slope assumed here", SG_GRADE_PRACTICE } },
};
/* clang-format on */
static const char *const notes[] = {
    "one measured figure at one distance; the slope is assumed",
    "the manual had no data for static press-in in 2013",
    NULL,
};

const struct sg_model sg_model_caltrans_rotary = {
    .id = "caltrans-rotary",
    .title = "Displacement pile by torque and down pressure, measured anchor in Caltrans 2013",
    .quantity = SG_Q_PPV,
    .techniques = SG_ANY_PRESS_IN,
    .form = SG_FORM_POWER,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "PPV = 0.05 (25/D)^1.1 in/s; D in ft",
    .note = notes,
    .cite = CITE("statement on tests of 2001"),
};
