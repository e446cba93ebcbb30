/* fta_lv.c - Plant table, FTA, rms velocity level. */
#include "stillground/catalogue.h"

#define CITE(locus) { "fta2006", locus, SG_GRADE_SEEN }

/* clang-format off */
static const struct sg_coefficient coefficients[] = {
    { SG_ROLE_K, "Lv_ref", "pile-impact", SG_LEVEL_CENTRAL, 104, "dB", CITE("Table 12-2, typical") },
    { SG_ROLE_K, "Lv_ref", "pile-impact", SG_LEVEL_UPPER, 112, "dB", CITE("Table 12-2, upper range") },
    { SG_ROLE_K, "Lv_ref", "pile-sonic", SG_LEVEL_CENTRAL, 93, "dB", CITE("Table 12-2, typical") },
    { SG_ROLE_K, "Lv_ref", "pile-sonic", SG_LEVEL_UPPER, 105, "dB", CITE("Table 12-2, upper range") },
    { SG_ROLE_K, "Lv_ref", "clam-shovel", SG_LEVEL_ANY, 94, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "hydromill-soil", SG_LEVEL_ANY, 66, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "hydromill-rock", SG_LEVEL_ANY, 75, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "vibratory-roller", SG_LEVEL_ANY, 94, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "hoe-ram", SG_LEVEL_ANY, 87, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "large-bulldozer", SG_LEVEL_ANY, 87, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "caisson-drilling", SG_LEVEL_ANY, 87, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "loaded-trucks", SG_LEVEL_ANY, 86, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "jackhammer", SG_LEVEL_ANY, 79, "dB", CITE("Table 12-2") },
    { SG_ROLE_K, "Lv_ref", "small-bulldozer", SG_LEVEL_ANY, 58, "dB", CITE("Table 12-2") },
    { SG_ROLE_R_REF, "D_ref", NULL, SG_LEVEL_ANY, 25, "ft", CITE("sect. 12.2.1") },
    { SG_ROLE_N, "n", NULL, SG_LEVEL_ANY, 30, "", CITE("sect. 12.2.1") },
};
/* clang-format on */
static const char *const notes[] = {
    "level column of the table, not recomputed: hydromill in rock is printed as 75 where its velocity gives 73",
    NULL,
};

const struct sg_model sg_model_fta_lv = {
    .id = "fta-lv",
    .title = "Plant table, FTA, rms velocity level",
    .quantity = SG_Q_LV_US,
    .form = SG_FORM_LEVEL,
    .k_by = SG_KEY_VARIANT,
    .default_variant = { [SG_IMPACT] = "pile-impact", [SG_VIBRATORY] = "pile-sonic",
                         [SG_PRESS_IN_AUGERING] = "caisson-drilling" },
    .coefficient = coefficients,
    .ncoefficient = SG_COUNT(coefficients),
    .upper = SG_UPPER_RANGE,
    .exceedance_percent = { SG_UNSET, SG_UNSET, SG_UNSET },
    .formula = "Lv = Lv_ref - 30 lg(D/25); D in ft; VdB re 1 uin/s",
    .note = notes,
    .cite = CITE("sect. 12.2.1, Table 12-2; same in FTA 2018 Eq. 7-3"),
};
