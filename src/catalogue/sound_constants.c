/* sound_constants.c - published numbers of the sound laws: divergence, ground, facade, screens,
 * haul road, uncertainty.
 *
 * Sources: BS 5228-1:2009+A1:2014 Annex F, FTA 2018 Eq. 7-1, FHWA 2006;
 * place and grade on each row.
 */
#include "stillground/catalogue.h"

/* Column order: id, value, unit, meaning, { document, locus, grade }. */
static const struct sg_sound_number_row numbers[SG_SOUND_NUMBER_END] = {
    /* The exact half sphere gives 10 lg(2 pi) = 7.98; with 8 the soft and hard laws join at 25 m. */
    [SG_SOUND_HALF_SPACE_DB] = { "half-space", 8.0, "dB",
        "level at R from the sound power over hard ground: LWA - (20 lg R + 8)",
        { "bs5228-1", "Annex F, sound power method", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_HARD_SLOPE_DB] = { "hard-slope", 20.0, "dB per tenfold distance",
        "hard ground: KH = 20 lg(R / 10)",
        { "bs5228-1", "Eq. F.1", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SOFT_SLOPE_DB] = { "soft-slope", 25.0, "dB per tenfold distance",
        "soft ground: KS = 25 lg(R / 10) - 2",
        { "bs5228-1", "Eq. F.2", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SOFT_OFFSET_DB] = { "soft-offset", 2.0, "dB",
        "soft ground: KS = 25 lg(R / 10) - 2",
        { "bs5228-1", "Eq. F.2", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SOFT_POWER_DB] = { "soft-power", 1.0, "dB",
        "level at R from the sound power over soft ground: LWA - (25 lg R + 1)",
        { "bs5228-1", "Annex F, sound power method", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SOFT_FROM_M] = { "soft-from", 25.0, "m",
        "the soft ground law holds from this distance; the hard one below it",
        { "bs5228-1", "Eq. F.2", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_ACTIVITY_AT_M] = { "activity-at", 10.0, "m", "reference distance of activity levels",
        { "bs5228-1", "Annex C", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_MAXIMUM_AT_FT] = { "maximum-at", 50.0, "ft", "reference distance of maximum levels",
        { "fhwa2006", "Table 9.1", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_VALID_TO_M] = { "valid-to", 300.0, "m",
        "beyond it, treat with caution (weather), above all the soft ground law",
        { "bs5228-1", "Annex F, validity", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_FACADE_DB] = { "facade", 3.0, "dB", "reflection, 1 m in front of a facade",
        { "bs5228-1", "Annex F, reflection", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SCREEN_VISIBLE_DB] = { "screen-visible", 5.0, "dB",
        "screen, top of the plant just visible over it",
        { "bs5228-1", "Annex F, screening", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SCREEN_HIDDEN_DB] = { "screen-hidden", 10.0, "dB", "screen, plant fully hidden",
        { "bs5228-1", "Annex F, screening", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_HAUL_DB] = { "haul-road", 33.0, "dB",
        "LAeq = LWA - 33 + 10 lg Q - 10 lg V - 10 lg d",
        { "bs5228-1", "Eq. F.6", SG_GRADE_SEEN } },
    [SG_SOUND_HAUL_ANGLE_DEG] = { "haul-angle", 180.0, "degrees",
        "full angle of view: 10 lg(av / 180)",
        { "bs5228-1", "Annex F, angle of view", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_GROUND_SOFT] = { "ground-soft", 0.75, "1",
        "G of soft ground under 5 ft effective height; 0.75 (1 - H / 42) from there to 42 ft",
        { "fta2018", "ground factor of Eq. 7-1", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_GROUND_SLOPE_DB] = { "ground-slope", 10.0, "dB per tenfold distance",
        "ground term: -10 G lg(D / 50 ft)",
        { "fta2018", "Eq. 7-1", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_GROUND_LOW_FT] = { "ground-low", 5.0, "ft", "effective height up to which G is 0.75",
        { "fta2018", "ground factor of Eq. 7-1", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_GROUND_HIGH_FT] = { "ground-high", 42.0, "ft", "effective height from which G is 0",
        { "fta2018", "ground factor of Eq. 7-1", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SHIELD_BROKEN_DB] = { "shield-broken", 3.0, "dB", "line of sight just broken",
        { "fhwa2006-guide", "Appendix A", SG_GRADE_SEEN } },
    [SG_SOUND_SHIELD_GAPS_DB] = { "shield-gaps", 5.0, "dB",
        "enclosure, or barrier close to the source, with gaps",
        { "fhwa2006-guide", "Appendix A", SG_GRADE_SEEN } },
    [SG_SOUND_SHIELD_SOLID_DB] = { "shield-solid", 8.0, "dB",
        "full enclosure, or solid barrier close to the source",
        { "fhwa2006-guide", "Appendix A", SG_GRADE_SEEN } },
    [SG_SOUND_SHIELD_BOTH_DB] = { "shield-both", 10.0, "dB", "enclosed and shielded by a barrier",
        { "fhwa2006-guide", "Appendix A", SG_GRADE_SEEN } },
    [SG_SOUND_SHIELD_BUILDING_DB] = { "shield-building", 15.0, "dB", "a building in between",
        { "fhwa2006-guide", "Appendix A", SG_GRADE_SEEN } },
    [SG_SOUND_SHIELD_CURTAIN_DB] = { "shield-curtain", 5.0, "dB", "heavy vinyl curtain",
        { "fhwa2006", "shielding", SG_GRADE_MEMORY_HIGH } },
    [SG_SOUND_SOURCE_SD_DB] = { "source-sd", 3.0, "dB",
        "scatter of source levels, one standard deviation (none is published)",
        { "practice", "source scatter", SG_GRADE_PRACTICE } },
    /* 1.5 to 3 is the usual span; the larger end is on the safe side. */
    [SG_SOUND_METHOD_SD_DB] = { "method-sd", 3.0, "dB",
        "scatter of the propagation method, one standard deviation, larger end of 1.5 to 3",
        { "practice", "method scatter", SG_GRADE_PRACTICE } },
    [SG_SOUND_COVERAGE] = { "coverage", 1.3, "1",
        "upper = central + 1.3 u; about 8 in 10 results within 1.3 u on either side",
        { "practice", "coverage of the combined scatter", SG_GRADE_PRACTICE } },
};

const struct sg_sound_number_row *sg_sound_number_at(enum sg_sound_number number)
{
    return (size_t)number < SG_COUNT(numbers) ? &numbers[number] : NULL;
}

double sg_sound_number(enum sg_sound_number number)
{
    return (size_t)number < SG_COUNT(numbers) ? numbers[number].value : SG_UNSET;
}
