/* bridge_numbers.h - the published numbers with which other quantities are estimated from a peak
 * velocity.
 */
#ifndef STILLGROUND_BRIDGE_NUMBERS_H
#define STILLGROUND_BRIDGE_NUMBERS_H

#include "stillground/base.h"

enum sg_bridge_number {
    SG_BRIDGE_CF_SHORT,    /* c_F of short events without resonance */
    SG_BRIDGE_CF_RESONANT, /* c_F with resonance, lower end */
    SG_BRIDGE_CF_MOST,     /* c_F with resonance, upper end */
    SG_BRIDGE_CREST,       /* peak over rms of a velocity level */
    SG_BRIDGE_NUMBER_END
};
struct sg_bridge_number_row {
    const char *id; /* "c_F, short events" */
    double value;
    const char *meaning;
    struct sg_cite cite;
};
/* Never NULL for a number of the list. */
const struct sg_bridge_number_row *sg_bridge_number(enum sg_bridge_number number);

#endif
