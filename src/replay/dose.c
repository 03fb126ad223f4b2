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

static void add_dose(ll_walk *walk, const ll_dose *dose)
{
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

/* On a loop PO2 stands still for long. */
static const ll_dose *dose_of_next(ll_walk *walk, const ll_leg *leg)
{
    ll_dose *last = &walk->last;
    if (last->seconds != leg->seconds || last->po2_bar[0] != leg->po2_bar[0] || last->po2_bar[1] != leg->po2_bar[1])
        *last = dose_of(leg);
    return last;
}

static void breathe_leg(ll_walk *walk, const ll_leg *leg, const ll_dose *dose)
{
    if (walk->state.tissues_known)
        ll_inert_breathe(&walk->state.tissues, leg, &walk->decays);
    add_dose(walk, dose);
}

static void breathe(ll_walk *walk, const ll_leg *legs, int count)
{
    for (int i = 0; i < count; i++)
        breathe_leg(walk, &legs[i], dose_of_next(walk, &legs[i]));
}

static unsigned place_of(double from_m, double to_m)
{
    uint64_t from, to;
    memcpy(&from, &from_m, sizeof from);
    memcpy(&to, &to_m, sizeof to);
    return (unsigned)((from * 0x9E3779B97F4A7C15u ^ to * 0xC2B2AE3D27D4EB4Fu) >> 32) % LL_LEGS_KEPT;
}

/* Without its doses a leg is made sooner than looked up. */
static void breathe_bare(ll_walk *walk, const ll_breathed *gas, size_t interval)
{
    ll_leg legs[LL_MAX_LEGS];
    int count = ll_interval_legs(walk->profile, gas, interval, legs);
    for (int i = 0; i < count && walk->state.tissues_known; i++)
        ll_inert_breathe(&walk->state.tissues, &legs[i], &walk->decays);
}

/* On open circuit an interval is one leg, which depths, length and gas make. */
static void breathe_open(ll_walk *walk, const ll_breathed *gas, size_t interval)
{
    const double *time = walk->profile->time_s + interval, *depth = walk->profile->depth_m + interval;
    ll_kept_leg *kept = &walk->kept[place_of(depth[0], depth[1])];
    if (kept->gas != gas || kept->from_m != depth[0] || kept->to_m != depth[1] ||
        kept->leg.seconds != time[1] - time[0]) {
        ll_leg legs[LL_MAX_LEGS];
        ll_interval_legs(walk->profile, gas, interval, legs);
        *kept = (ll_kept_leg){gas, depth[0], depth[1], legs[0], dose_of(&legs[0])};
    }
    breathe_leg(walk, &kept->leg, &kept->dose);
}

static void breathe_loop(ll_walk *walk, const ll_breathed *gas, size_t interval)
{
    ll_leg legs[LL_MAX_LEGS];
    breathe(walk, legs, ll_interval_legs(walk->profile, gas, interval, legs));
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
    walk->above_table = walk->no_doses = false;
    walk->span = 0;
    ll_decays_open(&walk->decays);
    walk->last.seconds = NAN;
    for (int i = 0; i < LL_LEGS_KEPT; i++)
        walk->kept[i].gas = NULL;
    if (profile->depth_m[0] > LL_BEGINS_BELOW_M)
        descend_before(walk);
}

static void stay_at_surface(ll_walk *walk, double seconds)
{
    ll_leg leg = ll_surface_leg(seconds, walk->profile->surface_bar);
    if (walk->state.tissues_known)
        ll_inert_breathe(&walk->state.tissues, &leg, &walk->decays);
    if (!walk->no_doses)
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
    } else if (walk->no_doses) {
        breathe_bare(walk, gas, interval);
    } else if (gas->loop) {
        breathe_loop(walk, gas, interval);
    } else {
        breathe_open(walk, gas, interval);
    }
}
