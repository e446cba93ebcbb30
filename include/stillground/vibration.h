/* vibration.h - ground vibration from installing piles: published relations evaluated, inverted and
 * explained; the way into buildings. Pure: no files, no globals; the same input gives the same
 * bits.
 */
#ifndef STILLGROUND_VIBRATION_H
#define STILLGROUND_VIBRATION_H

#include "stillground/site_law.h"
#include "stillground/value.h"

/* Below this plan distance every relation is refused. */
#define SG_NEAREST_M 1.0

/* What is being done to the pile at one moment. Unset numbers are NaN. */
struct sg_drive {
    enum sg_technique technique;
    enum sg_phase phase;
    double energy_J;             /* per blow (impact) or per cycle (vibratory) */
    double toe_depth_m;          /* of the pile at this moment */
    enum sg_ground_group ground; /* of the layer at the toe */
    int propagation_class;       /* 1..4 of the ground the waves cross; 0 = the model's default */
    const char *variant;         /* row of a machine table; NULL = the model's default */
    double percentile;           /* wanted for the upper value, 50..99 */
    double drum_amplitude_mm, drum_width_m, drums; /* rollers only */
    /* propagation from one reference value */
    double reference_value, reference_distance_m, damping_per_m, exponent;
    double frequency_hz; /* for damping that grows with frequency */
    /* what the user changed */
    const char *const *constant_symbol;
    const double *constant_value;
    size_t nconstant;
    double reduction_dB;                /* justified by the user; 0 = none */
    const struct sg_site_law *site_law; /* takes the place of the relation; NULL = none */
};
#define SG_DRIVE_INIT                                                                              \
    ((struct sg_drive){ .phase = SG_PHASE_ALL,                                                     \
                        .energy_J = SG_UNSET,                                                      \
                        .toe_depth_m = SG_UNSET,                                                   \
                        .ground = SG_GROUND_MEDIUM,                                                \
                        .percentile = 95.0,                                                        \
                        .drum_amplitude_mm = SG_UNSET,                                             \
                        .drum_width_m = SG_UNSET,                                                  \
                        .drums = SG_UNSET,                                                         \
                        .reference_value = SG_UNSET,                                               \
                        .reference_distance_m = SG_UNSET,                                          \
                        .damping_per_m = SG_UNSET,                                                 \
                        .exponent = SG_UNSET,                                                      \
                        .frequency_hz = SG_UNSET })

/* A relation with all its constants in place: value = f(plan distance). */
struct sg_law {
    enum sg_form form;
    enum sg_distance_kind distance;
    double k, m, n, w_ref, r_ref, alpha; /* SG_FORM_POWER, _ROLLER, _LEVEL (k = L_0) */
    double a, b, c;                      /* SG_FORM_LOG */
    double energy_J;                     /* 1 when the relation has no energy term */
    double toe_depth_m;                  /* 0 for plan distance */
    double factor;                       /* user's reduction as an amplitude factor */
    double amplitude_mm, width_m, drums;
    double second_k, second_n, second_r_ref; /* SG_FORM_LARGER: the other power law; k 0 = none */
    enum sg_grade grade;                     /* worst of the constants used */
    bool user;                               /* a constant was replaced by the user */
    double exceedance_percent;               /* of this row; unset = not stated */
    const struct sg_site_law *site;          /* the law is this one; NULL = the forms above */
    double percentile;                       /* of the site law's upper limit; 50 = its line */
};

/* The row of a model that stands for the wanted percentile: the one with the largest share of cases
 * above it that is not more than asked for, else the last; *exceedance is that share in percent
 * (unset = not stated). */
enum sg_level sg_model_upper_level(const struct sg_model *model, double percentile,
                                   double *exceedance);

/* Puts the constants of one row (central or upper) in place.
 * Errors: SG_ERR_MISSING (an input the formula needs), SG_ERR_UNKNOWN (no such row). */
sg_status sg_law_prepare(const struct sg_model *model, const struct sg_drive *drive,
                         enum sg_level level, struct sg_law *out, struct sg_errors *errors);
