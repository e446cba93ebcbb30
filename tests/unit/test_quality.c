/* test_quality.c - each finding fires on a recording that has the fault and stays quiet on the same
 * recording without it; those that could hide an exceedance take a verdict away. The faults are
 * known by construction. */
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

#include "stillground/recorded.h"
#include "../support/close.h"
#include "../support/made_files.h"

#define FRAMES 10000 /* 10 s at 1 kHz */

struct found {
    struct sg_quality_found quality[2]; /* of each sensor, the last report */
    size_t reports;
};

static void keep(const struct sg_measured *measured, void *payload)
{
    struct found *found = payload;
    found->quality[measured->group < 2 ? measured->group : 1] = measured->quality;
    found->reports++;
}

static struct sg_calibration_channel channel[2];

/* One channel z, 10 mm/s at full scale; a second one is another sensor. */
static struct sg_calibration usual(size_t count)
{
    for (size_t i = 0; i < 2; i++) {
        channel[i] = SG_CALIBRATION_CHANNEL_INIT;
        channel[i].kind = SG_KIND_VELOCITY;
        channel[i].by = SG_BY_FACTOR;
        channel[i].unit_per_file = 10.0;
        channel[i].axis = SG_AXIS_Z;
        channel[i].group = i;
    }
    return (struct sg_calibration){ .file = "given.yaml",
                                    .channel = channel,
                                    .nchannel = count,
                                    .start_epoch_s = SG_UNSET,
                                    .distance_m = SG_UNSET,
                                    .calibrated_epoch_s = SG_UNSET,
                                    .valid_days = SG_UNSET };
}

static void measure_bytes(size_t length, const struct sg_csv_map *map,
                          const struct sg_calibration *calibration, struct found *out)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
    const struct sg_measure_sinks sinks = { keep, NULL, out };
    *out = (struct found){ .reports = 0 };
    for (size_t i = 0; i < 2; i++)
        sg_quality_clear(&out->quality[i]);
    options.uncalibrated = calibration == NULL;
    assert_int_equal(open_bytes(length, map, &recording, &errors), SG_OK);
    assert_int_equal(sg_measure(recording, calibration, &options, &sinks, &errors), SG_OK);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
    assert_true(out->reports > 0);
}

/* The finding, and no other, on the first sensor. */
static void only(const struct found *found, enum sg_quality which)
{
    for (int q = 0; q < SG_QUALITY_END; q++)
        if ((found->quality[0].times[q] > 0) != (q == (int)which))
            fail_msg("%s: %llu times, expected %s", sg_quality_row((enum sg_quality)q)->name,
                     (unsigned long long)found->quality[0].times[q],
                     q == (int)which ? "some" : "none");
}

typedef double value_fn(size_t frame, int channel);

static void of_values(value_fn *value, const struct sg_calibration *calibration, struct found *out)
{
    measure_bytes(wav_of(bytes, (int)calibration->nchannel, FRAMES, 1000, false, value), NULL,
                  calibration, out);
}

/* ---- samples --------------------------------------------------------------------------------- */

static double clipped(size_t frame, int c)
{
    return fmax(-1.0, fmin(1.0, 2.5 * tone_value(frame, c)));
}
/* not full scale, but the same flat top again and again */
static double flat_topped(size_t frame, int c)
{
    return fmax(-0.4, fmin(0.4, tone_value(frame, c)));
}
static double stuck(size_t frame, int c)
{
    return frame > 4000 && frame < 4300 ? 0.123 : tone_value(frame, c); /* 0.3 s */
}
static double zeroed(size_t frame, int c)
{
    return frame > 4000 && frame < 4300 ? 0.0 : tone_value(frame, c);
}
static double stuck_shortly(size_t frame, int c)
{
    return frame > 4000 && frame < 4200 ? 0.123 : tone_value(frame, c); /* 0.2 s */
}
static double shifted(size_t frame, int c)
{
    return 0.02 + 0.4 * tone_value(frame, c);
}
static double shifted_little(size_t frame, int c)
{
    return 0.008 + 0.4 * tone_value(frame, c);
}
static double spiked(size_t frame, int c)
{
    return frame == 6000 ? 0.8 : 0.1 * tone_value(frame, c);
}
/* a blow: sudden, but its motion goes on */
static double struck(size_t frame, int c)
{
    double after_s = ((double)frame - 6000.0) / 1000.0;
    double blow =
        after_s < 0.0 ? 0.0 : 0.8 * exp(-after_s / 0.1) * sin(2.0 * SG_PI * 25.0 * after_s);
    return 0.01 * tone_value(frame, c) + blow;
}
static double quiet_tone(size_t frame, int c)
{
    return 1e-3 * tone_value(frame, c) + 4e-4 * sin(0.37 * (double)frame);
}

