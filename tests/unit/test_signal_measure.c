/* test_signal_measure.c - calibration, quality and the one-pass engine, on recordings known by
 * construction. */
#define _POSIX_C_SOURCE 200809L
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "stillground/signal.h"
#include "../support/close.h"
#include "../support/made_files.h"

static double clipped_value(size_t frame, int channel)
{
    return fmax(-1.0, fmin(1.0, 4.0 * tone_value(frame, channel)));
}

static double silent_value(size_t frame, int channel)
{
    (void)channel;
    return frame > 2000 && frame < 3000 ? 0.2 : tone_value(frame, 0) + 0.05;
}

static struct sg_calibration_channel factor_channel(double factor, enum sg_axis axis)
{
    struct sg_calibration_channel channel = SG_CALIBRATION_CHANNEL_INIT;
    channel.kind = SG_KIND_VELOCITY;
    channel.by = SG_BY_FACTOR;
    channel.unit_per_file = factor;
    channel.axis = axis;
    return channel;
}

static struct sg_calibration sidecar(struct sg_calibration_channel *channel, size_t count)
{
    struct sg_calibration calibration = { .file = "given.yaml",
                                          .channel = channel,
                                          .nchannel = count,
                                          .start_epoch_s = SG_UNSET,
                                          .distance_m = SG_UNSET,
                                          .calibrated_epoch_s = SG_UNSET,
                                          .valid_days = SG_UNSET };
    return calibration;
}

static void factors(void **state)
{
    (void)state;
    struct sg_calibration_channel c = factor_channel(2.0, SG_AXIS_Z);
    assert_close(sg_calibration_factor(&c), 2.0, 0.0, 0.0);
    c.inverted = true;
    assert_close(sg_calibration_factor(&c), -2.0, 0.0, 0.0);
    c = factor_channel(SG_UNSET, SG_AXIS_Z);
    c.by = SG_BY_SENSITIVITY;
    c.sensitivity = 28.8;
    c.volts_per_unit = 10.0;
    c.gain_db = 20.0;
    assert_close(sg_calibration_factor(&c), 1000.0 / 28.8, 1e-12, 0.0); /* 1 V / 28.8 V per m/s */
    c.kind = SG_KIND_PRESSURE;
    c.sensitivity = 50.0; /* mV per Pa */
    c.gain_db = 0.0;
    assert_close(sg_calibration_factor(&c), 200.0, 1e-12, 0.0);
    c.by = SG_BY_TONE;
    assert_unset(sg_calibration_factor(&c));
}

static void calibration_is_checked(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_calibration_channel c[4];
    for (size_t i = 0; i < 4; i++)
        c[i] = factor_channel(1.0, (enum sg_axis)i);
    struct sg_calibration calibration = sidecar(c, 3);
    assert_int_equal(sg_calibration_check(&calibration, 3, &errors), SG_OK);
    assert_false(sg_ok(sg_calibration_check(&calibration, 2, &errors)));
    calibration.nchannel = 4; /* four axes on one sensor */
    assert_false(sg_ok(sg_calibration_check(&calibration, 4, &errors)));
    calibration.nchannel = 2;
    c[1].axis = SG_AXIS_X; /* twice the same */
    assert_false(sg_ok(sg_calibration_check(&calibration, 2, &errors)));
    c[1].axis = SG_AXIS_Y;
    c[0].unit_per_file = 0.0;
    assert_false(sg_ok(sg_calibration_check(&calibration, 2, &errors)));
    c[0] = factor_channel(1.0, SG_AXIS_X);
    c[0].natural_hz = 4.5; /* damping is missing */
    assert_false(sg_ok(sg_calibration_check(&calibration, 2, &errors)));
    assert_non_null(strstr(errors.text[errors.count - 1], "damping is not given"));
    c[0].damping = 0.7;
    assert_int_equal(sg_calibration_check(&calibration, 2, &errors), SG_OK);
    c[0].correct_to_hz = 0.5;
    assert_false(sg_ok(sg_calibration_check(&calibration, 2, &errors)));
    c[0] = factor_channel(1.0, SG_AXIS_X);
    c[0].by = SG_BY_TONE; /* not for vibration */
    assert_false(sg_ok(sg_calibration_check(&calibration, 2, &errors)));
    sg_errors_release(&errors);
}

