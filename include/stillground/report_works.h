/* report_works.h - the choice of methods, the calendar, what if, inverse questions, monitoring and
 * notices as tables and drawings. As report.h otherwise.
 */
#ifndef STILLGROUND_REPORT_WORKS_H
#define STILLGROUND_REPORT_WORKS_H

#include "stillground/change.h"
#include "stillground/inverse.h"
#include "stillground/monitors.h"
#include "stillground/programme.h"
#include "stillground/report.h"

/* The chosen methods by stretches of the wall; piles that no method can do, and what would help;
 * days against highest ratio; each method's suitability by stretches. */
sg_status sg_table_plan(const struct sg_plan *plan, struct sg_table *out);
sg_status sg_table_plan_broken(const struct sg_plan *plan, struct sg_table *out);
sg_status sg_table_plan_front(const struct sg_plan *plan, struct sg_table *out);
sg_status sg_table_suitability(const struct sg_wall_values *values, struct sg_table *out);

/* The options matrix of a method statement, a column a method: computed where it can be, entered in
 * the site file where it cannot, else "not assessed". */
sg_status sg_table_options(const struct sg_study *study, struct sg_table *out);

/* One row a shift with work; one row a receptor and limit; one receptor's days. */
sg_status sg_table_calendar_days(const struct sg_calendar *calendar, struct sg_table *out);
sg_status sg_table_calendar_levels(const struct sg_calendar *calendar, struct sg_table *out);
/* Limits that count days, and sets that bound days running, over the programme. */
sg_status sg_table_day_rules(const struct sg_calendar *calendar, struct sg_table *out);
sg_status sg_table_calendar_receptor(const struct sg_calendar *calendar, size_t receptor,
                                     struct sg_table *out);
/* Who must be told by when. change: a level rises against what was consented to. */
sg_status sg_table_lead_times(const struct sg_site *site, bool change, struct sg_table *out);

sg_status sg_table_changes(const struct sg_changes *changes, struct sg_table *out);
sg_status sg_table_sensitivity(const struct sg_study *study, const struct sg_sensitivity *list,
                               size_t count, struct sg_table *out);
sg_status sg_table_inverse(const struct sg_inverse *list, size_t count, const char *title,
                           struct sg_table *out);
sg_status sg_table_monitors(const struct sg_study *study, const struct sg_monitors *monitors,
                            struct sg_table *out);

/* Along the chainage: method, highest value against its limit, ground. */
sg_status sg_plot_strip(const struct sg_plan *plan, const char *keep_dir, struct sg_text *svg,
                        struct sg_errors *errors);
/* Receptors against days, shaded by the ratio to the limit. */
sg_status sg_plot_calendar(const struct sg_calendar *calendar, const char *keep_dir,
                           struct sg_text *svg, struct sg_errors *errors);

#endif
