/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/order.h"

#include <math.h>
#include <stdlib.h>

bool ll_entry_is_timed(const ll_entry *entry)
{
    return entry->dive->start.has_date && entry->dive->start.has_time;
}

double ll_history_clock_s(const ll_history *history, const ll_instant *instant)
{
    return (double)(instant->local_s - (history->by_zone ? instant->zone_s : 0));
}

typedef struct {
    double at_s;
    size_t place; /* in the order of the logs: breaks ties */
    const ll_log *log;
    const ll_dive *dive;
} listed;

static int by_time(const void *left, const void *right)
{
    const listed *a = left, *b = right;
    if (a->at_s != b->at_s)
        return a->at_s < b->at_s ? -1 : 1;
    return a->place < b->place ? -1 : a->place > b->place;
}

/* All dives in time order; those without a date come last, in the order of the logs. */
static listed *list_dives(ll_history *history, ll_arena *scratch)
{
    for (size_t l = 0; l < history->log_count; l++)
        history->count += history->logs[l]->dives;
    listed *list = ll_arena_array(scratch, history->count, sizeof *list);
    size_t place = 0;
    for (size_t l = 0; list && l < history->log_count; l++)
        for (size_t d = 0; d < history->logs[l]->dives; d++, place++) {
            const ll_dive *dive = &history->logs[l]->dive[d];
            double at_s = dive->start.has_date ? ll_history_clock_s(history, &dive->start) : INFINITY;
            list[place] = (listed){at_s, place, history->logs[l], dive};
        }
    if (list)
        qsort(list, history->count, sizeof *list, by_time);
    return list;
}

bool ll_history_number(ll_history *history, ll_arena *scratch, ll_entry **entries)
{
    listed *list = list_dives(history, scratch);
    ll_entry *entry = ll_arena_array(&history->arena, history->count, sizeof *entry);
    if (!list || !entry)
        return false;
    for (size_t i = 0; i < history->count; i++) {
        entry[i].number = (unsigned)i + 1;
        entry[i].log = list[i].log;
        entry[i].dive = list[i].dive;
        entry[i].begins_s = entry[i].ends_s = NAN;
        if (ll_entry_is_timed(&entry[i]) && list[i].dive->count) {
            entry[i].begins_s = list[i].at_s + list[i].dive->time_s[0];
            entry[i].ends_s = list[i].at_s + list[i].dive->time_s[list[i].dive->count - 1];
        }
    }
    history->entry = *entries = entry;
    return true;
}
