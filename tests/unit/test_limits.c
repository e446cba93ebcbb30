/* test_limits.c - the checker: published verdicts, every reason for which a verdict cannot be
 * given, and the hand calculation. Sources stand beside each check.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "../support/judging.h"

static void assert_undetermined(const struct sg_verdict *verdict, const char *part)
{
    assert_string_equal(sg_verdict_id(verdict->state), "not determinable");
    assert_unset(verdict->limit);
    assert_unset(verdict->ratio_central);
    assert_unset(verdict->ratio_upper);
    if (strstr(verdict->reason, part) == NULL) {
        fail_msg("reason '%s' lacks '%s'", verdict->reason, part);
    }
}

/* ---- published verdicts ---------------------------------------------------------------------- */

/* Caltrans 2013, 7.3.1, example 1: 0.211 in/s from an impact driver; below 0.5 in/s (modern
 * commercial, continuous), above 0.1 in/s (fragile, continuous). Example 2: 0.105 in/s from a
 * vibratory source; below 0.3 in/s (older residential, continuous). */
static void test_caltrans_examples(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("CALTRANS-DAMAGE");
    const struct sg_limit_row *row[4];
    struct sg_judged judged = nobody();
    judged.building_class = SG_CLASS_INDUSTRIAL;
    assert_int_equal(sg_limit_rows(set, &judged, SG_IMPACT, row, SG_COUNT(row)), 1);
    assert_string_equal(row[0]->id, "modern-continuous");
    struct sg_value value = fitting(row[0], SG_IMPACT, 0.211 * 25.4);
    struct sg_verdict verdict = judge(set, row[0], &judged, &value);
    assert_int_equal(verdict.state, SG_WITHIN);
    assert_close(verdict.ratio_central, 0.422, 1e-12, 0);
    assert_int_equal(verdict.marks, SG_MARK_UNVERIFIED);

    verdict = judge(set, row_of(set, "fragile-continuous"), &judged, &value);
    assert_int_equal(verdict.state, SG_OVER);
    assert_close(verdict.ratio_central, 2.11, 1e-12, 0);
    judged.building_class = SG_CLASS_FRAGILE;
    assert_int_equal(sg_limit_rows(set, &judged, SG_IMPACT, row, SG_COUNT(row)), 1);
    assert_string_equal(row[0]->id, "ruins-continuous");
    assert_int_equal(judge(set, row[0], &judged, &value).state, SG_OVER);

    judged.building_class = SG_CLASS_OLDER_HOUSE;
    assert_int_equal(sg_limit_rows(set, &judged, SG_VIBRATORY, row, SG_COUNT(row)), 1);
    assert_string_equal(row[0]->id, "older-house-continuous");
    value = fitting(row[0], SG_VIBRATORY, 0.105 * 25.4);
    verdict = judge(set, row[0], &judged, &value);
    assert_int_equal(verdict.state, SG_WITHIN);
    assert_close(verdict.ratio_central, 0.35, 1e-12, 0);
    assert_int_equal(verdict.marks, 0); /* 0.3 in/s was seen */
}

/* BS 5228-1 Table E.1 (recalled): ambient rounded to 5 dB below / equal / above the value of A. */
static void test_abc_categories(void **state)
{
    (void)state;
    static const struct {
        enum sg_period period;
        double ambient_db;
        const char *category;
    } cases[] = {
        { SG_DAY, 62.4, "A" },     { SG_DAY, 62.5, "B" },     { SG_DAY, 67.4, "B" },
        { SG_DAY, 67.5, "C" },     { SG_DAY, 40.0, "A" },     { SG_EVENING, 52.4, "A" },
        { SG_EVENING, 55.0, "B" }, { SG_EVENING, 57.5, "C" }, { SG_NIGHT, 42.4, "A" },
        { SG_NIGHT, 45.0, "B" },   { SG_NIGHT, 60.0, "C" },
    };
    const struct sg_limit_set *set = set_of("BS5228-1-ABC");
    for (size_t i = 0; i < SG_COUNT(cases); i++) {
        const struct sg_limit_row *row[4];
        struct sg_judged judged = nobody();
        judged.use = SG_USE_RESIDENTIAL;
        judged.period = cases[i].period;
        judged.ambient_db = cases[i].ambient_db;
        assert_int_equal(sg_limit_rows(set, &judged, SG_IMPACT, row, SG_COUNT(row)), 1);
        assert_string_equal(row[0]->category, cases[i].category);
        assert_int_equal(row[0]->period, cases[i].period);
    }
    struct sg_judged judged = nobody();
    judged.use = SG_USE_RESIDENTIAL;
    judged.period = SG_DAY;
    judged.category = "B";
    const struct sg_limit_row *row[4];
    assert_int_equal(sg_limit_rows(set, &judged, SG_IMPACT, row, SG_COUNT(row)), 1);
    assert_string_equal(row[0]->id, "day-B");
}

