/* fuzz_calibration.c - libFuzzer target: the reader of calibration files. It ends with a
 * calibration or with at least one message. */
#include <stdio.h>
#include <stdlib.h>

#include "site/site_internal.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct sg_arena arena = SG_ARENA_INIT;
    struct sg_errors errors = SG_ERRORS_INIT;
    struct sg_calibration calibration;
    sg_status status = sg_calibration_read_memory((const char *)data, size, "fuzz.yaml", &arena,
                                                  &calibration, &errors);
    if (!sg_ok(status) && errors.count == 0)
        abort(); /* refused without a word */
    if (sg_ok(status) && calibration.nchannel == 0)
        abort(); /* a calibration of nothing was taken */
    sg_arena_release(&arena);
    sg_errors_release(&errors);
    return 0;
}
