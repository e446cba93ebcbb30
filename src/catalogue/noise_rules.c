/* noise_rules.c - corrections of rating levels, exposure of crews, measures against noise, acceptable
 * levels for percussive piling.
 *
 * Sources: ISO 1996-1:2016; NT ACOU 112:2002; AVV Baulaerm 1970; Austrian ordinance on noise of federal
 * roads, section 11; New South Wales 2009; Directive 2003/10/EC and national acts; Tomlinson and
 * Woodward; ASJ model 2007; BS 5228-1 Annex B. Place and grade on each row.
 */
#include "stillground/noise_rules.h"

#define ANY SG_ANY_TECHNIQUE
#define HAMMER SG_TECHNIQUE_BIT(SG_IMPACT)

static const struct sg_rating_row rating[] = {
    { "iso1996-1", "highly-impulsive", "driving by blows counts as highly impulsive",
      SG_RATING_ADDED, SG_RATING_IMPULSE, SG_ANY_TIME, HAMMER, { 12, 0, 0 }, { 0, 0 },
      { "iso1996-1", "Table A.1; that pile driving is named there is recalled",
        SG_GRADE_MEMORY_MID } },
    { "iso1996-1", "tonal", "prominent tones, 3 to 6 dB, as stated for the rig", SG_RATING_GIVEN,
      SG_RATING_TONAL, SG_ANY_TIME, ANY, { 3, 6, 0 }, { 0, 0 },
      { "iso1996-1", "Table A.1", SG_GRADE_SEEN } },
    { "nt-acou-112", "onset", "KI = 1.8 (P - 5), P = 3 lg(onset rate) + 2 lg(level difference)",
      SG_RATING_ONSET, SG_RATING_IMPULSE, SG_ANY_TIME, ANY, { 1.8, 5, 0 }, { 0, 0 },
      { "nt-acou-112", "P and KI", SG_GRADE_SEEN } },
    { "avv-baulaerm", "time-day", "time correction by the hours of operation, 07 to 20",
      SG_RATING_STEPS, SG_RATING_TIME, SG_DAY, ANY, { -10, -5, 0 }, { 2.5, 8 },
      { "avv-baulaerm1970", "time correction, day", SG_GRADE_MEMORY_HIGH } },
    { "avv-baulaerm", "time-night", "time correction by the hours of operation, 20 to 07",
      SG_RATING_STEPS, SG_RATING_TIME, SG_NIGHT, ANY, { -10, -5, 0 }, { 2, 6 },
      { "avv-baulaerm1970", "time correction, night", SG_GRADE_MEMORY_HIGH } },
    { "avv-baulaerm", "tonal", "clearly audible tones, up to 5 dB(A), as stated for the rig",
      SG_RATING_GIVEN, SG_RATING_TONAL, SG_ANY_TIME, ANY, { 0, 5, 0 }, { 0, 0 },
      { "avv-baulaerm1970", "reading, tones", SG_GRADE_SEEN } },
    { "bstlaermiv", "general", "construction rating level, site traffic excepted",
      SG_RATING_ADDED, SG_RATING_GENERAL, SG_ANY_TIME, ANY, { 5, 0, 0 }, { 0, 0 },
      { "bstlaermiv", "section 11", SG_GRADE_SEEN } },
    { "bstlaermiv", "short", "day values passed in at most one month of the building year",
      SG_RATING_SHORT, SG_RATING_TIME, SG_DAY, ANY, { -3, 0, 0 }, { 0, 0 },
      { "bstlaermiv", "section 11", SG_GRADE_SEEN } },
    { "fta-general", "two-loudest", "the two noisiest machines at work all the time, hard ground, no screen",
      SG_RATING_LOUDEST, SG_RATING_GENERAL, SG_ANY_TIME, ANY, { 2, 0, 0 }, { 0, 0 },
      { "fta2018", "general assessment", SG_GRADE_MEMORY_HIGH } },
    { "icng2009", "annoying", "annoying activities, driving by blows among them", SG_RATING_ADDED,
      SG_RATING_GENERAL, SG_ANY_TIME, HAMMER, { 5, 0, 0 }, { 0, 0 },
      { "icng2009", "annoying activities", SG_GRADE_MEMORY_HIGH } },
};

const char *sg_rating_column_id(enum sg_rating_column column)
{
    static const char *const id[SG_RATING_COLUMN_END] = { "tonal", "impulse", "time", "general" };
    return (unsigned)column < SG_RATING_COLUMN_END ? id[column] : "?";
}

size_t sg_rating_row_count(void)
{
    return SG_COUNT(rating);
}

const struct sg_rating_row *sg_rating_row_at(size_t index)
{
    return index < SG_COUNT(rating) ? &rating[index] : NULL;
}

