/* read_mseed.c - miniSEED 2. The only file that knows the seismic library.
 *
 * Records of several channels follow each other in any order, and files may hold one channel after
 * the other, so each channel has a cursor of its own that walks through the file. Samples stand on
 * one grid of times that starts at the earliest record. Frames are handed out where every channel
 * has a sample; what is missing in any channel is a gap.
 *
 * Format: SEED reference manual 2.4, fixed header and blockette 1000.
 */
#define _POSIX_C_SOURCE 200809L
#include "reader.h"

#include <libmseed.h>
#include <math.h>
#include <string.h>
#include <sys/types.h>

#define WINDOW ((size_t)1 << 17)
#define LOOK ((size_t)1 << 16) /* longest record read */
#define SAMPLES_MAX ((size_t)1 << 16)
#define JITTER_S 0.0001 /* the header's clock counts 0.1 ms */

struct window {
    off_t at;
    size_t length;
    char data[WINDOW];
};

struct cursor {
    char name[SG_CHANNEL_NAME];
    struct window *window;
    off_t offset;  /* of the next record to look at */
    double *value; /* of the record at hand */
    size_t count, used;
    int64_t next; /* grid index of value[used] */
    bool started, ended;
};

struct mseed_reader {
    FILE *stream;
    char name[256];
    double rate_hz;
    hptime_t start;
    struct cursor *cursor;
    size_t ncursor;
    int64_t expected; /* grid index after the last frame handed out */
    bool started;
    double overlap_s; /* found since the last piece */
};

static void quiet(char *message)
{
    (void)message;
}

static sg_status bad(const struct mseed_reader *self, off_t offset, struct sg_errors *errors,
                     const char *what)
{
    const struct sg_place place = { self->name, 0, 0 };
    return sg_errors_add(errors, SG_ERR_INPUT, &place, "byte %.0f: %s", (double)offset + 1.0, what);
}

/* Makes the window cover `offset` and a longest record behind it, as far as the file goes. */
static sg_status look_at(struct mseed_reader *self, struct window *window, off_t offset,
                         char **data, size_t *length, struct sg_errors *errors)
{
    bool covered = offset >= window->at && offset <= window->at + (off_t)window->length &&
                   (size_t)(offset - window->at) + LOOK <= window->length;
    bool whole = window->length > 0 && window->length < WINDOW && offset >= window->at &&
                 offset <= window->at + (off_t)window->length; /* it reaches the end of the file */
    if (!covered && !whole) {
        if (fseeko(self->stream, offset, SEEK_SET) != 0)
            return bad(self, offset, errors, "cannot be read");
        window->length = fread(window->data, 1, WINDOW, self->stream);
        window->at = offset;
        if (ferror(self->stream))
            return bad(self, offset, errors, "cannot be read");
    }
    *data = window->data + (offset - window->at);
    *length = window->length - (size_t)(offset - window->at);
    return SG_OK;
}

/* Length of the record that starts at data, of which `length` bytes are there; 0 when there is
 * none. */
static size_t record_length(char *data, size_t length)
{
    if (length < MINRECLEN || !MS_ISVALIDHEADER(data))
        return 0;
    int found = ms_detect(data, length > LOOK ? (int)LOOK : (int)length);
    if (found == 0 && length >= MINRECLEN && length <= LOOK && (length & (length - 1)) == 0)
        return length; /* the last one of a file without a stated length */
    return found >= MINRECLEN && (size_t)found <= LOOK && (size_t)found <= length ? (size_t)found
                                                                                  : 0;
}

/* The most samples that so many bytes can hold (SEED manual 2.4, encodings; recalled). The library
 * decodes uncompressed samples on over the record's end, into what stands behind it. */
static double samples_most(int encoding, double bytes)
{
    switch (encoding) {
    case DE_INT32:
    case DE_FLOAT32:
        return bytes / 4.0;
    case DE_FLOAT64:
        return bytes / 8.0;
    case DE_GEOSCOPE24:
        return bytes / 3.0;
    case DE_ASCII:
    case DE_STEIM1: /* four differences in a word of four bytes */
        return bytes;
    case DE_STEIM2: /* seven */
        return bytes * 7.0 / 4.0;
    default:
        return bytes / 2.0;
    }
}

