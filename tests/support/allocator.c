/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "allocator.h"

static void *resize(void *context, void *old, size_t size)
{
    test_heap *heap = context;
    if (size == 0) {
        heap->live -= old != NULL;
        return ll_heap.resize(NULL, old, 0);
    }
    heap->calls++;
    if (heap->refuse_from && heap->calls >= heap->refuse_from)
        return NULL;
    heap->live += old == NULL;
    return ll_heap.resize(NULL, old, size);
}

void test_heap_open(test_heap *heap, size_t refuse_from)
{
    *heap = (test_heap){.allocator = {resize, heap}, .refuse_from = refuse_from};
}
