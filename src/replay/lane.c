/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/lane.h"

#include <math.h>

#include "base/extreme.h"
#include "model/water.h"

#define RATE_WINDOW_S 15.0

double ll_depth_accuracy_m(double depth_m)
{
    return fmin(LL_ACCURACY_M + LL_ACCURACY_SHARE * depth_m, depth_m);
}

double ll_rate_window_s(const ll_profile *profile, size_t sample)
{
    const double *time = profile->time_s;
    if (sample == 0)
        return 0;
    return time[sample] - ll_greater(ll_lesser(time[sample] - RATE_WINDOW_S, time[sample - 1]), time[0]);
}

bool ll_lane_of_depth(const ll_profile *profile, double sign, ll_arena *arena, ll_profile *lane)
{
    double *depth = ll_arena_array(arena, profile->count, sizeof *depth);
    if (!depth)
        return false;
    for (size_t i = 0; i < profile->count; i++)
        depth[i] = profile->depth_m[i] + sign * ll_depth_accuracy_m(profile->depth_m[i]);
    *lane = *profile;
    lane->depth_m = depth;
    return true;
}

void ll_lane_of_water(const ll_profile *profile, double water_kg_m3, ll_profile *lane)
{
    *lane = *profile;
    lane->water_kg_m3 = water_kg_m3;
    lane->bar_per_m = ll_bar_per_metre(water_kg_m3);
}

bool ll_lane_of_oxygen(const ll_profile *profile, double more, ll_arena *arena, ll_profile *lane)
{
    ll_breathed *breathed = ll_arena_array(arena, profile->breathed_count, sizeof *breathed);
    if (!breathed)
        return false;
    for (size_t s = 0; s < profile->breathed_count; s++) {
        ll_breathed *gas = &breathed[s];
        *gas = profile->breathed[s];
        if (gas->loop || !gas->known)
            continue;
        gas->o2 = fmin(fmax(gas->o2 + more, 0), 1 - gas->he);
        gas->n2 = 1 - gas->o2 - gas->he;
    }
    *lane = *profile;
    lane->breathed = breathed;
    return true;
}
