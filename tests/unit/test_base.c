/* test_base.c - status, messages, memory, text, numbers, units, statistics. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "stillground/base.h"

/* clang-format off */
static const sg_status all_statuses[] = {
    SG_OK, SG_WARN_RANGE, SG_ERR_USAGE, SG_ERR_INPUT, SG_ERR_MISSING, SG_ERR_UNKNOWN, SG_ERR_DOMAIN,
    SG_ERR_NO_SOLUTION, SG_ERR_UNDETERMINED, SG_ERR_IO, SG_ERR_NOMEM, SG_ERR_BUG,
};
/* clang-format on */

static void test_every_status_has_a_text(void **state)
{
    (void)state;
    for (size_t i = 0; i < SG_COUNT(all_statuses); i++) {
        assert_string_not_equal(sg_status_text(all_statuses[i]), "unknown status");
        int ends = sg_status_exit(all_statuses[i]);
        assert_true(ends == 0 || (ends >= 2 && ends <= 5) || ends == 70);
        assert_int_equal(sg_ok(all_statuses[i]), all_statuses[i] < SG_ERR_USAGE);
    }
    assert_int_equal(sg_status_exit(SG_ERR_BUG), 70);
    assert_string_equal(sg_status_text((sg_status)0x7777), "unknown status");
}

static void test_messages(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_place place = { "site.yaml", 12, 5 };
    sg_status status = sg_errors_add(&errors, SG_ERR_INPUT, &place, "%s is %d", "x", 3);
    assert_int_equal(status, SG_ERR_INPUT);
    place.column = 0;
    sg_errors_add(&errors, SG_ERR_IO, &place, "second");
    sg_errors_add(&errors, SG_ERR_IO, NULL, "third");
    assert_int_equal(errors.first, SG_ERR_INPUT);
    assert_string_equal(errors.text[0], "site.yaml:12:5: x is 3");
    assert_string_equal(errors.text[1], "site.yaml:12: second");
    assert_string_equal(errors.text[2], "third");
    for (int i = 0; i < SG_ERRORS_MAX; i++)
        sg_errors_add(&errors, SG_ERR_IO, NULL, "more");
    assert_int_equal(errors.count, SG_ERRORS_MAX);
    assert_int_equal(errors.dropped, 3);
    sg_errors_release(&errors);
    assert_int_equal(sg_errors_add(NULL, SG_ERR_IO, NULL, "nobody listens"), SG_ERR_IO);
}

static void test_arena(void **state)
{
    (void)state;
    struct sg_arena arena = SG_ARENA_INIT;
    char *small = sg_arena_copy(&arena, "abc", 3);
    char *large = sg_arena_alloc(&arena, 1, 1 << 20);
    char *after = sg_arena_printf(&arena, "%d-%s", 7, "x");
    assert_string_equal(small, "abc");
    assert_string_equal(after, "7-x");
    assert_int_equal(large[(1 << 20) - 1], 0);
    assert_int_equal((uintptr_t)after % _Alignof(max_align_t), 0);
    assert_null(sg_arena_alloc(&arena, SIZE_MAX / 2, 4));
    sg_arena_release(&arena);
    assert_null(arena.block);
}

static void test_allocation_fails(void **state)
{
    (void)state;
    struct sg_text text = SG_TEXT_INIT;
    struct sg_arena arena = SG_ARENA_INIT;
    sg_alloc_fail_at(1);
    sg_text_put(&text, "lost");
    assert_true(text.failed);
    assert_string_equal(sg_text_string(&text), "");
    sg_alloc_fail_at(1);
    assert_null(sg_arena_alloc(&arena, 1, 8));
    sg_alloc_fail_at(0);
    assert_null(sg_realloc(NULL, SIZE_MAX, 2));
    sg_text_release(&text);
    sg_arena_release(&arena);
}

static const char *written(void (*put)(struct sg_text *, const char *), const char *string)
{
    static char copy[256];
    struct sg_text text = SG_TEXT_INIT;
    put(&text, string);
    snprintf(copy, sizeof(copy), "%s", sg_text_string(&text));
    sg_text_release(&text);
    return copy;
}

static void test_html(void **state)
{
    (void)state;
    assert_string_equal(written(sg_text_put_html, "<script>&'\"\n"),
                        "&lt;script&gt;&amp;&#39;&quot; ");
    assert_string_equal(written(sg_text_put_html, "Uferstraße"), "Uferstraße");
}

