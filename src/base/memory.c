/* memory.c - the one door to the heap, and an arena on top of it. */
#include "stillground/base.h"

#include <stdlib.h>
#include <string.h>

/* Counts down to the allocation that tests want to fail; 0 = none. */
static size_t fail_countdown;

void sg_alloc_fail_at(size_t n)
{
    fail_countdown = n;
}

static bool must_fail(void)
{
    return fail_countdown > 0 && --fail_countdown == 0;
}

void *sg_alloc(size_t count, size_t size)
{
    if (must_fail())
        return NULL;
    return calloc(count > 0 ? count : 1, size > 0 ? size : 1);
}

void *sg_realloc(void *old, size_t count, size_t size)
{
    if (must_fail() || (size > 0 && count > SIZE_MAX / size))
        return NULL;
    size_t bytes = count * size;
    return realloc(old, bytes > 0 ? bytes : 1);
}

void sg_free(void *pointer)
{
    free(pointer);
}

#define BLOCK_BYTES ((size_t)1 << 16)

struct sg_arena_block {
    struct sg_arena_block *next;
    size_t used, size;
    max_align_t data[];
};

static struct sg_arena_block *new_block(size_t bytes)
{
    if (bytes > SIZE_MAX - sizeof(struct sg_arena_block))
        return NULL;
    struct sg_arena_block *block = sg_alloc(1, sizeof(*block) + bytes);
    if (block)
        block->size = bytes;
    return block;
}

/* The block to take `bytes` from: the head, or a new head. A large piece gets a block of its own
 * behind the head, so that the head's room is not lost. */
static struct sg_arena_block *block_for(struct sg_arena *arena, size_t bytes)
{
    struct sg_arena_block *head = arena->block;
    if (head && head->size - head->used >= bytes)
        return head;
    struct sg_arena_block *block = new_block(bytes > BLOCK_BYTES ? bytes : BLOCK_BYTES);
    if (!block)
        return NULL;
    if (head && bytes > BLOCK_BYTES) {
        block->next = head->next;
        head->next = block;
    } else {
        block->next = head;
        arena->block = block;
    }
    return block;
}

void *sg_arena_alloc(struct sg_arena *arena, size_t count, size_t size)
{
    const size_t align = _Alignof(max_align_t);
    if (size > 0 && count > (SIZE_MAX - align) / size)
        return NULL;
    size_t bytes = (count * size + align - 1) / align * align;
    struct sg_arena_block *block = block_for(arena, bytes);
    if (!block)
        return NULL;
    void *piece = (char *)block->data + block->used;
    block->used += bytes;
    return piece;
}

char *sg_arena_copy(struct sg_arena *arena, const char *text, size_t length)
{
    char *copy = sg_arena_alloc(arena, length + 1, 1);
    if (copy && length > 0)
        memcpy(copy, text, length);
    return copy;
}

char *sg_arena_printf(struct sg_arena *arena, const char *format, ...)
{
    struct sg_text text = SG_TEXT_INIT;
    va_list arguments;
    va_start(arguments, format);
    sg_text_vprintf(&text, format, arguments);
    va_end(arguments);
    char *copy = NULL;
    if (!text.failed)
        copy = sg_arena_copy(arena, sg_text_string(&text), text.length);
    sg_text_release(&text);
    return copy;
}

void sg_arena_release(struct sg_arena *arena)
{
    struct sg_arena_block *block = arena->block;
    while (block) {
        struct sg_arena_block *next = block->next;
        sg_free(block);
        block = next;
    }
    arena->block = NULL;
}
