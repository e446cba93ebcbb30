/* test_vibration_field.c - the fast kernel against the plain loop, and what must hold for it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "stillground/vibration.h"

#define PILES 403 /* not a multiple of the block */
#define RECEPTORS 57

struct scene {
    double px[PILES], py[PILES], rx[RECEPTORS], ry[RECEPTORS];
};

/* A fixed sequence, so that every run sees the same places (constants of Numerical Recipes). */
static double next(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)*state / 4294967296.0;
}

static void make(struct scene *scene)
{
    uint32_t state = 20260801u;
    for (size_t i = 0; i < PILES; i++) {
        scene->px[i] = 0.7 * (double)i;
        scene->py[i] = 10 * next(&state);
    }
    for (size_t i = 0; i < RECEPTORS; i++) {
        scene->rx[i] = -50 + 400 * next(&state);
        scene->ry[i] = -3000 + 6000 * next(&state) * next(&state);
    }
    scene->rx[0] = scene->px[7]; /* on a pile: held at the nearest distance */
    scene->ry[0] = scene->py[7];
}

static size_t stages_of(const char *id, enum sg_level level, struct sg_law *stage)
{
    static const struct {
        double depth_m;
        enum sg_ground_group ground;
    } down[] = { { 1, SG_GROUND_SOFT }, { 4, SG_GROUND_MEDIUM }, { 9, SG_GROUND_HARD } };
    struct sg_drive drive = SG_DRIVE_INIT;
    drive.energy_J = 28e3;
    for (size_t i = 0; i < SG_COUNT(down); i++) {
        drive.toe_depth_m = down[i].depth_m;
        drive.ground = down[i].ground;
        assert_int_equal(sg_law_prepare(sg_model_find(id), &drive, level, &stage[i], NULL), SG_OK);
    }
    return SG_COUNT(down);
}

static void compare(const struct sg_law *stage, size_t nstage)
{
    struct scene s;
    double peak[RECEPTORS], sum4[RECEPTORS], plain_peak[RECEPTORS], plain_sum4[RECEPTORS];
    make(&s);
    struct sg_field_points piles = { s.px, s.py, PILES }, receptors = { s.rx, s.ry, RECEPTORS };
    assert_int_equal(sg_law_field(stage, nstage, &piles, &receptors, 1, peak, sum4), SG_OK);
    assert_int_equal(sg_law_field_plain(stage, nstage, &piles, &receptors, plain_peak, plain_sum4),
                     SG_OK);
    for (size_t i = 0; i < RECEPTORS; i++) {
        assert_close(peak[i], plain_peak[i], 1e-12, 0);
        assert_close(sum4[i], plain_sum4[i], 1e-11, 0);
    }
}

static void test_same_as_plain(void **state)
{
    (void)state;
    static const char *const ids[] = { "bs5228-2-percussive", "bs5228-2-vibratory",
                                       "caltrans-impact", "fta-ppv", "press-in-2002-tentative" };
    for (size_t i = 0; i < SG_COUNT(ids); i++) {
        struct sg_law stage[4];
        size_t n = stages_of(ids[i], SG_LEVEL_UPPER, stage);
        compare(stage, 1);
        compare(stage, n);
    }
}

/* Forms that the kernel does not take go through the plain loop. */
static void test_other_forms(void **state)
{
    (void)state;
    struct sg_law stage[4];
    compare(stage, stages_of("attewell-1992-impact", SG_LEVEL_CENTRAL, stage));
    compare(stage, stages_of("press-in-augering-proposal", SG_LEVEL_CENTRAL, stage));
}

static void test_threads_make_no_difference(void **state)
{
    (void)state;
    struct scene s;
    struct sg_law stage[4];
    double one[2][RECEPTORS], three[2][RECEPTORS];
    make(&s);
    struct sg_field_points piles = { s.px, s.py, PILES }, receptors = { s.rx, s.ry, RECEPTORS };
    size_t n = stages_of("bs5228-2-percussive", SG_LEVEL_UPPER, stage);
    sg_law_field(stage, n, &piles, &receptors, 1, one[0], one[1]);
    sg_law_field(stage, n, &piles, &receptors, 3, three[0], three[1]);
    assert_memory_equal(one, three, sizeof(one));
}

static void test_no_piles_and_no_stages(void **state)
{
    (void)state;
    double x = 5, y = 5, peak = -1, sum4 = -1;
    struct sg_law stage[4];
    struct sg_field_points none = { &x, &y, 0 }, receptor = { &x, &y, 1 };
    stages_of("bs5228-2-percussive", SG_LEVEL_UPPER, stage);
    assert_int_equal(sg_law_field(stage, 1, &none, &receptor, 1, &peak, &sum4), SG_OK);
    assert_close(peak, 0, 0, 0);
    assert_close(sum4, 0, 0, 0);
    assert_int_equal(sg_law_field(stage, 0, &none, &receptor, 1, &peak, &sum4), SG_ERR_USAGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_as_plain),
        cmocka_unit_test(test_other_forms),
        cmocka_unit_test(test_threads_make_no_difference),
        cmocka_unit_test(test_no_piles_and_no_stages),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
