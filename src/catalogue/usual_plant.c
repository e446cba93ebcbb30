/* usual_plant.c - which supporting plant usually stands beside a technique.
 *
 * No document that was read pairs plant with techniques: the pairs are common practice and graded
 * so. Level and share of the time are those of the source that each row names; only sources that
 * print a usage factor are named, so that no share is invented. Published levels of hammers and
 * vibrators are of the whole rig while it works; rigs that press piles in stand apart from their
 * power unit.
 */
#include "stillground/sound_source.h"

#define PRACTICE(locus) { "practice", locus, SG_GRADE_PRACTICE }

static const struct sg_usual_plant usual[] = {
    { SG_ANY_TECHNIQUE, "fhwa-crane", 1,
      "pitches the piles", PRACTICE("plant of every technique") },
    { SG_ANY_PRESS_IN, "fhwa-boring-jack-power-unit", 1, "drives the rig, stands apart from it",
      PRACTICE("plant of press-in") },
    { SG_TECHNIQUE_BIT(SG_PRESS_IN_JETTING), "fhwa-pumps", 1, "feeds the jet",
      PRACTICE("plant of press-in with jetting") },
    { SG_TECHNIQUE_BIT(SG_PRESS_IN_AUGERING), "fhwa-excavator", 1, "loads the spoil",
      PRACTICE("plant of press-in with augering") },
    { SG_TECHNIQUE_BIT(SG_PRESS_IN_AUGERING), "fhwa-dump-truck", 1, "takes the spoil away",
      PRACTICE("plant of press-in with augering") },
};

size_t sg_usual_plant_count(void)
{
    return SG_COUNT(usual);
}

const struct sg_usual_plant *sg_usual_plant_at(size_t index)
{
    return index < SG_COUNT(usual) ? &usual[index] : NULL;
}
