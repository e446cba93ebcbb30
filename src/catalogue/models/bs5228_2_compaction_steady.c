/* bs5228_2_compaction_steady.c - Vibratory rollers, steady, BS 5228-2. */
#include "stillground/catalogue.h"

#define CITE(locus) { "bs5228-2", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k_s", NULL, SG_LEVEL_CENTRAL, 75, "mm/s", CITE("Table E.1") },
    { SG_ROLE_K, "k_s", NULL, SG_LEVEL_MIDDLE,  143, "mm/s", CITE("Table E.1") },
    { SG_ROLE_K, "k_s", NULL, SG_LEVEL_UPPER,   276, "mm/s", CITE("Table E.1") },
    { SG_ROLE_M, "1.5", NULL, SG_LEVEL_ANY,    1.5, "",    CITE("Table E.1") },
    { SG_ROLE_N, "n",  NULL, SG_LEVEL_ANY,     1.5, "",     CITE("Table E.1") },
};
static const struct sg_range ranges[] = {
    { "drums",             1, 2,       CITE("Table E.1") },
    { "drum_amplitude_mm", 0.4, 1.72,  CITE("Table E.1") },
    { "distance_m",        2, 110,     CITE("Table E.1") },
    { "drum_width_m",      0.75, 2.2,  CITE("Table E.1") },
};
/* clang-format on */

const struct sg_model sg_model_bs5228_2_compaction_steady = {
    .id = "bs5228-2-compaction-steady",
    .title = "Vibratory rollers, steady, BS 5228-2",
    .quantity = SG_Q_PPV,
    .form = SG_FORM_ROLLER,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_EXCEEDANCE,
    .exceedance_percent = { 50, 33.3, 5 },
    .formula = "v = k_s sqrt(n_d) A^1.5 / (x + L_d)^1.5; A in mm, x and L_d in m",
    .cite = CITE("Table E.1"),
};
