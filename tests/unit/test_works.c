/* test_works.c - values by pile against every receptor, inverse questions put forward again,
 * what if, sensitivity, monitors. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "stillground/change.h"
#include "stillground/choice.h"
#include "stillground/inverse.h"
#include "stillground/monitors.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char example[] = "receptors/canal-wall/site.yaml";

static void read_example(const char *const *set, size_t nset, struct sg_site *site)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    *site = SG_SITE_INIT;
    sg_status status = sg_site_read_with(example, set, nset, site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_int_equal(status, SG_OK);
    sg_errors_release(&errors);
}

/* The nearest of a kind stands for the kind: the same as looking at every receptor. */
static void test_kinds_against_all(void **state)
{
    (void)state;
    struct sg_site site;
    struct sg_wall_values w;
    struct sg_errors errors = SG_ERRORS_INIT;
    read_example(NULL, 0, &site);
    assert_int_equal(sg_wall_values_make(&site, SG_BY_UPPER, &w, NULL, NULL, &errors), SG_OK);
    assert_true(w.groups < site.nreceptor);
    for (size_t i = 0; i < site.npile; i += 29) {
        for (size_t m = 0; m < site.nmethod; m++) {
            double highest = 0;
            for (size_t r = 0; r < site.nreceptor; r++) {
                struct sg_arena arena = SG_ARENA_INIT;
                struct sg_outcome o;
                assert_true(sg_ok(sg_outcome_at_pile(&site, m, r, i, &arena, &o, NULL)));
                for (size_t k = 0; k < o.nverdict; k++)
                    highest = fmax(highest, o.verdict[k].ratio_upper);
                sg_arena_release(&arena);
            }
            assert_close(w.value[i * w.nmethod + m].ratio, highest, 1e-12, 0);
        }
    }
    sg_wall_values_release(&w);
    sg_errors_release(&errors);
    sg_site_release(&site);
}

/* Many receptors of one kind, some at the same place: the tree finds the nearest. */
static void test_nearest_of_many(void **state)
{
    (void)state;
    static struct sg_receptor many[300];
    struct sg_site site;
    struct sg_wall_values w;
    unsigned seed = 5;
    read_example(NULL, 0, &site);
    for (size_t i = 0; i < SG_COUNT(many); i++) {
        many[i] = site.receptor[0];
        many[i].footprint = NULL;
        many[i].nfootprint = 0;
        seed = seed * 1103515245u + 12345u;
        double along = (double)((seed >> 8) % 40) * 5, away = (double)((seed >> 20) % 30) * 3 + 3;
        many[i].at = (struct sg_point){ 435000 + along, 6040000 - away - 15 };
    }
    site.receptor = many;
    site.nreceptor = SG_COUNT(many);
    assert_int_equal(sg_wall_values_make(&site, SG_BY_UPPER, &w, NULL, NULL, NULL), SG_OK);
    assert_int_equal(w.groups, 1);
    for (size_t i = 0; i < site.npile; i += 7) {
        double least = INFINITY;
        for (size_t r = 0; r < site.nreceptor; r++)
            least = fmin(least, sg_site_distance_m(&many[r], site.pile[i].at));
        assert_close(w.value[i * w.nmethod].distance_m, least, 1e-12, 0);
    }
    sg_wall_values_release(&w);
    sg_site_release(&site);
}

/* ---- inverse ---- */

/* v = 30 r^-1.3 and 5 mm/s: 3.968 m. 82 dB running, 75 dB over 10 h: 1.995 h. Both derived. */
static void test_worked_examples(void **state)
{
    (void)state;
    double r = sg_inverse_power_m(30, 1.3, 5);
    assert_close(r, 3.968, 0, 0.0005);
    assert_close(30 * pow(r, -1.3), 5, 1e-9, 0);
    assert_close(sg_inverse_on_time_h(82, 75, 10), 1.995, 0, 0.0005);
    assert_unset(sg_inverse_power_m(30, 1.3, 0));
}