/* A calibrator of 94 dB is 1.0024 Pa rms: the factor comes out, and bad tones are refused. */
static void tone_gives_the_factor(void **state)
{
    (void)state;
    enum { COUNT = 48000 * 2 };
    double *x = malloc(COUNT * sizeof *x), factor = 0.0;
    assert_non_null(x);
    const char *why = NULL;
    struct sg_calibration_channel c = SG_CALIBRATION_CHANNEL_INIT;
    c.kind = SG_KIND_PRESSURE;
    c.tone_db = 94.0;
    for (size_t i = 0; i < COUNT; i++)
        x[i] = 0.1 * sin(2.0 * SG_PI * 1000.0 * (double)i / 48000.0) + 0.01;
    assert_int_equal(sg_calibration_tone(&c, x, COUNT, 48000.0, &factor, &why), SG_OK);
    assert_close(factor, 1.0023744 / (0.1 / sqrt(2.0)), 1e-6, 0.0);
    c.tone_db = 114.0;
    assert_int_equal(sg_calibration_tone(&c, x, COUNT, 48000.0, &factor, &why), SG_OK);
    assert_close(factor, 10.023744 / (0.1 / sqrt(2.0)), 1e-6, 0.0);
    c.tone_hz = 250.0;
    assert_int_equal(sg_calibration_tone(&c, x, COUNT, 48000.0, &factor, &why), SG_ERR_DOMAIN);
    assert_non_null(strstr(why, "frequency"));
    c.tone_hz = 1000.0;
    assert_int_equal(sg_calibration_tone(&c, x, 1000, 48000.0, &factor, &why), SG_ERR_DOMAIN);
    for (size_t i = COUNT / 2; i < COUNT; i++)
        x[i] *= 1.2;
    assert_int_equal(sg_calibration_tone(&c, x, COUNT, 48000.0, &factor, &why), SG_ERR_DOMAIN);
    assert_non_null(strstr(why, "steady"));
    uint32_t seed = 1;
    for (size_t i = 0; i < COUNT; i++) {
        seed = seed * 1664525u + 1013904223u;
        x[i] = 0.1 * sin(2.0 * SG_PI * 1000.0 * (double)i / 48000.0) +
               0.15 * ((double)seed / 4294967296.0 - 0.5);
    }
    assert_int_equal(sg_calibration_tone(&c, x, COUNT, 48000.0, &factor, &why), SG_ERR_DOMAIN);
    assert_non_null(strstr(why, "95 %"));
    free(x);
}

/* ---- measuring ------------------------------------------------------------------------------- */

struct kept {
    struct sg_measured last, whole;
    size_t calls;
    double seconds;
};

static void keep(const struct sg_measured *measured, void *payload)
{
    struct kept *kept = payload;
    if (measured->whole) {
        kept->whole = *measured;
        return;
    }
    kept->last = *measured;
    kept->calls++;
    kept->seconds += measured->seconds;
}

static sg_status measure(struct sg_recording *recording, const struct sg_calibration *calibration,
                         double interval_s, struct kept *kept, struct sg_errors *errors)
{
    struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
    const struct sg_measure_sinks sinks = { keep, NULL, kept };
    options.interval_s = interval_s;
    options.uncalibrated = calibration == NULL;
    memset(kept, 0, sizeof *kept);
    return sg_measure(recording, calibration, &options, &sinks, errors);
}

/* The invented vibratory recording at 30 m: gap seen, time missing, intervals add up to the
 * whole. */
