/* test_sound_rating.c - ratings and exposure beside published figures; values marked "computed"
 * follow from the definition. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "../support/close.h"

#include "stillground/outdoor.h"
#include "stillground/signal.h"

/* Computed from the definition of Lden; ISO 1996-2:2017 (16) for the residual sound, computed. */
static void periods_and_residual(void **state)
{
    (void)state;
    bool bound = true;
    assert_close(sg_sound_lden(63.2, 58.1, 51.4), 62.66, 0, 0.005);
    assert_close(sg_sound_without_residual(58, 50, &bound), 57.25, 0, 0.005);
    assert_false(bound);
    assert_close(sg_sound_without_residual(70, 65, NULL), 68.35, 0, 0.005);
    assert_close(sg_sound_without_residual(70, 67, &bound), 66.98, 0, 0.005);
    assert_false(bound);
    assert_close(sg_sound_without_residual(70, 68, &bound), 70, 0, 1e-12);
    assert_true(bound);
    assert_close(sg_sound_most_hours(82, 75, 10), 1.995, 0, 0.0005);
}

/* Lden of 24 hourly levels, as a published example prints it: 64.3. */
static void lden_of_hours(void **state)
{
    (void)state;
    static const double hour[24] = { 48, 46, 45, 45, 46, 50, 56, 64, 66, 65, 63, 63,
                                     64, 63, 63, 64, 65, 66, 65, 64, 63, 62, 61, 50 };
    double night[] = { hour[23], hour[0], hour[1], hour[2], hour[3], hour[4], hour[5], hour[6] };
    double day_db = sg_level_on_time(sg_level_sum(&hour[7], 12), 1.0 / 12);
    double evening_db = sg_level_on_time(sg_level_sum(&hour[19], 4), 1.0 / 4);
    double night_db = sg_level_on_time(sg_level_sum(night, 8), 1.0 / 8);
    assert_close(sg_sound_lden(day_db, evening_db, night_db), 64.3, 0, 0.05);
}

/* Computed on the assumed distance law of the Hong Kong memorandum. */
static void hong_kong_percussive(void **state)
{
    (void)state;
    assert_close(sg_sound_hk_corrected_db(132, 100, true, 0), 87.0, 0, 1e-9);
    assert_close(sg_sound_hk_corrected_db(126, 60, true, 0), 85.44, 0, 0.005);
    assert_close(sg_sound_hk_hours(85, 85), 12, 0, 1e-12);
    assert_close(sg_sound_hk_hours(87, 85), 5, 0, 1e-12);
    assert_close(sg_sound_hk_hours(95.1, 85), 3, 0, 1e-12);
}

/* Directive 2003/10/EC Art. 3 (Pa and dB); equivalents of 87 dB over 8 h as a published table has
 * them; 29 CFR 1910.95 Table G-16; NIOSH 1998. */
static void exposure_of_the_crew(void **state)
{
    (void)state;
    static const double level[] = { 100, 85 }, hours[] = { 0.25, 4 };
    assert_close(sg_sound_peak_db(112), 134.96, 0, 0.005);
    assert_close(sg_sound_peak_db(140), 136.90, 0, 0.005);
    assert_close(sg_sound_peak_db(200), 140.00, 0, 0.005);
    assert_close(sg_sound_exposure_8h(level, hours, 2), 86.73, 0, 0.005);
    static const double same[][2] = { { 90, 4 }, { 93, 2 }, { 96, 1 }, { 99, 0.5 } };
    for (size_t i = 0; i < SG_COUNT(same); i++)
        assert_close(sg_sound_exposure_8h(&same[i][0], &same[i][1], 1), 87, 0, 0.05);
    assert_close(60 * sg_sound_hours_3db(100), 15, 0, 1e-9);
    static const double osha[][2] = { { 90, 8 },  { 92, 6 },    { 95, 4 },
                                      { 97, 3 },  { 100, 2 },   { 102, 1.5 },
                                      { 105, 1 }, { 110, 0.5 }, { 115, 0.25 } };
    for (size_t i = 0; i < SG_COUNT(osha); i++)
        assert_close(sg_sound_hours_5db(osha[i][0]), osha[i][1], 0.011, 0.03);
}

