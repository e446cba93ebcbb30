/* reader.h - what a reader of one family of formats offers to read_recording.c. Inside src/signal
 * only. */
#ifndef SIGNAL_READER_H
#define SIGNAL_READER_H

#include "stillground/signal.h"

/* A piece of recording: planar, channel c at sample + c * SG_BLOCK_FRAMES. */
struct sg_piece {
    double *sample;
    size_t frames;
    double time_s, gap_s;
};

struct sg_reader {
    /* Reads the header. The stream stands at the start, can seek and stays the caller's. */
    sg_status (*open)(FILE *stream, const char *name, const struct sg_csv_map *map,
                      struct sg_recording_info *info, void **self, struct sg_errors *errors);
    sg_status (*read)(void *self, struct sg_piece *piece, struct sg_errors *errors);
    sg_status (*rewind)(void *self, struct sg_errors *errors);
    void (*close)(void *self);
};
/* Bytes that the header of a WAV, W64, RF64 or AIFF states; unset when it does not say. Leaves the
 * stream anywhere. */
double sg_sound_length(FILE *stream);
extern const struct sg_reader sg_reader_sound, sg_reader_mseed, sg_reader_csv;

#endif
