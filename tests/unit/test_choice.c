/* test_choice.c - the choice of a method for every pile against plain enumeration of all choices:
 * random walls, random limits, seeds printed. Source of the expected values: the enumeration. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "stillground/choice.h"

#include <math.h>
#include <string.h>

#define PILES 12
#define METHODS 4

static uint64_t draw(uint64_t *seed)
{
    *seed ^= *seed << 13;
    *seed ^= *seed >> 7;
    *seed ^= *seed << 17;
    return *seed;
}

static size_t draw_below(uint64_t *seed, size_t n)
{
    return (size_t)(draw(seed) >> 11) % n;
}

static double draw_unit(uint64_t *seed)
{
    return (double)(draw(seed) >> 11) / 9007199254740992.0;
}

/* ---- limits on peaks ---- */

struct wall {
    struct sg_wall_problem p;
    double cost[PILES * METHODS], ratio[PILES * METHODS], set_up[METHODS];
    bool allowed[PILES * METHODS];
};

static void draw_wall(uint64_t *seed, struct wall *w)
{
    memset(w, 0, sizeof(*w));
    w->p.npile = 1 + draw_below(seed, PILES);
    w->p.nmethod = 1 + draw_below(seed, METHODS);
    for (size_t i = 0; i < w->p.npile * w->p.nmethod; i++) {
        w->cost[i] = (double)(1 + draw_below(seed, 40)) / 8;
        w->ratio[i] = 1.7 * draw_unit(seed);
        w->allowed[i] = draw_below(seed, 8) > 0;
    }
    for (size_t m = 0; m < w->p.nmethod; m++)
        w->set_up[m] = (double)draw_below(seed, 5) / 4;
    w->p.cost = w->cost;
    w->p.ratio = w->ratio;
    w->p.allowed = w->allowed;
    w->p.set_up = w->set_up;
    w->p.highest_ratio = 1;
    w->p.change = (double)draw_below(seed, 9) / 2;
    w->p.least_run = 1 + draw_below(seed, 5);
    if (w->p.least_run > w->p.npile)
        w->p.least_run = w->p.npile;
}

struct search {
    const struct sg_wall_problem *p;
    double highest_ratio;
    size_t blocked, broken, excess;
    double cost;
};

static bool improves(const struct search *s, const struct search *by)
{
    if (by->blocked != s->blocked)
        return by->blocked < s->blocked;
    if (by->broken != s->broken)
        return by->broken < s->broken;
    return by->excess != s->excess ? by->excess < s->excess : by->cost < s->cost;
}

/* All choices, one pile after the other; run: how long the last run is so far. sum: of the piles
 * chosen for. */
static void try_all(struct search *s, size_t pile, size_t last, size_t run, struct search sum)
{
    const struct sg_wall_problem *p = s->p;
    if (pile == p->npile) {
        if (run >= p->least_run && improves(s, &sum)) {
            sum.p = p;
            sum.highest_ratio = s->highest_ratio;
            *s = sum;
        }
        return;
    }
    for (size_t m = 0; m < p->nmethod; m++) {
        bool change = pile > 0 && m != last;
        if (change && run < p->least_run)
            continue;
        size_t at = pile * p->nmethod + m;
        bool over = p->ratio[at] > s->highest_ratio;
        struct search next = sum;
        next.blocked += !p->allowed[at];
        next.broken += over;
        next.excess += over ? (size_t)llround(1e6 * log(p->ratio[at] / s->highest_ratio)) : 0;
        next.cost +=
            p->cost[at] + (change ? p->change : 0) + (change || pile == 0 ? p->set_up[m] : 0);
        try_all(s, pile + 1, m, change || pile == 0 ? 1 : run + 1, next);
    }
}

static struct search enumerate(const struct sg_wall_problem *p, double highest_ratio)
{
    struct search s = { p, highest_ratio, SIZE_MAX, 0, 0, 0 }, none = { p, 0, 0, 0, 0, 0 };
    try_all(&s, 0, 0, 0, none);
    return s;
}

static void check_runs(const struct sg_wall_problem *p, const size_t *method)
{
    size_t run = 1;
    for (size_t i = 1; i <= p->npile; i++) {
        if (i < p->npile && method[i] == method[i - 1]) {
            run++;
            continue;
        }
        assert_true(run >= p->least_run);
        run = 1;
    }
}

