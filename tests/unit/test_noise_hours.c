/* test_noise_hours.c - limits on noise by the hours and days that each document names, and the
 * values at which they turn. The machine makes 70 dB(A) at the facade while it works; its level is
 * shifted through the site file. What is recalled in the catalogue is recalled here. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "../support/noise_site.h"
#include "close.h"
#include "stillground/inverse.h"
#include "stillground/noise.h"
#include "stillground/programme.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SITE "tests/data/noise_hours.yaml"
#define WORKS_DB 70.0 /* 67 dB(A) at 10 m + 3 dB at the facade */

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
    open_site(&f, SITE, change, 1);
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

/* What one change of the site file brings, row by row; a row with no limit must not be there. */
struct expected {
    const char *set, *row;
    double value_db, limit_db;
};

static void hold(const char *const *change, size_t nchange, const struct expected *e, size_t count)
{
    struct fixture f;
    open_site(&f, SITE, change, nchange);
    for (size_t i = 0; i < count; i++) {
        const struct sg_verdict *v = verdict(&f, e[i].set, e[i].row);
        if (!sg_is_set(e[i].limit_db)) {
            assert_null(v);
            continue;
        }
        if (!v)
            fail_msg("no verdict on %s, %s", e[i].set, e[i].row);
        assert_close(v->value_central, e[i].value_db, 0, 1e-9);
        assert_close(v->limit, e[i].limit_db, 0, 1e-9);
    }
    close_site(&f);
}

static double over(double worked_h, double averaged_h)
{
    return WORKS_DB + 10 * log10(worked_h / averaged_h);
}

#define INS "BS5228-1-INSULATION"
#define ABC "BS5228-1-ABC"

/* BS 5228-1:2009+A1:2014, Table E.2: works from 07 to 19 on weekdays meet the rows 07-08, 08-18 and
 * 18-19, each over its own hours; those of Saturday and Sunday only where they are worked. */
static void insulation_by_the_clock(void **state)
{
    (void)state;
    static const char *const six[] = { "hours.days_per_week=6" };
    static const char *const late[] = { "hours.start=15:00", "hours.end=23:00", "hours.work_h=8" };
    const struct expected week[] = {
        { INS, "weekday-07", WORKS_DB, 70 }, { INS, "weekday", WORKS_DB, 75 },
        { INS, "weekday-18", WORKS_DB, 70 }, { INS, "weekday-evening", 0, SG_UNSET },
        { INS, "saturday", 0, SG_UNSET },    { INS, "sunday", 0, SG_UNSET },
    };
    const struct expected saturday[] = {
        { INS, "saturday-07", WORKS_DB, 70 },   { INS, "saturday", WORKS_DB, 75 },
        { INS, "saturday-13", WORKS_DB, 70 },   { INS, "saturday-evening", WORKS_DB, 65 },
        { INS, "saturday-night", 0, SG_UNSET }, { INS, "sunday", 0, SG_UNSET },
    };
    const struct expected evening[] = {
        { INS, "weekday-07", 0, SG_UNSET },     { INS, "weekday", over(3, 10), 75 },
        { INS, "weekday-18", WORKS_DB, 70 },    { INS, "weekday-evening", WORKS_DB, 65 },
        { INS, "weekday-night", WORKS_DB, 55 },
    };
    hold(NULL, 0, week, SG_COUNT(week));
    hold(six, SG_COUNT(six), saturday, SG_COUNT(saturday));
    hold(late, SG_COUNT(late), evening, SG_COUNT(evening));
}

/* BS 5228-1:2009+A1:2014, Table E.1: evenings and weekends are 19-23, Saturday 13-23, Sunday 07-23.
 * The same for the change of 5 dB. */