/* NT ACOU 112:2002: P = 10 gives 9.0 dB; 72 dB with 7.6 dB for half an hour and 66 dB for the other
 * half are 76.78 dB. */
static void impulse_adjusted_period(void **state)
{
    (void)state;
    double p;
    assert_close(sg_impulse_adjustment_db(100, 100, &p), 9.0, 0, 0.005);
    assert_close(p, 10, 0, 1e-9);
    double half[] = { sg_level_on_time(72 + 7.6, 0.5), sg_level_on_time(66, 0.5) };
    assert_close(sg_level_sum(half, 2), 76.78, 0, 0.005);
}

/* LAFmax over LAE of one blow by the decay of its energy, computed from the fast detector. */
static void maximum_of_a_blow(void **state)
{
    (void)state;
    static const double row[][2] = { { 12.5, 7.92 }, { 25, 7.28 }, { 50, 6.38 }, { 100, 5.15 } };
    for (size_t i = 0; i < SG_COUNT(row); i++)
        assert_close(sg_sound_blow_fast_db(row[i][0]), row[i][1], 0, 0.005);
    assert_close(sg_sound_blow_fast_db(SG_UNSET), 9.03, 0, 0.005);
    assert_close(sg_sound_blow_fast_db(125), sg_sound_blow_fast_db(125.01), 0, 0.001);
    assert_close(sg_sound_blow_fast_db(50) - 10 * log10(40.0 / 60), 8.1, 0, 0.05);
}

/* Half when the limit is the central value; 10 % at 1.2816 deviations over it (tables of the normal
 * distribution). */
static void probability_of_exceeding(void **state)
{
    (void)state;
    double u_db = 4.0, upper_db = 70 + sg_sound_number(SG_SOUND_COVERAGE) * u_db;
    assert_close(sg_sound_exceedance(70, upper_db, 70, 0), 0.5, 0, 1e-12);
    assert_close(sg_sound_exceedance(70, upper_db, 70 + 1.2815515655 * u_db, 0), 0.1, 0, 1e-6);
    assert_unset(sg_sound_exceedance(SG_UNSET, upper_db, 70, 0));
}

/* With noise of others in the value and the limit on the sum, the works may make what is left: of
 * 75 dB(A) beside 68 dB(A) 10 lg(10^7.5 - 10^6.8) = 74.033. 60 dB(A) of works beside 74.9 pass 75
 * when they make 58.53, which they mostly do; others alone over the limit pass it always. */
static void probability_beside_others(void **state)
{
    (void)state;
    double u_db = 4.0, far_db = sg_sound_number(SG_SOUND_COVERAGE) * u_db;
    double left_db = 10 * log10(pow(10, 7.5) - pow(10, 6.8));
    double pair[] = { left_db - 1.2815515655 * u_db, 68 }, upper[] = { pair[0] + far_db, 68 };
    assert_close(sg_sound_exceedance(sg_level_sum(pair, 2), sg_level_sum(upper, 2), 75, 68), 0.1, 0,
                 1e-6);
    left_db = 10 * log10(pow(10, 7.5) - pow(10, 7.49));
    double works[] = { left_db + 1.2815515655 * u_db, 74.9 }, high[] = { works[0] + far_db, 74.9 };
    assert_close(sg_sound_exceedance(sg_level_sum(works, 2), sg_level_sum(high, 2), 75, 74.9), 0.9,
                 0, 1e-6);
    assert_close(sg_sound_exceedance(75.2, 75.3, 75, 75.1), 1, 0, 1e-12);
    assert_close(sg_sound_exceedance(74, 74, 75, 74), 0, 0, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(periods_and_residual),     cmocka_unit_test(lden_of_hours),
        cmocka_unit_test(hong_kong_percussive),     cmocka_unit_test(exposure_of_the_crew),
        cmocka_unit_test(impulse_adjusted_period),  cmocka_unit_test(maximum_of_a_blow),
        cmocka_unit_test(probability_of_exceeding), cmocka_unit_test(probability_beside_others),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