/* Rows of a rule stand together. */
const char *sg_rating_rule_at(size_t index)
{
    for (size_t i = 0; i < SG_COUNT(rating); i++) {
        bool first = i == 0 || !sg_same(rating[i].rule, rating[i - 1].rule);
        if (first && index-- == 0)
            return rating[i].rule;
    }
    return NULL;
}

bool sg_rating_rule_known(const char *rule)
{
    for (size_t i = 0; i < SG_COUNT(rating); i++) {
        if (sg_same(rating[i].rule, rule))
            return true;
    }
    return false;
}

#define ENERGY_DB 3.0102999566398120 /* 10 lg 2 */

static const struct sg_crew_row crew[] = {
    { "eu", "lower exposure action value", 80, ENERGY_DB, 135,
      { "eu2003-10", "Art. 3", SG_GRADE_SEEN } },
    { "eu", "upper exposure action value", 85, ENERGY_DB, 137,
      { "eu2003-10", "Art. 3", SG_GRADE_SEEN } },
    { "eu", "exposure limit value, inside the protectors", 87, ENERGY_DB, 140,
      { "eu2003-10", "Art. 3", SG_GRADE_SEEN } },
    { "uk", "lower exposure action value", 80, ENERGY_DB, 135,
      { "cnawr2005", "reg. 4", SG_GRADE_SEEN } },
    { "uk", "upper exposure action value", 85, ENERGY_DB, 137,
      { "cnawr2005", "reg. 4", SG_GRADE_SEEN } },
    { "uk", "exposure limit value, inside the protectors", 87, ENERGY_DB, 140,
      { "cnawr2005", "reg. 4", SG_GRADE_SEEN } },
    { "norway", "limit value", 85, ENERGY_DB, 130,
      { "norway-work-noise", "limit values", SG_GRADE_SEEN } },
    { "osha", "permissible exposure, slow, 5 dB exchange", 90, 5, 140,
      { "osha1910-95", "Table G-16", SG_GRADE_SEEN } },
    { "niosh", "recommended exposure limit, 3 dB exchange", 85, 3, SG_UNSET,
      { "niosh1998", "t = 480 / 2^((L - 85) / 3) min", SG_GRADE_SEEN } },
};

size_t sg_crew_row_count(void)
{
    return SG_COUNT(crew);
}

const struct sg_crew_row *sg_crew_row_at(size_t index)
{
    return index < SG_COUNT(crew) ? &crew[index] : NULL;
}

static const struct sg_measure_row measure[] = {
    { "tower", "full enclosure round hammer and pile", HAMMER, SG_MEASURE_RIG, 30, 30,
      { "tomlinson5", "p. 99, measured examples", SG_GRADE_SEEN } },
    { "shroud", "shroud round the lower part of the hammer", HAMMER, SG_MEASURE_RIG, 3, 4,
      { "tomlinson5", "p. 99, measured examples", SG_GRADE_SEEN } },
    { "hammer-screen", "hammer screen, resilient dolly, damped piles", HAMMER, SG_MEASURE_RIG, 5, 10, { "bs5228-1", "Annex B", SG_GRADE_MEMORY_MID } },
    { "silencer", "exhaust silencer and closed panels on the power unit", ANY & ~HAMMER, SG_MEASURE_RIG, 5, 10,
      { "bs5228-1", "Annex B", SG_GRADE_MEMORY_MID } },
    { "site-sheet", "fabric site sheet, transmission loss 10 dB", ANY, SG_MEASURE_ALL, 5, 10,
      { "asj2007", "site sheet", SG_GRADE_SEEN } },
    { "site-panel", "site panel, transmission loss 20 dB", ANY, SG_MEASURE_ALL, 10, 15,
      { "asj2007", "site panel", SG_GRADE_SEEN } },
};

size_t sg_measure_row_count(void)
{
    return SG_COUNT(measure);
}

const struct sg_measure_row *sg_measure_row_at(size_t index)
{
    return index < SG_COUNT(measure) ? &measure[index] : NULL;
}

static const struct sg_percussive_row percussive[] = {
    { "none", 100, { "hk-pp-tm", "acceptable noise levels", SG_GRADE_MEMORY_HIGH } },
    { "air-conditioned", 90, { "hk-pp-tm", "acceptable noise levels", SG_GRADE_MEMORY_HIGH } },
    { "openable", 85, { "hk-pp-tm", "acceptable noise levels", SG_GRADE_MEMORY_HIGH } },
};

size_t sg_percussive_row_count(void)
{
    return SG_COUNT(percussive);
}

const struct sg_percussive_row *sg_percussive_row_at(size_t index)
{
    return index < SG_COUNT(percussive) ? &percussive[index] : NULL;
}
