/* judging.h - one value on its way through the checks. Inside src/limits only. */
#ifndef STILLGROUND_LIMITS_JUDGING_H
#define STILLGROUND_LIMITS_JUDGING_H

#include "limits/curve.h"

/* Everything a check looks at. */
struct sg_judging {
    const struct sg_limit_set *set;
    const struct sg_limit_row *row;
    const struct sg_judged *judged;
    const struct sg_value *value;
    struct sg_verdict *out;
    struct sg_working *working;
    double steps[3]; /* lower, upper and dose value of a two-step row, with factors */
    bool by_band;    /* called for one band of a spectrum */
};

/* Sets the sentence; returns false, so that `return sg_limit_refuse(...)` ends a check. */
bool sg_limit_refuse(const struct sg_judging *j, const char *format, ...) SG_PRINTF(2, 3);
/* Puts the factors that hold on the limit and the steps; false with the reason when one cannot be
 * told or lies outside its range. */
bool sg_limit_apply_factors(struct sg_judging *j);
/* Value over limit; of levels 10^(difference / 20). */
double sg_limit_ratio(const struct sg_limit_row *row, double value, double limit);
bool sg_limit_is_resultant(const struct sg_value *value);
/* Whether a component is held against a limit for the resultant, which it bounds. */
bool sg_limit_bounded(const struct sg_judging *j);
/* Sets state, ratios and remark; limit, steps and marks are there already. */
void sg_limit_conclude(const struct sg_judging *j);

#endif
