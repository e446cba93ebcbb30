/* bs5228_2_stone_columns.c - Vibrated stone columns, BS 5228-2. */
#include "stillground/catalogue.h"

#define CITE(locus) { "bs5228-2", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k_c", NULL, SG_LEVEL_CENTRAL, 33, "mm/s", CITE("Table E.1") },
    { SG_ROLE_K, "k_c", NULL, SG_LEVEL_MIDDLE,  44, "mm/s", CITE("Table E.1") },
    { SG_ROLE_K, "k_c", NULL, SG_LEVEL_UPPER,   95, "mm/s", CITE("Table E.1") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.4, "", CITE("Table E.1") },
};
static const struct sg_range ranges[] = {
    { "distance_m", 8, 100, CITE("Table E.1") },
};
/* clang-format on */

const struct sg_model sg_model_bs5228_2_stone_columns = {
    .id = "bs5228-2-stone-columns",
    .title = "Vibrated stone columns, BS 5228-2",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_EXCEEDANCE,
    .exceedance_percent = { 50, 33.3, 5 },
    .formula = "v = k_c / x^1.4; x in m",
    .cite = CITE("Table E.1"),
};