static double forward_distance(const struct sg_site *site, size_t m, size_t r, size_t pile,
                               double distance_m, const struct sg_limit_row *row, bool central)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_site view = *site;
    struct sg_receptor moved = site->receptor[r];
    struct sg_pile at = site->pile[pile];
    struct sg_outcome o;
    double value = SG_UNSET;
    at.at = (struct sg_point){ 0, 0 };
    moved.footprint = NULL;
    moved.nfootprint = 0;
    moved.at = (struct sg_point){ 0, distance_m };
    view.receptor = &moved;
    view.nreceptor = 1;
    view.pile = &at;
    view.npile = 1;
    assert_true(sg_ok(sg_outcome_explain(&view, m, 0, &o, &arena, NULL, NULL)));
    for (size_t i = 0; i < o.nverdict; i++) {
        if (row ? o.verdict[i].row == row : sg_same(o.verdict[i].set->id, "OWNER"))
            value = central ? o.verdict[i].ratio_central : o.verdict[i].ratio_upper;
    }
    sg_arena_release(&arena);
    return value;
}

static void test_round_trip(void **state)
{
    (void)state;
    struct sg_site site;
    size_t distances = 0, energies = 0, times = 0;
    read_example(NULL, 0, &site);
    for (size_t m = 0; m < site.nmethod; m++) {
        for (size_t r = 0; r < site.nreceptor; r += 3) {
            struct sg_arena arena = SG_ARENA_INIT;
            struct sg_inverse *list;
            struct sg_outcome o;
            size_t count;
            enum sg_confidence by = r % 2 ? SG_BY_CENTRAL : SG_BY_UPPER;
            assert_int_equal(sg_inverse_all(&site, m, r, by, &arena, &list, &count, NULL), SG_OK);
            assert_true(sg_ok(sg_outcome_explain(&site, m, r, &o, &arena, NULL, NULL)));
            for (size_t i = 0; i < count; i++) {
                if (list[i].distance_m.answer == SG_ANSWERED) {
                    assert_close(forward_distance(&site, m, r, o.pile, list[i].distance_m.value,
                                                  list[i].row, by == SG_BY_CENTRAL),
                                 1, 1e-9, 0);
                    distances++;
                } else {
                    assert_unset(list[i].distance_m.value);
                }
                energies += list[i].energy_kJ.answer == SG_ANSWERED;
                if (list[i].minutes.answer == SG_ANSWERED) {
                    double run = 60 * site.hours.work_h * site.method[m].on_time_percent / 100;
                    double level = list[i].now + 10 * log10(list[i].minutes.value / run);
                    assert_close(level, list[i].limit, 1e-9, 0);
                    times++;
                }
            }
            sg_arena_release(&arena);
        }
    }
    assert_true(distances > 20 && energies > 5 && times > 5);
    sg_site_release(&site);
}

/* The highest energy, set in the site, brings the value to the limit. */
static void test_energy_round_trip(void **state)
{
    (void)state;
    struct sg_site site, after;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_inverse *list;
    size_t count, seen = 0;
    read_example(NULL, 0, &site);
    assert_int_equal(sg_inverse_all(&site, 0, 5, SG_BY_UPPER, &arena, &list, &count, NULL), SG_OK);
    for (size_t i = 0; i < count; i++) {
        char set[80];
        const char *sets[] = { set };
        struct sg_outcome o;
        if (list[i].energy_kJ.answer != SG_ANSWERED || list[i].energy_kJ.value > 5000 ||
            list[i].energy_kJ.value < 0.001)
            continue;
        snprintf(set, sizeof(set), "methods.Impact hammer.energy_kJ=%.17g",
                 list[i].energy_kJ.value);
        read_example(sets, 1, &after);
        assert_true(sg_ok(sg_outcome_explain(&after, 0, 5, &o, &arena, NULL, NULL)));
        for (size_t k = 0; k < o.nverdict; k++) {
            if (o.verdict[k].row == list[i].row && list[i].row)
                assert_close(o.verdict[k].ratio_upper, 1, 1e-9, 0);
        }
        seen++;
        sg_site_release(&after);
    }
    assert_true(seen > 0);
    sg_arena_release(&arena);
    sg_site_release(&site);
}

/* ---- what if ---- */

