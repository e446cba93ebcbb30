/* test_signal_sound.c - the sound meter and ratings against IEC 61672-1:2013 Tables 4 and 5,
 * NT ACOU 112:2002 and ISO 1996-2 examples, and closed forms. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "stillground/signal.h"
#include "../support/close.h"
#include "../support/golden.h"

/* Runs a signal through a fresh meter in blocks of `block`. */
static void meter_of(const double *in, size_t count, double rate_hz, size_t block,
                     struct sg_sound_sums *sums)
{
    struct sg_sound_config config = { .rate_hz = rate_hz, .bands = true, .sample_s = SG_UNSET };
    struct sg_sound_meter *meter = NULL;
    assert_int_equal(sg_sound_new(&config, &meter), SG_OK);
    assert_int_equal(sg_sound_sums_init(sums), SG_OK);
    for (size_t at = 0; at < count; at += block)
        sg_sound_run(meter, in + at, count - at < block ? count - at : block, (double)at / rate_hz,
                     sums);
    sg_sound_close(meter, sums);
    sg_sound_free(meter);
}

static double *tone_of(double hz, double rms, double rate_hz, size_t count)
{
    double *tone = malloc(count * sizeof *tone);
    assert_non_null(tone);
    for (size_t i = 0; i < count; i++)
        tone[i] = rms * sqrt(2.0) * sin(2.0 * SG_PI * hz * (double)i / rate_hz);
    return tone;
}

/* IEC 61672-1:2013 Table 4, through the detector alone: +-0.05 dB of Eq. (7), (8). */
static void tone_bursts_through_detectors(void **state)
{
    (void)state;
    struct golden *table = golden_read("toneburst.csv", 12);
    const double rate = 192000.0;
    for (size_t i = 0; i < table->rows; i++) {
        double length_s = golden_number(table, i, "Tb_ms") / 1000.0;
        struct sg_exponential fast, slow, rise;
        sg_exponential_init(&fast, rate, sg_time_weighting(SG_TIME_FAST)->rise_s);
        sg_exponential_init(&slow, rate, sg_time_weighting(SG_TIME_SLOW)->rise_s);
        sg_exponential_init(&rise, rate, sg_time_weighting(SG_TIME_IMPULSE)->rise_s);
        double energy = 0.0, f = 0.0, s = 0.0, n = 0.0;
        size_t count = (size_t)lround(length_s * rate);
        for (size_t k = 0; k < count; k++) {
            double x = sqrt(2.0) * sin(2.0 * SG_PI * 4000.0 * ((double)k + 0.5) / rate);
            energy += x * x / rate;
            f = fmax(f, sg_exponential_step(&fast, x * x));
            s = fmax(s, sg_exponential_step(&slow, x * x));
            n = fmax(n, sg_exponential_step(&rise, x * x));
        }
        assert_close(sg_level_db(f, 1.0), golden_number(table, i, "LFmax_minus_L_db"), 0.0, 0.05);
        assert_close(sg_level_db(s, 1.0), golden_number(table, i, "LSmax_minus_L_db"), 0.0, 0.05);
        assert_close(sg_level_db(n, 1.0), golden_number(table, i, "LImax_minus_L_db"), 0.0, 0.1);
        assert_close(sg_level_db(energy, 1.0), golden_number(table, i, "LE_minus_L_db"), 0.0, 0.01);
    }
    free(table);
}

/* The whole meter, with the A filter, at 48 kHz: class 1 limits of Table 4. */
static void tone_bursts_are_class_1(void **state)
{
    (void)state;
    struct golden *table = golden_read("toneburst.csv", 12);
    const double rate = 48000.0, hz = 4000.0;
    const size_t count = (size_t)(3.0 * rate);
    struct sg_sound_sums sums;
    struct sg_sound_figures steady, burst;
    double *tone = tone_of(hz, 1.0, rate, count);
    meter_of(tone, count, rate, 4096, &sums);
    sg_sound_read(&sums, &steady);
    sg_sound_sums_release(&sums);
    for (size_t i = 0; i < table->rows; i++) {
        size_t length = (size_t)lround(golden_number(table, i, "Tb_ms") / 1000.0 * rate);
        for (size_t k = 0; k < count; k++)
            tone[k] = k < 4800 || k >= 4800 + length
                          ? 0.0
                          : sqrt(2.0) * sin(2.0 * SG_PI * hz * (double)(k - 4800) / rate);
        meter_of(tone, count, rate, 4096, &sums);
        sg_sound_read(&sums, &burst);
        sg_sound_sums_release(&sums);
        double f = burst.lafmax_db - steady.laeq_db - golden_number(table, i, "printed_F");
        double s = burst.lasmax_db - steady.laeq_db - golden_number(table, i, "printed_S");
        double e = burst.lae_db - steady.laeq_db - golden_number(table, i, "printed_E");
        assert_true(f <= golden_number(table, i, "F_class1_up"));
        assert_true(f >= golden_number(table, i, "F_class1_lo"));
        assert_true(e <= golden_number(table, i, "F_class1_up"));
        assert_true(e >= golden_number(table, i, "F_class1_lo"));
        if (strlen(golden_text(table, i, "printed_S")) > 0) {
            assert_true(s <= golden_number(table, i, "S_class1_up"));
            assert_true(s >= golden_number(table, i, "S_class1_lo"));
        }
    }
    free(tone);
    free(table);
}

