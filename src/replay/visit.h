/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The way up from chosen samples of a dive, step by step. */
#ifndef LL_REPLAY_VISIT_H
#define LL_REPLAY_VISIT_H

#include "replay/replay.h"
#include "replay/surface.h"

typedef struct ll_visit {
    const ll_profile *profile;
    const ll_settings *settings;
    const size_t *sample; /* rising */
    size_t count;
    /* Called before the way from sample[i] is told; false: that way is not asked for. */
    bool (*begin)(void *context, size_t i);
    bool (*take)(void *context, const ll_way_step *step); /* as in ll_way_taker */
    /* Called behind it; `known` is false where tissues or gas are not known there or the way is longer than 24 h. */
    void (*end)(void *context, size_t i, bool known);
    void *context;
} ll_visit;

/* Walks once through the dive from `start` as far as the last sample chosen, and tells the way up from each. False if
 * memory ran out. */
bool ll_visit_ways(const ll_visit *visit, const ll_state *start, ll_arena *arena);

#endif
