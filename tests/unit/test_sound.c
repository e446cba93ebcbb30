/* test_sound.c - the sound laws of the first tier against published figures.
 *
 * Values are named with their source beside them. "Law recalled" marks a check whose arithmetic is
 * sure but whose formula was recalled, not read (BS 5228-1 Annex F, FTA 2018 Eq. 7-1, FHWA 2006).
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "close.h"
#include "sound_items.h"

#define HALF_MILLI 0.0005
#define HALF_CENTI 0.005
#define HALF_TENTH 0.05
#define AT_LEAST_1M 1.0

static const struct sg_sound_path hard_at_40m = { .distance_m = 40 };

/* ---- conversions and laws -------------------------------------------------------------------- */

/* Half space: LWA = L(10 m) + 28; exactly 10 lg(2 pi 100) = 27.98 (computed). */
static void test_kinds_agree_through_the_half_space(void **state)
{
    (void)state;
    double activity_db = level_at(SG_SOUND_BS5228, item_of(SG_SOURCE_LAEQ_10M, 88, 1), hard_at_40m);
    double power_db = level_at(SG_SOUND_BS5228, item_of(SG_SOURCE_LWA, 116, 1), hard_at_40m);
    assert_close(activity_db, power_db, 0, 1e-12);
    assert_close(10.0 * log10(2 * SG_PI * 100), 28.0, 0, 0.02);
    /* 101 at 15.24 m is LWA 132.66 by LWA = L + 20 lg r0 + 8 */
    double maximum_db =
        level_at(SG_SOUND_BS5228, item_of(SG_SOURCE_LMAX_50FT, 101, 1), hard_at_40m);
    double same_db = level_at(SG_SOUND_BS5228,
                              item_of(SG_SOURCE_LWA, 101 + 20 * log10(15.24) + 8, 1), hard_at_40m);
    assert_close(maximum_db, same_db, 0, 1e-12);
    /* over hard ground the two methods are the same divergence */
    for (int kind = 0; kind < SG_SOURCE_KIND_END; kind++) {
        struct sg_sound_item item = item_of((enum sg_source_kind)kind, 100, 1);
        assert_close(level_at(SG_SOUND_FTA, item, hard_at_40m),
                     level_at(SG_SOUND_BS5228, item, hard_at_40m), 0, 1e-12);
    }
}

/* Continuity at 25 m: KH 7.96, KS 7.95; 20 lg R + 8 = 35.96, 25 lg R + 1 = 35.95 (computed). */
static void test_soft_law_starts_at_25_m(void **state)
{
    (void)state;
    struct sg_sound_item activity = item_of(SG_SOURCE_LAEQ_10M, 100, 1);
    struct sg_sound_item power = item_of(SG_SOURCE_LWA, 100, 1);
    struct sg_sound_path path = { .distance_m = 25, .soft_fraction = 0 };
    assert_close(100 - level_at(SG_SOUND_BS5228, activity, path), 7.96, 0, HALF_CENTI);
    assert_close(100 - level_at(SG_SOUND_BS5228, power, path), 35.96, 0, HALF_CENTI);
    path.soft_fraction = 1;
    assert_close(100 - level_at(SG_SOUND_BS5228, activity, path), 7.95, 0, HALF_CENTI);
    assert_close(100 - level_at(SG_SOUND_BS5228, power, path), 35.95, 0, HALF_CENTI);
    /* just nearer than 25 m the hard law holds */
    path.distance_m = 24.999999;
    assert_close(100 - level_at(SG_SOUND_BS5228, activity, path), 20 * log10(path.distance_m / 10),
                 0, 1e-12);
    /* mixed ground: the share of soft ground between the two laws */
    path.distance_m = 100;
    path.soft_fraction = 0.25;
    assert_close(100 - level_at(SG_SOUND_BS5228, activity, path), 0.75 * 20 + 0.25 * 23, 0, 1e-12);
}

