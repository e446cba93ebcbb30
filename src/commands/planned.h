/* planned.h - a site with its methods chosen, for the commands that print a plan or its
 * calendar. */
#ifndef STILLGROUND_COMMANDS_PLANNED_H
#define STILLGROUND_COMMANDS_PLANNED_H

#include "laws.h"
#include "stillground/report_works.h"

struct sg_planned {
    struct sg_errors errors;
    struct sg_site site;
    struct sg_laws laws; /* set the paths before making */
    struct sg_wall_values values;
    struct sg_plan plan;
};
#define SG_PLANNED_INIT                                                                            \
    ((struct sg_planned){ .errors = SG_ERRORS_INIT,                                                \
                          .site = SG_SITE_INIT,                                                    \
                          .laws = SG_LAWS_INIT,                                                    \
                          .values = SG_WALL_VALUES_INIT,                                           \
                          .plan = SG_PLAN_INIT })

/* Reads a site and chooses a method for every pile, with progress on a terminal. */
sg_status sg_planned_make(struct sg_planned *planned, const char *path, enum sg_confidence by,
                          const struct sg_choice_wish *wish);
void sg_planned_release(struct sg_planned *planned);
/* "upper" or "central". */
sg_status sg_confidence_parse(const char *word, enum sg_confidence *out);
/* Writes a drawing to a file; the exit status. */
int sg_command_drawing(const char *path, sg_status status, const struct sg_text *svg,
                       const struct sg_errors *errors);

#endif
