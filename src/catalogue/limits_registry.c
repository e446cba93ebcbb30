/* limits_registry.c - the limit sets by number and by id, made from limits.def. */
#include "limits/rows.h"

static const struct sg_limit_set *const limit_set[] = {
#define SG_LIMIT_SET(name) &sg_limits_##name,
#include "limits.def"
#undef SG_LIMIT_SET
};

size_t sg_limit_set_count(void)
{
    return SG_COUNT(limit_set);
}

const struct sg_limit_set *sg_limit_set_at(size_t index)
{
    return index < SG_COUNT(limit_set) ? limit_set[index] : NULL;
}

const struct sg_limit_set *sg_limit_set_find(const char *id)
{
    for (size_t i = 0; i < SG_COUNT(limit_set); i++) {
        if (sg_same(limit_set[i]->id, id)) {
            return limit_set[i];
        }
    }
    return NULL;
}
