/* sources.c - the list of published sound source levels, made from sources.def.
 *
 * Sources: Hong Kong technical memoranda, FHWA 2006, FTA 2018 and 2006, BS 5228-1:2009+A1:2014 and
 * single measurements; each row names its document, place and grade.
 */
#include "stillground/catalogue.h"

#define DRIVEN SG_TECHNIQUE_BIT(SG_IMPACT)
#define VIBRATED SG_TECHNIQUE_BIT(SG_VIBRATORY)

static const struct sg_source sources[] = {
#define SG_SOURCE(id, title, kind, level_db, usage_percent, techniques, document, locus, grade)    \
    { id, title, SG_SOURCE_##kind, level_db, usage_percent, techniques,                            \
      { document, locus, SG_GRADE_##grade } },
#include "sources.def"
#undef SG_SOURCE
};

size_t sg_source_count(void)
{
    return SG_COUNT(sources);
}

const struct sg_source *sg_source_at(size_t index)
{
    return index < SG_COUNT(sources) ? &sources[index] : NULL;
}

const struct sg_source *sg_source_find(const char *id)
{
    for (size_t i = 0; i < SG_COUNT(sources); i++) {
        if (sg_same(sources[i].id, id))
            return &sources[i];
    }
    return NULL;
}