static void compare(const char *change, struct sg_changes *out)
{
    struct sg_site before, after;
    struct sg_study a, b;
    struct sg_errors errors = SG_ERRORS_INIT;
    read_example(NULL, 0, &before);
    read_example(&change, 1, &after);
    assert_true(sg_ok(sg_study_make(&before, &a, NULL, NULL, &errors)));
    assert_true(sg_ok(sg_study_make(&after, &b, NULL, NULL, &errors)));
    assert_int_equal(sg_changes_make(&a, &b, out), SG_OK);
    for (size_t i = 0; i < out->count; i++) { /* names live with the sites */
        out->change[i].method = sg_arena_printf(&out->arena, "%s", out->change[i].method);
        out->change[i].receptor = "";
    }
    sg_study_release(&a);
    sg_study_release(&b);
    sg_site_release(&before);
    sg_site_release(&after);
    sg_errors_release(&errors);
}

static void test_what_if(void **state)
{
    (void)state;
    struct sg_changes c;
    compare("methods.Impact hammer.energy_kJ=35", &c);
    assert_true(c.level_rises);
    for (size_t i = 0; i < c.count; i++)
        assert_string_equal(c.change[i].method, "Impact hammer");
    sg_changes_release(&c);
    compare("methods.1.energy_kJ=20", &c); /* by number */
    assert_false(c.level_rises);
    assert_true(c.count > 0);
    sg_changes_release(&c);
    compare("methods.Impact hammer.minutes_per_pile=30", &c); /* slower, no level changes */
    assert_false(c.level_rises);
    assert_int_equal(c.count, 1);
    assert_int_equal(c.change[0].what, SG_CHANGE_DAYS);
    sg_changes_release(&c);
    compare("note=other words", &c);
    assert_int_equal(c.count, 0);
    sg_changes_release(&c);
}

static void test_bad_sets(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "methods.Nobody.energy_kJ=3",
        "energy",
        "=3",
        "hours=8",
        "methods.9.energy_kJ=1",
        "hours.wrk_h=8",
        "hours.work_h=many",
        "methods.Impact hammer=3",
    };
    for (size_t i = 0; i < SG_COUNT(bad); i++) {
        struct sg_site site = SG_SITE_INIT;
        struct sg_errors errors = SG_ERRORS_INIT;
        sg_status status = sg_site_read_with(example, &bad[i], 1, &site, &errors);
        assert_false(sg_ok(status));
        assert_true(errors.count > 0);
        assert_non_null(strstr(errors.text[errors.count - 1], "command line"));
        sg_errors_release(&errors);
    }
}

/* The impact relation grows with the root of the energy: the ratio with its half power. Sorted. */
static void test_sensitivity(void **state)
{
    (void)state;
    struct sg_site site;
    struct sg_study study;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_sensitivity *list;
    struct sg_errors errors = SG_ERRORS_INIT;
    size_t count, energies = 0;
    read_example(NULL, 0, &site);
    struct sg_use_limits only[] = { { SG_USE_RESIDENTIAL, (const char *const[]){ "BS7385-2" },
                                      1 } };
    site.limits = only;
    site.nlimits = 1;
    assert_true(sg_ok(sg_study_make(&site, &study, NULL, NULL, &errors)));
    assert_int_equal(sg_sensitivity_make(&study, 0.1, &arena, &list, &count), SG_OK);
    for (size_t i = 0; i < count; i++) {
        if (i > 0 && list[i].method == list[i - 1].method)
            assert_true(fabs(list[i].exponent) <= fabs(list[i - 1].exponent));
        if (list[i].method == 0 && sg_same(list[i].input, "energy")) {
            assert_close(list[i].exponent, 0.5, 1e-6, 0);
            energies++;
        }
    }
    assert_int_equal(energies, 1);
    sg_study_release(&study);
    sg_site_release(&site);
    sg_arena_release(&arena);
    sg_errors_release(&errors);
}

/* ---- monitors ---- */

