/* bs5228_2_vibratory.c - vibratory piling, BS 5228-2 Table E.1 (TRL 429), three shares of exceedance. */
#include "stillground/catalogue.h"

#define CITE(locus) { "bs5228-2", locus, SG_GRADE_MEMORY_HIGH }
/* Read in a secondary page that states a word-for-word check against TRL 429. */
#define SEEN(locus) { "trl429", locus, SG_GRADE_SEEN }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "k_v",   NULL,         SG_LEVEL_CENTRAL,  60, "mm/s", SEEN("sect. 5.6.3") },
    { SG_ROLE_K, "k_v",   NULL,         SG_LEVEL_MIDDLE,  126, "mm/s", SEEN("sect. 5.6.3") },
    { SG_ROLE_K, "k_v",   NULL,         SG_LEVEL_UPPER,   266, "mm/s", SEEN("sect. 5.6.3") },
    { SG_ROLE_N, "delta", "all",        SG_LEVEL_ANY,     1.3, "",     SEEN("sect. 5.6.3") },
    { SG_ROLE_N, "delta", "start-stop", SG_LEVEL_ANY,     1.2, "",     SEEN("sect. 5.6.3") },
    { SG_ROLE_N, "delta", "steady",     SG_LEVEL_ANY,     1.4, "",     SEEN("sect. 5.6.3") },
};
static const struct sg_range ranges[] = {
    { "distance_m",     1, 100,      SEEN("sect. 5.6.3") },
    { "cycle_energy_J", 1200, 10700, SEEN("sect. 5.6.3") },
};
/* clang-format on */
static const char *const notes[] = {
    "the energy of a cycle bounds the data but does not enter the relation: machine size, force and "
    "frequency make no difference here",
    "the three rows are used as a table, with the document's own labels; nothing is interpolated",
    "a machine whose weights are moved out of phase at start and stop has no start-up case",
    NULL,
};

const struct sg_model sg_model_bs5228_2_vibratory = {
    .id = "bs5228-2-vibratory",
    .title = "Vibratory piling, BS 5228-2",
    .quantity = SG_Q_PPV,
    .techniques = SG_TECHNIQUE_BIT(SG_VIBRATORY),
    .form = SG_FORM_POWER,
    .phases = true,
    .n_by = SG_KEY_PHASE,
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .range = ranges,
    .nrange = SG_COUNT(ranges),
    .upper = SG_UPPER_EXCEEDANCE,
    .exceedance_percent = { 50, 33.3, 5 },
    .formula = "v = k_v / x^delta; x in m",
    .note = notes,
    .cite = CITE("Table E.1"),
};
