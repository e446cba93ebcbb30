/* test_outdoor_narrow.c - an obstacle narrower than the wave is none, over the top and round the
 * sides of others.
 *
 * ISO 9613-2:1996 clause 7.4: an object counts as a screen when its extent across the way is longer
 * than the wave at the middle of the band (recalled).
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "../support/close.h"
#include "../support/outdoor_scene.h"

/* A wall from 30 m on the left to 4 m on the right of the way, and behind it, in the way round its
 * right end, a hut 2.9 m wide, between the waves at 63 Hz (5.40 m) and 125 Hz (2.72 m). */
static void a_hut_in_the_way_round(void **state)
{
    (void)state;
    static const struct sg_spot3 edge[] = { { 20, 30, 6, SG_UNSET }, { 20, -4, 6, SG_UNSET } };
    static const struct sg_spot3 ring[] = { { 39.5, -3.5, 6, SG_UNSET },
                                            { 40.5, -3.5, 6, SG_UNSET },
                                            { 40.5, -0.6, 6, SG_UNSET },
                                            { 39.5, -0.6, 6, SG_UNSET } };
    static const struct sg_obstacle obstacle[] = { { "wall", false, edge, 2, { 0 } },
                                                   { "hut", true, ring, 4, { 0 } } };
    struct sg_scene scene = case_scene(0);
    struct worked w;
    scene.obstacle = obstacle;
    scene.nobstacle = 2;
    work_out(&scene, above_ground(0, 0, 2), above_ground(60, 0, 2), 93, &w);

    double first_m = hypot(20, 4), wave_m = 340.0 / 63;
    double z_m = first_m + hypot(40, 4) - 60;
    assert_close(w.path[0].side_db[1][0], 10 * log10(3 + 20 / wave_m * z_m), 1e-12, 0);

    wave_m =
        340.0 / 125; /* by the far corner of the hut, whose other corner the hull passes over */
    double between_m = hypot(20.5, 0.5), x = 5 * wave_m / between_m;
    z_m = first_m + between_m + hypot(19.5, 3.5) - 60;
    double c3 = (1 + x * x) / (1.0 / 3 + x * x);
    assert_close(w.path[0].side_db[1][1], 10 * log10(3 + 20 / wave_m * c3 * z_m), 1e-12, 0);
    assert_close(w.path[0].side_db[0][0],
                 10 * log10(3 + 20 * 63 / 340.0 * (hypot(20, 30) + hypot(40, 30) - 60)), 1e-12, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_hut_in_the_way_round),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
