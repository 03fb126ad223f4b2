/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tests of a replay share: an arena and the built-in settings for each test, a dive made by hand, replayed. */
#ifndef LL_TESTS_REPLAY_WORLD_H
#define LL_TESTS_REPLAY_WORLD_H

#include "hand.h"
#include "replay/history.h"

extern ll_arena arena;
extern ll_settings settings;

/* Setup and teardown of a test. */
int open_arena(void **state);
int close_arena(void **state);

ll_profile profile_of(const hand_log *hand);

/* From rest. */
ll_track track_of(const ll_profile *profile, ll_quantities wanted);

#endif
