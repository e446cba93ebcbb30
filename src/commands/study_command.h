/* study_command.h - the commands that work a site out and print tables of it differ only in their
 * tables and their help. */
#ifndef STILLGROUND_COMMANDS_STUDY_COMMAND_H
#define STILLGROUND_COMMANDS_STUDY_COMMAND_H

#include "laws.h"

typedef sg_status sg_table_maker(const struct sg_study *study, struct sg_table *out);

/* argp row of --limits (-L). */
#define SG_LIMITS_OPTION                                                                           \
    {                                                                                              \
        "limits", 'L', "IDS", 0, "these limit sets for every receptor, or all of them: all", 0     \
    }

struct sg_study_request {
    const char *site, *method, *receptor; /* NULL = all */
    const char *limits;                   /* NULL = as the site file says */
    enum sg_format format;
    bool strict;
    struct sg_laws laws; /* site laws to be put in, by path */
};
/* Reads, works out, prints; the exit status. */
int sg_study_command_run(const struct sg_study_request *request, sg_table_maker *const *makers);

/* makers: NULL-terminated, in the order of printing; help: the command's text for --help. */
int sg_study_command(int argc, char **argv, sg_table_maker *const *makers, const char *help);

#endif
