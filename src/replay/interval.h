/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The median sampling interval. Used by profile.c only. */
#ifndef LL_REPLAY_INTERVAL_H
#define LL_REPLAY_INTERVAL_H

#include "replay/profile.h"

/* Fills interval_s. False if memory ran out. */
bool ll_interval_find(ll_profile *profile, ll_arena *arena);

#endif
