/* test_outdoor_yard.c - ways round the sides when source or receptor stands in a yard or between
 * the arms of a wall: against distances worked out by hand, and against a search by trial. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "outdoor_scene.h"
#include "sound/outdoor_internal.h"

#include <math.h>

/* The string runs 0.01 mm beside the corners. */
#define WITHIN_M 2e-4

static double next_unit(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) * 0x1p-53;
}

static void work_out_wall(const struct sg_spot3 *corner, size_t ncorner, bool closed,
                          struct worked *w)
{
    struct sg_scene scene = case_scene(0);
    struct sg_obstacle wall = { "wall", closed, corner, ncorner, { 0 } };
    scene.obstacle = &wall;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(0, 0, 2), above_ground(50, 0, 2), 93, w);
}

/* Source between the arms of a U: back wall at x = 10, arms back to x = -10 at y = 6 and y = -8. */
static void u_of_walls(void **state)
{
    static const struct sg_spot3 u[] = {
        { -10, 6, 8, 0 }, { 10, 6, 8, 0 }, { 10, -8, 8, 0 }, { -10, -8, 8, 0 }
    };
    struct sg_spot3 corner[4];
    struct worked w;
    (void)state;
    for (size_t i = 0; i < 4; i++)
        corner[i] = (struct sg_spot3){ u[i].x_m, u[i].y_m, 8, SG_UNSET };
    work_out_wall(corner, 4, false, &w);
    const struct sg_edges *left = &w.path[0].side[0], *right = &w.path[0].side[1];
    /* out at the end of the arm, along it, past the far corner */
    assert_int_equal(left->count, 2);
    assert_close(left->first_m, sqrt(136), 0, WITHIN_M);
    assert_close(left->between_m, 20, 0, WITHIN_M);
    assert_close(left->last_m, sqrt(1636), 0, WITHIN_M);
    assert_close(left->detour_m, sqrt(136) + 20 + sqrt(1636) - 50, 0, WITHIN_M);
    assert_int_equal(right->count, 2);
    assert_close(right->first_m, sqrt(164), 0, WITHIN_M);
    assert_close(right->between_m, 20, 0, WITHIN_M);
    assert_close(right->last_m, sqrt(1664), 0, WITHIN_M);
    assert_int_equal(w.path[0].top.count, 1);
}

/* No way out of a ring of walls but over the top. */
static void ring_of_walls(void **state)
{
    struct sg_spot3 corner[5] = { { -10, 6, 8, SG_UNSET },
                                  { 10, 6, 8, SG_UNSET },
                                  { 10, -8, 8, SG_UNSET },
                                  { -10, -8, 8, SG_UNSET },
                                  { -10, 6, 8, SG_UNSET } };
    struct worked w;
    (void)state;
    work_out_wall(corner, 5, false, &w);
    assert_int_equal(w.path[0].side[0].count, 0);
    assert_int_equal(w.path[0].side[1].count, 0);
    assert_int_equal(w.path[0].top.count, 1);
}

/* Two walls that meet in a corner are as good as one with a bend. */
static void joints_do_not_leak(void **state)
{
    struct sg_spot3 back[] = { { 10, 6, 8, SG_UNSET }, { 10, -8, 8, SG_UNSET } };
    struct sg_spot3 arms[] = { { 10, 6, 8, SG_UNSET },
                               { -10, 6, 8, SG_UNSET },
                               { 10, -8, 8, SG_UNSET },
                               { -10, -8, 8, SG_UNSET } };
    const struct sg_obstacle wall[] = { { "back", false, back, 2, { 0 } },
                                        { "left", false, arms, 2, { 0 } },
                                        { "right", false, arms + 2, 2, { 0 } } };
    struct sg_scene scene = case_scene(0);
    struct worked w;
    (void)state;
    scene.obstacle = wall;
    scene.nobstacle = 3;
    work_out(&scene, above_ground(0, 0, 2), above_ground(50, 0, 2), 93, &w);
    const struct sg_edges *left = &w.path[0].side[0], *right = &w.path[0].side[1];
    assert_close(left->detour_m, sqrt(136) + 20 + sqrt(1636) - 50, 0, WITHIN_M);
    assert_close(right->detour_m, sqrt(164) + 20 + sqrt(1664) - 50, 0, WITHIN_M);
}

/* ---- round one convex building hull and string agree ---- */

enum { CORNERS = 9 };

static double length_of(const struct sg_uv *chain, size_t n)
{
    double sum = 0;
    for (size_t i = 1; i < n; i++)
        sum += hypot(chain[i].u - chain[i - 1].u, chain[i].v - chain[i - 1].v);
    return sum;
}

