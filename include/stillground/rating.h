/* rating.h - corrections of a level by the rows of a rule, the exposure of a crew by an exchange
 * rate, two-way steps of percussive piling. Pure.
 */
#ifndef STILLGROUND_RATING_H
#define STILLGROUND_RATING_H

#include "stillground/noise_rules.h"
#include "stillground/value.h"

/* What is known of the works; unset = not stated. */
struct sg_rating_of {
    enum sg_technique technique;
    enum sg_period period;
    double operated_h;      /* a day, within the period: for steps */
    double tonal_db;        /* stated for the rig; unset = none */
    double onset_db_s;      /* onset rate of the impulses */
    double onset_rise_db;   /* and their level difference */
    bool passed_short_only; /* day values are passed for a short time only, as somebody found */
};

/* The dB that a row adds (negative: takes off); 0 where it does not concern the works. Unset with
 * *why where it does and something it needs is not known or out of range. */
double sg_rating_correction(const struct sg_rating_row *row, const struct sg_rating_of *of,
                            const char **why);
/* The row of steps of a rule in a period; NULL = the rule has none. */
const struct sg_rating_row *sg_rating_steps(const char *rule, enum sg_period period);
/* Sum of a rule's corrections in a column, steps apart; unset with *why. Each line is told. */
double sg_rating_column_db(const char *rule, enum sg_rating_column column,
                           const struct sg_rating_of *of, const char **why,
                           struct sg_working *working);

/* The steady level over 8 h that uses up as much of a day as levels with their hours do, at an
 * exchange of so many dB for half the time. With 10 lg 2 it is LEX,8h. */
double sg_crew_level(const double *level_db, const double *hours, size_t count, double exchange_db);

/* Acceptable level for percussive piling by the windows; unset for windows not known. */
double sg_percussive_acceptable_db(const char *windows, bool sensitive);

#endif
