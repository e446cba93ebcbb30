/* test_limit_curves.c - limits that depend on frequency: between the nodes, below them, over a
 * band. Sources stand beside each check.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "../support/judging.h"

/* DIN 4150-3, straight segments of Figure 1 (derived closed forms). */
static void test_din_between_nodes(void **state)
{
    (void)state;
    static const struct {
        const char *row;
        double at_20, at_30, at_80;
    } line[] = {
        { "line-1-foundation", 25, 30, 46 },
        { "line-2-foundation", 7.5, 10, 18 },
        { "line-3-foundation", 4.25, 5.5, 9.2 },
    };
    const struct sg_limit_set *set = set_of("DIN4150-3-short");
    for (size_t i = 0; i < SG_COUNT(line); i++) {
        const struct sg_limit_row *row = row_of(set, line[i].row);
        const double hz[] = { 20, 30, 80 };
        const double expected[] = { line[i].at_20, line[i].at_30, line[i].at_80 };
        for (size_t k = 0; k < SG_COUNT(hz); k++) {
            double limit = SG_UNSET;
            assert_int_equal(sg_limit_at(row, hz[k], &limit), SG_OK);
            assert_close(limit, expected[k], 1e-12, 0);
        }
    }
    /* below 1 Hz the value for 1 to 10 Hz, above 100 Hz that at 100 Hz */
    double limit = SG_UNSET;
    assert_int_equal(sg_limit_at(row_of(set, "line-2-foundation"), 0.5, &limit), SG_OK);
    assert_close(limit, 5, 1e-15, 0);
    assert_int_equal(sg_limit_at(row_of(set, "line-2-foundation"), 150, &limit), SG_OK);
    assert_close(limit, 20, 1e-15, 0);
}

/* BS 7385-2 line 2 between its nodes, linear and log-log (derived, to the last printed digit). */
static void test_bs7385_between_nodes(void **state)
{
    (void)state;
    static const double hz[] = { 5, 8, 10, 20, 25, 30 };
    static const double linear[] = { 15.45, 16.82, 17.73, 26.0, 32.0, 38.0 };
    static const double log_log[] = { 15.75, 17.44, 18.31, 26.17, 32.23, 38.22 };
    struct sg_limit_row row = *row_of(set_of("BS7385-2"), "line-2");
    struct sg_limit_row other = row;
    assert_int_equal(row.interpolation, SG_LINEAR);
    other.interpolation = SG_LOG_LOG;
    for (size_t i = 0; i < SG_COUNT(hz); i++) {
        double limit = SG_UNSET;
        assert_int_equal(sg_limit_at(&row, hz[i], &limit), SG_OK);
        assert_close(limit, linear[i], 0, 0.0051);
        assert_int_equal(sg_limit_at(&other, hz[i], &limit), SG_OK);
        assert_close(limit, log_log[i], 0, 0.0051);
    }
}

/* Below 4 Hz: 0.6 mm zero-to-peak (recalled); 2 pi 4 0.6 = 15.08 (derived). Line 1 has nothing. */
static void test_bs7385_below_4_hz(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("BS7385-2");
    double limit = SG_UNSET;
    assert_int_equal(sg_limit_at(row_of(set, "line-2"), 3.999999, &limit), SG_OK);
    assert_close(limit, 15.08, 0, 0.005);
    assert_int_equal(sg_limit_at(row_of(set, "line-2"), 2, &limit), SG_OK);
    assert_close(limit, 7.5398, 0, 0.0001);
    limit = 1.0;
    assert_int_equal(sg_limit_at(row_of(set, "line-1"), 3, &limit), SG_ERR_DOMAIN);
    assert_int_equal(sg_limit_at(row_of(set, "line-2"), SG_UNSET, &limit), SG_ERR_MISSING);
    assert_int_equal(sg_limit_at(row_of(set, "line-2"), 0, &limit), SG_ERR_DOMAIN);
    assert_int_equal(sg_limit_at(row_of(set, "line-2"), -5, &limit), SG_ERR_DOMAIN);
    assert_close(limit, 1.0, 0, 0); /* not written on failure */

    /* the recalled 0.6 mm leaves its mark, the seen nodes do not */
    struct sg_judged judged = nobody();
    struct sg_value value = fitting(row_of(set, "line-2"), SG_IMPACT, 1.0);
    value.frequency_low_hz = value.frequency_high_hz = 2;
    struct sg_verdict verdict = judge(set, row_of(set, "line-2"), &judged, &value);
    assert_int_equal(verdict.marks, SG_MARK_UNVERIFIED);
    value.frequency_low_hz = value.frequency_high_hz = 12;
    verdict = judge(set, row_of(set, "line-2"), &judged, &value);
    assert_int_equal(verdict.marks, 0);
}

