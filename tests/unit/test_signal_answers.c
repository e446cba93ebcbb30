/* test_signal_answers.c - every row of golden/closed_forms.csv, by name: doses, levels, sums and
 * references whose answer is known from algebra. Each is asked of the meters' own accumulators and
 * figures. A row without a check here is a failure.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>

#include "signal/lanes.h"
#include "../support/close.h"
#include "../support/golden.h"

#define RATE_HZ 4000.0
#define SECONDS 60.0
#define COUNT ((size_t)240000)

/* ---- doses: waves through the detectors, read as figures ------------------------------------- */

/* A wave at t; `noise` is standard normal (Box and Muller), made anew for each sample. */
typedef double wave(double t_s, double noise);

static double sine(double t, double noise)
{
    (void)noise;
    return sin(2.0 * SG_PI * 16.0 * t);
}
static double sine_rms_1(double t, double noise)
{
    return sqrt(2.0) * sine(t, noise);
}
static double constant(double t, double noise)
{
    (void)t;
    (void)noise;
    return 1.0;
}
static double square_wave(double t, double noise)
{
    (void)noise;
    return fmod(8.0 * t, 1.0) < 0.5 ? 1.0 : -1.0;
}
static double gaussian(double t, double noise)
{
    (void)t;
    return noise;
}
static double saw(double t, double noise)
{
    (void)noise;
    return 2.0 * fmod(2.0 * t, 1.0) - 1.0;
}
static double decaying_sine(double t, double noise)
{
    (void)noise;
    return exp(-t / 0.1) * sin(2.0 * SG_PI * 200.0 * t);
}
static double burst_1s(double t, double noise)
{
    return t >= 10.0 && t < 11.0 ? square_wave(t, noise)
                                 : 0.0; /* no ripple at twice the frequency */
}

static double uniform(uint32_t *seed)
{
    *seed = *seed * 1664525u + 1013904223u;
    return ((double)*seed + 0.5) / 4294967296.0;
}

/* The dose figures of a wave, its weighting left out; *sums gets what was summed. */
static struct sg_dose_figures dose_of(wave *shape, struct sg_dose_sums *sums)
{
    struct sg_detectors detectors;
    struct sg_exponential mean;
    struct sg_dose_sums made = { .used = true };
    static double x[SG_LANES_PIECE][SG_FILTER_LANES];
    uint32_t seed = 20;
    assert_int_equal(sg_detectors_init(&detectors, RATE_HZ, 1.0), SG_OK);
    sg_exponential_init(&mean, RATE_HZ, 1.0);
    detectors.k[0] = mean.k;
    for (size_t at = 0; at < COUNT; at += SG_LANES_PIECE) {
        struct sg_detected found;
        size_t now = COUNT - at < SG_LANES_PIECE ? COUNT - at : SG_LANES_PIECE;
        for (size_t i = 0; i < now; i++) {
            double radius = sqrt(-2.0 * log(uniform(&seed)));
            double noise = radius * cos(2.0 * SG_PI * uniform(&seed));
            x[i][0] = shape(((double)(at + i) + 0.5) / RATE_HZ, noise);
        }
        sg_detectors_run(&detectors, x, x, now, &found);
        made.peak = fmax(made.peak, sqrt(found.peak2[0]));
        made.mtvv_linear = fmax(made.mtvv_linear, found.largest_sum[0] / RATE_HZ);
        made.mtvv_exponential = fmax(made.mtvv_exponential, found.largest_mean[0]);
    }
    made.square = detectors.square[0] / RATE_HZ;
    made.fourth = detectors.fourth[0] / RATE_HZ;
    sg_detectors_release(&detectors);
    struct sg_vibration_sums all = { .rate_hz = RATE_HZ, .naxis = 1, .seconds = SECONDS };
    struct sg_vibration_figures figures;
    all.axis[0].dose[0] = made;
    sg_vibration_read(&all, &figures);
    if (sums != NULL)
        *sums = made;
    return figures.axis[0].dose[0];
}

