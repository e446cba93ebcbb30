/* working.c - the lines of a hand calculation. */
#include "stillground/value.h"

static const char *source_of(struct sg_arena *arena, const struct sg_cite *cite)
{
    if (!cite)
        return "";
    return sg_arena_printf(arena, "%s, %s [%s%s]", cite->document, cite->locus,
                           sg_grade_unverified(cite->grade) ? "unverified: " : "",
                           sg_grade_name(cite->grade));
}

static bool grow(struct sg_working *working)
{
    if (working->count < working->capacity)
        return true;
    size_t capacity = working->capacity > 0 ? 2 * working->capacity : 16;
    struct sg_step *step = sg_arena_alloc(working->arena, capacity, sizeof(*step));
    if (!step)
        return false;
    for (size_t i = 0; i < working->count; i++)
        step[i] = working->step[i];
    working->step = step;
    working->capacity = capacity;
    return true;
}

void sg_working_add(struct sg_working *working, const struct sg_cite *cite, const char *what,
                    const char *format, ...)
{
    if (!working || working->failed)
        return;
    struct sg_text text = SG_TEXT_INIT;
    va_list arguments;
    va_start(arguments, format);
    sg_text_vprintf(&text, format, arguments);
    va_end(arguments);
    struct sg_step step = { sg_arena_printf(working->arena, "%s", what), NULL,
                            source_of(working->arena, cite) };
    if (!text.failed)
        step.working = sg_arena_copy(working->arena, sg_text_string(&text), text.length);
    working->failed = !step.what || !step.working || !step.source || !grow(working);
    if (!working->failed)
        working->step[working->count++] = step;
    sg_text_release(&text);
}

static bool same_lines(const struct sg_step *a, const struct sg_step *b, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!sg_same(a[i].what, b[i].what) || !sg_same(a[i].working, b[i].working) ||
            !sg_same(a[i].source, b[i].source))
            return false;
    }
    return true;
}

bool sg_working_fold(struct sg_working *working, size_t from)
{
    if (!working || working->failed || from >= working->count)
        return false;
    size_t count = working->count - from;
    for (size_t at = 0; at + count <= from; at++) {
        if (same_lines(&working->step[at], &working->step[from], count)) {
            working->count = from;
            return true;
        }
    }
    return false;
}
