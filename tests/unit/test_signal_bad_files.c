/* test_signal_bad_files.c - every fault that a format can express, in every format that is read: an
 * error each that names the file, and none for the same file without the fault. Sound files are
 * written by the sound-file library, miniSEED records by hand (SEED manual 2.4, fixed header and
 * blockette 1000, recalled); each stands as a file in a temporary folder. */
#define _POSIX_C_SOURCE 200809L
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <sndfile.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "stillground/signal.h"
#include "../support/close.h"

enum format { WAV, W64, RF64, FLAC, AIFF, MINISEED, CSV };
enum fault { GOOD, CUT, CUT_IN_HEADER, EMPTY, MAGIC, ABSURD, NOT_A_NUMBER, ONE, NONE, THOUSAND };

static const struct {
    const char *name;
    int container, coding;
} sound[] = {
    [WAV] = { "given.wav", SF_FORMAT_WAV, SF_FORMAT_FLOAT },
    [W64] = { "given.w64", SF_FORMAT_W64, SF_FORMAT_FLOAT },
    [RF64] = { "given.rf64", SF_FORMAT_RF64, SF_FORMAT_FLOAT },
    [FLAC] = { "given.flac", SF_FORMAT_FLAC, SF_FORMAT_PCM_16 },
    [AIFF] = { "given.aiff", SF_FORMAT_AIFF, SF_FORMAT_FLOAT },
    [MINISEED] = { "given.mseed", 0, 0 },
    [CSV] = { "given.csv", 0, 0 },
};

