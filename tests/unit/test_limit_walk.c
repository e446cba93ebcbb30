/* test_limit_walk.c - every row of every limit set, found by walking the registry: its value at,
 * below, between and above the nodes of its curve by formulas of this file's own, and the verdict
 * at, just below and just above it in the form of its rule.
 *
 * Between nodes (derived): straight line; straight line of the logarithms; held; one displacement
 * (value grows with f); one acceleration (value falls with f). Rows written for other sources than
 * piling are walked as if they held for it, and must not be determinable as they stand.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "../support/judging.h"
#include "stillground/day_tally.h"

typedef void each_row(const struct sg_limit_set *set, const struct sg_limit_row *row);

/* Returns how many rows there were. */
static size_t walk(each_row *look)
{
    size_t rows = 0;
    for (size_t s = 0; s < sg_limit_set_count(); s++) {
        const struct sg_limit_set *set = sg_limit_set_at(s);
        for (size_t r = 0; r < set->nrow; r++, rows++) {
            print_message("%s %s\n", set->id, set->row[r].id);
            look(set, &set->row[r]);
        }
    }
    return rows;
}

/* ---- curves ---------------------------------------------------------------------------------- */

static double between(const struct sg_limit_row *row, size_t n, double f)
{
    const struct sg_node *a = &row->node[n], *b = &row->node[n + 1];
    switch (row->interpolation) {
    case SG_STEP:
        return a->value;
    case SG_LINEAR:
        return a->value +
               (b->value - a->value) * (f - a->frequency_hz) / (b->frequency_hz - a->frequency_hz);
    case SG_LOG_LOG:
        return a->value * exp(log(b->value / a->value) * log(f / a->frequency_hz) /
                              log(b->frequency_hz / a->frequency_hz));
    case SG_CONST_DISPLACEMENT:
        return a->value * f / a->frequency_hz;
    case SG_CONST_ACCELERATION:
        return a->value * a->frequency_hz / f;
    case SG_INTERPOLATION_END:
    default:
        fail();
        return 0;
    }
}

static void value_is(const struct sg_limit_row *row, double f, double expected)
{
    double limit = SG_UNSET;
    assert_int_equal(sg_limit_at(row, f, &limit), SG_OK);
    assert_close(limit, expected, 1e-12, 0);
}

static void below_first(const struct sg_limit_row *row)
{
    double f = 0.9 * row->node[0].frequency_hz, limit;
    if (row->below == SG_BELOW_NONE) {
        assert_int_equal(sg_limit_at(row, f, &limit), SG_ERR_DOMAIN);
    } else if (row->below == SG_BELOW_DISPLACEMENT) {
        value_is(row, f, 2 * SG_PI * f * row->below_displacement_mm);
    } else {
        value_is(row, f, row->node[0].value);
    }
}

static void above_last(const struct sg_limit_row *row)
{
    const struct sg_node *last = &row->node[row->nnode - 1];
    double limit;
    if (row->above_hz > 0) {
        value_is(row, row->above_hz, last->value);
        assert_int_equal(sg_limit_at(row, 1.01 * row->above_hz, &limit), SG_ERR_DOMAIN);
    } else {
        value_is(row, 1.37 * last->frequency_hz, last->value);
    }
}

static void curve_of(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    (void)set;
    bool everywhere = row->nnode == 1 && !(row->node[0].frequency_hz > 0);
    assert_true(row->nnode >= 1);
    if (everywhere) {
        value_is(row, 0.3, row->node[0].value);
        value_is(row, SG_UNSET, row->node[0].value);
        value_is(row, 300, row->node[0].value);
        return;
    }
    for (size_t n = 0; n < row->nnode; n++) {
        double f = row->node[n].frequency_hz;
        value_is(row, f, row->node[n].value);
        if (n + 1 < row->nnode) {
            double middle = sqrt(f * row->node[n + 1].frequency_hz);
            value_is(row, middle, between(row, n, middle));
            double just = nextafter(row->node[n + 1].frequency_hz, 0);
            value_is(row, just, between(row, n, just));
        }
    }
    below_first(row);
    above_last(row);
}

