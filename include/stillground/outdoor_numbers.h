/* outdoor_numbers.h - the published numbers of the octave-band method, one place each. */
#ifndef STILLGROUND_OUTDOOR_NUMBERS_H
#define STILLGROUND_OUTDOOR_NUMBERS_H

#include "stillground/scene.h"

/* ISO 9613-1:1993 Eq. (3) to (5), Annex B. Symbols as printed. */
struct sg_air_numbers {
    double t0_k, t01_k, pr_kpa;
    double saturation_slope, saturation_power, saturation_offset;
    double oxygen_base, oxygen_factor, oxygen_a, oxygen_b;
    double nitrogen_base, nitrogen_factor, nitrogen_exponent;
    double db_per_neper, classical;
    double oxygen_strength, oxygen_k, nitrogen_strength, nitrogen_k;
    double t_low_c, t_high_c, rh_low, rh_high, p_high_kpa, f_low_hz, f_high_hz;
    struct sg_cite cite;
};
extern const struct sg_air_numbers sg_air_numbers;

/* One of the functions a' .. d' of ISO 9613-2 Table 3: base + sum of terms
 * strength exp(-decay (h - shift)^2) (1 - exp(-rate dp^power)). */
struct sg_ground_term {
    double strength, decay, shift_m, rate, power;
};
struct sg_ground_function_row {
    double base;
    struct sg_ground_term term[2];
};

/* Table 5: accuracy stated for mean heights and distances up to these bounds; the first row that
 * fits holds. */
struct sg_accuracy_class {
    double height_m, distance_m, plus_minus_db;
};
#define SG_ACCURACY_CLASSES 4

struct sg_outdoor_numbers {
    double a_weight_db[SG_BANDS];
    double divergence_db;  /* Adiv = 20 lg d + this */
    double region_heights; /* length of the end regions in heights: 30 */
    double region_db;      /* -1.5 at each end */
    double middle_db;      /* -3 q */
    struct sg_ground_function_row ground[4];
    double alternative_db, alternative_a, alternative_b; /* Eq. (10) */
    double dz_base;                                      /* 3 in Eq. (14) */
    double c2;                                           /* 20 */
    double edge_factor, edge_third;                      /* 5 and 1/3 in Eq. (15) */
    double cap_one_db, cap_more_db;
    double meteo_length_m;   /* 2000 in Eq. (18) */
    double sound_speed_m_s;  /* wavelength = 340 / f */
    double weather_heights;  /* 10 in Eq. (21) */
    double least_reflection; /* 0.2 */
    double side_ratio;       /* ways round longer than 8 times the way over are left out */
    double nominal_500_hz;   /* band of sources known by their A-weighted level */
    double arc_m;            /* radius of the curved way through foliage, sites, houses */
    double foliage_from_m;   /* less foliage on the way counts nothing */
    double foliage_by_length_m, foliage_most_m;
    double foliage_short_db[SG_BANDS]; /* from foliage_from_m to foliage_by_length_m */
    double foliage_db_m[SG_BANDS];     /* from there to foliage_most_m */
    double industry_db_m[SG_BANDS], industry_most_db;
    double housing_factor, housing_most_db; /* Ahous,1 = factor B db */
    struct sg_accuracy_class accuracy[SG_ACCURACY_CLASSES];
};
extern const struct sg_outdoor_numbers sg_outdoor_numbers;

/* Where each comes from. */
enum sg_outdoor_source {
    SG_FROM_LEVEL,
    SG_FROM_DIVERGENCE,
    SG_FROM_AIR,
    SG_FROM_GROUND,
    SG_FROM_ALTERNATIVE,
    SG_FROM_SCREEN,
    SG_FROM_CAPS,
    SG_FROM_SIZE,
    SG_FROM_REFLECTION,
    SG_FROM_WEATHER,
    SG_FROM_500_HZ,
    SG_FROM_A_WEIGHTS,
    SG_FROM_ACCURACY,
    SG_FROM_FOLIAGE,
    SG_FROM_INDUSTRY,
    SG_FROM_HOUSING,
    SG_FROM_END
};
const struct sg_cite *sg_outdoor_cite(enum sg_outdoor_source source);

#endif
