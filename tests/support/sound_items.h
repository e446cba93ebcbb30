/* sound_items.h - items of plant and their levels, short enough for tables of checks.
 * Include after cmocka.h.
 */
#ifndef TESTS_SUPPORT_SOUND_ITEMS_H
#define TESTS_SUPPORT_SOUND_ITEMS_H

#include "stillground/sound.h"

static inline struct sg_sound_item item_of(enum sg_source_kind kind, double level_db, double share)
{
    return (struct sg_sound_item){ .name = "item",
                                   .kind = kind,
                                   .level_db = level_db,
                                   .count = 1,
                                   .on_time_share = share,
                                   .grade = SG_GRADE_SEEN };
}

static inline double level_at(enum sg_sound_method method, struct sg_sound_item item,
                              struct sg_sound_path path)
{
    double level_db = SG_UNSET;
    assert_true(sg_ok(sg_sound_item_at(method, &item, &path, &level_db, NULL)));
    return level_db;
}

static inline struct sg_value period_of(enum sg_sound_method method,
                                        const struct sg_sound_item *item, size_t nitem,
                                        struct sg_sound_path path, double *loudest_db)
{
    struct sg_value value = SG_VALUE_INIT;
    assert_true(sg_ok(sg_sound_period(method, item, nitem, &path, &value, loudest_db, NULL)));
    assert_null(value.why);
    return value;
}

#endif
