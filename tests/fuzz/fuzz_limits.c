/* fuzz_limits.c - the reader of limit sets on any text: a set with rows and values, or at least one
 * message. What was read is judged by, written, read back and written again, the same.
 */
#include "stillground/limits.h"
#include "stillground/site.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

static void judge_rows(const struct sg_limit_set *set)
{
    struct sg_judged judged = { .period = SG_ANY_TIME, .ambient_db = 50, .factor = SG_UNSET };
    for (size_t i = 0; i < set->nrow; i++) {
        struct sg_value value = SG_VALUE_INIT;
        struct sg_verdict verdict;
        value.quantity = set->row[i].quantity;
        value.axes = set->row[i].axes;
        value.position = set->row[i].position;
        value.central = value.upper = 3;
        value.frequency_low_hz = value.frequency_high_hz = 20;
        judged.days = (double)i;
        sg_judge(set, &set->row[i], &judged, &value, &verdict, NULL);
        if (verdict.state == SG_NOT_DETERMINABLE && verdict.reason[0] == '\0') {
            fprintf(stderr, "not determinable without a reason\n");
            abort();
        }
    }
}

static void round_trip(const struct sg_limit_set *set)
{
    struct sg_text first = SG_TEXT_INIT, second = SG_TEXT_INIT;
    struct sg_arena arena = SG_ARENA_INIT;
    const struct sg_limit_set *back = NULL;
    sg_limit_file_put(set, &first);
    if (!sg_ok(read_set(first.data, first.length, &arena, &back))) {
        fprintf(stderr, "what was written is not read back\n%s", first.data);
        abort();
    }
    sg_limit_file_put(back, &second);
    if (first.length != second.length || memcmp(first.data, second.data, first.length) != 0) {
        fprintf(stderr, "what was read back is written otherwise\n");
        abort();
    }
    sg_text_release(&first);
    sg_text_release(&second);
    sg_arena_release(&arena);
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
        judge_rows(set);
        round_trip(set);
    }
    sg_arena_release(&arena);
    return 0;
}