/* Levels: 6 dB over is a ratio of 1.995 (10^(6/20), derived). Above C the remark is made. */
static void test_level_ratio_and_remark(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("BS5228-1-ABC");
    struct sg_judged judged = nobody();
    judged.ambient_db = 78;
    struct sg_value value = fitting(row_of(set, "day-C"), SG_IMPACT, 81);
    struct sg_verdict verdict = judge(set, row_of(set, "day-C"), &judged, &value);
    assert_int_equal(verdict.state, SG_OVER);
    assert_close(verdict.ratio_central, 1.99526231, 1e-8, 0);
    assert_non_null(strstr(verdict.reason, "ambient"));
    judged.ambient_db = 70;
    verdict = judge(set, row_of(set, "day-C"), &judged, &value);
    assert_string_equal(verdict.reason, "");
}

/* The Japanese schedules leave press-in work out; impact and vibratory driving are in (seen). */
static void test_japan_scope(void **state)
{
    (void)state;
    static const char *const id[] = { "JP-NOISE-85", "JP-VIB-75" };
    for (size_t i = 0; i < SG_COUNT(id); i++) {
        const struct sg_limit_set *set = set_of(id[i]);
        for (int t = 0; t < SG_TECHNIQUE_END; t++) {
            const struct sg_limit_row *row[2];
            struct sg_judged judged = nobody();
            assert_int_equal(sg_limit_rows(set, &judged, (enum sg_technique)t, row, 2), 1);
            struct sg_value value = fitting(row[0], (enum sg_technique)t, 60);
            struct sg_verdict verdict = judge(set, row[0], &judged, &value);
            if (t == SG_IMPACT || t == SG_VIBRATORY) {
                assert_int_equal(verdict.state, SG_WITHIN);
            } else {
                assert_undetermined(&verdict, "outside the document's scope");
            }
        }
    }
}

/* AVV: night 20-07, so an evening is judged with the night value. */
static void test_avv_periods(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("AVV-BAULAERM");
    const struct sg_limit_row *row[4];
    struct sg_judged judged = nobody();
    judged.area = SG_AREA_RESIDENTIAL;
    judged.period = SG_DAY;
    assert_int_equal(sg_limit_rows(set, &judged, SG_IMPACT, row, 4), 1);
    assert_string_equal(row[0]->id, "residential-day");
    judged.period = SG_EVENING;
    assert_int_equal(sg_limit_rows(set, &judged, SG_IMPACT, row, 4), 2);
    assert_string_equal(row[0]->id, "residential-night");
    assert_string_equal(row[1]->id, "residential-night-peak"); /* 20 dB(A) over it (recalled) */
    struct sg_value value = fitting(row[0], SG_IMPACT, 41);
    value.period = SG_EVENING;
    assert_int_equal(judge(set, row[0], &judged, &value).state, SG_OVER);
    judged.period = SG_ANY_TIME;
    assert_int_equal(sg_limit_rows(set, &judged, SG_IMPACT, row, 4), 3);
    /* the British categories have evening rows of their own */
    judged.use = SG_USE_RESIDENTIAL;
    judged.period = SG_EVENING;
    judged.category = "A";
    assert_int_equal(sg_limit_rows(set_of("BS5228-1-ABC"), &judged, SG_IMPACT, row, 4), 1);
    assert_string_equal(row[0]->id, "evening-A");
}

/* ---- factors --------------------------------------------------------------------------------- */

/* BS 7385-2: up to 50 % off for continuous vibration (recalled); DIN pipes: half for long-term. */
static void test_factors(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("BS7385-2");
    const struct sg_limit_row *row = row_of(set, "line-2");
    struct sg_judged judged = nobody();
    struct sg_value value = fitting(row, SG_IMPACT, 1.0);
    value.frequency_low_hz = value.frequency_high_hz = 15;
    assert_close(judge(set, row, &judged, &value).limit, 20, 1e-12, 0);
    value.technique = SG_VIBRATORY;
    struct sg_verdict verdict = judge(set, row, &judged, &value);
    assert_close(verdict.limit, 10, 1e-12, 0);
    assert_close(verdict.factor, 0.5, 1e-15, 0);
    assert_int_equal(verdict.marks, SG_MARK_UNVERIFIED);
    judged.factor_id = "continuous";
    judged.factor = 0.8;
    verdict = judge(set, row, &judged, &value);
    assert_close(verdict.limit, 16, 1e-12, 0);
    assert_int_equal(verdict.marks, SG_MARK_UNVERIFIED | SG_MARK_USER);
    judged.factor = 0.4;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "the document allows 0.5 to 1");
    judged.factor_id = "no-such";
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "has no factor 'no-such'");

    judged = nobody();
    set = set_of("DIN4150-3-pipes");
    value = fitting(row_of(set, "line-3"), SG_VIBRATORY, 1.0);
    assert_close(judge(set, row_of(set, "line-3"), &judged, &value).limit, 25, 1e-12, 0);
}