/* For ABSURD: `at` is where a size or a count stands, set to `value` in `bytes` bytes. */
static const struct row {
    enum format format;
    enum fault fault;
    const char *says;
    size_t at, bytes;
    uint64_t value;
} row[] = {
    { WAV, GOOD, NULL, 0, 0, 0 },
    { WAV, CUT, "is cut off: its header states", 0, 0, 0 },
    { WAV, CUT_IN_HEADER, "is cut off", 0, 0, 0 },
    { WAV, EMPTY, "is empty", 0, 0, 0 },
    { WAV, MAGIC, "is of no known kind", 0, 0, 0 },
    { WAV, ABSURD, "is cut off", 4, 4, 0xf0ffff7f }, /* bytes of the file */
    { WAV, ABSURD, "cannot be read as sound", 22, 2, 0 },
    { WAV, ABSURD, "cannot be read as sound", 22, 2, 0xffff }, /* channels */
    { WAV, NOT_A_NUMBER, "channel 1, sample 6 is not a number", 0, 0, 0 },
    { WAV, ONE, "holds one sample a channel", 0, 0, 0 },
    { WAV, NONE, "holds no samples", 0, 0, 0 },
    { WAV, THOUSAND, "has 1000 channels; 1 to 64 are allowed", 0, 0, 0 },
    { W64, GOOD, NULL, 0, 0, 0 },
    { W64, CUT, "is cut off: its header states", 0, 0, 0 },
    { W64, CUT_IN_HEADER, "cannot be read as sound", 0, 0, 0 },
    { W64, EMPTY, "is empty", 0, 0, 0 },
    { W64, MAGIC, "is of no known kind", 0, 0, 0 },
    { W64, ABSURD, "is cut off", 16, 8, 0xffffff7f },          /* bytes of the file */
    { W64, ABSURD, "is cut off", 128, 8, 0x00000000f0ffff7f }, /* of the samples */
    { W64, NOT_A_NUMBER, "channel 1, sample 6 is not a number", 0, 0, 0 },
    { W64, ONE, "holds one sample a channel", 0, 0, 0 },
    { W64, NONE, "holds no samples", 0, 0, 0 },
    { W64, THOUSAND, "has 1000 channels; 1 to 64 are allowed", 0, 0, 0 },
    { RF64, GOOD, NULL, 0, 0, 0 },
    { RF64, CUT, "is cut off: its header states", 0, 0, 0 },
    { RF64, CUT_IN_HEADER, "is cut off", 0, 0, 0 },
    { RF64, EMPTY, "is empty", 0, 0, 0 },
    { RF64, MAGIC, "is of no known kind", 0, 0, 0 },
    { RF64, ABSURD, "is cut off", 20, 8, 0xffffff7f }, /* bytes of the file */
    { RF64, ABSURD, "is cut off", 28, 8, 0xffffff7f }, /* of the samples */
    { RF64, NOT_A_NUMBER, "channel 1, sample 6 is not a number", 0, 0, 0 },
    { RF64, ONE, "holds one sample a channel", 0, 0, 0 },
    { RF64, NONE, "holds no samples", 0, 0, 0 },
    { RF64, THOUSAND, "has 1000 channels; 1 to 64 are allowed", 0, 0, 0 },
    { FLAC, GOOD, NULL, 0, 0, 0 }, /* whole numbers, at most 8 channels */
    { FLAC, CUT, "cannot be read on after frame", 0, 0, 0 },
    { FLAC, CUT_IN_HEADER, "cannot be read as sound", 0, 0, 0 },
    { FLAC, EMPTY, "is empty", 0, 0, 0 },
    { FLAC, MAGIC, "is of no known kind", 0, 0, 0 },
    { FLAC, ABSURD, "ends after 20000 of the 4294967295 frames", 22, 4, 0xffffffff }, /* frames */
    { FLAC, ONE, "holds one sample a channel", 0, 0, 0 },
    { AIFF, GOOD, NULL, 0, 0, 0 },
    { AIFF, CUT, "is cut off: its header states", 0, 0, 0 },
    { AIFF, CUT_IN_HEADER, "is cut off", 0, 0, 0 },
    { AIFF, EMPTY, "is empty", 0, 0, 0 },
    { AIFF, MAGIC, "is of no known kind", 0, 0, 0 },
    { AIFF, ABSURD, "is cut off", 4, 4, 0x7ffffff0 },           /* bytes of the file */
    { AIFF, ABSURD, "is cut off", 84, 4, 0x7ffffff0 },          /* of the samples */
    { AIFF, ABSURD, "cannot be read as sound", 32, 2, 0xffff }, /* channels */
    { AIFF, NOT_A_NUMBER, "channel 1, sample 6 is not a number", 0, 0, 0 },
    { AIFF, ONE, "holds one sample a channel", 0, 0, 0 },
    { AIFF, NONE, "holds no samples", 0, 0, 0 },
    { AIFF, THOUSAND, "has 1000 channels; 1 to 64 are allowed", 0, 0, 0 },
    { MINISEED, GOOD, NULL, 0, 0, 0 },
    { MINISEED, CUT, "no whole miniSEED 2 record", 0, 0, 0 },
    { MINISEED, CUT_IN_HEADER, "no whole miniSEED 2 record", 0, 0, 0 },
    { MINISEED, EMPTY, "is empty", 0, 0, 0 },
    { MINISEED, MAGIC, "is of no known kind", 0, 0, 0 },
    { MINISEED, ABSURD, "data do not lie inside it", 128 + 30, 2,
      0xffff }, /* samples in a record that holds 16 */
    { MINISEED, ABSURD, "data do not lie inside it", 128 + 30, 2, 17 }, /* one too many */
    { MINISEED, ABSURD, "no whole miniSEED 2 record", 128 + 54, 1,
      30 }, /* its length, as a power of two */
    { MINISEED, NOT_A_NUMBER, "sample 6 is not a number", 0, 0, 0 },
    { MINISEED, ONE, "holds one sample a channel", 0, 0, 0 },
    { MINISEED, THOUSAND, "channels", 0, 0, 0 },
    { CSV, GOOD, NULL, 0, 0, 0 },
    { CSV, CUT, ":10:", 0, 0, 0 },
    { CSV, CUT_IN_HEADER, "is not among the columns", 0, 0, 0 },
    { CSV, EMPTY, "is empty", 0, 0, 0 },
    { CSV, MAGIC, "is of no known kind", 0, 0, 0 },
    { CSV, NOT_A_NUMBER, ":7:2: ", 0, 0, 0 },
    { CSV, ONE, "fewer than two rows", 0, 0, 0 },
    { CSV, NONE, "fewer than two rows", 0, 0, 0 },
    { CSV, THOUSAND, "at most 256 are allowed", 0, 0, 0 },
};