/* Decay after switch-off: 34.74, 4.343, 2.895, 6.894 dB/s, within 0.5 %. */
static void detectors_decay(void **state)
{
    (void)state;
    struct golden *table = golden_read("time_weighting_decay.csv", 4);
    for (size_t i = 0; i < table->rows; i++) {
        struct sg_exponential detector;
        sg_exponential_init(&detector, 8000.0, golden_number(table, i, "tau_s"));
        detector.y = 1.0;
        for (size_t k = 0; k < 8000; k++)
            (void)sg_exponential_step(&detector, 0.0);
        assert_close(-sg_level_db(detector.y, 1.0), golden_number(table, i, "decay_db_per_s"),
                     0.005, 0.0);
    }
    free(table);
    assert_close(sg_time_weighting(SG_TIME_IMPULSE)->fall_s, 1.5, 0.0, 0.0);
}

/* IEC 61672-1:2013 Table 5: printed values with class 1 limits, computed values within 0.1 dB. */
static void c_weighted_peaks(void **state)
{
    (void)state;
    struct golden *table = golden_read("lcpeak.csv", 5);
    const double rate = 192000.0, limit[5] = { 2.0, 1.0, 2.0, 1.0, 1.0 };
    const size_t count = (size_t)(0.5 * rate);
    double *x = malloc(count * sizeof *x);
    assert_non_null(x);
    for (size_t i = 0; i < table->rows; i++) {
        double hz = golden_number(table, i, "exact_hz");
        const char *signal = golden_text(table, i, "signal");
        double cycles = signal[0] == 'o' ? 1.0 : 0.5,
               sign = strchr(signal, '-') != NULL ? -1.0 : 1.0;
        for (size_t k = 0; k < count; k++) {
            double t = (double)k / rate - 0.01;
            x[k] = t > 0.0 && t < cycles / hz ? sign * sqrt(2.0) * sin(2.0 * SG_PI * hz * t) : 0.0;
        }
        struct sg_sound_sums sums;
        struct sg_sound_figures figures;
        meter_of(x, count, rate, 1000, &sums);
        sg_sound_read(&sums, &figures);
        sg_sound_sums_release(&sums);
        struct sg_analogue c;
        double gain, phase;
        assert_int_equal(sg_analogue_weighting(SG_WEIGHTING_C, SG_KIND_PRESSURE, &c), SG_OK);
        sg_analogue_response(&c, hz, &gain, &phase);
        double steady_db = sg_level_db(gain * gain, 20e-6);
        double found = figures.lcpeak_db - steady_db;
        assert_close(found, golden_number(table, i, "LCpeak_minus_LC_db"), 0.0, 0.1);
        assert_close(found, golden_number(table, i, "printed_db"), 0.0, limit[i]);
    }
    free(x);
    free(table);
}

