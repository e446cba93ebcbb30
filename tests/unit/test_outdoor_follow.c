/* test_outdoor_follow.c - a wall given by its height follows the ground between its corners.
 * Common practice, no source; the way over its top by hand.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "../support/close.h"
#include "../support/outdoor_scene.h"

/* A valley along x, 6 m deep, with its sole at y = 0; source and receptor on the sole. */
static void work_out_valley(const struct sg_spot3 *corner, size_t ncorner, double reflection,
                            struct worked *w)
{
    static const struct sg_spot3 left[] = { { -200, 40, SG_UNSET, 6 }, { 200, 40, SG_UNSET, 6 } };
    static const struct sg_spot3 sole[] = { { -200, 0, SG_UNSET, 0 }, { 200, 0, SG_UNSET, 0 } };
    static const struct sg_spot3 right[] = { { -200, -40, SG_UNSET, 6 },
                                             { 200, -40, SG_UNSET, 6 } };
    static const struct sg_terrain_line line[] = { { left, 2 }, { sole, 2 }, { right, 2 } };
    struct sg_obstacle wall = { "wall", false, corner, ncorner, { 0 } };
    struct sg_scene scene = case_scene(0);
    for (size_t b = 0; b < SG_BANDS; b++)
        wall.reflection[b] = reflection;
    scene.terrain_line = line;
    scene.nterrain_line = SG_COUNT(line);
    scene.obstacle = &wall;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(0, 0, 2), above_ground(60, 0, 2), 93, w);
}

static void a_hoarding_across_a_dip(void **state)
{
    (void)state;
    static const struct sg_spot3 two[] = { { 20, -40, 3, SG_UNSET }, { 20, 40, 3, SG_UNSET } };
    static const struct sg_spot3 three[] = { { 20, -40, 3, SG_UNSET },
                                             { 20, 0, 3, SG_UNSET },
                                             { 20, 40, 3, SG_UNSET } };
    static const struct sg_spot3 level[] = { { 20, -40, SG_UNSET, 9 }, { 20, 40, SG_UNSET, 9 } };
    struct worked drawn, by_corner, straight;
    work_out_valley(two, SG_COUNT(two), 0, &drawn);
    work_out_valley(three, SG_COUNT(three), 0, &by_corner);
    work_out_valley(level, SG_COUNT(level), 0, &straight);
    /* 3 m over the sole: 1 m over the line of sight */
    assert_close(drawn.path[0].top.detour_m, hypot(20, 1) + hypot(40, 1) - 60, 1e-9, 0);
    for (size_t b = 0; b < SG_BANDS; b++)
        assert_close(drawn.level.band_db[b], by_corner.level.band_db[b], 0, 1e-9);
    /* a top given in the datum runs straight: 9 m over the sole */
    assert_close(straight.path[0].top.detour_m, hypot(20, 7) + hypot(40, 7) - 60, 1e-9, 0);
}

/* Behind the receptor, across the valley: reflects on the sole, where a corner is put in, once; its
 * height for Eq. (19) is the 4 m that it stands over the ground. */
static void a_hoarding_across_a_dip_reflects(void **state)
{
    (void)state;
    static const struct sg_spot3 two[] = { { 80, -40, 4, SG_UNSET }, { 80, 40, 4, SG_UNSET } };
    struct worked w;
    work_out_valley(two, SG_COUNT(two), 1, &w);
    assert_int_equal(w.count, 2);
    assert_close(w.path[1].distance_m, 100, 1e-12, 0);
    for (size_t b = 0; b < SG_BANDS; b++) { /* 2 / 4^2 x 80 x 20 / 100 = 2 < f / 340 / sqrt(2) */
        bool large = sg_octave_nominal_hz(b) > 2 * 340 * sqrt(2);
        assert_int_equal(sg_is_set(w.path[1].mirror_db[b]), large);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_hoarding_across_a_dip),
        cmocka_unit_test(a_hoarding_across_a_dip_reflects),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
