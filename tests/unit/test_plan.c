/* test_plan.c - a small site worked out by the program and by hand.
 *
 * The hand values follow from the relations of the catalogue (tests/unit/test_vibration.c holds
 * those
 * against published figures); the site is made up. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "close.h"
#include "stillground/plan.h"

enum { HOUSE, HOUSE_WITH_FACTORS, TOO_NEAR, OWNED };
enum { HAMMER, VIBRO, VIBRO_STILL, PRESS };

static struct sg_site site;
static struct sg_study study;

static int set_up(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    site = SG_SITE_INIT;
    study = SG_STUDY_INIT;
    sg_status status = sg_site_read("tests/data/plan_site.yaml", &site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    if (sg_ok(status))
        status = sg_study_make(&site, &study, NULL, NULL, &errors);
    sg_errors_release(&errors);
    return sg_ok(status) ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    sg_study_release(&study);
    sg_site_release(&site);
    return 0;
}

static const struct sg_verdict *verdict_of(const struct sg_outcome *outcome, const char *set,
                                           const char *row)
{
    for (size_t i = 0; i < outcome->nverdict; i++) {
        const struct sg_verdict *v = &outcome->verdict[i];
        if (sg_same(v->set->id, set) && (!row || (v->row && sg_same(v->row->id, row))))
            return v;
    }
    return NULL;
}

/* The worst of the soft top metre (k_p 1) and the dense sand met at 4 m (k_p 3): at 10 m away the
 * deeper stage governs. 3 sqrt(20000) / sqrt(16 + 100)^1.3. */
static void test_governing_stage(void **state)
{
    (void)state;
    const struct sg_outcome *outcome = sg_study_outcome(&study, HAMMER, HOUSE);
    double expected = 3 * sqrt(20000) / pow(sqrt(16.0 + 100.0), 1.3);
    assert_close(outcome->ppv.upper, expected, 1e-12, 0);
    assert_close(outcome->toe_depth_m, 4, 0, 0);
    assert_int_equal(outcome->drive.ground, SG_GROUND_HARD);
    assert_string_equal(site.pile[outcome->pile].name, "P006"); /* at x = 3.3, straight opposite */
    assert_close(outcome->distance_m, 10, 1e-12, 0);
}

/* Caltrans as the second opinion: the stiffest ground met is class III, n 1.1. */
static void test_second_opinion(void **state)
{
    (void)state;
    const struct sg_outcome *outcome = sg_study_outcome(&study, HAMMER, HOUSE);
    double reference_J = 36000 * SG_J_PER_FOOT_POUND;
    double expected = 0.65 * 25.4 * pow(7.62 / 10, 1.1) * sqrt(20000 / reference_J);
    assert_string_equal(outcome->ppv_second.model, "caltrans-impact");
    assert_close(outcome->ppv_second.central, expected, 1e-12, 0);
}

/* A fixed moment sweeps at start and stop: delta 1.2; a variable one does not: delta 1.4. */
static void test_phases(void **state)
{
    (void)state;
    const struct sg_outcome *sweeping = sg_study_outcome(&study, VIBRO, HOUSE);
    const struct sg_outcome *still = sg_study_outcome(&study, VIBRO_STILL, HOUSE);
    assert_int_equal(sweeping->ppv.phase, SG_PHASE_START_STOP);
    assert_close(sweeping->ppv.central, 60 * pow(10, -1.2), 1e-12, 0);
    assert_close(sweeping->ppv.upper, 266 * pow(10, -1.2), 1e-12, 0);
    assert_int_equal(still->ppv.phase, SG_PHASE_STEADY);
    assert_close(still->ppv.upper, 266 * pow(10, -1.4), 1e-12, 0);
}

static void test_too_near_is_not_determinable(void **state)
{
    (void)state;
    for (size_t m = 0; m < study.nmethod; m++) {
        const struct sg_outcome *outcome = sg_study_outcome(&study, m, TOO_NEAR);
        assert_false(sg_is_set(outcome->ppv.central));
        assert_non_null(strstr(outcome->ppv.why, "1 m"));
        assert_int_equal(outcome->verdict[outcome->governing].state, SG_NOT_DETERMINABLE);
    }
}

