/* test_signal_files.c - readers: good files, and every kind of bad one. The example recordings are
 * invented and known by construction. */
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

static double nan_value(size_t frame, int channel)
{
    return frame == 77 && channel == 0 ? (double)NAN : tone_value(frame, channel);
}

/* Reads to the end; returns the status of the last read and the frames. */
static sg_status drain(struct sg_recording *recording, double *frames, double *gaps_s,
                       struct sg_errors *errors)
{
    struct sg_block block = { .frames = 1 };
    sg_status status = SG_OK;
    *frames = *gaps_s = 0.0;
    while (sg_ok(status) && block.frames > 0) {
        status = sg_recording_read(recording, &block, errors);
        if (sg_ok(status)) {
            *frames += (double)block.frames;
            *gaps_s += block.gap_s;
        }
    }
    return status;
}

/* Opens and drains what must fail; the message must hold `text`. */
static void must_fail(size_t length, const struct sg_csv_map *map, const char *text)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    double frames, gaps;
    sg_status status = open_bytes(length, map, &recording, &errors);
    if (sg_ok(status))
        status = drain(recording, &frames, &gaps, &errors);
    assert_false(sg_ok(status));
    assert_true(errors.count >= 1);
    if (strstr(errors.text[0], text) == NULL)
        fail_msg("\"%s\" does not say \"%s\"", errors.text[0], text);
    assert_non_null(strstr(errors.text[0], "given.bin"));
    sg_recording_close(recording);
    sg_errors_release(&errors);
}

static size_t text_of(const char *text)
{
    memcpy(bytes, text, strlen(text));
    return strlen(text);
}

