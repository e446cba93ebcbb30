/* noise.h - noise as people along the works meet it: levels of day, evening and night with
 * everything that is added to them, triggers counted in days, permitted hours of percussive piling,
 * exposure of the crew, what measures bring. From a finished study. Pure.
 */
#ifndef STILLGROUND_NOISE_H
#define STILLGROUND_NOISE_H

#include "stillground/plan.h"
#include "stillground/rating.h"

/* One period of the day at one receptor by one method. SG_ANY_TIME: day, evening and night in one
 * (Lden); only levels are filled then. Unset = not known, or no work. */
struct sg_noise_period {
    size_t method, receptor;
    enum sg_period period;
    double worked_h, averaging_h;
    struct sg_value works; /* LAeq of these works alone */
    double other_db, ambient_db;
    double all_sites_db; /* works and other sites */
    double total_db;     /* and ambient noise; unset when that is not known */
    double rise_db;      /* of the total over the ambient and other noise */
    double correction_db[SG_RATING_COLUMN_END]; /* TIME: what steps make of the on-times too */
    double rating_db;                           /* LAeq with all of them */
    const char *rating_why;                     /* NULL = rated, or no rule chosen */
    unsigned rating_marks;                      /* of the rating level, beyond those of the works */
    double lae_db, lafmax_db, la10_db;
    const char *la10_why;
};
/* One entry a method, receptor and period that is worked in, Lden after them. */
sg_status sg_noise_periods_make(const struct sg_study *study, struct sg_arena *arena,
                                struct sg_noise_period **out, size_t *count);
/* Those of one receptor and method; with the arithmetic. */
sg_status sg_noise_periods_of(const struct sg_site *site, const struct sg_outcome *outcome,
                              struct sg_arena *arena, struct sg_noise_period **out, size_t *count,
                              struct sg_working *working);

/* A trigger that counts by days: levels, and the planned days on which it is passed. */
struct sg_day_trigger {
    size_t method, receptor;
    const struct sg_verdict *verdict;
    double rehousing_db; /* the trigger with the set's factor; unset = none */
    enum sg_verdict_state rehousing;
    double days_planned, days_over, days_rehousing; /* central value; unset = not known */
    bool days_at_most;                              /* every planned day is counted */
    bool needed, needed_rehousing; /* enough of them within the set's running days */
};
sg_status sg_triggers_make(const struct sg_study *study, struct sg_arena *arena,
                           struct sg_day_trigger **out, size_t *count);

/* Permitted hours a day of percussive piling (Hong Kong). */
struct sg_percussive {
    size_t method, receptor;
    double lwa_db, distance_m, screen_db, corrected_db, acceptable_db, permitted_h, planned_h;
    bool building, converted; /* LWA from a level at a distance */
    bool given;               /* the level stands in the site file, it is no published source */
    bool barred;              /* the shift runs into hours or days that get no permit */
    enum sg_verdict_state state;
    const char *why; /* NULL = determined */
};
sg_status sg_percussive_make(const struct sg_study *study, struct sg_arena *arena,
                             struct sg_percussive **out, size_t *count);

/* A crew's day beside one value of its rule. */
struct sg_crew_day {
    size_t method;
    const char *name;
    const struct sg_crew_row *row;
    double hours, nearest_m;
    struct sg_value exposure; /* over 8 h, by the exchange of the row */
    enum sg_verdict_state state;
};
sg_status sg_crew_days_make(const struct sg_study *study, struct sg_arena *arena,
                            struct sg_crew_day **out, size_t *count);

/* A measure at one receptor: the level it leaves, from the larger to the smaller effect. */
struct sg_measure {
    size_t method;
    const char *name;
    double low_db, high_db;     /* level with it; equal where no range is stated */
    const struct sg_cite *cite; /* NULL = computed here */
};
struct sg_measures {
    size_t method, receptor;
    const struct sg_verdict *verdict; /* whose level and limit; NULL = day, 12 h */
    double now_db, limit_db;
    const struct sg_measure *measure;
    size_t count;
};
/* For a method at the receptor that governs its noise. SG_ERR_MISSING where no level is known. */
sg_status sg_measures_make(const struct sg_study *study, size_t method, struct sg_arena *arena,
                           struct sg_measures *out);
/* The receptor that governs the noise of a method, else the loudest; SIZE_MAX = none. */
size_t sg_noise_receptor(const struct sg_study *study, size_t method);

/* Levels by item of plant while it runs and over the shift, at one receptor; octave bands (unset
 * where an item has none) at its loudest position, unweighted. */
struct sg_noise_part {
    const char *name;
    double running_db, shift_db;
    double band_db[SG_BANDS];
};
sg_status sg_noise_parts_of(const struct sg_study *study, size_t method, size_t receptor,
                            struct sg_arena *arena, struct sg_noise_part **out, size_t *count);

#endif