/* Samples are said to be where they can be. */
static bool data_fit(const MSRecord *msr, size_t record)
{
    const struct fsdh_s *head = msr->fsdh;
    if (head == NULL || msr->samplecnt < 0 || msr->samplecnt > (int64_t)SAMPLES_MAX)
        return false;
    if (msr->samplecnt == 0)
        return true;
    if (head->data_offset < 48 || (size_t)head->data_offset >= record)
        return false;
    double bytes = (double)(record - (size_t)head->data_offset);
    return (double)msr->samplecnt <= samples_most(msr->encoding, bytes);
}

/* Parses the record at an offset. *msr stays NULL at the end of the file. */
static sg_status record_at(struct mseed_reader *self, struct window *window, off_t offset,
                           bool with_data, MSRecord **msr, struct sg_errors *errors)
{
    char *data = NULL;
    size_t length = 0;
    sg_status status = look_at(self, window, offset, &data, &length, errors);
    if (!sg_ok(status) || length == 0)
        return status;
    size_t record = record_length(data, length);
    if (record == 0)
        return bad(
            self, offset, errors,
            "no whole miniSEED 2 record starts here; records of 128 to 65536 bytes are read");
    if (msr_parse(data, (int)record, msr, (int)record, 0, 0) != MS_NOERROR) {
        msr_free(msr);
        return bad(self, offset, errors, "the header of the record is wrong");
    }
    if (!data_fit(*msr, record)) {
        msr_free(msr);
        return bad(self, offset, errors, "the record's data do not lie inside it");
    }
    if (with_data && msr_parse(data, (int)record, msr, (int)record, 1, 0) != MS_NOERROR) {
        msr_free(msr);
        return bad(self, offset, errors, "the record's data cannot be decoded");
    }
    return SG_OK;
}

static void channel_name(const MSRecord *msr, char *out)
{
    (void)snprintf(out, SG_CHANNEL_NAME, "%.5s.%.5s.%.4s.%.5s", msr->network, msr->station,
                   msr->location, msr->channel);
}

/* Text logs and records without a rate carry no waveform. */
static bool is_waveform(const MSRecord *msr)
{
    return msr->samplecnt > 0 && msr->samprate > 0.0 && msr->encoding != DE_ASCII;
}

static sg_status add_channel(struct mseed_reader *self, const MSRecord *msr, off_t offset,
                             struct sg_errors *errors)
{
    char name[SG_CHANNEL_NAME];
    channel_name(msr, name);
    if (self->ncursor > 0 && !(fabs(msr->samprate / self->rate_hz - 1.0) < 1e-4))
        return bad(self, offset, errors,
                   "the rate differs from that of the records before; one "
                   "rate in a file is allowed");
    if (self->ncursor == 0 || msr->starttime < self->start)
        self->start = msr->starttime;
    for (size_t i = 0; i < self->ncursor; i++)
        if (strcmp(self->cursor[i].name, name) == 0)
            return SG_OK;
    if (self->ncursor == SG_CHANNELS_MAX)
        return bad(self, offset, errors, "more than 64 channels; at most 64 are allowed");
    struct cursor *grown = sg_realloc(self->cursor, self->ncursor + 1, sizeof *grown);
    if (grown == NULL)
        return SG_ERR_NOMEM;
    self->cursor = grown;
    struct cursor *cursor = &self->cursor[self->ncursor];
    memset(cursor, 0, sizeof *cursor);
    memcpy(cursor->name, name, sizeof name);
    self->rate_hz = msr->samprate;
    cursor->window = sg_alloc(1, sizeof *cursor->window);
    cursor->value = sg_alloc(SAMPLES_MAX, sizeof *cursor->value);
    self->ncursor++;
    return cursor->window != NULL && cursor->value != NULL ? SG_OK : SG_ERR_NOMEM;
}

