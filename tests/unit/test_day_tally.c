/* test_day_tally.c - days over a limit by the rule of the limit, and the rules that only
 * measurements can decide. Sources stand beside each.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "../support/judging.h"
#include "stillground/day_tally.h"

#define MOST 400

/* Days from a text: 'o' over, 'w' within, 'l' likely within, '?' not determinable, '.' no day. */
static size_t days_of(const char *text, struct sg_day_state *out)
{
    size_t count = 0;
    for (long day = 0; text[day] != '\0'; day++) {
        enum sg_verdict_state state = text[day] == 'o'   ? SG_OVER
                                      : text[day] == 'l' ? SG_LIKELY_WITHIN
                                      : text[day] == '?' ? SG_NOT_DETERMINABLE
                                                         : SG_WITHIN;
        if (text[day] != '.') {
            assert_true(count < MOST);
            out[count++] = (struct sg_day_state){ 1000 + day, state };
        }
    }
    return count;
}

static struct sg_day_tally tally_of(const char *set, const char *row, const char *text)
{
    struct sg_day_state day[MOST];
    struct sg_day_tally tally;
    size_t count = days_of(text, day);
    sg_day_tally_of(set_of(set), row ? row_of(set_of(set), row) : NULL, day, count, &tally);
    return tally;
}

/* BS 5228-1:2009+A1:2014, E.4 (recalled): 10 or more days of any 15 on which a value of Table E.2
 * is passed, whichever of its hours that is. Five days over by one row and five others by another
 * make ten; a day over by both is one. */
static void test_rows_of_a_set_together(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("BS5228-1-INSULATION");
    struct sg_day_state one[MOST], other[MOST];
    struct sg_day_tally t = tally_of("BS5228-1-INSULATION", NULL, "owowowowow");
    size_t count = days_of("owowowowow", one), more = days_of("wowowowowo", other);
    assert_true(sg_days_by_set(set, &set->row[0]));
    assert_false(sg_days_by_set(set_of("UK-CONSENT-VIBRATION"),
                                row_of(set_of("UK-CONSENT-VIBRATION"), "days")));
    assert_int_equal(t.state, SG_WITHIN);
    count = sg_day_states_join(one, count, other, more);
    assert_int_equal(count, 10);
    sg_day_tally_join(&t, one, count);
    assert_int_equal(t.rule[0].most, 10);
    assert_int_equal(t.rule[0].reached_on, 1000 + 9);
    assert_int_equal(t.state, SG_OVER);
    assert_int_equal(t.over, 5); /* the row's own days stay */
    count = days_of("owowowowow", one);
    more = days_of("wowowowow?", other); /* nine for certain, then one that is open */
    count = sg_day_states_join(one, count, other, more);
    sg_day_tally_join(&t, one, count);
    assert_int_equal(t.rule[0].most, 9);
    assert_false(t.rule[0].reached);
    assert_int_equal(t.state, SG_NOT_DETERMINABLE);
    count = days_of("oo.w", one);
    more = days_of("o?l", other); /* worst of each day; a day between two */
    count = sg_day_states_join(one, count, other, more);
    assert_int_equal(count, 4);
    assert_int_equal(one[0].state, SG_OVER);
    assert_int_equal(one[1].state, SG_OVER);
    assert_int_equal(one[2].day, 1002);
    assert_int_equal(one[2].state, SG_LIKELY_WITHIN);
    assert_int_equal(one[3].state, SG_WITHIN);
}

/* SI 2023/256 (W), schedule, paragraph 3 (seen): not over 1 mm/s on 10 or more days in any 15. */
static void test_ten_of_fifteen(void **state)
{
    (void)state;
    const char *set = "UK-CONSENT-VIBRATION";
    struct sg_day_tally t = tally_of(set, "days", "ooooo..ooooo"); /* the tenth is day 11 */
    assert_int_equal(t.nrule, 1);
    assert_int_equal(t.rule[0].most, 10);
    assert_true(t.rule[0].reached);
    assert_int_equal(t.rule[0].reached_on, 1000 + 11);
    assert_int_equal(t.state, SG_OVER);
    assert_int_equal(t.over, 10);
    assert_int_equal(t.longest_over, 5);
    t = tally_of(set, "days", "ooooo..oooow"); /* nine */
    assert_int_equal(t.rule[0].most, 9);
    assert_int_equal(t.state, SG_WITHIN);
    t = tally_of(set, "days", "o.ooooooooo....o"); /* eleven, of which ten within fifteen */
    assert_int_equal(t.over, 11);
    assert_int_equal(t.rule[0].most, 10);          /* day 0 and days 2 to 10 */
    t = tally_of(set, "days", "o......ooooooooo"); /* ten, sixteen days apart */
    assert_int_equal(t.over, 10);
    assert_int_equal(t.rule[0].most, 9);
    assert_int_equal(t.state, SG_WITHIN);
    t = tally_of(set, "days", ".o.....ooooooooo"); /* fifteen days: counted */
    assert_int_equal(t.state, SG_OVER);
    assert_int_equal(t.rule[0].reached_on, 1000 + 15);
}

