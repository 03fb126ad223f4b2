/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/passage.h"

#include "replay/dose.h"

void ll_passage_open(ll_passage *passage, const ll_profile *profile, ll_leg legs[LL_MAX_LEGS], int *count)
{
    *passage = (ll_passage){profile, 0};
    *count = ll_descent_legs(profile, legs);
}

int ll_passage_legs(ll_passage *passage, size_t interval, ll_leg legs[LL_MAX_LEGS])
{
    const ll_profile *profile = passage->profile;
    while (profile->breathed[passage->span].end <= interval)
        passage->span++;
    if (ll_is_surface_interval(profile, interval)) {
        legs[0] = ll_surface_leg(profile->time_s[interval + 1] - profile->time_s[interval], profile->surface_bar);
        return 1;
    }
    const ll_breathed *gas = &profile->breathed[passage->span];
    return gas->known ? ll_interval_legs(profile, gas, interval, legs) : 0;
}
