/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Asked and kept: what the replay asked for at the levels of an ascent. What is not known is NaN. */
#ifndef LL_ASSESS_LEVELS_H
#define LL_ASSESS_LEVELS_H

#include "replay/levels.h"
#include "replay/replay.h"

typedef struct ll_level_asked {
    /* At the arrival: the replay's stop, and how long its own schedule would have stayed, all waits less than 1.5 m shallower
     * than the level's mean added up. */
    double stop_m, stay_s;
    double beyond_s; /* its waits shallower than that, and 1.5 m or more deeper than the next level; all for the last one */
    /* At the leaving: how much longer it would have had to last on what was breathed there until the mean depth of the next
     * level, else the surface, was within limits. 0 where it was; NaN also beyond 24 h. */
    double short_s;
} ll_level_asked;

typedef struct ll_levels_asked {
    ll_keep keep;       /* both ends of each level, as the replay is to keep them */
    ll_level_asked *at; /* one a level */
    double still_owed_s; /* at the leaving of the last level: the waits that the replay's own schedule still held */
} ll_levels_asked;

/* Lists the samples that the replay is to keep; what was asked for is not known yet. False if memory ran out. */
bool ll_levels_open(const ll_levels *levels, ll_arena *arena, ll_levels_asked *asked);

/* Then, when the replay has filled asked->keep, and with a track that has the stop: what was asked for. False if memory ran
 * out. */
bool ll_levels_ask(const ll_track *track, const ll_settings *settings, const ll_levels *levels, ll_arena *arena,
                   ll_levels_asked *asked);

#endif
