/* test_outdoor_buildings.c - the cases of ISO/TR 17534-3:2015 with buildings and reflection, as
 * published transcriptions give them.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "../support/close.h"
#include "../support/outdoor_scene.h"
#include "../support/outdoor_cases.h"

static const struct sg_spot3 cube[] = { { 55, 5, 10, SG_UNSET },
                                        { 65, 5, 10, SG_UNSET },
                                        { 65, 15, 10, SG_UNSET },
                                        { 55, 15, 10, SG_UNSET } };
static const struct sg_spot3 octagon[] = {
    { 10.96, 15.5, 10, SG_UNSET }, { 12.0, 13.0, 10, SG_UNSET },  { 14.5, 11.96, 10, SG_UNSET },
    { 17.0, 13.0, 10, SG_UNSET },  { 18.04, 15.5, 10, SG_UNSET }, { 17.0, 18.0, 10, SG_UNSET },
    { 14.5, 19.04, 10, SG_UNSET }, { 12.0, 18.0, 10, SG_UNSET }
};
static const struct sg_spot3 yard[] = {
    { 36.83, 7.19, 10, SG_UNSET },  { 54.15, 17.19, 10, SG_UNSET }, { 29.15, 60.49, 10, SG_UNSET },
    { -5.49, 40.49, 10, SG_UNSET }, { 9.51, 14.51, 10, SG_UNSET },  { 18.17, 19.51, 10, SG_UNSET },
    { 8.17, 36.83, 10, SG_UNSET },  { 25.49, 46.83, 10, SG_UNSET }, { 40.49, 20.85, 10, SG_UNSET },
    { 31.83, 15.85, 10, SG_UNSET }
};

struct published {
    double la_db[SG_BANDS], total_db, abar_db[SG_BANDS];
};

/* One building on flat ground of one kind. */
static void check_building(const struct sg_spot3 *ring, size_t ncorner, double factor,
                           struct sg_spot3 from, struct sg_spot3 to, const struct published *want)
{
    struct sg_scene scene = case_scene(factor);
    struct sg_obstacle building = { "building", true, ring, ncorner, { 0 } };
    struct worked w;
    scene.obstacle = &building;
    scene.nobstacle = 1;
    work_out(&scene, from, to, 93, &w);
    assert_levels(&w, want->la_db, want->total_db, NULL);
    assert_abar(&w, want->abar_db);
}

static void t11_cube_receptor_low(void **state)
{
    (void)state;
    static const struct published want = {
        { 23.89, 28.52, 30.60, 32.55, 34.77, 34.99, 33.78, 30.18 },
        41.30,
        { 8.79, 12.24, 16.53, 20.12, 22.18, 23.41, 24.14, 24.55 }
    };
    check_building(cube, SG_COUNT(cube), 0.5, above_ground(50, 10, 1), above_ground(70, 10, 4),
                   &want);
}

static void t12_cube_receptor_high(void **state)
{
    (void)state;
    static const struct published want = {
        { 24.84, 30.61, 33.59, 35.50, 36.70, 37.46, 36.57, 32.97 },
        43.81,
        { 6.20, 8.95, 12.23, 15.53, 18.59, 19.27, 19.62, 19.81 }
    };
    check_building(cube, SG_COUNT(cube), 0.5, above_ground(50, 10, 1), above_ground(70, 10, 15),
                   &want);
}

static void t13_octagon_receptor_low(void **state)
{
    (void)state;
    static const struct published want = {
        { 24.97, 30.56, 34.26, 36.08, 37.00, 35.22, 32.22, 26.83 },
        42.71,
        { 3.72, 5.54, 7.89, 11.24, 15.36, 18.78, 21.14, 22.71 }
    };
    check_building(octagon, SG_COUNT(octagon), 0.6, above_ground(0, 10, 1), above_ground(30, 20, 6),
                   &want);
}

static void t14_building_on_rising_ground(void **state)
{
    (void)state;
    struct sg_scene scene = case_scene(0);
    put_rise(&scene);
    put_regions(&scene, strips_of_t14);
    static const struct sg_spot3 ring[] = {
        { 169.39, 41.00, SG_UNSET, 30 }, { 172.50, 33.50, SG_UNSET, 30 },
        { 180.00, 30.39, SG_UNSET, 30 }, { 187.50, 33.50, SG_UNSET, 30 },
        { 190.61, 41.00, SG_UNSET, 30 }, { 187.50, 48.50, SG_UNSET, 30 },
        { 180.00, 51.61, SG_UNSET, 30 }, { 172.50, 48.50, SG_UNSET, 30 },
    };
    static const struct sg_obstacle building = { "octagon", true, ring, 8, { 0 } };
    scene.obstacle = &building;
    scene.nobstacle = 1;
    struct worked w;
    work_out(&scene, source, in_datum(200, 50, 28.5), 93, &w);
    static const double db[] = { 8.73, 14.32, 16.58, 18.35, 20.14, 18.61, 13.00, -1.18 };
    static const double abar[] = { 4.20, 6.50, 8.21, 11.02, 15.34, 18.28, 20.96, 22.51 };
    assert_levels(&w, db, 25.38, NULL);
    assert_abar(&w, abar);
}