static double vdv_of_a_sine(void)
{
    return dose_of(sine, NULL).vdv;
}
static double vdv_of_rms_1(void)
{
    return dose_of(sine_rms_1, NULL).vdv;
}
static double vdv_of_a_constant(void)
{
    return dose_of(constant, NULL).vdv;
}
static double vdv_of_a_square_wave(void)
{
    return dose_of(square_wave, NULL).vdv;
}
static double vdv_of_noise(void)
{
    return dose_of(gaussian, NULL).vdv;
}
static double vdv_of_a_saw(void)
{
    return dose_of(saw, NULL).vdv;
}
static double vdv_of_a_decay(void)
{
    return dose_of(decaying_sine, NULL).vdv;
}
static double evdv_of_a_sine(void)
{
    return dose_of(sine, NULL).evdv;
}
static double ratio_of_a_sine(void)
{
    struct sg_dose_figures dose = dose_of(sine, NULL);
    return dose.evdv / dose.vdv;
}
static double ratio_of_noise(void)
{
    struct sg_dose_figures dose = dose_of(gaussian, NULL);
    return dose.evdv / dose.vdv;
}
static double sixteen_events(void)
{
    return sg_vdv_repeat(0.1, 16.0);
}
static double sixteen_hours(void)
{
    return sg_vdv_repeat(0.2, 16.0);
}
static double three_doses(void)
{
    const double vdv[] = { 0.1, 0.2, 0.3 };
    return sg_vdv_combine(vdv, 3);
}
/* The integral of squares, from one minute to two hours. */
static double motion_dose(void)
{
    struct sg_dose_sums sums;
    (void)dose_of(sine_rms_1, &sums);
    return sqrt(0.25 * sums.square * 7200.0 / SECONDS);
}
static double burst_of_1s(void)
{
    struct sg_dose_sums sums;
    (void)dose_of(burst_1s, &sums);
    return sqrt(sums.mtvv_exponential / sums.mtvv_linear);
}

/* ---- levels ---------------------------------------------------------------------------------- */

/* Sound of a level for a time, as the meter sums it. */
static struct sg_sound_figures sound_of(const double *level_db, const double *seconds, size_t count)
{
    struct sg_sound_sums all, part;
    struct sg_sound_figures figures;
    assert_int_equal(sg_sound_sums_init(&all), SG_OK);
    assert_int_equal(sg_sound_sums_init(&part), SG_OK);
    for (size_t i = 0; i < count; i++) {
        sg_sound_sums_clear(&part);
        part.seconds = seconds[i];
        part.a2 = 4e-10 * pow(10.0, level_db[i] / 10.0) * seconds[i]; /* (20 uPa)^2 */
        sg_sound_sums_merge(&all, &part);
    }
    sg_sound_read(&all, &figures);
    sg_sound_sums_release(&all);
    sg_sound_sums_release(&part);
    return figures;
}

static double exposure_of_10s(void)
{
    const double level[] = { 94.0 }, time[] = { 10.0 };
    return sound_of(level, time, 1).lae_db;
}
static double ten_minutes_of_8h(void)
{
    const double level[] = { 94.0, -200.0 }, time[] = { 600.0, 28200.0 };
    double found = sound_of(level, time, 2).laeq_db;
    assert_close(sg_lex_8h_db(94.0, 600.0), found, 1e-9, 0.0);
    return found;
}
static double equal_halves(void)
{
    const double level[] = { 70.0, 80.0 }, time[] = { 300.0, 300.0 };
    return sound_of(level, time, 2).laeq_db;
}
static double less_67(void)
{
    bool bound;
    return sg_level_subtract(70.0, 67.0, &bound);
}
static double less_60(void)
{
    bool bound;
    return sg_level_subtract(70.0, 60.0, &bound);
}
static double level_iso(void)
{
    return sg_level_db(1e-3 * 1e-3, sg_reference(SG_REFERENCE_VELOCITY_ISO)->value);
}
static double level_us(void)
{
    double in_s = 0.0254 / SG_MM_PER_INCH;
    return sg_level_db(in_s * in_s, sg_reference(SG_REFERENCE_VELOCITY_US)->value);
}
static double level_older_european(void) /* 5e-8 m/s: in no limit set here, hence in no table */
{
    return sg_level_db(1e-4 * 1e-4, 5e-8);
}
static double level_jp(void)
{
    return sg_jp_level_db(0.01);
}

/* ---- velocities ------------------------------------------------------------------------------ */

static double takts(void)
{
    const double takt[] = { 0.5, 0.05, 0.3 };
    return sg_kbftm(takt, 3);
}

static const struct sg_vibration_config sensor = {
    .rate_hz = RATE_HZ, .naxis = 3, .kb = SG_WEIGHTING_KB_80, .takt_s = SG_UNSET
};

/* A sensor whose axes carry peak[i] sin at 20 Hz, slowly faded in and out. */
static struct sg_vibration_figures shake(const double peak[SG_AXES_MAX])
{
    static double v[SG_AXES_MAX][COUNT / 4];
    const double *channel[SG_AXES_MAX] = { v[0], v[1], v[2] };
    struct sg_vibration_meter *meter = NULL;
    struct sg_vibration_sums sums;
    struct sg_vibration_figures figures;
    const size_t count = COUNT / 4;
    for (size_t k = 0; k < count; k++) {
        double t = (double)k / RATE_HZ, fade = fmin(1.0, fmin(t, 15.0 - t) / 5.0);
        for (size_t i = 0; i < SG_AXES_MAX; i++)
            v[i][k] = peak[i] * fade * sin(2.0 * SG_PI * 20.0 * t);
    }
    assert_int_equal(sg_vibration_new(&sensor, &meter), SG_OK);
    assert_int_equal(sg_vibration_sums_init(&sums, &sensor), SG_OK);
    sg_vibration_run(meter, channel, count, 0.0, &sums);
    sg_vibration_close(meter, &sums);
    sg_vibration_read(&sums, &figures);
    sg_vibration_free(meter);
    sg_vibration_sums_release(&sums);
    return figures;
}

