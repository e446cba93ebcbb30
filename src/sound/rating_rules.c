/* rating_rules.c - corrections by the rows of a rule, one evaluator a form; exposure by an exchange
 * rate; acceptable levels for percussive piling.
 *
 * Sources: the rows carry theirs. Exposure: with q dB for half the time, a level L for h hours uses
 * h / 8 x 2^((L - L8) / q) of a day; L8 is where the sum is one.
 */
#include "stillground/rating.h"

#include "stillground/sound.h"

#include <math.h>

#define WORKING_DAY_H 8.0

static double given(const struct sg_rating_row *row, double stated_db, const char **why)
{
    if (!sg_is_set(stated_db) || !(fabs(stated_db) > 0))
        return 0;
    if (stated_db >= row->db[0] && stated_db <= row->db[1])
        return stated_db;
    *why = "the adjustment for tones that is stated lies outside the range of the rule";
    return SG_UNSET;
}

static double step(const struct sg_rating_row *row, double hours, const char **why)
{
    if (!sg_is_set(hours) || !(hours >= 0)) {
        *why = "the hours of operation, which decide the time correction, are not known";
        return SG_UNSET;
    }
    return row->db[hours <= row->upto_h[0] ? 0 : hours <= row->upto_h[1] ? 1 : 2];
}

static double onset(const struct sg_rating_row *row, const struct sg_rating_of *of,
                    const char **why)
{
    if (!sg_is_set(of->onset_db_s) && !sg_is_set(of->onset_rise_db) && of->technique != SG_IMPACT)
        return 0; /* nothing impulsive was found, and nothing is expected */
    if (!(of->onset_db_s > 0) || !(of->onset_rise_db > 0)) {
        *why = "needs a measured onset rate and level difference (methods.sound)";
        return SG_UNSET;
    }
    double p = 3.0 * log10(of->onset_db_s) + 2.0 * log10(of->onset_rise_db);
    return fmax(0.0, row->db[0] * (p - row->db[1]));
}

double sg_rating_correction(const struct sg_rating_row *row, const struct sg_rating_of *of,
                            const char **why)
{
    if (!(row->techniques & SG_TECHNIQUE_BIT(of->technique)) ||
        (row->period != SG_ANY_TIME && of->period != SG_ANY_TIME && row->period != of->period))
        return 0;
    switch (row->form) {
    case SG_RATING_ADDED:
        return row->db[0];
    case SG_RATING_GIVEN:
        return given(row, of->tonal_db, why);
    case SG_RATING_STEPS:
        return step(row, of->operated_h, why);
    case SG_RATING_SHORT:
        return of->passed_short_only ? row->db[0] : 0;
    case SG_RATING_ONSET:
        return onset(row, of, why);
    case SG_RATING_LOUDEST: /* of the sum over the plant, not of the level */
        break;
    }
    return 0;
}

const struct sg_rating_row *sg_rating_steps(const char *rule, enum sg_period period)
{
    for (size_t i = 0; rule && i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        if (sg_same(row->rule, rule) && row->form == SG_RATING_STEPS && row->period == period)
            return row;
    }
    return NULL;
}

double sg_rating_column_db(const char *rule, enum sg_rating_column column,
                           const struct sg_rating_of *of, const char **why,
                           struct sg_working *working)
{
    double sum = 0;
    for (size_t i = 0; i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        if (!sg_same(row->rule, rule) || row->column != column || row->form == SG_RATING_STEPS)
            continue;
        double db = sg_rating_correction(row, of, why);
        if (!sg_is_set(db))
            return SG_UNSET;
        if (fabs(db) > 0 && row->form == SG_RATING_ONSET)
            sg_working_add(working, &row->cite, "impulse adjustment",
                           "P = 3 lg(%g) + 2 lg(%g) = %.4f; KI = %g (P - %g) = %.3f dB",
                           of->onset_db_s, of->onset_rise_db, row->db[1] + db / row->db[0],
                           row->db[0], row->db[1], db);
        else if (fabs(db) > 0)
            sg_working_add(working, &row->cite, sg_rating_column_id(column), "%s: %+g dB",
                           row->meaning, db);
        sum += db;
    }
    return sum;
}

double sg_crew_level(const double *level_db, const double *hours, size_t count, double exchange_db)
{
    double highest = -SG_INFINITY, sum = 0;
    for (size_t i = 0; i < count; i++) {
        if (!sg_is_set(level_db[i]) || !(hours[i] >= 0) || !isfinite(hours[i]))
            return SG_UNSET;
        highest = fmax(highest, level_db[i]);
    }
    for (size_t i = 0; i < count; i++)
        sum += hours[i] / WORKING_DAY_H * exp2((level_db[i] - highest) / exchange_db);
    return sum > 0 && exchange_db > 0 ? highest + exchange_db * log2(sum) : SG_UNSET;
}

double sg_percussive_acceptable_db(const char *windows, bool sensitive)
{
    for (size_t i = 0; windows && i < sg_percussive_row_count(); i++) {
        const struct sg_percussive_row *row = sg_percussive_row_at(i);
        if (sg_same(row->windows, windows))
            return row->level_db - (sensitive ? sg_sound_number(SG_SOUND_HK_SENSITIVE_DB) : 0);
    }
    return SG_UNSET;
}