/* Published chains of BS 5228-1 form (laws recalled, arithmetic computed). */
static void test_bs5228_chains(void **state)
{
    (void)state;
    struct sg_sound_item plant[] = { item_of(SG_SOURCE_LAEQ_10M, 88, 0.5),
                                     item_of(SG_SOURCE_LAEQ_10M, 70, 0.75),
                                     item_of(SG_SOURCE_LAEQ_10M, 66, 1.0) };
    static const double hard_db[] = { 75.95, 59.71, 56.96 }, soft_db[] = { 69.94, 53.70, 50.95 };
    struct sg_sound_path hard = { .distance_m = 40, .facade = true };
    struct sg_sound_path soft = {
        .distance_m = 40, .facade = true, .soft_fraction = 1, .screening_db = 5
    };
    for (size_t i = 0; i < SG_COUNT(plant); i++) {
        struct sg_value value = period_of(SG_SOUND_BS5228, &plant[i], 1, hard, NULL);
        assert_close(value.central, hard_db[i], 0, HALF_CENTI);
        value = period_of(SG_SOUND_BS5228, &plant[i], 1, soft, NULL);
        assert_close(value.central, soft_db[i], 0, HALF_CENTI);
    }
    struct sg_value total = period_of(SG_SOUND_BS5228, plant, SG_COUNT(plant), hard, NULL);
    assert_close(total.central, 76.10, 0, HALF_CENTI);
    assert_int_equal(total.quantity, SG_Q_LAEQ);
    assert_int_equal(total.position, SG_AT_FACADE);
    total = period_of(SG_SOUND_BS5228, plant, SG_COUNT(plant), soft, NULL);
    assert_close(total.central, 70.09, 0, HALF_CENTI);
}

/* Haul road, Eq. F.6 (read in a secondary page); angle of view recalled. */
static void test_haul_road(void **state)
{
    (void)state;
    assert_close(sg_sound_haul_road(110, 20, 15, 25, 180), 64.27, 0, HALF_CENTI);
    assert_close(sg_sound_haul_road(110, 20, 15, 25, 90), 61.26, 0, HALF_CENTI);
    /* infinite line of moving half-space sources: 10 lg(3.6 / 2 / 3600) = -33.01 (computed) */
    assert_close(10 * log10(3.6 / 2 / 3600), -sg_sound_number(SG_SOUND_HAUL_DB), 0, 0.011);
    assert_unset(sg_sound_haul_road(110, 20, 0, 25, 180));
    assert_unset(sg_sound_haul_road(110, 20, 15, 25, 200));
}

/* Hong Kong form: LWA - (20 lg D + 8) + 3 at a building (distance law assumed). */
static void test_hong_kong_form(void **state)
{
    (void)state;
    struct sg_sound_path path = { .distance_m = 100, .facade = true };
    assert_close(level_at(SG_SOUND_BS5228, item_of(SG_SOURCE_LWA, 132, 1), path), 87.0, 0,
                 HALF_TENTH);
    path.distance_m = 60;
    assert_close(level_at(SG_SOUND_BS5228, item_of(SG_SOURCE_LWA, 126, 1), path), 85.44, 0,
                 HALF_CENTI);
}

/* FHWA and FTA forms (laws recalled, arithmetic computed). */
static void test_fta_chains(void **state)
{
    (void)state;
    struct sg_sound_item plant[] = { item_of(SG_SOURCE_LMAX_50FT, 101, 0.20),
                                     item_of(SG_SOURCE_LMAX_50FT, 81, 0.16),
                                     item_of(SG_SOURCE_LMAX_50FT, 81, 0.50) };
    static const double part_db[] = { 81.97, 61.00, 65.95 };
    struct sg_sound_path path = { .distance_m = 200 * SG_M_PER_FOOT };
    double loudest_db = SG_UNSET;
    assert_close(level_at(SG_SOUND_FTA, plant[0], path), 88.96, 0, HALF_CENTI);
    for (size_t i = 0; i < SG_COUNT(plant); i++)
        assert_close(period_of(SG_SOUND_FTA, &plant[i], 1, path, NULL).central, part_db[i], 0,
                     HALF_CENTI);
    assert_close(period_of(SG_SOUND_FTA, plant, 3, path, &loudest_db).central, 82.11, 0,
                 HALF_CENTI);
    assert_close(loudest_db, 88.96, 0, HALF_CENTI); /* the loudest single item, never a sum */
    path.ground_factor = 0.75;
    assert_close(period_of(SG_SOUND_FTA, plant, 1, path, NULL).central, 77.45, 0, HALF_CENTI);
    /* general assessment: two noisiest items, running all the time, at 100 ft */
    struct sg_sound_item two[] = { item_of(SG_SOURCE_LMAX_50FT, 101, 1),
                                   item_of(SG_SOURCE_LMAX_50FT, 88, 1) };
    path = (struct sg_sound_path){ .distance_m = 100 * SG_M_PER_FOOT };
    assert_close(period_of(SG_SOUND_FTA, two, 2, path, NULL).central, 95.19, 0, HALF_CENTI);
}

