/* test_signal_joined.c - a recording split in two and joined gives the totals of the whole; the
 * offset of an accelerometer is no part of its motion, nor unheard residue a tone. Signals known by
 * construction; split ones are still around the seam, where the filters of the second part start
 * anew. */
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

#define RATE 1000
#define PART 60000 /* two takts of 30 s */

/* Sound needs a higher rate; a fifth of the time does. */
#define SOUND_RATE 8000
#define SOUND_PART 96000

static size_t first_frame;
static uint32_t rate_hz;

/* Two tones in bursts of unequal height, silent for 5 s on both sides of the seam. */
static double burst_value(size_t frame, int channel)
{
    double t = (double)(frame + first_frame) / rate_hz * (rate_hz == RATE ? 1.0 : 5.0);
    double on = fmax(0.0, sin(2.0 * SG_PI * t / 20.0 - 0.5 * SG_PI)); /* 5..15, 25..35, 45..55 */
    double height = t < 20.0 ? 0.2 : t < 40.0 ? 0.7 : t < 60.0 ? 0.4 : t < 100.0 ? 0.9 : 0.3;
    (void)channel;
    return height * on * on * (sin(2.0 * SG_PI * 17.0 * t) + 0.1 * sin(2.0 * SG_PI * 230.0 * t));
}

struct joined {
    struct sg_vibration_sums vibration;
    struct sg_sound_sums sound;
    struct sg_vibration_figures motion;
    struct sg_sound_figures noise;
};

static void join(const struct sg_measured *measured, void *payload)
{
    struct joined *joined = payload;
    if (measured->is_sound)
        sg_sound_sums_merge(&joined->sound, measured->sound_sums);
    else
        sg_vibration_sums_merge(&joined->vibration, measured->vibration_sums);
    if (measured->is_sound)
        joined->noise = measured->sound;
    else
        joined->motion = measured->vibration;
}

