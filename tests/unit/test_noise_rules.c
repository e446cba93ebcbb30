/* test_noise_rules.c - corrections of rating levels, one test a form; exposure of a crew;
 * acceptable
 * levels for percussive piling. Published source beside each check; "recalled" as in the
 * catalogue. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "stillground/rating.h"
#include "stillground/sound.h"

#include <math.h>

static struct sg_rating_of works(enum sg_technique technique, enum sg_period period)
{
    struct sg_rating_of of = { technique, period, SG_UNSET, SG_UNSET, SG_UNSET, SG_UNSET, false };
    return of;
}

static double column(const char *rule, enum sg_rating_column c, const struct sg_rating_of *of)
{
    const char *why = NULL;
    return sg_rating_column_db(rule, c, of, &why, NULL);
}

/* ISO 1996-1:2016 Table A.1: + 12 dB highly impulsive (that piling is one is recalled), + 3 to 6 dB
 * tonal. Nothing for methods without blows. */
static void iso1996(void **state)
{
    (void)state;
    struct sg_rating_of of = works(SG_IMPACT, SG_DAY);
    const char *why = NULL;
    assert_close(column("iso1996-1", SG_RATING_IMPULSE, &of), 12, 0, 1e-12);
    assert_close(column("iso1996-1", SG_RATING_TONAL, &of), 0, 0, 1e-12);
    of.tonal_db = 3;
    assert_close(column("iso1996-1", SG_RATING_TONAL, &of), 3, 0, 1e-12);
    of.tonal_db = 6;
    assert_close(column("iso1996-1", SG_RATING_TONAL, &of), 6, 0, 1e-12);
    of.tonal_db = 2.99;
    assert_false(sg_is_set(sg_rating_column_db("iso1996-1", SG_RATING_TONAL, &of, &why, NULL)));
    assert_non_null(why);
    of.tonal_db = 6.01;
    assert_false(sg_is_set(column("iso1996-1", SG_RATING_TONAL, &of)));
    of = works(SG_VIBRATORY, SG_DAY);
    assert_close(column("iso1996-1", SG_RATING_IMPULSE, &of), 0, 0, 1e-12);
}

/* NT ACOU 112:2002: P and KI as printed (P 10 -> KI 9.0; OR 1000, LD 30 -> P 11.9542; 30 dB in
 * 0.30 s -> KI 7.118), 0 up to P = 5. */
static void nt_acou_112(void **state)
{
    (void)state;
    struct sg_rating_of of = works(SG_IMPACT, SG_DAY);
    const char *why = NULL;
    assert_false(sg_is_set(sg_rating_column_db("nt-acou-112", SG_RATING_IMPULSE, &of, &why, NULL)));
    assert_non_null(why);
    of.onset_db_s = 100;
    of.onset_rise_db = 30;
    assert_close(column("nt-acou-112", SG_RATING_IMPULSE, &of), 7.118, 0, 0.0005);
    of.onset_db_s = 1200;
    of.onset_rise_db = 32;
    assert_close(column("nt-acou-112", SG_RATING_IMPULSE, &of), 13.05, 0, 0.005);
    of.onset_db_s = 1000;
    of.onset_rise_db = 30;
    assert_close(column("nt-acou-112", SG_RATING_IMPULSE, &of), 1.8 * (11.9542 - 5), 0, 0.0002);
    of.onset_db_s = pow(10, 4.0 / 3); /* P = 4 + 1 = 5: the step */
    of.onset_rise_db = sqrt(10);
    assert_close(column("nt-acou-112", SG_RATING_IMPULSE, &of), 0, 0, 1e-12);
    of.onset_rise_db *= 1.01;
    assert_close(column("nt-acou-112", SG_RATING_IMPULSE, &of), 1.8 * 2 * log10(1.01), 0, 1e-9);
    of = works(SG_PRESS_IN, SG_DAY);
    assert_close(column("nt-acou-112", SG_RATING_IMPULSE, &of), 0, 0, 1e-12);
}

struct step {
    enum sg_period period;
    double hours, db;
};

/* AVV Baulaerm 1970, time correction (recalled): day up to 2.5 h 10 dB, up to 8 h 5 dB, else 0;
 * night
 * up to 2 h, up to 6 h. The end of a step is in it. */