/* A step curve holds each value from its node on: less than 30 Hz 6, 30 to 60 Hz 8, above 60 Hz 12
 * mm/s (SN 640 312a, frequent events, seen in an extract). */
static void test_step_curve(void **state)
{
    (void)state;
    static const struct sg_node node[] = { { 8, 6 }, { 30, 8 }, { 60, 12 } };
    struct sg_limit_row row = {
        .node = node, .nnode = 3, .interpolation = SG_STEP, .below = SG_BELOW_NONE
    };
    double limit = SG_UNSET, at_hz = SG_UNSET;
    assert_int_equal(sg_limit_at(&row, 29.999, &limit), SG_OK);
    assert_close(limit, 6, 1e-15, 0);
    assert_int_equal(sg_limit_at(&row, 30, &limit), SG_OK);
    assert_close(limit, 8, 1e-15, 0);
    assert_int_equal(sg_limit_at(&row, 90, &limit), SG_OK);
    assert_close(limit, 12, 1e-15, 0);
    assert_int_equal(sg_limit_at(&row, 7, &limit), SG_ERR_DOMAIN);
    assert_int_equal(sg_limit_lowest(&row, 29, 70, &limit, &at_hz), SG_OK);
    assert_close(limit, 6, 1e-15, 0);
}

static void test_lowest_over_band(void **state)
{
    (void)state;
    const struct sg_limit_row *row = row_of(set_of("DIN4150-3-short"), "line-2-foundation");
    double limit = SG_UNSET, at_hz = SG_UNSET;
    assert_int_equal(sg_limit_lowest(row, 20, 80, &limit, &at_hz), SG_OK);
    assert_close(limit, 7.5, 1e-12, 0);
    assert_close(at_hz, 20, 1e-15, 0);
    assert_int_equal(sg_limit_lowest(row, 30, 30, &limit, &at_hz), SG_OK);
    assert_close(limit, 10, 1e-12, 0);
    assert_int_equal(sg_limit_lowest(row, 30, 20, &limit, &at_hz), SG_ERR_DOMAIN);
    assert_int_equal(sg_limit_lowest(row, 30, SG_UNSET, &limit, &at_hz), SG_ERR_MISSING);

    /* a valley inside the band is found (made-up curve) */
    static const struct sg_node node[] = { { 5, 10 }, { 20, 2 }, { 50, 9 } };
    struct sg_limit_row valley = { .node = node, .nnode = 3, .interpolation = SG_LINEAR };
    assert_int_equal(sg_limit_lowest(&valley, 6, 45, &limit, &at_hz), SG_OK);
    assert_close(limit, 2, 1e-15, 0);
    assert_close(at_hz, 20, 1e-15, 0);

    /* one acceleration falls to 10 x 5 / 20 = 2.5 before the curve jumps at 20 Hz (made-up) */
    static const struct sg_node jump[] = { { 5, 10 }, { 20, 8 }, { 50, 9 } };
    struct sg_limit_row falling = { .node = jump,
                                    .nnode = 3,
                                    .interpolation = SG_CONST_ACCELERATION };
    assert_int_equal(sg_limit_lowest(&falling, 6, 30, &limit, &at_hz), SG_OK);
    assert_close(limit, 2.5, 1e-12, 0);
    assert_close(at_hz, 20, 1e-15, 0);

    /* the drop from 15.08 to 15 at 4 Hz */
    row = row_of(set_of("BS7385-2"), "line-2");
    assert_int_equal(sg_limit_lowest(row, 3.999, 30, &limit, &at_hz), SG_OK);
    assert_close(limit, 15, 1e-15, 0);
    assert_int_equal(sg_limit_lowest(row, 1, 30, &limit, &at_hz), SG_OK);
    assert_close(limit, 3.7699, 0, 0.0001);

    /* the same at every frequency: no frequency is asked for */
    row = row_of(set_of("RAIL-MY"), "structure");
    assert_int_equal(sg_limit_lowest(row, SG_UNSET, SG_UNSET, &limit, &at_hz), SG_OK);
    assert_close(limit, 15, 1e-15, 0);
    assert_unset(at_hz);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_din_between_nodes), cmocka_unit_test(test_bs7385_between_nodes),
        cmocka_unit_test(test_bs7385_below_4_hz), cmocka_unit_test(test_step_curve),
        cmocka_unit_test(test_lowest_over_band),
    };
    return cmocka_run_group_tests_name("limit curves", tests, NULL, NULL);
}
