/* fit.h - laws of one site from its own measurements: fitted, updated from a published relation,
 * held against what was measured, and turned into the chance that a limit is passed.
 *
 * Y = a + b X with X = lg r or lg(r / sqrt(W)) and Y = lg v, or a level in dB. Pure: values come in
 * as arrays or as the cells of a table that the site room read; nothing here opens a file.
 *
 * Not here: evaluating a law for a site (vibration.h), reading its file (site.h).
 */
#ifndef STILLGROUND_FIT_H
#define STILLGROUND_FIT_H

#include "stillground/limits.h"
#include "stillground/site.h"
#include "stillground/vibration.h"

#define SG_FIT_POINTS_MIN 3u   /* fewer say nothing of scatter: refused */
#define SG_FIT_POINTS_LAW 6u   /* a free line on fewer is printed, not kept as a law (practice) */
#define SG_FIT_POINTS_WARN 20u /* fewer carry a warning (practice) */
#define SG_FIT_SPAN_WARN 3.0 /* largest over smallest distance; less carries a warning (practice) */
#define SG_FIT_ENERGY_SPAN_WARN 1.5 /* largest over smallest energy on plain distance (practice) */
#define SG_FIT_STEEPEST (-2.5)      /* slopes outside carry a warning (practice) */
#define SG_FIT_FLATTEST (-0.5)

/* ---- values and distances -------------------------------------------------------------------- */

/* One measured value. Texts are "" when not given; unset numbers are NaN. */
struct sg_pair {
    double distance_m; /* plan, or to the toe: as struct sg_pairs says */
    double value;      /* mm/s, or dB */
    double energy_J;   /* per blow or cycle */
    double toe_depth_m;
    double frequency_hz;
    double predicted, predicted_upper; /* what somebody predicted there, in the value's unit */
    const char *receptor, *position, *pile, *axis, *phase, *group;
    struct sg_place place; /* of its value */
};

struct sg_pairs {
    struct sg_arena arena;
    struct sg_pair *pair;
    size_t count;
    enum sg_quantity quantity;
    bool scaled_only; /* distance_m holds r / sqrt(W), m / sqrt(J) */
    enum sg_distance_kind distance;
    const char *file;
    const char *selection; /* what was chosen and left out, one line */
    size_t left_out;       /* rows that `only` and the phases left out */
    const char **note;     /* columns passed over, decisions taken */
    size_t nnote;
};
#define SG_PAIRS_INIT ((struct sg_pairs){ .arena = SG_ARENA_INIT, .file = "", .selection = "" })
void sg_pairs_release(struct sg_pairs *pairs);

/* How a table is understood. Lists hold nlist texts of the form "key=value". */
struct sg_pairs_options {
    const char *const *column; /* role=HEADER or role=HEADER:UNIT */
    size_t ncolumn;
    const char *const *only; /* HEADER=VALUE: rows with another value are left out */
    size_t nonly;
    const char *const *pool; /* headers (or roles) whose values may be thrown together */
    size_t npool;
    const char *group; /* header (or role) that parts the scatter; NULL = none */
    bool to_toe;       /* distance to the toe from plan distance and depth */
    bool every_value;  /* keep all values; else the largest of a pile at a receptor */
};

/* The pairs of a table of distances and values. Wrong cells and columns are reported with their
 * place; then nothing is kept. */
sg_status sg_pairs_from_table(const struct sg_grid *table, const struct sg_pairs_options *options,
                              struct sg_pairs *out, struct sg_errors *errors);
/* The pairs of measured intervals and a pile log: the pile being driven at the time, its toe depth
 * and energy, the distance from the site's geometry. */
sg_status sg_pairs_from_log(const struct sg_grid *measured, const struct sg_grid *log,
                            const struct sg_site *site, const struct sg_pairs_options *options,
                            struct sg_pairs *out, struct sg_errors *errors);
/* Seconds since 1970-01-01T00:00 of "2026-05-04T09:30:00", with Z, an offset or neither; *zoned
 * says whether one was given. */
sg_status sg_parse_time(const char *text, double *out_s, bool *zoned);

/* ---- fits ------------------------------------------------------------------------------------ */

enum sg_fit_kind { SG_FIT_ORDINARY, SG_FIT_ROBUST, SG_FIT_MIXED, SG_FIT_UPDATE, SG_FIT_KIND_END };
const char *sg_fit_kind_id(enum sg_fit_kind kind); /* "ordinary", "robust", "mixed", "update" */

/* A published relation as prior knowledge, in the axes of the fit. */
struct sg_prior {
    double intercept, slope; /* of the published line */
    double scatter;          /* its standard deviation in all, lg units */
    double site_share;       /* of its variance, that sites differ by: 0..1 */
    double slope_scatter;    /* standard deviation of the slope between sites */
    double centre;           /* X at which intercept and slope vary independently */
    double weight;           /* values that its scatter is worth */
    const char *name;
};

struct sg_fit_options {
    enum sg_fit_kind kind;
    bool scaled;                         /* X = lg(r / sqrt(W)) */
    double fixed_slope;                  /* unset = fitted */
    const struct sg_prior *prior;        /* SG_FIT_UPDATE */
    double shared_scatter, pile_scatter; /* set by the user, lg units or dB; unset = from the fit */
};
#define SG_FIT_OPTIONS_INIT                                                                        \
    ((struct sg_fit_options){                                                                      \
        .fixed_slope = SG_UNSET, .shared_scatter = SG_UNSET, .pile_scatter = SG_UNSET })

struct sg_fit_point {
    double x, y;         /* as fitted */
    double residual;     /* y - line */
    double standardised; /* residual over its standard deviation, leverage counted */
    double weight;       /* of a robust fit; 1 otherwise */
    bool outlier;        /* shown, never dropped */
};

