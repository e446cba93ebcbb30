/* test_signal_vibration.c - the vibration meter and its arithmetic against closed forms, DIN
 * 4150-2, ISO 8041-1:2017 decay times, and properties. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include "stillground/signal.h"
#include "../support/close.h"
#include "../support/golden.h"

static const struct sg_vibration_config one_axis = { .rate_hz = 1000.0,
                                                     .naxis = 1,
                                                     .axis = { SG_AXIS_NONE },
                                                     .kind = { SG_KIND_VELOCITY },
                                                     .kb = SG_WEIGHTING_KB_80,
                                                     .takt_s = SG_UNSET };

static void measure(const struct sg_vibration_config *config, const double *const *channel,
                    size_t count, size_t block, struct sg_vibration_sums *sums)
{
    struct sg_vibration_meter *meter = NULL;
    assert_int_equal(sg_vibration_new(config, &meter), SG_OK);
    assert_int_equal(sg_vibration_sums_init(sums, config), SG_OK);
    for (size_t at = 0; at < count; at += block) {
        const double *part[SG_AXES_MAX] = { NULL };
        for (size_t i = 0; i < config->naxis; i++)
            part[i] = channel[i] + at;
        sg_vibration_run(meter, part, count - at < block ? count - at : block,
                         (double)at / config->rate_hz, sums);
    }
    sg_vibration_close(meter, sums);
    sg_vibration_free(meter);
}

static double *sine(double hz, double peak, double rate_hz, size_t count)
{
    double *x = malloc(count * sizeof *x);
    assert_non_null(x);
    for (size_t i = 0; i < count; i++)
        x[i] = peak * sin(2.0 * SG_PI * hz * (double)i / rate_hz);
    return x;
}

/* golden/closed_forms.csv: VDV, eVDV, MSDV sums, vector sum, KB_FTm, levels. */
static void closed_forms(void **state)
{
    (void)state;
    struct golden *t = golden_read("closed_forms.csv", 28);
    const double three[] = { 0.1, 0.2, 0.3 }, takt[] = { 0.5, 0.05, 0.3 };
    assert_close(sg_vdv_repeat(0.1, 16.0), golden_number(t, 10, "value"), 1e-8, 0.0);
    assert_close(sg_vdv_repeat(0.2, 16.0), golden_number(t, 11, "value"), 1e-8, 0.0);
    assert_close(sg_vdv_combine(three, 3), golden_number(t, 12, "value"), 1e-8, 0.0);
    assert_close(sg_kbftm(takt, 3), golden_number(t, 20, "value"), 1e-8, 0.0);
    assert_close(sg_jp_level_db(0.01), golden_number(t, 25, "value"), 1e-8, 0.0);
    assert_close(sg_level_db(1e-3 * 1e-3, sg_reference(SG_REFERENCE_VELOCITY_ISO)->value),
                 golden_number(t, 22, "value"), 1e-8, 0.0);
    assert_close(sg_level_db(1e-3 * 1e-3, sg_reference(SG_REFERENCE_VELOCITY_US)->value),
                 golden_number(t, 23, "value"), 1e-8, 0.0);
    /* the same references in their own unit: 0.0254 mm/s is 1e-3 in/s */
    free(t);
    assert_close(sg_kbftm(&takt[1], 1), 0.0, 0.0, 0.0);
    const double edge = 0.1;
    assert_close(sg_kbftm(&edge, 1), 0.0, 0.0, 0.0);
    assert_close(sg_kbftr(0.3, 3600.0, 0.0, 57600.0), 0.075, 1e-12, 0.0);
    assert_close(sg_kbftr(0.3, 3600.0, 3600.0, 57600.0), 0.3 * sqrt(3.0 / 16.0), 1e-12, 0.0);
    assert_unset(sg_kbftr(0.3, 3600.0, 0.0, 0.0));
    assert_unset(sg_kbftm(NULL, 0));
}

/* A weighted sine, 60 s: a_w rms, VDV, eVDV, crest, MTVV by their closed forms, with the gain of
 * the weighting at that frequency (20 Hz, Wk and Wb and Wd and Wm), within 0.2 % after settling. */