/* First pass: every header, which channels there are, the earliest time. */
static sg_status scan(struct mseed_reader *self, struct sg_errors *errors)
{
    struct window *window = sg_alloc(1, sizeof *window);
    MSRecord *msr = NULL;
    sg_status status = window == NULL ? SG_ERR_NOMEM : SG_OK;
    for (off_t offset = 0; sg_ok(status);) {
        status = record_at(self, window, offset, false, &msr, errors);
        if (!sg_ok(status) || msr == NULL)
            break;
        if (is_waveform(msr))
            status = add_channel(self, msr, offset, errors);
        offset += msr->reclen;
        msr_free(&msr);
    }
    msr_free(&msr);
    sg_free(window);
    if (sg_ok(status) && self->ncursor == 0)
        return bad(self, 0, errors, "no record with a waveform; at least one is needed");
    return status;
}

static void mseed_close(void *user)
{
    struct mseed_reader *self = user;
    for (size_t i = 0; i < self->ncursor; i++) {
        sg_free(self->cursor[i].window);
        sg_free(self->cursor[i].value);
    }
    sg_free(self->cursor);
    sg_free(self);
}

static sg_status mseed_open(FILE *stream, const char *name, const struct sg_csv_map *map,
                            struct sg_recording_info *info, void **out, struct sg_errors *errors)
{
    (void)map;
    struct mseed_reader *self = sg_alloc(1, sizeof *self);
    if (self == NULL)
        return SG_ERR_NOMEM;
    ms_loginit(quiet, "", quiet, ""); /* what it has to say is said here with the place */
    self->stream = stream;
    (void)snprintf(self->name, sizeof self->name, "%s", name);
    sg_status status = scan(self, errors);
    if (!sg_ok(status)) {
        mseed_close(self);
        return status;
    }
    info->format = "miniSEED 2";
    info->nchannel = self->ncursor;
    info->rate_hz = self->rate_hz;
    info->start_epoch_s = (double)self->start / HPTMODULUS;
    info->counts = true;
    info->step = 1.0;
    for (size_t i = 0; i < self->ncursor; i++)
        memcpy(info->name[i], self->cursor[i].name, SG_CHANNEL_NAME);
    *out = self;
    return SG_OK;
}

static bool take_values(const MSRecord *msr, double *out, size_t *count)
{
    if (msr->numsamples < 0 || msr->numsamples > (int64_t)SAMPLES_MAX || msr->datasamples == NULL)
        return false;
    *count = (size_t)msr->numsamples;
    for (size_t i = 0; i < *count; i++) {
        if (msr->sampletype == 'i')
            out[i] = (double)((const int32_t *)msr->datasamples)[i];
        else if (msr->sampletype == 'f')
            out[i] = (double)((const float *)msr->datasamples)[i];
        else if (msr->sampletype == 'd')
            out[i] = ((const double *)msr->datasamples)[i];
        else
            return false;
    }
    return true;
}

/* Puts the record at hand on the grid. Within half a sample and the clock's step it goes on from
 * the one before; what comes twice is dropped. */
static void place_record(struct mseed_reader *self, struct cursor *cursor, hptime_t time)
{
    double at = (double)(time - self->start) / HPTMODULUS * self->rate_hz;
    if (!cursor->started || fabs(at - (double)cursor->next) > 0.5 + JITTER_S * self->rate_hz) {
        int64_t index = (int64_t)floor(at + 0.5);
        if (cursor->started && index < cursor->next) {
            uint64_t again = (uint64_t)(cursor->next - index);
            self->overlap_s = fmax(self->overlap_s, (double)again / self->rate_hz);
            cursor->used = again < cursor->count ? (size_t)again : cursor->count;
            return;
        }
        cursor->next = index;
    }
    cursor->started = true;
}

