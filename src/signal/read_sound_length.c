/* read_sound_length.c - whether the bytes that the header of a sound file states are there. The
 * sound-file library reads a file that was cut off as a shorter one; here that is an error.
 * Layouts of WAV (RIFF, RIFX), RF64 (EBU Tech 3306), W64 and AIFF: recalled, and seen in files that
 * the library writes. FLAC is not here: its decoder notices. */
#define _POSIX_C_SOURCE 200809L
#include "reader.h"

#include <math.h>
#include <string.h>
#include <sys/types.h>

struct layout {
    const char *magic, *form; /* at the start; three characters at byte 8, NULL = none */
    const char *data;         /* the chunk that holds the samples */
    size_t id, size;          /* bytes of a chunk's name and of its size */
    bool big;                 /* numbers begin with the high byte */
    bool counts_head;         /* sizes count the name and the size too */
    unsigned align;           /* chunks start on multiples of this */
    off_t total_at, own_at;   /* the file's size; the data's, 0 = in its chunk only */
    off_t first;              /* the first chunk */
};
static const struct layout layout[] = {
    { "RIFF", "WAV", "data", 4, 4, false, false, 2, 4, 0, 12 },
    { "RIFX", "WAV", "data", 4, 4, true, false, 2, 4, 0, 12 },
    { "RF64", "WAV", "data", 4, 4, false, false, 2, 20, 28, 12 },
    { "riff", NULL, "data", 16, 8, false, true, 8, 16, 0, 40 },
    { "FORM", "AIF", "SSND", 4, 4, true, false, 2, 4, 0, 12 },
};

static bool number_at(FILE *stream, off_t at, size_t bytes, bool big, double *out)
{
    unsigned char byte[8];
    uint64_t value = 0;
    if (fseeko(stream, at, SEEK_SET) != 0 || fread(byte, 1, bytes, stream) < bytes)
        return false;
    for (size_t i = 0; i < bytes; i++)
        value = value << 8 | byte[big ? i : bytes - 1 - i];
    *out = (double)value;
    return true;
}

/* 0 and the largest numbers stand for "not known": a recorder that streams writes them. */
static bool is_known(double size, size_t bytes)
{
    return size > 0.0 && size < (bytes == 4 ? 4294967286.0 : 18446744073709551615.0);
}

/* Where the samples end by the header of their chunk; unset when it is not found. */
static double end_of_data(FILE *stream, const struct layout *l, double length)
{
    const size_t head = l->id + l->size;
    double at = (double)l->first;
    for (int chunk = 0; chunk < 64 && at + (double)head <= length; chunk++) {
        char name[4];
        double size;
        if (fseeko(stream, (off_t)at, SEEK_SET) != 0 || fread(name, 1, 4, stream) < 4 ||
            !number_at(stream, (off_t)at + (off_t)l->id, l->size, l->big, &size))
            return SG_UNSET;
        bool found = memcmp(name, l->data, 4) == 0;
        size_t width = l->size;
        if (found && l->own_at != 0 && !is_known(size, width)) {
            width = 8;
            if (!number_at(stream, l->own_at, width, l->big, &size))
                return SG_UNSET;
        }
        if (found && !is_known(size, width))
            return SG_UNSET;
        double end = at + size + (l->counts_head ? 0.0 : (double)head);
        if (found)
            return end;
        if (!(end > at) || end > length)
            return end; /* a chunk before the samples is cut off, or not one */
        double over = fmod(end, (double)l->align);
        at = over > 0.0 ? end + (double)l->align - over : end;
    }
    return SG_UNSET;
}

double sg_sound_length(FILE *stream)
{
    char magic[12];
    double length, total;
    if (fseeko(stream, 0, SEEK_END) != 0)
        return SG_UNSET;
    length = (double)ftello(stream);
    if (fseeko(stream, 0, SEEK_SET) != 0 || fread(magic, 1, sizeof magic, stream) < sizeof magic)
        return SG_UNSET;
    for (size_t i = 0; i < SG_COUNT(layout); i++) {
        const struct layout *l = &layout[i];
        if (memcmp(magic, l->magic, 4) != 0)
            continue;
        if (l->form != NULL && memcmp(magic + 8, l->form, 3) != 0)
            return SG_UNSET; /* a container of something else: the library says so */
        size_t bytes = l->own_at != 0 ? 8 : l->size;
        double end = end_of_data(stream, l, length);
        if (!number_at(stream, l->total_at, bytes, l->big, &total) || !is_known(total, bytes))
            return end;
        total += l->counts_head ? 0.0 : 8.0;
        return sg_is_set(end) && end > total ? end : total;
    }
    return SG_UNSET;
}
