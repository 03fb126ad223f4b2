/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/column.h"
#include "replay/lane.h"

static const ll_quantities walked = LL_SET(LL_CEILING) | LL_SET(LL_STOP) | LL_SET(LL_GRADIENT) | LL_SET(LL_LEADING) |
                                    LL_SET(LL_NO_STOP) | LL_SET(LL_TIME_TO_SURFACE) | LL_SET(LL_CNS) | LL_SET(LL_OTU) |
                                    LL_SET_TISSUES | LL_SET_HEADROOM | LL_SET_INSTANTS;

ll_status ll_replay_columns(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                            ll_quantities wanted, ll_arena *arena, ll_track *track, ll_error *error)
{
    const ll_keep nothing = {0};
    return ll_replay_columns_keeping(profile, settings, start, wanted, &nothing, arena, track, error);
}

ll_status ll_replay_columns_keeping(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                                    ll_quantities wanted, const ll_keep *keep, ll_arena *arena, ll_track *track,
                                    ll_error *error)
{
    *track = (ll_track){.profile = profile, .count = profile->count};
    track->column[LL_TIME] = profile->time_s;
    track->column[LL_DEPTH] = profile->depth_m;
    track->column[LL_TEMPERATURE] = profile->dive->temperature_c;
    if (!ll_columns_of_gas(track, wanted, arena) || !ll_column_of_rate(track, wanted, arena))
        return ll_fail_memory(error);
    if ((wanted & walked) && !ll_columns_of_tissue(track, settings, start, wanted, keep, arena))
        return ll_fail_memory(error);
    return LL_OK;
}

bool ll_column_of_rate(ll_track *track, ll_quantities wanted, ll_arena *arena)
{
    const double *time = track->profile->time_s, *depth = track->profile->depth_m;
    bool no_memory = false;
    double *rate = ll_column_new(track, LL_ASCENT_RATE, wanted, arena, &no_memory);
    size_t back = 0; /* the last sample at or before the start of the window */
    for (size_t i = 1; rate && i < track->count; i++) {
        double window = ll_rate_window_s(track->profile, i), from = time[i] - window;
        while (time[back + 1] <= from)
            back++;
        double share = (from - time[back]) / (time[back + 1] - time[back]);
        double then = depth[back] + (depth[back + 1] - depth[back]) * share;
        rate[i] = (then - depth[i]) / window * 60;
    }
    return !no_memory;
}