#define FRAMES 20000

static double value_of(size_t frame, enum fault fault)
{
    if (fault == NOT_A_NUMBER && frame == 5)
        return (double)NAN;
    return 0.1 * sin(0.1 * (double)frame) + 1e-3 * (double)(frame * 7919 % 101);
}

static void write_sound(const char *path, enum format format, enum fault fault)
{
    SF_INFO info = { .samplerate = 1000,
                     .channels = fault == THOUSAND ? 1000 : 1,
                     .format = sound[format].container | sound[format].coding };
    size_t frames = fault == ONE ? 1 : fault == NONE ? 0 : fault == THOUSAND ? 3 : FRAMES;
    static double all[1000];
    SNDFILE *file = sf_open(path, SFM_WRITE, &info);
    assert_non_null(file);
    for (size_t i = 0; i < frames; i++) {
        for (int c = 0; c < info.channels; c++)
            all[c] = value_of(i, fault);
        assert_int_equal(sf_writef_double(file, all, 1), 1);
    }
    assert_int_equal(sf_close(file), 0);
}

static void put_be(unsigned char *at, uint64_t value, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++)
        at[i] = (unsigned char)(value >> (8 * (bytes - 1 - i)));
}

/* Records of 128 bytes with 16 floating-point samples each, 100 a second. */
static void write_mseed(FILE *file, enum fault fault)
{
    int records = fault == THOUSAND ? 1000 : fault == ONE ? 1 : 5;
    for (int r = 0; r < records; r++) {
        unsigned char byte[128] = { 0 };
        char head[32];
        (void)snprintf(head, sizeof head, "%06dD S%04d00BHZXX", r + 1, fault == THOUSAND ? r : 0);
        memcpy(byte, head, 20);
        put_be(byte + 20, 2026, 2);
        put_be(byte + 22, 12, 2);
        put_be(byte + 28, fault == THOUSAND ? 0 : (uint64_t)r * 1600, 2); /* 0.1 ms */
        put_be(byte + 30, fault == ONE ? 1 : 16, 2);
        put_be(byte + 32, 100, 2);
        put_be(byte + 34, 1, 2);
        byte[39] = 1;
        put_be(byte + 44, 64, 2);
        put_be(byte + 46, 48, 2);
        put_be(byte + 48, 1000, 2);
        byte[52] = 4; /* IEEE, single */
        byte[53] = 1;
        byte[54] = 7; /* 128 bytes */
        for (size_t i = 0; i < 16; i++) {
            float single = (float)value_of(i + 16 * (size_t)r, fault);
            uint32_t bits;
            memcpy(&bits, &single, sizeof bits);
            put_be(byte + 64 + 4 * i, bits, 4);
        }
        assert_int_equal(fwrite(byte, 1, sizeof byte, file), sizeof byte);
    }
}

static void write_csv(FILE *file, enum fault fault)
{
    size_t rows = fault == ONE ? 1 : fault == NONE ? 0 : 16;
    int columns = fault == THOUSAND ? 1000 : 1;
    assert_true(fprintf(file, "time_s") > 0);
    for (int c = 0; c < columns; c++)
        assert_true(fprintf(file, ",v%d", c) > 0);
    for (size_t i = 0; i < rows; i++) {
        assert_true(fprintf(file, "\n%.3f", 0.001 * (double)i) > 0);
        for (int c = 0; c < columns; c++)
            assert_true(fprintf(file, ",%.4f", value_of(i, fault)) > 0);
    }
    assert_true(fprintf(file, "\n") > 0);
}