static void weekends(void **state)
{
    (void)state;
    static const char *const seven[] = { "hours.days_per_week=7" };
    const struct expected five[] = {
        { ABC, "day-A", WORKS_DB, 65 },
        { ABC, "saturday-A", 0, SG_UNSET },
        { ABC, "sunday-A", 0, SG_UNSET },
        { "BS5228-1-CHANGE", "sunday", 0, SG_UNSET },
    };
    const struct expected all[] = {
        { ABC, "saturday-A", WORKS_DB, 65 },
        { ABC, "saturday-13-A", over(6, 10), 55 },
        { ABC, "sunday-A", over(12, 16), 55 },
        { "BS5228-1-CHANGE", "saturday", WORKS_DB, 65 },
        { "BS5228-1-CHANGE", "saturday-13", over(6, 10), 55 },
        { "BS5228-1-CHANGE", "sunday", over(12, 16), 55 },
    };
    hold(NULL, 0, five, SG_COUNT(five));
    hold(seven, SG_COUNT(seven), all, SG_COUNT(all));
}

/* Saturday worked and no ambient level of the evening given: said, not passed. */
static void weekend_without_ambient(void **state)
{
    (void)state;
    static const char *const change[] = { "hours.days_per_week=6" };
    struct fixture f;
    struct sg_site site;
    size_t open_ones = 0;
    open_site(&f, SITE, change, 1);
    site = f.site;
    struct sg_receptor house = site.receptor[0];
    house.ambient_evening_db = SG_UNSET;
    site.receptor = &house;
    struct sg_study study = SG_STUDY_INIT;
    assert_true(sg_ok(sg_study_make(&site, &study, NULL, NULL, NULL)));
    const struct sg_outcome *o = sg_study_outcome(&study, 0, 0);
    for (size_t i = 0; i < o->nverdict; i++) {
        const struct sg_verdict *v = &o->verdict[i];
        open_ones += sg_same(v->set->id, ABC) && v->state == SG_NOT_DETERMINABLE &&
                     strstr(v->reason, "ambient noise level") != NULL;
    }
    assert_int_equal(open_ones, 1);
    sg_study_release(&study);
    close_site(&f);
}

/* New South Wales 2009: standard hours are Mon-Fri 07-18 and Sat 08-13; within them 10 dB over the
 * background, outside them 5 dB over that of the day, the evening (18-22) or the night. */
static void standard_hours(void **state)
{
    (void)state;
    static const char *const seven[] = { "hours.days_per_week=7" };
    const double free_db = WORKS_DB - 3;
    const struct expected e[] = {
        { "NSW-ICNG-2009", "affected-standard", free_db, 60 },
        { "NSW-ICNG-2009", "affected-standard-saturday", free_db, 60 },
        { "NSW-ICNG-2009", "affected-outside-evening", free_db, 50 },
        { "NSW-ICNG-2009", "affected-outside", 0, SG_UNSET },
        { "NSW-ICNG-2009", "affected-saturday-07", free_db, 55 },
        { "NSW-ICNG-2009", "affected-saturday-13", free_db, 55 },
        { "NSW-ICNG-2009", "affected-sunday", free_db, 55 },
    };
    const struct expected five[] = {
        { "NSW-ICNG-2009", "affected-standard", free_db, 60 },
        { "NSW-ICNG-2009", "affected-outside-evening", free_db, 50 },
        { "NSW-ICNG-2009", "affected-saturday-13", 0, SG_UNSET },
    };
    hold(seven, SG_COUNT(seven), e, SG_COUNT(e));
    hold(NULL, 0, five, SG_COUNT(five));
}

/* Transit manual 2018 (recalled): 8 h of the day 07-22 and of the night 22-07, as in Ldn; from
 * 18:00 to 23:30 are 4 h and 1.5 h of them. A value for any time takes the worst 8 h, whatever
 * period they lie in, and the mean over 30 days stands once. */