/* 94 dB at 1 kHz: every level by its definition; percentiles all equal; peak 3.01 dB above. */
static void steady_tone(void **state)
{
    (void)state;
    const double rate = 48000.0;
    const size_t count = (size_t)(20.0 * rate);
    double *tone = tone_of(1000.0, 1.0023744, rate, count); /* 94.0000 dB re 20 uPa */
    struct sg_sound_sums sums;
    struct sg_sound_figures f;
    meter_of(tone, count, rate, 4096, &sums);
    sg_sound_read(&sums, &f);
    sg_sound_sums_release(&sums);
    assert_close(f.lzeq_db, 94.0, 0.0, 0.0005);
    assert_close(f.laeq_db, 94.0, 0.0, 0.01);
    assert_close(f.lceq_db, 94.0, 0.0, 0.01);
    assert_close(f.lae_db, 94.0 + 10.0 * log10(20.0), 0.0, 0.01);
    assert_close(f.lafmax_db, 94.0, 0.0, 0.1); /* IEC 61672-1 5.8.3 */
    assert_close(f.lasmax_db, 94.0, 0.0, 0.1);
    assert_true(f.lcpeak_db > 97.0 && f.lcpeak_db < 97.5); /* with the switch-on */
    assert_close(f.l10_db, 94.0, 0.0, 0.1);
    assert_close(f.l50_db, 94.0, 0.0, 0.1);
    assert_close(f.third_db[0 - SG_BAND_FIRST], 94.0, 0.0, 0.05);
    assert_true(f.third_db[3 - SG_BAND_FIRST] < 94.0 - 40.0);
    assert_close(f.octave_db[10], 94.0, 0.0, 0.2); /* three thirds; their skirts add 0.12 dB */
    assert_unset(f.octave_db[0]);                  /* 1 Hz is not in the bank */
    for (size_t i = 0; i < 48000; i++) /* faded in: a steady sine peaks 3.01 dB above its level */
        tone[i] *= (double)i / 48000.0;
    meter_of(tone, count, rate, 4096, &sums);
    sg_sound_read(&sums, &f);
    sg_sound_sums_release(&sums);
    assert_close(f.lcpeak_db, 97.0103, 0.0, 0.01);
    free(tone);
}

/* Block sizes and doubling: same figures; twice the signal is 6.0206 dB more everywhere. */
static void blocks_and_gain(void **state)
{
    (void)state;
    const double rate = 44100.0;
    const size_t count = 60000;
    double *x = malloc(count * sizeof *x);
    assert_non_null(x);
    uint32_t seed = 7;
    for (size_t i = 0; i < count; i++) {
        seed = seed * 1664525u + 1013904223u;
        x[i] = (double)seed / 4294967296.0 - 0.5;
    }
    struct sg_sound_sums sums;
    struct sg_sound_figures one, other, twice;
    meter_of(x, count, rate, count, &sums);
    sg_sound_read(&sums, &one);
    sg_sound_sums_release(&sums);
    meter_of(x, count, rate, 137, &sums);
    sg_sound_read(&sums, &other);
    sg_sound_sums_release(&sums);
    for (size_t i = 0; i < count; i++)
        x[i] *= 2.0;
    meter_of(x, count, rate, 1000, &sums);
    sg_sound_read(&sums, &twice);
    sg_sound_sums_release(&sums);
    const double *a = &one.laeq_db, *b = &other.laeq_db;
    assert_close(b[0], a[0], 1e-12, 0.0);
    const double pair[][3] = { { one.laeq_db, other.laeq_db, twice.laeq_db },
                               { one.laieq_db, other.laieq_db, twice.laieq_db },
                               { one.lafmax_db, other.lafmax_db, twice.lafmax_db },
                               { one.lasmax_db, other.lasmax_db, twice.lasmax_db },
                               { one.lcpeak_db, other.lcpeak_db, twice.lcpeak_db },
                               { one.lzpeak_db, other.lzpeak_db, twice.lzpeak_db },
                               { one.third_db[31], other.third_db[31], twice.third_db[31] },
                               { one.third_max_db[40], other.third_max_db[40],
                                 twice.third_max_db[40] },
                               { one.l10_db, other.l10_db, twice.l10_db } };
    for (size_t i = 0; i < SG_COUNT(pair); i++) {
        assert_close(pair[i][1], pair[i][0], 1e-12, 0.0);
        assert_close(pair[i][2] - pair[i][0], 20.0 * log10(2.0), 0.0, i == 8 ? 0.01 : 1e-9);
    }
    free(x);
}

