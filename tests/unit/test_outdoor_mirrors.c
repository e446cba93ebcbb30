/* test_outdoor_mirrors.c - image sources where the ground is not level.
 *
 * ISO 9613-2:1996 clause 7.5: the face reflects where the straight way from the image meets it.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "../support/close.h"
#include "../support/outdoor_scene.h"

/* Ground that rises 1 in 5 along x, a wall of 4 m along it from `from` to `to` at y = 10, source
 * and receptor 20 m apart at y = 0. */
static void work_out_slope(double from_m, double to_m, double height_m, struct worked *w)
{
    static const struct sg_spot3 ground[] = { { -100, -300, SG_UNSET, -20 },
                                              { -100, 300, SG_UNSET, -20 },
                                              { 200, -300, SG_UNSET, 40 },
                                              { 200, 300, SG_UNSET, 40 } };
    const struct sg_spot3 edge[] = { { from_m, 10, 4, SG_UNSET }, { to_m, 10, 4, SG_UNSET } };
    struct sg_obstacle wall = { "wall", false, edge, 2, { 1, 1, 1, 1, 1, 1, 1, 1 } };
    struct sg_scene scene = case_scene(0);
    scene.terrain = ground;
    scene.nterrain = SG_COUNT(ground);
    scene.obstacle = &wall;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(0, 0, height_m), above_ground(20, 0, height_m), 93, w);
}

/* The point of reflection lies at x = 10, as high over the ground there as the source. How far the
 * wall goes on beyond it changes nothing. */
static void a_long_wall_up_a_slope_reflects_at_its_foot(void **state)
{
    (void)state;
    struct worked w;
    for (double to_m = 30; to_m < 160; to_m += 25) {
        work_out_slope(-20, to_m, 0.5, &w);
        assert_int_equal(w.count, 2);
        assert_close(w.path[1].distance_m, sqrt(20.0 * 20 + 20.0 * 20 + 4.0 * 4), 1e-12, 0);
        assert_close(w.path[1].mirror_db[4], 0, 0, 1e-12);
    }
    work_out_slope(-20, 30, 4.1, &w); /* passes over the wall */
    assert_int_equal(w.count, 1);
    work_out_slope(-20, 130, 4.1, &w);
    assert_int_equal(w.count, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_long_wall_up_a_slope_reflects_at_its_foot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