static void example_in_intervals(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct kept one, many;
    struct sg_calibration_channel c[3];
    for (size_t i = 0; i < 3; i++)
        c[i] = factor_channel(1e-5, (enum sg_axis)i);
    struct sg_calibration calibration = sidecar(c, 3);
    assert_int_equal(
        sg_recording_open("measurements/vibratory-30m.mseed", NULL, &recording, &errors), SG_OK);
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &one, &errors), SG_OK);
    assert_int_equal(one.calls, 1);
    assert_close(one.last.seconds, 87.5, 0.0, 1e-6);
    assert_int_equal(one.last.quality.times[SG_QUALITY_GAP], 1);
    assert_close(one.last.quality.largest[SG_QUALITY_GAP], 2.5, 0.0, 1e-9);
    assert_close(one.last.quality.first_s[SG_QUALITY_GAP], 40.0, 0.0, 1e-6);
    assert_true(sg_quality_hides(&one.last.quality));
    /* largest at the passage through 12 Hz, on the vertical; a bound by vector sums */
    assert_int_equal(one.last.vibration.pcpv_axis, 2);
    assert_close(one.last.vibration.axis[2].frequency_crossing_hz, 12.3, 0.1, 0.0);
    assert_true(one.last.vibration.pvs_mm_s >= one.last.vibration.axis[2].ppv_sampled_mm_s);
    assert_true(one.last.vibration.pvs_mm_s <= one.last.vibration.vsc_mm_s);
    assert_int_equal(sg_recording_rewind(recording, &errors), SG_OK);
    assert_int_equal(measure(recording, &calibration, 30.0, &many, &errors), SG_OK);
    assert_int_equal(many.calls, 3);
    assert_close(many.seconds, 87.5, 0.0, 1e-6);
    const struct sg_axis_figures *a = &one.last.vibration.axis[2],
                                 *b = &many.whole.vibration.axis[2];
    assert_close(b->ppv_mm_s, a->ppv_mm_s, 1e-12, 0.0);
    assert_close(b->rms_mm_s, a->rms_mm_s, 1e-12, 0.0);
    assert_close(b->kbf_max, a->kbf_max, 1e-12, 0.0);
    assert_close(b->dose[SG_DOSE_B].vdv, a->dose[SG_DOSE_B].vdv, 1e-12, 0.0);
    assert_int_equal(many.whole.quality.times[SG_QUALITY_GAP], 1);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

/* The geophone correction inside the engine: a 2 Hz tone as a 4.5 Hz geophone shows it. */
static double geophone_value(size_t frame, int channel)
{
    (void)channel; /* magnitude at 2 Hz 0.1945275 (golden/geophone_4p5hz.csv) */
    double fade = fmin(1.0, (double)frame / 20000.0);
    return 0.5 * fade * 0.1945275 * sin(2.0 * SG_PI * 2.0 * (double)frame / 1000.0);
}

static void geophone_in_the_engine(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct kept kept;
    struct sg_calibration_channel c = factor_channel(10.0, SG_AXIS_Z);
    c.natural_hz = 4.5;
    c.damping = 0.7;
    struct sg_calibration calibration = sidecar(&c, 1);
    size_t length = wav_of(bytes, 1, 60000, 1000, true, geophone_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &kept, &errors), SG_OK);
    assert_close(kept.last.vibration.axis[0].ppv_mm_s, 5.0 * 0.9702, 0.005, 0.0);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

static void quality_is_seen(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct kept kept;
    struct sg_calibration_channel c = factor_channel(10.0, SG_AXIS_Z);
    struct sg_calibration calibration = sidecar(&c, 1);
    calibration.start_epoch_s = 86400.0 * 1000.0;
    calibration.calibrated_epoch_s = 0.0;
    calibration.valid_days = 730.0;
    size_t length = wav_of(bytes, 1, 10000, 1000, false, clipped_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &kept, &errors), SG_OK);
    assert_true(kept.last.quality.times[SG_QUALITY_CLIPPED] >= 399);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_CALIBRATION_OLD], 1);
    assert_close(kept.last.quality.largest[SG_QUALITY_CALIBRATION_OLD], 1000.0, 0.0, 1e-6);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_STUCK], 0);
    sg_recording_close(recording);
    length = wav_of(bytes, 1, 10000, 1000, false, silent_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    calibration.valid_days = SG_UNSET;
    c.unit_per_file = 1e-4; /* mm/s taken for something else */
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &kept, &errors), SG_OK);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_STUCK], 1);
    assert_close(kept.last.quality.largest[SG_QUALITY_STUCK], 0.999, 0.0, 0.002);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_OFFSET], 1);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_UNIT], 1);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_CLIPPED], 0);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_CALIBRATION_OLD], 0);
    sg_recording_close(recording);
    length = wav_of(bytes, 1, 10000, 1000, false, tone_value); /* nothing is wrong with this one */
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    c.unit_per_file = 10.0;
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &kept, &errors), SG_OK);
    for (int q = 0; q < SG_QUALITY_END; q++)
        assert_int_equal(kept.last.quality.times[q], 0);
    assert_false(sg_quality_hides(&kept.last.quality));
    assert_close(kept.last.vibration.axis[0].ppv_mm_s, 5.0, 0.001, 0.0);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
    for (int q = 0; q < SG_QUALITY_END; q++) /* codes are unique */
        for (int r = 0; r < q; r++)
            assert_string_not_equal(sg_quality_row((enum sg_quality)q)->code,
                                    sg_quality_row((enum sg_quality)r)->code);
}

