/* read_sound.c - WAV, W64, RF64, FLAC, AIFF. The only file that knows the sound-file library. */
#define _POSIX_C_SOURCE 200809L
#include "reader.h"

#include <sndfile.h>
#include <string.h>
#include <sys/types.h>

struct sound_reader {
    FILE *stream;
    SNDFILE *file;
    SF_INFO format;
    double *interleaved;
    double frames;     /* read so far */
    sf_count_t length; /* bytes in the stream */
    char name[256];
};

static sf_count_t stream_length(void *user)
{
    return ((struct sound_reader *)user)->length;
}

static sf_count_t stream_seek(sf_count_t offset, int whence, void *user)
{
    FILE *stream = ((struct sound_reader *)user)->stream;
    return fseeko(stream, (off_t)offset, whence) == 0 ? (sf_count_t)ftello(stream) : -1;
}

static sf_count_t stream_read(void *to, sf_count_t count, void *user)
{
    if (count <= 0)
        return 0;
    return (sf_count_t)fread(to, 1, (size_t)count, ((struct sound_reader *)user)->stream);
}

static sf_count_t stream_write(const void *from, sf_count_t count, void *user)
{
    (void)from;
    (void)count;
    (void)user;
    return 0;
}

static sf_count_t stream_tell(void *user)
{
    return (sf_count_t)ftello(((struct sound_reader *)user)->stream);
}

struct container {
    int format;
    const char *name;
};
static const struct container container[] = {
    { SF_FORMAT_WAV, "WAV" },   { SF_FORMAT_WAVEX, "WAV" }, { SF_FORMAT_W64, "W64" },
    { SF_FORMAT_RF64, "RF64" }, { SF_FORMAT_FLAC, "FLAC" }, { SF_FORMAT_AIFF, "AIFF" },
};

static const char *container_name(int format)
{
    for (size_t i = 0; i < SG_COUNT(container); i++)
        if ((format & SF_FORMAT_TYPEMASK) == container[i].format)
            return container[i].name;
    return NULL;
}

/* One count as a share of full scale; unset for floating point. Lossy codings are refused. */
static bool coding_step(int format, double *step)
{
    switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
        *step = 1.0 / 128.0;
        return true;
    case SF_FORMAT_PCM_16:
        *step = 1.0 / 32768.0;
        return true;
    case SF_FORMAT_PCM_24:
        *step = 1.0 / 8388608.0;
        return true;
    case SF_FORMAT_PCM_32:
        *step = 1.0 / 2147483648.0;
        return true;
    case SF_FORMAT_FLOAT:
    case SF_FORMAT_DOUBLE:
        *step = SG_UNSET;
        return true;
    default:
        return false;
    }
}

/* The library reads a file that was cut off as a shorter one. */
static sg_status check_length(const struct sound_reader *self, const struct sg_place *place,
                              struct sg_errors *errors)
{
    double stated = sg_sound_length(self->stream);
    if (fseeko(self->stream, 0, SEEK_SET) != 0)
        return sg_errors_add(errors, SG_ERR_IO, place, "cannot be read");
    if (!sg_is_set(stated) || stated <= (double)self->length)
        return SG_OK;
    return sg_errors_add(errors, SG_ERR_INPUT, place,
                         "is cut off: its header states %.0f bytes, %.0f are there", stated,
                         (double)self->length);
}

static void sound_close(void *user)
{
    struct sound_reader *self = user;
    if (self->file != NULL)
        (void)sf_close(self->file);
    sg_free(self->interleaved);
    sg_free(self);
}

