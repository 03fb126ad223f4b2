/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/arena.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* In sanitizer builds every allocation is a real one, so that a read past its end is seen. */
#if defined(__SANITIZE_ADDRESS__)
#define REAL_ALLOCATIONS 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define REAL_ALLOCATIONS 1
#endif
#endif
#ifndef REAL_ALLOCATIONS
#define REAL_ALLOCATIONS 0
#endif

enum { BLOCK_BYTES = 64 * 1024 };

typedef struct ll_arena_block {
    struct ll_arena_block *older;
    size_t size;
    size_t used;
    max_align_t bytes[];
} block;

static void *heap_resize(void *context, void *old, size_t size)
{
    (void)context;
    if (size == 0) {
        free(old);
        return NULL;
    }
    return realloc(old, size);
}

const ll_allocator ll_heap = {heap_resize, NULL};

void ll_arena_open(ll_arena *arena, const ll_allocator *allocator)
{
    arena->allocator = allocator ? allocator : &ll_heap;
    arena->blocks = NULL;
}

static block *add_block(ll_arena *arena, size_t size)
{
    if (size > SIZE_MAX - sizeof(block))
        return NULL;
    block *made = arena->allocator->resize(arena->allocator->context, NULL, sizeof(block) + size);
    if (!made)
        return NULL;
    made->older = arena->blocks;
    made->size = size;
    made->used = 0;
    arena->blocks = made;
    return made;
}

static size_t aligned(size_t size)
{
    const size_t unit = sizeof(max_align_t);
    return (size + unit - 1) / unit * unit;
}

void *ll_arena_alloc(ll_arena *arena, size_t size)
{
    if (size > SIZE_MAX / 2)
        return NULL;
    block *from = arena->blocks;
    if (REAL_ALLOCATIONS) {
        from = add_block(arena, size);
        if (!from)
            return NULL;
    } else {
        size = aligned(size ? size : 1);
        if (!from || from->size - from->used < size)
            from = add_block(arena, size > BLOCK_BYTES ? size : BLOCK_BYTES);
        if (!from)
            return NULL;
    }
    char *bytes = (char *)from->bytes + from->used;
    from->used += size;
    return memset(bytes, 0, size);
}

void *ll_arena_array(ll_arena *arena, size_t count, size_t size)
{
    if (size && count > SIZE_MAX / size)
        return NULL;
    return ll_arena_alloc(arena, count * size);
}

void *ll_arena_copy(ll_arena *arena, const void *bytes, size_t size)
{
    void *copy = ll_arena_alloc(arena, size);
    if (copy && size)
        memcpy(copy, bytes, size);
    return copy;
}

char *ll_arena_text_n(ll_arena *arena, const char *text, size_t length)
{
    char *copy = ll_arena_alloc(arena, length + 1);
    if (copy && length)
        memcpy(copy, text, length);
    return copy;
}

char *ll_arena_text(ll_arena *arena, const char *text)
{
    return ll_arena_text_n(arena, text, strlen(text));
}

char *ll_arena_format(ll_arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (length < 0)
        return NULL;
    char *text = ll_arena_alloc(arena, (size_t)length + 1);
    if (!text)
        return NULL;
    va_start(arguments, format);
    vsnprintf(text, (size_t)length + 1, format, arguments);
    va_end(arguments);
    return text;
}

static void free_blocks(ll_arena *arena, block *kept)
{
    while (arena->blocks) {
        block *next = arena->blocks->older;
        if (arena->blocks != kept)
            arena->allocator->resize(arena->allocator->context, arena->blocks, 0);
        arena->blocks = next;
    }
}

void ll_arena_reset(ll_arena *arena)
{
    block *kept = REAL_ALLOCATIONS ? NULL : arena->blocks;
    free_blocks(arena, kept);
    if (kept) {
        kept->older = NULL;
        kept->used = 0;
        arena->blocks = kept;
    }
}

void ll_arena_adopt(ll_arena *arena, ll_arena *other)
{
    block **older = arena->blocks ? &arena->blocks->older : &arena->blocks;
    block *oldest = other->blocks;
    if (!oldest)
        return;
    while (oldest->older)
        oldest = oldest->older;
    oldest->older = *older;
    *older = other->blocks;
    other->blocks = NULL;
}

void ll_arena_close(ll_arena *arena)
{
    free_blocks(arena, NULL);
}