/* G by effective height (recalled): 6.5 ft gives 0.634. */
static void test_ground_factor(void **state)
{
    (void)state;
    assert_close(sg_sound_soft_ground_factor(6.5 * SG_M_PER_FOOT), 0.634, 0, HALF_MILLI);
    assert_close(sg_sound_soft_ground_factor(4.99 * SG_M_PER_FOOT), 0.75, 0, 1e-12);
    assert_close(sg_sound_soft_ground_factor(42.01 * SG_M_PER_FOOT), 0, 0, 1e-12);
    assert_unset(sg_sound_soft_ground_factor(-1));
}

/* ---- properties ------------------------------------------------------------------------------ */

static void test_equal_sources_and_order(void **state)
{
    (void)state;
    struct sg_sound_item plant[] = {
        item_of(SG_SOURCE_LWA, 129, 0.31),      item_of(SG_SOURCE_LAEQ_10M, 78, 0.9),
        item_of(SG_SOURCE_LMAX_50FT, 81, 0.16), item_of(SG_SOURCE_LAEQ_10M, 61, 1),
        item_of(SG_SOURCE_LWA, 100, 0.5),
    };
    struct sg_sound_item reversed[SG_COUNT(plant)];
    struct sg_sound_item twins[] = { plant[0], plant[0] }, pair = plant[0];
    pair.count = 2;
    for (size_t i = 0; i < SG_COUNT(plant); i++)
        reversed[i] = plant[SG_COUNT(plant) - 1 - i];
    for (int method = SG_SOUND_BS5228; method <= SG_SOUND_FTA; method++) {
        enum sg_sound_method law = (enum sg_sound_method)method;
        double loudest_db = 0, alone_db = 0;
        double one_db = period_of(law, plant, 1, hard_at_40m, &alone_db).central;
        double doubled_db = 10 * log10(2.0);
        assert_close(period_of(law, twins, 2, hard_at_40m, NULL).central - one_db, doubled_db, 0,
                     1e-12);
        assert_close(period_of(law, &pair, 1, hard_at_40m, &loudest_db).central - one_db,
                     doubled_db, 0, 1e-12);
        assert_close(doubled_db, 3.01, 0, HALF_CENTI);
        assert_close(loudest_db, alone_db, 0, 1e-12); /* two machines: the maximum is of one */
        assert_close(period_of(law, plant, SG_COUNT(plant), hard_at_40m, NULL).central,
                     period_of(law, reversed, SG_COUNT(plant), hard_at_40m, NULL).central, 1e-12,
                     0);
    }
}

/* The published soft law starts 0.0103 dB above the hard one at 25 m; elsewhere levels fall. */
static void test_level_falls_with_distance(void **state)
{
    (void)state;
    static const double shares[] = { 0, 0.5, 1 };
    struct sg_sound_item item = item_of(SG_SOURCE_LWA, 129, 1);
    for (size_t s = 0; s < SG_COUNT(shares); s++) {
        for (int method = SG_SOUND_BS5228; method <= SG_SOUND_FTA; method++) {
            struct sg_sound_path path = { AT_LEAST_1M, shares[s], 0.75 * shares[s], 0, false };
            enum sg_sound_method law = (enum sg_sound_method)method;
            double before_db = level_at(law, item, path), before_m = path.distance_m;
            for (double r_m = 1.001; r_m < 400; r_m *= 1.001) {
                path.distance_m = r_m;
                double now_db = level_at(law, item, path);
                bool at_seam = law == SG_SOUND_BS5228 && before_m < 25 && r_m >= 25;
                assert_true(now_db < before_db + (at_seam ? 0.0104 * shares[s] : 0));
                before_db = now_db;
                before_m = r_m;
            }
        }
    }
}