static double vector_sum(void)
{
    const double peak[SG_AXES_MAX] = { 3.0, 4.0, 12.0 };
    return shake(peak).pvs_mm_s;
}
static double acceleration(void)
{
    const double peak[SG_AXES_MAX] = { 10.0, 0.0, 0.0 };
    return shake(peak).axis[0].acceleration_m_s2;
}
static double displacement(void)
{
    const double peak[SG_AXES_MAX] = { 10.0, 0.0, 0.0 };
    return shake(peak).axis[0].displacement_mm;
}

/* ---- the table ------------------------------------------------------------------------------- */

/* Tolerances: rounding of the table where the answer is arithmetic; 1e-4 for waves, as the list of
 * checks that goes with the table asks; 0.5 % for noise, whose fourth power scatters by 0.2 % over
 * 240000 values; what a parabola and the corner of an integrator leave. */
static const struct {
    const char *name;
    double (*ask)(void);
    double tolerance;
} answer[] = {
    { "VDV sine amplitude 1 m/s2, 60 s", vdv_of_a_sine, 1e-7 },
    { "VDV sine rms 1 m/s2, 60 s", vdv_of_rms_1, 1e-7 },
    { "VDV constant 1 m/s2, 60 s", vdv_of_a_constant, 1e-8 },
    { "VDV square wave amplitude 1, 60 s", vdv_of_a_square_wave, 1e-8 },
    { "VDV Gaussian noise rms 1, 60 s (expected)", vdv_of_noise, 5e-3 },
    { "VDV triangle/saw amplitude 1, 60 s", vdv_of_a_saw, 1e-4 },
    { "VDV decaying sine A exp(-t/tau) sin, A=1,tau=0.1,f>>1/tau", vdv_of_a_decay, 1e-4 },
    { "eVDV sine amplitude 1, 60 s", evdv_of_a_sine, 1e-8 },
    { "ratio eVDV/VDV sine", ratio_of_a_sine, 1e-7 },
    { "ratio eVDV/VDV Gaussian", ratio_of_noise, 5e-3 },
    { "VDV 16 equal events of VDV 0.1", sixteen_events, 1e-8 },
    { "VDV day 16 h from 1 h measured 0.2 (same all day)", sixteen_hours, 1e-8 },
    { "VDV sum of 0.1,0.2,0.3", three_doses, 1e-8 },
    { "MSDV rms 0.5, 7200 s", motion_dose, 1e-8 },
    { "SEL of 94 dB for 10 s", exposure_of_10s, 1e-8 },
    { "Leq 8 h of 94 dB for 10 min else silence", ten_minutes_of_8h, 1e-8 },
    { "Leq of 70 and 80 dB equal time", equal_halves, 1e-8 },
    { "background 3 dB below total: corrected level of 70 with 67", less_67, 1e-8 },
    { "background subtract 60 from 70", less_60, 1e-8 },
    { "MTVV exp tau 1 s of a sine burst length 1 s, rms R", burst_of_1s, 1e-8 },
    { "KBFTm of takt maxima 0.5, 0.05 (counts 0), 0.3", takts, 1e-8 },
    { "PVS of v=(3,4,12) mm/s", vector_sum, 1e-6 },
    { "Lv re 1e-9 m/s of 1 mm/s rms", level_iso, 1e-8 },
    { "Lv re 1e-6 in/s of 0.0254 mm/s rms", level_us, 1e-8 },
    { "Lv re 5e-8 m/s of 0.1 mm/s rms", level_older_european, 1e-8 },
    { "JIS La re 1e-5 m/s2 of 0.01 m/s2 rms", level_jp, 1e-8 },
    { "a peak from v 10 mm/s at 20 Hz", acceleration, 1e-4 },
    { "d peak from v 10 mm/s at 20 Hz", displacement, 1e-3 },
};

static void every_row(void **state)
{
    (void)state;
    struct golden *table = golden_read("closed_forms.csv", SG_COUNT(answer));
    for (size_t i = 0; i < table->rows; i++) {
        size_t a = 0;
        while (a < SG_COUNT(answer) && strcmp(answer[a].name, golden_text(table, i, "case")) != 0)
            a++;
        if (a == SG_COUNT(answer))
            fail_msg("no check for \"%s\"", golden_text(table, i, "case"));
        double found = answer[a].ask(), want = golden_number(table, i, "value");
        if (!(fabs(found - want) <= answer[a].tolerance * fabs(want)))
            print_error("%s: %.9g, wanted %.9g\n", answer[a].name, found, want);
        assert_close(found, want, answer[a].tolerance, 0.0);
    }
    free(table);
}

int main(void)
{
    const struct CMUnitTest test[] = { cmocka_unit_test(every_row) };
    return cmocka_run_group_tests(test, NULL, NULL);
}