static void doses_of_a_sine(void **state)
{
    (void)state;
    struct golden *t = golden_read("closed_forms.csv", 28);
    struct sg_vibration_config config = one_axis;
    config.kind[0] = SG_KIND_ACCELERATION;
    const size_t count = 60000;
    double *x = sine(20.0, 1.0, config.rate_hz, count);
    const double *channel[1] = { x };
    struct sg_vibration_sums sums;
    struct sg_vibration_figures f;
    measure(&config, channel, count, 4096, &sums);
    sg_vibration_read(&sums, &f);
    for (int d = 0; d < SG_DOSE_END; d++) {
        struct sg_analogue analogue;
        double gain, phase;
        assert_int_equal(sg_analogue_weighting(sg_dose_weighting((enum sg_dose)d),
                                               SG_KIND_ACCELERATION, &analogue),
                         SG_OK);
        sg_analogue_response(&analogue, 20.0, &gain, &phase);
        const struct sg_dose_figures *dose = &f.axis[0].dose[d];
        assert_close(dose->aw_rms, gain / sqrt(2.0), 0.002, 0.0);
        assert_close(dose->vdv, gain * golden_number(t, 0, "value"), 0.003, 0.0);
        assert_close(dose->evdv, gain * golden_number(t, 7, "value"), 0.002, 0.0);
        assert_close(dose->evdv / dose->vdv, golden_number(t, 8, "value"), 0.004, 0.0);
        assert_close(dose->mtvv, gain / sqrt(2.0), 0.05, 0.0); /* the switch-on is in it */
        assert_false(dose->crest_warning);
        assert_false(dose->use_vdv);
    }
    sg_vibration_sums_release(&sums);
    free(x);
    free(t);
}

/* The accumulators themselves, without a filter: fourth powers of square, saw, sine to 1e-4, and
 * MTVV of a burst of 1 s: exponential 0.79506 of linear. */
static void running_means(void **state)
{
    (void)state;
    struct golden *t = golden_read("closed_forms.csv", 28);
    const double rate = 1000.0;
    double sine4 = 0.0, saw4 = 0.0, linear = 0.0, slow = 0.0;
    struct sg_running running;
    struct sg_exponential exponential;
    assert_int_equal(sg_running_init(&running, rate, 1.0), SG_OK);
    sg_exponential_init(&exponential, rate, 1.0);
    for (size_t i = 0; i < 60000; i++) {
        double s = sin(2.0 * SG_PI * 16.0 * ((double)i + 0.5) / rate);
        double w = fmod(((double)i + 0.5) / 500.0, 2.0) - 1.0;
        sine4 += s * s * s * s / rate;
        saw4 += w * w * w * w / rate;
        double burst = i >= 10000 && i < 11000 ? s * s : 0.0;
        double mean = sg_running_step(&running, burst);
        linear = sg_is_set(mean) ? fmax(linear, mean) : linear;
        slow = fmax(slow, sg_exponential_step(&exponential, burst));
    }
    assert_close(sqrt(sqrt(sine4)), golden_number(t, 0, "value"), 1e-4, 0.0);
    assert_close(sqrt(sqrt(saw4)), golden_number(t, 5, "value"), 1e-4, 0.0);
    assert_close(sqrt(linear), sqrt(0.5), 1e-9, 0.0);
    assert_close(sqrt(slow / linear), golden_number(t, 19, "value"), 0.002, 0.0);
    sg_running_release(&running);
    free(t);
}

/* ISO 8041-1:2017 Tables 10, 11: time for the running rms to fall to 10 %. */
static void running_rms_decay(void **state)
{
    (void)state;
    struct golden *t = golden_read("iso8041_decay.csv", 3);
    const double rate = 1000.0;
    for (size_t i = 0; i < t->rows; i++) {
        double tau = golden_number(t, i, "tau_s"), linear_s = 0.0, slow_s = 0.0;
        struct sg_running running;
        struct sg_exponential exponential;
        assert_int_equal(sg_running_init(&running, rate, tau), SG_OK);
        sg_exponential_init(&exponential, rate, tau);
        exponential.y = 1.0;
        for (size_t k = 0; k < running.length; k++)
            (void)sg_running_step(&running, 1.0);
        for (size_t k = 1; linear_s <= 0.0 || slow_s <= 0.0; k++) {
            if (sg_running_step(&running, 0.0) <= 0.0100001 && linear_s <= 0.0)
                linear_s = (double)k / rate;
            if (sg_exponential_step(&exponential, 0.0) <= 0.01 && slow_s <= 0.0)
                slow_s = (double)k / rate;
        }
        assert_close(linear_s, golden_number(t, i, "printed_linear_s"), 0.0, 0.0026);
        assert_close(slow_s, golden_number(t, i, "printed_exp_s"), 0.0, 0.055);
        sg_running_release(&running);
    }
    free(t);
}

