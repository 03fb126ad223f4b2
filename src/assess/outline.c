/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "assess/debrief.h"
#include "base/units.h"
#include "replay/column.h"
#include "replay/leg.h"

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

/* The id as the log names it at a sample. */
static const char *named_at(const ll_profile *profile, size_t sample, int mix)
{
    const ll_dive *dive = profile->dive;
    for (size_t i = 0; i < dive->switches; i++)
        if (dive->change[i].sample == sample)
            return dive->change[i].ref;
    return mix == LL_MIX_UNKNOWN ? "" : profile->log->mix[mix].id;
}

static ll_switch_shown show_switch(const ll_profile *profile, const ll_breathed *gas)
{
    double depth = profile->depth_m[gas->first];
    double po2_bar = ll_po2_bar(gas, ll_ambient_bar(profile, depth), ll_recorded_po2_bar(profile, gas->first));
    return (ll_switch_shown){profile->time_s[gas->first], depth, gas->mix, named_at(profile, gas->first, gas->mix),
                             gas->known ? po2_bar / LL_BAR_PER_ATM : NAN};
}

static bool list_switches(ll_debrief *debrief, ll_arena *arena)
{
    const ll_profile *profile = &debrief->profile;
    ll_switch_shown *shown = ll_arena_array(arena, profile->breathed_count, sizeof *shown);
    for (size_t s = 1; shown && s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        if (gas->mix != gas[-1].mix && gas->first > profile->leaving && in_run_time(profile, gas))
            shown[debrief->switch_count++] = show_switch(profile, gas);
    }
    debrief->switches = shown;
    return shown != NULL;
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
                list_switches(debrief, arena);
    return fine ? LL_OK : ll_fail_memory(error);
}