/* Sums of neighbours merge to those of the whole. */
static void intervals_merge(void **state)
{
    (void)state;
    const double rate = 8000.0;
    const size_t count = 80000;
    double *x = tone_of(250.0, 0.5, rate, count);
    for (size_t i = count / 2; i < count; i++)
        x[i] *= 3.0;
    struct sg_sound_config config = { .rate_hz = rate, .bands = true, .sample_s = SG_UNSET };
    struct sg_sound_meter *meter = NULL;
    struct sg_sound_sums part, total, whole;
    assert_int_equal(sg_sound_new(&config, &meter), SG_OK);
    assert_int_equal(sg_sound_sums_init(&part), SG_OK);
    assert_int_equal(sg_sound_sums_init(&total), SG_OK);
    for (size_t at = 0; at < count; at += 16000) {
        sg_sound_sums_clear(&part);
        sg_sound_run(meter, x + at, 16000, (double)at / rate, &part);
        sg_sound_close(meter, &part);
        sg_sound_sums_merge(&total, &part);
    }
    meter_of(x, count, rate, 4096, &whole);
    struct sg_sound_figures a, b;
    sg_sound_read(&total, &a);
    sg_sound_read(&whole, &b);
    assert_close(a.laeq_db, b.laeq_db, 1e-12, 0.0);
    assert_close(a.lafmax_db, b.lafmax_db, 1e-12, 0.0);
    assert_close(a.lcpeak_db, b.lcpeak_db, 1e-12, 0.0);
    assert_close(a.l50_db, b.l50_db, 1e-12, 0.0);
    assert_close(a.third_db[25], b.third_db[25], 1e-9, 0.0);
    assert_close(a.seconds, b.seconds, 1e-12, 0.0);
    sg_sound_sums_release(&part);
    sg_sound_sums_release(&total);
    sg_sound_sums_release(&whole);
    sg_sound_free(meter);
    free(x);
}

/* Ramp 1..100 by the documented rule: rank (1 - p) (n - 1). */
static void percentiles_of_a_ramp(void **state)
{
    (void)state;
    struct sg_levels levels;
    assert_int_equal(sg_levels_init(&levels), SG_OK);
    assert_unset(sg_levels_exceeded(&levels, 10.0));
    for (int i = 100; i >= 1; i--)
        sg_levels_add(&levels, (double)i);
    assert_close(sg_levels_exceeded(&levels, 10.0), 90.1, 0.0, 1e-9);
    assert_close(sg_levels_exceeded(&levels, 50.0), 50.5, 0.0, 1e-9);
    assert_close(sg_levels_exceeded(&levels, 90.0), 10.9, 0.0, 1e-9);
    assert_close(sg_levels_exceeded(&levels, 0.0), 100.0, 0.0, 1e-9);
    assert_close(sg_levels_exceeded(&levels, 100.0), 1.0, 0.0, 1e-9);
    sg_levels_release(&levels);
}

/* NT ACOU 112:2002 worked figures. */
static void impulse_prominence(void **state)
{
    (void)state;
    double p;
    (void)sg_impulse_adjustment_db(1000.0, 30.0, &p);
    assert_close(p, 11.9542, 0.0, 5e-5);
    assert_close(sg_impulse_adjustment_db(1200.0, 32.0, &p), 13.05, 0.0, 0.006);
    assert_close(p, 12.25, 0.0, 0.005);
    (void)sg_impulse_adjustment_db(300.0, 18.0, &p);
    assert_close(p, 9.94, 0.0, 0.005);
    (void)sg_impulse_adjustment_db(60.0, 11.0, &p);
    assert_close(p, 7.42, 0.0, 0.005);
    assert_close(sg_impulse_adjustment_db(1.0, 1.0, &p), 0.0, 0.0, 0.0);
    /* a 30 dB ramp in 0.30 s: onset rate 100 dB/s, P 8.954, KI 7.118 */
    double laf[200];
    bool fits;
    struct sg_onset most;
    for (size_t i = 0; i < 200; i++)
        laf[i] = 60.0 + fmin(30.0, fmax(0.0, ((double)i - 100.0) * 2.0));
    assert_int_equal(sg_impulse_prominence(laf, 200, 0.02, &most, &fits), 1);
    assert_true(fits);
    assert_close(most.rate_db_s, 100.0, 1e-9, 0.0);
    assert_close(most.rise_db, 30.0, 1e-12, 0.0);
    assert_close(most.prominence, 8.954, 0.0, 5e-4);
    assert_close(most.adjustment_db, 7.118, 0.0, 5e-4);
    (void)sg_impulse_prominence(laf, 200, 0.1, &most, &fits);
    assert_false(fits);
}

