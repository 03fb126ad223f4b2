/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depths that only a course standard limits: how well a level was held, and how deep a mix was taken. */
#include <math.h>
#include <stdlib.h>

#include "finding/search.h"
#include "replay/levels.h"

#define UNBROKEN_S 10.0 /* longer than a breath, and than the last of the way to a level (this program's own choice) */

/* --- levels ----------------------------------------------------------------------------------------------------- */

/* Metres off a level at each of its samples, by the side that they count on. */
typedef struct sides {
    double *deeper, *shallower;
} sides;

static int by_start(const void *left, const void *right)
{
    const ll_stretch *a = left, *b = right;
    return (a->from_s > b->from_s) - (a->from_s < b->from_s);
}

static bool find_on_side(ll_search *s, const ll_level *level, const double *off_m, ll_stretches *found)
{
    const ll_curve curve = {s->profile, off_m, NULL, -1};
    const ll_beyond beyond = {ll_limit_lowest(&s->limits->of[LL_FINDING_STOP_DEPTH]), LL_UPPER_LIMIT, level->first,
                              level->last, UNBROKEN_S};
    return ll_stretches_find(&curve, &beyond, s->arena, found);
}

/* Whether any sample of a level is farther off it than the limit, by its deepest and its shallowest. */
static bool strays(const ll_search *s, const ll_level *level)
{
    const double limit_m = ll_limit_lowest(&s->limits->of[LL_FINDING_STOP_DEPTH]);
    return ll_is_beyond(level->greatest_m - level->nominal_m, limit_m, LL_UPPER_LIMIT) ||
           ll_is_beyond(level->nominal_m - level->least_m, limit_m, LL_UPPER_LIMIT);
}

static bool find_off_level(ll_search *s, const ll_level *level, const sides *off)
{
    ll_stretches found = {0};
    if (!strays(s, level))
        return true;
    for (size_t i = level->first; i <= level->last; i++) {
        off->deeper[i] = s->profile->depth_m[i] - level->nominal_m;
        off->shallower[i] = -off->deeper[i];
    }
    if (!find_on_side(s, level, off->deeper, &found) || !find_on_side(s, level, off->shallower, &found))
        return false;
    if (found.count)
        qsort(found.items, found.count, sizeof *found.items, by_start);
    ll_stretches_join(&found, LL_UPPER_LIMIT);
    for (size_t i = 0; i < found.count; i++) {
        ll_finding *made = ll_search_add_stretch(s, LL_FINDING_STOP_DEPTH, &found.items[i]);
        if (!made)
            return false;
        made->severity = ll_severity_of(made->peak, &s->limits->of[LL_FINDING_STOP_DEPTH], LL_UPPER_LIMIT);
        made->nominal_m = level->nominal_m;
        made->depth_m = ll_depth_at_m(s->profile, made->peak_s);
    }
    return true;
}

/* NULL if memory ran out. */
static const ll_levels *levels_of(const ll_search *s, ll_levels *found)
{
    if (s->track->levels)
        return s->track->levels;
    return ll_levels_alone(s->profile, s->arena, found) ? found : NULL;
}

/* Only levels at whose arrival the replay asked for a stop; what lies between two levels is not looked at. */
bool ll_find_stop_depth(ll_search *s)
{
    const size_t count = s->track->count;
    if (isnan(ll_limit_lowest(&s->limits->of[LL_FINDING_STOP_DEPTH])))
        return true;
    ll_levels found;
    const ll_levels *levels = levels_of(s, &found);
    const sides off = {ll_arena_array(s->arena, count, sizeof *off.deeper),
                       ll_arena_array(s->arena, count, sizeof *off.shallower)};
    bool fine = off.deeper && off.shallower && levels;
    for (size_t i = 0; fine && i < levels->count; i++)
        if (s->track->column[LL_STOP][levels->level[i].first] > 0)
            fine = find_off_level(s, &levels->level[i], &off);
    return fine;
}

/* --- switches --------------------------------------------------------------------------------------------------- */

static bool look_at_switch(ll_search *s, size_t span)
{
    const ll_profile *profile = s->profile;
    const ll_breathed *gas = &profile->breathed[span];
    const ll_deep_switch deep = {profile->depth_m[gas->first], gas->mix, ll_mod_of(profile, gas)};
    const double peak_m = deep.depth_m - deep.mod.depth_m;
    ll_severity severity = ll_severity_of(peak_m, &s->limits->of[LL_FINDING_SWITCH_DEPTH], LL_UPPER_LIMIT);
    if (severity == LL_NO_FINDING)
        return true;
    ll_finding *made =
        ll_search_add_instant(s, LL_FINDING_SWITCH_DEPTH, profile->time_s[gas->first], peak_m, severity);
    if (made)
        made->deep = ll_arena_copy(s->arena, &deep, sizeof deep);
    return made && made->deep;
}

/* An instant: how long a mix was breathed so deep is told by its PO2. */
bool ll_find_switch_depth(ll_search *s)
{
    bool fine = true;
    if (isnan(ll_limit_lowest(&s->limits->of[LL_FINDING_SWITCH_DEPTH])))
        return true;
    for (size_t span = 1; fine && span < s->profile->breathed_count; span++)
        fine = !ll_is_switch(s->profile, span) || look_at_switch(s, span);
    return fine;
}
