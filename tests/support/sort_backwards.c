/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A qsort to be loaded in front of that of the C library: what compares as equal comes out the other way round.
 * Standard C leaves that order open, C libraries differ in it, and no answer may depend on it. */
#include <stdlib.h>
#include <string.h>

typedef int (*comparison)(const void *, const void *);

/* Merges two sorted halves into `room`; of equals that of the right half comes first. */
static void merge(const char *left, const char *right, const char *end, size_t size, comparison compare, char *room)
{
    const char *middle = right;
    while (left < middle || right < end) {
        int is_left = right == end || (left < middle && compare(left, right) < 0);
        const char **from = is_left ? &left : &right;
        memcpy(room, *from, size);
        room += size;
        *from += size;
    }
}

static void sort(char *items, size_t count, size_t size, comparison compare, char *room)
{
    if (count < 2)
        return;
    size_t half = count / 2 * size;
    sort(items, count / 2, size, compare, room);
    sort(items + half, count - count / 2, size, compare, room);
    merge(items, items + half, items + count * size, size, compare, room);
    memcpy(items, room, count * size);
}

void qsort(void *items, size_t count, size_t size, comparison compare)
{
    char *room = malloc(count * size + 1);
    if (!room)
        abort();
    sort(items, count, size, compare, room);
    free(room);
}
