/* test_outdoor_many.c - many ways, and ways past many walls: none is dropped, the level is the same
 * both ways, and they are worked out in a time that does not grow with the walls' cube: a string
 * through a yard asks an index, a hull keeps no corners inside it, a mirror only what it shines on.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "outdoor_scene.h"

#include <math.h>

enum { MOST = 12000 };

struct walls {
    struct sg_scene scene;
    struct sg_obstacle obstacle[MOST];
    struct sg_spot3 corner[MOST][2], yard[4];
};

static double next(uint64_t *state, double low, double high)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * ((double)(*state >> 11) * 0x1p-53);
}

static void put_wall(struct walls *w, struct sg_spot3 a, struct sg_spot3 b)
{
    size_t i = w->scene.nobstacle++;
    w->corner[i][0] = a;
    w->corner[i][1] = b;
    w->obstacle[i] = (struct sg_obstacle){ "", false, w->corner[i], 2, { 0 } };
}

static void check_both_ways(const struct walls *w, struct sg_spot3 a, struct sg_spot3 b,
                            size_t edges)
{
    struct worked there, back;
    work_out(&w->scene, a, b, 100, &there);
    work_out(&w->scene, b, a, 100, &back);
    assert_true(there.path[0].side[0].count + there.path[0].side[1].count >= edges);
    for (size_t k = 0; k < SG_BANDS; k++)
        assert_close(there.level.band_db[k], back.level.band_db[k], 0, 1e-4);
}

/* Three sides round the source and 150 walls across the way. */
static void out_of_a_yard(void **state)
{
    static struct walls w;
    uint64_t seed = 11;
    (void)state;
    w.scene = case_scene(0.5);
    w.scene.obstacle = w.obstacle;
    for (size_t i = 0; i < 150; i++) {
        double x = 20 + 6.4 * (double)i;
        put_wall(&w, above_ground(x, next(&seed, -30, -1), 5),
                 above_ground(x + next(&seed, -2, 2), next(&seed, 1, 30), 5));
    }
    const struct sg_spot3 yard[] = { above_ground(-5, -6, 4), above_ground(6, -6, 4),
                                     above_ground(6, 6, 4), above_ground(-5, 6, 4) };
    w.obstacle[w.scene.nobstacle++] = (struct sg_obstacle){ "yard", false, yard, 4, { 0 } };
    check_both_ways(&w, above_ground(0, 0, 2), above_ground(1000, 0, 2), 2);
}

/* 12000 walls over four square kilometres, straight across. */
static void across_a_town_of_walls(void **state)
{
    static struct walls w;
    uint64_t seed = 12;
    (void)state;
    w.scene = case_scene(0.5);
    w.scene.obstacle = w.obstacle;
    for (size_t i = 0; i < MOST; i++) {
        double x = next(&seed, -1000, 1000), y = next(&seed, -1000, 1000);
        put_wall(&w, above_ground(x, y, 3),
                 above_ground(x + next(&seed, -10, 10), y + next(&seed, -10, 10), 3));
    }
    check_both_ways(&w, above_ground(-900, -900, 2), above_ground(900, 900, 2), 0);
}

/* Over the mirror 300 m aside the way is sqrt(200^2 + 600^2) - 200 = 432.5 m longer. */
static void mirrors_count_up_to_their_reach(void **state)
{
    static struct walls w;
    (void)state;
    for (size_t turn = 0; turn < 2; turn++) {
        struct worked worked;
        w.scene = case_scene(0);
        w.scene.obstacle = w.obstacle;
        w.scene.reach_m = turn == 0 ? 432.0 : 433.0;
        put_wall(&w, above_ground(-200, 300, 20), above_ground(400, 300, 20));
        for (size_t b = 0; b < SG_BANDS; b++)
            w.obstacle[0].reflection[b] = 0.8;
        work_out(&w.scene, above_ground(0, 0, 2), above_ground(200, 0, 2), 100, &worked);
        assert_int_equal(worked.count, 1 + turn);
    }
}

/* Three orders of reflection among 400 blocks. */
static void mirrors_of_a_town(void **state)
{
    enum { ROWS = 20 };
    static struct walls w;
    static struct sg_spot3 corner[ROWS * ROWS][4];
    struct worked there, back;
    const struct sg_spot3 s = above_ground(10, 15, 2), r = above_ground(170, 135, 2);
    (void)state;
    w.scene = case_scene(0.3);
    w.scene.obstacle = w.obstacle;
    w.scene.reflections = 3;
    for (size_t i = 0; i < ROWS * ROWS; i++) {
        double x = 40 * (double)(i % ROWS) - 375, y = 40 * (double)(i / ROWS) - 370;
        corner[i][0] = above_ground(x, y, 9);
        corner[i][1] = above_ground(x + 20, y, 9);
        corner[i][2] = above_ground(x + 20, y + 18, 9);
        corner[i][3] = above_ground(x, y + 18, 9);
        w.obstacle[w.scene.nobstacle++] = (struct sg_obstacle){
            "", true, corner[i], 4, { 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8 }
        };
    }
    work_out(&w.scene, s, r, 100, &there);
    work_out(&w.scene, r, s, 100, &back);
    assert_true(there.count > 20);
    assert_int_equal(there.count, back.count);
    for (size_t k = 0; k < SG_BANDS; k++)
        assert_close(there.level.band_db[k], back.level.band_db[k], 0, 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mirrors_count_up_to_their_reach),
        cmocka_unit_test(mirrors_of_a_town),
        cmocka_unit_test(out_of_a_yard),
        cmocka_unit_test(across_a_town_of_walls),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
