/* test_outdoor_touching.c - walls and buildings whose end or face lies exactly on the direct way.
 *
 * ISO 9613-2:1996 Eq. (13), (14): round an edge on the direct way z = 0, Dz = 10 lg 3. Moving the
 * obstacle by a hair into the way must not change the level.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "../support/close.h"
#include "../support/outdoor_scene.h"

#define HAIR_M 0.002

static void work_out_moved(const struct sg_spot3 *corner, size_t ncorner, bool closed, double by_m,
                           struct worked *w)
{
    struct sg_spot3 moved[8];
    for (size_t i = 0; i < ncorner; i++)
        moved[i] = above_ground(corner[i].x_m, corner[i].y_m + by_m, corner[i].height_m);
    struct sg_obstacle obstacle = { "o", closed, moved, ncorner, { 0 } };
    struct sg_scene scene = case_scene(0);
    scene.obstacle = &obstacle;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(0, 10, 2), above_ground(80, 10, 2), 93, w);
}

static void check(const struct sg_spot3 *corner, size_t ncorner, bool closed, double inward_m)
{
    struct worked on, in;
    work_out_moved(corner, ncorner, closed, 0, &on);
    work_out_moved(corner, ncorner, closed, inward_m, &in);
    assert_int_equal(on.path[0].side[0].count, 1);
    assert_int_equal(on.path[0].side[1].count, in.path[0].side[1].count);
    assert_close(on.path[0].side_db[0][4], 10 * log10(3), 1e-12, 0);
    for (size_t b = 0; b < SG_BANDS; b++)
        assert_close(on.level.band_db[b], in.level.band_db[b], 0, 0.01);
}

static void an_end_on_the_way(void **state)
{
    (void)state;
    static const struct sg_spot3 wall[] = { { 20, -20, 5, SG_UNSET }, { 20, 10, 5, SG_UNSET } };
    check(wall, SG_COUNT(wall), false, HAIR_M);
}

static void a_face_along_the_way(void **state)
{
    (void)state;
    static const struct sg_spot3 block[] = { { 20, -10, 8, SG_UNSET },
                                             { 40, -10, 8, SG_UNSET },
                                             { 40, 10, 8, SG_UNSET },
                                             { 20, 10, 8, SG_UNSET } };
    check(block, SG_COUNT(block), true, HAIR_M);
}

/* Low, so that the caps of one and two edges, 20 dB and 25 dB, do not show. */
static void a_corner_on_the_way(void **state)
{
    (void)state;
    static const struct sg_spot3 wedge[] = { { 20, -10, 3, SG_UNSET },
                                             { 60, -10, 3, SG_UNSET },
                                             { 40, 10, 3, SG_UNSET } };
    check(wedge, SG_COUNT(wedge), true, HAIR_M);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_end_on_the_way),
        cmocka_unit_test(a_face_along_the_way),
        cmocka_unit_test(a_corner_on_the_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
