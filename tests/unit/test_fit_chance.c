/* test_fit_chance.c - the chance that a limit is passed: borders, simulation; predictions held
 * against measurements. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "close.h"
#include "seeded.h"
#include "stillground/fit.h"

#define PILES 50

static void fill(double *list, double value)
{
    for (size_t i = 0; i < PILES; i++)
        list[i] = value;
}

/* Median 4, limit 5, sigma_lg 0.2: 31.4 % for one pile, more than 99.99 % for 50 independent ones
 * (the project's reference, practice, section 9; computed there). */
static void test_one_and_fifty(void **state)
{
    double y[PILES], none[PILES], limit = log10(5.0);
    (void)state;
    fill(y, log10(4.0));
    fill(none, 0);
    assert_close(sg_chance_any(y, none, 1, 0.2, SG_INFINITY, limit), 0.314, 0, 0.5e-3);
    assert_true(sg_chance_any(y, none, PILES, 0.2, SG_INFINITY, limit) > 0.9999);
}

/* No part of the piles: the wall's chance is one pile's. No shared part: 1 - (1 - p)^n. */
static void test_borders(void **state)
{
    static const double dofs[] = { 3, 6, 28, __builtin_inf() };
    static const double limits[] = { 0.7, 1.0, 1.4 };
    double y[PILES], none[PILES], all[PILES];
    (void)state;
    fill(y, 0.6);
    fill(none, 0);
    fill(all, 0.2);
    for (size_t d = 0; d < SG_COUNT(dofs); d++) {
        for (size_t k = 0; k < SG_COUNT(limits); k++) {
            double one = sg_chance_any(y, all, 1, 0, dofs[d], limits[k]);
            double wall = sg_chance_any(y, all, PILES, 0, dofs[d], limits[k]);
            assert_close(wall, one, 1e-12, 0);
            /* nearly no part of the piles: close to it */
            assert_close(sg_chance_any(y, all, PILES, 1e-4, dofs[d], limits[k]), one, 0, 2e-3);
        }
    }
    for (size_t k = 0; k < SG_COUNT(limits); k++) {
        double p = sg_chance_any(y, none, 1, 0.2, SG_INFINITY, limits[k]);
        assert_close(sg_chance_any(y, none, PILES, 0.2, SG_INFINITY, limits[k]),
                     1.0 - pow(1.0 - p, PILES), 1e-10, 0);
    }
}

/* A pile that cannot pass changes nothing; the chance grows with the piles and falls with the
 * limit. */
static void test_order(void **state)
{
    double y[PILES], common[PILES], before = 0;
    (void)state;
    fill(y, 0.5);
    fill(common, 0.1);
    for (size_t n = 1; n <= PILES; n += 7) {
        double now = sg_chance_any(y, common, n, 0.1, 12, 0.8);
        assert_true(now > before);
        before = now;
    }
    y[1] = -50;
    assert_close(sg_chance_any(y, common, 2, 0.1, 12, 0.8),
                 sg_chance_any(y, common, 1, 0.1, 12, 0.8), 1e-4, 0);
    assert_unset(sg_chance_any(y, common, 2, -1, 12, 0.8));
    assert_unset(sg_chance_any(y, common, 2, 0.1, 0, 0.8));
}

static double gamma_of(struct seeded *seeded, int dof)
{
    double sum = 0;
    for (int i = 0; i < dof; i++) {
        double z = seeded_normal(seeded);
        sum += z * z;
    }
    return sum; /* chi-square */
}

/* 40 000 walls with piles at different distances, shared and own scatter, scatter estimated from
 * few values: within four standard errors of the simulation. */
static void check_simulation(double shared, double own, int dof, double limit)
{
    enum { RUNS = 40000 };
    struct seeded seeded = { 99 };
    double y[PILES], common[PILES];
    int passed = 0;
    for (size_t i = 0; i < PILES; i++) {
        y[i] = 0.3 + 0.4 * (double)i / PILES;
        common[i] = shared * (1.0 + 0.3 * (double)i / PILES);
    }
    for (int run = 0; run < RUNS; run++) {
        double c = dof > 0 ? sqrt(dof / gamma_of(&seeded, dof)) : 1.0;
        double u = seeded_normal(&seeded);
        bool any = false;
        for (size_t i = 0; i < PILES; i++)
            any |= y[i] + c * (common[i] * u + own * seeded_normal(&seeded)) > limit;
        passed += any;
    }
    double p = (double)passed / RUNS;
    double computed = sg_chance_any(y, common, PILES, own, dof > 0 ? dof : SG_INFINITY, limit);
    assert_close(computed, p, 0, 4.0 * sqrt(p * (1 - p) / RUNS) + 1e-4);
}

static void test_simulation(void **state)
{
    (void)state;
    check_simulation(0.15, 0.15, 0, 1.1);
    check_simulation(0.20, 0.05, 0, 1.0);
    check_simulation(0.05, 0.20, 0, 1.3);
    check_simulation(0.15, 0.10, 6, 1.1);
    check_simulation(0.30, 0.02, 10, 0.9);
    assert_true(true);
}

/* ---- predicted against measured -------------------------------------------------------------- */