/* BS 5228-2 B.3 (recalled): continuous wall values / 2.5; old brick sewers x 0.5. */
static void test_factors_by_class(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("BS5228-2-services");
    struct sg_judged judged = nobody();
    struct sg_value value = fitting(row_of(set, "wall-toe"), SG_VIBRATORY, 1.0);
    assert_close(judge(set, row_of(set, "wall-toe"), &judged, &value).limit, 4, 1e-12, 0);
    judged.factor_id = "wall-supported";
    assert_close(judge(set, row_of(set, "wall-toe"), &judged, &value).limit, 6, 1e-12, 0);
    struct sg_verdict verdict = judge(set, row_of(set, "service-continuous"), &judged, &value);
    assert_undetermined(&verdict, "does not concern this row");
    judged.factor_id = NULL;
    assert_close(judge(set, row_of(set, "service-continuous"), &judged, &value).limit, 15, 1e-12,
                 0);
    judged.factor_id = "old-sewer";
    judged.building_class = SG_CLASS_PIPE_MASONRY;
    assert_close(judge(set, row_of(set, "service-continuous"), &judged, &value).limit, 7.5, 1e-12,
                 0);
    judged.building_class = SG_CLASS_PIPE_STEEL;
    verdict = judge(set, row_of(set, "service-continuous"), &judged, &value);
    assert_undetermined(&verdict, "does not concern this row");
}

/* ---- what cannot be said --------------------------------------------------------------------- */

static void test_refusals_of_the_value(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("DIN4150-3-short");
    const struct sg_limit_row *row = row_of(set, "line-2-foundation");
    struct sg_judged judged = nobody();
    struct sg_value good = fitting(row, SG_IMPACT, 1.0), value = good;
    good.frequency_low_hz = good.frequency_high_hz = 12;

    value = good;
    assert_int_equal(judge(set, row, &judged, &value).state, SG_WITHIN);
    value.central = value.upper = SG_UNSET;
    value.why = "nearer than 1 m";
    struct sg_verdict verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "nearer than 1 m");
    value.why = NULL;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "no value");

    value = good;
    value.quantity = SG_Q_VDV;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "the limit is stated as ppv, the value is vdv");

    value = good;
    value.position = SG_AT_FREE_FIELD;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "no transfer");

    value = good;
    value.technique = SG_VIBRATORY;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "vibration only");
    value.technique = SG_PRESS_IN;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "vibration only");

    value = good;
    value.frequency_low_hz = value.frequency_high_hz = SG_UNSET;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "the frequency is not known");
    value.frequency_low_hz = 30;
    value.frequency_high_hz = 10;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "not a frequency band");

    value = good;
    value.upper = SG_UNSET;
    verdict = judge(set, row, &judged, &value);
    assert_undetermined(&verdict, "upper value is not known");
    value.central = 100;
    assert_int_equal(judge(set, row, &judged, &value).state, SG_OVER);
}

static void test_refusals_of_the_limit(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("BS7385-2");
    struct sg_judged judged = nobody();
    struct sg_value value = fitting(row_of(set, "line-1"), SG_IMPACT, 1.0);
    value.frequency_low_hz = 3;
    value.frequency_high_hz = 30;
    struct sg_verdict verdict = judge(set, row_of(set, "line-1"), &judged, &value);
    assert_undetermined(&verdict, "no value below 4 Hz");

    set = set_of("RAIL-HK");
    value = fitting(row_of(set, "structure-blasting"), SG_IMPACT, 1.0);
    verdict = judge(set, row_of(set, "structure-blasting"), &judged, &value);
    assert_undetermined(&verdict, "does not hold for impact driving");

    set = set_of("BS5228-1-ABC");
    value = fitting(row_of(set, "day-A"), SG_IMPACT, 60);
    verdict = judge(set, row_of(set, "day-A"), &judged, &value);
    assert_undetermined(&verdict, "ambient noise level");
    judged.ambient_db = 50;
    assert_int_equal(judge(set, row_of(set, "day-A"), &judged, &value).state, SG_WITHIN);
    value.period = SG_NIGHT;
    verdict = judge(set, row_of(set, "day-A"), &judged, &value);
    assert_undetermined(&verdict, "holds for the day, the value for the night");
}

