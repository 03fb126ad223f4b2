/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The time to surface by the replay's own schedule, from one instant of a dive. */
#ifndef LL_REPLAY_SURFACE_H
#define LL_REPLAY_SURFACE_H

#include "model/limit.h"
#include "replay/leg.h"

typedef struct ll_way_up {
    double time_s;         /* NaN beyond 24 h */
    double owed_s;         /* sum of all waits */
    double deepest_stop_m; /* deepest wait of a second or more, 0 if none */
} ll_way_up;

/* The mixes breathed on open circuit within the run time, for the richest one at each level. */
typedef struct ll_gas_choice {
    size_t count;
    const ll_breathed **gas;
} ll_gas_choice;

/* False if memory ran out. */
bool ll_gas_choice_make(const ll_profile *profile, ll_arena *arena, ll_gas_choice *choice);

/* From depth_m with these tissues, breathing `now`; on a loop at po2_bar held constant (at most ambient). `anchor_m` is
 * that of the replay; at least the present tissues' own is taken. 0 at depth 0. */
ll_way_up ll_way_up_from(const ll_profile *profile, const ll_settings *settings, const ll_gas_choice *choice,
                         const ll_breathed *now, double po2_bar, const ll_tissues *tissues, double anchor_m,
                         double depth_m, ll_decays *decays);

#endif