static void test_distance_is_the_inverse(void **state)
{
    (void)state;
    struct sg_sound_item plant[] = { item_of(SG_SOURCE_LWA, 129, 0.3),
                                     item_of(SG_SOURCE_LAEQ_10M, 78, 0.5),
                                     item_of(SG_SOURCE_LMAX_50FT, 81, 0.16) };
    static const double shares[] = { 0, 0.3, 1 };
    for (size_t s = 0; s < SG_COUNT(shares); s++) {
        for (int method = SG_SOUND_BS5228; method <= SG_SOUND_FTA; method++) {
            enum sg_sound_method law = (enum sg_sound_method)method;
            struct sg_sound_path path = { 7, shares[s], 0.6 * shares[s], 2, true };
            for (double limit_db = 45; limit_db < 116; limit_db += 0.0625) {
                double distance_m = SG_UNSET;
                sg_status status = sg_sound_distance(law, plant, 3, path, limit_db, &distance_m);
                assert_int_equal(status, SG_OK);
                path.distance_m = distance_m;
                assert_close(period_of(law, plant, 3, path, NULL).central, limit_db, 0, 1e-9);
            }
        }
    }
}

/* In the seam at 25 m a limit is met twice; the farther distance, on the safe side, is returned. */
static void test_distance_at_the_seam(void **state)
{
    (void)state;
    struct sg_sound_item item = item_of(SG_SOURCE_LAEQ_10M, 100, 1);
    struct sg_sound_path soft = { .distance_m = 25, .soft_fraction = 1 };
    double limit_db = (100 - 20 * log10(2.5) + 100 - (25 * log10(2.5) - 2)) / 2, distance_m = 0;
    assert_int_equal(sg_sound_distance(SG_SOUND_BS5228, &item, 1, soft, limit_db, &distance_m),
                     SG_OK);
    assert_true(distance_m > 25.0);
    assert_int_equal(sg_sound_distance(SG_SOUND_BS5228, &item, 1, soft, 121, &distance_m),
                     SG_ERR_NO_SOLUTION); /* 120 dB at 1 m: below the limit already there */
    assert_int_equal(sg_sound_distance(SG_SOUND_BS5228, &item, 1, soft, -10, &distance_m),
                     SG_ERR_NO_SOLUTION); /* still above at 100 km */
}

/* ---- what cannot be answered ----------------------------------------------------------------- */

static void test_refusals(void **state)
{
    (void)state;
    struct sg_sound_item item = item_of(SG_SOURCE_LWA, 129, 1), blank = item, wrong = item;
    struct sg_sound_path near = { .distance_m = 0.999 }, far = { .distance_m = 300.001 };
    struct sg_sound_path odd = { .distance_m = 40, .soft_fraction = 1.1 };
    double out = -1;
    blank.level_db = SG_UNSET;
    wrong.on_time_share = 1.01;
    assert_int_equal(sg_sound_item_at(SG_SOUND_BS5228, &item, &near, &out, NULL), SG_ERR_DOMAIN);
    assert_int_equal(sg_sound_item_at(SG_SOUND_BS5228, &blank, &hard_at_40m, &out, NULL),
                     SG_ERR_MISSING);
    assert_int_equal(sg_sound_item_at(SG_SOUND_BS5228, &item, &odd, &out, NULL), SG_ERR_INPUT);
    assert_close(out, -1, 0, 0); /* written only on success */
    assert_int_equal(sg_sound_item_at(SG_SOUND_BS5228, &item, &far, &out, NULL), SG_WARN_RANGE);
    struct sg_value value = SG_VALUE_INIT;
    assert_int_equal(sg_sound_period(SG_SOUND_BS5228, &wrong, 1, &hard_at_40m, &value, NULL, NULL),
                     SG_ERR_INPUT);
    assert_int_equal(sg_sound_period(SG_SOUND_BS5228, &item, 1, &near, &value, NULL, NULL),
                     SG_ERR_DOMAIN);
}

static void test_unknown_level_leaves_the_sum_unset(void **state)
{
    (void)state;
    struct sg_sound_item plant[] = { item_of(SG_SOURCE_LWA, 129, 1),
                                     item_of(SG_SOURCE_LWA, SG_UNSET, 1) };
    struct sg_value value = SG_VALUE_INIT;
    double loudest_db = 0;
    assert_true(
        sg_ok(sg_sound_period(SG_SOUND_BS5228, plant, 2, &hard_at_40m, &value, &loudest_db, NULL)));
    assert_unset(value.central);
    assert_unset(value.upper);
    assert_unset(loudest_db);
    assert_non_null(value.why);
    assert_true(sg_ok(sg_sound_period(SG_SOUND_FTA, plant, 0, &hard_at_40m, &value, NULL, NULL)));
    assert_unset(value.central);
    assert_non_null(value.why);
    plant[1].level_db = 90;
    plant[1].on_time_share = 0; /* an item that never runs adds nothing */
    assert_true(sg_ok(sg_sound_period(SG_SOUND_FTA, plant, 2, &hard_at_40m, &value, NULL, NULL)));
    assert_close(value.central, 129 - 20 * log10(40) - 8, 1e-12, 0);
}

