/* practice.c - what the trade knows without a book: which ground suits which technique, widths of
 * sections, frequencies at which vibration is found; and the coupling of ground to buildings.
 *
 * Strengths of cohesive ground are known as undrained strength c_u; with N as the only figure at
 * hand, c_u = 5 N kPa is taken (common practice), and said in the note. */
#include "stillground/catalogue.h"

#define PRACTICE(locus) { "practice", locus, SG_GRADE_PRACTICE }
#define FTA(grade) { "fta2006", "Table 10-1", grade }

/* clang-format off */
static const struct sg_suitability_row suitability[] = {
    /* technique           kind              suitable marginal aid from */
    { SG_IMPACT,            SG_SOIL_GRANULAR,  50, 100,  0, "driven to N 50, to 100 with care; beyond it refusal", PRACTICE("impact, granular") },
    { SG_IMPACT,            SG_SOIL_COHESIVE,  50, 100,  0, "stiff to hard", PRACTICE("impact, cohesive") },
    { SG_IMPACT,            SG_SOIL_FILL,      50, 100,  0, "obstructions ask for pre-drilling or careful driving", PRACTICE("impact, granular") },
    { SG_IMPACT,            SG_SOIL_ORGANIC,   50, 100,  0, "", PRACTICE("impact, cohesive") },
    { SG_IMPACT,            SG_SOIL_ROCK,       0, 100,  0, "weak rock only", PRACTICE("impact, granular") },
    { SG_VIBRATORY,         SG_SOIL_GRANULAR,  30,  50,  0, "easy to N 30, to 50 with high force; best in saturated sand", PRACTICE("vibratory, granular") },
    { SG_VIBRATORY,         SG_SOIL_COHESIVE,  15,  20,  0, "c_u to 75 kPa, at most 100, with c_u = 5 N kPa", PRACTICE("vibratory, cohesive") },
    { SG_VIBRATORY,         SG_SOIL_FILL,      30,  50,  0, "", PRACTICE("vibratory, granular") },
    { SG_VIBRATORY,         SG_SOIL_ORGANIC,   15,  20,  0, "", PRACTICE("vibratory, cohesive") },
    { SG_VIBRATORY,         SG_SOIL_ROCK,       0,   0,  0, "", PRACTICE("vibratory, granular") },
    { SG_PRESS_IN,          SG_SOIL_GRANULAR,  15,  25,  0, "to N 15 with wide or long sections, to 25 at best", PRACTICE("press-in alone, granular") },
    { SG_PRESS_IN,          SG_SOIL_COHESIVE,  30,  40,  0, "c_u to 150 kPa, at most 200, with c_u = 5 N kPa", PRACTICE("press-in alone, cohesive") },
    { SG_PRESS_IN,          SG_SOIL_FILL,      15,  25,  0, "", PRACTICE("press-in alone, granular") },
    { SG_PRESS_IN,          SG_SOIL_ORGANIC,   30,  40,  0, "", PRACTICE("press-in alone, cohesive") },
    { SG_PRESS_IN,          SG_SOIL_ROCK,       0,   0,  0, "", PRACTICE("press-in alone, granular") },
    { SG_PRESS_IN_JETTING,  SG_SOIL_GRANULAR,  50,  50, 25, "the jet is for N 25 to 50; settlement beside footings to be checked", PRACTICE("press-in with jetting, granular") },
    { SG_PRESS_IN_JETTING,  SG_SOIL_COHESIVE,  30,  40, 30, "the jet does little in plastic clay; as press-in alone", PRACTICE("press-in with jetting, cohesive") },
    { SG_PRESS_IN_JETTING,  SG_SOIL_FILL,      50,  50, 25, "", PRACTICE("press-in with jetting, granular") },
    { SG_PRESS_IN_JETTING,  SG_SOIL_ORGANIC,   30,  40, 30, "", PRACTICE("press-in with jetting, cohesive") },
    { SG_PRESS_IN_JETTING,  SG_SOIL_ROCK,       0,   0,  0, "", PRACTICE("press-in with jetting, granular") },
    { SG_PRESS_IN_AUGERING, SG_SOIL_GRANULAR, 180, 180, 50, "the auger is for N 50 to an equivalent 180, gravel and cobbles", PRACTICE("press-in with augering, granular") },
    { SG_PRESS_IN_AUGERING, SG_SOIL_COHESIVE, 180, 180, 50, "hard clay", PRACTICE("press-in with augering, cohesive") },
    { SG_PRESS_IN_AUGERING, SG_SOIL_FILL,     180, 180, 50, "", PRACTICE("press-in with augering, granular") },
    { SG_PRESS_IN_AUGERING, SG_SOIL_ORGANIC,  180, 180, 50, "", PRACTICE("press-in with augering, cohesive") },
    { SG_PRESS_IN_AUGERING, SG_SOIL_ROCK,     180, 180, 50, "weak rock; strong rock needs rotary cutting", PRACTICE("press-in with augering, granular") },
};