static void faults_of_samples(void **state)
{
    (void)state;
    static const struct {
        value_fn *value;
        enum sg_quality expected; /* SG_QUALITY_END: none */
    } item[] = {
        { tone_value, SG_QUALITY_END },      { clipped, SG_QUALITY_CLIPPED },
        { flat_topped, SG_QUALITY_CLIPPED }, { stuck, SG_QUALITY_STUCK },
        { zeroed, SG_QUALITY_STUCK },        { stuck_shortly, SG_QUALITY_END },
        { shifted, SG_QUALITY_OFFSET },      { shifted_little, SG_QUALITY_END },
        { spiked, SG_QUALITY_SPIKE },        { struck, SG_QUALITY_END },
        { quiet_tone, SG_QUALITY_END },
    };
    const struct sg_calibration calibration = usual(1);
    struct found found;
    for (size_t i = 0; i < SG_COUNT(item); i++) {
        print_message("fault %zu\n", i);
        of_values(item[i].value, &calibration, &found);
        only(&found, item[i].expected);
    }
}

/* Floating-point samples in mm/s: their mean is 0.6 % of the largest, and 2 % of "full scale"; then
 * 1.4 % of the largest. */
static double in_mm_s(size_t frame, int c)
{
    return 0.02 + 7.0 * tone_value(frame, c);
}
static double in_mm_s_shifted(size_t frame, int c)
{
    return 0.05 + 7.0 * tone_value(frame, c);
}

static void offset_in_physical_units(void **state)
{
    (void)state;
    const struct sg_calibration calibration = usual(1);
    struct found found;
    measure_bytes(wav_of(bytes, 1, FRAMES, 1000, true, in_mm_s), NULL, &calibration, &found);
    only(&found, SG_QUALITY_END);
    measure_bytes(wav_of(bytes, 1, FRAMES, 1000, true, in_mm_s_shifted), NULL, &calibration,
                  &found);
    only(&found, SG_QUALITY_OFFSET);
}

/* ---- time ------------------------------------------------------------------------------------ */

/* Rows of a CSV 1 ms apart, some of them left out. */
static size_t csv_without(size_t from, size_t to)
{
    int used = snprintf((char *)bytes, sizeof bytes, "time_s,z\n");
    for (size_t i = 0; i < 5000; i++)
        if (i < from || i >= to)
            used += snprintf((char *)bytes + used, sizeof bytes - (size_t)used, "%.3f,%.5f\n",
                             (double)i / 1000.0, tone_value(i, 0));
    return (size_t)used;
}

static void gaps(void **state)
{
    (void)state;
    const struct sg_csv_map map = SG_CSV_MAP_INIT;
    const struct sg_calibration calibration = usual(1);
    struct found found;
    measure_bytes(csv_without(3000, 3200), &map, &calibration, &found);
    only(&found, SG_QUALITY_GAP);
    assert_close(found.quality[0].largest[SG_QUALITY_GAP], 0.2, 0.0, 1e-6);
    measure_bytes(csv_without(0, 0), &map, &calibration, &found);
    only(&found, SG_QUALITY_END);
}