static void transit_hours(void **state)
{
    (void)state;
    static const char *const late[] = { "hours.start=18:00", "hours.end=23:30",
                                        "hours.work_h=5.5" };
    static const char *const office[] = { "hours.start=15:00", "hours.end=23:00", "hours.work_h=8",
                                          "receptors.list.House.use=office" };
    const struct expected home[] = {
        { "FTA-NOISE", "home-day", over(4, 8) - 3, 80 },
        { "FTA-NOISE", "home-night", over(1.5, 8) - 3, 70 },
    };
    const struct expected trade[] = { { "FTA-NOISE", "trade", WORKS_DB - 3, 85 } };
    struct fixture f;
    size_t ldn = 0;
    hold(late, SG_COUNT(late), home, SG_COUNT(home));
    hold(office, SG_COUNT(office), trade, SG_COUNT(trade));
    open_site(&f, SITE, late, SG_COUNT(late));
    const struct sg_outcome *o = sg_study_outcome(&f.study, 0, 0);
    for (size_t i = 0; i < o->nverdict; i++)
        ldn += o->verdict[i].row && o->verdict[i].row->quantity == SG_Q_LDN;
    assert_int_equal(ldn, 1);
    close_site(&f);
}

/* Hong Kong: percussive piling is barred from 19 to 07 and on holidays (Sundays): no hours are
 * permitted there, however low the level is. */
static void percussive_by_the_clock(void **state)
{
    (void)state;
    static const char *const base[] = { "methods.Press-in.technique=impact",
                                        "methods.Press-in.energy_kJ=10", "hours.work_h=3" };
    static const char *const more[][2] = {
        { "hours.days_per_week=6", "hours.start=07:00" }, /* 07-19, Mon-Sat */
        { "hours.days_per_week=5", "hours.start=06:59" }, /* a minute early */
        { "hours.days_per_week=7", "hours.start=07:00" }, /* Sundays */
    };
    for (size_t i = 0; i < SG_COUNT(more); i++) {
        const char *change[SG_COUNT(base) + 2];
        struct sg_percussive *p = NULL;
        struct fixture f;
        size_t count = 0;
        memcpy(change, base, sizeof(base));
        memcpy(change + SG_COUNT(base), more[i], sizeof(more[i]));
        open_site(&f, SITE, change, SG_COUNT(change));
        assert_true(sg_ok(sg_percussive_make(&f.study, &f.arena, &p, &count)));
        assert_int_equal(count, 1);
        assert_int_equal(p[0].barred, i > 0);
        assert_int_equal(p[0].state, i > 0 ? SG_OVER : SG_WITHIN);
        close_site(&f);
    }
}

static struct sg_noise_period period(struct fixture *f, enum sg_period which)
{
    struct sg_noise_period *list = NULL;
    size_t count = 0;
    assert_true(sg_ok(sg_noise_periods_make(&f->study, &f->arena, &list, &count)));
    for (size_t i = 0; i < count; i++) {
        if (list[i].period == which)
            return list[i];
    }
    fail_msg("no such period");
    return list[0];
}

/* AVV Baulaerm 1970 (recalled): day 07-20, night 20-07. From 17 to 20 are 3 h of day: 5 dB off the
 * level while plant runs, also where the table of periods splits them at 19. */
static void rated_by_its_own_hours(void **state)
{
    (void)state;
    static const char *const change[] = { "sound.rating=avv-baulaerm", "hours.start=17:00",
                                          "hours.end=20:00", "hours.work_h=3" };
    static const char *const night[] = { "sound.rating=avv-baulaerm", "hours.start=18:00",
                                         "hours.end=23:00", "hours.work_h=5" };
    struct fixture f;
    open_site(&f, SITE, change, SG_COUNT(change));
    assert_close(period(&f, SG_DAY).rating_db, WORKS_DB - 5, 0, 1e-9);
    assert_false(sg_is_set(period(&f, SG_EVENING).rating_db));
    assert_non_null(period(&f, SG_EVENING).rating_why);
    close_site(&f);
    open_site(&f, SITE, night, SG_COUNT(night)); /* 2 h of day, 3 h of night */
    assert_close(period(&f, SG_DAY).rating_db, WORKS_DB - 10, 0, 1e-9);
    assert_close(period(&f, SG_EVENING).rating_db, WORKS_DB - 5, 0, 1e-9);
    close_site(&f);
}

