/* loaded.h - a site that was read and worked out, for the commands that print one. */
#ifndef STILLGROUND_COMMANDS_LOADED_H
#define STILLGROUND_COMMANDS_LOADED_H

#include "laws.h"

struct sg_loaded {
    struct sg_errors errors;
    struct sg_site site;   /* all of it; owns everything */
    struct sg_site view;   /* the same, or only one method or receptor of it */
    struct sg_study study; /* of the view */
    struct sg_laws laws;   /* set the paths before reading */
};
#define SG_LOADED_INIT                                                                             \
    ((struct sg_loaded){ .errors = SG_ERRORS_INIT,                                                 \
                         .site = SG_SITE_INIT,                                                     \
                         .view = SG_SITE_INIT,                                                     \
                         .study = SG_STUDY_INIT,                                                   \
                         .laws = SG_LAWS_INIT })

/* Reads a site file, warnings to stderr; method and receptor narrow the view, NULL = all. */
sg_status sg_loaded_read(struct sg_loaded *loaded, const char *path, const char *method,
                         const char *receptor);
/* Judges every receptor of the view by these sets instead of its own: ids with commas between, or
 * "all" for every set in force that has a row for the receptor. NULL = as the site file says. */
sg_status sg_loaded_limits(struct sg_loaded *loaded, const char *ids);
/* The same for a site and a view of it, which may be one; memory comes from the site. */
sg_status sg_limits_put(struct sg_site *site, struct sg_site *view, const char *ids,
                        struct sg_errors *errors);
/* Works the view out, with progress on a terminal. */
sg_status sg_loaded_work(struct sg_loaded *loaded);
void sg_loaded_release(struct sg_loaded *loaded);

#endif
