/* bridge_numbers.c - the rows behind bridge_numbers.h: DIN 4150-2:1999, clause 7 (recalled), and the
 * crest factor of the United States transit manual of 2018 (recalled).
 */
#include "stillground/bridge_numbers.h"

#define CF_CITE { "din4150-2", "clause 7, c_F 0.6 to 0.9", SG_GRADE_MEMORY_MID }

static const struct sg_bridge_number_row row[SG_BRIDGE_NUMBER_END] = {
    [SG_BRIDGE_CF_SHORT] = { "c_F, short events", 0.6, "short single events without resonance",
                             CF_CITE },
    [SG_BRIDGE_CF_RESONANT] = { "c_F, resonance", 0.8, "with resonance, or nearly harmonic",
                                CF_CITE },
    [SG_BRIDGE_CF_MOST] = { "c_F, most", 0.9, "with resonance, upper end", CF_CITE },
    [SG_BRIDGE_CREST] = { "crest factor", 4.0, "peak over rms that the level column assumes",
                          { "fta2018", "crest factor 4", SG_GRADE_MEMORY_HIGH } },
};

const struct sg_bridge_number_row *sg_bridge_number(enum sg_bridge_number number)
{
    return &row[number];
}
