/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "target.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PIECE = 251 };

ptrdiff_t fuzz_read(void *context, void *bytes, size_t capacity)
{
    fuzz_bytes *from = context;
    size_t size = from->size - from->at;
    size = size < capacity ? size : capacity;
    size = size < PIECE ? size : PIECE;
    if (size > 0)
        memcpy(bytes, from->bytes + from->at, size);
    from->at += size;
    return (ptrdiff_t)size;
}

void fuzz_check(int holds, const char *promise)
{
    if (holds)
        return;
    fprintf(stderr, "does not hold: %s\n", promise);
    abort();
}
