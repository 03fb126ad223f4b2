/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A growable row of items, kept between dives so that reading one allocates nothing once its like was read before. */
#ifndef LL_LOG_LIST_H
#define LL_LOG_LIST_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* Zero-initialise. */
typedef struct ll_list {
    void *items;
    size_t count;
    size_t capacity;
} ll_list;

/* Room for `more` items of `size` bytes behind those there are. False if memory ran out; the list is then as it was. */
bool ll_list_reserve(ll_list *list, const ll_allocator *allocator, size_t more, size_t size);

/* Room for one more item of `size` bytes at the end, which is counted; not initialised. NULL if memory ran out. */
static inline void *ll_list_add(ll_list *list, const ll_allocator *allocator, size_t size)
{
    if (list->count == list->capacity && !ll_list_reserve(list, allocator, 1, size))
        return NULL;
    return (char *)list->items + size * list->count++;
}

/* Appends `count` items of `size` bytes. False if memory ran out; the list is then as it was. */
bool ll_list_append(ll_list *list, const ll_allocator *allocator, const void *items, size_t count, size_t size);

/* An exact-size copy of the items in `arena`; a valid pointer where there are none; NULL if memory ran out. */
void *ll_list_copy(const ll_list *list, ll_arena *arena, size_t size);

void ll_list_free(ll_list *list, const ll_allocator *allocator);

#endif
