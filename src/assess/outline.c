/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/debrief.h"

static bool copy_notes(ll_notes *to, const ll_notes *from, ll_arena *arena)
{
    size_t count = to->count + from->count;
    if (from->count == 0)
        return true;
    ll_note *items = ll_arena_array(arena, count, sizeof *items);
    if (!items)
        return false;
    for (size_t i = 0; i < count; i++)
        items[i] = i < to->count ? to->items[i] : from->items[i - to->count];
    *to = (ll_notes){items, count, count};
    return true;
}

static bool in_run_time(const ll_profile *profile, const ll_breathed *gas)
{
    return profile->has_run_time && gas->end > profile->leaving && gas->first < profile->surfacing;
}

static bool is_listed(const int *mixes, size_t count, int mix)
{
    for (size_t i = 0; i < count; i++)
        if (mixes[i] == mix)
            return true;
    return false;
}

static bool list_mixes(ll_debrief *debrief, ll_arena *arena)
{
    const ll_profile *profile = &debrief->profile;
    int *mixes = ll_arena_array(arena, profile->breathed_count, sizeof *mixes);
    for (size_t s = 0; mixes && s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        if (in_run_time(profile, gas) && gas->mix != LL_MIX_UNKNOWN && !is_listed(mixes, debrief->mix_count, gas->mix))
            mixes[debrief->mix_count++] = gas->mix;
    }
    debrief->mixes = mixes;
    return mixes != NULL;
}

ll_status ll_outline_make(const ll_history *history, size_t index, ll_arena *arena, ll_debrief *debrief,
                          ll_error *error)
{
    const ll_entry *entry = &history->entry[index];
    *debrief = (ll_debrief){.history = history, .entry = entry, .has_profile = entry->dive->count > 0};
    if (!copy_notes(&debrief->notes, &entry->dive->notes, arena) || !copy_notes(&debrief->notes, &entry->notes, arena))
        return ll_fail_memory(error);
    if (!debrief->has_profile)
        return LL_OK;
    ll_notes raised = {0};
    ll_status status =
        ll_profile_make(entry->log, entry->dive, &history->settings, arena, &raised, &debrief->profile, error);
    if (status != LL_OK)
        return status;
    bool fine = copy_notes(&debrief->notes, &raised, arena) && list_mixes(debrief, arena) &&
                ll_switches_list(&debrief->profile, arena, &debrief->switch_count, &debrief->switches);
    return fine ? LL_OK : ll_fail_memory(error);
}
