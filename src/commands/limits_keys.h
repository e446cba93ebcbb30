/* limits_keys.h - the keys of `limits ID key=value ...`. */
#ifndef STILLGROUND_COMMANDS_LIMITS_KEYS_H
#define STILLGROUND_COMMANDS_LIMITS_KEYS_H

#include "stillground/limits.h"

/* What `limits ID key=value ...` was told. */
struct sg_limit_inputs {
    const struct sg_limit_set *set;
    struct sg_judged judged;
    const struct sg_limit_row *row; /* NULL = by class, use, area, period */
    enum sg_technique technique;
    enum sg_position position;
    double low_hz, high_hz;
    const char *value, *upper; /* read when the row, and so the unit, is known */
    const char *dose;          /* beside the value, for two-step rows; NULL = not known */
    const char *predicted;     /* the value is then a measured one; NULL = not known */
    char factor_id[64];
    bool technique_given, position_given;
};

/* Reads all pairs into `in`, whose set is known; every wrong one gets a message. */
void sg_limit_keys_read(char *const *pair, size_t count, struct sg_limit_inputs *in,
                        struct sg_errors *errors);

#endif
