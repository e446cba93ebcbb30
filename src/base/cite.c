/* cite.c - grades of knowledge of a published number. */
#include "stillground/base.h"

static const char *const names[SG_GRADE_END] = {
    [SG_GRADE_SEEN] = "seen",
    [SG_GRADE_DERIVED] = "derived",
    [SG_GRADE_MEMORY_HIGH] = "memory-high",
    [SG_GRADE_MEMORY_MID] = "memory-mid",
    [SG_GRADE_MEMORY_LOW] = "memory-low",
    [SG_GRADE_PRACTICE] = "practice",
    [SG_GRADE_USER] = "user",
};

/* From best to worst. A user's figure is not a flaw of the catalogue, but never hides one. */
static const int badness[SG_GRADE_END] = {
    [SG_GRADE_SEEN] = 0,       [SG_GRADE_DERIVED] = 1,     [SG_GRADE_USER] = 2,
    [SG_GRADE_PRACTICE] = 3,   [SG_GRADE_MEMORY_HIGH] = 4, [SG_GRADE_MEMORY_MID] = 5,
    [SG_GRADE_MEMORY_LOW] = 6,
};

const char *sg_grade_name(enum sg_grade grade)
{
    return (unsigned)grade < SG_GRADE_END ? names[grade] : "unknown";
}

bool sg_grade_unverified(enum sg_grade grade)
{
    return grade == SG_GRADE_MEMORY_HIGH || grade == SG_GRADE_MEMORY_MID ||
           grade == SG_GRADE_MEMORY_LOW || grade == SG_GRADE_PRACTICE;
}

enum sg_grade sg_grade_worse(enum sg_grade a, enum sg_grade b)
{
    return badness[a] >= badness[b] ? a : b;
}