static void test_fewest_cover(void **state)
{
    (void)state;
    uint64_t seed = 99;
    for (int n = 0; n < 300; n++) {
        uint64_t covers[10];
        struct sg_arena arena = SG_ARENA_INIT;
        size_t size = 1 + (size_t)n % 10, chosen[10], count, least, best = 99;
        for (size_t i = 0; i < size; i++) {
            seed = seed * 6364136223846793005u + 1442695040888963407u;
            covers[i] = ((seed >> 33) & (seed >> 43) & (((uint64_t)1 << size) - 1)) | (uint64_t)1
                                                                                          << i;
        }
        for (unsigned pick = 1; pick < 1u << size; pick++) {
            uint64_t all = 0;
            size_t used = 0;
            for (size_t i = 0; i < size; i++) {
                if (pick >> i & 1u) {
                    all |= covers[i];
                    used++;
                }
            }
            if (all == ((uint64_t)1 << size) - 1 && used < best)
                best = used;
        }
        assert_int_equal(sg_fewest_cover(covers, size, 100000, &arena, chosen, &count, &least),
                         SG_OK);
        assert_int_equal(count, best);
        assert_int_equal(least, best);
        sg_arena_release(&arena);
    }
}

static void test_monitor_plan(void **state)
{
    (void)state;
    struct sg_site site;
    struct sg_study study;
    struct sg_monitors m;
    struct sg_errors errors = SG_ERRORS_INIT;
    read_example(NULL, 0, &site);
    assert_true(sg_ok(sg_study_make(&site, &study, NULL, NULL, &errors)));
    assert_int_equal(sg_monitors_make(&study, &m), SG_OK);
    assert_true(m.nwatch > 3);
    assert_true(m.count < m.nwatch && m.least == m.count);
    for (size_t i = 0; i < m.nwatch; i++) {
        const struct sg_watch *w = &m.watch[i];
        assert_true(w->monitor < m.count);
        assert_int_equal(m.watch[m.at[w->monitor]].noise, w->noise);
        assert_true(w->amber < w->red && w->red < w->range);
        bool level = sg_quantity_is_level(w->verdict->row->quantity);
        if (!level)
            assert_close(w->amber, 0.8 * w->verdict->limit, 1e-12, 0);
        else
            assert_close(w->amber, w->verdict->limit + 20 * log10(0.8), 1e-12, 0);
    }
    sg_monitors_release(&m);
    sg_study_release(&study);
    sg_site_release(&site);
    sg_errors_release(&errors);
}

/* ---- ground ---- */

/* Obstructions decide before blow counts do (common practice, no source). */
static void test_obstructions(void **state)
{
    (void)state;
    const struct sg_layer layer[] = { { 0, 3, sg_soil_find("fill", "obstructed"), SG_UNSET },
                                      { 3, 20, sg_soil_find("sand", "loose"), 8 } };
    const struct sg_borehole hole = { "B", SG_UNSET, 1, layer, 2 };
    static const enum sg_suitable expected[SG_TECHNIQUE_END] = {
        [SG_IMPACT] = SG_MARGINAL,
        [SG_VIBRATORY] = SG_UNSUITABLE,
        [SG_PRESS_IN] = SG_UNSUITABLE,
        [SG_PRESS_IN_JETTING] = SG_UNSUITABLE,
        [SG_PRESS_IN_AUGERING] = SG_MARGINAL,
    };
    for (int t = 0; t < (int)SG_TECHNIQUE_END; t++) {
        struct sg_suitability s = sg_suitability_of((enum sg_technique)t, &hole, 10);
        assert_int_equal(s.verdict, expected[t]);
        assert_ptr_equal(s.layer, &layer[0]);
    }
    assert_int_equal(sg_hardest_ground(&hole, 10), SG_GROUND_HARD);
    assert_true(sg_ground_may_settle(&hole, 10));
    assert_int_equal(sg_reaction_piles(SG_PRESS_IN), 5);
    assert_int_equal(sg_reaction_piles(SG_IMPACT), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_kinds_against_all), cmocka_unit_test(test_nearest_of_many),
        cmocka_unit_test(test_worked_examples),   cmocka_unit_test(test_round_trip),
        cmocka_unit_test(test_energy_round_trip), cmocka_unit_test(test_what_if),
        cmocka_unit_test(test_bad_sets),          cmocka_unit_test(test_sensitivity),
        cmocka_unit_test(test_fewest_cover),      cmocka_unit_test(test_monitor_plan),
        cmocka_unit_test(test_obstructions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