static void avv_steps(void **state)
{
    (void)state;
    static const struct step steps[] = {
        { SG_DAY, 0.1, -10 },   { SG_DAY, 2.499, -10 },  { SG_DAY, 2.5, -10 },
        { SG_DAY, 2.501, -5 },  { SG_DAY, 7.999, -5 },   { SG_DAY, 8, -5 },
        { SG_DAY, 8.001, 0 },   { SG_DAY, 13, 0 },       { SG_NIGHT, 1.999, -10 },
        { SG_NIGHT, 2, -10 },   { SG_NIGHT, 2.001, -5 }, { SG_NIGHT, 6, -5 },
        { SG_NIGHT, 6.001, 0 }, { SG_NIGHT, 11, 0 },
    };
    for (size_t i = 0; i < SG_COUNT(steps); i++) {
        const struct sg_rating_row *row = sg_rating_steps("avv-baulaerm", steps[i].period);
        struct sg_rating_of of = works(SG_IMPACT, steps[i].period);
        const char *why = NULL;
        of.operated_h = steps[i].hours;
        assert_non_null(row);
        assert_close(sg_rating_correction(row, &of, &why), steps[i].db, 0, 1e-12);
        assert_null(why);
    }
    struct sg_rating_of unknown = works(SG_IMPACT, SG_DAY);
    const char *why = NULL;
    assert_false(
        sg_is_set(sg_rating_correction(sg_rating_steps("avv-baulaerm", SG_DAY), &unknown, &why)));
    assert_non_null(why);
    assert_null(sg_rating_steps("iso1996-1", SG_DAY));
    assert_null(sg_rating_steps(NULL, SG_DAY));
}

/* Austria, BStLaermIV section 11: + 5 dB, - 3 dB by day when the values are passed for a month at
 * most. New South Wales 2009 (recalled): + 5 dB for driving by blows. AVV: up to + 5 dB for tones.
 * */
static void other_rules(void **state)
{
    (void)state;
    struct sg_rating_of of = works(SG_VIBRATORY, SG_DAY);
    assert_close(column("bstlaermiv", SG_RATING_GENERAL, &of), 5, 0, 1e-12);
    assert_close(column("bstlaermiv", SG_RATING_TIME, &of), 0, 0, 1e-12);
    of.passed_short_only = true;
    assert_close(column("bstlaermiv", SG_RATING_TIME, &of), -3, 0, 1e-12);
    of.period = SG_NIGHT;
    assert_close(column("bstlaermiv", SG_RATING_TIME, &of), 0, 0, 1e-12);
    assert_close(column("icng2009", SG_RATING_GENERAL, &of), 0, 0, 1e-12);
    of.technique = SG_IMPACT;
    assert_close(column("icng2009", SG_RATING_GENERAL, &of), 5, 0, 1e-12);
    of.tonal_db = 5;
    assert_close(column("avv-baulaerm", SG_RATING_TONAL, &of), 5, 0, 1e-12);
    of.tonal_db = 5.01;
    assert_false(sg_is_set(column("avv-baulaerm", SG_RATING_TONAL, &of)));
}

/* 100 dB for 15 min and 85 dB for 4 h: LEX 86.73, computed. 87 dB over 8 h is 90 over 4, 93 over 2,
 * 96 over 1 h and 99 over 30 min, as a published table has it (rounded: 3 dB a halving). 29 CFR
 * 1910.95 Table G-16: 90/8, 92/6, 95/4, 97/3, 100/2, 105/1, 110/0.5, 115/0.25 each use up one day.
 * */
static void crew(void **state)
{
    (void)state;
    static const double level[] = { 100, 85 }, hours[] = { 0.25, 4 };
    static const double g16[][2] = { { 90, 8 },  { 92, 6 },  { 95, 4 },    { 97, 3 },
                                     { 100, 2 }, { 105, 1 }, { 110, 0.5 }, { 115, 0.25 } };
    static const double eu[][2] = { { 90, 4 }, { 93, 2 }, { 96, 1 }, { 99, 0.5 } };
    double energy_db = sg_crew_row_at(0)->exchange_db;
    assert_close(sg_crew_level(level, hours, 2, energy_db), 86.73, 0, 0.005);
    assert_close(sg_crew_level(level, hours, 2, energy_db), sg_sound_exposure_8h(level, hours, 2),
                 0, 1e-9);
    for (size_t i = 0; i < SG_COUNT(g16); i++) /* the table is rounded to whole hours */
        assert_close(sg_crew_level(&g16[i][0], &g16[i][1], 1, 5), 90, 0, 0.1);
    for (size_t i = 0; i < SG_COUNT(eu); i++)
        assert_close(sg_crew_level(&eu[i][0], &eu[i][1], 1, energy_db), 87, 0, 0.05);
    double at_100[] = { 100 }, quarter[] = { 0.25 }, two[] = { 2 }; /* NIOSH 15 min, OSHA 120 min */
    assert_close(sg_crew_level(at_100, quarter, 1, 3), 85, 0, 1e-9);
    assert_close(sg_crew_level(at_100, two, 1, 5), 90, 0, 1e-9);
    assert_false(sg_is_set(sg_crew_level(at_100, quarter, 0, 3)));
    double unknown[] = { SG_UNSET };
    assert_false(sg_is_set(sg_crew_level(unknown, quarter, 1, 3)));
}