static double spiked_value(size_t frame, int channel)
{
    return frame == 5000 ? 0.9 : 0.1 * tone_value(frame, channel);
}

static void spikes_and_bands(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct kept kept;
    struct sg_calibration_channel c = factor_channel(10.0, SG_AXIS_Z);
    struct sg_calibration calibration = sidecar(&c, 1);
    size_t length = wav_of(bytes, 1, 10000, 1000, false, spiked_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &kept, &errors), SG_OK);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_SPIKE], 1);
    assert_close(kept.last.quality.first_s[SG_QUALITY_SPIKE], 5.0, 0.0, 0.0015);
    sg_recording_close(recording);
    length = wav_of(bytes, 1, 2000, 100, false, tone_value); /* 100 Hz: 80 Hz does not fit */
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &kept, &errors), SG_OK);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_BAND], 1);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

static void no_calibration_no_figures(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct kept kept;
    struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
    const struct sg_measure_sinks sinks = { keep, NULL, &kept };
    size_t length = wav_of(bytes, 1, 10000, 1000, false, tone_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(sg_measure(recording, NULL, &options, &sinks, &errors), SG_ERR_MISSING);
    assert_int_equal(errors.count, 1);
    assert_int_equal(measure(recording, NULL, SG_UNSET, &kept, &errors), SG_OK);
    assert_int_equal(kept.last.quality.times[SG_QUALITY_UNCALIBRATED], 1);
    assert_true(sg_quality_hides(&kept.last.quality));
    sg_recording_close(recording);
    /* one sample is no recording */
    length = wav_of(bytes, 1, 1, 1000, false, tone_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(measure(recording, NULL, SG_UNSET, &kept, &errors), SG_ERR_INPUT);
    assert_non_null(strstr(errors.text[errors.count - 1], "one sample"));
    sg_recording_close(recording);
    sg_errors_release(&errors);
}

/* The invented microphone recordings carry their calibrator: 94 dB in, and it is left out of what
 * is measured. */
static void microphone_with_tone(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct kept kept;
    struct sg_calibration_channel c = SG_CALIBRATION_CHANNEL_INIT;
    c.kind = SG_KIND_PRESSURE;
    c.by = SG_BY_TONE;
    c.tone_db = 94.0;
    c.tone_start_s = 0.0;
    c.tone_end_s = 3.0;
    struct sg_calibration calibration = sidecar(&c, 1);
    assert_int_equal(
        sg_recording_open("measurements/press-in-sound-20m.flac", NULL, &recording, &errors),
        SG_OK);
    assert_int_equal(measure(recording, &calibration, SG_UNSET, &kept, &errors), SG_OK);
    assert_close(kept.last.seconds, 17.0, 0.0, 1e-6);
    /* noise 0.06 Pa, uniform, smoothed by 0.2: variance 1/3 * 0.2 / 1.8 */
    double square = 0.06 * 0.06 / 3.0 * 0.2 / 1.8;
    assert_close(kept.last.sound.lzeq_db, sg_level_db(square, 20e-6), 0.0, 0.1);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

struct rated {
    struct sg_measured last;
    double density_sum, step_hz;
    size_t count;
};

static void keep_rated(const struct sg_measured *measured, void *payload)
{
    struct rated *rated = payload;
    rated->last = *measured;
    rated->density_sum = 0.0;
    rated->count = measured->density != NULL ? measured->density[0].count : 0;
    for (size_t k = 0; k < rated->count; k++)
        rated->density_sum += measured->density[0].value[k] * measured->density[0].step_hz;
}

/* The invented microphone beside the hammer: its blows are impulses, the press-in is not; the
 * density holds the energy (the mean of each segment is taken off, as is the calibrator). */
static void impulses_and_densities(void **state)
{
    (void)state;
    static const char *const path[] = { "measurements/impact-sound-20m.flac",
                                        "measurements/press-in-sound-20m.flac" };
    struct rated rated[2];
    struct sg_calibration_channel c = SG_CALIBRATION_CHANNEL_INIT;
    c.kind = SG_KIND_PRESSURE;
    c.by = SG_BY_TONE;
    c.tone_db = 94.0;
    c.tone_start_s = 0.0;
    c.tone_end_s = 3.0;
    struct sg_calibration calibration = sidecar(&c, 1);
    for (size_t i = 0; i < 2; i++) {
        struct sg_errors errors = SG_ERRORS_INIT;
        struct sg_recording *recording = NULL;
        struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
        const struct sg_measure_sinks sinks = { keep_rated, NULL, &rated[i] };
        options.spectra = true;
        assert_int_equal(sg_recording_open(path[i], NULL, &recording, &errors), SG_OK);
        assert_int_equal(sg_measure(recording, &calibration, &options, &sinks, &errors), SG_OK);
        sg_recording_close(recording);
        assert_int_equal(errors.count, 0);
        assert_true(rated[i].count > 4096);
        assert_close(sg_level_db(rated[i].density_sum, 20e-6), rated[i].last.sound.lzeq_db, 0.0,
                     0.3);
    }
    /* 10 blows in the 16 s after the detector has risen; the rise of F is over 100 dB/s */
    assert_true(rated[0].last.onsets >= 10);
    assert_true(rated[0].last.onset.rate_db_s > 100.0);
    assert_true(rated[0].last.onset.adjustment_db > 5.0);
    assert_true(rated[1].last.onset.adjustment_db < 1.0 ||
                !sg_is_set(rated[1].last.onset.prominence));
    assert_close(rated[1].last.tone_adjustment_db > 0.0 ? 1.0 : 0.0, 0.0, 0.0, 0.0);
}

/* A part of a recording: the second of the example's blows alone. */
static void part_of_a_recording(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct kept kept;
    struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
    const struct sg_measure_sinks sinks = { keep, NULL, &kept };
    memset(&kept, 0, sizeof kept);
    options.uncalibrated = true;
    options.from_s = 3.3;
    options.to_s = 4.6;
    assert_int_equal(sg_recording_open("measurements/impact-10m.flac", NULL, &recording, &errors),
                     SG_OK);
    assert_int_equal(sg_measure(recording, NULL, &options, &sinks, &errors), SG_OK);
    assert_close(kept.last.start_s, 3.3, 0.0, 1e-9);
    assert_close(kept.last.seconds, 1.3, 0.0, 1e-9);
    assert_close(kept.last.vibration.axis[0].time_s, 3.58, 0.0, 0.05);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

/* Every allocation fails once: each time an error with a message, and nothing is left behind (the
 * sanitizers look). */
static void memory_runs_out(void **state)
{
    (void)state;
    static const char *const path[] = { "measurements/press-in-sound-20m.flac",
                                        "measurements/vibratory-30m.mseed" };
    for (size_t p = 0; p < 2; p++) {
        size_t failed = 0;
        bool whole = false;
        for (size_t n = 1; n < 500 && !whole; n++) {
            struct sg_errors errors = SG_ERRORS_INIT;
            struct sg_recording *recording = NULL;
            struct kept kept;
            sg_alloc_fail_at(n);
            sg_status status = sg_recording_open(path[p], NULL, &recording, &errors);
            if (sg_ok(status))
                status = measure(recording, NULL, SG_UNSET, &kept, &errors);
            sg_alloc_fail_at(0);
            whole = sg_ok(status);
            if (!whole) {
                assert_int_equal(status, SG_ERR_NOMEM);
                failed++;
            }
            sg_recording_close(recording);
            sg_errors_release(&errors);
        }
        assert_true(whole);
        assert_true(failed >= 10);
    }
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(factors),
        cmocka_unit_test(calibration_is_checked),
        cmocka_unit_test(tone_gives_the_factor),
        cmocka_unit_test(example_in_intervals),
        cmocka_unit_test(geophone_in_the_engine),
        cmocka_unit_test(quality_is_seen),
        cmocka_unit_test(spikes_and_bands),
        cmocka_unit_test(no_calibration_no_figures),
        cmocka_unit_test(microphone_with_tone),
        cmocka_unit_test(impulses_and_densities),
        cmocka_unit_test(part_of_a_recording),
        cmocka_unit_test(memory_runs_out),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
