/* outdoor_numbers.c - numbers of ISO 9613-1:1993 and ISO 9613-2:1996, and of the readings that
 * ISO/TR 17534-3:2015 fixes. Read in published transcriptions, not on paper; place and grade beside
 * each group.
 */
#include "stillground/outdoor_numbers.h"

const struct sg_air_numbers sg_air_numbers = {
    .t0_k = 293.15, .t01_k = 273.16, .pr_kpa = 101.325,
    .saturation_slope = -6.8346, .saturation_power = 1.261, .saturation_offset = 4.6151,
    .oxygen_base = 24.0, .oxygen_factor = 4.04e4, .oxygen_a = 0.02, .oxygen_b = 0.391,
    .nitrogen_base = 9.0, .nitrogen_factor = 280.0, .nitrogen_exponent = 4.170,
    .db_per_neper = 8.686, .classical = 1.84e-11,
    .oxygen_strength = 0.01275, .oxygen_k = 2239.1,
    .nitrogen_strength = 0.1068, .nitrogen_k = 3352.0,
    .t_low_c = -20.0, .t_high_c = 50.0, .rh_low = 10.0, .rh_high = 100.0, .p_high_kpa = 200.0,
    .f_low_hz = 50.0, .f_high_hz = 10000.0,
    .cite = { "iso9613-1", "Eq. (3) to (5), Annex B", SG_GRADE_SEEN },
};

const struct sg_outdoor_numbers sg_outdoor_numbers = {
    .a_weight_db = { -26.2, -16.1, -8.6, -3.2, 0.0, 1.2, 1.0, -1.1 },
    .divergence_db = 11.0,
    .region_heights = 30.0,
    .region_db = -1.5,
    .middle_db = -3.0,
    .ground = {
        { 1.5, { { 3.0, 0.12, 5.0, 1.0 / 50.0, 1.0 }, { 5.7, 0.09, 0.0, 2.8e-6, 2.0 } } },
        { 1.5, { { 8.6, 0.09, 0.0, 1.0 / 50.0, 1.0 }, { 0, 0, 0, 0, 1.0 } } },
        { 1.5, { { 14.0, 0.46, 0.0, 1.0 / 50.0, 1.0 }, { 0, 0, 0, 0, 1.0 } } },
        { 1.5, { { 5.0, 0.9, 0.0, 1.0 / 50.0, 1.0 }, { 0, 0, 0, 0, 1.0 } } },
    },
    .alternative_db = 4.8, .alternative_a = 17.0, .alternative_b = 300.0,
    .dz_base = 3.0, .c2 = 20.0, .edge_factor = 5.0, .edge_third = 1.0 / 3.0,
    .cap_one_db = 20.0, .cap_more_db = 25.0,
    .meteo_length_m = 2000.0,
    .sound_speed_m_s = 340.0,
    .weather_heights = 10.0,
    .least_reflection = 0.2,
    .side_ratio = 8.0,
    .nominal_500_hz = 500.0,
    .arc_m = 5000.0, .foliage_from_m = 10.0, .foliage_by_length_m = 20.0, .foliage_most_m = 200.0,
    .foliage_short_db = { 0, 0, 1, 1, 1, 1, 2, 3 },
    .foliage_db_m = { 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.09, 0.12 },
    .industry_db_m = { 0, 0.015, 0.025, 0.025, 0.02, 0.02, 0.015, 0.015 }, .industry_most_db = 10.0,
    .housing_factor = 0.1, .housing_most_db = 10.0,
    .accuracy = { { 5, 100, 3 }, { 5, 1000, 3 }, { 30, 100, 1 }, { 30, 1000, 3 } },
};

static const struct sg_cite cites[SG_FROM_END] = {
    [SG_FROM_LEVEL] = { "iso9613-2", "Eq. (3), (4)", SG_GRADE_SEEN },
    [SG_FROM_DIVERGENCE] = { "iso9613-2", "Eq. (7)", SG_GRADE_SEEN },
    [SG_FROM_AIR] = { "iso9613-2", "Eq. (8); ISO 9613-1 Eq. (3) to (5)", SG_GRADE_SEEN },
    [SG_FROM_GROUND] = { "iso9613-2", "Eq. (9), Table 3", SG_GRADE_SEEN },
    [SG_FROM_ALTERNATIVE] = { "iso9613-2", "Eq. (10), (11)", SG_GRADE_SEEN },
    [SG_FROM_SCREEN] = { "iso9613-2", "Eq. (12) to (18)", SG_GRADE_SEEN },
    [SG_FROM_CAPS] = { "iso17534-3", "5.2 to 5.8", SG_GRADE_SEEN },
    [SG_FROM_SIZE] = { "iso9613-2", "7.4, size of a screen", SG_GRADE_MEMORY_HIGH },
    [SG_FROM_REFLECTION] = { "iso9613-2", "Eq. (19), (20)", SG_GRADE_SEEN },
    [SG_FROM_WEATHER] = { "iso9613-2", "Eq. (21), (22)", SG_GRADE_SEEN },
    [SG_FROM_500_HZ] = { "iso9613-2", "clause 1, note on A-weighted levels", SG_GRADE_MEMORY_HIGH },
    [SG_FROM_A_WEIGHTS] = { "iso9613-2", "Eq. (5)", SG_GRADE_SEEN },
    [SG_FROM_FOLIAGE] = { "iso9613-2", "Annex A.1, Table A.1", SG_GRADE_MEMORY_HIGH },
    [SG_FROM_INDUSTRY] = { "iso9613-2", "Annex A.2, Table A.2", SG_GRADE_MEMORY_HIGH },
    [SG_FROM_HOUSING] = { "iso9613-2", "Annex A.3", SG_GRADE_MEMORY_HIGH },
    [SG_FROM_ACCURACY] = { "iso9613-2", "Table 5", SG_GRADE_MEMORY_HIGH },
};

const struct sg_cite *sg_outdoor_cite(enum sg_outdoor_source source)
{
    return (size_t)source < SG_COUNT(cites) ? &cites[source] : NULL;
}
