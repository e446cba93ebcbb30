/* bs5228_2_tunnelling.c - Tunnelling, BS 5228-2. */
#include "stillground/catalogue.h"

#define CITE(locus) { "bs5228-2", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k", NULL, SG_LEVEL_ANY, 180, "mm/s", CITE("Table E.1") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.3, "", CITE("Table E.1") },
};
static const struct sg_range ranges[] = {
    { "distance_m", 10, 100, CITE("Table E.1") },
};
/* clang-format on */

const struct sg_model sg_model_bs5228_2_tunnelling = {
    .id = "bs5228-2-tunnelling",
    .title = "Tunnelling, BS 5228-2",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_BOUND,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = 180 / x^1.3; x in m",
    .cite = CITE("Table E.1"),
};
