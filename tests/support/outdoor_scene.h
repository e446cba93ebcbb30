/* outdoor_scene.h - the common geometry of the cases of ISO/TR 17534-3:2015, and a scene that is
 * worked out. Include after cmocka.h and close.h.
 */
#ifndef TESTS_SUPPORT_OUTDOOR_SCENE_H
#define TESTS_SUPPORT_OUTDOOR_SCENE_H

#include "stillground/outdoor.h"

/* 20 C, 70 %, LW 93 dB in all octaves: the setting of every case. */
static inline struct sg_scene case_scene(double factor)
{
    struct sg_scene scene = SG_SCENE_INIT;
    scene.air = (struct sg_air){ 20.0, 70.0, 101.325 };
    scene.ground_factor = factor;
    return scene;
}

static inline struct sg_spot3 above_ground(double x_m, double y_m, double height_m)
{
    return (struct sg_spot3){ x_m, y_m, height_m, SG_UNSET };
}

static inline struct sg_spot3 in_datum(double x_m, double y_m, double z_m)
{
    return (struct sg_spot3){ x_m, y_m, SG_UNSET, z_m };
}

struct worked {
    struct sg_outdoor_path path[SG_OUTDOOR_PATHS];
    size_t count;
    struct sg_outdoor_level level;
};

static inline void work_out(const struct sg_scene *scene, struct sg_spot3 source,
                            struct sg_spot3 receptor, double power_db, struct worked *out)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    const struct sg_outdoor *outdoor = NULL;
    struct sg_spot3 s, r;
    struct sg_emitter emitter = { .name = "S" };
    for (size_t b = 0; b < SG_BANDS; b++)
        emitter.power_db[b] = power_db;
    assert_int_equal(sg_outdoor_make(scene, &arena, &outdoor, &errors), SG_OK);
    assert_int_equal(sg_outdoor_place(outdoor, "source", "S", &source, &s, &errors), SG_OK);
    assert_int_equal(sg_outdoor_place(outdoor, "receptor", "R", &receptor, &r, &errors), SG_OK);
    assert_int_equal(
        sg_outdoor_paths(outdoor, &s, &r, false, out->path, SG_OUTDOOR_PATHS, &out->count), SG_OK);
    sg_outdoor_level(&emitter, out->path, out->count, &out->level);
    sg_arena_release(&arena);
    sg_errors_release(&errors);
}

#endif
