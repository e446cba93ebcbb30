/* bs5228_2_tunnelling_noise.c - Ground-borne noise from tunnelling, BS 5228-2. */
#include "stillground/catalogue.h"

#define CITE(locus) { "bs5228-2", locus, SG_GRADE_MEMORY_HIGH }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "L_1", NULL, SG_LEVEL_ANY, 127, "dB", CITE("Table E.1") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 54, "", CITE("Table E.1") },
};
static const struct sg_range ranges[] = {
    { "distance_m", 10, 100, CITE("Table E.1") },
};
/* clang-format on */

const struct sg_model sg_model_bs5228_2_tunnelling_noise = {
    .id = "bs5228-2-tunnelling-noise",
    .title = "Ground-borne noise from tunnelling, BS 5228-2",
    .quantity = SG_Q_LP_GROUND,
    .form = SG_FORM_LEVEL,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_TYPICAL,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "L_p = 127 - 54 lg x; x in m",
    .cite = CITE("Table E.1"),
};
