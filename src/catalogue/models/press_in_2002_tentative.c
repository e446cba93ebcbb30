/* press_in_2002_tentative.c - Press-in alone, tentative line of 2002. */
#include "stillground/catalogue.h"

#define CITE(locus) { "white2002", locus, SG_GRADE_MEMORY_MID }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k", NULL, SG_LEVEL_ANY, 7, "mm/s", CITE("tentative line") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1, "", CITE("tentative line") },
};
static const struct sg_range ranges[] = {
    { "distance_m", 1, 50, CITE("tentative line, rough range") },
};
/* clang-format on */
static const char *const notes[] = {
    "tentative, screening: the line is recalled, not read; replace the constant by site data",
    "dependence on ground and machine is not stated",
    "the source takes the vector sum of the three component maxima, which is at least any component",
    NULL,
};

const struct sg_model sg_model_press_in_2002_tentative = {
    .id = "press-in-2002-tentative",
    .title = "Press-in alone, tentative line of 2002",
    .quantity = SG_Q_PPV,
    .techniques = SG_ANY_PRESS_IN,
    .form = SG_FORM_POWER,
    .tentative = true,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_BOUND,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = 7 / r; r in m",
    .note = notes,
    .cite = CITE("tentative line"),
};
