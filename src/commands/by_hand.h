/* by_hand.h - the command line of models, limits and sources: [ID [key=value ...]] and --format. */
#ifndef COMMANDS_BY_HAND_H
#define COMMANDS_BY_HAND_H

#include "commands.h"

#include <argp.h>

#define SG_PAIRS_MOST 48

struct sg_by_hand {
    enum sg_format format;
    const char *id; /* NULL = the list */
    char *pair[SG_PAIRS_MOST];
    size_t npair;
};
/* Takes --format and the arguments; everything else is ARGP_ERR_UNKNOWN. */
error_t sg_by_hand_option(int key, char *argument, struct argp_state *state,
                          struct sg_by_hand *out);

#endif