/* Transit manual 2018, general assessment (recalled): the two noisiest machines, at work all the
 * time: 67 and one of the two cranes of 65 dB(A), of whatever share of time they work. */
static void two_noisiest(void **state)
{
    (void)state;
    static const char *const change[] = { "sound.rating=fta-general",
                                          "methods.Press-in.on_time_percent=20" };
    struct fixture f;
    open_site(&f, SITE, change, SG_COUNT(change));
    assert_close(period(&f, SG_DAY).works.central, WORKS_DB + 10 * log10(0.2), 0, 1e-9);
    assert_close(period(&f, SG_DAY).rating_db, WORKS_DB, 0, 1e-9);
    /* hard ground and no shielding, whatever the site has */
    const char *const soft[] = { "sound.rating=fta-general", "sound.ground=soft",
                                 "receptors.list.House.y_m=100",
                                 "receptors.list.House.screening_dB=10" };
    struct fixture far;
    open_site(&far, SITE, soft, SG_COUNT(soft));
    assert_close(period(&far, SG_DAY).works.central, WORKS_DB - 25 + 2 - 10, 0, 1e-9);
    assert_close(period(&far, SG_DAY).rating_db, WORKS_DB - 20, 0, 1e-9);
    close_site(&far);
    struct sg_plant crane[] = { { .name = "crane",
                                  .kind = SG_SOURCE_LAEQ_10M,
                                  .level_db = 65,
                                  .count = 2,
                                  .on_time_percent = 10,
                                  .provenance = "made up",
                                  .tonal_db = SG_UNSET,
                                  .octave_db = NULL } };
    struct sg_method method = f.site.method[0];
    struct sg_site site = f.site;
    method.plant = crane;
    method.nplant = 1;
    site.method = &method;
    f.study.site = &site;
    assert_close(period(&f, SG_DAY).rating_db, 3 + 10 * log10(pow(10, 6.7) + pow(10, 6.5)), 0,
                 1e-9);
    close_site(&f);
}

/* BS 5228-1:2009+A1:2014, Annex E (recalled): 10 days of any 15. Nine weekdays (Mon-Fri, Mon-Thu)
 * and the Saturday between them are ten, though no row of Table E.2 is passed on ten. */
static void days_of_all_rows(void **state)
{
    (void)state;
    static const char *const ten[] = { "hours.days_per_week=6",
                                       "methods.Press-in.sound.laeq_10m_dB=73",
                                       "methods.Press-in.minutes_per_pile=7200" };
    static const char *const nine[] = { "hours.days_per_week=6",
                                        "methods.Press-in.sound.laeq_10m_dB=73",
                                        "methods.Press-in.minutes_per_pile=6480" };
    for (size_t k = 0; k < 2; k++) {
        struct sg_day_trigger *list = NULL;
        struct fixture f;
        size_t count = 0;
        open_site(&f, SITE, k == 0 ? ten : nine, 3);
        assert_true(sg_ok(sg_triggers_make(&f.study, &f.arena, &list, &count)));
        assert_int_equal(count, 7);
        for (size_t i = 0; i < count; i++) {
            bool saturday = list[i].verdict->row->on_days == SG_SATURDAY;
            bool passed = list[i].verdict->state == SG_OVER;
            assert_close(list[i].days_over, !passed ? 0 : saturday ? 1 : k == 0 ? 9 : 8, 0, 1e-12);
            assert_int_equal(list[i].needed, k == 0);
        }
        close_site(&f);
    }
}

/* LAeq over the hour 18-19 (BS 5228-1, Table E.2): the level is 60 min of running, so a limit that
 * lies x dB below leaves 60 min x 10^(-x / 10), however long the shift is; over 10 h, 600 min. */
