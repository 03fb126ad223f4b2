/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "base/units.h"
#include "model/oxygen.h"
#include "replay/dose.h"

void ll_state_rest(ll_state *state, ll_model model, double surface_bar)
{
    *state = (ll_state){.tissues_known = true, .days_in_row = 1};
    ll_inert_rest(&state->tissues, model, surface_bar);
}

void ll_state_interval(ll_state *state, double surface_bar, double seconds)
{
    ll_leg leg = ll_surface_leg(seconds, surface_bar);
    ll_inert_breathe(&state->tissues, &leg, NULL);
    state->cns_percent = ll_cns_left_percent(state->cns_percent, seconds);
}

void ll_replay_advance(const ll_profile *profile, ll_state *state, ll_doses *doses)
{
    ll_walk walk;
    ll_walk_open(&walk, profile, state);
    for (size_t i = 0; i + 1 < profile->count; i++)
        ll_walk_step(&walk, i);
    walk.state.cns_lower_bound = walk.state.cns_lower_bound || walk.above_table;
    *state = walk.state;
    *doses = walk.doses;
}

/* The part of a leg that lies at or after an instant `skip` seconds into it, against the 24-hour column. */
static double late_dose(const ll_leg *leg, double skip)
{
    double share = skip > 0 ? skip / leg->seconds : 0;
    if (share >= 1)
        return 0;
    double from = leg->po2_bar[0] + (leg->po2_bar[1] - leg->po2_bar[0]) * share;
    return ll_cns_percent(LL_CNS_24_H, leg->seconds * (1 - share) / 60, from / LL_BAR_PER_ATM,
                          leg->po2_bar[1] / LL_BAR_PER_ATM, NULL);
}

double ll_replay_dose_24_h(const ll_profile *profile, double from_s)
{
    double percent = 0;
    size_t span = 0;
    for (size_t i = 0; i + 1 < profile->count; i++) {
        while (profile->breathed[span].end <= i)
            span++;
        const ll_breathed *gas = &profile->breathed[span];
        if (profile->time_s[i + 1] <= from_s || ll_is_surface_interval(profile, i) || !gas->known)
            continue;
        ll_leg legs[LL_MAX_LEGS];
        int count = ll_interval_legs(profile, gas, i, legs);
        double at_s = profile->time_s[i];
        for (int j = 0; j < count; j++) {
            percent += late_dose(&legs[j], from_s - at_s);
            at_s += legs[j].seconds;
        }
    }
    return percent;
}
