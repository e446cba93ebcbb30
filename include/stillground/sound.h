/* sound.h - airborne noise from installing piles, first tier: activity levels and sound powers
 * carried over hard, soft or mixed ground, on-time, screens, facade, sums over plant and period.
 * The octave-band method has its place beside this tier (sound_tier). Pure.
 *
 * Sources: BS 5228-1:2009+A1:2014 Annex F; FTA 2018 Eq. 7-1; FHWA 2006 (grades in the catalogue).
 */
#ifndef STILLGROUND_SOUND_H
#define STILLGROUND_SOUND_H

#include "stillground/value.h"

enum sg_sound_method { SG_SOUND_BS5228, SG_SOUND_FTA };

/* How sound travels from the works to one receptor. */
struct sg_sound_path {
    double distance_m;    /* at least 1 m */
    double soft_fraction; /* 0 hard .. 1 soft ground between (BS 5228) */
    double ground_factor; /* G of the FTA form, 0 hard */
    double screening_db;  /* reduction by a screen, positive */
    bool facade;          /* + 3 dB: 1 m in front of a facade */
};

struct sg_sound_item { /* one kind of plant */
    const char *name;
    enum sg_source_kind kind;
    double level_db;
    double count;
    double on_time_share; /* 0..1 of the averaging period */
    enum sg_grade grade;
    const struct sg_cite *cite; /* NULL = the user's own */
    const char *provenance;     /* of the user's own; NULL or "" = not said */
};

/* Level of one item while it runs, at the receptor. Errors: SG_ERR_DOMAIN under 1 m,
 * SG_ERR_MISSING when the item's level is unset, SG_ERR_INPUT when a count, share, fraction or
 * reduction is out of range. SG_WARN_RANGE beyond 300 m. The count is in it, the on-time is not. */
sg_status sg_sound_item_at(enum sg_sound_method method, const struct sg_sound_item *item,
                           const struct sg_sound_path *path, double *out_db,
                           struct sg_working *working);

/* LAeq over the period of all items, and the loudest single item while it runs.
 * An item whose level is unset makes the sum unset, with out->why. out: quantity laeq.
 * upper = central + the source's and method's combined uncertainty (see the catalogue). */
sg_status sg_sound_period(enum sg_sound_method method, const struct sg_sound_item *item,
                          size_t nitem, const struct sg_sound_path *path, struct sg_value *out,
                          double *loudest_db, struct sg_working *working);

/* The distance at which the period level equals `limit_db`; SG_ERR_NO_SOLUTION when it is below
 * already at 1 m or above at 100 km. */
sg_status sg_sound_distance(enum sg_sound_method method, const struct sg_sound_item *item,
                            size_t nitem, struct sg_sound_path path, double limit_db, double *out);

/* Haul road: LAeq = LWA - 33 + 10 lg Q - 10 lg V - 10 lg d + 10 lg(angle / 180). */
double sg_sound_haul_road(double lwa_db, double vehicles_per_h, double speed_km_h,
                          double distance_m, double angle_deg);
/* G of soft ground in the FTA form from the mean height of source and receiver above the ground. */
double sg_sound_soft_ground_factor(double effective_height_m);
/* Maximum with time weighting fast of one blow, over its exposure level: 10 lg(1 / 0.125 s) less
 * what the decay of the blow's energy takes off. decay unset: the shortest, the highest. */
double sg_sound_blow_fast_db(double decay_ms);
/* Probability that a level lies over a limit, from central and upper value; unset when they are.
 * beside_db: other noise in all three, which does not scatter; 0 or unset = none. */
double sg_sound_exceedance(double central_db, double upper_db, double limit_db, double beside_db);
/* ---- rating and exposure ---- */

/* Day-evening-night level from the three period levels over 12, 4 and 8 h (+ 5, + 10 dB). */
double sg_sound_lden(double day_db, double evening_db, double night_db);
/* Level of the works alone from a level measured with the residual sound in it. Nearer than 3 dB no
 * correction is made; *upper_bound (may be NULL) then says that the result is one. */
double sg_sound_without_residual(double with_db, double residual_db, bool *upper_bound);
/* Longest on-time share times period, h, that keeps a limit. */
double sg_sound_most_hours(double running_db, double limit_db, double period_h);
/* Hong Kong percussive piling: corrected noise level at a distance, and the hours a day (3, 5, 12)
 * that go with its excess over the acceptable level. */
double sg_sound_hk_corrected_db(double lwa_db, double distance_m, bool building, double screen_db);
double sg_sound_hk_hours(double corrected_db, double acceptable_db);
/* Daily exposure LEX,8h of a crew from levels and hours; allowed hours by the 3 dB (85 dB) and the
 * 5 dB (90 dB) exchange rule of the United States documents. */
double sg_sound_exposure_8h(const double *level_db, const double *hours, size_t count);
double sg_sound_hours_3db(double level_db);
double sg_sound_hours_5db(double level_db);
double sg_sound_peak_db(double pressure_pa);

/* LAeq of n equal events of exposure level LAE over a period. */
double sg_sound_events(double lae_db, double n, double period_s);

#endif
