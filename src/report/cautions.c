/* cautions.c - what a reader must know before using the numbers.
 * Basis: common practice of the trade, no source, except where a number is named; the perception
 * figures are those of BS 5228-2 Table B.1, whose rows and grades stand in the catalogue.
 */
#include "internal.h"

static const char *const cautions[] = {
    "These are screening figures from published empirical relations. They are not proof that a "
    "level will or will not occur. Marks show where an input lies outside the data behind a "
    "relation.",
    "Each value has a central and an upper figure. What the upper figure means differs from "
    "relation to relation and is printed beside it; some are bounds, some are exceeded in a stated "
    "share of cases, and single piles can exceed either.",
    "Numbers marked U were not checked against the printed document. Check them before relying on "
    "them.",
    "A limit from a standard or a guide is guidance unless the permit or the contract says "
    "otherwise. The text of the permit and the local code decide.",
    "Keeping a guide value for damage does not mean that nobody will complain: people feel "
    "vibration far below the levels that harm buildings.",
    "No vibration limit covers settlement. Loose saturated sand, silt and fill can settle or lose "
    "strength at levels below every limit shown here; a geotechnical engineer must look at that.",
    "Buildings that are listed, cracked, strained or fragile, and tunnels, pipes, hospitals, "
    "laboratories and sensitive equipment, need the limit of their owner or engineer.",
    "Work beside a railway carries duties that no vibration figure covers: clearance, toppling of "
    "the rig, track geometry, signalling, electrical safety and possession of the track.",
    "Ground suitability from blow counts is common practice, no source. Trial piles and a "
    "contractor who knows the ground are better evidence.",
    "Noise is worked out without weather and without reflections other than those stated; noise "
    "radiated by vibrating floors, noise under water, dust, and the exposure of the workforce are "
    "not covered.",
    "Days of work follow from piles and minutes a pile alone. They leave out setting up, moving, "
    "obstructions, breakdowns and weather.",
    "Before the works begin a competent person, licensed where the law asks for it, must review "
    "and sign the prediction. Buildings at risk are surveyed first.",
    "Measure during the works, and agree beforehand at which level work stops and who stops it.",
    NULL,
};

const char *const *sg_cautions(void)
{
    return cautions;
}