static void assert_no_row(const char *id, const struct sg_judged *judged, const char *part)
{
    const struct sg_limit_row *row[4];
    const struct sg_limit_set *set = set_of(id);
    assert_int_equal(sg_limit_rows(set, judged, SG_IMPACT, row, 4), 1);
    assert_null(row[0]);
    struct sg_value value = SG_VALUE_INIT;
    value.central = value.upper = 1.0;
    struct sg_verdict verdict = judge(set, NULL, judged, &value);
    assert_undetermined(&verdict, part);
}

static void test_no_row_says_why(void **state)
{
    (void)state;
    struct sg_judged judged = nobody();
    assert_no_row("DIN4150-3-short", &judged, "asks for the building class");
    assert_no_row("BS5228-1-ABC", &judged, "asks for the use");
    assert_no_row("AVV-BAULAERM", &judged, "asks for the area type");
    judged.building_class = SG_CLASS_FRAGILE;
    assert_no_row("BS7385-2", &judged, "no value for the building class 'fragile'");
    judged.use = SG_USE_RESIDENTIAL;
    assert_no_row("BS5228-1-ABC", &judged, "ambient noise level");
    judged.use = SG_USE_INDUSTRY;
    assert_no_row("BS5228-1-ABC", &judged, "no value for the use");
    judged.area = SG_AREA_MIXED;
    judged.period = SG_NIGHT;
    assert_no_row("UK-FIXED-NOISE", &judged, "no value for the period 'night'");
}

/* A vector sum is at least each component and at most sqrt(3) times the largest (derived). */
static void test_axes(void **state)
{
    (void)state;
    struct sg_limit_set set = *set_of("RAIL-MY");
    struct sg_limit_row row = *row_of(&set, "structure");
    struct sg_judged judged = nobody();
    struct sg_value value = fitting(&row, SG_IMPACT, 1.0);

    value.axes = SG_AXES_VERTICAL;
    struct sg_verdict verdict = judge(&set, &row, &judged, &value);
    assert_undetermined(&verdict, "may be smaller");
    value.axes = SG_AXES_RESULTANT;
    value.quantity = SG_Q_PVS;
    verdict = judge(&set, &row, &judged, &value);
    assert_int_equal(verdict.state, SG_WITHIN);
    assert_non_null(strstr(verdict.reason, "safe side"));

    row.axes = SG_AXES_RESULTANT;
    row.quantity = SG_Q_PVS;
    assert_int_equal(judge(&set, &row, &judged, &value).state, SG_WITHIN);
    value.quantity = SG_Q_VSC; /* at least the true vector sum */
    assert_int_equal(judge(&set, &row, &judged, &value).state, SG_WITHIN);
    value.quantity = SG_Q_PPV;
    value.axes = SG_AXES_LARGEST; /* limit 15 mm/s: a component of 8.7 may be a resultant of 15.1 */
    value.central = value.upper = 8.6;
    assert_int_equal(judge(&set, &row, &judged, &value).state, SG_WITHIN);
    value.upper = 8.7;
    assert_int_equal(judge(&set, &row, &judged, &value).state, SG_LIKELY_WITHIN);
    value.central = value.upper = 15.1;
    assert_int_equal(judge(&set, &row, &judged, &value).state, SG_OVER);
    value.central = value.upper = 8.7;
    verdict = judge(&set, &row, &judged, &value);
    assert_undetermined(&verdict, "the limit is stated as pvs");
    value.central = value.upper = 1.0;
    row.quantity = SG_Q_PPV;
    verdict = judge(&set, &row, &judged, &value);
    assert_undetermined(&verdict, "axis 'resultant'");

    /* the largest component is at least the vertical one */
    row.axes = SG_AXES_VERTICAL;
    assert_int_equal(judge(&set, &row, &judged, &value).state, SG_WITHIN);
}

/* ---- order of verdicts ----------------------------------------------------------------------- */