static void test_peaks_against_enumeration(void **state)
{
    (void)state;
    uint64_t seed = 20261125;
    print_message("seed 20261125\n");
    for (int n = 0; n < 1000; n++) {
        struct wall w;
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_wall_choice choice;
        draw_wall(&seed, &w);
        struct search s = enumerate(&w.p, 1);
        assert_int_equal(sg_wall_choose(&w.p, &arena, &choice), SG_OK);
        assert_int_equal(choice.blocked, s.blocked);
        assert_int_equal(choice.broken, s.broken);
        assert_close(choice.cost, s.cost, 1e-12, 1e-12);
        check_runs(&w.p, choice.method);
        sg_arena_release(&arena);
    }
}

/* Every point of the front is the cheapest choice that keeps its highest ratio. */
static void test_front_against_enumeration(void **state)
{
    (void)state;
    uint64_t seed = 7;
    size_t points = 0;
    for (int n = 0; n < 60; n++) {
        struct wall w;
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_wall_choice front[64];
        size_t count;
        bool more;
        draw_wall(&seed, &w);
        if (w.p.npile > 7)
            w.p.npile = 7;
        if (w.p.least_run > w.p.npile)
            w.p.least_run = w.p.npile;
        assert_int_equal(sg_wall_front(&w.p, 0, &arena, front, 64, &count, &more), SG_OK);
        for (size_t i = 0; i < count; i++) {
            struct search s = enumerate(&w.p, front[i].highest_ratio);
            assert_int_equal(s.blocked + s.broken, 0);
            assert_close(front[i].cost, s.cost, 1e-12, 1e-12);
            if (i > 0) {
                assert_true(front[i].cost > front[i - 1].cost);
                assert_true(front[i].highest_ratio < front[i - 1].highest_ratio);
            }
            points++;
        }
        sg_arena_release(&arena);
    }
    assert_true(points > 100);
}

/* A pile that is refused by every method (nearer than 1 m, say) ends the front at once. */
static void test_front_of_a_wall_with_a_refused_pile(void **state)
{
    (void)state;
    const double cost[] = { 1, 2, 1, 2 };
    const double ratio[] = { 0.5, 0.4, (double)INFINITY, (double)INFINITY };
    const bool allowed[] = { true, true, true, true };
    struct sg_wall_problem p = {
        .npile = 2, .nmethod = 2, .cost = cost, .ratio = ratio, .allowed = allowed
    };
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_wall_choice front[8];
    size_t count = 99;
    bool more = true;
    assert_int_equal(sg_wall_front(&p, 0.1, &arena, front, 8, &count, &more), SG_OK);
    assert_int_equal(count, 0);
    assert_false(more);
    sg_arena_release(&arena);
}

/* ---- a day's dose ---- */

#define DAY_PILES 8
#define DAY_METHODS 3
#define ROWS 4

struct days {
    struct sg_daily_problem p;
    double minutes[DAY_PILES * DAY_METHODS], dose[ROWS * DAY_PILES * DAY_METHODS];
    bool allowed[DAY_PILES * DAY_METHODS];
};

static void draw_days(uint64_t *seed, struct days *d)
{
    memset(d, 0, sizeof(*d));
    d->p.npile = 1 + draw_below(seed, DAY_PILES);
    d->p.nmethod = 1 + draw_below(seed, DAY_METHODS);
    d->p.ndose = draw_below(seed, ROWS + 1);
    d->p.day_minutes = 100;
    d->p.change_days = (double)draw_below(seed, 4) / 2;
    d->p.least_run = 1 + draw_below(seed, 3);
    if (d->p.least_run > d->p.npile)
        d->p.least_run = d->p.npile;
    for (size_t i = 0; i < d->p.npile * d->p.nmethod; i++) {
        d->minutes[i] = 10 + 60 * draw_unit(seed);
        d->allowed[i] = draw_below(seed, 12) > 0;
    }
    for (size_t i = 0; i < d->p.npile * d->p.nmethod * d->p.ndose; i++)
        d->dose[i] = draw_below(seed, 3) == 0 ? 1.05 * draw_unit(seed) : 0.4 * draw_unit(seed);
    d->p.minutes = d->minutes;
    d->p.dose = d->dose;
    d->p.allowed = d->allowed;
}

struct day_search {
    const struct sg_daily_problem *p;
    double best;
    double sum[PILES + 1][ROWS]; /* of the day of each pile, by depth */
};

