/* fuzz_recording.h - what the targets of the readers of recordings share: whatever comes in, it is
 * read to the end or refused with a word; nothing else may happen. */
#ifndef TESTS_FUZZ_RECORDING_H
#define TESTS_FUZZ_RECORDING_H

#include <stdio.h>
#include <stdlib.h>

#include "stillground/signal.h"

#define FRAMES_MAX 2e6

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_recording *recording = NULL;
    struct sg_block block = { .frames = 1 };
    double frames = 0.0;
    FILE *stream = tmpfile();
    if (stream == NULL || fwrite(data, 1, size, stream) != size)
        abort();
    rewind(stream);
    sg_status status = sg_recording_open_stream(stream, "fuzz", NULL, &recording, &errors);
    while (sg_ok(status) && block.frames > 0 && frames < FRAMES_MAX) {
        status = sg_recording_read(recording, &block, &errors);
        frames += sg_ok(status) ? (double)block.frames : 0.0;
    }
    if (!sg_ok(status) && errors.count == 0)
        abort(); /* refused without a word */
    sg_recording_close(recording);
    sg_errors_release(&errors);
    return 0;
}

#endif