/* Least length over a fan of tangents: source, corners from i to k along the ring, receptor. Only
 * those count that cut no corner off. */
static double by_trial(const struct sg_uv *ring, double direct_m, size_t hand)
{
    double best = HUGE_VAL, sign = hand == 0 ? 1 : -1;
    for (size_t i = 0; i < CORNERS; i++) {
        for (size_t n = 1; n <= CORNERS; n++) {
            struct sg_uv chain[CORNERS + 2] = { { 0, 0 } };
            size_t at = i;
            for (size_t k = 1; k <= n; k++) {
                chain[k] = ring[at];
                at = hand == 0 ? (at + CORNERS - 1) % CORNERS : (at + 1) % CORNERS;
            }
            chain[n + 1] = (struct sg_uv){ direct_m, 0 };
            bool whole = true;
            for (size_t k = 0; k + 1 < n + 2 && whole; k++) {
                for (size_t m = 0; m < CORNERS && whole; m++) {
                    struct sg_uv a = chain[k], b = chain[k + 1];
                    double off = (b.u - a.u) * (ring[m].v - a.v) - (b.v - a.v) * (ring[m].u - a.u);
                    whole = sign * off <= 1e-9;
                }
            }
            if (whole)
                best = fmin(best, length_of(chain, n + 2));
        }
    }
    return best;
}

static void string_round_convex_buildings(void **state)
{
    uint64_t seed = 11;
    size_t checked = 0;
    (void)state;
    for (size_t trial = 0; trial < 300; trial++) {
        struct sg_uv ring[CORNERS], chain[8 * CORNERS + 2];
        struct sg_bar bar[CORNERS];
        double u = 30 + 40 * next_unit(&seed), v = 10 * (next_unit(&seed) - 0.5);
        for (size_t i = 0; i < CORNERS; i++) { /* on an ellipse: convex, against the clock */
            double angle = 2 * SG_PI * ((double)i + 0.8 * next_unit(&seed)) / CORNERS;
            ring[i] = (struct sg_uv){ u + 20 * cos(angle), v + 14 * sin(angle) };
        }
        for (size_t i = 0; i < CORNERS; i++)
            bar[i] = (struct sg_bar){ ring[i], ring[(i + 1) % CORNERS], 0, true };
        for (size_t hand = 0; hand < 2; hand++) {
            size_t n;
            assert_int_equal(sg_way_taut(bar, CORNERS, 100, hand, chain, SG_COUNT(chain), &n),
                             SG_OK);
            double want_m = by_trial(ring, 100, hand);
            if (want_m > 1e9)
                continue; /* source or receptor in the building's shadow line */
            assert_true(n > 2);
            assert_close(length_of(chain, n), want_m, 0, WITHIN_M);
            checked++;
        }
    }
    assert_true(checked > 550);
}

/* From the yard out or from outside in: the same two ways. */
static void yard_both_ways(void **state)
{
    static const double at[][2] = { { -12, -15 }, { 25, -15 }, { 25, 15 }, { -12, 15 },
                                    { -12, 8 },   { 15, 8 },   { 15, -8 }, { -12, -8 } };
    struct sg_spot3 corner[SG_COUNT(at)];
    struct worked out, in;
    (void)state;
    for (size_t i = 0; i < SG_COUNT(at); i++)
        corner[i] = (struct sg_spot3){ at[i][0], at[i][1], 9, SG_UNSET };
    work_out_wall(corner, SG_COUNT(at), true, &out);
    struct sg_scene scene = case_scene(0);
    struct sg_obstacle building = { "yard", true, corner, SG_COUNT(at), { 0 } };
    scene.obstacle = &building;
    scene.nobstacle = 1;
    work_out(&scene, above_ground(50, 0, 2), above_ground(0, 0, 2), 93, &in);
    /* round the two corners of a wing, then the outer one: 12, 8 -> 12, 15 -> 25, 15 -> 50, 0 */
    double want_m = sqrt(208) + 7 + 37 + sqrt(850) - 50;
    for (size_t hand = 0; hand < 2; hand++) {
        assert_int_equal(out.path[0].side[hand].count, 3);
        assert_close(out.path[0].side[hand].detour_m, want_m, 0, WITHIN_M);
        assert_close(in.path[0].side[hand].detour_m, want_m, 0, WITHIN_M);
    }
    assert_close(in.level.a_db, out.level.a_db, 0, 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(u_of_walls),         cmocka_unit_test(ring_of_walls),
        cmocka_unit_test(joints_do_not_leak), cmocka_unit_test(string_round_convex_buildings),
        cmocka_unit_test(yard_both_ways),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
