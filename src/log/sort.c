/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "log/reader.h"

/* What hangs on samples, brought to their order. */

static uint32_t sample_of(const char *item)
{
    uint32_t sample;
    memcpy(&sample, item, sizeof sample);
    return sample;
}

static bool is_sorted(const char *items, size_t count, size_t size)
{
    for (size_t i = 1; i < count; i++)
        if (sample_of(items + i * size) < sample_of(items + (i - 1) * size))
            return false;
    return true;
}

/* Merges the runs [from, middle) and [middle, to) of `items` into `room`. */
static void merge(const char *items, char *room, size_t from, size_t middle, size_t to, size_t size)
{
    size_t left = from, right = middle;
    for (size_t out = from; out < to; out++) {
        bool take_left =
            left < middle && (right >= to || sample_of(items + left * size) <= sample_of(items + right * size));
        size_t taken = take_left ? left++ : right++;
        memcpy(room + out * size, items + taken * size, size);
    }
}

void ll_sort_by_sample(void *items, void *room, size_t count, size_t size)
{
    if (is_sorted(items, count, size))
        return;
    for (size_t width = 1; width < count; width *= 2) {
        for (size_t from = 0; from < count; from += 2 * width) {
            size_t middle = from + width < count ? from + width : count;
            size_t to = from + 2 * width < count ? from + 2 * width : count;
            merge(items, room, from, middle, to, size);
        }
        memcpy(items, room, count * size);
    }
}

bool ll_place_items(ll_reader *reader, ll_list *items, size_t size)
{
    const uint32_t *place = reader->places.items;
    char *item = items->items;
    size_t kept = 0;
    for (size_t i = 0; i < items->count; i++) {
        uint32_t raw = sample_of(item + i * size);
        uint32_t sample = raw < reader->places.count ? place[raw] : LL_DROPPED;
        if (sample == LL_DROPPED)
            continue;
        memmove(item + kept * size, item + i * size, size);
        memcpy(item + kept++ * size, &sample, sizeof sample);
    }
    items->count = kept;
    void *room = ll_arena_array(&reader->scratch, is_sorted(item, kept, size) ? 0 : kept, size);
    if (!room) {
        ll_stop_no_memory(reader);
        return false;
    }
    ll_sort_by_sample(item, room, kept, size);
    return true;
}
