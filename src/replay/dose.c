/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/dose.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/units.h"
#include "model/oxygen.h"

#define DESCENT_M_MIN 18.0 /* of the descent put before a record that begins under water */

static ll_dose dose_of(const ll_leg *leg)
{
    double minutes = leg->seconds / 60;
    double from = leg->po2_bar[0] / LL_BAR_PER_ATM, to = leg->po2_bar[1] / LL_BAR_PER_ATM;
    ll_dose dose = {.seconds = leg->seconds, .po2_bar = {leg->po2_bar[0], leg->po2_bar[1]}};
    dose.accrues = !(from <= 0.5 && to <= 0.5);
    if (dose.accrues) {
        dose.cns_percent = ll_cns_percent(LL_CNS_SINGLE, minutes, from, to, &dose.above_table);
        dose.cns_24_h_percent = ll_cns_percent(LL_CNS_24_H, minutes, from, to, NULL);
        dose.otu = ll_otu(minutes, from, to);
    }
    return dose;
}

static unsigned place_of(const double po2_bar[2])
{
    uint64_t bits[2];
    memcpy(bits, po2_bar, sizeof bits);
    return (unsigned)((bits[0] * 0x9E3779B97F4A7C15u ^ bits[1] * 0xC2B2AE3D27D4EB4Fu) >> 32) % LL_DOSES_KEPT;
}

static void breathe_oxygen(ll_walk *walk, const ll_leg *leg)
{
    ll_dose *dose = &walk->kept[place_of(leg->po2_bar)];
    if (dose->seconds != leg->seconds || dose->po2_bar[0] != leg->po2_bar[0] || dose->po2_bar[1] != leg->po2_bar[1])
        *dose = dose_of(leg);
    if (!dose->accrues)
        return;
    walk->above_table = walk->above_table || dose->above_table;
    walk->state.cns_percent += dose->cns_percent;
    walk->doses.cns_24_h_percent += dose->cns_24_h_percent;
    walk->doses.otu += dose->otu;
}

static ll_loop_line recorded_line(const ll_profile *profile, size_t interval)
{
    const double *columns[2] = {profile->measured_bar, profile->calculated_bar};
    for (int c = 0; c < 2; c++)
        if (columns[c] && !isnan(columns[c][interval]) && !isnan(columns[c][interval + 1]))
            return (ll_loop_line){columns[c][interval], columns[c][interval + 1]};
    return (ll_loop_line){NAN, NAN};
}

int ll_interval_legs(const ll_profile *profile, const ll_breathed *gas, size_t interval, ll_leg legs[LL_MAX_LEGS])
{
    double seconds = profile->time_s[interval + 1] - profile->time_s[interval];
    ll_loop_line line = {NAN, NAN};
    if (gas->loop)
        line = recorded_line(profile, interval);
    return ll_legs_make(gas, seconds, ll_ambient_bar(profile, profile->depth_m[interval]),
                        ll_ambient_bar(profile, profile->depth_m[interval + 1]), line, legs);
}

static void lose_track(ll_walk *walk)
{
    walk->state.tissues_known = false;
    walk->state.cns_lower_bound = true;
    walk->doses.complete = false;
}

static void breathe(ll_walk *walk, const ll_leg *legs, int count)
{
    for (int i = 0; i < count; i++) {
        if (walk->state.tissues_known)
            ll_inert_breathe(&walk->state.tissues, &legs[i], &walk->decays);
        breathe_oxygen(walk, &legs[i]);
    }
}

int ll_descent_legs(const ll_profile *profile, ll_leg legs[LL_MAX_LEGS])
{
    const double depth_m = profile->depth_m[0];
    if (!(depth_m > LL_BEGINS_BELOW_M) || !profile->breathed[0].known)
        return 0;
    return ll_legs_make(&profile->breathed[0], depth_m / DESCENT_M_MIN * 60, profile->surface_bar,
                        ll_ambient_bar(profile, depth_m), (ll_loop_line){NAN, NAN}, legs);
}

static void descend_before(ll_walk *walk)
{
    if (!walk->profile->breathed[0].known) {
        lose_track(walk);
        return;
    }
    ll_leg legs[LL_MAX_LEGS];
    breathe(walk, legs, ll_descent_legs(walk->profile, legs));
}

void ll_walk_open(ll_walk *walk, const ll_profile *profile, const ll_state *start)
{
    walk->profile = profile;
    walk->state = *start;
    walk->state.tissues_known = start->tissues_known && !profile->uncovered;
    walk->doses = (ll_doses){.complete = true};
    walk->above_table = false;
    walk->span = 0;
    ll_decays_open(&walk->decays);
    for (int i = 0; i < LL_DOSES_KEPT; i++)
        walk->kept[i].seconds = NAN;
    if (profile->depth_m[0] > LL_BEGINS_BELOW_M)
        descend_before(walk);
}

static void stay_at_surface(ll_walk *walk, double seconds)
{
    ll_leg leg = ll_surface_leg(seconds, walk->profile->surface_bar);
    if (walk->state.tissues_known)
        ll_inert_breathe(&walk->state.tissues, &leg, &walk->decays);
    walk->state.cns_percent = ll_cns_left_percent(walk->state.cns_percent, seconds);
}

void ll_walk_step(ll_walk *walk, size_t interval)
{
    const ll_profile *profile = walk->profile;
    while (profile->breathed[walk->span].end <= interval)
        walk->span++;
    const ll_breathed *gas = &profile->breathed[walk->span];
    if (ll_is_surface_interval(profile, interval)) {
        stay_at_surface(walk, profile->time_s[interval + 1] - profile->time_s[interval]);
    } else if (!gas->known) {
        lose_track(walk);
    } else {
        ll_leg legs[LL_MAX_LEGS];
        breathe(walk, legs, ll_interval_legs(profile, gas, interval, legs));
    }
}