static void measure_part(size_t from, size_t frames, enum sg_kind kind, struct joined *joined)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct sg_calibration_channel c = SG_CALIBRATION_CHANNEL_INIT;
    c.kind = kind;
    c.by = SG_BY_FACTOR;
    c.unit_per_file = 1.0;
    c.axis = kind == SG_KIND_PRESSURE ? SG_AXIS_NONE : SG_AXIS_Z;
    struct sg_calibration calibration = { .file = "given.yaml",
                                          .channel = &c,
                                          .nchannel = 1,
                                          .start_epoch_s = SG_UNSET,
                                          .distance_m = SG_UNSET,
                                          .calibrated_epoch_s = SG_UNSET,
                                          .valid_days = SG_UNSET };
    struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
    const struct sg_measure_sinks sinks = { join, NULL, joined };
    first_frame = from;
    rate_hz = kind == SG_KIND_PRESSURE ? SOUND_RATE : RATE;
    size_t length = wav_of(bytes, 1, frames, rate_hz, true, burst_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(sg_measure(recording, &calibration, &options, &sinks, &errors), SG_OK);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

static void begin(struct joined *joined)
{
    const struct sg_vibration_config config = {
        .rate_hz = RATE, .naxis = 1, .axis = { SG_AXIS_Z }, .kind = { SG_KIND_VELOCITY }
    };
    memset(joined, 0, sizeof *joined);
    assert_int_equal(sg_vibration_sums_init(&joined->vibration, &config), SG_OK);
    sg_vibration_sums_clear(&joined->vibration);
    assert_int_equal(sg_sound_sums_init(&joined->sound), SG_OK);
}

static void end(struct joined *joined)
{
    sg_vibration_sums_release(&joined->vibration);
    sg_sound_sums_release(&joined->sound);
}

static void vibration_split_and_joined(void **state)
{
    (void)state;
    struct joined whole, parts;
    struct sg_vibration_figures made;
    begin(&whole);
    begin(&parts);
    measure_part(0, 2 * PART, SG_KIND_VELOCITY, &whole);
    measure_part(0, PART, SG_KIND_VELOCITY, &parts);
    double vdv_first = parts.motion.axis[0].dose[SG_DOSE_B].vdv;
    measure_part(PART, PART, SG_KIND_VELOCITY, &parts);
    double vdv_second = parts.motion.axis[0].dose[SG_DOSE_B].vdv;
    sg_vibration_read(&parts.vibration, &made);
    const struct sg_axis_figures *a = &whole.motion.axis[0], *b = &made.axis[0];
    assert_close(made.seconds, 120.0, 1e-12, 0.0);
    assert_close(b->ppv_mm_s, a->ppv_mm_s, 1e-9, 0.0);
    assert_close(b->frequency_crossing_hz, a->frequency_crossing_hz, 1e-9, 0.0);
    assert_close(b->rms_mm_s, a->rms_mm_s, 1e-9, 0.0);
    assert_close(b->rms_1s_mm_s, a->rms_1s_mm_s, 1e-9, 0.0);
    assert_int_equal(b->takts, 4);
    assert_int_equal(a->takts, 4);
    assert_close(b->kbf_max, a->kbf_max, 1e-9, 0.0);
    assert_close(b->kbft_m, a->kbft_m, 1e-9, 0.0);
    const struct sg_dose_figures *da = &a->dose[SG_DOSE_B], *db = &b->dose[SG_DOSE_B];
    assert_true(da->vdv > 0.0);
    assert_close(db->vdv, da->vdv, 1e-9, 0.0);
    assert_close(pow(vdv_first, 4.0) + pow(vdv_second, 4.0), pow(da->vdv, 4.0), 1e-9, 0.0);
    assert_close(db->aw_rms, da->aw_rms, 1e-9, 0.0);
    assert_close(db->mtvv, da->mtvv, 1e-9, 0.0);
    assert_close(sg_bands_rms(&parts.vibration.axis[0].bands, -18),
                 sg_bands_rms(&whole.vibration.axis[0].bands, -18), 1e-9, 0.0); /* 16 Hz */
    end(&whole);
    end(&parts);
}

static void sound_split_and_joined(void **state)
{
    (void)state;
    struct joined whole, parts;
    struct sg_sound_figures made;
    begin(&whole);
    begin(&parts);
    measure_part(0, 2 * SOUND_PART, SG_KIND_PRESSURE, &whole);
    measure_part(0, SOUND_PART, SG_KIND_PRESSURE, &parts);
    measure_part(SOUND_PART, SOUND_PART, SG_KIND_PRESSURE, &parts);
    sg_sound_read(&parts.sound, &made);
    assert_true(whole.noise.laeq_db > 40.0);
    assert_close(made.laeq_db, whole.noise.laeq_db, 0.0, 1e-6);
    assert_close(made.lceq_db, whole.noise.lceq_db, 0.0, 1e-6);
    assert_close(made.lzeq_db, whole.noise.lzeq_db, 0.0, 1e-6);
    assert_close(made.lae_db, whole.noise.lae_db, 0.0, 1e-6);
    assert_close(made.lafmax_db, whole.noise.lafmax_db, 0.0, 1e-6);
    /* S still remembers the first part, 2 s after it: exp(-2) of nothing much */
    assert_close(made.lasmax_db, whole.noise.lasmax_db, 0.0, 1e-3);
    assert_close(made.lcpeak_db, whole.noise.lcpeak_db, 0.0, 1e-6);
    assert_close(made.l1_db, whole.noise.l1_db, 0.0, 1e-6);
    assert_close(made.l5_db, whole.noise.l5_db, 0.0, 1e-6);
    assert_close(made.l10_db, whole.noise.l10_db, 0.0, 1e-6);
    assert_true(whole.noise.l10_db > whole.noise.l50_db + 1.0);
    end(&whole);
    end(&parts);
}

/* 1 m/s2 at 16.1 Hz on an offset of 0.5 m/s2: 1000 / (2 pi 16.1) mm/s by calculus. The two seconds
 * that the offset is found in do not hold whole cycles. */
static double accelerometer_value(size_t frame, int channel)
{
    double fade = sin(0.5 * SG_PI * fmin(1.0, (double)frame / 2000.0));
    (void)channel;
    return 0.5 + fade * fade * sin(2.0 * SG_PI * 16.1 * (double)frame / RATE);
}

static void keep_motion(const struct sg_measured *measured, void *payload)
{
    *(struct sg_vibration_figures *)payload = measured->vibration;
}

static void offset_of_an_accelerometer(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct sg_vibration_figures found;
    struct sg_calibration_channel c = SG_CALIBRATION_CHANNEL_INIT;
    c.kind = SG_KIND_ACCELERATION;
    c.by = SG_BY_FACTOR;
    c.unit_per_file = 1.0;
    c.axis = SG_AXIS_Z;
    struct sg_calibration calibration = { .file = "given.yaml",
                                          .channel = &c,
                                          .nchannel = 1,
                                          .start_epoch_s = SG_UNSET,
                                          .distance_m = SG_UNSET,
                                          .calibrated_epoch_s = SG_UNSET,
                                          .valid_days = SG_UNSET };
    struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
    const struct sg_measure_sinks sinks = { keep_motion, NULL, &found };
    size_t length = wav_of(bytes, 1, 20000, RATE, true, accelerometer_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    assert_int_equal(sg_measure(recording, &calibration, &options, &sinks, &errors), SG_OK);
    assert_close(found.axis[0].acceleration_m_s2, 1.0, 1e-3, 0.0);
    assert_close(found.axis[0].ppv_mm_s, 1000.0 / (2.0 * SG_PI * 16.1), 2e-3, 0.0);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

/* Rounding of a clean 1 kHz leaves lines far under hearing in nothing at all: they are no tones. */
static void tone_that_is_heard(void **state)
{
    (void)state;
    static double value[8000]; /* 2 Hz a bin, Pa^2/Hz */
    double hz = 0.0, audibility_db = 0.0;
    for (size_t k = 0; k < SG_COUNT(value); k++)
        value[k] = k < 1000 ? 1e-8 : 1e-24;
    value[500] = 1.0;
    value[4000] = 1e-12; /* 2e-12 Pa^2 is 23 dB under 20 uPa */
    const struct sg_spectrum density = { .value = value, .count = SG_COUNT(value), .step_hz = 2.0 };
    assert_int_equal(sg_tonal_find(&density, &hz, &audibility_db), SG_OK);
    assert_close(hz, 1000.0, 0.0, 1e-9);
    value[4000] = 1e-6;
    assert_int_equal(sg_tonal_find(&density, &hz, &audibility_db), SG_OK);
    assert_close(hz, 8000.0, 0.0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(vibration_split_and_joined),
        cmocka_unit_test(sound_split_and_joined),
        cmocka_unit_test(offset_of_an_accelerometer),
        cmocka_unit_test(tone_that_is_heard),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
