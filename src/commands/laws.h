/* laws.h - laws fitted to the site, given with --law, put in the place of published relations. */
#ifndef STILLGROUND_COMMANDS_LAWS_H
#define STILLGROUND_COMMANDS_LAWS_H

#include "commands.h"

#define SG_LAWS_MOST 16

struct sg_laws {
    const char *path[SG_LAWS_MOST]; /* as given; borrowed */
    struct sg_site_law law[SG_LAWS_MOST];
    size_t npath, count;    /* given, read */
    struct sg_arena arena;  /* holds the methods that carry them */
    struct sg_study before; /* the same site without them */
};
#define SG_LAWS_INIT ((struct sg_laws){ .arena = SG_ARENA_INIT, .before = SG_STUDY_INIT })

/* argp key of --law. */
#define SG_LAW_OPTION                                                                              \
    {                                                                                              \
        "law", 'l', "FILE", 0,                                                                     \
            "a law fitted to this site (see fit), in place of the published relation; may be "     \
            "repeated",                                                                            \
            0                                                                                      \
    }
/* False when there are too many. */
bool sg_laws_add(struct sg_laws *laws, const char *path);

/* Reads the laws and gives them to the methods of their technique. A law that no method takes, or
 * two for one method, is an error. */
sg_status sg_laws_apply(struct sg_laws *laws, struct sg_site *site, struct sg_errors *errors);
/* Works the site out with the published relations and hangs it onto the study. */
sg_status sg_laws_before(struct sg_laws *laws, const struct sg_site *site, struct sg_study *study,
                         struct sg_errors *errors);
void sg_laws_release(struct sg_laws *laws);

#endif