/* KB rms and KB_Fmax of a 1 mm/s sine from the golden table (unverified constants), with the band
 * limit's factor; the ripple at twice the frequency is in KB_Fmax. */
static void kb_of_a_sine(void **state)
{
    (void)state;
    struct golden *t = golden_read("kb_factors.csv", 29);
    const size_t count = 125000;
    for (size_t i = 3; i < 23; i += 3) {
        double hz = pow(10.0, golden_number(t, i, "n") / 10.0);
        struct sg_vibration_config config = one_axis;
        double *x = sine(hz, 1.0, config.rate_hz, count);
        for (size_t k = 0; k < 4000; k++)
            x[k] *= (double)k / 4000.0;
        const double *channel[1] = { x };
        struct sg_vibration_sums sums;
        struct sg_vibration_figures f;
        measure(&config, channel, count, 3000, &sums);
        sg_vibration_read(&sums, &f);
        double wanted = golden_number(t, i, "KBFmax_for_1mm_s_peak_no_BL_tau0.125") *
                        golden_number(t, i, "bandlimit_0.8_100");
        assert_close(f.axis[0].kbf_max, wanted, 0.01, 0.0);
        assert_int_equal(f.axis[0].takts, 5); /* 4 whole ones and 5 s of the fifth */
        assert_close(f.axis[0].kbft_m, wanted, 0.012, 0.0);
        sg_vibration_sums_release(&sums);
        free(x);
    }
    free(t);
}

/* A sine of 10 mm/s at 20 Hz is 1.256637 m/s2 and 0.0795775 mm; the same from acceleration with an
 * offset of 0.05 m/s2 added, within 0.5 % and without drift. */
static void velocity_acceleration_displacement(void **state)
{
    (void)state;
    struct golden *t = golden_read("closed_forms.csv", 28);
    const double a_peak = golden_number(t, 26, "value"), d_peak = golden_number(t, 27, "value");
    const size_t count = 30000;
    struct sg_vibration_config config = one_axis;
    double *v = sine(20.0, 10.0, 1000.0, count), *a = sine(20.0, a_peak, 1000.0, count);
    for (size_t i = 0; i < count; i++) {
        double fade = fmin(1.0, (double)i / 8000.0) * fmin(1.0, (double)(count - 1 - i) / 5000.0);
        v[i] *= fade;
        a[i] = a[i] * fade + 0.05;
    }
    const double *from_v[1] = { v }, *from_a[1] = { a };
    struct sg_vibration_sums sums;
    struct sg_vibration_figures f;
    measure(&config, from_v, count, 4096, &sums);
    sg_vibration_read(&sums, &f);
    sg_vibration_sums_release(&sums);
    assert_close(f.axis[0].ppv_mm_s, 10.0, 1e-4, 0.0);
    assert_close(f.axis[0].acceleration_m_s2, a_peak, 0.005, 0.0);
    assert_close(f.axis[0].displacement_mm, d_peak, 0.005, 0.0);
    assert_close(f.axis[0].frequency_crossing_hz, 20.0, 0.001, 0.0);
    assert_close(f.axis[0].frequency_spectrum_hz, 20.0, 0.005, 0.0);
    assert_close(f.axis[0].rms_1s_mm_s, 10.0 / sqrt(2.0), 0.001, 0.0);
    config.kind[0] = SG_KIND_ACCELERATION;
    config.offset[0] = 0.05;
    measure(&config, from_a, count, 4096, &sums);
    sg_vibration_read(&sums, &f);
    assert_close(f.axis[0].ppv_mm_s, 10.0, 0.005, 0.0);
    assert_close(f.axis[0].acceleration_m_s2, a_peak, 0.005, 0.0);
    assert_close(f.axis[0].displacement_mm, d_peak, 0.005, 0.0);
    sg_vibration_sums_release(&sums);
    free(v);
    free(a);
    free(t);
}

