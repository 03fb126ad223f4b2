/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/surface.h"

#include <math.h>

#include "base/units.h"
#include "model/ascent.h"

#define HIGHEST_PO2_ATM 1.62 /* 1.6 with the width of a hand */

bool ll_gas_choice_make(const ll_profile *profile, ll_arena *arena, ll_gas_choice *choice)
{
    choice->count = 0;
    choice->gas = ll_arena_array(arena, profile->breathed_count, sizeof *choice->gas);
    if (!choice->gas)
        return false;
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        bool within = profile->has_run_time && gas->end > profile->leaving && gas->first < profile->surfacing;
        if (within && gas->known && !gas->loop)
            choice->gas[choice->count++] = gas;
    }
    return true;
}

typedef struct {
    const ll_profile *profile;
    const ll_gas_choice *choice;
    ll_breathed gas;
    double po2_bar; /* on a loop */
    ll_factors factors;
    double step_m, last_stop_m; /* the last one is at least a step deep */
    ll_inert tissues;
    double depth_m;
    ll_decays *decays;
    const ll_way_taker *taker; /* NULL: nobody is told */
    bool ended;                /* the taker has what it wanted */
    ll_way_up way;
} ascent;

const ll_breathed *ll_richest(const ll_gas_choice *choice, const ll_breathed *now, double ambient_bar)
{
    const ll_breathed *best = now;
    for (size_t i = 0; i < choice->count && !now->loop; i++) {
        const ll_breathed *other = choice->gas[i];
        bool allowed = other->o2 * (ambient_bar / LL_BAR_PER_ATM) <= HIGHEST_PO2_ATM && other->o2 > now->o2;
        if (allowed && (other->o2 > best->o2 || (other->o2 == best->o2 && other->he < best->he)))
            best = other;
    }
    return best;
}

static void take_richest(ascent *up)
{
    const ll_breathed *best = ll_richest(up->choice, &up->gas, ll_ambient_bar(up->profile, up->depth_m));
    if (best != &up->gas)
        up->gas = *best;
}

static double next_level_m(const ascent *up)
{
    if (up->depth_m <= up->last_stop_m)
        return 0;
    double steps = ceil(up->depth_m / up->step_m) - 1;
    if (steps * up->step_m >= up->depth_m) /* by rounding of the quotient */
        steps--;
    return fmax(steps * up->step_m, up->last_stop_m);
}

static int legs_between(const ascent *up, double seconds, double from_m, double to_m, ll_leg legs[LL_MAX_LEGS])
{
    return ll_legs_make(&up->gas, seconds, ll_ambient_bar(up->profile, from_m), ll_ambient_bar(up->profile, to_m),
                        (ll_loop_line){up->po2_bar, up->po2_bar}, legs);
}

static void tell(ascent *up, double to_m, double seconds)
{
    const ll_way_step step = {up->depth_m, to_m, seconds, &up->gas};
    if (up->taker && seconds > 0)
        up->ended = up->ended || !up->taker->take(up->taker->context, &step);
}

/* Waits here until the next level may be entered; false if that takes too long. */
static bool wait_for(ascent *up, double level_m)
{
    ll_leg here[LL_MAX_LEGS];
    legs_between(up, 0, up->depth_m, up->depth_m, here);
    double wait = ll_inert_wait_s(&up->tissues, &up->factors, &here[0], level_m);
    if (isnan(wait))
        return false;
    tell(up, up->depth_m, wait);
    if (up->ended)
        return true;
    here[0].seconds = wait;
    if (wait > 0)
        ll_inert_breathe(&up->tissues, &here[0], NULL);
    if (wait >= 1)
        up->way.deepest_stop_m = fmax(up->way.deepest_stop_m, up->depth_m);
    up->way.owed_s += wait;
    up->way.time_s += wait;
    return true;
}

static void rise_to(ascent *up, double level_m)
{
    double seconds = (up->depth_m - level_m) / LL_ASCENT_M_MIN * 60;
    tell(up, level_m, seconds);
    if (up->ended)
        return;
    ll_leg legs[LL_MAX_LEGS];
    int count = legs_between(up, seconds, up->depth_m, level_m, legs);
    for (int i = 0; i < count; i++)
        ll_inert_breathe(&up->tissues, &legs[i], up->decays);
    up->way.time_s += seconds;
    up->depth_m = level_m;
}

static void set_anchor(ascent *up, double anchor_m)
{
    up->factors.anchor_m = fmax(fmax(anchor_m, ll_inert_anchor_m(&up->tissues, &up->factors)), 0);
}

ll_way_up ll_way_up_from(const ll_profile *profile, const ll_settings *settings, const ll_gas_choice *choice,
                         const ll_breathed *now, double po2_bar, const ll_inert *tissues, double anchor_m,
                         double depth_m, ll_decays *decays)
{
    return ll_way_up_told(profile, settings, choice, now, po2_bar, tissues, anchor_m, depth_m, decays, NULL);
}

ll_way_up ll_way_up_told(const ll_profile *profile, const ll_settings *settings, const ll_gas_choice *choice,
                         const ll_breathed *now, double po2_bar, const ll_inert *tissues, double anchor_m,
                         double depth_m, ll_decays *decays, const ll_way_taker *taker)
{
    const ll_way_up missing = {NAN, NAN, NAN};
    const double step_m = ll_inert_step_m(tissues->model, profile->bar_per_m);
    ascent up = {
        .profile = profile,
        .choice = choice,
        .gas = *now,
        .po2_bar = po2_bar,
        .factors = {profile->gf_low, profile->gf_high, 0, profile->surface_bar, profile->bar_per_m},
        .step_m = step_m,
        .last_stop_m = fmax(settings->last_stop_m, step_m),
        .tissues = *tissues,
        .depth_m = depth_m,
        .decays = decays,
        .taker = taker,
    };
    set_anchor(&up, anchor_m);
    while (up.depth_m > 0 && !up.ended) {
        take_richest(&up);
        double level = next_level_m(&up);
        if (!wait_for(&up, level))
            return missing;
        if (!up.ended)
            rise_to(&up, level);
        if (up.way.time_s > LL_LONGEST_S)
            return missing;
    }
    return up.way;
}
