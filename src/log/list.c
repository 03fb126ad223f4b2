/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/list.h"

#include <stdint.h>
#include <string.h>

bool ll_list_reserve(ll_list *list, const ll_allocator *allocator, size_t more, size_t size)
{
    if (more <= list->capacity - list->count)
        return true;
    size_t capacity = list->capacity ? list->capacity : 16;
    while (capacity < list->count + more) {
        if (capacity > SIZE_MAX / 4)
            return false;
        capacity *= 2;
    }
    if (capacity > SIZE_MAX / 2 / size)
        return false;
    void *items = allocator->resize(allocator->context, list->items, capacity * size);
    if (!items)
        return false;
    list->items = items;
    list->capacity = capacity;
    return true;
}

bool ll_list_append(ll_list *list, const ll_allocator *allocator, const void *items, size_t count, size_t size)
{
    if (!ll_list_reserve(list, allocator, count, size))
        return false;
    if (count)
        memcpy((char *)list->items + size * list->count, items, size * count);
    list->count += count;
    return true;
}

void *ll_list_copy(const ll_list *list, ll_arena *arena, size_t size)
{
    return ll_arena_copy(arena, list->items, list->count * size);
}

void ll_list_free(ll_list *list, const ll_allocator *allocator)
{
    if (list->items)
        allocator->resize(allocator->context, list->items, 0);
    *list = (ll_list){0};
}
