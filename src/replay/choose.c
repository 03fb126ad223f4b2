/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which logs make a history. What is given in another order, or twice, makes the same history. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "replay/order.h"

/* A log on its way to its place. */
typedef struct {
    double from_s; /* its earliest dive on the history's clock, INFINITY if none has a date */
    size_t place;  /* as given */
    const ll_log *log;
} candidate;

/* --- zones ---------------------------------------------------------------------------------------------------- */

/* Times compare by zone where each has one; where only some have, they are all taken as written. A date alone is no time. */
static bool settle_zones(ll_history *history)
{
    size_t zoned = 0, bare = 0;
    for (size_t l = 0; l < history->log_count; l++)
        for (size_t d = 0; d < history->logs[l]->dives; d++) {
            const ll_instant *start = &history->logs[l]->dive[d].start;
            zoned += start->has_date && start->has_zone;
            bare += start->has_date && start->has_time && !start->has_zone;
        }
    history->by_zone = bare == 0;
    return !zoned || !bare || ll_note_add(&history->notes, &history->arena, LL_NOTE_ZONES_MIXED, 0);
}

/* --- logs given twice ----------------------------------------------------------------------------------------- */

static int by_bytes(const void *left, const void *right)
{
    const candidate *a = left, *b = right;
    int order = strcmp(a->log->sha256, b->log->sha256);
    if (order == 0)
        order = strcmp(a->log->name, b->log->name);
    return order ? order : (a->place > b->place) - (a->place < b->place);
}

/* A log made by a program has no digest, and is like no other. */
static bool has_same_bytes(const ll_log *log, const ll_log *other)
{
    return log->sha256[0] && strcmp(log->sha256, other->sha256) == 0;
}

/* Of logs with the same bytes the first by name stays. */
static bool leave_out_repeated(ll_history *history, candidate *list, size_t *count)
{
    size_t kept = 0;
    qsort(list, *count, sizeof *list, by_bytes);
    for (size_t i = 0; i < *count; i++) {
        if (!kept || !has_same_bytes(list[i].log, list[kept - 1].log))
            list[kept++] = list[i];
        else if (!ll_note_add(&history->notes, &history->arena, LL_NOTE_LOG_REPEATED, 0, list[i].log->name,
                              list[kept - 1].log->name))
            return false;
    }
    *count = kept;
    return true;
}

/* --- their order ---------------------------------------------------------------------------------------------- */

static double earliest_s(const ll_history *history, const ll_log *log)
{
    double from_s = INFINITY;
    for (size_t d = 0; d < log->dives; d++)
        if (log->dive[d].start.has_date)
            from_s = fmin(from_s, ll_history_clock_s(history, &log->dive[d].start));
    return from_s;
}

static int by_time(const void *left, const void *right)
{
    const candidate *a = left, *b = right;
    if (a->from_s != b->from_s)
        return a->from_s < b->from_s ? -1 : 1;
    int order = strcmp(a->log->name, b->log->name);
    return order ? order : by_bytes(left, right);
}

static bool put_in_order(ll_history *history, const ll_log **logs, candidate *list)
{
    size_t count = history->log_count;
    for (size_t i = 0; i < count; i++)
        list[i] = (candidate){earliest_s(history, logs[i]), i, logs[i]};
    if (!leave_out_repeated(history, list, &count))
        return false;
    qsort(list, count, sizeof *list, by_time);
    for (size_t i = 0; i < count; i++)
        logs[i] = list[i].log;
    history->log_count = count;
    return true;
}

ll_status ll_history_choose(ll_history *history, const ll_log *const *logs, size_t count, const char *diver,
                             ll_error *error)
{
    const ll_log **kept = ll_arena_array(&history->arena, count, sizeof *kept);
    candidate *list = ll_arena_array(&history->arena, count, sizeof *list);
    if (!kept || !list)
        return ll_fail_memory(error);
    for (size_t i = 0; i < count; i++)
        if (!diver || (logs[i]->owner && strcmp(logs[i]->owner, diver) == 0))
            kept[history->log_count++] = logs[i];
    history->logs = kept;
    if (diver && history->log_count == 0)
        return ll_fail(error, LL_BAD_USAGE, 0, "no log names '%s' as its owner", diver);
    return settle_zones(history) && put_in_order(history, kept, list) ? LL_OK : ll_fail_memory(error);
}

/* --- their owners --------------------------------------------------------------------------------------------- */

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