/* (3, 4, 12) at one moment: 13; the vector sum of maxima at different moments is only a bound. */
static void vector_sums(void **state)
{
    (void)state;
    struct sg_vibration_config config = one_axis;
    config.naxis = 3;
    for (size_t i = 0; i < 3; i++) {
        config.axis[i] = (enum sg_axis)i;
        config.kind[i] = SG_KIND_VELOCITY;
    }
    static double x[3][2000];
    const double peak[3] = { 3.0, 4.0, 12.0 };
    for (size_t i = 0; i < 3; i++)
        x[i][500] = peak[i];
    const double *channel[3] = { x[0], x[1], x[2] };
    struct sg_vibration_sums sums;
    struct sg_vibration_figures f;
    measure(&config, channel, 2000, 2000, &sums);
    sg_vibration_read(&sums, &f);
    sg_vibration_sums_release(&sums);
    assert_close(f.pvs_mm_s, 13.0, 1e-12, 0.0);
    assert_close(f.pvs_time_s, 0.5, 1e-12, 0.0);
    assert_close(f.vsc_mm_s, 13.0, 1e-12, 0.0);
    assert_int_equal(f.pcpv_axis, 2);
    assert_close(f.pcpv_mm_s, 12.0, 1e-12, 0.0);
    x[0][500] = 0.0;
    x[0][700] = 3.0;
    measure(&config, channel, 2000, 100, &sums);
    sg_vibration_read(&sums, &f);
    sg_vibration_sums_release(&sums);
    assert_close(f.pvs_mm_s, sqrt(160.0), 1e-12, 0.0);
    assert_close(f.vsc_mm_s, 13.0, 1e-12, 0.0);
}

/* Three unit sines 120 degrees apart (derived): largest component 1.000, peak of the vector sum
 * 1.2247, vector sum of the maxima 1.7321. */
static void three_sines(void **state)
{
    (void)state;
    struct sg_vibration_config config = one_axis;
    config.naxis = 3;
    static double x[3][3000];
    const double *channel[3] = { x[0], x[1], x[2] };
    for (size_t i = 0; i < 3; i++) {
        config.axis[i] = (enum sg_axis)i;
        config.kind[i] = SG_KIND_VELOCITY;
        for (size_t k = 0; k < 3000; k++)
            x[i][k] = sin(2 * SG_PI * (12.0 * (double)k / config.rate_hz + (double)i / 3));
    }
    struct sg_vibration_sums sums;
    struct sg_vibration_figures f;
    measure(&config, channel, 3000, 3000, &sums);
    sg_vibration_read(&sums, &f);
    sg_vibration_sums_release(&sums);
    assert_close(f.pcpv_mm_s, 1.000, 0.0, 1e-3);
    assert_close(f.pvs_mm_s, 1.2247, 0.0, 1e-3);
    assert_close(f.vsc_mm_s, 1.7321, 0.0, 2e-3);
}

/* Damped sines sampled at 1 kHz: interpolated peak within 0.2 % of the continuous one, zero
 * crossing within 0.1 % up to 50 Hz, transform within its step; the golden file gives what each
 * reads. */
static void dominant_frequency(void **state)
{
    (void)state;
    struct golden *t = golden_read("dominant_frequency.csv", 7);
    for (size_t i = 0; i < t->rows; i++) {
        double f0 = golden_number(t, i, "f0_hz"), f;
        enum { COUNT = 4096 };
        static double x[COUNT];
        struct sg_peak_finder finder = { .seen = 0 };
        struct sg_peak peak;
        sg_peak_clear(&peak);
        size_t at = 0;
        for (size_t k = 0; k < COUNT; k++) {
            double s = (double)k / 1000.0 - 0.2;
            x[k] = s < 0.0 ? 0.0 : 10.0 * exp(-s / 0.15) * sin(2.0 * SG_PI * f0 * s);
            sg_peak_step(&finder, &peak, x[k], (double)k / 1000.0, 1e-3);
            at = fabs(x[k]) > fabs(x[at]) ? k : at;
        }
        assert_close(peak.sampled, golden_number(t, i, "ppv_sampled_1kHz"), 1e-5, 0.0);
        assert_close(peak.value, golden_number(t, i, "ppv_continuous"), 0.002, 0.0);
        assert_true(peak.sampled / golden_number(t, i, "ppv_continuous") >= cos(SG_PI * f0 / 1e3));
        assert_close(sg_frequency_crossing(x, COUNT, at, 1000.0),
                     golden_number(t, i, "zero_crossing_hz"), 2e-4, 0.0);
        assert_int_equal(sg_frequency_spectrum(x, COUNT, 1000.0, false, &f), SG_OK);
        assert_close(f, golden_number(t, i, "fft_peak_hz_16384"), 0.0, 1e-3);
    }
    free(t);
    const double flat[4] = { 1.0, 1.0, 1.0, 1.0 };
    assert_unset(sg_frequency_crossing(flat, 4, 1, 1000.0));
}

