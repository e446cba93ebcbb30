/* choice.h - which method on which pile. First the bare problems on numbers, exact and tested
 * against enumeration; then the numbers of a site. Pure.
 */
#ifndef STILLGROUND_CHOICE_H
#define STILLGROUND_CHOICE_H

#include "stillground/plan.h"

/* ---- limits on peaks: exact ------------------------------------------------------------------ */

/* Lists are [pile * nmethod + method]. */
struct sg_wall_problem {
    size_t npile, nmethod;
    const double *cost;   /* of the pile by the method, at least 0 (days, or a weighted sum) */
    const double *ratio;  /* highest value / limit; infinity = refused; unset counts as infinity */
    const bool *allowed;  /* by ground and section */
    double highest_ratio; /* a pile with a ratio over it is broken; 1 = the limits */
    const double *set_up; /* cost of beginning a run, one a method; NULL = none */
    double change;        /* cost of changing the method, besides */
    size_t least_run;     /* neighbouring piles by one method, at least; 0 and 1 = any */
};
struct sg_wall_choice {
    size_t *method; /* one a pile; in the arena */
    size_t blocked; /* piles by a method that the ground does not let */
    size_t broken;  /* piles over a limit */
    double cost;
    size_t changes;
    double highest_ratio; /* over the unbroken piles; 0 when there are none */
};
/* The choice with fewest piles that the ground stops, then fewest piles over a limit, then least
 * far over (the sum of the logarithms of ratio / highest_ratio, to a millionth), then the least
 * cost; ties
 * go to the method named first. Exact, in time piles x methods^2. SG_ERR_USAGE without piles or
 * methods. */
sg_status sg_wall_choose(const struct sg_wall_problem *problem, struct sg_arena *arena,
                         struct sg_wall_choice *out);

/* Choices along the front of cost against highest ratio, from the cheapest on: each costs more than
 * the one before and has a highest ratio that is lower by the share `step` at least (0 = every
 * point
 * of the front); each is the cheapest for its highest ratio. At most max; *more: some follow. */
sg_status sg_wall_front(const struct sg_wall_problem *problem, double step, struct sg_arena *arena,
                        struct sg_wall_choice *out, size_t max, size_t *count, bool *more);

/* ---- limits on a day's dose ------------------------------------------------------------------ */

/* Piles are done in their order; a day has one method, changes fall between days. */
struct sg_daily_problem {
    size_t npile, nmethod;
    const double *minutes; /* [pile * nmethod + method] of rig work */
    const bool *allowed;   /* [pile * nmethod + method]: ground and peak limits */
    double day_minutes;    /* a pile that takes longer cannot be done */
    const double *dose;    /* [(row * nmethod + method) * npile + pile], share of a day's budget */
    size_t ndose;          /* rows: one a receptor and limit */
    double change_days;    /* lost at a change of method */
    size_t least_run;
};
struct sg_daily_choice {
    bool feasible; /* false: blocked_pile is the first that cannot be reached */
    size_t blocked_pile;
    size_t *method, *day; /* one a pile; days count from 0 and leave out those lost in changes */
    double days;          /* all told */
    double least_days;    /* no choice takes fewer; equal to days when the result is exact */
    size_t rows_used, rounds; /* rows of dose that had to be looked at */
};
/* Fewest days. Rows of dose are added as they are found broken, so each round is a lower bound and
 * the first unbroken one is exact. After max_rounds the largest row at each pile stands for all
 * (which is safe but may ask for more days) and the bound tells the gap. */
sg_status sg_daily_choose(const struct sg_daily_problem *problem, size_t max_rounds,
                          struct sg_arena *arena, struct sg_daily_choice *out);

/* ---- the numbers of a site ------------------------------------------------------------------- */

enum sg_confidence { SG_BY_UPPER, SG_BY_CENTRAL };

/* One method at one pile, over all receptors. */
struct sg_pile_value {
    double ratio;    /* highest value / limit; infinity nearer than 1 m; 0 = no limit */
    size_t receptor; /* that governs; SIZE_MAX = none */
    const struct sg_limit_set *set; /* NULL with a receptor = the owner's own value */
    const struct sg_limit_row *row;
    double value, limit; /* in the row's unit */
    double distance_m;
    unsigned marks;
    size_t not_determinable; /* receptors' limits that could not be judged */
    double vibration_ratio, noise_ratio;
    struct sg_suitability ground;
    double minutes; /* of rig work */
};
struct sg_wall_values {
    struct sg_arena arena;
    const struct sg_site *site;
    enum sg_confidence confidence;
    size_t npile, nmethod;
    struct sg_pile_value *value; /* [pile * nmethod + method] */
    size_t groups;               /* kinds of receptors that were told apart */
    size_t pairs;                /* pile, receptor and method worked out */
};
#define SG_WALL_VALUES_INIT ((struct sg_wall_values){ .arena = SG_ARENA_INIT })
/* Receptors that differ in nothing but their place are one kind; of each kind the nearest to a pile
 * governs, because every relation falls with distance. */
sg_status sg_wall_values_make(const struct sg_site *site, enum sg_confidence confidence,
                              struct sg_wall_values *out, sg_progress *progress, void *payload,
                              struct sg_errors *errors);
void sg_wall_values_release(struct sg_wall_values *values);

/* What a choice is made by. */
struct sg_choice_wish {
    double highest_ratio; /* 1 = the limits */
    double day_weight, cost_weight;
    bool marginal; /* methods that the ground makes marginal may be taken */
    bool dose;     /* LAeq limits by the day's sum over the piles done */
};
#define SG_CHOICE_WISH_INIT                                                                        \
    ((struct sg_choice_wish){ .highest_ratio = 1.0, .day_weight = 1.0, .marginal = true })

/* A stretch of the wall by one method. */
struct sg_stretch {
    size_t first, last, method; /* piles, both included */
    double from_m, to_m;        /* chainage of the first and the last pile */
    double days;
    double highest_ratio;
    size_t governing_pile;
    size_t marginal_piles, broken_piles;
};
struct sg_plan {
    struct sg_arena arena;
    const struct sg_wall_values *values;
    struct sg_choice_wish wish;
    struct sg_wall_choice choice;
    struct sg_daily_choice daily; /* with wish.dose */
    struct sg_stretch *stretch;
    size_t nstretch;
    double days;
    struct sg_wall_choice *front;
    size_t nfront;
    bool front_more;
};
#define SG_PLAN_INIT ((struct sg_plan){ .arena = SG_ARENA_INIT })
sg_status sg_plan_make(const struct sg_wall_values *values, const struct sg_choice_wish *wish,
                       struct sg_plan *out, struct sg_errors *errors);
void sg_plan_release(struct sg_plan *plan);

/* Working days that a pile takes, from its minutes all told. */
double sg_pile_days(const struct sg_site *site, double minutes);
/* Minutes that a pile takes in its ground. */
double sg_pile_minutes(const struct sg_site *site, size_t method, size_t pile);
/* How many of the first piles of a pressed-in wall need a reaction stand. Common practice. */
size_t sg_reaction_piles(enum sg_technique technique);

#endif
