/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of ll_levels_find; used by the files of levels only. */
#ifndef LL_REPLAY_LEVELS_PARTS_H
#define LL_REPLAY_LEVELS_PARTS_H

#include "replay/levels.h"

/* Each adds one part to levels that are found. False if memory ran out. */
bool ll_levels_add_climbs(const ll_profile *profile, ll_arena *arena, ll_levels *levels);
bool ll_levels_add_breaks(const ll_profile *profile, ll_arena *arena, ll_levels *levels);
bool ll_levels_add_slate(const ll_profile *profile, ll_arena *arena, ll_levels *levels);

#endif