/* RFC 4180, and cells that a spreadsheet would take for a formula. */
static void test_csv(void **state)
{
    (void)state;
    assert_string_equal(written(sg_text_put_csv, "plain"), "plain");
    assert_string_equal(written(sg_text_put_csv, "a,\"b\"\nc"), "\"a,\"\"b\"\"\nc\"");
    assert_string_equal(written(sg_text_put_csv, "=cmd|' /C x'!A0"), "\"'=cmd|' /C x'!A0\"");
    assert_string_equal(written(sg_text_put_csv, "+1"), "\"'+1\"");
    assert_string_equal(written(sg_text_put_csv, "-1"), "\"'-1\"");
    assert_string_equal(written(sg_text_put_csv, "@x"), "\"'@x\"");
    assert_string_equal(written(sg_text_put_csv, ""), "");
}

static void test_gnuplot(void **state)
{
    (void)state;
    assert_string_equal(written(sg_text_put_gnuplot, "it's `x`\n"), "'it''s `x` '");
}

static void test_nearest(void **state)
{
    (void)state;
    static const char *const known[] = { "energy_kJ", "frequency_Hz", "toe_depth_m" };
    assert_string_equal(sg_nearest("energy_kj", known, 3), "energy_kJ");
    assert_string_equal(sg_nearest("enrgy_kJ", known, 3), "energy_kJ");
    assert_string_equal(sg_nearest("toedepth_m", known, 3), "toe_depth_m");
    assert_null(sg_nearest("colour", known, 3));
    assert_null(sg_nearest("", known, 3));
}

static void test_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double value;
    } good[] = { { "0", 0 },  { "-12.5", -12.5 }, { "+3", 3 },  { ".5", 0.5 },
                 { "5.", 5 }, { "1e3", 1000 },    { " 7 ", 7 }, { "2.5E-2", 0.025 } };
    static const char *const bad[] = { "",    " ",     "nan",  "inf",   "-inf",  "0x10",
                                       "1,5", "1 000", "5 kJ", "1e999", "1.2.3", "--1",
                                       "e5",  "1e",    ".",    "½" };
    for (size_t i = 0; i < SG_COUNT(good); i++) {
        double value = -99;
        assert_int_equal(sg_parse_number(good[i].text, &value, NULL), SG_OK);
        assert_close(value, good[i].value, 1e-15, 0);
    }
    for (size_t i = 0; i < SG_COUNT(bad); i++) {
        double value = -99;
        const char *why = NULL;
        assert_int_equal(sg_parse_number(bad[i], &value, &why), SG_ERR_INPUT);
        assert_close(value, -99, 0, 0);
        assert_non_null(why);
    }
}

static void test_decimal_comma_is_named(void **state)
{
    (void)state;
    double value;
    const char *why = NULL;
    sg_parse_number("1,5", &value, &why);
    assert_non_null(strstr(why, "comma"));
}

static void test_counts(void **state)
{
    (void)state;
    size_t count = 99;
    assert_int_equal(sg_parse_count("12", 100, &count, NULL), SG_OK);
    assert_int_equal(count, 12);
    static const char *const bad[] = { "-1", "1.5", "101", "1e30", "" };
    for (size_t i = 0; i < SG_COUNT(bad); i++)
        assert_int_equal(sg_parse_count(bad[i], 100, &count, NULL), SG_ERR_INPUT);
    assert_int_equal(count, 12);
}

/* 0.12, 0.2, 0.5 and 2 in/s are 3.048, 5.08, 12.7 and 50.8 mm/s: exact by the definition of the
 * inch (international yard and pound agreement, 1959). */
static void test_quantities(void **state)
{
    (void)state;
    static const struct {
        const char *text, *unit;
        double value;
    } good[] = {
        { "0.12 in/s", "mm/s", 3.048 },
        { "0.2in/s", "mm/s", 5.08 },
        { "0.5 in/s", "mm/s", 12.7 },
        { "2 in/s", "mm/s", 50.8 },
        { "150 ft", "m", 45.72 },
        { "35kJ", "J", 35000 },
        { "20", "m", 20 },
        { "1 ft.lb", "J", 1.3558179483314004 },
        { "1680 rpm", "Hz", 28 },
    };
    for (size_t i = 0; i < SG_COUNT(good); i++) {
        double value = -99;
        assert_int_equal(sg_parse_quantity(good[i].text, good[i].unit, &value, NULL), SG_OK);
        assert_close(value, good[i].value, 1e-15, 0);
    }
    double value = -99;
    assert_int_equal(sg_parse_quantity("5 kJ", "m", &value, NULL), SG_ERR_INPUT);
    assert_int_equal(sg_parse_quantity("5 furlongs", "m", &value, NULL), SG_ERR_INPUT);
    assert_int_equal(sg_parse_quantity("-1e308 km", "m", &value, NULL), SG_ERR_INPUT);
    assert_close(value, -99, 0, 0);
}