/* Seen of impact (EN 12063 by a secondary page): pre-drilling or careful impact. */
static const struct sg_obstruction_row obstructions[] = {
    { SG_IMPACT,            SG_PASSES_WITH_CARE, "pre-drilling, or careful driving", PRACTICE("impact, obstructions") },
    { SG_VIBRATORY,         SG_PASSES_NOT,       "obstructions stop it", PRACTICE("vibratory, obstructions") },
    { SG_PRESS_IN,          SG_PASSES_NOT,       "obstructions stop it", PRACTICE("press-in alone, obstructions") },
    { SG_PRESS_IN_JETTING,  SG_PASSES_NOT,       "the jet does not move them", PRACTICE("press-in with jetting, obstructions") },
    { SG_PRESS_IN_AUGERING, SG_PASSES_WITH_CARE, "the auger is for gravel and cobbles; reinforced concrete needs rotary cutting", PRACTICE("press-in with augering, obstructions") },
};

static const struct sg_reaction_row reaction = {
    4, 5, "the first piles of a wall need reaction weights on a stand, or another method", PRACTICE("press-in, first piles")
};

static const struct sg_section_row sections[] = {
    { "U",        0.400, 0.750, "one U section", PRACTICE("section widths") },
    { "Z-single", 0.575, 0.708, "one Z section", PRACTICE("section widths") },
    { "Z-double", 1.150, 1.416, "a pair of Z sections", PRACTICE("section widths") },
    { "hat",      0.900, 0.900, "one hat section", PRACTICE("section widths") },
    { "tube",     SG_UNSET, SG_UNSET, "any diameter", PRACTICE("section widths") },
    { "H",        SG_UNSET, SG_UNSET, "any spacing", PRACTICE("section widths") },
};

/* A vibratory machine's own frequency is used when the site file gives it. */
static const struct sg_frequency_row frequencies[] = {
    { SG_IMPACT,            SG_GROUND_SOFT,     5,  15, PRACTICE("impact, soft clay, peat, loose fill") },
    { SG_IMPACT,            SG_GROUND_MEDIUM,  10,  30, PRACTICE("impact, medium sand, stiff clay") },
    { SG_IMPACT,            SG_GROUND_HARD,    20,  60, PRACTICE("impact, dense sand, gravel, rock toe") },
    { SG_IMPACT,            SG_GROUND_REFUSAL, 20, 100, PRACTICE("impact, rock") },
    { SG_VIBRATORY,         -1,                 5,  43, PRACTICE("vibratory, start and stop through ground and floor resonances to the highest driving frequency") },
    { SG_PRESS_IN,          -1,                 8,  40, PRACTICE("press-in, broadband") },
    { SG_PRESS_IN_JETTING,  -1,                 8,  40, PRACTICE("press-in, broadband") },
    { SG_PRESS_IN_AUGERING, -1,                 8,  40, PRACTICE("press-in, broadband") },
};