/* Upper: 1.3 u with u = sqrt(3^2 + 3^2), an assumed scatter (common practice, no source). */
static void test_upper_and_marks(void **state)
{
    (void)state;
    struct sg_sound_item item = item_of(SG_SOURCE_LWA, 129, 1);
    struct sg_sound_path far = { .distance_m = 400 };
    struct sg_value value = period_of(SG_SOUND_BS5228, &item, 1, hard_at_40m, NULL);
    assert_close(value.upper - value.central, 1.3 * sqrt(18.0), 1e-12, 0);
    assert_non_null(strstr(value.upper_text, "1.3 u"));
    assert_non_null(strstr(value.upper_text, "common practice"));
    assert_unset(value.upper_exceedance_percent);
    assert_int_equal(value.marks, SG_MARK_UNVERIFIED); /* the law is recalled */
    assert_int_equal(value.grade, SG_GRADE_MEMORY_HIGH);
    value = period_of(SG_SOUND_BS5228, &item, 1, far, NULL);
    assert_true((value.marks & (unsigned)SG_MARK_RANGE) != 0);
    value = period_of(SG_SOUND_FTA, &item, 1, hard_at_40m, NULL);
    assert_true((value.marks & (unsigned)SG_MARK_ESTIMATE) != 0);
    item.grade = SG_GRADE_USER;
    value = period_of(SG_SOUND_BS5228, &item, 1, hard_at_40m, NULL);
    assert_true((value.marks & (unsigned)SG_MARK_USER) != 0);
}

/* ---- hand calculation ------------------------------------------------------------------------ */

static bool shows(const struct sg_working *working, const char *what)
{
    for (size_t i = 0; i < working->count; i++) {
        if (strstr(working->step[i].working, what))
            return true;
    }
    print_error("no line of the working shows '%s'\n", what);
    return false;
}

/* 88 - 12.041 - 3.010 + 3 = 75.95, digit by digit. */
static void test_working_shows_the_digits(void **state)
{
    (void)state;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_working working = { .arena = &arena };
    const struct sg_source *source = sg_source_find("bs5228-c3-8");
    assert_non_null(source);
    struct sg_sound_item item = { source->id, source->kind,       source->level_db, 1,
                                  0.5,        source->cite.grade, &source->cite,    NULL };
    struct sg_sound_path path = { .distance_m = 40, .facade = true };
    struct sg_value value;
    assert_int_equal(sg_sound_period(SG_SOUND_BS5228, &item, 1, &path, &value, NULL, &working),
                     SG_OK);
    assert_string_equal(working.step[0].what, "bs5228-c3-8");
    assert_non_null(strstr(working.step[0].source, "unverified"));
    assert_true(shows(&working, "LAeq at 10 m = 88 dB(A)"));
    assert_true(shows(&working, "KH = 20 lg(40 / 10) = 12.041 dB"));
    assert_true(shows(&working, "75.959 + 3 = 78.959 dB(A)"));
    assert_true(shows(&working, "78.959 + 10 lg(0.5) = 78.959 -3.010 = 75.949 dB(A)"));
    assert_true(shows(&working, "LAeq = 75.949 dB(A)"));
    sg_arena_release(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_kinds_agree_through_the_half_space),
        cmocka_unit_test(test_soft_law_starts_at_25_m),
        cmocka_unit_test(test_bs5228_chains),
        cmocka_unit_test(test_haul_road),
        cmocka_unit_test(test_hong_kong_form),
        cmocka_unit_test(test_fta_chains),
        cmocka_unit_test(test_ground_factor),
        cmocka_unit_test(test_equal_sources_and_order),
        cmocka_unit_test(test_level_falls_with_distance),
        cmocka_unit_test(test_distance_is_the_inverse),
        cmocka_unit_test(test_distance_at_the_seam),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_unknown_level_leaves_the_sum_unset),
        cmocka_unit_test(test_upper_and_marks),
        cmocka_unit_test(test_working_shows_the_digits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
