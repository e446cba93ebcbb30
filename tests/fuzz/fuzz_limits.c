/* fuzz_limits.c - the reader of limit sets on any text: a set with rows and values, or at least one
 * message.
 */
#include "stillground/site.h"

#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static sg_status read_set(const char *bytes, size_t size, struct sg_arena *arena,
                          const struct sg_limit_set **set)
{
    struct sg_errors errors = SG_ERRORS_INIT;
    sg_status status = sg_limit_file_read_memory(bytes, size, "set.yaml", arena, set, &errors);
    if (!sg_ok(status) && errors.count == 0) {
        fprintf(stderr, "failed with %s, but said nothing\n", sg_status_text(status));
        abort();
    }
    sg_errors_release(&errors);
    return status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct sg_arena arena = SG_ARENA_INIT;
    const struct sg_limit_set *set = NULL;
    static const char none[] = "";
    if (sg_ok(read_set(size > 0 ? (const char *)data : none, size, &arena, &set))) {
        if (set->nrow == 0 || set->row[0].nnode == 0) {
            fprintf(stderr, "a set without rows or values was taken\n");
            abort();
        }
    }
    sg_arena_release(&arena);
    return 0;
}