static void write_file(const char *path, const struct row *r)
{
    if (r->format < MINISEED)
        write_sound(path, r->format, r->fault);
    else {
        FILE *file = fopen(path, "wb");
        assert_non_null(file);
        if (r->format == MINISEED)
            write_mseed(file, r->fault);
        else
            write_csv(file, r->fault);
        assert_int_equal(fclose(file), 0);
    }
}

static void spoil(const char *path, const struct row *r)
{
    FILE *file = fopen(path, "rb+");
    assert_non_null(file);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    long length = ftell(file);
    long kept = r->fault == EMPTY ? 0 : r->fault == CUT_IN_HEADER ? 20 : length / 2 + 3;
    if (r->format == CSV && r->fault == CUT_IN_HEADER)
        kept = 3;
    else if (r->format == CSV && r->fault == CUT)
        kept = 10 + 8 * 13 + 5; /* in the tenth line, before its comma; a cut number is a number */
    unsigned char changed[8];
    size_t bytes = r->fault == MAGIC ? 4 : r->bytes;
    put_be(changed, r->fault == MAGIC ? 0x81828384u : r->value, bytes);
    assert_int_equal(fseek(file, (long)r->at, SEEK_SET), 0);
    assert_int_equal(fwrite(changed, 1, bytes, file), bytes);
    assert_int_equal(fclose(file), 0);
    if (r->fault == CUT || r->fault == CUT_IN_HEADER || r->fault == EMPTY)
        assert_int_equal(truncate(path, kept), 0);
}

/* Opened, and measured in file units as the command does. */
static sg_status measure(const char *path, struct sg_errors *errors)
{
    struct sg_recording *recording = NULL;
    struct sg_measure_options options = SG_MEASURE_OPTIONS_INIT;
    const struct sg_measure_sinks sinks = { NULL, NULL, NULL };
    options.uncalibrated = true;
    sg_status status = sg_recording_open(path, NULL, &recording, errors);
    if (sg_ok(status))
        status = sg_measure(recording, NULL, &options, &sinks, errors);
    sg_recording_close(recording);
    return status;
}

static void one_row(const char *folder, const struct row *r)
{
    char path[128];
    struct sg_errors errors = SG_ERRORS_INIT;
    (void)snprintf(path, sizeof path, "%s/%s", folder, sound[r->format].name);
    write_file(path, r);
    if (r->fault != GOOD)
        spoil(path, r);
    sg_status status = measure(path, &errors);
    assert_int_equal(unlink(path), 0);
    if (r->fault == GOOD) {
        if (!sg_ok(status))
            fail_msg("%s", errors.count > 0 ? errors.text[0] : path);
        assert_int_equal(errors.count, 0);
    } else {
        if (sg_ok(status) || errors.count == 0)
            fail_msg("row %zu, %s: no error", (size_t)(r - row), path);
        if (strstr(errors.text[0], path) == NULL || strstr(errors.text[0], r->says) == NULL)
            fail_msg("row %zu: \"%s\" does not say \"%s\"", (size_t)(r - row), errors.text[0],
                     r->says);
        assert_int_equal(errors.count, 1);
    }
    sg_errors_release(&errors);
}

static void every_fault_of_every_format(void **state)
{
    (void)state;
    char folder[] = "/tmp/bad-files-XXXXXX";
    assert_non_null(mkdtemp(folder));
    for (size_t i = 0; i < SG_COUNT(row); i++)
        one_row(folder, &row[i]);
    assert_int_equal(rmdir(folder), 0);
}

int main(void)
{
    const struct CMUnitTest test[] = { cmocka_unit_test(every_fault_of_every_format) };
    return cmocka_run_group_tests(test, NULL, NULL);
}