static void test_every_curve(void **state)
{
    (void)state;
    assert_int_equal(walk(curve_of), 416);
}

/* ---- verdicts -------------------------------------------------------------------------------- */

static unsigned one_bit(unsigned bits, unsigned all)
{
    return (bits & all) == all ? 1u : bits & (~bits + 1u);
}

/* A row as it stands, or opened to every technique, with somebody whom it covers. */
struct walked {
    struct sg_limit_set set;
    struct sg_limit_row row;
    struct sg_judged judged;
    struct sg_value value;
    double frequency_hz;
};

static bool holds(const struct sg_limit_set *set, const struct sg_limit_row *row, int t)
{
    return (set->excluded & SG_TECHNIQUE_BIT(t)) == 0 &&
           (row->techniques & SG_TECHNIQUE_BIT(t)) != 0 &&
           (row->characters & (1u << set->character[t])) != 0;
}

static struct walked walked_of(const struct sg_limit_set *set, const struct sg_limit_row *row,
                               enum sg_technique technique)
{
    struct walked w = { .set = *set, .row = *row, .judged = nobody() };
    w.judged.building_class = one_bit(row->classes, SG_ANY_CLASS);
    w.judged.use = one_bit(row->uses, SG_ANY_USE);
    w.judged.area = one_bit(row->areas, SG_ANY_AREA);
    w.judged.period = row->period;
    w.judged.category = row->category;
    w.judged.days = row->days_above > 0.0 ? row->days_above + 1 : 1;
    assert_true(sg_limit_covers(set, row, &w.judged));
    w.value = fitting(row, technique, 1.0);
    w.frequency_hz = row->node[0].frequency_hz > 0 ? row->node[0].frequency_hz : 10;
    return w;
}

static struct sg_verdict verdict_of(struct walked *w, double central, double upper)
{
    struct sg_verdict verdict;
    w->value.central = central;
    w->value.upper = upper;
    w->value.frequency_low_hz = w->value.frequency_high_hz = w->frequency_hz;
    if (w->row.rule != SG_RULE_BANDS) {
        return judge(&w->set, &w->row, &w->judged, &w->value);
    }
    const struct sg_band_value band = { w->frequency_hz, central };
    sg_judge_bands(&w->set, &w->row, &w->judged, &w->value, &band, 1, &verdict, NULL);
    return verdict;
}

static void around(struct walked *w, double limit)
{
    double above = nextafter(limit, 2 * limit), below = nextafter(limit, 0);
    bool spectrum = w->row.rule == SG_RULE_BANDS; /* one value a band */
    assert_true(limit > 0);
    assert_int_equal(verdict_of(w, below, below).state, SG_WITHIN);
    assert_int_equal(verdict_of(w, limit, limit).state, w->row.passed_at ? SG_OVER : SG_WITHIN);
    assert_int_equal(verdict_of(w, above, above).state, SG_OVER);
    if (!spectrum) {
        assert_int_equal(verdict_of(w, below, above).state, SG_LIKELY_WITHIN);
    }
    assert_close(verdict_of(w, above, above).limit, limit, 0, 0);
    assert_close(verdict_of(w, above, above).ratio_upper, 1, 1e-12, 0);
}

