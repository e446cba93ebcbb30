/* plan_internal.h - what the files of the plan room share. */
#ifndef STILLGROUND_PLAN_INTERNAL_H
#define STILLGROUND_PLAN_INTERNAL_H

#include "stillground/noise.h"

/* Stages of driving one pile that may govern: the drive at each, and its law at the upper row. */
#define SG_STAGES_MAX 256
struct sg_stage {
    struct sg_drive drive;
    struct sg_law upper;
};
struct sg_stages {
    struct sg_stage stage[SG_STAGES_MAX];
    size_t count;
};

/* The user's constants of a method in the form a drive borrows. */
struct sg_constants {
    const char *const *symbol;
    const double *value;
};
sg_status sg_constants_of(const struct sg_method *method, struct sg_arena *arena,
                          struct sg_constants *out);

/* Fills the stages of a pile that goes down to toe_depth_m in the ground of a borehole (NULL = no
 * ground given). */
sg_status sg_stages_make(const struct sg_site *site, const struct sg_method *method,
                         const struct sg_model *model, const struct sg_constants *constants,
                         const struct sg_borehole *borehole, double toe_depth_m,
                         struct sg_stages *out, struct sg_errors *errors);
/* The stage with the largest value at a distance. */
size_t sg_stages_worst(const struct sg_stages *stages, double distance_m, double *value);

/* The vibration part of an outcome: worst pile and stage, values of the first and second model. */
sg_status sg_outcome_vibration(const struct sg_site *site, size_t method, size_t receptor,
                               struct sg_arena *arena, struct sg_outcome *out,
                               struct sg_working *working, struct sg_errors *errors);
/* The factors into a receptor's building that count for a purpose. */
struct sg_into_building sg_building_of(const struct sg_receptor *receptor, enum sg_purpose purpose);

/* How much of an averaging time is worked. */
struct sg_sound_span {
    double worked_h;                   /* net working time within the period, at its busiest */
    double averaging_h;                /* that the level is averaged over */
    const struct sg_rating_row *steps; /* instead of on-times; NULL = none */
    double loudest;                    /* only so many items, all the time; 0 = all of them */
};

/* The law by which sound falls with distance on this site, and the ground in both laws' terms. */
enum sg_sound_method sg_sound_law_of(const struct sg_site *site);
void sg_sound_ground_of(const struct sg_site *site, struct sg_sound_path *path);

/* Sound items of a method, on-times as shares of the averaging time. */
#define SG_ITEMS_MAX 64
struct sg_items {
    struct sg_sound_item item[SG_ITEMS_MAX];
    size_t count;
};
sg_status sg_items_of(const struct sg_method *method, const struct sg_sound_span *span,
                      struct sg_items *out, struct sg_errors *errors);
double sg_shift_h(const struct sg_hours *hours);
/* Within a period of the day, as much of the net working time as fits is taken to fall into it. An
 * averaging time of 0 is the part of the shift that lies in the period. SG_ANY_TIME: the shift. */
struct sg_sound_span sg_sound_span_of(const struct sg_hours *hours, enum sg_period period,
                                      double averaging_h);
/* Period level of a method at a position, and the loudest item (may be NULL). The boundary is
 * judged
 * at the site's boundary distance. */
void sg_sound_value(const struct sg_site *site, size_t method, size_t receptor,
                    enum sg_position position, const struct sg_sound_span *span,
                    struct sg_value *out, double *loudest_db, struct sg_working *working);

/* Largest fast level of the loudest item at a position, where the source tells of maxima. */
void sg_sound_maximum(const struct sg_site *site, size_t method, size_t receptor,
                      enum sg_position position, struct sg_value *out, struct sg_working *working);
/* The share of an averaging time that a share of the work stands for in the sum. */
double sg_share_of(const struct sg_sound_span *span, double on_time_percent);
/* Hours of the shift in a period of the clock 07-19-23-07, and from one clock hour to another. */
double sg_shift_within_h(const struct sg_hours *hours, double from_h, double to_h);

/* Whether a row names clock hours of its own, whether the working hours touch them on a day that
 * the row holds for, and whether two rows name the same (noise_clock.c). */
bool sg_noise_clocked(const struct sg_limit_row *row);
bool sg_noise_clock_worked(const struct sg_hours *hours, const struct sg_limit_row *row);
/* The same of the shift that begins on one weekday, 0 = Monday. */
bool sg_noise_clock_on(const struct sg_hours *hours, const struct sg_limit_row *row,
                       unsigned weekday);
bool sg_noise_clock_same(const struct sg_limit_row *a, const struct sg_limit_row *b);
/* Kinds of day on which the hours are worked; the kind of one, 0 = Monday. */
unsigned sg_worked_kinds(const struct sg_hours *hours);
unsigned sg_day_kind(unsigned weekday);

/* What a level is wanted for (rated.c). */
struct sg_noise_ask {
    const char *rule; /* of rating; NULL = LAeq */
    enum sg_noise_of noise_of;
    enum sg_quantity quantity;
    enum sg_position position;
    enum sg_period period;
    struct sg_sound_span span;
};
struct sg_noise_ask sg_noise_ask_of(const struct sg_hours *hours, const struct sg_limit_set *set,
                                    const struct sg_limit_row *row, enum sg_period period);
/* LAeq, rated LAeq, LA10 or Ldn, with the noise that the limit goes by. */
void sg_noise_value(const struct sg_site *site, size_t method, size_t receptor,
                    const struct sg_noise_ask *ask, struct sg_value *out,
                    struct sg_working *working);
