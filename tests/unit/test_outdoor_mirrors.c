/* test_outdoor_mirrors.c - image sources where the ground is not level, and where there are many.
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

/* A yard of twelve walls, three reflections: 44 ways. With room for fewer, the direct way and the
 * shortest others are kept. */
static void the_shortest_ways_are_kept(void **state)
{
    (void)state;
    enum { WALLS = 12, FEW = 9 };
    struct sg_spot3 edge[WALLS][2];
    struct sg_obstacle wall[WALLS];
    for (size_t i = 0; i < WALLS; i++) {
        for (size_t k = 0; k < 2; k++) {
            double angle = 2 * SG_PI * ((double)i + 0.98 * (double)k) / WALLS;
            edge[i][k] = above_ground(40 * cos(angle), 40 * sin(angle), 15);
        }
        wall[i] = (struct sg_obstacle){ "w", false, edge[i], 2, { 1, 1, 1, 1, 1, 1, 1, 1 } };
    }
    struct sg_scene scene = case_scene(0);
    scene.obstacle = wall;
    scene.nobstacle = WALLS;
    scene.reflections = 3;
    scene.reach_m = 1000;
    struct worked all;
    struct sg_spot3 from = above_ground(3, 2, 2), to = above_ground(20, 5, 2);
    work_out(&scene, from, to, 93, &all);
    assert_true(all.count > 3 * FEW && all.count < SG_OUTDOOR_PATHS);

    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    const struct sg_outdoor *outdoor = NULL;
    struct sg_spot3 s, r;
    struct sg_outdoor_path few[FEW];
    size_t count;
    assert_int_equal(sg_outdoor_make(&scene, &arena, &outdoor, &errors), SG_OK);
    assert_int_equal(sg_outdoor_place(outdoor, "source", "S", &from, &s, &errors), SG_OK);
    assert_int_equal(sg_outdoor_place(outdoor, "receptor", "R", &to, &r, &errors), SG_OK);
    assert_int_equal(sg_outdoor_paths(outdoor, &s, &r, false, few, FEW, &count), SG_OK);
    assert_int_equal(count, FEW);
    assert_int_equal(few[0].order, 0);
    double longest_m = 0;
    size_t shorter = 0;
    for (size_t i = 0; i < FEW; i++)
        longest_m = fmax(longest_m, few[i].distance_m);
    for (size_t i = 0; i < all.count; i++)
        shorter += all.path[i].distance_m <= longest_m;
    assert_int_equal(shorter, FEW);
    sg_arena_release(&arena);
    sg_errors_release(&errors);
}

/* A wall of 60 m by 10 m at y = 20 between source and receptor at y = 0: drawn with any corners on
 * its line it is one surface (Eq. (19)), and where two sides or walls meet at a point of reflection
 * they throw the sound back once. */
static void check_drawn(const double *x_m, size_t ncorner, size_t nwall, bool closed)
{
    struct sg_spot3 corner[20];
    struct sg_obstacle wall[2];
    struct sg_scene scene = case_scene(0);
    struct worked w;
    for (size_t i = 0; i < ncorner; i++)
        corner[i] = above_ground(x_m[i], 20, 10);
    size_t all = ncorner;
    if (closed) {
        corner[all++] = above_ground(60, 40, 10);
        corner[all++] = above_ground(0, 40, 10);
    }
    for (size_t i = 0; i < nwall; i++)
        wall[i] = (struct sg_obstacle){
            "w", closed, corner + 2 * i, nwall > 1 ? 2 : all, { 1, 1, 1, 1, 1, 1, 1, 1 }
        };
    scene.obstacle = wall;
    scene.nobstacle = nwall;
    work_out(&scene, above_ground(0, 0, 2), above_ground(60, 0, 2), 93, &w);
    assert_int_equal(w.count, 2);
    assert_close(w.path[1].distance_m, sqrt(60.0 * 60 + 40.0 * 40), 1e-12, 0);
    for (size_t b = 0; b < SG_BANDS; b++) { /* 250 Hz and up: see one_wall_reflects */
        assert_int_equal(sg_is_set(w.path[1].mirror_db[b]), b >= 2);
        if (b >= 2)
            assert_close(w.path[1].mirror_db[b], 0, 0, 1e-12);
    }
}

static void corners_on_a_straight_wall_change_nothing(void **state)
{
    (void)state;
    static const double whole[] = { 0, 60 }, beside[] = { 0, 29, 60 }, joint[] = { 0, 30, 60 };
    static const double many[] = { 0, 4, 8, 12, 16, 20, 24, 28, 32, 36, 40, 44, 48, 52, 56, 60 };
    static const double two[] = { 0, 30, 30, 60 };
    for (int closed = 0; closed < 2; closed++) {
        check_drawn(whole, SG_COUNT(whole), 1, closed);
        check_drawn(beside, SG_COUNT(beside), 1, closed);
        check_drawn(joint, SG_COUNT(joint), 1, closed);
        check_drawn(many, SG_COUNT(many), 1, closed);
    }
    check_drawn(two, SG_COUNT(two), 2, false);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(corners_on_a_straight_wall_change_nothing),
        cmocka_unit_test(the_shortest_ways_are_kept),
        cmocka_unit_test(a_long_wall_up_a_slope_reflects_at_its_foot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
