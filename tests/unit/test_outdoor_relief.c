/* test_outdoor_relief.c - heights of the ground between given points: whatever the points and their
 * order, those of a plane give the plane (linear interpolation in any triangulation). */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "outdoor_scene.h"

#include <math.h>

enum { SIDE = 41, MOST = SIDE * SIDE + 4 };
#define EAST_M 435000.0 /* as large as coordinates of a map */
#define NORTH_M 6040000.0

static double next(uint64_t *state, double low, double high)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * ((double)(*state >> 11) * 0x1p-53);
}

static struct sg_spot3 on_plane(double x, double y)
{
    return (struct sg_spot3){ EAST_M + x, NORTH_M + y, SG_UNSET, 100 + 0.01 * x - 0.02 * y };
}

static void shuffle(struct sg_spot3 *point, size_t count, uint64_t *seed)
{
    for (size_t i = count - 1; i > 0; i--) {
        size_t k = (size_t)next(seed, 0, (double)(i + 1));
        struct sg_spot3 kept = point[i];
        point[i] = point[k];
        point[k] = kept;
    }
}

static void assert_plane(const struct sg_spot3 *point, size_t count, double within_m)
{
    const struct sg_outdoor *outdoor = NULL;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_scene scene = case_scene(0);
    uint64_t seed = 7;
    scene.terrain = point;
    scene.nterrain = count;
    assert_int_equal(sg_outdoor_make(&scene, &arena, &outdoor, NULL), SG_OK);
    for (size_t i = 0; i < 500; i++) {
        struct sg_spot3 at =
            on_plane(next(&seed, -within_m, within_m), next(&seed, -within_m, within_m));
        assert_close(sg_outdoor_ground_m(outdoor, at.x_m, at.y_m), at.z_m, 0, 1e-6);
    }
    sg_arena_release(&arena);
}

/* Four points of every square lie on a circle. */
static void grid_in_any_order(void **state)
{
    static struct sg_spot3 point[MOST];
    uint64_t seed = 5;
    (void)state;
    for (size_t i = 0; i < SIDE * SIDE; i++)
        point[i] = on_plane(20.0 * (double)(i % SIDE) - 400, 20.0 * (double)(i / SIDE) - 400);
    assert_plane(point, SIDE * SIDE, 399);
    for (size_t turn = 0; turn < 5; turn++) {
        shuffle(point, SIDE * SIDE, &seed);
        assert_plane(point, SIDE * SIDE, 399);
    }
}

/* Two surveys of the same places, and of a long row. */
static void points_millimetres_apart(void **state)
{
    static struct sg_spot3 point[MOST];
    uint64_t seed = 6;
    size_t n = 0;
    (void)state;
    point[n++] = on_plane(-400, -400);
    point[n++] = on_plane(400, -400);
    point[n++] = on_plane(400, 400);
    point[n++] = on_plane(-400, 400);
    for (size_t i = 0; i < 600; i++) {
        double x = 20.0 * (double)(int)next(&seed, -19, 19), y = next(&seed, -399, 399);
        point[n++] = on_plane(x, y);
        point[n++] = on_plane(x + next(&seed, 0.0015, 0.004), y);
    }
    for (size_t i = 0; i < 300; i++)
        point[n++] = on_plane(2.5 * (double)i - 380, 0.1);
    shuffle(point, n, &seed);
    assert_plane(point, n, 399);
}

/* Heights along one line: linear between them, level across, those of the ends beyond (a rule of
 * ours, common practice). Two points slope too. */
static void section(void **state)
{
    static const double along[] = { 0, 7, 9, 40, 41, 120 };
    static const double height[] = { 3, 3, 5, 1, 8, 8 };
    const double ux = 0.8, uy = 0.6;
    (void)state;
    for (size_t n = 2; n <= SG_COUNT(along); n++) {
        struct sg_spot3 point[SG_COUNT(along)];
        struct sg_arena arena = SG_ARENA_INIT;
        const struct sg_outdoor *outdoor = NULL;
        struct sg_scene scene = case_scene(0);
        for (size_t i = 0; i < n; i++) {
            size_t k = (i * 5 + 2) % n; /* in another order */
            k = n % 5 == 0 ? i : k;
            point[i] = (struct sg_spot3){ EAST_M + along[k] * ux, NORTH_M + along[k] * uy, SG_UNSET,
                                          height[k] };
        }
        scene.terrain = point;
        scene.nterrain = n;
        assert_int_equal(sg_outdoor_make(&scene, &arena, &outdoor, NULL), SG_OK);
        for (size_t i = 1; i < n; i++) {
            for (double share = 0; share <= 1; share += 0.25) {
                double s = along[i - 1] + share * (along[i] - along[i - 1]);
                double want = height[i - 1] + share * (height[i] - height[i - 1]);
                for (double off = -900; off <= 900; off += 300)
                    assert_close(sg_outdoor_ground_m(outdoor, EAST_M + s * ux - off * uy,
                                                     NORTH_M + s * uy + off * ux),
                                 want, 0, 1e-4);
            }
        }
        assert_close(sg_outdoor_ground_m(outdoor, EAST_M - 50 * ux, NORTH_M - 50 * uy), height[0],
                     0, 1e-4);
        sg_arena_release(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grid_in_any_order),
        cmocka_unit_test(points_millimetres_apart),
        cmocka_unit_test(section),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