/* Floors: without a factor not determinable, with factors 0.5 and 2 the free-field value. */
static void test_into_the_building(void **state)
{
    (void)state;
    const struct sg_outcome *plain = sg_study_outcome(&study, PRESS, HOUSE);
    const struct sg_outcome *factors = sg_study_outcome(&study, PRESS, HOUSE_WITH_FACTORS);
    const struct sg_verdict *without = verdict_of(plain, "BS5228-2-B1", NULL);
    const struct sg_verdict *with = verdict_of(factors, "BS5228-2-B1", NULL);
    assert_int_equal(without->state, SG_NOT_DETERMINABLE);
    assert_non_null(strstr(without->reason, "transfer"));
    assert_int_equal(with->state, SG_WITHIN);
    assert_close(with->value_upper, 0.7 * 0.5 * 2, 1e-12, 0);
    assert_close(with->ratio_upper, 0.7, 1e-12, 0);
}

/* DIN 4150-3: the short-term table for impact, the long-term table for the others, never both. */
static void test_tables_by_character(void **state)
{
    (void)state;
    const struct sg_outcome *impact = sg_study_outcome(&study, HAMMER, HOUSE_WITH_FACTORS);
    const struct sg_outcome *vibro = sg_study_outcome(&study, VIBRO, HOUSE_WITH_FACTORS);
    assert_non_null(verdict_of(impact, "DIN4150-3-short", "line-2-foundation"));
    assert_null(verdict_of(impact, "DIN4150-3-long", NULL));
    assert_null(verdict_of(vibro, "DIN4150-3-short", NULL));
    assert_non_null(verdict_of(vibro, "DIN4150-3-long", "line-2-topmost"));
}

/* Pressing at 20 m is 7/20 = 0.35 mm/s: equal to the value of the owner, so within. */
static void test_owner_limit_at_and_over(void **state)
{
    (void)state;
    const struct sg_outcome *outcome = sg_study_outcome(&study, PRESS, OWNED);
    const struct sg_verdict *own = verdict_of(outcome, "OWNER", "owner");
    assert_int_equal(own->state, SG_WITHIN);
    assert_close(own->ratio_upper, 1.0, 1e-12, 0);
    own = verdict_of(sg_study_outcome(&study, HAMMER, OWNED), "OWNER", "owner");
    assert_int_equal(own->state, SG_OVER);
}

/* LAeq: 90 dB at 10 m, on-time 50 % of 9 of 10 hours, facade: 90 + 10 lg 0.45 + 3. */
static void test_period_level(void **state)
{
    (void)state;
    const struct sg_outcome *outcome = sg_study_outcome(&study, HAMMER, HOUSE);
    assert_close(outcome->laeq.central, 90 + 10 * log10(0.45) + 3, 1e-12, 0);
    assert_false(sg_is_set(outcome->lafmax.central));
    const struct sg_verdict *abc = verdict_of(outcome, "BS5228-1-ABC", NULL);
    assert_string_equal(abc->row->category, "A"); /* ambient 60 is below 65 */
    assert_int_equal(abc->state, SG_OVER);
    const struct sg_outcome *silent = sg_study_outcome(&study, PRESS, HOUSE);
    assert_false(sg_is_set(silent->laeq.central));
    abc = verdict_of(silent, "BS5228-1-ABC", NULL);
    assert_int_equal(abc->state, SG_NOT_DETERMINABLE);
}

/* Ten piles of 60 minutes are 600 of the 540 minutes of a shift: two days; of 27 minutes one. */
static void test_days(void **state)
{
    (void)state;
    assert_int_equal(site.npile, 10);
    assert_close(study.summary[HAMMER].days, 2, 0, 0);
    assert_close(study.summary[VIBRO].days, 1, 0, 0);
    assert_close(study.summary[PRESS].days, 1, 0, 0);
}

