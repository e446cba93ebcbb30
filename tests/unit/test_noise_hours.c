/* test_noise_hours.c - limits on noise by the hours and days that each document names, and the
 * values at which they turn. The machine makes 70 dB(A) at the facade while it works; its level is
 * shifted through the site file. What is recalled in the catalogue is recalled here. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "stillground/noise.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SITE "tests/data/noise_hours.yaml"
#define WORKS_DB 70.0 /* 67 dB(A) at 10 m + 3 dB at the facade */

struct fixture {
    struct sg_site site;
    struct sg_study study;
    struct sg_arena arena;
};

static void open_site(struct fixture *f, const char *const *set, size_t nset)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    *f = (struct fixture){ SG_SITE_INIT, SG_STUDY_INIT, SG_ARENA_INIT };
    sg_status status = sg_site_read_with(SITE, set, nset, &f->site, &errors);
    for (size_t i = 0; i < errors.count; i++)
        print_error("%s\n", errors.text[i]);
    assert_true(sg_ok(status));
    assert_true(sg_ok(sg_study_make(&f->site, &f->study, NULL, NULL, &errors)));
    sg_errors_release(&errors);
}

static void close_site(struct fixture *f)
{
    sg_arena_release(&f->arena);
    sg_study_release(&f->study);
    sg_site_release(&f->site);
}

/* NULL = the set was not held against that row. */
static const struct sg_verdict *verdict(const struct fixture *f, const char *set, const char *row)
{
    const struct sg_outcome *o = sg_study_outcome(&f->study, 0, 0);
    for (size_t i = 0; i < o->nverdict; i++) {
        const struct sg_verdict *v = &o->verdict[i];
        if (sg_same(v->set->id, set) && v->row && sg_same(v->row->id, row))
            return v;
    }
    return NULL;
}

static enum sg_verdict_state state_at(double level_db, const char *set, const char *row,
                                      double *limit)
{
    char text[80];
    const char *const change[] = { text };
    struct fixture f;
    snprintf(text, sizeof(text), "methods.Press-in.sound.laeq_10m_dB=%.9f", level_db - 3);
    open_site(&f, change, 1);
    const struct sg_verdict *v = verdict(&f, set, row);
    assert_non_null(v);
    enum sg_verdict_state state = v->state;
    *limit = v->limit;
    close_site(&f);
    return state;
}

/* BS 5228-1:2009+A1:2014, Annex E, 5 dB change: total 5 dB or more over the ambient, works 65 dB(A)
 * or more: a level that is equal passes. With an ambient of 70 the works alone have to be
 * 10 lg(10^7.5 - 10^7) = 73.34911 dB(A). */
static void change_or_more(void **state)
{
    (void)state;
    double limit;
    assert_int_equal(state_at(64.999, "BS5228-1-CHANGE", "day", &limit), SG_LIKELY_WITHIN);
    assert_int_equal(state_at(65.001, "BS5228-1-CHANGE", "day", &limit), SG_OVER);
    assert_close(limit, 65, 0, 1e-12);
    struct sg_judged judged = { .use = SG_USE_RESIDENTIAL,
                                .building_class = SG_CLASS_OLDER_HOUSE,
                                .period = SG_DAY,
                                .ambient_db = 70,
                                .factor = SG_UNSET };
    struct sg_value value = SG_VALUE_INIT;
    struct sg_verdict v;
    const struct sg_limit_set *set = sg_limit_set_find("BS5228-1-CHANGE");
    value.quantity = SG_Q_LAEQ;
    value.position = SG_AT_FACADE;
    value.central = value.upper = 10 * log10(pow(10, 7.5) - pow(10, 7));
    sg_judge(set, &set->row[0], &judged, &value, &v, NULL);
    assert_close(v.limit, value.central, 0, 1e-9);
    judged.ambient_db = 50;
    value.central = value.upper = 65;
    sg_judge(set, &set->row[0], &judged, &value, &v, NULL);
    assert_int_equal(v.state, SG_OVER);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(change_or_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