/* At every node and 37 % above it, which lies between nodes or beyond the last. */
static void plain_row(struct walked *w)
{
    for (size_t n = 0; n < w->row.nnode; n++) {
        double node = w->row.node[n].frequency_hz > 0 ? w->row.node[n].frequency_hz : 10;
        for (int between_nodes = 0; between_nodes < 2; between_nodes++) {
            double own;
            w->frequency_hz = between_nodes ? 1.37 * node : node;
            if (w->row.above_hz > 0 && w->frequency_hz > w->row.above_hz) {
                assert_int_equal(verdict_of(w, 1, 1).state, SG_NOT_DETERMINABLE);
                continue;
            }
            struct sg_verdict read = verdict_of(w, 1, 1);
            assert_true(sg_is_set(read.limit));
            assert_int_equal(sg_limit_at(&w->row, w->frequency_hz, &own), SG_OK);
            if (sg_quantity_is_level(w->row.quantity)) {
                own += 20 * log10(read.factor);
            } else {
                own *= read.factor;
            }
            assert_close(read.limit, own, 1e-12, 0);
            around(w, read.limit);
        }
    }
}

/* Three values for so many days: the lower, then the dose, then the upper. */
static void two_step_for(struct walked *w, double days)
{
    struct sg_dose_value dose = { 0, 0, 0 };
    double lower, upper, least;
    w->judged.days = days;
    assert_int_equal(sg_limit_steps(&w->row, days, &lower, &upper, &least), SG_OK);
    assert_true(lower > 0 && least > 0 && upper >= lower);
    w->judged.dose = &dose;
    dose.central = dose.upper = nextafter(least, 2 * least);
    assert_int_equal(verdict_of(w, lower, lower).state, SG_WITHIN);
    double past = nextafter(lower, 2 * lower);
    assert_int_equal(verdict_of(w, past, past).state, SG_OVER);
    dose.central = dose.upper = least;
    assert_int_equal(verdict_of(w, past, past).state, SG_WITHIN);
    assert_int_equal(verdict_of(w, upper, upper).state, SG_WITHIN);
    past = nextafter(upper, 2 * upper);
    assert_int_equal(verdict_of(w, past, past).state, SG_OVER);
    w->judged.dose = NULL;
    if (upper > lower) {
        assert_int_equal(verdict_of(w, upper, upper).state, SG_NOT_DETERMINABLE);
    }
}

static void two_step_row(struct walked *w)
{
    const struct sg_limit_row *row = &w->row;
    if (row->ndays == 0) {
        two_step_for(w, w->judged.days);
    }
    for (size_t i = 0; i < row->ndays; i++) {
        two_step_for(w, row->days[i].to);
        two_step_for(w, ceil(nextafter(row->days[i].from, 1e9)));
        if (i + 1 < row->ndays && row->days_linear && row->days[i + 1].from > row->days[i].to + 1) {
            double middle = 0.5 * (row->days[i].to + row->days[i + 1].from), lower, upper, dose;
            two_step_for(w, middle);
            assert_int_equal(sg_limit_steps(row, middle, &lower, &upper, &dose), SG_OK);
            assert_close(lower, 0.5 * (row->days[i].lower + row->days[i + 1].lower), 1e-12, 0);
            assert_close(dose, 0.5 * (row->days[i].dose + row->days[i + 1].dose), 1e-12, 0);
        }
    }
}

/* The larger of the floor and the level around + the rise; without a level nothing is said. */
static void rise_row(struct walked *w)
{
    assert_int_equal(verdict_of(w, 60, 60).state, SG_NOT_DETERMINABLE);
    for (double level = 20; level < 90; level += 13) {
        double expected = fmax(w->row.node[0].value, level + w->row.rise_db);
        assert_true(w->row.rise_db > 0);
        w->judged.background_db = w->row.by_background ? level : 0;
        w->judged.ambient_db = w->row.by_background ? SG_UNSET : level;
        struct sg_verdict read = verdict_of(w, 60, 60);
        assert_close(read.limit, expected, 1e-12, 0);
        around(w, read.limit);
    }
}

