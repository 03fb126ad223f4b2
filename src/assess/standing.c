/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/standing.h"

#include <math.h>

#include "assess/standing_parts.h"
#include "replay/order.h"

/* Begin and end on the history's clock: of the record, else as stated. */
static void find_times(const ll_history *history, ll_judged *judged)
{
    const ll_entry *entry = judged->entry;
    judged->begins_s = entry->begins_s;
    judged->ends_s = entry->ends_s;
    if (entry->dive->count > 0 || !ll_entry_is_timed(entry))
        return;
    double lasts_s = entry->dive->stated_duration_s;
    judged->begins_s = ll_history_clock_s(history, &entry->dive->start);
    judged->ends_s = judged->begins_s + (lasts_s > 0 ? lasts_s : 0);
}

static ll_status judge_alone(const ll_history *history, int64_t today, ll_arena *scratch, ll_judged *judged,
                             ll_error *error)
{
    const ll_entry *entry = judged->entry;
    ll_profile profile;
    ll_notes notes = {0};
    const bool recorded = entry->dive->count > 0;
    *judged->stand = (ll_stand){.standing = recorded ? LL_RECORDED : LL_CLAIMED, .other = SIZE_MAX,
                                .alike = {NAN, NAN, 0}, .stated = NAN, .recorded = NAN};
    judged->greatest_m = entry->dive->stated_greatest_m;
    find_times(history, judged);
    if (recorded) {
        ll_status status = ll_profile_make(entry->log, entry->dive, &history->settings, scratch, &notes, &profile,
                                           error);
        if (status != LL_OK)
            return status;
        judged->greatest_m = profile.greatest_m;
        judged->has_shape = profile.has_run_time;
        if (judged->has_shape)
            ll_shape_make(&profile, &judged->shape);
    }
    ll_stand_alone(recorded ? &profile : NULL, today, judged);
    return LL_OK;
}

static ll_status put_words(const ll_history *history, const ll_judged *judged, ll_arena *arena, ll_error *error)
{
    for (size_t i = 0; i < history->count; i++)
        if (judged[i].stand->reason != LL_REASON_NONE &&
            !ll_stand_words(history, judged[i].entry, arena, judged[i].stand))
            return ll_fail_memory(error);
    return LL_OK;
}

typedef struct judging {
    const ll_history *history;
    int64_t today;
    ll_judged *judged;
} judging;

static ll_status judge_one(void *context, size_t index, size_t place, ll_arena *scratch, ll_error *error)
{
    const judging *all = context;
    (void)place;
    return judge_alone(all->history, all->today, scratch, &all->judged[index], error);
}

static ll_status judge_pairs(ll_judged *judged, size_t count, const ll_crew *crew, ll_arena *run, ll_error *error)
{
    ll_stand_same(judged, count);
    ll_stand_overlapping(judged, count);
    return ll_stand_repeated(judged, count, crew, run, error);
}

ll_status ll_stands_make(const ll_history *history, int64_t today, const ll_crew *crew, ll_arena *arena, ll_stand *stand,
                         ll_error *error)
{
    ll_arena run;
    ll_arena_open(&run, arena->allocator);
    judging all = {history, today, ll_arena_array(&run, history->count, sizeof *all.judged)};
    for (size_t i = 0; all.judged && i < history->count; i++)
        all.judged[i] = (ll_judged){.entry = &history->entry[i], .stand = &stand[i]};
    ll_status status = all.judged ? ll_crew_do(crew, history->count, &(ll_pieces){judge_one, NULL, &all},
                                               arena->allocator, error)
                                  : ll_fail_memory(error);
    if (status == LL_OK)
        status = judge_pairs(all.judged, history->count, crew, &run, error);
    if (status == LL_OK)
        status = put_words(history, all.judged, arena, error);
    ll_arena_close(&run);
    return status;
}
