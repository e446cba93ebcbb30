/* soils.c - how site files name ground, and what the published relations make of each name.
 *
 * group: rows of the soil factor of BS 5228-2 Table E.2. "firm" clay stands between its soft and
 * stiff rows and is put with stiff, the side that predicts more.
 * propagation class: Caltrans 2013 Table 17, by its descriptions. */
#include "stillground/catalogue.h"

#define N_BY(grade) { "terzaghi-peck1948", "states by N", grade }
#define PRACTICE { "practice", "-", SG_GRADE_PRACTICE }
#define RECALLED N_BY(SG_GRADE_MEMORY_HIGH)

/* clang-format off */
static const struct sg_soil soils[] = {
    /* soil     state           kind              group            class N from  to */
    { "sand",   "very-loose",   SG_SOIL_GRANULAR, SG_GROUND_SOFT,   1,   0,   4, RECALLED },
    { "sand",   "loose",        SG_SOIL_GRANULAR, SG_GROUND_SOFT,   1,   4,  10, RECALLED },
    { "sand",   "medium-dense", SG_SOIL_GRANULAR, SG_GROUND_MEDIUM, 2,  10,  30, RECALLED },
    { "sand",   "dense",        SG_SOIL_GRANULAR, SG_GROUND_HARD,   3,  30,  50, RECALLED },
    { "sand",   "very-dense",   SG_SOIL_GRANULAR, SG_GROUND_HARD,   3,  50, SG_INFINITY, RECALLED },
    { "gravel", "loose",        SG_SOIL_GRANULAR, SG_GROUND_SOFT,   2,   0,  10, RECALLED },
    { "gravel", "medium-dense", SG_SOIL_GRANULAR, SG_GROUND_MEDIUM, 2,  10,  30, RECALLED },
    { "gravel", "dense",        SG_SOIL_GRANULAR, SG_GROUND_HARD,   3,  30,  50, RECALLED },
    { "gravel", "very-dense",   SG_SOIL_GRANULAR, SG_GROUND_HARD,   3,  50, SG_INFINITY, RECALLED },
    { "silt",   "very-loose",   SG_SOIL_GRANULAR, SG_GROUND_SOFT,   1,   0,   4, RECALLED },
    { "silt",   "loose",        SG_SOIL_GRANULAR, SG_GROUND_SOFT,   2,   4,  10, RECALLED },
    { "silt",   "medium-dense", SG_SOIL_GRANULAR, SG_GROUND_MEDIUM, 2,  10,  30, RECALLED },
    { "silt",   "dense",        SG_SOIL_GRANULAR, SG_GROUND_HARD,   3,  30, SG_INFINITY, RECALLED },
    { "clay",   "very-soft",    SG_SOIL_COHESIVE, SG_GROUND_SOFT,   1,   0,   2, RECALLED },
    { "clay",   "soft",         SG_SOIL_COHESIVE, SG_GROUND_SOFT,   1,   2,   4, RECALLED },
    { "clay",   "firm",         SG_SOIL_COHESIVE, SG_GROUND_MEDIUM, 2,   4,   8, RECALLED },
    { "clay",   "stiff",        SG_SOIL_COHESIVE, SG_GROUND_MEDIUM, 2,   8,  15, RECALLED },
    { "clay",   "very-stiff",   SG_SOIL_COHESIVE, SG_GROUND_HARD,   3,  15,  30, RECALLED },
    { "clay",   "hard",         SG_SOIL_COHESIVE, SG_GROUND_HARD,   3,  30, SG_INFINITY, RECALLED },
    { "peat",   "soft",         SG_SOIL_ORGANIC,  SG_GROUND_SOFT,   1,   0, SG_INFINITY, PRACTICE },
    { "fill",   "loose",        SG_SOIL_FILL,     SG_GROUND_SOFT,   1,   0,  10, PRACTICE },
    { "fill",   "compacted",    SG_SOIL_FILL,     SG_GROUND_MEDIUM, 2,  10, SG_INFINITY, PRACTICE },
    { "fill",   "obstructed",   SG_SOIL_FILL,     SG_GROUND_HARD,   2, SG_UNSET, SG_UNSET, PRACTICE },
    { "cobbles","obstructed",   SG_SOIL_GRANULAR, SG_GROUND_HARD,   2, SG_UNSET, SG_UNSET, PRACTICE },
    { "rock",   "weak",         SG_SOIL_ROCK,     SG_GROUND_HARD,   3,  50, 180, PRACTICE },
    { "rock",   "strong",       SG_SOIL_ROCK,     SG_GROUND_HARD,   4, 180, SG_INFINITY, PRACTICE },
};
/* clang-format on */

size_t sg_soil_count(void)
{
    return SG_COUNT(soils);
}

const struct sg_soil *sg_soil_at(size_t index)
{
    return index < SG_COUNT(soils) ? &soils[index] : NULL;
}

const struct sg_soil *sg_soil_find(const char *soil, const char *state)
{
    for (size_t i = 0; i < SG_COUNT(soils); i++) {
        if (sg_same(soils[i].soil, soil) && sg_same(soils[i].state, state))
            return &soils[i];
    }
    return NULL;
}

const struct sg_soil *sg_soil_by_n(const char *soil, double spt_n)
{
    for (size_t i = 0; i < SG_COUNT(soils); i++) {
        if (sg_same(soils[i].soil, soil) && spt_n >= soils[i].n_low && spt_n < soils[i].n_high)
            return &soils[i];
    }
    return NULL;
}
