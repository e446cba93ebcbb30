/* read_recording.c - opens a recording by what is in it, hands out blocks, checks every sample. */
#include "reader.h"

#include <math.h>
#include <string.h>

struct sg_recording {
    FILE *stream;
    char *name;
    const struct sg_reader *reader;
    void *self;
    struct sg_recording_info info;
    double *sample;
    double frames_seen;
};

static bool starts(const unsigned char *head, size_t length, const char *with)
{
    return length >= strlen(with) && memcmp(head, with, strlen(with)) == 0;
}

/* Six digits or spaces, a quality letter, a space or NUL: the fixed header of SEED 2.4. */
static bool looks_like_mseed2(const unsigned char *head, size_t length)
{
    if (length < 8 || memchr("DRQM", head[6], 4) == NULL || (head[7] != ' ' && head[7] != '\0'))
        return false;
    for (size_t i = 0; i < 6; i++)
        if ((head[i] < '0' || head[i] > '9') && head[i] != ' ' && head[i] != '\0')
            return false;
    return true;
}

/* Text starts with a plain character or with the mark of UTF-8. */
static bool looks_like_text(const unsigned char *head, size_t length)
{
    if (length == 0 || (head[0] >= 0x7f && !starts(head, length, "\xEF\xBB\xBF")))
        return false;
    for (size_t i = 0; i < length; i++)
        if (head[i] < 0x20 && head[i] != '\n' && head[i] != '\r' && head[i] != '\t')
            return false;
    return true;
}

static sg_status choose_reader(FILE *stream, const char *name, const struct sg_reader **out,
                               struct sg_errors *errors)
{
    static const char *const sound[] = { "RIFF", "RIFX", "RF64", "riff", "fLaC", "FORM" };
    const struct sg_place place = { name, 0, 0 };
    unsigned char head[64];
    size_t length = fread(head, 1, sizeof head, stream);
    if (fseek(stream, 0, SEEK_SET) != 0)
        return sg_errors_add(errors, SG_ERR_IO, &place,
                             "cannot seek in it; a regular file is needed");
    if (length == 0)
        return sg_errors_add(errors, SG_ERR_INPUT, &place, "is empty");
    for (size_t i = 0; i < SG_COUNT(sound); i++)
        if (starts(head, length, sound[i])) {
            *out = &sg_reader_sound;
            return SG_OK;
        }
    if (starts(head, length, "MS\003"))
        return sg_errors_add(errors, SG_ERR_INPUT, &place,
                             "is miniSEED 3, which is not read; convert it to miniSEED 2");
    if (looks_like_mseed2(head, length))
        *out = &sg_reader_mseed;
    else if (looks_like_text(head, length))
        *out = &sg_reader_csv;
    else
        return sg_errors_add(errors, SG_ERR_INPUT, &place,
                             "is of no known kind; WAV, W64, RF64, FLAC, AIFF, miniSEED 2 and CSV "
                             "are read");
    return SG_OK;
}

static sg_status check_info(const struct sg_recording_info *info, const struct sg_place *place,
                            struct sg_errors *errors)
{
    if (info->nchannel == 0 || info->nchannel > SG_CHANNELS_MAX)
        return sg_errors_add(errors, SG_ERR_INPUT, place, "has %zu channels; 1 to %d are allowed",
                             info->nchannel, SG_CHANNELS_MAX);
    if (!(info->rate_hz > 0.0) || !(info->rate_hz <= 1e6))
        return sg_errors_add(errors, SG_ERR_INPUT, place,
                             "has a rate of %g Hz; above 0 and up to 1000000 are allowed",
                             info->rate_hz);
    return SG_OK;
}