/* All methods and all ways to end a day. */
static void try_days(struct day_search *s, size_t pile, size_t last, size_t run, double minutes,
                     double days)
{
    const struct sg_daily_problem *p = s->p;
    if (pile == p->npile) {
        if (run >= p->least_run && days < s->best)
            s->best = days;
        return;
    }
    for (size_t m = 0; m < p->nmethod; m++) {
        bool change = pile > 0 && m != last;
        size_t at = pile * p->nmethod + m;
        if (!p->allowed[at] || p->minutes[at] > p->day_minutes || (change && run < p->least_run))
            continue;
        for (int fresh = pile == 0 || change; fresh < 2; fresh++) {
            double used = (fresh ? 0 : minutes) + p->minutes[at];
            bool good = used <= p->day_minutes;
            for (size_t r = 0; r < p->ndose; r++) {
                s->sum[pile + 1][r] =
                    (fresh ? 0 : s->sum[pile][r]) + p->dose[(r * p->nmethod + m) * p->npile + pile];
                good &= s->sum[pile + 1][r] <= 1;
            }
            if (good)
                try_days(s, pile + 1, m, pile > 0 && !change ? run + 1 : 1, used,
                         days + fresh + (change ? p->change_days : 0));
        }
    }
}

static void check_days(const struct sg_daily_problem *p, const struct sg_daily_choice *c)
{
    check_runs(&(struct sg_wall_problem){ .npile = p->npile, .least_run = p->least_run },
               c->method);
    for (size_t r = 0; r < p->ndose; r++) {
        double sum = 0;
        for (size_t i = 0; i < p->npile; i++) {
            bool same = i > 0 && c->day[i] == c->day[i - 1];
            assert_true(!same || c->method[i] == c->method[i - 1]);
            sum = (same ? sum : 0) + p->dose[(r * p->nmethod + c->method[i]) * p->npile + i];
            assert_true(sum <= 1 + 1e-9);
        }
    }
}

static void test_days_against_enumeration(void **state)
{
    (void)state;
    uint64_t seed = 42;
    size_t exact = 0, bounded = 0;
    print_message("seed 42\n");
    for (int n = 0; n < 1000; n++) {
        struct days d;
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_daily_choice choice, loose;
        draw_days(&seed, &d);
        struct day_search s = { .p = &d.p, .best = INFINITY };
        try_days(&s, 0, 0, 0, 0, 0);
        assert_int_equal(sg_daily_choose(&d.p, 100, &arena, &choice), SG_OK);
        assert_int_equal(choice.feasible, isfinite(s.best));
        if (choice.feasible) {
            assert_close(choice.days, s.best, 1e-12, 0);
            assert_close(choice.least_days, s.best, 1e-12, 0);
            check_days(&d.p, &choice);
            exact++;
        }
        /* with no round to spare, the truth lies between the bound and what is given */
        assert_int_equal(sg_daily_choose(&d.p, 0, &arena, &loose), SG_OK);
        if (isfinite(s.best))
            assert_true(loose.least_days <= s.best + 1e-12);
        if (loose.feasible) {
            assert_true(isfinite(s.best));
            assert_true(loose.days >= s.best - 1e-12);
            check_days(&d.p, &loose);
            bounded += loose.days > loose.least_days + 1e-12;
        }
        sg_arena_release(&arena);
    }
    assert_true(exact > 300);
    assert_true(bounded > 10); /* else the bound was never put to the test */
}

static void test_nothing_to_choose(void **state)
{
    (void)state;
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_wall_problem none = { .npile = 0, .nmethod = 1 };
    struct sg_daily_problem no_day = { .npile = 1, .nmethod = 0 };
    struct sg_wall_choice choice;
    struct sg_daily_choice daily;
    assert_int_equal(sg_wall_choose(&none, &arena, &choice), SG_ERR_USAGE);
    assert_int_equal(sg_daily_choose(&no_day, 1, &arena, &daily), SG_ERR_USAGE);
    sg_arena_release(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_peaks_against_enumeration),
        cmocka_unit_test(test_front_against_enumeration),
        cmocka_unit_test(test_front_of_a_wall_with_a_refused_pile),
        cmocka_unit_test(test_days_against_enumeration),
        cmocka_unit_test(test_nothing_to_choose),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