static struct sg_pair beside(double measured, double predicted, double upper)
{
    return (struct sg_pair){ .distance_m = 10,
                             .value = measured,
                             .predicted = predicted,
                             .predicted_upper = upper,
                             .energy_J = SG_UNSET,
                             .toe_depth_m = SG_UNSET,
                             .receptor = "" };
}

static struct sg_against against(struct sg_pair *pair, size_t count, enum sg_quantity quantity)
{
    struct sg_pairs pairs = SG_PAIRS_INIT;
    struct sg_against out = SG_AGAINST_INIT;
    pairs.pair = pair;
    pairs.count = count;
    pairs.quantity = quantity;
    assert_int_equal(sg_against_make(&pairs, NULL, NULL, &out, NULL), SG_OK);
    return out;
}

/* Bias, factor of two and verdict by hand. */
static void test_trust(void **state)
{
    struct sg_pair pair[20];
    (void)state;
    for (size_t i = 0; i < 20; i++) /* half of the prediction, never over its bound */
        pair[i] = beside(i % 2 ? 0.6 : 0.4, 1.0, 2.0);
    struct sg_against a = against(pair, 20, SG_Q_PPV);
    assert_close(a.bias, 0.5 * (log10(0.6) + log10(0.4)), 1e-12, 0);
    assert_close(a.factor_two_percent, 50.0, 1e-12, 0);
    assert_int_equal(a.trust, SG_TRUST_SAFE);
    /* 0 of 20: a true share of up to 1 - 0.05^(1/20) cannot be excluded (rule of Clopper,
     * Pearson) */
    assert_close(a.exceedance_high, 100.0 * (1.0 - pow(0.05, 1.0 / 20.0)), 1e-9, 0);
    sg_against_release(&a);
    for (size_t i = 0; i < 20; i++) /* twice the prediction */
        pair[i] = beside(i % 2 ? 1.8 : 2.2, 1.0, 3.0);
    a = against(pair, 20, SG_Q_PPV);
    assert_int_equal(a.trust, SG_TRUST_UNSAFE);
    sg_against_release(&a);
    pair[0] = beside(5.0, 1.0, 3.0); /* over a bound, once, in few values */
    pair[1] = beside(0.2, 1.0, 3.0);
    pair[2] = beside(0.3, 1.0, 3.0);
    a = against(pair, 3, SG_Q_PPV);
    assert_int_equal(a.over_upper, 1);
    assert_int_equal(a.trust, SG_TRUST_UNSAFE);
    sg_against_release(&a);
    for (size_t i = 0; i < 4; i++)
        pair[i] = beside(i % 2 ? 1.5 : 0.7, 1.0, 3.0);
    a = against(pair, 4, SG_Q_PPV);
    assert_int_equal(a.trust, SG_TRUST_OPEN);
    sg_against_release(&a);
}

/* A difference of 3 dB is still within, 3.1 dB is not (section 61 practice, the project's
 * reference, practice, section 9; what equality means is a choice there, here: within). */
static void test_three_decibels(void **state)
{
    struct sg_pair pair[] = { beside(73.0, 70, SG_UNSET), beside(73.1, 70, SG_UNSET),
                              beside(66.9, 70, SG_UNSET), beside(70.0, 70, SG_UNSET) };
    (void)state;
    struct sg_against a = against(pair, 4, SG_Q_LAEQ);
    assert_int_equal(a.within_3db, 2);
    assert_int_equal(a.above_3db, 1);
    assert_int_equal(a.below_3db, 1);
    assert_unset(a.chance_of_so_many);
    sg_against_release(&a);
}

/* Coverage of a published upper line: values drawn from the relation's own scatter about its
 * central line are not taken for unsafe more often than one time in ten. */
static void test_true_relation_is_trusted(void **state)
{
    struct seeded seeded = { 31 };
    struct sg_pair pair[40];
    struct sg_pairs pairs = SG_PAIRS_INIT;
    struct sg_drive drive = SG_DRIVE_INIT;
    const struct sg_model *model = sg_model_find("bs5228-2-vibratory");
    int unsafe = 0, over = 0;
    (void)state;
    assert_non_null(model);
    drive.technique = SG_VIBRATORY;
    drive.phase = SG_PHASE_STEADY;
    pairs.pair = pair;
    pairs.count = 40;
    pairs.quantity = SG_Q_PPV;
    for (int run = 0; run < 200; run++) {
        struct sg_against a;
        for (size_t i = 0; i < 40; i++) {
            double r = 2.0 * pow(10.0, 1.2 * seeded_uniform(&seeded));
            double sd = log10(266.0 / 60.0) / 1.6448536269514722;
            pair[i] = beside(60.0 * pow(r, -1.4) * pow(10.0, sd * seeded_normal(&seeded)), 1, 1);
            pair[i].distance_m = r;
        }
        assert_int_equal(sg_against_make(&pairs, model, &drive, &a, NULL), SG_OK);
        unsafe += a.trust == SG_TRUST_UNSAFE;
        over += (int)a.over_upper;
        sg_against_release(&a);
    }
    assert_close(over / 8000.0, 0.05, 0, 0.01);
    assert_in_range(unsafe, 0, 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_and_fifty),
        cmocka_unit_test(test_borders),
        cmocka_unit_test(test_order),
        cmocka_unit_test(test_simulation),
        cmocka_unit_test(test_trust),
        cmocka_unit_test(test_three_decibels),
        cmocka_unit_test(test_true_relation_is_trusted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