/* A rate, a length and a start that are stated beside the file. */
static void stated_beside(void **state)
{
    (void)state;
    struct sg_calibration calibration = usual(1);
    struct found found;
    calibration.rate_hz = 1000.0;
    calibration.duration_s = 10.0;
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_END);
    calibration.duration_s = 10.04; /* within half a percent */
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_END);
    calibration.duration_s = 12.0;
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_DURATION);
    assert_close(found.quality[0].largest[SG_QUALITY_DURATION], 10.0 / 12.0, 1e-9, 0.0);
    calibration.duration_s = 0.0;
    calibration.rate_hz = 1024.0;
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_RATE);
    assert_close(found.quality[0].largest[SG_QUALITY_RATE], 1000.0 / 1024.0, 1e-9, 0.0);
}

/* The invented miniSEED recording carries its start; the calibration says it again. */
static void clocks(void **state)
{
    (void)state;
    const double apart[] = { 0.0, 0.5, 3600.0, -3600.0 };
    for (size_t i = 0; i < SG_COUNT(apart); i++) {
        struct sg_errors errors = SG_ERRORS_INIT;
        struct sg_arena arena = SG_ARENA_INIT;
        struct sg_calibration calibration;
        struct sg_recording *recording = NULL;
        struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
        struct found found = { .reports = 0 };
        const struct sg_measure_sinks sinks = { keep, NULL, &found };
        assert_int_equal(
            sg_calibration_read("measurements/vibratory-10m.yaml", &arena, &calibration, &errors),
            SG_OK);
        assert_int_equal(
            sg_recording_open("measurements/vibratory-10m.mseed", NULL, &recording, &errors),
            SG_OK);
        calibration.start_epoch_s = sg_recording_info(recording)->start_epoch_s + apart[i];
        calibration.calibrated_epoch_s = SG_UNSET;
        assert_int_equal(sg_measure(recording, &calibration, &options, &sinks, &errors), SG_OK);
        only(&found, fabs(apart[i]) > 1.0 ? SG_QUALITY_CLOCK : SG_QUALITY_END);
        sg_recording_close(recording);
        sg_arena_release(&arena);
    }
}

/* ---- calibration ----------------------------------------------------------------------------- */

static void old_calibration(void **state)
{
    (void)state;
    struct sg_calibration calibration = usual(1);
    struct found found;
    calibration.calibrated_epoch_s = 0.0;
    calibration.valid_days = 730.0;
    calibration.start_epoch_s = 731.0 * 86400.0;
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_CALIBRATION_OLD);
    calibration.start_epoch_s = 729.0 * 86400.0;
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_END);
    measure_bytes(wav_of(bytes, 1, FRAMES, 1000, false, tone_value), NULL, NULL, &found);
    only(&found, SG_QUALITY_UNCALIBRATED);
}

/* A 1 kHz tone of 94 dB: 1 Pa rms, 1.41421 Pa peak (IEC 60942). */
static double calibrator(size_t frame, int c)
{
    (void)c;
    double at = 2.0 * SG_PI * 1000.0 * (double)frame / 20000.0;
    return frame < 40000 ? 0.141421 * sin(at) : 0.01 * sin(0.05 * at) + 0.01 * sin(0.0331 * at);
}

static void tones(void **state)
{
    (void)state;
    struct sg_calibration calibration = usual(1);
    struct found found;
    channel[0].kind = SG_KIND_PRESSURE;
    channel[0].axis = SG_AXIS_NONE;
    channel[0].tone_db = 94.0;
    channel[0].tone_start_s = 0.0;
    channel[0].tone_end_s = 2.0;
    size_t length = wav_of(bytes, 1, 100000, 20000, false, calibrator);
    measure_bytes(length, NULL, &calibration, &found); /* 10 Pa at full scale, as the tone says */
    only(&found, SG_QUALITY_END);
    channel[0].unit_per_file = 12.0;
    length = wav_of(bytes, 1, 100000, 20000, false, calibrator);
    measure_bytes(length, NULL, &calibration, &found);
    only(&found, SG_QUALITY_CALIBRATION_TONE);
    assert_close(found.quality[0].largest[SG_QUALITY_CALIBRATION_TONE], 10.0 / 12.0, 0.01, 0.0);
}

