/* outdoor.h - airborne sound in octave bands from a point source to a point: divergence, air,
 * ground, screens, reflections, weather. The second tier beside sound.h. Pure.
 *
 * Sources: ISO 9613-1:1993; ISO 9613-2:1996 with the readings of ISO/TR 17534-3:2015 (numbers and
 * grades in the catalogue). The edition of 2024 has its place in enum sg_outdoor_edition
 * (scene.h); it is not built, because its equations were not at hand.
 */
#ifndef STILLGROUND_OUTDOOR_H
#define STILLGROUND_OUTDOOR_H

#include "stillground/scene.h"
#include "stillground/sound.h"

/* Nominal (for wavelengths) and exact (for the air) mid-band frequency of a band. */
double sg_octave_nominal_hz(size_t band);
double sg_octave_exact_hz(size_t band);
double sg_octave_a_weight_db(size_t band);
/* A-weighted total of eight unweighted band levels; unset bands are skipped. */
double sg_octave_a_level(const double *band_db);

/* ---- terms by themselves --------------------------------------------------------------------- */

/* Attenuation by air, dB/km, at one frequency (ISO 9613-1 Eq. (3) to (5)). Unset outside
 * -20 .. +50 C, 10 .. 100 %, up to 200 kPa, 50 Hz .. 10 kHz. */
double sg_air_absorption_db_km(const struct sg_air *air, double frequency_hz);

double sg_divergence_db(double distance_m);

/* What the general ground method needs of a path. */
struct sg_ground_path {
    double source_height_m, receptor_height_m; /* above the ground at their places */
    double plan_m;                             /* dp */
    double g_source, g_middle, g_receptor;
};
/* Functions a', b', c', d' of Table 3 (which: 0..3). */
double sg_ground_function(size_t which, double height_m, double plan_m);
double sg_ground_middle_share(const struct sg_ground_path *path); /* q */
/* Attenuation of the three regions and in all, dB per band; parts may be NULL. */
void sg_ground_general(const struct sg_ground_path *path, double *total_db, double *source_db,
                       double *middle_db, double *receptor_db);
/* The alternative method: Agr for the A-weighted level, and the solid angle D-omega. */
double sg_ground_alternative_db(double distance_m, double mean_height_m);
double sg_ground_solid_angle_db(double source_height_m, double receptor_height_m, double plan_m);

/* Attenuation by what the way goes through (Annex A), dB per band: metres of dense foliage, metres
 * of industrial site, and for housing the sum of B db with B the built share and db the metres
 * through it. That of housing takes the place of the ground attenuation where it is the greater:
 * here only what it has more than a ground attenuation over 0. */
void sg_foliage_db(double through_m, double *db);
void sg_industry_db(double through_m, double *db);
void sg_housing_db(double built_m, const double *ground_db, double *db);

/* Way over or round edges. */
struct sg_edges {
    size_t count;           /* 0 = the way is free */
    double first_m, last_m; /* dss, dsr */
    double between_m;       /* e, from the first to the last edge */
    double detour_m;        /* z: length of the way less the direct distance */
    double direct_m;        /* d */
    bool side;              /* round vertical edges: no K_met */
    double meteo;           /* K_met, filled by sg_screen_meteo */
};
double sg_screen_meteo(const struct sg_edges *edges);
/* Dz by Eq. (14), at least 0. Without the caps. */
double sg_screen_db(const struct sg_edges *edges, double wavelength_m);
/* Dz with the cap of the way over the top (20 dB one edge, 25 dB more). */
double sg_screen_capped_db(const struct sg_edges *edges, double wavelength_m);
/* Abar from the way over the top and those round the sides. top_dz_db: with its cap. */
double sg_screen_combined_db(double top_dz_db, double ground_db, const double *side_db,
                             size_t nside);

/* Cmet, Eq. (21), (22). */
double sg_weather_db(double c0_db, double source_height_m, double receptor_height_m, double plan_m);
/* Size condition of a reflecting face, Eq. (19). */
bool sg_reflection_counts(double least_size_m, double cos_incidence, double before_m,
                          double after_m, double wavelength_m);

/* Generic screen formulas for comparison: Fresnel number N = 2 detour / wavelength. */
double sg_screen_kurze_db(double fresnel);
double sg_screen_maekawa_db(double fresnel);

/* ---- a scene made ready ---------------------------------------------------------------------- */

struct sg_outdoor; /* scene with ground, indexed obstacles and faces; owned by the arena */

/* Checks the scene and makes it ready. Errors (all of them in one run): outlines that cross
 * themselves, walls without height, points inside buildings or under the ground, points of the
 * terrain given twice with different heights. The scene is borrowed. */
sg_status sg_outdoor_make(const struct sg_scene *scene, struct sg_arena *arena,
                          const struct sg_outdoor **out, struct sg_errors *errors);
double sg_outdoor_ground_m(const struct sg_outdoor *outdoor, double x_m, double y_m);
/* Where a point stands: its ground and its height above it. Errors as for sg_outdoor_make. */
sg_status sg_outdoor_place(const struct sg_outdoor *outdoor, const char *what, const char *name,
                           const struct sg_spot3 *at, struct sg_spot3 *out,
                           struct sg_errors *errors);

