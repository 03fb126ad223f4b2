/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replay that findings ask for: no more of it than they look at. */
#include <math.h>

#include "finding/search.h"

static bool asks_for_levels(ll_kinds kinds, const ll_limits *limits)
{
    return (kinds & LL_KIND(LL_FINDING_STOP_DEPTH)) && !isnan(ll_limit_lowest(&limits->of[LL_FINDING_STOP_DEPTH]));
}

/* What is held against a line below the ceiling needs the ceiling throughout. */
static bool may_be_sparse(const ll_limits *limits)
{
    return !(ll_limit_lowest(&limits->of[LL_FINDING_CEILING]) < 0);
}

static size_t *arrivals(const ll_levels *levels, ll_arena *arena)
{
    size_t *sample = ll_arena_array(arena, levels->count, sizeof *sample);
    for (size_t i = 0; sample && i < levels->count; i++)
        sample[i] = levels->level[i].first;
    return sample;
}

static const ll_levels *find_levels(const ll_profile *profile, ll_arena *arena)
{
    ll_levels *found = ll_arena_alloc(arena, sizeof *found);
    return found && ll_levels_alone(profile, arena, found) ? found : NULL;
}

ll_status ll_findings_replay(const ll_profile *profile, const ll_settings *settings, const ll_limits *limits,
                             const ll_state *start, ll_kinds kinds, ll_quantities more, const ll_levels *levels,
                             ll_arena *arena, ll_track *track, ll_error *error)
{
    ll_keep keep = {.sparse = may_be_sparse(limits), .near_s = LL_JOINED_BELOW_S};
    const bool wants_levels = levels || asks_for_levels(kinds, limits);
    if (wants_levels && !levels)
        levels = find_levels(profile, arena);
    if (levels) {
        keep.count = levels->count;
        keep.sample = arrivals(levels, arena);
    }
    if (wants_levels && (!levels || !keep.sample))
        return ll_fail_memory(error);
    ll_status status = ll_replay_columns_keeping(profile, settings, start, ll_finding_quantities(kinds) | more, &keep,
                                                 arena, track, error);
    track->levels = levels;
    return status;
}