/* mm/s given as m/s or the other way, in/s, and a sensitivity per inch. */
static void units(void **state)
{
    (void)state;
    struct sg_calibration calibration = usual(1);
    struct found found;
    const double factor[] = { 10.0, 10.0 * 25.4, 1e4, 1e-4, 0.1 };
    const bool doubtful[] = { false, true, true, true, false };
    for (size_t i = 0; i < SG_COUNT(factor); i++) {
        channel[0].unit_per_file = factor[i];
        of_values(tone_value, &calibration, &found);
        only(&found, doubtful[i] ? SG_QUALITY_UNIT : SG_QUALITY_END);
    }
    channel[0].by = SG_BY_SENSITIVITY;
    channel[0].volts_per_unit = 0.1;
    channel[0].sensitivity = 28.8; /* V per m/s */
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_END);
    channel[0].sensitivity = 28.8 * 0.0254; /* the same sensor in V per in/s */
    channel[0].volts_per_unit = 0.01;
    of_values(tone_value, &calibration, &found);
    only(&found, SG_QUALITY_UNIT);
    assert_non_null(sg_quality_unit_doubt(SG_KIND_ACCELERATION, 2000.0, 100.0));
    assert_null(sg_quality_unit_doubt(SG_KIND_ACCELERATION, 9.0, 1.0));
    assert_non_null(sg_quality_unit_doubt(SG_KIND_PRESSURE, 1e-5, 1e-6));
    assert_null(sg_quality_unit_doubt(SG_KIND_PRESSURE, 2.0, 0.1));
}

/* ---- sensors and sums ------------------------------------------------------------------------ */

static double opposite(size_t frame, int c)
{
    return (c == 0 ? 1.0 : -1.0) * tone_value(frame, c) + 0.05 * sin(0.9 * (double)frame);
}
static double alike(size_t frame, int c)
{
    return tone_value(frame, c) + 0.05 * sin(0.9 * (double)frame);
}
static double apart(size_t frame, int c)
{
    return 0.5 * sin((c == 0 ? 0.1257 : 0.21) * (double)frame);
}

static void polarity(void **state)
{
    (void)state;
    const struct sg_calibration calibration = usual(2);
    struct found found;
    of_values(opposite, &calibration, &found);
    assert_int_equal(found.quality[1].times[SG_QUALITY_POLARITY], 1);
    assert_true(found.quality[1].largest[SG_QUALITY_POLARITY] > 0.8);
    of_values(alike, &calibration, &found);
    assert_int_equal(found.quality[1].times[SG_QUALITY_POLARITY], 0);
    of_values(apart, &calibration, &found);
    assert_int_equal(found.quality[1].times[SG_QUALITY_POLARITY], 0);
    channel[1].axis = SG_AXIS_X; /* another axis may well go the other way */
    of_values(opposite, &calibration, &found);
    assert_int_equal(found.quality[1].times[SG_QUALITY_POLARITY], 0);
}

static void above_the_sum(void **state)
{
    (void)state;
    assert_true(sg_quality_above_sum(5.1, 5.0)); /* not of one record: 3, 4 make 5 */
    assert_false(sg_quality_above_sum(4.0, 5.0));
    assert_false(sg_quality_above_sum(5.0, 5.0));
}

/* A rate of 150 Hz leaves no room for 80 Hz. */
static void band_cut(void **state)
{
    (void)state;
    const struct sg_calibration calibration = usual(1);
    struct found found;
    measure_bytes(wav_of(bytes, 1, 3000, 150, false, tone_value), NULL, &calibration, &found);
    only(&found, SG_QUALITY_BAND);
    measure_bytes(wav_of(bytes, 1, 3000, 180, false, tone_value), NULL, &calibration, &found);
    only(&found, SG_QUALITY_END);
}

/* ---- verdicts -------------------------------------------------------------------------------- */

static const char *const sets[] = { "DIN4150-3-short" };
static const struct sg_use_limits by_use[] = { { SG_USE_RESIDENTIAL, sets, 1 } };
static const struct sg_receptor house = { .name = "house",
                                          .use = SG_USE_RESIDENTIAL,
                                          .building_class = SG_CLASS_OLDER_HOUSE,
                                          .position = SG_AT_FOUNDATION,
                                          .own_ppv_limit_mm_s = SG_UNSET };