/* The next record of a channel; ended is set at the end of the file. */
static sg_status advance(struct mseed_reader *self, struct cursor *cursor, struct sg_errors *errors)
{
    MSRecord *msr = NULL;
    sg_status status = SG_OK;
    char name[SG_CHANNEL_NAME];
    while (sg_ok(status) && !cursor->ended && cursor->used == cursor->count) {
        off_t offset = cursor->offset;
        status = record_at(self, cursor->window, offset, false, &msr, errors);
        if (!sg_ok(status))
            break;
        if (msr == NULL) {
            cursor->ended = true;
            break;
        }
        cursor->offset += msr->reclen;
        channel_name(msr, name);
        if (is_waveform(msr) && strcmp(name, cursor->name) == 0) {
            status = record_at(self, cursor->window, offset, true, &msr, errors);
            cursor->used = cursor->count = 0;
            if (sg_ok(status) && !take_values(msr, cursor->value, &cursor->count))
                status = bad(self, offset, errors, "the record's data cannot be decoded");
            if (sg_ok(status) && cursor->count > 0)
                place_record(self, cursor, msr->starttime);
        }
        msr_free(&msr);
    }
    msr_free(&msr);
    return status;
}

static void consume(struct cursor *cursor, size_t count)
{
    cursor->used += count;
    cursor->next += (int64_t)count;
}

/* Brings all cursors to the first frame that every channel has; *count is how many frames follow
 * without a break in the records at hand, 0 at the end. */
static sg_status align(struct mseed_reader *self, size_t *count, struct sg_errors *errors)
{
    for (;;) {
        int64_t first = INT64_MIN;
        *count = SG_BLOCK_FRAMES;
        for (size_t i = 0; i < self->ncursor; i++) {
            struct cursor *cursor = &self->cursor[i];
            sg_status status = advance(self, cursor, errors);
            if (!sg_ok(status))
                return status;
            if (cursor->ended) {
                *count = 0;
                return SG_OK;
            }
            first = cursor->next > first ? cursor->next : first;
        }
        bool level = true;
        for (size_t i = 0; i < self->ncursor; i++) {
            struct cursor *cursor = &self->cursor[i];
            uint64_t behind = (uint64_t)(first - cursor->next);
            size_t left = cursor->count - cursor->used;
            if (behind > 0) {
                consume(cursor, behind < left ? (size_t)behind : left);
                level = false;
            }
            *count = left < *count ? left : *count;
        }
        if (level)
            return SG_OK;
    }
}

static sg_status mseed_read(void *user, struct sg_piece *piece, struct sg_errors *errors)
{
    struct mseed_reader *self = user;
    size_t count;
    sg_status status = align(self, &count, errors);
    if (!sg_ok(status) || count == 0)
        return status;
    int64_t first = self->cursor[0].next;
    for (size_t i = 0; i < self->ncursor; i++) {
        struct cursor *cursor = &self->cursor[i];
        memcpy(piece->sample + i * SG_BLOCK_FRAMES, cursor->value + cursor->used,
               count * sizeof *piece->sample);
        consume(cursor, count);
    }
    piece->frames = count;
    piece->time_s = (double)first / self->rate_hz;
    if (self->started && first > self->expected)
        piece->gap_s = (double)(first - self->expected) / self->rate_hz;
    else if (self->overlap_s > 0.0)
        piece->gap_s = -self->overlap_s;
    self->overlap_s = 0.0;
    self->expected = first + (int64_t)count;
    self->started = true;
    return SG_OK;
}

static sg_status mseed_rewind(void *user, struct sg_errors *errors)
{
    (void)errors;
    struct mseed_reader *self = user;
    self->started = false;
    self->overlap_s = 0.0;
    for (size_t i = 0; i < self->ncursor; i++) {
        struct cursor *cursor = &self->cursor[i];
        cursor->offset = 0;
        cursor->count = cursor->used = 0;
        cursor->next = 0;
        cursor->started = cursor->ended = false;
    }
    return SG_OK;
}

const struct sg_reader sg_reader_mseed = { mseed_open, mseed_read, mseed_rewind, mseed_close };
