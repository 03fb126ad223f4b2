/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/instants.h"

#include <math.h>

#include "replay/column.h"

#define REQUIRED_S 60.0 /* owed time that makes a decompression dive */

ll_surfacing ll_surfacing_of(const ll_track *track)
{
    const ll_profile *profile = track->profile;
    ll_surfacing up = {.known = profile->has_run_time && profile->has_surfacing && track->tissues_at_surfacing};
    if (!up.known)
        return up;
    ll_bounds bounds;
    ll_factors factors = {profile->gf_low, profile->gf_high, track->anchor_at_surfacing_m, profile->surface_bar,
                                profile->bar_per_m};
    up.time_s = profile->time_s[profile->surfacing];
    ll_inert_look(&track->at_surfacing, &factors, 0, LL_SET(LL_CEILING) | LL_SET(LL_GRADIENT), &bounds);
    up.gradient_percent = bounds.gradient_percent;
    up.leading_compartment = bounds.leading;
    up.ceiling_m = bounds.ceiling_m;
    return up;
}

const ll_breathed *ll_breathed_at(const ll_profile *profile, size_t sample)
{
    size_t span = 0;
    while (profile->breathed[span].end <= sample)
        span++;
    return &profile->breathed[span];
}

bool ll_owed_of(const ll_track *track, const ll_settings *settings, ll_arena *arena, ll_owed *owed)
{
    const ll_profile *profile = track->profile;
    *owed = (ll_owed){.ascent_start_s = NAN, .ascent_start_depth_m = NAN, .way = {NAN, NAN, NAN}};
    if (!profile->has_run_time)
        return true;
    const size_t at = profile->ascent_start;
    const ll_breathed *gas = ll_breathed_at(profile, at);
    owed->ascent_start_s = profile->time_s[at];
    owed->ascent_start_depth_m = profile->depth_m[at];
    owed->known = track->tissues_at_ascent_start && gas->known;
    if (!owed->known)
        return true;
    ll_gas_choice choice;
    if (!ll_gas_choice_make(profile, arena, &choice))
        return false;
    ll_decays decays;
    ll_decays_open(&decays);
    double po2_bar = ll_po2_bar(gas, ll_ambient_bar(profile, profile->depth_m[at]), ll_recorded_po2_bar(profile, at));
    owed->way = ll_way_up_from(profile, settings, &choice, gas, po2_bar, &track->at_ascent_start,
                               track->anchor_at_ascent_start_m, profile->depth_m[at], &decays);
    owed->required = isnan(owed->way.owed_s) || owed->way.owed_s >= REQUIRED_S;
    return true;
}
