/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay_world.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

ll_arena arena;
ll_settings settings;

int open_arena(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    ll_settings_built_in(&settings);
    return 0;
}

int close_arena(void **state)
{
    (void)state;
    ll_arena_close(&arena);
    return 0;
}

ll_profile profile_of(const hand_log *hand)
{
    ll_profile profile;
    assert_int_equal(ll_profile_make(&hand->log, &hand->dive, &settings, &arena, NULL, &profile, NULL), LL_OK);
    return profile;
}

ll_track track_of(const ll_profile *profile, ll_quantities wanted)
{
    ll_track track;
    ll_state start;
    ll_state_rest(&start, settings.model, profile->surface_bar);
    assert_int_equal(ll_replay_columns(profile, &settings, &start, wanted, &arena, &track, NULL), LL_OK);
    return track;
}
