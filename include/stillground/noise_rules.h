/* noise_rules.h - published rules that turn a level into a rating level, values for the exposure of
 * a crew, and what measures against noise are said to bring. Rows of the catalogue.
 */
#ifndef STILLGROUND_NOISE_RULES_H
#define STILLGROUND_NOISE_RULES_H

#include "stillground/catalogue.h"

/* How a correction comes about; one evaluator each (rating.h). */
enum sg_rating_form {
    SG_RATING_ADDED, /* a fixed number of dB */
    SG_RATING_GIVEN, /* a number of dB that the user states, within a range; 0 = none */
    SG_RATING_STEPS, /* by the hours of operation a day */
    SG_RATING_SHORT, /* a fixed number of dB where the works pass the value for a short time only */
    SG_RATING_LOUDEST, /* db[0] loudest items at work all the time over hard ground */
    SG_RATING_ONSET    /* KI = slope (P - P0), P = 3 lg OR + 2 lg LD, never below 0 */
};
/* Columns in which corrections are told apart. */
enum sg_rating_column {
    SG_RATING_TONAL,
    SG_RATING_IMPULSE,
    SG_RATING_TIME,
    SG_RATING_GENERAL,
    SG_RATING_COLUMN_END
};
const char *sg_rating_column_id(enum sg_rating_column column);

struct sg_rating_row {
    const char *rule; /* "avv-baulaerm" */
    const char *id, *meaning;
    enum sg_rating_form form;
    enum sg_rating_column column;
    enum sg_period period;
    unsigned techniques; /* SG_TECHNIQUE_BITs */
    double db[3];     /* ADDED, SHORT: [0]; GIVEN: least, most; STEPS: of each; ONSET: slope, P0 */
    double upto_h[2]; /* STEPS: end of the first and second step, itself in the step */
    struct sg_cite cite;
};
size_t sg_rating_row_count(void);
const struct sg_rating_row *sg_rating_row_at(size_t index);
/* The rules by number; NULL past the last. */
const char *sg_rating_rule_at(size_t index);
bool sg_rating_rule_known(const char *rule);

/* Daily exposure of people at work. */
struct sg_crew_row {
    const char *rule; /* "eu" */
    const char *meaning;
    double level_db;    /* over 8 h */
    double exchange_db; /* dB that halve the time; 10 lg 2 = equal energy */
    double peak_db;     /* C-weighted peak that goes with it; unset = not stated */
    struct sg_cite cite;
};
size_t sg_crew_row_count(void);
const struct sg_crew_row *sg_crew_row_at(size_t index);

/* What a measure is about: everything, the rig alone, or the supporting plant alone. */
enum sg_measure_part { SG_MEASURE_ALL, SG_MEASURE_RIG, SG_MEASURE_PLANT };

/* What a measure is said to take off. */
struct sg_measure_row {
    const char *id, *meaning;
    unsigned techniques;
    enum sg_measure_part part;
    double low_db, high_db; /* range */
    struct sg_cite cite;
};
size_t sg_measure_row_count(void);
const struct sg_measure_row *sg_measure_row_at(size_t index);

/* Hong Kong percussive piling: acceptable noise levels by the windows of the receiver. */
struct sg_percussive_row {
    const char *windows; /* "none", "air-conditioned", "openable" */
    double level_db;
    struct sg_cite cite;
};
size_t sg_percussive_row_count(void);
const struct sg_percussive_row *sg_percussive_row_at(size_t index);

#endif
