/* made_files.h - recordings made in memory, for tests of the readers and of what stands on them.
 * Include after cmocka.h and signal.h.
 */
#ifndef TESTS_SUPPORT_MADE_FILES_H
#define TESTS_SUPPORT_MADE_FILES_H

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static inline FILE *stream_of(const void *data, size_t length)
{
    FILE *stream = tmpfile();
    assert_non_null(stream);
    assert_int_equal(fwrite(data, 1, length, stream), length);
    rewind(stream);
    return stream;
}

static inline void put_le(unsigned char *at, uint32_t value, int bytes)
{
    for (int i = 0; i < bytes; i++)
        at[i] = (unsigned char)(value >> (8 * i));
}

/* A WAV of `channels` 16-bit or float channels; value(frame, channel) is a share of full scale. */
static inline size_t wav_of(unsigned char *out, int channels, size_t frames, uint32_t rate_hz,
                            bool real, double (*value)(size_t frame, int channel))
{
    uint32_t width = real ? 4 : 2, bytes = (uint32_t)frames * (uint32_t)channels * width;
    memcpy(out, "RIFF....WAVEfmt ", 16);
    put_le(out + 4, 36 + bytes, 4);
    put_le(out + 16, 16, 4);
    put_le(out + 20, real ? 3 : 1, 2);
    put_le(out + 22, (uint32_t)channels, 2);
    put_le(out + 24, rate_hz, 4);
    put_le(out + 28, rate_hz * (uint32_t)channels * width, 4);
    put_le(out + 32, (uint32_t)channels * width, 2);
    put_le(out + 34, width * 8, 2);
    memcpy(out + 36, "data", 4);
    put_le(out + 40, bytes, 4);
    unsigned char *at = out + 44;
    for (size_t i = 0; i < frames; i++)
        for (int c = 0; c < channels; c++, at += width) {
            float single = (float)value(i, c);
            if (real)
                memcpy(at, &single, 4);
            else
                put_le(at, (uint32_t)(uint16_t)(int16_t)lround(value(i, c) * 32767.0), 2);
        }
    return (size_t)(at - out);
}

static inline double tone_value(size_t frame, int channel)
{
    return 0.5 * sin(2.0 * SG_PI * 20.0 * (double)frame / 1000.0) / (double)(channel + 1);
}

static unsigned char bytes[1 << 20];

static inline sg_status open_bytes(size_t length, const struct sg_csv_map *map,
                                   struct sg_recording **out, struct sg_errors *errors)
{
    return sg_recording_open_stream(stream_of(bytes, length), "given.bin", map, out, errors);
}

#endif