static void wav_is_read(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    size_t length = wav_of(bytes, 2, 10000, 1000, false, tone_value);
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    const struct sg_recording_info *info = sg_recording_info(recording);
    assert_string_equal(info->format, "WAV");
    assert_int_equal(info->nchannel, 2);
    assert_close(info->rate_hz, 1000.0, 0.0, 0.0);
    assert_close(info->frames_stated, 10000.0, 0.0, 0.0);
    for (int turn = 0; turn < 2; turn++) { /* and again after going back */
        struct sg_block block;
        assert_int_equal(sg_recording_read(recording, &block, &errors), SG_OK);
        assert_int_equal(block.frames, SG_BLOCK_FRAMES);
        for (size_t i = 0; i < block.frames; i++)
            for (int c = 0; c < 2; c++)
                assert_close(block.channel[c][i], tone_value(i, c), 0.0, 4e-5);
        double frames, gaps;
        assert_int_equal(drain(recording, &frames, &gaps, &errors), SG_OK);
        assert_close(frames, 10000.0 - SG_BLOCK_FRAMES, 0.0, 0.0);
        assert_int_equal(sg_recording_rewind(recording, &errors), SG_OK);
    }
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

static void bad_sound_files(void **state)
{
    (void)state;
    must_fail(0, NULL, "is empty");
    size_t length = wav_of(bytes, 1, 1000, 1000, false, tone_value);
    must_fail(length - 500, NULL, "cut off");
    must_fail(30, NULL, "cut off");
    length = wav_of(bytes, 1, 1000, 1000, true, nan_value);
    must_fail(length, NULL, "sample 78 is not a number");
    length = wav_of(bytes, 1000, 10, 1000, false, tone_value);
    must_fail(length, NULL, "has 1000 channels; 1 to 64");
    length = wav_of(bytes, 1, 0, 1000, false, tone_value);
    must_fail(length, NULL, "holds no samples");
    length = wav_of(bytes, 1, 10, 1000, false, tone_value);
    put_le(bytes + 22, 0, 2); /* no channels */
    must_fail(length, NULL, "given.bin");
    length = wav_of(bytes, 1, 10, 0, false, tone_value);
    must_fail(length, NULL, "given.bin");
    memset(bytes, 0x81, 200);
    must_fail(200, NULL, "no known kind");
    memcpy(bytes, "fLaC\0\0\0\042", 8);
    must_fail(200, NULL, "cannot be read as sound");
}

/* The example FLAC, cut: fewer frames than the header states. */
static void cut_flac(void **state)
{
    (void)state;
    FILE *file = fopen("measurements/impact-10m.flac", "rb");
    assert_non_null(file);
    size_t length = fread(bytes, 1, sizeof bytes, file);
    assert_int_equal(fclose(file), 0);
    assert_true(length > 100000);
    must_fail(length / 2, NULL, "given.bin");
}

static void mseed_is_read_with_its_gap(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    double frames, gaps;
    assert_int_equal(
        sg_recording_open("measurements/vibratory-30m.mseed", NULL, &recording, &errors), SG_OK);
    const struct sg_recording_info *info = sg_recording_info(recording);
    assert_int_equal(info->nchannel, 3);
    assert_string_equal(info->name[2], "XX.INV30..GHZ");
    assert_close(info->start_epoch_s, 1768208400.0, 0.0, 1e-3); /* 2026-01-12 09:00 UTC */
    for (int turn = 0; turn < 2; turn++) {
        assert_int_equal(drain(recording, &frames, &gaps, &errors), SG_OK);
        assert_close(frames, 87500.0, 0.0, 0.0);
        assert_close(gaps, 2.5, 0.0, 1e-9);
        assert_int_equal(sg_recording_rewind(recording, &errors), SG_OK);
    }
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
}

static void bad_mseed(void **state)
{
    (void)state;
    memcpy(bytes, "MS\003\000", 4);
    memset(bytes + 4, 0, 60);
    must_fail(64, NULL, "miniSEED 3");
    FILE *file = fopen("measurements/vibratory-10m.mseed", "rb");
    assert_non_null(file);
    size_t length = fread(bytes, 1, 4096, file);
    assert_int_equal(fclose(file), 0);
    assert_int_equal(length, 4096);
    must_fail(4000, NULL, "byte 3585: no whole miniSEED 2 record");
    memset(bytes + 1024, 'x', 48);
    must_fail(4096, NULL, "byte 1025: no whole miniSEED 2 record");
    must_fail(100, NULL, "byte 1: no whole");
}

static void csv_is_read(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    double frames, gaps;
    size_t length = text_of("# invented\ntime_s,vx,vz\n10.000,0.5,1e-3\n10.001,-0.25,2\n"
                            "10.002,0,3\n10.010,4,-5\n10.011,4,-6\n");
    assert_int_equal(open_bytes(length, NULL, &recording, &errors), SG_OK);
    const struct sg_recording_info *info = sg_recording_info(recording);
    assert_int_equal(info->nchannel, 2);
    assert_string_equal(info->name[1], "vz");
    assert_close(info->rate_hz, 1000.0, 0.0, 1e-9);
    struct sg_block block;
    assert_int_equal(sg_recording_read(recording, &block, &errors), SG_OK);
    assert_int_equal(block.frames, 3);
    assert_close(block.channel[1][0], 1e-3, 0.0, 0.0);
    assert_int_equal(sg_recording_read(recording, &block, &errors), SG_OK);
    assert_int_equal(block.frames, 2);
    assert_close(block.gap_s, 0.007, 1e-9, 0.0);
    assert_close(block.time_s, 0.010, 1e-9, 0.0);
    assert_close(block.channel[1][1], -6.0, 0.0, 0.0);
    sg_recording_close(recording);
    const char *const only[] = { "b" };
    struct sg_csv_map map = {
        .separator = ';', .decimal_comma = true, .column = only, .ncolumn = 1, .rate_hz = 500.0
    };
    length = text_of("a;\"b\"\r\n1,5;2,5\r\n3;-4,25\r\n");
    assert_int_equal(open_bytes(length, &map, &recording, &errors), SG_OK);
    assert_int_equal(sg_recording_read(recording, &block, &errors), SG_OK);
    assert_int_equal(block.frames, 2);
    assert_close(block.channel[0][1], -4.25, 0.0, 0.0);
    sg_recording_close(recording);
    assert_int_equal(errors.count, 0);
    (void)frames;
    (void)gaps;
}

static void bad_csv(void **state)
{
    (void)state;
    must_fail(text_of("time_s,v\n0,1\n0.001,nan\n0.002,1\n"), NULL, "given.bin:3:2: ");
    must_fail(text_of("time_s,v\n0,1\n0.001,\n"), NULL, "given.bin:3:2: ");
    must_fail(text_of("time_s,v\n0,1\n0.001,2,3\n"), NULL, "has 3 columns; the header has 2");
    must_fail(text_of("time_s,v\n0,1\n0,2\n"), NULL, "not later than the row before");
    must_fail(text_of("time_s,v\n0,1\n0.001,2\n0.002,3\n0.0005,3\n"), NULL, "given.bin:5:1: ");
    must_fail(text_of("time_s,v\n0,1\n"), NULL, "fewer than two rows");
    must_fail(text_of("t,v\n0,1\n"), NULL, "\"time_s\" is not among the columns");
    must_fail(text_of("time_s\n0\n1\n"), NULL, "no column beside the time");
    must_fail(text_of("# only a remark\n"), NULL, "no header line");
    memset(bytes, 'a', 70000);
    must_fail(70000, NULL, "longer than 65535");
}

static void missing_file(void **state)
{
    (void)state;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    assert_int_equal(sg_recording_open("tests/data/no-such-file.wav", NULL, &recording, &errors),
                     SG_ERR_IO);
    assert_int_equal(errors.count, 1);
    assert_null(recording);
    sg_errors_release(&errors);
}

int main(void)
{
    const struct CMUnitTest test[] = {
        cmocka_unit_test(wav_is_read), cmocka_unit_test(bad_sound_files),
        cmocka_unit_test(cut_flac),    cmocka_unit_test(mseed_is_read_with_its_gap),
        cmocka_unit_test(bad_mseed),   cmocka_unit_test(csv_is_read),
        cmocka_unit_test(bad_csv),     cmocka_unit_test(missing_file),
    };
    return cmocka_run_group_tests(test, NULL, NULL);
}
