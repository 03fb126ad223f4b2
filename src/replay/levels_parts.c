/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Beside the levels of an ascent: rates, re-descents, breaks, the run time table. */
#include "replay/levels_parts.h"

#include <math.h>

#include "replay/instants.h"
#include "replay/switch.h"

#define LAST_M 6.0
#define REDESCENT_M 3.0
#define AT_DEPTH_M 0.5      /* a re-descent ends when this near to its deepest */
#define BOTTOM_SHARE 0.9    /* the bottom of a slate begins at this share of the greatest depth */
#define ROUNDING_M 1e-9

/* --- rates -------------------------------------------------------------------------------------------------------- */

static ll_climb climb_between(double from_s, double from_m, double to_s, double to_m)
{
    double minutes = (to_s - from_s) / 60;
    return (ll_climb){from_s, to_s, from_m, to_m, minutes > 0 ? (from_m - to_m) / minutes : NAN};
}

static ll_climb climb_of(const ll_profile *profile, size_t from, size_t to)
{
    return climb_between(profile->time_s[from], profile->depth_m[from], profile->time_s[to], profile->depth_m[to]);
}

static const ll_climb no_climb = {NAN, NAN, NAN, NAN, NAN};

static ll_climb way_to_first(const ll_profile *profile, const ll_levels *levels)
{
    if (levels->count == 0 && !profile->has_surfacing)
        return no_climb;
    return climb_of(profile, profile->ascent_start, levels->count ? levels->level[0].first : profile->surfacing);
}

/* Where no sample was deeper than 6 m from the start of the ascent on, from that start. */
static ll_climb last_metres(const ll_profile *profile, const ll_levels *levels)
{
    const double *time = profile->time_s, *depth = profile->depth_m;
    if (!profile->has_surfacing)
        return no_climb;
    const size_t up = profile->surfacing, start = profile->ascent_start;
    size_t deep = up;
    while (deep > start && !(depth[deep] > LAST_M))
        deep--;
    if (levels->count && levels->level[levels->count - 1].last > deep)
        return climb_of(profile, levels->level[levels->count - 1].last, up);
    if (deep == up || !(depth[deep] > LAST_M))
        return climb_of(profile, start, up);
    double share = (depth[deep] - LAST_M) / (depth[deep] - depth[deep + 1]);
    return climb_between(time[deep] + share * (time[deep + 1] - time[deep]), LAST_M, time[up], depth[up]);
}

/* --- re-descents ---------------------------------------------------------------------------------------------------- */

/* The deepest sample from `i` on before the diver has come up by 3 m again. */
static size_t deepest_from(const ll_profile *profile, size_t i)
{
    const double *depth = profile->depth_m;
    size_t deepest = i;
    for (size_t k = i + 1; k <= profile->surfacing && depth[deepest] - depth[k] < REDESCENT_M; k++)
        if (depth[k] > depth[deepest])
            deepest = k;
    return deepest;
}

/* Counts, and stores where there is room. */
static size_t find_redescents(const ll_profile *profile, ll_climb *found)
{
    const double *depth = profile->depth_m;
    size_t count = 0, top = profile->ascent_start; /* the shallowest sample so far, since the last one */
    for (size_t i = top + 1; i <= profile->surfacing; i++) {
        if (depth[i] <= depth[top])
            top = i;
        if (depth[i] - depth[top] < REDESCENT_M - ROUNDING_M)
            continue;
        size_t deepest = deepest_from(profile, i), arrived = i;
        while (depth[arrived] < depth[deepest] - AT_DEPTH_M)
            arrived++;
        if (found)
            found[count] = climb_of(profile, top, arrived);
        count++;
        top = i = deepest;
    }
    return count;
}

bool ll_levels_add_climbs(const ll_profile *profile, ll_arena *arena, ll_levels *levels)
{
    levels->to_first = way_to_first(profile, levels);
    levels->last_six = last_metres(profile, levels);
    levels->redescents = find_redescents(profile, NULL);
    ll_climb *found = ll_arena_array(arena, levels->redescents, sizeof *found);
    if (found)
        find_redescents(profile, found);
    levels->redescent = found;
    return found != NULL;
}

/* --- breaks --------------------------------------------------------------------------------------------------------- */

bool ll_levels_add_breaks(const ll_profile *profile, ll_arena *arena, ll_levels *levels)
{
    ll_oxygen_break *found = ll_arena_array(arena, profile->breathed_count, sizeof *found);
    for (size_t s = 0; found && s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        if (ll_is_oxygen_break(profile, s))
            found[levels->breaks++] = (ll_oxygen_break){profile->time_s[gas->first], profile->time_s[gas->end],
                                                        profile->depth_m[gas->first], gas->mix};
    }
    levels->oxygen_break = found;
    return found != NULL;
}

/* --- the slate -------------------------------------------------------------------------------------------------------- */

static ll_slate_row bottom_row(const ll_profile *profile)
{
    size_t arrival = profile->leaving;
    while (profile->depth_m[arrival] < BOTTOM_SHARE * profile->greatest_m - ROUNDING_M)
        arrival++;
    const ll_breathed *gas = ll_breathed_at(profile, profile->greatest);
    return (ll_slate_row){profile->greatest_m, profile->time_s[arrival], profile->time_s[profile->ascent_start], gas->mix,
                          gas->loop};
}

bool ll_levels_add_slate(const ll_profile *profile, ll_arena *arena, ll_levels *levels)
{
    ll_slate_row *row = ll_arena_array(arena, levels->count + 2, sizeof *row);
    if (!row)
        return false;
    row[levels->rows++] = bottom_row(profile);
    for (size_t l = 0; l < levels->count; l++) {
        const ll_level *level = &levels->level[l];
        row[levels->rows++] = (ll_slate_row){level->nominal_m, level->from_s, level->to_s, level->mix, level->loop};
    }
    if (profile->has_surfacing)
        row[levels->rows++] = (ll_slate_row){0, profile->time_s[profile->surfacing], NAN, LL_MIX_UNKNOWN, false};
    levels->row = row;
    return true;
}