/* A stand-off distance put back into the relation gives the limit. */
static void test_standoffs_invert(void **state)
{
    (void)state;
    size_t tried = 0;
    for (size_t i = 0; i < study.nstandoff; i++) {
        const struct sg_standoff *s = &study.standoff[i];
        if (s->method != PRESS || s->why || s->below_1m || s->row->quantity != SG_Q_PPV)
            continue;
        assert_close(7.0 / s->upper_m, s->limit, 1e-9, 0);
        tried++;
    }
    assert_true(tried > 0);
}

static void test_settlement_caution(void **state)
{
    (void)state;
    assert_true(study.summary[HAMMER].settlement_caution); /* loose sand below water at 1 m */
    assert_true(study.summary[VIBRO].settlement_caution);
    assert_false(study.summary[PRESS].settlement_caution);
}

/* Bands of common practice: press-in alone to N 15, at best 25, then no longer. */
static void test_suitability_edges(void **state)
{
    (void)state;
    static const struct {
        double n;
        enum sg_suitable verdict;
    } rows[] = {
        { 15, SG_SUITABLE }, { 15.1, SG_MARGINAL }, { 25, SG_MARGINAL }, { 25.1, SG_UNSUITABLE }
    };
    for (size_t i = 0; i < SG_COUNT(rows); i++) {
        struct sg_layer layer = { 0, SG_INFINITY, sg_soil_find("sand", "medium-dense"), rows[i].n };
        struct sg_borehole borehole = { "B", SG_UNSET, SG_UNSET, &layer, 1 };
        struct sg_suitability s = sg_suitability_of(SG_PRESS_IN, &borehole, 8);
        assert_int_equal(s.verdict, rows[i].verdict);
        assert_ptr_equal(s.layer, &layer);
    }
    assert_int_equal(sg_suitability_of(SG_PRESS_IN, NULL, 8).verdict, SG_SUITABILITY_UNKNOWN);
}

/* The hand calculation ends with the same number as the study. */
static void test_explained_value_is_the_same(void **state)
{
    (void)state;
    for (size_t m = 0; m < site.nmethod; m++) {
        for (size_t r = 0; r < site.nreceptor; r++) {
            struct sg_arena arena = SG_ARENA_INIT;
            struct sg_working working = { .arena = &arena };
            struct sg_outcome outcome;
            assert_true(sg_ok(sg_outcome_explain(&site, m, r, &outcome, &arena, &working, NULL)));
            const struct sg_outcome *known = sg_study_outcome(&study, m, r);
            assert_memory_equal(&outcome.ppv.upper, &known->ppv.upper, sizeof(double));
            assert_int_equal(outcome.nverdict, known->nverdict);
            assert_true(working.count > 0);
            sg_arena_release(&arena);
        }
    }
}

static void test_worst_of_all(void **state)
{
    (void)state;
    assert_int_equal(sg_study_worst(&study), SG_OVER);
    assert_int_equal(study.summary[HAMMER].governing->state, SG_OVER);
    assert_int_equal(study.summary[HAMMER].receptors[SG_NOT_DETERMINABLE], 1); /* too near */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_governing_stage),
        cmocka_unit_test(test_second_opinion),
        cmocka_unit_test(test_phases),
        cmocka_unit_test(test_too_near_is_not_determinable),
        cmocka_unit_test(test_into_the_building),
        cmocka_unit_test(test_tables_by_character),
        cmocka_unit_test(test_owner_limit_at_and_over),
        cmocka_unit_test(test_period_level),
        cmocka_unit_test(test_days),
        cmocka_unit_test(test_standoffs_invert),
        cmocka_unit_test(test_settlement_caution),
        cmocka_unit_test(test_suitability_edges),
        cmocka_unit_test(test_explained_value_is_the_same),
        cmocka_unit_test(test_worst_of_all),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