struct sg_fit {
    struct sg_arena arena;
    struct sg_site_law law; /* line, scatter and what its limits need; borrows texts */
    enum sg_fit_kind kind;
    bool slope_fixed;
    double r_squared;
    double x_mean, s_xx;                 /* of the abscissae */
    double intercept_error, slope_error; /* standard errors; unset when fixed */
    double span;                         /* largest over smallest distance */
    size_t count, ngroup, noutlier;
    struct sg_fit_point *point; /* in the order of the pairs */
    const char **warning;
    size_t nwarning;
};
#define SG_FIT_INIT ((struct sg_fit){ .arena = SG_ARENA_INIT, .law = SG_SITE_LAW_INIT })

/* Fits a law. Refused with the reason: fewer than SG_FIT_POINTS_MIN values, one distance without a
 * fixed slope, values that are not above zero, energies that are missing. */
sg_status sg_fit_make(const struct sg_pairs *pairs, const struct sg_fit_options *options,
                      struct sg_fit *out, struct sg_errors *errors);
void sg_fit_release(struct sg_fit *fit);

/* The prior of a published relation near a distance: straight there in the fit's axes. Its scatter
 * is that between its central row and the row of a stated exceedance; SG_ERR_MISSING when it states
 * none and scatter is unset. */
sg_status sg_prior_make(const struct sg_model *model, const struct sg_drive *drive, bool scaled,
                        double centre_m, double scatter, struct sg_prior *out,
                        struct sg_errors *errors);

/* ---- lines and limits of a fit --------------------------------------------------------------- */

/* Where the true mean line lies with a confidence (percent, two-sided): lower and upper Y. */
void sg_fit_mean_band(const struct sg_site_law *law, double x, double confidence, double *low,
                      double *high);
/* Above which at most 100 - percentile % of all values lie, with a confidence (percent). */
double sg_fit_tolerance(const struct sg_site_law *law, double x, double percentile,
                        double confidence);
/* One-sided tolerance factor of n_eff values with dof degrees of freedom; p, c in 0..1. */
double sg_tolerance_factor(double n_eff, double dof, double p, double c);

/* A fitted law as the text of its file. */
void sg_site_law_put(const struct sg_site_law *law, struct sg_text *out);

/* ---- chances --------------------------------------------------------------------------------- */

/* Chance that at least one of n piles passes a limit, Y units. Pile i has the central value y[i];
 * common[i] is the standard deviation that all piles share there, pile_sd the one of each pile.
 * dof: of the scatter; INFINITY = known. Unset when an input is. */
double sg_chance_any(const double *y, const double *common, size_t n, double pile_sd, double dof,
                     double limit);

struct sg_chance {
    double one;         /* the pile that governs the receptor */
    double wall;        /* at least one pile of the whole wall */
    double day;         /* at least one pile of the worst working day */
    size_t piles_a_day; /* 0 = the days cannot be told */
    size_t piles;
};
/* Chances at a receptor under a method that has a law; limit in mm/s, free field. */
sg_status sg_chance_at(const struct sg_site *site, size_t method, size_t receptor,
                       const struct sg_drive *drive, double limit_mm_s, struct sg_chance *out);

/* ---- predicted against measured -------------------------------------------------------------- */

enum sg_trust { SG_TRUST_UNSAFE, SG_TRUST_OPEN, SG_TRUST_SAFE, SG_TRUST_END };
const char *sg_trust_text(enum sg_trust trust);

struct sg_against_point {
    double central, upper, measured;
    double deviation; /* lg(measured / central), or dB */
    bool over_upper;
    unsigned marks;
};
struct sg_against {
    struct sg_arena arena;
    struct sg_against_point *point;
    size_t count;
    bool level;                 /* deviations are in dB */
    double bias;                /* mean deviation */
    double spread;              /* standard deviation of the deviations */
    double bias_low, bias_high; /* 95 % confidence of the bias */
    double factor_two_percent;  /* within a factor of two (velocities) */
    size_t over_upper;
    double exceedance_percent; /* stated; unset = a bound, or nothing but a central value */
    bool has_upper;
    double chance_of_so_many; /* of so many or more over the upper value, if it were true */
    size_t within_3db, above_3db, below_3db;
    double exceedance_low, exceedance_high; /* 90 % confidence of the true share over, percent */
    enum sg_trust trust;
    const char *why;
};
#define SG_AGAINST_INIT ((struct sg_against){ .arena = SG_ARENA_INIT })
/* drive: of the relation or the law; energy and toe depth of a pair take the place of the drive's
 * where they are given. drive NULL: against the values that the pairs carry as predicted. */
sg_status sg_against_make(const struct sg_pairs *pairs, const struct sg_model *model,
                          const struct sg_drive *drive, struct sg_against *out,
                          struct sg_errors *errors);
void sg_against_release(struct sg_against *against);

/* ---- planning a trial ------------------------------------------------------------------------ */

enum sg_trial_design { SG_TRIAL_AT_RECEPTOR, SG_TRIAL_SPREAD, SG_TRIAL_ENDS, SG_TRIAL_END };
const char *sg_trial_text(enum sg_trial_design design);

struct sg_trial {
    double distance_m;            /* of the receptor */
    double now, wanted;           /* half width of the mean's confidence interval, Y units */
    size_t needed[SG_TRIAL_END];  /* values more; 0 = not within 10000 */
    double reached[SG_TRIAL_END]; /* half width then */
    double prediction_now, prediction_floor; /* one value more: today; with endless data */
};
/* How many values more, at which distances, bring the interval down to `share` of today's width. */
sg_status sg_trial_plan(const struct sg_fit *fit, double distance_m, double energy_J,
                        double confidence, double share, struct sg_trial *out);

#endif