/* The value at a plan distance (the model's quantity). Unset below SG_NEAREST_M. */
double sg_law_at(const struct sg_law *law, double distance_m);
/* The plan distance at which the law equals `value`: SG_ERR_NO_SOLUTION when it is below `value`
 * already at SG_NEAREST_M (*out = SG_NEAREST_M) or above it at 100 km. */
sg_status sg_law_distance(const struct sg_law *law, double value, double *out);

/* Central and upper value at a plan distance, with marks and the meaning of the upper value.
 * Returns SG_WARN_RANGE when an input lies outside the source's range; SG_ERR_DOMAIN below
 * SG_NEAREST_M (out->why says so). working (may be NULL) receives the hand calculation. */
sg_status sg_vibration_at(const struct sg_model *model, const struct sg_drive *drive,
                          double distance_m, struct sg_value *out, struct sg_working *working,
                          struct sg_errors *errors);

/* The plausible frequency band of a drive: around the driving frequency for vibratory driving,
 * else by technique and ground from the catalogue. */
void sg_vibration_band(const struct sg_drive *drive, double driving_frequency_hz,
                       bool variable_moment, struct sg_value *value);

/* ---- laws fitted to the site ----------------------------------------------------------------- */

/* Parts of a site law (see site_law.h): its abscissa, its line, the standard deviation of one value
 * more, its upper line at a percentile; all in lg units or dB. sg_site_law_value turns a Y back. */
double sg_site_law_x(const struct sg_site_law *law, double distance_m, double energy_J);
double sg_site_law_line(const struct sg_site_law *law, double x);
double sg_site_law_spread(const struct sg_site_law *law, double x);
double sg_site_law_upper(const struct sg_site_law *law, double x, double percentile);
double sg_site_law_value(const struct sg_site_law *law, double y);
/* Whether a value lies so far from the line that fewer than one in a hundred would. `leverage` is
 * the value's own on an ordinary line; 0, with an infinite dof, where it is not known. */
bool sg_site_law_wild(double residual, double scatter, double leverage, double dof);
/* The percentile that is used: the law's own, or the wanted one when it is higher. */
double sg_site_law_percentile(const struct sg_site_law *law, double wanted);

/* How to get from the ground into a building; a factor of NaN is "not given". */
struct sg_into_building {
    double foundation_factor;                 /* amplitude, ground to foundation */
    double floor_factor;                      /* amplitude, foundation to the floor judged */
    const char *foundation_from, *floor_from; /* where they came from */
    enum sg_grade grade;
};
/* Moves a free-field value to `position`. SG_ERR_UNDETERMINED with out->why when the factor that is
 * needed was not given. Free field to foundation without a factor: taken one to one, no credit,
 * noted in the working. */
sg_status sg_vibration_into(const struct sg_value *free_field, const struct sg_into_building *into,
                            enum sg_position position, struct sg_value *out,
                            struct sg_working *working);
/* Amplitude factor of a level change. */
double sg_factor_from_db(double level_db);

/* ---- many pairs ------------------------------------------------------------------------------ */

/* Points as arrays of equal length. */
struct sg_field_points {
    const double *x_m, *y_m;
    size_t count;
};
#define SG_FIELD_STAGES_MAX 256

/* For every receptor: the largest value over the piles, and the sum over the piles of the fourth
 * power of each pile's worst stage (for doses). All piles go through the same stages; peak and sum4
 * have one place a receptor. threads 0 = as many as there are; the result does not depend on it.
 * SG_ERR_USAGE without stages. */
sg_status sg_law_field(const struct sg_law *stage, size_t nstage,
                       const struct sg_field_points *piles, const struct sg_field_points *receptors,
                       int threads, double *peak, double *sum4);
/* The same by a plain loop over sg_law_at; the tests compare the two. */
sg_status sg_law_field_plain(const struct sg_law *stage, size_t nstage,
                             const struct sg_field_points *piles,
                             const struct sg_field_points *receptors, double *peak, double *sum4);

#endif
