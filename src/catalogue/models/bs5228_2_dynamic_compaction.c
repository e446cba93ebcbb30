/* bs5228_2_dynamic_compaction.c - Dynamic compaction, BS 5228-2. */
#include "stillground/catalogue.h"

#define CITE(locus) { "bs5228-2", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k", NULL, SG_LEVEL_ANY, 0.037, "mm/s", CITE("Table E.1") },
    { SG_ROLE_M, "1.7/2", NULL, SG_LEVEL_ANY, 0.85, "", CITE("Table E.1") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 1.7, "", CITE("Table E.1") },
};
static const struct sg_range ranges[] = {
    { "distance_m", 5, 100, CITE("Table E.1") },
    { "energy_J", 1e6, 12e6, CITE("Table E.1") },
};
/* clang-format on */

const struct sg_model sg_model_bs5228_2_dynamic_compaction = {
    .id = "bs5228-2-dynamic-compaction",
    .title = "Dynamic compaction, BS 5228-2",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_POWER,
    .uses_energy = true,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_BOUND,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "v = 0.037 (sqrt(W) / x)^1.7; W in J, x in m",
    .cite = CITE("Table E.1"),
};
