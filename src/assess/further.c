/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/further.h"

#include <math.h>

#include "model/ascent.h"

#define AIR_SLACK 0.005 /* of the oxygen fraction: what recorders write for air */
#define LEVEL_SLACK 1e-9 /* of a step: a level that was reached by arithmetic */

/* --- the table ------------------------------------------------------------------------------------------------ */

static bool is_without_helium(const ll_breathed *gas)
{
    return !(gas->he > 0);
}

static bool is_air(const ll_breathed *gas)
{
    return !gas->loop && is_without_helium(gas) && fabs(gas->o2 - LL_AIR_O2) <= AIR_SLACK;
}

static void linear_rest(ll_further_tissues *tissues, double surface_bar)
{
    ll_linear_rest(&tissues->linear, surface_bar);
}

static void linear_step(ll_further_tissues *tissues, double minutes, const double ambient_bar[2],
                        const double po2_bar[2])
{
    ll_linear_step(&tissues->linear, minutes, ambient_bar, po2_bar);
}

static double linear_wait(const ll_further_tissues *tissues, double ambient_bar, double po2_bar, double level_bar)
{
    return ll_linear_wait_min(&tissues->linear, ambient_bar, po2_bar, level_bar);
}

static double linear_step_bar(const ll_profile *profile)
{
    (void)profile;
    return LL_LINEAR_STEP_FSW * LL_BAR_PER_FSW;
}

static void ratio_rest(ll_further_tissues *tissues, double surface_bar)
{
    ll_ratio_rest(&tissues->ratio, surface_bar);
}

static void ratio_step(ll_further_tissues *tissues, double minutes, const double ambient_bar[2],
                       const double po2_bar[2])
{
    (void)po2_bar;
    ll_ratio_step(&tissues->ratio, minutes, ambient_bar);
}

static double ratio_wait(const ll_further_tissues *tissues, double ambient_bar, double po2_bar, double level_bar)
{
    (void)po2_bar;
    return ll_ratio_wait_min(&tissues->ratio, ambient_bar, level_bar);
}

static double ratio_step_bar(const ll_profile *profile)
{
    return LL_RATIO_STEP_M * profile->bar_per_m;
}

const ll_further_model ll_further_models[LL_FURTHER_MODELS] = {
    {"vval-18", "Exponential-linear (VVal-18)", "mixes of oxygen and nitrogen only", is_without_helium, linear_rest,
     linear_step, linear_wait, linear_step_bar},
    {"mn90", "MN90", "air on open circuit only", is_air, ratio_rest, ratio_step, ratio_wait, ratio_step_bar},
};

/* --- a dive --------------------------------------------------------------------------------------------------- */

bool ll_further_is_covered(const ll_further_model *model, const ll_profile *profile)
{
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        bool within = gas->end > profile->leaving && gas->first < profile->surfacing;
        if (within && gas->known && !model->is_covered(gas))
            return false;
    }
    return true;
}

void ll_further_breathe(const ll_further_model *model, ll_further_tissues *tissues, const ll_passage_leg *legs,
                        int count)
{
    for (int i = 0; i < count; i++)
        model->step(tissues, legs[i].breathed.seconds / 60, legs[i].ambient_bar, legs[i].breathed.po2_bar);
}

static double next_level_bar(double at_bar, double surface_bar, double step_bar)
{
    double steps = ceil((at_bar - surface_bar) / step_bar - LEVEL_SLACK) - 1;
    return surface_bar + fmax(steps, 0) * step_bar;
}

ll_way_up ll_further_way_up(const ll_further_model *model, const ll_profile *profile, const ll_gas_choice *choice,
                            const ll_breathed *now, double po2_bar, const ll_further_tissues *tissues, double depth_m)
{
    const double surface = profile->surface_bar, bar_min = LL_ASCENT_M_MIN * profile->bar_per_m;
    ll_further_tissues state = *tissues;
    ll_way_up way = {0, 0, 0};
    for (double at = ll_ambient_bar(profile, depth_m), level; at > surface; at = level) {
        now = ll_richest(choice, now, at);
        level = next_level_bar(at, surface, model->step_bar(profile));
        const double here[2] = {at, at}, po2 = ll_po2_bar(now, at, po2_bar), both[2] = {po2, po2};
        double wait = model->wait_min(&state, at, po2, level), rise = (at - level) / bar_min;
        way.time_s += (wait + rise) * 60;
        if (!(way.time_s <= LL_LONGEST_S))
            return (ll_way_up){NAN, NAN, NAN};
        model->step(&state, wait, here, both);
        way.owed_s += wait * 60;
        if (wait * 60 >= 1)
            way.deepest_stop_m = fmax(way.deepest_stop_m, (at - surface) / profile->bar_per_m);
        ll_passage_leg legs[LL_MAX_LEGS];
        int count = ll_passage_between(now, rise * 60, at, level, (ll_loop_line){po2_bar, po2_bar}, legs);
        ll_further_breathe(model, &state, legs, count);
    }
    return way;
}