static void test_printing(void **state)
{
    (void)state;
    static const struct {
        double value;
        int decimals;
        const char *text;
    } rows[] = { { -0.001, 2, "0.00" },
                 { -0.006, 2, "-0.01" },
                 { 3.14159, 3, "3.142" },
                 { 0, 0, "0" },
                 { -5, 0, "-5" } };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        struct sg_text text = SG_TEXT_INIT;
        sg_text_put_number(&text, rows[i].value, rows[i].decimals);
        assert_string_equal(sg_text_string(&text), rows[i].text);
        sg_text_release(&text);
    }
    struct sg_text text = SG_TEXT_INIT;
    sg_text_put_number(&text, SG_UNSET, 2);
    assert_string_equal(sg_text_string(&text), "-");
    sg_text_release(&text);
}

/* Student t at 0.95 with 6 degrees of freedom is 1.943180 (handbook tables); the normal quantile at
 * 0.95 is 1.644854 (the same). */
static void test_statistics(void **state)
{
    (void)state;
    assert_close(sg_student_quantile(0.95, 6), 1.943180, 0, 5e-7);
    assert_close(sg_normal_quantile(0.95), 1.644854, 0, 5e-7);
    assert_close(sg_normal_cdf(1.0), 0.841345, 0, 5e-7);
    assert_false(sg_is_set(sg_normal_quantile(1)));
    assert_false(sg_is_set(sg_student_quantile(0.5, 0)));
}

/* Two equal levels add 3.01 dB; 80 dB and 70 dB add to 80.41 dB (arithmetic). */
static void test_level_sums(void **state)
{
    (void)state;
    const double equal[] = { 60, 60 }, mixed[] = { 80, SG_UNSET, 70 }, none[] = { SG_UNSET };
    assert_close(sg_level_sum(equal, 2), 63.010299956639813, 1e-15, 0);
    assert_close(sg_level_sum(mixed, 3), 80.413926851582251, 1e-14, 0);
    assert_false(sg_is_set(sg_level_sum(none, 1)));
    assert_close(sg_level_on_time(80, 0.5), 76.989700043360187, 1e-15, 0);
    assert_false(sg_is_set(sg_level_on_time(80, 0)));
}

static void test_grades(void **state)
{
    (void)state;
    for (int g = 0; g < SG_GRADE_END; g++)
        assert_string_not_equal(sg_grade_name((enum sg_grade)g), "unknown");
    assert_false(sg_grade_unverified(SG_GRADE_SEEN));
    assert_false(sg_grade_unverified(SG_GRADE_DERIVED));
    assert_false(sg_grade_unverified(SG_GRADE_USER));
    assert_true(sg_grade_unverified(SG_GRADE_PRACTICE));
    assert_int_equal(sg_grade_worse(SG_GRADE_SEEN, SG_GRADE_MEMORY_MID), SG_GRADE_MEMORY_MID);
    assert_int_equal(sg_grade_worse(SG_GRADE_MEMORY_MID, SG_GRADE_SEEN), SG_GRADE_MEMORY_MID);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_status_has_a_text),
        cmocka_unit_test(test_messages),
        cmocka_unit_test(test_arena),
        cmocka_unit_test(test_allocation_fails),
        cmocka_unit_test(test_html),
        cmocka_unit_test(test_csv),
        cmocka_unit_test(test_gnuplot),
        cmocka_unit_test(test_nearest),
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_decimal_comma_is_named),
        cmocka_unit_test(test_counts),
        cmocka_unit_test(test_quantities),
        cmocka_unit_test(test_printing),
        cmocka_unit_test(test_statistics),
        cmocka_unit_test(test_level_sums),
        cmocka_unit_test(test_grades),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
