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
        cmocka_unit_test(test_every_fault_in_one_run),
    };
    return cmocka_run_group_tests_name("limit files", tests, NULL, NULL);
}