/* The same, with the place in a file where the point was given; from may be NULL. */
sg_status sg_outdoor_place_from(const struct sg_outdoor *outdoor, const char *what,
                                const char *name, const struct sg_place *from,
                                const struct sg_spot3 *at, struct sg_spot3 *out,
                                struct sg_errors *errors);

/* One way of the sound: direct, or by image sources. */
struct sg_outdoor_path {
    size_t order;          /* 0 = direct; reflections on the way */
    const char *mirror[3]; /* names of what reflects */
    struct sg_ground_path ground;
    double q;
    double distance_m;            /* d */
    double mean_height_m;         /* hm of the alternative method */
    bool by_mean_height;          /* the alternative method is used */
    struct sg_edges top, side[2]; /* of the lowest band that they count in */
    double dc_db;                 /* D-omega of the alternative method, facade */
    bool facade;                  /* + 3 dB is in dc_db */
    double adiv_db;
    double aatm_db[SG_BANDS], agr_db[SG_BANDS], abar_db[SG_BANDS];
    double cover_m[SG_COVER_END]; /* of the curved way through each kind */
    double built_m;               /* housing: sum of B db */
    double amisc_db[SG_COVER_END][SG_BANDS];
    double top_db[SG_BANDS];     /* Dz over the top with its cap */
    double side_db[2][SG_BANDS]; /* Dz round the sides; unset = none */
    double mirror_db[SG_BANDS];  /* change of the sound power by the reflections; unset = band
                                      * is not reflected */
    double cmet_db;
};
#define SG_OUTDOOR_PATHS 256

/* From one source to one receptor. band_db: unset for a source known as an A-weighted total. */
struct sg_outdoor_level {
    double band_db[SG_BANDS]; /* LfT(DW), unweighted, all paths */
    double a_db;              /* LAT(DW) */
    double long_term_db;      /* LAT(LT) = LAT(DW) - Cmet, path by path */
    bool by_500_hz;           /* only an A-weighted power was known */
};

/* All ways from a source to a receptor into path, the direct one first, *count how many; where
 * there are more than max, the shortest. Errors: SG_ERR_DOMAIN when the points are nearer than 1 m
 * to each other, SG_ERR_NOMEM. */
sg_status sg_outdoor_paths(const struct sg_outdoor *outdoor, const struct sg_spot3 *source,
                           const struct sg_spot3 *receptor, bool facade,
                           struct sg_outdoor_path *path, size_t max, size_t *count);
/* The level of a source over these ways. */
void sg_outdoor_level(const struct sg_emitter *emitter, const struct sg_outdoor_path *path,
                      size_t count, struct sg_outdoor_level *out);
/* The octave table of every term, in the order of the standard, as lines of a hand calculation. */
void sg_outdoor_explain(const struct sg_emitter *emitter, const struct sg_outdoor_path *path,
                        size_t count, const struct sg_outdoor_level *level,
                        struct sg_working *working);

/* ---- accuracy ---- */

/* The accuracy that the standard states (Table 5, plus or minus, dB) for levels of broadband sound
 * without screens and reflections, by the mean of source and receptor height. Unset where it states
 * none: beyond 1 km, or 30 m and higher. */
double sg_outdoor_accuracy_db(double mean_height_m, double distance_m);

/* ---- plant over a shift ---------------------------------------------------------------------- */

/* From the start to the end of a drive, by trapezoids: behind one screen the mean comes out within
 * 0.3 dB of that over any number of heights (five: 0.7 dB). */
#define SG_OUTDOOR_HEIGHTS 9
struct sg_outdoor_plant {
    const struct sg_sound_item *item; /* level, count, on-time */
    const double *octave_db;          /* sound power in bands; NULL = the A-weighted level alone */
    double start_height_m, end_height_m;
};
/* Where the plant stands during the shift, in the order in which it moves. */
struct sg_outdoor_shift {
    const struct sg_spot3 *position; /* plan only */
    size_t nposition;
    const struct sg_spot3 *receptor; /* placed */
    bool facade;
    double screening_db; /* reduction that the user gives besides the scene */
};
/* Level of one item while it runs: energy mean over positions and over heights from the start to
 * the end of a drive, and the highest of them. loudest_band_db (may be NULL): the bands behind the
 * highest, unset when the bands are not known. The count is in the mean, not in the highest. */
sg_status sg_outdoor_plant_at(const struct sg_outdoor *outdoor,
                              const struct sg_outdoor_plant *plant,
                              const struct sg_outdoor_shift *shift, double *mean_db,
                              double *loudest_db, double *loudest_band_db,
                              struct sg_working *working);
/* LAeq over the period of all plant; as sg_sound_period. part_db (may be NULL): of each item. */
sg_status sg_outdoor_period(const struct sg_outdoor *outdoor, const struct sg_outdoor_plant *plant,
                            size_t nplant, const struct sg_outdoor_shift *shift,
                            struct sg_value *out, double *loudest_db, double *part_db,
                            struct sg_working *working);

#endif
