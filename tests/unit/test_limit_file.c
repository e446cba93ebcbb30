/* test_limit_file.c - limit sets as YAML: every built-in set is written and read back identical; a
 * bad file is reported in one run, each fault with its line.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "../support/judging.h"
#include "stillground/site.h"

static void assert_same_row(const struct sg_limit_row *a, const struct sg_limit_row *b)
{
    assert_string_equal(a->id, b->id);
    assert_string_equal(a->cite.locus, b->cite.locus);
    assert_int_equal(a->cite.grade, b->cite.grade);
    assert_int_equal(a->quantity, b->quantity);
    assert_int_equal(a->classes, b->classes);
    assert_int_equal(a->techniques, b->techniques);
    assert_int_equal(a->period, b->period);
    assert_int_equal(a->rule, b->rule);
    assert_int_equal(a->nnode, b->nnode);
    for (size_t i = 0; i < a->nnode; i++) {
        assert_memory_equal(&a->node[i], &b->node[i], sizeof(struct sg_node)); /* to the bit */
    }
    assert_int_equal(a->ndays, b->ndays);
    for (size_t i = 0; i < a->ndays; i++) {
        assert_memory_equal(&a->days[i], &b->days[i], sizeof(struct sg_days_piece));
    }
}

static void test_round_trip(void **state)
{
    (void)state;
    for (size_t s = 0; s < sg_limit_set_count(); s++) {
        const struct sg_limit_set *set = sg_limit_set_at(s), *back = NULL;
        struct sg_text first = SG_TEXT_INIT, second = SG_TEXT_INIT;
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_errors errors = SG_ERRORS_INIT;
        sg_limit_file_put(set, &first);
        assert_int_equal(
            sg_limit_file_read_memory(first.data, first.length, "set.yaml", &arena, &back, &errors),
            SG_OK);
        assert_int_equal(errors.count, 0);
        assert_int_equal(back->nrow, set->nrow);
        assert_int_equal(back->nfactor, set->nfactor);
        assert_int_equal(back->nwindow, set->nwindow);
        assert_memory_equal(back->character, set->character, sizeof(set->character));
        for (size_t i = 0; i < set->nrow; i++) {
            assert_same_row(&set->row[i], &back->row[i]);
        }
        sg_limit_file_put(back, &second);
        assert_string_equal(first.data, second.data);
        sg_text_release(&first);
        sg_text_release(&second);
        sg_arena_release(&arena);
        sg_errors_release(&errors);
    }
}

/* What comes back judges as what went out, for every row, technique, frequency and value tried. */
static void same_verdicts(const struct sg_limit_set *set, const struct sg_limit_set *back, size_t r)
{
    static const double hz[] = { 0.5, 5, 21, 47, 90, 300 },
                        amount[] = { 0.01, 0.7, 5, 18, 64, 110 };
    const struct sg_limit_row *a = &set->row[r], *b = &back->row[r];
    const struct sg_dose_value dose = { 0.2, 0.5, 0 };
    struct sg_judged judged = nobody();
    judged.building_class = a->classes & (~a->classes + 1u);
    judged.use = a->uses & (~a->uses + 1u);
    judged.area = a->areas & (~a->areas + 1u);
    judged.period = a->period;
    judged.category = a->category;
    judged.ambient_db = 58;
    judged.background_db = 41;
    judged.dose = &dose;
    for (int t = 0; t < SG_TECHNIQUE_END; t++) {
        for (size_t i = 0; i < SG_COUNT(hz) * SG_COUNT(amount); i++) {
            struct sg_value value = fitting(a, (enum sg_technique)t, amount[i % SG_COUNT(amount)]);
            struct sg_value predicted = fitting(a, (enum sg_technique)t, 9);
            value.frequency_low_hz = value.frequency_high_hz = hz[i / SG_COUNT(amount)];
            value.origin = SG_MEASURED;
            judged.predicted = &predicted;
            judged.days = (double)(13 * i % 90);
            struct sg_verdict one = judge(set, a, &judged, &value);
            struct sg_verdict two = judge(back, b, &judged, &value);
            assert_int_equal(one.state, two.state);
            assert_int_equal(one.marks, two.marks);
            assert_string_equal(one.reason, two.reason);
            if (one.state != SG_NOT_DETERMINABLE) {
                assert_close(two.limit, one.limit, 0, 0);
                assert_close(two.ratio_upper, one.ratio_upper, 0, 0);
            }
        }
    }
}

static void test_round_trip_verdicts(void **state)
{
    (void)state;
    size_t rows = 0;
    for (size_t s = 0; s < sg_limit_set_count(); s++) {
        const struct sg_limit_set *set = sg_limit_set_at(s), *back = NULL;
        struct sg_text text = SG_TEXT_INIT;
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_errors errors = SG_ERRORS_INIT;
        sg_limit_file_put(set, &text);
        assert_int_equal(
            sg_limit_file_read_memory(text.data, text.length, "set.yaml", &arena, &back, &errors),
            SG_OK);
        for (size_t r = 0; r < set->nrow; r++, rows++) {
            same_verdicts(set, back, r);
        }
        sg_text_release(&text);
        sg_arena_release(&arena);
        sg_errors_release(&errors);
    }
    assert_true(rows > 390);
}

/* Each message of reading a text; fails when there is none with the part. */
static void refused_with(const char *text, const char *part)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    const struct sg_limit_set *set = NULL;
    bool found = false;
    assert_false(
        sg_ok(sg_limit_file_read_memory(text, strlen(text), "own.yaml", &arena, &set, &errors)));
    for (size_t k = 0; k < errors.count && !found; k++) {
        found = strstr(errors.text[k], part) != NULL;
    }
    if (!found) {
        fail_msg("no message has '%s', but: %s", part, errors.count > 0 ? errors.text[0] : "none");
    }
    sg_arena_release(&arena);
    sg_errors_release(&errors);
}

