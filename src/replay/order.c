/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/order.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

static bool all_zoned(const ll_history *history)
{
    for (size_t l = 0; l < history->log_count; l++)
        for (size_t d = 0; d < history->logs[l]->dives; d++) {
            const ll_instant *start = &history->logs[l]->dive[d].start;
            if (start->has_date && !start->has_zone)
                return false;
        }
    return true;
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
    history->by_zone = all_zoned(history);
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

ll_status ll_history_choose(ll_history *history, const ll_log *const *logs, size_t count, const char *diver,
                             ll_error *error)
{
    const ll_log **kept = ll_arena_array(&history->arena, count, sizeof *kept);
    if (!kept)
        return ll_fail_memory(error);
    for (size_t i = 0; i < count; i++)
        if (!diver || (logs[i]->owner && strcmp(logs[i]->owner, diver) == 0))
            kept[history->log_count++] = logs[i];
    history->logs = kept;
    if (diver && history->log_count == 0)
        return ll_fail(error, LL_BAD_USAGE, 0, "no log names '%s' as its owner", diver);
    return LL_OK;
}

static bool is_new_owner(const ll_history *history, size_t log)
{
    const char *owner = history->logs[log]->owner;
    for (size_t i = 0; owner && i < log; i++)
        if (history->logs[i]->owner && strcmp(history->logs[i]->owner, owner) == 0)
            return false;
    return owner != NULL;
}

ll_status ll_history_compare_owners(ll_history *history, ll_error *error)
{
    ll_text names;
    ll_text_open(&names, history->arena.allocator, NULL, NULL);
    size_t owners = 0;
    for (size_t i = 0; i < history->log_count; i++)
        if (is_new_owner(history, i))
            ll_text_format(&names, "%s%s", owners++ ? ", " : "", history->logs[i]->owner);
    const char *list = ll_text_string(&names);
    bool fine = list != NULL;
    if (fine && owners > 1)
        fine = ll_note_add(&history->notes, &history->arena, LL_NOTE_OWNERS_DIFFER, 0, list);
    ll_text_close(&names);
    return fine ? LL_OK : ll_fail_memory(error);
}
