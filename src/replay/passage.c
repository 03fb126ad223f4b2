/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/passage.h"

#include "replay/dose.h"

void ll_passage_open(ll_passage *passage, const ll_profile *profile)
{
    *passage = (ll_passage){profile, 0};
}

/* Gives every leg its share of a change of ambient pressure. */
static int with_ambient(const ll_leg *breathed, int count, double from_bar, double to_bar,
                        ll_passage_leg legs[LL_MAX_LEGS])
{
    double seconds = 0, passed = 0;
    for (int i = 0; i < count; i++)
        seconds += breathed[i].seconds;
    for (int i = 0; i < count; i++) {
        double before = passed / seconds;
        passed += breathed[i].seconds;
        double behind = i + 1 < count ? passed / seconds : 1;
        legs[i] = (ll_passage_leg){breathed[i],
                                   {from_bar + (to_bar - from_bar) * before, from_bar + (to_bar - from_bar) * behind}};
    }
    return count;
}

int ll_passage_between(const ll_breathed *gas, double seconds, double from_bar, double to_bar, ll_loop_line line,
                       ll_passage_leg legs[LL_MAX_LEGS])
{
    ll_leg breathed[LL_MAX_LEGS];
    int count = ll_legs_make(gas, seconds, from_bar, to_bar, line, breathed);
    return with_ambient(breathed, count, from_bar, to_bar, legs);
}

int ll_passage_before(const ll_passage *passage, ll_passage_leg legs[LL_MAX_LEGS])
{
    const ll_profile *profile = passage->profile;
    ll_leg breathed[LL_MAX_LEGS];
    int count = ll_descent_legs(profile, breathed);
    return with_ambient(breathed, count, profile->surface_bar, ll_ambient_bar(profile, profile->depth_m[0]), legs);
}

int ll_passage_legs(ll_passage *passage, size_t interval, ll_passage_leg legs[LL_MAX_LEGS])
{
    const ll_profile *profile = passage->profile;
    while (profile->breathed[passage->span].end <= interval)
        passage->span++;
    if (ll_is_surface_interval(profile, interval)) {
        double seconds = profile->time_s[interval + 1] - profile->time_s[interval];
        legs[0] = (ll_passage_leg){ll_surface_leg(seconds, profile->surface_bar),
                                   {profile->surface_bar, profile->surface_bar}};
        return 1;
    }
    const ll_breathed *gas = &profile->breathed[passage->span];
    if (!gas->known)
        return 0;
    ll_leg breathed[LL_MAX_LEGS];
    int count = ll_interval_legs(profile, gas, interval, breathed);
    return with_ambient(breathed, count, ll_ambient_bar(profile, profile->depth_m[interval]),
                        ll_ambient_bar(profile, profile->depth_m[interval + 1]), legs);
}