static void test_governing_verdict(void **state)
{
    (void)state;
    const struct sg_verdict order[] = {
        { .state = SG_OVER, .ratio_upper = 3.0 },
        { .state = SG_OVER, .ratio_upper = 1.2 },
        { .state = SG_NOT_DETERMINABLE, .ratio_upper = SG_UNSET },
        { .state = SG_LIKELY_WITHIN, .ratio_upper = 1.5 },
        { .state = SG_WITHIN, .ratio_upper = 0.9 },
        { .state = SG_WITHIN, .ratio_upper = 0.1 },
    };
    for (size_t a = 0; a < SG_COUNT(order); a++) {
        for (size_t b = 0; b < SG_COUNT(order); b++) {
            int sign = sg_verdict_compare(&order[a], &order[b]);
            assert_int_equal((sign > 0) - (sign < 0), (a > b) - (a < b));
        }
    }
    assert_string_equal(sg_verdict_id(SG_WITHIN), "within");
    assert_string_equal(sg_verdict_id(SG_LIKELY_WITHIN), "likely within");
    assert_string_equal(sg_verdict_id(SG_OVER), "over");
}

/* Marks of the value go with the verdict. */
static void test_marks(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("RAIL-MY");
    struct sg_judged judged = nobody();
    struct sg_value value = fitting(row_of(set, "structure"), SG_IMPACT, 1.0);
    assert_int_equal(judge(set, row_of(set, "structure"), &judged, &value).marks, 0);
    value.marks = SG_MARK_RANGE | SG_MARK_TENTATIVE;
    value.grade = SG_GRADE_MEMORY_MID;
    assert_int_equal(judge(set, row_of(set, "structure"), &judged, &value).marks,
                     SG_MARK_RANGE | SG_MARK_TENTATIVE | SG_MARK_UNVERIFIED);
}

/* ---- the hand calculation -------------------------------------------------------------------- */

static bool says(const struct sg_working *working, const char *part)
{
    for (size_t i = 0; i < working->count; i++) {
        if (strstr(working->step[i].working, part) != NULL) {
            return true;
        }
    }
    return false;
}

static void test_working(void **state)
{
    (void)state;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_working working = { .arena = &arena };
    const struct sg_limit_set *set = set_of("BS7385-2");
    const struct sg_limit_row *row = row_of(set, "line-2");
    struct sg_judged judged = nobody();
    struct sg_value value = fitting(row, SG_VIBRATORY, 4.0);
    struct sg_verdict verdict;
    value.frequency_low_hz = 20;
    value.frequency_high_hz = 40;
    sg_judge(set, row, &judged, &value, &verdict, &working);
    assert_true(says(&working, "20 to 40 Hz (test), limit lowest at 20 Hz"));
    assert_true(says(&working, "20 + (50 - 20) (20 - 15) / (40 - 15) = 26 mm/s"));
    assert_true(says(&working, "26 x 0.5 = 13 mm/s"));
    assert_true(says(&working, "4 / 13 = 0.3077"));
    assert_true(says(&working, "within"));
    assert_non_null(strstr(working.step[working.count - 1].what, "verdict"));
    assert_true(working.count >= 6);

    struct sg_limit_row other = *row;
    other.interpolation = SG_LOG_LOG;
    sg_judge(set, &other, &judged, &value, &verdict, &working);
    assert_true(says(&working, "20 (20 / 15)^(lg(50 / 20) / lg(40 / 15)) = 26.1"));
    value.frequency_low_hz = 2;
    sg_judge(set, row, &judged, &value, &verdict, &working);
    assert_true(says(&working, "2 pi x 2 Hz x 0.6 mm = 7.53982 mm/s"));

    set = set_of("BS5228-1-ABC");
    judged.ambient_db = 64;
    value = fitting(row_of(set, "day-B"), SG_IMPACT, 69);
    sg_judge(set, row_of(set, "day-B"), &judged, &value, &verdict, &working);
    assert_true(says(&working, "B, by an ambient level of 64 dB(A) rounded to 5 dB"));
    assert_true(says(&working, "69 - 70 = -1 dB"));
    sg_arena_release(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_caltrans_examples),
        cmocka_unit_test(test_abc_categories),
        cmocka_unit_test(test_level_ratio_and_remark),
        cmocka_unit_test(test_japan_scope),
        cmocka_unit_test(test_avv_periods),
        cmocka_unit_test(test_factors),
        cmocka_unit_test(test_factors_by_class),
        cmocka_unit_test(test_refusals_of_the_value),
        cmocka_unit_test(test_refusals_of_the_limit),
        cmocka_unit_test(test_no_row_says_why),
        cmocka_unit_test(test_axes),
        cmocka_unit_test(test_governing_verdict),
        cmocka_unit_test(test_marks),
        cmocka_unit_test(test_working),
    };
    return cmocka_run_group_tests_name("limits", tests, NULL, NULL);
}
