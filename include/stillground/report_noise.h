/* report_noise.h - tables of noise beside those of report.h. Each is empty (no row) where a site
 * asks for nothing of its kind.
 */
#ifndef STILLGROUND_REPORT_NOISE_H
#define STILLGROUND_REPORT_NOISE_H

#include "stillground/noise.h"
#include "stillground/report.h"

/* Day, evening, night and all in one: works, other sites, ambient, corrections, rating level. */
sg_status sg_table_noise_periods(const struct sg_study *study, struct sg_table *out);
/* Triggers that count by days. */
sg_status sg_table_triggers(const struct sg_study *study, struct sg_table *out);
/* Permitted hours of percussive piling. */
sg_status sg_table_percussive(const struct sg_study *study, struct sg_table *out);
/* Exposure of the crew; information, no receptor's limit. */
sg_status sg_table_crew(const struct sg_study *study, struct sg_table *out);
/* What each item of plant contributes at the receptor that governs each method. */
sg_status sg_table_noise_parts(const struct sg_study *study, struct sg_table *out);
/* What measures would leave there. */
sg_status sg_table_measures(const struct sg_study *study, struct sg_table *out);

#endif