static void running_time(void **state)
{
    (void)state;
    struct sg_inverse *list = NULL;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct fixture f;
    size_t count = 0, seen = 0;
    open_site(&f, SITE, NULL, 0);
    assert_true(
        sg_ok(sg_inverse_all(&f.site, 0, 0, SG_BY_UPPER, &f.arena, &list, &count, &errors)));
    for (size_t i = 0; i < count; i++) {
        const struct sg_inverse *q = &list[i];
        if (!q->set || !sg_same(q->set->id, INS))
            continue;
        double minutes = 60 * q->row->averaging_h * pow(10, (q->limit - q->now) / 10);
        assert_int_equal(q->minutes.answer, SG_ANSWERED);
        assert_close(q->minutes.value, minutes, 1e-9, 0);
        seen++;
    }
    assert_int_equal(seen, 3);
    close_site(&f);
}

/* A shift from 15:00 to 02:30 with 10 of its 11.5 h worked: no more than 10 h are in Lden. */
static void lden_of_the_hours_worked(void **state)
{
    (void)state;
    static const char *const change[] = { "hours.start=15:00", "hours.end=02:30",
                                          "hours.work_h=10" };
    struct fixture f;
    open_site(&f, SITE, change, SG_COUNT(change));
    struct sg_noise_period all = period(&f, SG_ANY_TIME);
    double energy = 4 + 4 * pow(10, 0.5) + 3.5 * 10;
    assert_close(all.worked_h, 10, 0, 1e-9);
    assert_close(all.works.central, WORKS_DB + 10 * log10(energy / 24 * 10 / 11.5), 0, 1e-9);
    close_site(&f);
}

/* Hong Kong: the daytime value is none of Sundays (recalled); works on them are not passed over. */
static void days_without_a_value(void **state)
{
    (void)state;
    static const char *const seven[] = { "hours.days_per_week=7" };
    for (size_t k = 0; k < 2; k++) {
        struct fixture f;
        size_t said = 0;
        open_site(&f, SITE, seven, k);
        const struct sg_outcome *o = sg_study_outcome(&f.study, 0, 0);
        for (size_t i = 0; i < o->nverdict; i++) {
            const struct sg_verdict *v = &o->verdict[i];
            said += v->state == SG_NOT_DETERMINABLE &&
                    strstr(v->reason, "no value for Sundays") != NULL &&
                    sg_same(v->set->id, "HK-NOISE");
        }
        assert_int_equal(said, k);
        close_site(&f);
    }
}

/* New South Wales 2009: a shift from Friday 22:00 to Saturday 08:00 ends with an hour that lies
 * outside the standard hours of Saturday, though the week has five days; on weekdays 07-08 is
 * standard. A shift of four days never meets a Saturday. */
static void night_into_saturday(void **state)
{
    (void)state;
    static const char *const week[] = { "hours.start=22:00", "hours.end=08:00", "hours.work_h=10",
                                        "hours.days_per_week=5" };
    static const char *const four[] = { "hours.start=22:00", "hours.end=08:00", "hours.work_h=10",
                                        "hours.days_per_week=4" };
    const double free_db = WORKS_DB - 3;
    const struct expected five_days[] = {
        { "NSW-ICNG-2009", "affected-standard", free_db, 60 },
        { "NSW-ICNG-2009", "affected-outside", free_db, 40 },
        { "NSW-ICNG-2009", "affected-saturday-07", free_db, 55 },
        { "NSW-ICNG-2009", "affected-saturday-13", 0, SG_UNSET },
        { "NSW-ICNG-2009", "affected-sunday", 0, SG_UNSET },
    };
    const struct expected four_days[] = {
        { "NSW-ICNG-2009", "affected-standard", free_db, 60 },
        { "NSW-ICNG-2009", "affected-saturday-07", 0, SG_UNSET },
    };
    hold(week, SG_COUNT(week), five_days, SG_COUNT(five_days));
    hold(four, SG_COUNT(four), four_days, SG_COUNT(four_days));
}