/* ISO 1996-2 examples of audibility and adjustment. */
static void tonal_adjustment(void **state)
{
    (void)state;
    const double row[][5] = { { 46.7, 37.3, 4000.0, 13.7, 6.0 },
                              { 54.1, 45.2, 430.0, 11.1, 6.0 },
                              { 53.6, 45.5, 755.0, 10.7, 6.0 } };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        double audible = sg_tonal_audibility_db(row[i][0], row[i][1], row[i][2]);
        assert_close(audible, row[i][3], 0.0, 0.05);
        assert_close(sg_tonal_adjustment_db(audible), row[i][4], 0.0, 0.0);
    }
    assert_close(sg_tonal_adjustment_db(4.0), 0.0, 0.0, 0.0);
    assert_close(sg_tonal_adjustment_db(7.0), 3.0, 0.0, 1e-12);
    /* a tone in white noise is found where it is */
    enum { COUNT = 48000 * 8 };
    double *x = tone_of(1000.0, 0.1, 48000.0, COUNT), hz, audible;
    uint32_t seed = 3;
    for (size_t i = 0; i < COUNT; i++) {
        seed = seed * 1664525u + 1013904223u;
        x[i] += 0.2 * ((double)seed / 4294967296.0 - 0.5);
    }
    struct sg_spectrum density;
    assert_int_equal(sg_spectrum_density(x, COUNT, 48000.0, 16384, SG_TAPER_HANN, &density), SG_OK);
    assert_int_equal(sg_tonal_find(&density, &hz, &audible), SG_OK);
    assert_close(hz, 1000.0, 0.0, 3.0);
    /* tone -20 dB re 1; noise 0.04/12 over 24 kHz, 200 Hz of it: -45.6 dB; +2 + lg(1 +
     * (1000/502)^2.5) */
    double expected = -20.0 - 10.0 * log10(0.04 / 12.0 / 24000.0 * 200.0) + 2.0 +
                      log10(1.0 + pow(1000.0 / 502.0, 2.5));
    assert_close(audible, expected, 0.0, 0.7);
    sg_spectrum_release(&density);
    free(x);
}

/* Energy sums of golden/closed_forms.csv; 100 dB for 15 min, 85 dB for 4 h: LEX 86.73. */
static void energy_closed_forms(void **state)
{
    (void)state;
    struct golden *table = golden_read("closed_forms.csv", 28);
    bool bound;
    assert_close(sg_lex_8h_db(94.0, 600.0), golden_number(table, 15, "value"), 1e-8, 0.0);
    assert_close(sg_level_subtract(70.0, 67.0, &bound), golden_number(table, 17, "value"), 1e-8,
                 0.0);
    assert_false(bound);
    assert_close(sg_level_subtract(70.0, 60.0, &bound), golden_number(table, 18, "value"), 1e-8,
                 0.0);
    assert_close(sg_level_subtract(70.0, 68.0, &bound), 65.67, 0.0, 0.005);
    assert_true(bound);
    assert_unset(sg_level_subtract(60.0, 60.0, &bound));
    double energy = pow(10.0, sg_lex_8h_db(100.0, 900.0) / 10.0) +
                    pow(10.0, sg_lex_8h_db(85.0, 14400.0) / 10.0);
    assert_close(10.0 * log10(energy), 86.73, 0.0, 0.005);
    free(table);
}

static void refused(void **state)
{
    (void)state;
    struct sg_sound_meter *meter = NULL;
    struct sg_sound_config slow = { .rate_hz = 500.0 };
    assert_int_equal(sg_sound_new(&slow, &meter), SG_ERR_DOMAIN);
    assert_null(meter);
    struct sg_sound_sums sums;
    struct sg_sound_figures f;
    assert_int_equal(sg_sound_sums_init(&sums), SG_OK);
    sg_sound_read(&sums, &f);
    assert_unset(f.laeq_db);
    assert_unset(f.l10_db);
    sg_sound_sums_release(&sums);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(tone_bursts_through_detectors),
        cmocka_unit_test(tone_bursts_are_class_1),
        cmocka_unit_test(detectors_decay),
        cmocka_unit_test(c_weighted_peaks),
        cmocka_unit_test(steady_tone),
        cmocka_unit_test(blocks_and_gain),
        cmocka_unit_test(intervals_merge),
        cmocka_unit_test(percentiles_of_a_ramp),
        cmocka_unit_test(impulse_prominence),
        cmocka_unit_test(tonal_adjustment),
        cmocka_unit_test(energy_closed_forms),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
