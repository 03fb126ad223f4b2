/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The levels of an ascent. */
#include "replay/levels.h"

#include <math.h>

#include "base/extreme.h"
#include "replay/levels_parts.h"

#define NEAR_MEAN_M 0.5
#define UNDER_M 1.5      /* a mean depth of this or less is at the surface, not at a level */
#define ROUNDING_M 1e-9  /* depths are decimals */

/* Indices whose depths fall (or rise) from head to tail: the head is the extreme one of a window that slides. */
typedef struct queue {
    size_t *index, head, tail;
} queue;

static void push(queue *q, const double *depth, size_t i, double sign)
{
    while (q->tail > q->head && sign * depth[q->index[q->tail - 1]] <= sign * depth[i])
        q->tail--;
    q->index[q->tail++] = i;
}

static void drop_before(queue *q, size_t first)
{
    while (q->head < q->tail && q->index[q->head] < first)
        q->head++;
}

/* For each sample from `from` on the last one up to which depth stays within the band. NULL if memory ran out. */
static size_t *find_reach(const ll_profile *profile, size_t from, size_t to, ll_arena *arena)
{
    const double *depth = profile->depth_m;
    const size_t count = to - from + 1;
    size_t *reach = ll_arena_array(arena, count, sizeof *reach);
    queue deep = {ll_arena_array(arena, count, sizeof(size_t)), 0, 0};
    queue shallow = {ll_arena_array(arena, count, sizeof(size_t)), 0, 0};
    if (!reach || !deep.index || !shallow.index)
        return NULL;
    size_t end = from;
    for (size_t i = from; i <= to; i++) {
        drop_before(&deep, i);
        drop_before(&shallow, i);
        for (; end <= to; end++) {
            double deepest = deep.head < deep.tail ? depth[deep.index[deep.head]] : depth[end];
            double shallowest = shallow.head < shallow.tail ? depth[shallow.index[shallow.head]] : depth[end];
            if (ll_greater(deepest, depth[end]) - ll_lesser(shallowest, depth[end]) > LL_LEVEL_BAND_M + ROUNDING_M)
                break;
            push(&deep, depth, end, 1);
            push(&shallow, depth, end, -1);
        }
        reach[i - from] = end - 1;
    }
    return reach;
}

/* --- figures of one level -------------------------------------------------------------------------------------- */

/* Half of each interval next to a sample. */
static double weight_s(const ll_profile *profile, const ll_level *level, size_t sample)
{
    size_t before = sample > level->first ? sample - 1 : sample, after = sample < level->last ? sample + 1 : sample;
    return (profile->time_s[after] - profile->time_s[before]) / 2;
}

static void measure(const ll_profile *profile, ll_level *level)
{
    const double *depth = profile->depth_m;
    double sum = 0, squares = 0, seconds = profile->time_s[level->last] - profile->time_s[level->first];
    level->least_m = level->greatest_m = depth[level->first];
    for (size_t i = level->first; i <= level->last; i++) {
        sum += weight_s(profile, level, i) * depth[i];
        level->least_m = ll_lesser(level->least_m, depth[i]);
        level->greatest_m = ll_greater(level->greatest_m, depth[i]);
    }
    level->mean_m = sum / seconds;
    for (size_t i = level->first; i <= level->last; i++) {
        double off = depth[i] - level->mean_m;
        squares += weight_s(profile, level, i) * off * off;
    }
    level->spread_m = sqrt(squares / seconds);
    level->nominal_m = round(level->mean_m);
    level->from_s = profile->time_s[level->first];
    level->to_s = profile->time_s[level->last];
}

static bool is_off(const ll_profile *profile, const ll_level *level, size_t sample)
{
    return fabs(profile->depth_m[sample] - level->mean_m) > NEAR_MEAN_M + ROUNDING_M;
}

/* Cuts the ways to it and from it off. */
static void trim(const ll_profile *profile, ll_level *level)
{
    while (level->first < level->last && is_off(profile, level, level->first))
        level->first++;
    while (level->last > level->first && is_off(profile, level, level->last))
        level->last--;
}

static bool lasts(const ll_profile *profile, size_t first, size_t last)
{
    return profile->time_s[last] - profile->time_s[first] >= LL_LEVEL_LEAST_S;
}

static void add_level(const ll_profile *profile, size_t first, size_t last, ll_levels *levels)
{
    ll_level level = {.first = first, .last = last, .mix = LL_MIX_UNKNOWN};
    measure(profile, &level);
    trim(profile, &level);
    if (!lasts(profile, level.first, level.last))
        return;
    measure(profile, &level);
    if (level.mean_m > UNDER_M)
        levels->level[levels->count++] = level;
}

/* --- the search --------------------------------------------------------------------------------------------------- */

/* From the left the first stretch that lasts, then the longest one that begins within it; what lies before that and lasts by
 * itself is a level too. */
static void search(const ll_profile *profile, size_t from, size_t to, const size_t *reach, ll_levels *levels)
{
    const double *time = profile->time_s;
    for (size_t i = from; i <= to; i++) {
        if (!lasts(profile, i, reach[i - from]))
            continue;
        size_t best = i;
        for (size_t k = i + 1; k <= reach[i - from]; k++)
            if (time[reach[k - from]] - time[k] > time[reach[best - from]] - time[best])
                best = k;
        if (best > i && lasts(profile, i, best - 1))
            add_level(profile, i, best - 1, levels);
        i = reach[best - from];
        add_level(profile, best, i, levels);
    }
}

/* The mix of each level: spans and levels both stand in order of time. */
static void find_mixes(const ll_profile *profile, ll_levels *levels)
{
    size_t span = 0;
    for (size_t l = 0; l < levels->count; l++) {
        ll_level *level = &levels->level[l];
        double longest_s = -1;
        while (profile->breathed[span].end <= level->first)
            span++;
        for (size_t s = span; s < profile->breathed_count && profile->breathed[s].first < level->last; s++) {
            const ll_breathed *gas = &profile->breathed[s];
            size_t first = gas->first > level->first ? gas->first : level->first;
            size_t end = gas->end < level->last ? gas->end : level->last;
            double seconds = profile->time_s[end] - profile->time_s[first];
            if (seconds <= longest_s)
                continue;
            longest_s = seconds;
            level->mix = gas->mix;
            level->loop = gas->loop;
        }
    }
}

/* Each lasts a minute, and none shares a sample with another. */
static size_t most_levels(const ll_profile *profile, size_t from, size_t to)
{
    double most = (profile->time_s[to] - profile->time_s[from]) / LL_LEVEL_LEAST_S + 1;
    size_t samples = to - from + 1;
    return most < (double)samples ? (size_t)most : samples;
}

bool ll_levels_alone(const ll_profile *profile, ll_arena *arena, ll_levels *levels)
{
    *levels = (ll_levels){.made = profile->has_run_time};
    if (!levels->made)
        return true;
    const size_t from = profile->ascent_start, to = profile->surfacing;
    const size_t *reach = find_reach(profile, from, to, arena);
    levels->level = ll_arena_array(arena, most_levels(profile, from, to), sizeof *levels->level);
    if (!reach || !levels->level)
        return false;
    search(profile, from, to, reach, levels);
    find_mixes(profile, levels);
    return true;
}

bool ll_levels_find(const ll_profile *profile, ll_arena *arena, ll_levels *levels)
{
    if (!ll_levels_alone(profile, arena, levels))
        return false;
    return !levels->made ||
           (ll_levels_add_climbs(profile, arena, levels) && ll_levels_add_breaks(profile, arena, levels) &&
            ll_levels_add_slate(profile, arena, levels));
}