static sg_status open_file(struct sound_reader *self, const struct sg_place *place,
                           struct sg_recording_info *info, struct sg_errors *errors)
{
    SF_VIRTUAL_IO io = { stream_length, stream_seek, stream_read, stream_write, stream_tell };
    self->file = sf_open_virtual(&io, SFM_READ, &self->format, self);
    if (self->file == NULL)
        return sg_errors_add(errors, SG_ERR_INPUT, place, "cannot be read as sound: %s",
                             sf_strerror(NULL));
    info->format = container_name(self->format.format);
    if (info->format == NULL || !coding_step(self->format.format, &info->step))
        return sg_errors_add(errors, SG_ERR_INPUT, place,
                             "is in a container or coding that is not read; WAV, W64, RF64, FLAC "
                             "and AIFF with linear or floating-point samples are");
    if (self->format.channels < 1 || self->format.channels > SG_CHANNELS_MAX)
        return sg_errors_add(errors, SG_ERR_INPUT, place, "has %d channels; 1 to %d are allowed",
                             self->format.channels, SG_CHANNELS_MAX);
    info->nchannel = (size_t)self->format.channels;
    info->rate_hz = (double)self->format.samplerate;
    info->full_scale = 1.0;
    if (self->format.frames > 0 && self->format.frames < SF_COUNT_MAX)
        info->frames_stated = (double)self->format.frames;
    for (size_t c = 0; c < info->nchannel; c++)
        (void)snprintf(info->name[c], SG_CHANNEL_NAME, "%zu", c + 1);
    self->interleaved = sg_alloc(info->nchannel * SG_BLOCK_FRAMES, sizeof *self->interleaved);
    return self->interleaved != NULL ? SG_OK
                                     : sg_errors_add(errors, SG_ERR_NOMEM, place, "out of memory");
}

static sg_status sound_open(FILE *stream, const char *name, const struct sg_csv_map *map,
                            struct sg_recording_info *info, void **out, struct sg_errors *errors)
{
    (void)map;
    const struct sg_place place = { name, 0, 0 };
    struct sound_reader *self = sg_alloc(1, sizeof *self);
    if (self == NULL)
        return sg_errors_add(errors, SG_ERR_NOMEM, &place, "out of memory");
    self->stream = stream;
    (void)snprintf(self->name, sizeof self->name, "%s", name);
    sg_status status = SG_ERR_IO;
    if (fseeko(stream, 0, SEEK_END) == 0) {
        self->length = (sf_count_t)ftello(stream);
        rewind(stream);
        status = check_length(self, &place, errors);
    }
    if (sg_ok(status))
        status = open_file(self, &place, info, errors);
    if (!sg_ok(status)) {
        sound_close(self);
        return status;
    }
    *out = self;
    return SG_OK;
}

static sg_status sound_read(void *user, struct sg_piece *piece, struct sg_errors *errors)
{
    struct sound_reader *self = user;
    size_t channels = (size_t)self->format.channels;
    sf_count_t got = sf_readf_double(self->file, self->interleaved, SG_BLOCK_FRAMES);
    if (got < 0 || sf_error(self->file) != SF_ERR_NO_ERROR) {
        const struct sg_place place = { self->name, 0, 0 };
        return sg_errors_add(errors, SG_ERR_INPUT, &place, "cannot be read on after frame %.0f: %s",
                             self->frames, sf_strerror(self->file));
    }
    for (size_t i = 0; i < (size_t)got; i++)
        for (size_t c = 0; c < channels; c++)
            piece->sample[c * SG_BLOCK_FRAMES + i] = self->interleaved[i * channels + c];
    piece->frames = (size_t)got;
    piece->time_s = self->frames / (double)self->format.samplerate;
    self->frames += (double)got;
    return SG_OK;
}

static sg_status sound_rewind(void *user, struct sg_errors *errors)
{
    struct sound_reader *self = user;
    self->frames = 0.0;
    if (sf_seek(self->file, 0, SEEK_SET) >= 0)
        return SG_OK;
    const struct sg_place place = { self->name, 0, 0 };
    return sg_errors_add(errors, SG_ERR_IO, &place, "cannot go back to its start");
}

const struct sg_reader sg_reader_sound = { sound_open, sound_read, sound_rewind, sound_close };
