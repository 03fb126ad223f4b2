/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/visit.h"

#include <math.h>

#include "replay/column.h"
#include "replay/dose.h"
#include "replay/instants.h"

typedef struct visitor {
    const ll_visit *visit;
    ll_gas_choice choice;
    ll_walk walk;
    ll_factors factors;
    ll_floor floor;
} visitor;

static void raise_anchor(visitor *v)
{
    if (v->walk.state.tissues_known)
        ll_inert_raise(&v->walk.state.tissues, &v->factors, &v->floor);
}

/* True if the way could be told. */
static bool tell_way(visitor *v, size_t sample)
{
    const ll_profile *profile = v->visit->profile;
    const ll_breathed *gas = ll_breathed_at(profile, sample);
    if (!gas->known || !v->walk.state.tissues_known)
        return false;
    const double depth = profile->depth_m[sample];
    const ll_way_taker taker = {v->visit->take, v->visit->context};
    double po2_bar = ll_po2_bar(gas, ll_ambient_bar(profile, depth), ll_recorded_po2_bar(profile, sample));
    ll_way_up way = ll_way_up_told(profile, v->visit->settings, &v->choice, gas, po2_bar, &v->walk.state.tissues,
                                   v->factors.anchor_m, depth, &v->walk.decays, &taker);
    return !isnan(way.time_s);
}

bool ll_visit_ways(const ll_visit *visit, const ll_state *start, ll_arena *arena)
{
    const ll_profile *profile = visit->profile;
    visitor v = {.visit = visit,
                 .factors = {profile->gf_low, profile->gf_high, 0, profile->surface_bar, profile->bar_per_m}};
    if (!ll_gas_choice_make(profile, arena, &v.choice))
        return false;
    ll_walk_open(&v.walk, profile, start);
    size_t at = 0;
    raise_anchor(&v);
    for (size_t i = 0; i < visit->count; i++) {
        for (; at < visit->sample[i]; at++) {
            ll_walk_step(&v.walk, at);
            raise_anchor(&v);
        }
        if (visit->begin(visit->context, i))
            visit->end(visit->context, i, tell_way(&v, at));
    }
    return true;
}
