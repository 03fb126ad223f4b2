/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The memory rule: the caller gives an arena, a stage's results live in it, the caller frees it once. */
#ifndef LL_BASE_ARENA_H
#define LL_BASE_ARENA_H

#include <stddef.h>

/* Where bytes come from. `resize` works as realloc does; a size of 0 frees. Returns NULL on failure. */
typedef struct ll_allocator {
    void *(*resize)(void *context, void *old, size_t size);
    void *context;
} ll_allocator;

/* The C library's heap. */
extern const ll_allocator ll_heap;

typedef struct ll_arena {
    const ll_allocator *allocator;
    struct ll_arena_block *blocks; /* newest first */
} ll_arena;

void ll_arena_open(ll_arena *arena, const ll_allocator *allocator);

/* `size` bytes aligned for any type, zeroed; NULL if memory ran out. A size of 0 gives a valid pointer. */
void *ll_arena_alloc(ll_arena *arena, size_t size);

/* `count` items of `size` bytes, zeroed; NULL if memory ran out or the product overflows. */
void *ll_arena_array(ll_arena *arena, size_t count, size_t size);

/* Copies; NULL if memory ran out. */
void *ll_arena_copy(ll_arena *arena, const void *bytes, size_t size);
char *ll_arena_text(ll_arena *arena, const char *text);
char *ll_arena_text_n(ll_arena *arena, const char *text, size_t length);
char *ll_arena_format(ll_arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Forgets every result; keeps the newest block for the next round (a scratch arena is reset for each dive). */
void ll_arena_reset(ll_arena *arena);

/* Takes over all results of another arena over the same allocator, which is empty then. */
void ll_arena_adopt(ll_arena *arena, ll_arena *other);

/* Frees everything. The arena may be opened again. */
void ll_arena_close(ll_arena *arena);

#endif