/* Step of 1 m/s2 and base velocity step of 1 mm/s, damping 5 %; undamped: 2 and 1. */
static void response_spectrum(void **state)
{
    (void)state;
    struct golden *t = golden_read("sdof_pseudo.csv", 10);
    enum { COUNT = 40000 };
    static double a[COUNT];
    const double rate = 20000.0;
    for (size_t i = 0; i < t->rows; i++) {
        bool step = strncmp(golden_text(t, i, "input"), "step", 4) == 0;
        double fn = golden_number(t, i, "fn_hz");
        for (size_t k = 0; k < COUNT; k++)
            a[k] = step ? 1.0 : 0.0;
        if (!step)
            a[0] = 1e-3 * 2.0 * rate; /* a ramp down over one step: 1 mm/s */
        double psv = sg_response_psv(a, COUNT, rate, fn, golden_number(t, i, "zeta"));
        assert_close(psv, golden_number(t, i, "PSV_m_s"), step ? 1e-5 : 0.005, 0.0);
        if (step) {
            assert_close(psv * 2.0 * SG_PI * fn, 1.85446789, 1e-5, 0.0);
            assert_close(sg_response_psv(a, COUNT, rate, fn, 0.0) * 2.0 * SG_PI * fn, 2.0, 1e-4,
                         0.0);
        }
    }
    free(t);
    assert_unset(sg_response_psv(a, COUNT, rate, 0.0, 0.05));
}

/* Japanese level: a vertical sine of 0.01 m/s2 rms at 6.3 Hz reads 60.17 dB by the fitted form. */
static void japanese_level(void **state)
{
    (void)state;
    struct sg_vibration_config config = one_axis;
    config.axis[0] = SG_AXIS_Z;
    config.kind[0] = SG_KIND_ACCELERATION;
    const size_t count = 120000;
    double *x = sine(6.30957, 0.01 * sqrt(2.0), 1000.0, count);
    const double *channel[1] = { x };
    struct sg_vibration_sums sums;
    struct sg_vibration_figures f;
    measure(&config, channel, count, 4096, &sums);
    sg_vibration_read(&sums, &f);
    assert_int_equal(sums.axis[0].jp.total, 24);
    assert_close(f.axis[0].vl_l10_db, 60.165, 0.0, 0.15);
    assert_unset(f.axis[0].dose[SG_DOSE_D].vdv); /* Wd is for horizontal axes */
    sg_vibration_sums_release(&sums);
    free(x);
}