static const struct sg_transfer_row transfers[] = {
    { "wood-frame",             -5, true,  "coupling, wood-frame house", FTA(SG_GRADE_SEEN) },
    { "masonry-1-2-storey",     -7, true,  "coupling, masonry of 1 or 2 storeys", FTA(SG_GRADE_SEEN) },
    { "masonry-3-4-storey",    -10, true,  "coupling, masonry of 3 or 4 storeys", FTA(SG_GRADE_SEEN) },
    { "large-masonry-piles",   -10, true,  "coupling, large masonry building on piles", FTA(SG_GRADE_SEEN) },
    { "large-masonry-footings",-13, true,  "coupling, large masonry building on spread footings", FTA(SG_GRADE_SEEN) },
    { "rock",                    0, true,  "coupling, foundation in rock", FTA(SG_GRADE_SEEN) },
    { "per-floor-1-5",          -2, false, "each floor from 1 to 5 above grade", FTA(SG_GRADE_SEEN) },
    { "per-floor-5-10",         -1, false, "each floor from 5 to 10 above grade", FTA(SG_GRADE_SEEN) },
    { "floor-resonance",         6, false, "resonance of floors, walls and ceilings", FTA(SG_GRADE_SEEN) },
    { "efficient-propagation",  10, false, "efficient propagation in soil", FTA(SG_GRADE_SEEN) },
};
/* clang-format on */

size_t sg_suitability_count(void)
{
    return SG_COUNT(suitability);
}

const struct sg_suitability_row *sg_suitability_at(size_t index)
{
    return index < SG_COUNT(suitability) ? &suitability[index] : NULL;
}

const struct sg_suitability_row *sg_suitability_find(enum sg_technique technique,
                                                     enum sg_soil_kind kind)
{
    for (size_t i = 0; i < SG_COUNT(suitability); i++) {
        if (suitability[i].technique == technique && suitability[i].kind == kind)
            return &suitability[i];
    }
    return NULL;
}

size_t sg_section_count(void)
{
    return SG_COUNT(sections);
}

const struct sg_section_row *sg_section_at(size_t index)
{
    return index < SG_COUNT(sections) ? &sections[index] : NULL;
}

const struct sg_section_row *sg_section_find(const char *id)
{
    for (size_t i = 0; i < SG_COUNT(sections); i++) {
        if (sg_same(sections[i].id, id))
            return &sections[i];
    }
    return NULL;
}

const struct sg_frequency_row *sg_frequency_find(enum sg_technique technique,
                                                 enum sg_ground_group group)
{
    for (size_t i = 0; i < SG_COUNT(frequencies); i++) {
        const struct sg_frequency_row *row = &frequencies[i];
        if (row->technique == technique && (row->group < 0 || row->group == (int)group))
            return row;
    }
    return NULL;
}

size_t sg_frequency_count(void)
{
    return SG_COUNT(frequencies);
}

const struct sg_frequency_row *sg_frequency_at(size_t index)
{
    return index < SG_COUNT(frequencies) ? &frequencies[index] : NULL;
}

size_t sg_transfer_count(void)
{
    return SG_COUNT(transfers);
}

const struct sg_transfer_row *sg_transfer_at(size_t index)
{
    return index < SG_COUNT(transfers) ? &transfers[index] : NULL;
}

const struct sg_transfer_row *sg_transfer_find(const char *id)
{
    for (size_t i = 0; i < SG_COUNT(transfers); i++) {
        if (sg_same(transfers[i].id, id))
            return &transfers[i];
    }
    return NULL;
}

const struct sg_obstruction_row *sg_obstruction_find(enum sg_technique technique)
{
    for (size_t i = 1; i < SG_COUNT(obstructions); i++) {
        if (obstructions[i].technique == technique)
            return &obstructions[i];
    }
    return &obstructions[0];
}

const struct sg_reaction_row *sg_reaction(void)
{
    return &reaction;
}