/* What a rule adds apart from steps; unset with *why. */
double sg_noise_added_db(const struct sg_site *site, size_t method, const char *rule,
                         enum sg_period period, const char **why, unsigned *marks,
                         struct sg_working *working);
/* Permitted hours of percussive piling, line by line; nothing where they are not asked for. */
void sg_percussive_explain(const struct sg_site *site, size_t method, size_t receptor,
                           struct sg_working *working);
/* Whether a quantity comes from sg_noise_value. */
bool sg_noise_quantity(enum sg_quantity quantity);
/* Hours of a period in the document of a rule; NULL = not stated. How many of the loudest items a
 * rule takes; 0 = all. */
const struct sg_time_window *sg_noise_rule_window(const char *rule, enum sg_period period);
double sg_noise_loudest_of(const char *rule);
/* Marks of a level that a rule rates in steps; NULL = it has none. */
unsigned sg_noise_step_marks(const struct sg_method *method, const struct sg_rating_row *steps);
/* Periods of a set that the working hours touch: by the set's own clock where it rates levels. */
unsigned sg_noise_periods_touched(const struct sg_hours *hours, const struct sg_limit_set *set);
/* LAeq of other sites and ambient noise; unset = none given. */
double sg_noise_other_db(const struct sg_receptor *receptor, enum sg_period period);
double sg_noise_ambient_db(const struct sg_receptor *receptor, enum sg_period period);

/* The same from the method's sound_law, and the distances at which it keeps a limit. */
void sg_sound_by_law(const struct sg_site *site, const struct sg_method *method,
                     const struct sg_sound_path *path, const struct sg_sound_span *span,
                     struct sg_value *out, double *loudest_db, struct sg_working *working);
sg_status sg_sound_law_distances(const struct sg_site *site, const struct sg_method *method,
                                 const struct sg_sound_span *span, bool facade, double limit_db,
                                 double distance_m[2]);
/* The site with its scene made ready, when it is asked for. Errors of the geometry are named. */
sg_status sg_site_outdoor(const struct sg_site *site, struct sg_arena *arena, struct sg_site *out,
                          struct sg_errors *errors);

/* All verdicts on an outcome whose values are there. */
sg_status sg_outcome_judge(const struct sg_site *site, struct sg_arena *arena,
                           struct sg_outcome *out, struct sg_working *working);
/* How a receptor is judged in a period. */
struct sg_judged sg_judged_of(const struct sg_receptor *receptor, enum sg_period period);
/* Puts the factors in that the site file chooses for a set. */
void sg_judged_choose(const struct sg_site *site, const struct sg_limit_set *set,
                      struct sg_judged *judged);
/* The owner's own value as a limit set of one row; it must be set. */
sg_status sg_own_set(const struct sg_receptor *receptor, struct sg_arena *arena,
                     const struct sg_limit_set **out);
/* Whether a row holds for another character of vibration than the technique's, and another
 * asked-for table of the same document holds for it. */
bool sg_twin_speaks(const struct sg_site *site, enum sg_technique technique,
                    const struct sg_limit_set *set, const struct sg_limit_row *row,
                    const struct sg_judged *judged, const char *const *list, size_t nlist);
bool sg_depends_on_period(const struct sg_limit_set *set);
/* Periods that the working hours touch, as bits 1 << enum sg_period. */
unsigned sg_periods_of(const struct sg_hours *hours);
/* The window of a set that the hours of a period lie in: the day's for an evening without one. */
enum sg_window_kind sg_window_of_period(const struct sg_limit_set *set, enum sg_period period);
/* The same by the clock of the set, where it says when each of its periods begins and ends. */
unsigned sg_periods_of_set(const struct sg_hours *hours, const struct sg_limit_set *set);
/* Periods to judge by when some were asked for (0 = those of the hours): the evening goes to the
 * periods that it lies in where the set has its own clock and no evening. */
unsigned sg_periods_asked(const struct sg_hours *hours, const struct sg_limit_set *set,
                          unsigned asked);

/* Stand-off distances of all methods; fills study->standoff. */
sg_status sg_study_standoffs(struct sg_study *study, struct sg_errors *errors);
/* One line a method; fills study->summary. */
sg_status sg_study_summaries(struct sg_study *study);

/* Working days of a method for the whole wall; unset when minutes are not given. */
double sg_method_days(const struct sg_site *site, const struct sg_method *method);

/* Estimates of other quantities from a peak velocity (bridged.c). */
bool sg_bridged_quantity(enum sg_quantity quantity);
/* What of the method decides on rows: days of work, blow rate. */
void sg_bridged_judged(const struct sg_site *site, size_t method, struct sg_judged *judged);
struct sg_value sg_bridged_value(const struct sg_site *site, size_t method,
                                 const struct sg_limit_set *set, const struct sg_limit_row *row,
                                 enum sg_period period, const struct sg_value *ppv,
                                 struct sg_working *working);
/* Peak velocity at the site boundary, by its distance from the working line. */
struct sg_value sg_boundary_value(const struct sg_site *site, size_t method, size_t receptor,
                                  struct sg_working *working);
bool sg_bridged_dose(const struct sg_site *site, size_t method, const struct sg_limit_set *set,
                     const struct sg_limit_row *row, enum sg_period judged,
                     const struct sg_value *largest, struct sg_dose_value *out,
                     struct sg_working *working);

#endif
