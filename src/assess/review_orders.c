/* SPDX-License-Identifier: GPL-3.0-or-later */
/* In which order divers left the bottom, came to each level, switched and surfaced. Nobody is blamed by an order. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/review_parts.h"

#define LEVELS_APART_M 3.0
enum { LEVELS = 40 }; /* multiples of 3 m that are looked at */

static int by_time(const void *left, const void *right)
{
    const ll_arrival *a = left, *b = right;
    if (a->time_s != b->time_s)
        return a->time_s < b->time_s ? -1 : 1;
    return (a->diver > b->diver) - (a->diver < b->diver);
}

/* The time and depth of what an order is of, or false where a diver has none. */
typedef bool (*arrives)(const ll_review *review, const ll_diver *diver, const void *context, ll_arrival *at);

static bool make_order(const ll_review *review, arrives when, const void *context, ll_order *order)
{
    ll_arrival *at = ll_arena_array(review->arena, review->count, sizeof *at);
    *order = (ll_order){0, at};
    for (size_t i = 0; at && i < review->count; i++) {
        const ll_diver *diver = &review->diver[i];
        if (diver->main == SIZE_MAX || !diver->debrief.profile.has_run_time ||
            !when(review, diver, context, &at[order->count]))
            continue;
        at[order->count].time_s += diver->to_team_s;
        at[order->count++].diver = i;
    }
    if (at)
        qsort(at, order->count, sizeof *at, by_time);
    return at != NULL;
}

/* --- bottom and surface ------------------------------------------------------------------------------------------- */

static bool leaves_bottom(const ll_review *review, const ll_diver *diver, const void *context, ll_arrival *at)
{
    (void)review;
    (void)context;
    const ll_profile *profile = &diver->debrief.profile;
    *at = (ll_arrival){0, profile->time_s[profile->ascent_start], profile->depth_m[profile->ascent_start]};
    return true;
}

static bool surfaces(const ll_review *review, const ll_diver *diver, const void *context, ll_arrival *at)
{
    (void)review;
    (void)context;
    const ll_profile *profile = &diver->debrief.profile;
    *at = (ll_arrival){0, profile->time_s[profile->surfacing], 0};
    return profile->has_surfacing;
}

/* --- levels --------------------------------------------------------------------------------------------------------- */

static int level_number(const ll_level *level)
{
    return (int)lround(level->mean_m / LEVELS_APART_M);
}

/* The first stay at this level. */
static bool comes_to(const ll_review *review, const ll_diver *diver, const void *context, ll_arrival *at)
{
    (void)review;
    const int number = *(const int *)context;
    for (size_t i = 0; i < diver->debrief.levels.count; i++) {
        const ll_level *level = &diver->debrief.levels.level[i];
        if (level_number(level) == number) {
            *at = (ll_arrival){0, level->from_s, level->mean_m};
            return true;
        }
    }
    return false;
}

static bool make_levels(ll_review *review)
{
    ll_team_level *level = ll_arena_array(review->arena, LEVELS, sizeof *level);
    review->team.level = level;
    if (!level)
        return false;
    for (int number = LEVELS; number >= 1; number--) {
        ll_team_level *next = &level[review->team.levels];
        next->depth_m = LEVELS_APART_M * number;
        if (!make_order(review, comes_to, &number, &next->order))
            return false;
        review->team.levels += next->order.count > 1;
    }
    return true;
}

/* --- switches ------------------------------------------------------------------------------------------------------- */

static const char *label_of(const ll_diver *diver, const ll_switch_shown *to)
{
    return to->mix == LL_MIX_UNKNOWN ? "unknown" : diver->debrief.entry->log->mix[to->mix].label;
}

/* The first switch to this mix. */
static bool switches_to(const ll_review *review, const ll_diver *diver, const void *context, ll_arrival *at)
{
    (void)review;
    for (size_t i = 0; i < diver->debrief.switch_count; i++) {
        const ll_switch_shown *to = &diver->debrief.switches[i];
        if (strcmp(label_of(diver, to), context) == 0) {
            *at = (ll_arrival){0, to->time_s, to->depth_m};
            return true;
        }
    }
    return false;
}

static bool is_listed(const ll_team *team, const char *label)
{
    for (size_t i = 0; i < team->switches; i++)
        if (strcmp(team->to[i].label, label) == 0)
            return true;
    return false;
}

static int by_first(const void *left, const void *right)
{
    const ll_team_switch *a = left, *b = right;
    const double a_s = a->order.at[0].time_s, b_s = b->order.at[0].time_s;
    return a_s != b_s ? (a_s < b_s ? -1 : 1) : strcmp(a->label, b->label);
}

static bool make_switches(ll_review *review)
{
    ll_team *team = &review->team;
    size_t most = 0;
    for (size_t i = 0; i < review->count; i++)
        most += review->diver[i].main != SIZE_MAX ? review->diver[i].debrief.switch_count : 0;
    ll_team_switch *to = ll_arena_array(review->arena, most, sizeof *to);
    team->to = to;
    for (size_t d = 0; to && d < review->count; d++)
        for (size_t s = 0; review->diver[d].main != SIZE_MAX && s < review->diver[d].debrief.switch_count; s++) {
            const char *label = label_of(&review->diver[d], &review->diver[d].debrief.switches[s]);
            if (is_listed(team, label))
                continue;
            to[team->switches].label = label;
            if (!make_order(review, switches_to, label, &to[team->switches].order))
                return false;
            team->switches++;
        }
    if (to)
        qsort(to, team->switches, sizeof *to, by_first);
    return to != NULL;
}

bool ll_review_orders(ll_review *review)
{
    return make_order(review, leaves_bottom, NULL, &review->team.left_bottom) &&
           make_order(review, surfaces, NULL, &review->team.surfaced) && make_levels(review) && make_switches(review);
}