/* The predicted upper value and so much more; of measured values only. */
static void difference_row(struct walked *w)
{
    bool level = sg_quantity_is_level(w->row.quantity);
    struct sg_value predicted = fitting(&w->row, SG_IMPACT, 50);
    predicted.upper = 64;
    assert_int_equal(verdict_of(w, 60, 60).state, SG_NOT_DETERMINABLE);
    w->value.origin = SG_MEASURED;
    assert_int_equal(verdict_of(w, 60, 60).state, SG_NOT_DETERMINABLE);
    w->judged.predicted = &predicted;
    around(w, level ? 64 + w->row.rise_db : 64 * w->row.times_predicted);
    predicted.position = w->row.position == SG_AT_FLOOR ? SG_AT_FACADE : SG_AT_FLOOR;
    assert_int_equal(verdict_of(w, 60, 60).state, SG_NOT_DETERMINABLE);
}

/* Whether `needed` days over, the first of them `earlier` before the others, are as many as the
 * rule asks for. */
static bool counts(const struct sg_limit_set *set, const struct sg_limit_row *row, size_t rule,
                   size_t days, long earlier)
{
    struct sg_day_state day[64];
    struct sg_day_tally tally;
    for (size_t k = 0; k < days; k++) {
        day[k] = (struct sg_day_state){ 1000 + (long)k - (k == 0 ? earlier : 0), SG_OVER };
    }
    sg_day_tally_of(set, row, day, days, &tally);
    assert_true(rule < tally.nrule);
    return tally.rule[rule].reached;
}

/* So many days of so many running: one day fewer does not do, and neither do days too far apart. */
static void count_row(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    struct sg_day_tally none;
    sg_day_tally_of(set, row, NULL, 0, &none);
    assert_int_equal(none.nrule > 0, row->count_days > 0 || set->count_days[0] > 0);
    for (size_t i = 0; i < none.nrule; i++) {
        size_t needed = (size_t)none.rule[i].needed;
        long spare = (long)none.rule[i].of - (long)needed;
        assert_true(needed >= 2 && needed <= 64 && spare >= 0);
        assert_true(counts(set, row, i, needed, 0));
        assert_false(counts(set, row, i, needed - 1, 0));
        assert_true(counts(set, row, i, needed, spare)); /* the longest stretch that counts */
        assert_false(counts(set, row, i, needed, spare + 1));
    }
}

static void judge_walked(struct walked *w)
{
    if (w->row.rule == SG_RULE_TWO_STEP) {
        two_step_row(w);
    } else if (w->row.rule == SG_RULE_RISE) {
        rise_row(w);
    } else if (w->row.rule == SG_RULE_DIFFERENCE) {
        difference_row(w);
    } else {
        plain_row(w);
    }
}

static size_t for_other_sources;

static void verdicts_of(const struct sg_limit_set *set, const struct sg_limit_row *row)
{
    bool any = false;
    for (int t = 0; t < SG_TECHNIQUE_END; t++) {
        struct walked w = walked_of(set, row, (enum sg_technique)t);
        if (holds(set, row, t)) {
            judge_walked(&w);
            any = true;
        } else {
            struct sg_verdict verdict = verdict_of(&w, 1, 1);
            assert_int_equal(verdict.state, SG_NOT_DETERMINABLE);
            assert_true(verdict.reason[0] != '\0');
        }
    }
    if (!any) {
        struct walked w = walked_of(set, row, SG_IMPACT);
        w.set.excluded = 0;
        w.row.techniques = SG_ANY_TECHNIQUE;
        w.row.characters = (1u << SG_CHARACTER_END) - 1u;
        judge_walked(&w);
        for_other_sources++;
    }
    count_row(set, row);
}

static void test_every_verdict(void **state)
{
    (void)state;
    for_other_sources = 0;
    assert_int_equal(walk(verdicts_of), 416);
    /* blasting, compaction and movement rows, and the transient columns of Caltrans (10) */
    assert_int_equal(for_other_sources, 35);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_curve),
        cmocka_unit_test(test_every_verdict),
    };
    return cmocka_run_group_tests_name("limit rows, walked", tests, NULL, NULL);
}