/* Days that are not certain may make up the number: never a silent pass. */
static void test_open_days(void **state)
{
    (void)state;
    const char *set = "UK-CONSENT-VIBRATION";
    assert_int_equal(tally_of(set, "days", "oooooooooll").state, SG_LIKELY_WITHIN);
    assert_int_equal(tally_of(set, "days", "ooooooooo?l").state, SG_NOT_DETERMINABLE);
    assert_int_equal(tally_of(set, "days", "oooooooo?").state, SG_WITHIN);
    assert_int_equal(tally_of(set, "days", "").state, SG_WITHIN);
    assert_int_equal(tally_of(set, "days", "oo?l").open, 2);
    /* one day over is not yet a breach: the rule decides, not the value */
    assert_true(sg_days_decide(set_of(set), row_of(set_of(set), "days")));
    assert_false(sg_days_decide(set_of(set), row_of(set_of(set), "most")));
    assert_int_equal(tally_of(set, "most", "oooooooooooo").nrule, 0);
}

/* BS 5228-1, Annex E (recalled): 10 days of any 15, or 40 of any 6 months. */
static void test_forty_of_six_months(void **state)
{
    (void)state;
    char text[200];
    for (size_t i = 0; i < 183; i++) {
        text[i] = i % 5 == 0 ? 'o' : 'w'; /* 37 days of 183, three of any fifteen */
    }
    text[183] = '\0';
    struct sg_day_tally t = tally_of("BS5228-1-INSULATION", "weekday", text);
    assert_int_equal(t.nrule, 2);
    assert_int_equal(t.over, 37);
    assert_int_equal(t.rule[0].most, 3);
    assert_int_equal(t.rule[1].most, 37);
    assert_int_equal(t.state, SG_WITHIN);
    text[101] = text[102] = text[103] = 'o';
    t = tally_of("BS5228-1-INSULATION", "weekday", text);
    assert_false(t.rule[0].reached);
    assert_true(t.rule[1].reached);
    assert_int_equal(t.rule[1].reached_on, 1000 + 180);
    assert_int_equal(t.state, SG_OVER);
}

/* Japan (seen): at most 6 days of work running; the seventh is one too many. */
static void test_seventh_day_running(void **state)
{
    (void)state;
    double most = set_of("JP-VIB-75")->consecutive_days;
    assert_close(most, 6, 0, 0);
    assert_int_equal(tally_of("JP-VIB-75", "boundary", "wwowww.wwwwww").longest_known, 6);
    assert_int_equal(tally_of("JP-VIB-75", "boundary", "wwwwowww.ww").longest_known, 8);
    assert_true((double)tally_of("JP-VIB-75", NULL, "wwwwwww").longest_known > most);
}

/* Prior consent (seen): act at more than 3 dB(A) over the prediction; equality is not settled
 * there. */
static void test_three_db_over_predicted(void **state)
{
    (void)state;
    const struct sg_limit_set *set = set_of("UK-S61-DIFFERENCE");
    struct sg_limit_row row = *row_of(set, "facade");
    struct sg_value predicted = fitting(&row, SG_IMPACT, 70), measured;
    struct sg_judged judged = nobody();
    judged.predicted = &predicted;
    measured = fitting(&row, SG_IMPACT, 73.0);
    measured.origin = SG_MEASURED;
    assert_int_equal(judge(set, &row, &judged, &measured).state, SG_WITHIN);
    row.passed_at = true; /* the setting */
    assert_int_equal(judge(set, &row, &judged, &measured).state, SG_OVER);
    row.passed_at = false;
    measured.central = measured.upper = 73.1;
    assert_int_equal(judge(set, &row, &judged, &measured).state, SG_OVER);
    assert_close(judge(set, &row, &judged, &measured).limit, 73, 1e-12, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ten_of_fifteen),      cmocka_unit_test(test_rows_of_a_set_together),
        cmocka_unit_test(test_open_days),           cmocka_unit_test(test_forty_of_six_months),
        cmocka_unit_test(test_seventh_day_running), cmocka_unit_test(test_three_db_over_predicted),
    };
    return cmocka_run_group_tests_name("days over limits", tests, NULL, NULL);
}