/* Linear in calibration, and blind to blocks and to intervals. */
static void properties(void **state)
{
    (void)state;
    struct sg_vibration_config config = one_axis;
    const size_t count = 64000;
    double *x = malloc(count * sizeof *x), *y = malloc(count * sizeof *y);
    assert_non_null(x);
    assert_non_null(y);
    uint32_t seed = 11;
    for (size_t i = 0; i < count; i++) {
        seed = seed * 1664525u + 1013904223u;
        x[i] = (double)seed / 4294967296.0 - 0.5;
        y[i] = 3.0 * x[i];
    }
    const double *one[1] = { x }, *three[1] = { y };
    struct sg_vibration_sums a, b, c, part, total;
    struct sg_vibration_figures fa, fb, fc, ft;
    measure(&config, one, count, count, &a);
    measure(&config, one, count, 77, &b);
    measure(&config, three, count, 1000, &c);
    struct sg_vibration_meter *meter = NULL;
    assert_int_equal(sg_vibration_new(&config, &meter), SG_OK);
    assert_int_equal(sg_vibration_sums_init(&part, &config), SG_OK);
    assert_int_equal(sg_vibration_sums_init(&total, &config), SG_OK);
    for (size_t at = 0; at < count; at += 30000) { /* whole takts, then what is left */
        const double *from[1] = { x + at };
        sg_vibration_sums_clear(&part);
        sg_vibration_run(meter, from, count - at < 30000 ? count - at : 30000, (double)at / 1000.0,
                         &part);
        sg_vibration_close(meter, &part);
        sg_vibration_sums_merge(&total, &part);
    }
    sg_vibration_read(&a, &fa);
    sg_vibration_read(&b, &fb);
    sg_vibration_read(&c, &fc);
    sg_vibration_read(&total, &ft);
    const struct sg_axis_figures *p = &fa.axis[0], *q = &fb.axis[0], *r = &fc.axis[0],
                                 *s = &ft.axis[0];
    const double row[][4] = {
        { p->ppv_mm_s, q->ppv_mm_s, r->ppv_mm_s, s->ppv_mm_s },
        { p->rms_mm_s, q->rms_mm_s, r->rms_mm_s, s->rms_mm_s },
        { p->rms_1s_mm_s, q->rms_1s_mm_s, r->rms_1s_mm_s, s->rms_1s_mm_s },
        { p->displacement_mm, q->displacement_mm, r->displacement_mm, s->displacement_mm },
        { p->acceleration_m_s2, q->acceleration_m_s2, r->acceleration_m_s2, s->acceleration_m_s2 },
        { p->kbf_max, q->kbf_max, r->kbf_max, s->kbf_max },
        { p->dose[0].vdv, q->dose[0].vdv, r->dose[0].vdv, s->dose[0].vdv },
        { p->dose[3].aw_rms, q->dose[3].aw_rms, r->dose[3].aw_rms, s->dose[3].aw_rms },
        { p->dose[2].mtvv, q->dose[2].mtvv, r->dose[2].mtvv, s->dose[2].mtvv },
        { sg_bands_rms(&a.axis[0].bands, -10), sg_bands_rms(&b.axis[0].bands, -10),
          sg_bands_rms(&c.axis[0].bands, -10), sg_bands_rms(&total.axis[0].bands, -10) },
    };
    for (size_t i = 0; i < SG_COUNT(row); i++) {
        assert_close(row[i][1], row[i][0], 1e-12, 0.0);
        assert_close(row[i][2], 3.0 * row[i][0], 1e-9, 0.0);
        assert_close(row[i][3], row[i][0], 1e-9, 0.0);
    }
    assert_int_equal(p->takts, s->takts);
    assert_close(s->frequency_crossing_hz, p->frequency_crossing_hz, 1e-9, 0.0);
    sg_vibration_free(meter);
    sg_vibration_sums_release(&a);
    sg_vibration_sums_release(&b);
    sg_vibration_sums_release(&c);
    sg_vibration_sums_release(&part);
    sg_vibration_sums_release(&total);
    free(x);
    free(y);
}

static void refused(void **state)
{
    (void)state;
    struct sg_vibration_config config = one_axis;
    struct sg_vibration_meter *meter = NULL;
    config.rate_hz = 1.0;
    assert_int_equal(sg_vibration_new(&config, &meter), SG_ERR_DOMAIN);
    config = one_axis;
    config.naxis = 4;
    assert_int_equal(sg_vibration_new(&config, &meter), SG_ERR_DOMAIN);
    config = one_axis;
    config.kind[0] = SG_KIND_PRESSURE;
    assert_int_equal(sg_vibration_new(&config, &meter), SG_ERR_DOMAIN);
    assert_null(meter);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(closed_forms),
        cmocka_unit_test(doses_of_a_sine),
        cmocka_unit_test(running_means),
        cmocka_unit_test(running_rms_decay),
        cmocka_unit_test(kb_of_a_sine),
        cmocka_unit_test(velocity_acceleration_displacement),
        cmocka_unit_test(vector_sums),
        cmocka_unit_test(three_sines),
        cmocka_unit_test(dominant_frequency),
        cmocka_unit_test(response_spectrum),
        cmocka_unit_test(japanese_level),
        cmocka_unit_test(properties),
        cmocka_unit_test(refused),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