/* Highest ratio of the first day, of one limit set at a time. */
static double ratio_of_day(size_t rigs, const char *set, const struct sg_verdict **worst,
                           struct fixture *f)
{
    static const char *const one[] = { "programme.rigs=1" };
    static const char *const two[] = { "programme.rigs=2" };
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_schedule schedule = SG_SCHEDULE_INIT;
    struct sg_calendar calendar = SG_CALENDAR_INIT;
    size_t method[] = { 0, 0 };
    *f = (struct fixture){ SG_SITE_INIT, SG_STUDY_INIT, SG_ARENA_INIT };
    assert_true(sg_ok(sg_site_read_with("tests/data/noise_rigs.yaml", rigs == 1 ? one : two, 1,
                                        &f->site, &errors)));
    struct sg_receptor house = f->site.receptor[0];
    const char *sets[] = { set };
    house.limit_set = sets;
    house.nlimit_set = 1;
    f->site.receptor = &house;
    assert_true(sg_ok(sg_study_make(&f->site, &f->study, NULL, NULL, &errors)));
    assert_true(sg_ok(sg_schedule_make(&f->site, method, &schedule, &errors)));
    assert_true(sg_ok(sg_calendar_make(&f->site, &schedule, &calendar, NULL, NULL, &errors)));
    double ratio = calendar.receptor[0].value[0].ratio;
    const struct sg_outcome *o = sg_study_outcome(&f->study, 0, 0);
    *worst = NULL;
    for (size_t i = 0; i < o->nverdict; i++) {
        if (!*worst || o->verdict[i].ratio_upper > (*worst)->ratio_upper)
            *worst = &o->verdict[i];
    }
    double beside = (*worst)->beside_db > 0 ? pow(10, (*worst)->beside_db / 10) : 0;
    double works = pow(10, (*worst)->value_upper / 10) - beside;
    assert_close(20 * log10(ratio), 10 * log10((double)rigs * works + beside) - (*worst)->limit, 0,
                 1e-6);
    sg_calendar_release(&calendar);
    sg_schedule_release(&schedule);
    sg_errors_release(&errors);
    return ratio;
}

/* Two machines alike at equal distance are 10 lg 2 = 3.01 dB louder than one (addition of energy,
 * BS 5228-1 Annex F), whatever a limit is averaged over: 12 h, 1 h, 15 min, 30 days, or rated.
 * Where a limit counts the ambient noise too, that is there once (energy sum, a definition). */
static void rigs_at_once(void **state)
{
    (void)state;
    static const char *const set[] = { "BS5228-1-ABC", "BS5228-1-INSULATION", "NSW-ICNG-2009",
                                       "FTA-NOISE",    "AVV-BAULAERM",        "OWN-TOTAL" };
    for (size_t i = 0; i < SG_COUNT(set); i++) {
        for (size_t rigs = 1; rigs <= 2; rigs++) {
            const struct sg_verdict *worst;
            struct fixture f;
            assert_true(ratio_of_day(rigs, set[i], &worst, &f) > 0);
            assert_int_equal(worst->beside_db > 0, sg_same(set[i], "OWN-TOTAL"));
            close_site(&f);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(change_or_more),
        cmocka_unit_test(insulation_by_the_clock),
        cmocka_unit_test(weekends),
        cmocka_unit_test(weekend_without_ambient),
        cmocka_unit_test(standard_hours),
        cmocka_unit_test(transit_hours),
        cmocka_unit_test(percussive_by_the_clock),
        cmocka_unit_test(rated_by_its_own_hours),
        cmocka_unit_test(two_noisiest),
        cmocka_unit_test(running_time),
        cmocka_unit_test(rigs_at_once),
        cmocka_unit_test(night_into_saturday),
        cmocka_unit_test(days_without_a_value),
        cmocka_unit_test(lden_of_the_hours_worked),
        cmocka_unit_test(days_of_all_rows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
