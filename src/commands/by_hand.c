/* by_hand.c - the command line of models, limits and sources. */
#include "by_hand.h"

#include "options.h"

error_t sg_by_hand_option(int key, char *argument, struct argp_state *state, struct sg_by_hand *out)
{
    switch (key) {
    case 'f':
        sg_take_format(argument, state, &out->format);
        return 0;
    case ARGP_KEY_ARG:
        if (!out->id)
            out->id = argument;
        else if (out->npair < SG_PAIRS_MOST)
            out->pair[out->npair++] = argument;
        else
            argp_error(state, "more than %d key=value pairs", SG_PAIRS_MOST);
        return 0;
    default:
        return ARGP_ERR_UNKNOWN;
    }
}