sg_status sg_recording_open_stream(FILE *stream, const char *name, const struct sg_csv_map *map,
                                   struct sg_recording **out, struct sg_errors *errors)
{
    const struct sg_place place = { name, 0, 0 };
    struct sg_recording *made = sg_alloc(1, sizeof *made);
    sg_status status = SG_ERR_NOMEM;
    if (made == NULL) {
        (void)fclose(stream);
        return sg_errors_add(errors, status, &place, "out of memory");
    }
    made->stream = stream;
    made->name = sg_alloc(strlen(name) + 1, 1);
    if (made->name == NULL) {
        (void)sg_errors_add(errors, status, &place, "out of memory");
        goto done;
    }
    memcpy(made->name, name, strlen(name) + 1);
    made->info.frames_stated = made->info.start_epoch_s = SG_UNSET;
    made->info.full_scale = made->info.step = SG_UNSET;
    status = choose_reader(stream, made->name, &made->reader, errors);
    if (sg_ok(status))
        status = made->reader->open(stream, made->name, map, &made->info, &made->self, errors);
    if (sg_ok(status))
        status = check_info(&made->info, &place, errors);
    if (!sg_ok(status))
        goto done;
    made->sample = sg_alloc(made->info.nchannel * SG_BLOCK_FRAMES, sizeof *made->sample);
    if (made->sample == NULL)
        status = sg_errors_add(errors, SG_ERR_NOMEM, &place, "out of memory");
done:
    if (status == SG_ERR_NOMEM && errors != NULL && errors->count == 0)
        (void)sg_errors_add(errors, status, &place, "out of memory");
    if (!sg_ok(status)) {
        sg_recording_close(made);
        return status;
    }
    *out = made;
    return status;
}

sg_status sg_recording_open(const char *path, const struct sg_csv_map *map,
                            struct sg_recording **out, struct sg_errors *errors)
{
    FILE *stream = fopen(path, "rb");
    if (stream == NULL) {
        const struct sg_place place = { path, 0, 0 };
        return sg_errors_add(errors, SG_ERR_IO, &place, "cannot be opened for reading");
    }
    return sg_recording_open_stream(stream, path, map, out, errors);
}

const struct sg_recording_info *sg_recording_info(const struct sg_recording *recording)
{
    return &recording->info;
}

/* NaN and infinity would spread through every filter behind them. */
static sg_status check_samples(const struct sg_recording *recording, const struct sg_piece *piece,
                               struct sg_errors *errors)
{
    const struct sg_place place = { recording->name, 0, 0 };
    for (size_t c = 0; c < recording->info.nchannel; c++)
        for (size_t i = 0; i < piece->frames; i++)
            if (!isfinite(piece->sample[c * SG_BLOCK_FRAMES + i]))
                return sg_errors_add(errors, SG_ERR_INPUT, &place,
                                     "channel %s, sample %.0f is not a number; finite numbers are "
                                     "allowed",
                                     recording->info.name[c],
                                     recording->frames_seen + (double)i + 1.0);
    return SG_OK;
}

sg_status sg_recording_read(struct sg_recording *recording, struct sg_block *out,
                            struct sg_errors *errors)
{
    const struct sg_place place = { recording->name, 0, 0 };
    struct sg_piece piece = { .sample = recording->sample };
    sg_status status = recording->reader->read(recording->self, &piece, errors);
    if (sg_ok(status))
        status = check_samples(recording, &piece, errors);
    if (!sg_ok(status))
        return status;
    double stated = recording->info.frames_stated;
    recording->frames_seen += (double)piece.frames;
    if (piece.frames == 0 && sg_is_set(stated) && recording->frames_seen < stated)
        return sg_errors_add(errors, SG_ERR_INPUT, &place,
                             "ends after %.0f of the %.0f frames that its header states",
                             recording->frames_seen, stated);
    if (piece.frames == 0 && !(recording->frames_seen > 0.0))
        return sg_errors_add(errors, SG_ERR_INPUT, &place, "holds no samples");
    if (piece.frames == 0 && recording->frames_seen < 2.0)
        return sg_errors_add(errors, SG_ERR_INPUT, &place,
                             "holds one sample a channel; at least 2 are needed");
    struct sg_block block = { .frames = piece.frames,
                              .time_s = piece.time_s,
                              .gap_s = piece.gap_s };
    for (size_t c = 0; c < recording->info.nchannel; c++)
        block.channel[c] = recording->sample + c * SG_BLOCK_FRAMES;
    *out = block;
    return SG_OK;
}

sg_status sg_recording_rewind(struct sg_recording *recording, struct sg_errors *errors)
{
    recording->frames_seen = 0.0;
    return recording->reader->rewind(recording->self, errors);
}

void sg_recording_close(struct sg_recording *recording)
{
    if (recording == NULL)
        return;
    if (recording->self != NULL)
        recording->reader->close(recording->self);
    if (recording->stream != NULL)
        (void)fclose(recording->stream);
    sg_free(recording->sample);
    sg_free(recording->name);
    sg_free(recording);
}