#define HEAD                                                                                       \
    "id: MINE\ntitle: t\njurisdiction: X\ndocument: permit\nedition: \"1\"\nlegal: permit\n"
#define ROW                                                                                        \
    "rows:\n  - id: a\n    label: a\n    purpose: damage\n    position: foundation\n"              \
    "    quantity: ppv\n    axes: largest component\n    effect: e\n"

/* Lines counted by hand: six of the head, eight of the row up to `effect`, then the rest. */
static void test_faults_name_their_line(void **state)
{
    (void)state;
    refused_with("", "own.yaml: is empty; allowed: a limit set");
    refused_with("# nothing\n", "`limits --format yaml ID`");
    refused_with(HEAD ROW "    grade: user\n    curve: [[0, 5]]\n",
                 "own.yaml:8:5: locus: is missing");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[50, 5], [10, 9]]\n",
                 "own.yaml:17:22: curve: the frequency 10 Hz does not come after 50 Hz");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[10, 5], [10, 9]]\n",
                 "bands overlap");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\n"
                          "    days: [[0, 9, 1, 2, 3], [7, 20, 1, 2, 3]]\n",
                 "own.yaml:18:29: days: stretches overlap");
    /* a number that is hardly remembered is no default, and neither is a factor of one */
    refused_with(HEAD ROW "    grade: memory-low\n    locus: p. 1\n    curve: [[0, 5]]\n",
                 "own.yaml:8:5: grade: memory-low is never judged by default");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\nfactors:\n"
                          "  - id: f\n    low: 0.5\n    high: 1\n    default: 1\n"
                          "    applied_to: [continuous]\n    meaning: m\n    decided_by: d\n"
                          "    locus: l\n    grade: memory-low\n",
                 "memory-low is never applied by default");
    refused_with(HEAD ROW
                 "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\n    count_days: 10\n",
                 "count_days: 10 of 0 days");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\n"
                          "    rule: difference\n",
                 "times_predicted: is missing");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\n"
                          "    rule: percentile\n",
                 "own.yaml:8:5: percent: is missing");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\n    rule: rise\n"
                          "    rise_dB: 3\n",
                 "the quantity is no level");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\n"
                          "    rule: two-step\n    upper_value: 9\n",
                 "dose_value: is missing");
    refused_with(HEAD "reference: 1e-6\n" ROW
                      "    grade: user\n    locus: p. 1\n    curve: [[0, 5]]\n",
                 "reference_unit: is missing");
    /* 100 dB re 1e-9 m/s are 71.9 dB re 1e-6 in/s (28.1 dB less, derived) */
    refused_with(HEAD "reference: 1e-9\nreference_unit: m/s\n"
                      "rows:\n  - id: a\n    label: a\n    purpose: people\n    position: floor\n"
                      "    quantity: lv\n    axes: largest component\n    effect: e\n"
                      "    grade: user\n    locus: p. 1\n    curve: [[0, 100]]\n",
                 "values re 1e-06 in/s, which are -28.1 dB");
    refused_with(HEAD ROW "    grade: user\n    locus: p. 1\n    curve: [[0, 0]]\n",
                 "own.yaml:17:13: curve: a value is not above 0");
}

static void test_every_fault_in_one_run(void **state)
{
    (void)state;
    static const char bad[] = "id: MINE\n"
                              "title: \"\"\n" /* 2: empty */
                              "jurisdiction: X\n"
                              "document: permit\n"
                              "edition: \"1\"\n"
                              "colour: red\n" /* 6: no such key; legal missing */
                              "rows:\n"
                              "  - id: a\n"
                              "    label: a\n"
                              "    purpose: damage\n"
                              "    position: foundation\n"
                              "    quantity: furlong\n" /* 12: unknown */
                              "    axes: largest component\n"
                              "    effect: e\n"
                              "    grade: user\n"                        /* locus missing */
                              "    curve: [[10, 5], [8, 6], [20, -1]]\n" /* 16: overlap, negative */
                              "  - id: a\n"                              /* 17: second time */
                              "    above_Hz: -3\n"                       /* 18: too small */
                              "    classes: [castle]\n"                  /* 19: unknown */
                              "  - id: b\n"
                              "    curve: [[0, 5], [8, 6]]\n" /* 21: starts at 0 Hz */
                              "rows: []\n";                   /* 22: second time */
    static const char *const parts[] = {
        "mine.yaml:2:",      "mine.yaml:6:",  "legal: is missing", "mine.yaml:12:",
        "locus: is missing", "does not come", "not above 0",       "second row",
        "mine.yaml:18:",     "castle",        "curve: is missing", "starts at 0 Hz",
        "mine.yaml:22:",
    };
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    const struct sg_limit_set *set = NULL;
    assert_false(
        sg_ok(sg_limit_file_read_memory(bad, sizeof(bad) - 1, "mine.yaml", &arena, &set, &errors)));
    assert_null(set);
    for (size_t i = 0; i < SG_COUNT(parts); i++) {
        bool found = false;
        for (size_t k = 0; k < errors.count && !found; k++) {
            found = strstr(errors.text[k], parts[i]) != NULL;
        }
        if (!found) {
            fail_msg("no message has '%s'", parts[i]);
        }
    }
    sg_arena_release(&arena);
    sg_errors_release(&errors);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_round_trip),
        cmocka_unit_test(test_round_trip_verdicts),
        cmocka_unit_test(test_faults_name_their_line),
        cmocka_unit_test(test_every_fault_in_one_run),
    };
    return cmocka_run_group_tests_name("limit files", tests, NULL, NULL);
}