static void t15_octagon_receptor_high(void **state)
{
    (void)state;
    static const struct published want = { { 27.29, 35.61, 40.99, 44.01, 44.60, 42.53, 38.76,
                                             32.95 },
                                           49.92,
                                           { 2.10, 3.24, 4.86, 7.12, 10.11, 13.39, 16.56, 18.68 } };
    check_building(octagon, SG_COUNT(octagon), 0.2, above_ground(8, 10, 1),
                   above_ground(25, 20, 23), &want);
}

/* Three blocks one behind the other. */
static void check_blocks(struct sg_spot3 from, struct sg_spot3 to, const struct published *want)
{
    struct sg_scene scene = case_scene(0.5);
    static const struct sg_spot3 first[] = { { 55, 5, 8, SG_UNSET },
                                             { 65, 5, 8, SG_UNSET },
                                             { 65, 15, 8, SG_UNSET },
                                             { 55, 15, 8, SG_UNSET } };
    static const struct sg_spot3 second[] = { { 70, 14.5, 12, SG_UNSET },
                                              { 80, 10.17, 12, SG_UNSET },
                                              { 80, 20.17, 12, SG_UNSET } };
    static const struct sg_spot3 third[] = { { 90.11, 19.48, 10, SG_UNSET },
                                             { 93.27, 17.78, 10, SG_UNSET },
                                             { 87.27, 6.61, 10, SG_UNSET },
                                             { 84.11, 8.31, 10, SG_UNSET } };
    static const struct sg_obstacle block[] = { { "a", true, first, 4, { 0 } },
                                                { "b", true, second, 3, { 0 } },
                                                { "c", true, third, 4, { 0 } } };
    scene.obstacle = block;
    scene.nobstacle = 3;
    struct worked w;
    work_out(&scene, from, to, 93, &w);
    assert_levels(&w, want->la_db, want->total_db, NULL);
    assert_abar(&w, want->abar_db);
}

static void t16_three_blocks(void **state)
{
    (void)state;
    static const struct published want = {
        { 14.83, 18.18, 20.73, 23.44, 26.45, 26.88, 25.22, 19.97 },
        32.54,
        { 9.91, 14.04, 17.29, 19.87, 22.11, 23.32, 24.08, 24.51 }
    };
    check_blocks(above_ground(50, 10, 1), above_ground(100, 15, 5), &want);
}

static void t17_three_blocks_from_elsewhere(void **state)
{
    (void)state;
    static const struct published want = {
        { 15.34, 19.18, 21.95, 23.98, 26.39, 26.83, 25.17, 19.92 },
        32.72,
        { 9.37, 13.01, 16.03, 19.28, 22.12, 23.33, 24.09, 24.52 }
    };
    check_blocks(above_ground(50, 19, 1), above_ground(98, 3.5, 5), &want);
}

static void t18_building_with_a_yard(void **state)
{
    (void)state;
    static const struct published want = {
        { 15.01, 21.79, 25.07, 26.29, 27.74, 28.65, 27.81, 23.46 },
        34.89,
        { 11.47, 14.79, 18.97, 23.08, 24.74, 24.87, 24.93, 24.97 }
    };
    check_building(yard, SG_COUNT(yard), 0, above_ground(15, 35, 2), above_ground(44.64, 63.66, 4),
                   &want);
}

static void t19_reflecting_screen(void **state)
{
    (void)state;
    struct sg_scene scene = case_scene(0);
    put_rise(&scene);
    put_regions(&scene, strips);
    static const struct sg_spot3 edge[] = { { 114, 52, SG_UNSET, 15 }, { 170, 60, SG_UNSET, 15 } };
    static const struct sg_obstacle wall = {
        "screen", false, edge, 2, { 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.5 }
    };
    scene.obstacle = &wall;
    scene.nobstacle = 1;
    struct worked w;
    work_out(&scene, source, in_datum(200, 50, 14), 93, &w);
    static const double db[] = { 13.68, 19.55, 21.10, 28.01, 36.51, 38.43, 35.20, 23.18 };
    static const double power_db[] = { 90.78, 89.99, 89.02, 87.77, 89.99 }; /* from 500 Hz up */
    assert_levels(&w, db, 42.00, NULL);
    assert_int_equal(w.count, 2);
    for (size_t b = 0; b < SG_BANDS; b++) {
        if (b < 3)
            assert_false(sg_is_set(w.path[1].mirror_db[b]));
        else
            assert_close(93 + w.path[1].mirror_db[b], power_db[b - 3], 0, 0.0055);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(t11_cube_receptor_low),
        cmocka_unit_test(t12_cube_receptor_high),
        cmocka_unit_test(t13_octagon_receptor_low),
        cmocka_unit_test(t14_building_on_rising_ground),
        cmocka_unit_test(t15_octagon_receptor_high),
        cmocka_unit_test(t16_three_blocks),
        cmocka_unit_test(t17_three_blocks_from_elsewhere),
        cmocka_unit_test(t18_building_with_a_yard),
        cmocka_unit_test(t19_reflecting_screen),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
