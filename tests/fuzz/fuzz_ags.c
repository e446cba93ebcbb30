/* fuzz_ags.c - borehole files of any bytes are read to their end: what comes out are layers that go
 * down from the ground without a gap, or an error that says why there are none. */
#include "site/ags.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const struct sg_borehole *hole)
{
    for (size_t i = 1; i < hole->nlayer; i++) {
        const struct sg_layer *above = &hole->layer[i - 1], *layer = &hole->layer[i];
        if (!(layer->base_m > layer->top_m) || fabs(layer->top_m - above->base_m) > 1e-6) {
            fprintf(stderr, "layers with a gap, or upside down\n");
            abort();
        }
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct sg_site site = SG_SITE_INIT;
    struct sg_reader reader = { .site = &site, .local = true };
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_build_ags_memory(&reader, (const char *)data, size, "fuzz.ags");
    if (site.nborehole == 0 && reader.nerror == 0 && !reader.nomem) {
        fprintf(stderr, "no borehole, and nothing was said\n");
        abort();
    }
    for (size_t i = 0; i < site.nborehole; i++)
        check(&site.borehole[i]);
    sg_reader_finish(&reader, &errors);
    sg_errors_release(&errors);
    sg_arena_release(&site.arena);
    return 0;
}