/* Directive 2003/10/EC Art. 3 and the UK's act: 80/135, 85/137, 87/140; the others as in the rows'
 * documents. Pressures 112, 140 and 200 Pa are 134.96, 136.90 and 140.00 dB, computed. */
static void crew_values(void **state)
{
    (void)state;
    static const double eu[][2] = { { 80, 135 }, { 85, 137 }, { 87, 140 } };
    static const double pa[] = { 112, 140, 200 };
    size_t seen = 0;
    for (size_t i = 0; i < sg_crew_row_count(); i++) {
        const struct sg_crew_row *row = sg_crew_row_at(i);
        assert_non_null(sg_document_find(row->cite.document));
        if (!sg_same(row->rule, "eu") && !sg_same(row->rule, "uk"))
            continue;
        assert_close(row->level_db, eu[seen % 3][0], 0, 1e-12);
        assert_close(row->peak_db, eu[seen % 3][1], 0, 1e-12);
        assert_close(sg_sound_peak_db(pa[seen % 3]), eu[seen % 3][1], 0, 0.15);
        seen++;
    }
    assert_int_equal(seen, 6);
}

/* Hong Kong memorandum (recalled): 100, 90, 85 by windows, 10 less for hospitals and schools; 12, 5
 * and 3 h at, just below and just above each step. */
static void percussive(void **state)
{
    (void)state;
    assert_close(sg_percussive_acceptable_db("none", false), 100, 0, 1e-12);
    assert_close(sg_percussive_acceptable_db("air-conditioned", false), 90, 0, 1e-12);
    assert_close(sg_percussive_acceptable_db("openable", false), 85, 0, 1e-12);
    assert_close(sg_percussive_acceptable_db("openable", true), 75, 0, 1e-12);
    assert_false(sg_is_set(sg_percussive_acceptable_db("", false)));
    assert_false(sg_is_set(sg_percussive_acceptable_db(NULL, false)));
    assert_close(sg_sound_hk_hours(84.99, 85), 12, 0, 1e-12);
    assert_close(sg_sound_hk_hours(85, 85), 12, 0, 1e-12);
    assert_close(sg_sound_hk_hours(85.01, 85), 5, 0, 1e-12);
    assert_close(sg_sound_hk_hours(95, 85), 5, 0, 1e-12);
    assert_close(sg_sound_hk_hours(95.01, 85), 3, 0, 1e-12);
}

/* Every row names a document that is listed, and a rule that can be found. */
static void rows(void **state)
{
    (void)state;
    for (size_t i = 0; i < sg_rating_row_count(); i++) {
        const struct sg_rating_row *row = sg_rating_row_at(i);
        assert_non_null(sg_document_find(row->cite.document));
        assert_true(sg_rating_rule_known(row->rule));
    }
    for (size_t i = 0; i < sg_measure_row_count(); i++) {
        const struct sg_measure_row *row = sg_measure_row_at(i);
        assert_non_null(sg_document_find(row->cite.document));
        assert_true(row->low_db > 0 && row->low_db <= row->high_db);
    }
    assert_false(sg_rating_rule_known("bs4142"));
    assert_string_equal(sg_rating_rule_at(0), "iso1996-1");
    assert_string_equal(sg_rating_rule_at(2), "avv-baulaerm");
    assert_null(sg_rating_rule_at(99));
    for (size_t i = 0; i < sg_limit_set_count(); i++) {
        const char *rule = sg_limit_set_at(i)->rating;
        assert_true(!rule || sg_rating_rule_known(rule));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(iso1996),     cmocka_unit_test(nt_acou_112), cmocka_unit_test(avv_steps),
        cmocka_unit_test(other_rules), cmocka_unit_test(crew),        cmocka_unit_test(crew_values),
        cmocka_unit_test(percussive),  cmocka_unit_test(rows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
