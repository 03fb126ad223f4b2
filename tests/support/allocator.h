/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A heap that runs dry on request and knows what it has handed out. */
#ifndef LL_TESTS_ALLOCATOR_H
#define LL_TESTS_ALLOCATOR_H

#include <stddef.h>

#include "base/arena.h"

typedef struct test_heap {
    ll_allocator allocator; /* hand its address on */
    size_t calls;           /* requests for memory so far, refused ones included */
    size_t refuse_from;     /* the first request that is refused, from 1; 0: none is */
    size_t live;            /* blocks handed out and not given back */
} test_heap;

/* Refuses the request number `refuse_from` and all after it. The heap must not move afterwards. */
void test_heap_open(test_heap *heap, size_t refuse_from);

#endif
