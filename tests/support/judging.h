/* limits.h - what the tests of limit sets and of verdicts share. Include after cmocka.h. */
#ifndef TESTS_SUPPORT_LIMITS_H
#define TESTS_SUPPORT_LIMITS_H

#include <math.h>
#include <string.h>

#include "close.h"
#include "stillground/limits.h"

static inline const struct sg_limit_set *set_of(const char *id)
{
    const struct sg_limit_set *set = sg_limit_set_find(id);
    if (set == NULL) {
        fail_msg("no limit set %s", id);
    }
    return set;
}

static inline const struct sg_limit_row *row_of(const struct sg_limit_set *set, const char *id)
{
    for (size_t i = 0; i < set->nrow; i++) {
        if (sg_same(set->row[i].id, id)) {
            return &set->row[i];
        }
    }
    fail_msg("no row %s in %s", id, set->id);
    return NULL;
}

static inline struct sg_judged nobody(void)
{
    return (struct sg_judged){ .period = SG_ANY_TIME, .ambient_db = SG_UNSET, .factor = SG_UNSET };
}

/* A value that fits a row in every way. */
static inline struct sg_value fitting(const struct sg_limit_row *row, enum sg_technique technique,
                                      double amount)
{
    struct sg_value value = SG_VALUE_INIT;
    value.quantity = row->quantity;
    value.position = row->position;
    value.axes = row->axes;
    value.technique = technique;
    value.central = value.upper = amount;
    value.frequency_from = "test";
    return value;
}

static inline struct sg_verdict judge(const struct sg_limit_set *set,
                                      const struct sg_limit_row *row,
                                      const struct sg_judged *judged, const struct sg_value *value)
{
    struct sg_verdict verdict;
    sg_judge(set, row, judged, value, &verdict, NULL);
    return verdict;
}

#endif
