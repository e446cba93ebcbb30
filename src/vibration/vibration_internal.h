/* vibration_internal.h - what the files of the vibration room share. */
#ifndef STILLGROUND_VIBRATION_INTERNAL_H
#define STILLGROUND_VIBRATION_INTERNAL_H

#include "stillground/vibration.h"

/* The coefficient of a role for a drive: the row of its key if there is one, else the row without a
 * key; within that the row of the level, else the row of any level. NULL when the model has none */
const struct sg_coefficient *sg_coefficient_of(const struct sg_model *model, enum sg_role role,
                                               const char *key, enum sg_level level);
/* The key of K or of N that a drive chooses ("hard", "start-stop", "III", "pile-impact"); NULL. */
const char *sg_key_of(const struct sg_model *model, enum sg_key_by by,
                      const struct sg_drive *drive);
/* A coefficient in the library's units (mm/s, m, J, 1/m), or the user's value for its symbol. */
sg_status sg_coefficient_value(const struct sg_model *model,
                               const struct sg_coefficient *coefficient,
                               const struct sg_drive *drive, double *out, bool *user,
                               struct sg_errors *errors);
/* The part of a larger-of model that a drive names besides the always-counted one; NULL = none. */
const struct sg_part *sg_part_named(const struct sg_model *model, const struct sg_drive *drive);
/* Distance that the law is written in: plan, or slope to the toe. */
double sg_law_distance_of(const struct sg_law *law, double plan_m);

/* What sg_law_prepare, sg_law_at, sg_law_distance and sg_vibration_at do when the drive or the law
 * has a site law. r is the distance the law is written in. */
sg_status sg_site_law_prepare(const struct sg_drive *drive, double percentile, struct sg_law *out,
                              struct sg_errors *errors);
double sg_law_site_at(const struct sg_law *law, double r);
sg_status sg_law_site_distance(const struct sg_law *law, double value, double *out);
sg_status sg_site_law_at(const struct sg_drive *drive, double distance_m, struct sg_value *out,
                         struct sg_working *working, struct sg_errors *errors);

/* The hand calculation of one row, line by line. */
void sg_law_working(const struct sg_model *model, const struct sg_drive *drive, enum sg_level level,
                    const struct sg_law *law, double distance_m, struct sg_working *working);

#endif