static const struct sg_site site = {
    .receptor = &house, .nreceptor = 1, .limits = by_use, .nlimits = 1, .hours = { 8, 18, 9, 5, 0 }
};

/* DIN 4150-3, line 2, foundation, 20 Hz: 7.5 mm/s. A finding that could hide that takes "within"
 * away, and leaves "over". */
static void verdicts(void **state)
{
    (void)state;
    const struct sg_recorded_as as = { .technique = SG_IMPACT, .position = SG_AT_FOUNDATION };
    static const enum sg_quality harmless[] = { SG_QUALITY_OVERLAP, SG_QUALITY_CLOCK,
                                                SG_QUALITY_POLARITY };
    for (int q = 0; q < SG_QUALITY_END; q++)
        for (int over = 0; over < 2; over++) {
            struct sg_measured m = { .seconds = 60.0 };
            struct sg_recorded out = SG_RECORDED_INIT;
            bool hides = true, judged = false;
            for (size_t i = 0; i < SG_COUNT(harmless); i++)
                hides = hides && q != (int)harmless[i];
            m.vibration.naxis = 3;
            for (size_t i = 0; i < 3; i++) {
                m.vibration.axis_of[i] = (enum sg_axis)(SG_AXIS_X + i);
                m.vibration.axis[i].ppv_mm_s = over ? 8.0 : 7.0;
                m.vibration.axis[i].frequency_crossing_hz = 20.0;
                m.vibration.axis[i].frequency_spectrum_hz = 20.0;
            }
            sg_quality_clear(&m.quality);
            sg_quality_note(&m.quality, (enum sg_quality)q, 1.0, 1.0);
            assert_int_equal(sg_recorded_judge(&site, 0, &as, &m, &out), SG_OK);
            for (size_t i = 0; i < out.count; i++) {
                const struct sg_verdict *v = &out.item[i].verdict;
                if (!v->row || v->row->position != SG_AT_FOUNDATION)
                    continue;
                judged = true;
                assert_int_equal(v->state, over    ? SG_OVER
                                           : hides ? SG_NOT_DETERMINABLE
                                                   : SG_WITHIN);
                const char *code = sg_quality_row((enum sg_quality)q)->code;
                assert_true(over || !hides || strstr(v->reason, code) != NULL);
            }
            assert_true(judged);
            sg_recorded_release(&out);
        }
}

/* Every kind of file: one sample is an error. */
static void one_sample(void **state)
{
    (void)state;
    static const char csv[] = "time_s,z\n0.000,0.5\n";
    struct sg_csv_map map = SG_CSV_MAP_INIT;
    for (int kind = 0; kind < 3; kind++) {
        struct sg_errors errors = SG_ERRORS_INIT;
        struct sg_recording *recording = NULL;
        struct sg_block block;
        size_t length =
            kind < 2 ? wav_of(bytes, 2, 1, 1000, kind == 1, tone_value) : sizeof csv - 1;
        if (kind == 2) {
            memcpy(bytes, csv, length);
            map.time_column = NULL;
            map.rate_hz = 1000.0;
        }
        sg_status status = open_bytes(length, &map, &recording, &errors);
        for (int i = 0; i < 2 && sg_ok(status); i++)
            status = sg_recording_read(recording, &block, &errors);
        assert_int_equal(status, SG_ERR_INPUT);
        assert_int_equal(errors.count, 1);
        assert_non_null(strstr(errors.text[0], "one sample"));
        sg_recording_close(recording);
        sg_errors_release(&errors);
    }
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(faults_of_samples),
        cmocka_unit_test(offset_in_physical_units),
        cmocka_unit_test(gaps),
        cmocka_unit_test(stated_beside),
        cmocka_unit_test(clocks),
        cmocka_unit_test(old_calibration),
        cmocka_unit_test(tones),
        cmocka_unit_test(units),
        cmocka_unit_test(polarity),
        cmocka_unit_test(above_the_sum),
        cmocka_unit_test(band_cut),
        cmocka_unit_test(verdicts),
        cmocka_unit_test(one_sample),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
