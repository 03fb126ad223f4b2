/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The time to surface by the replay's own schedule, from one instant of a dive. */
#ifndef LL_REPLAY_SURFACE_H
#define LL_REPLAY_SURFACE_H

#include "replay/inert.h"

#define LL_ASCENT_M_MIN 9.0 /* of every way up */

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

/* The mix that the way up takes at an ambient pressure: the richest one up to 1.62 atm, if richer than the one in use. On a
 * loop always that. */
const ll_breathed *ll_richest(const ll_gas_choice *choice, const ll_breathed *now, double ambient_bar);

/* From depth_m with these tissues, breathing `now`; on a loop at po2_bar held constant (at most ambient). `anchor_m` is
 * that of the replay; at least the present tissues' own is taken. 0 at depth 0. */
ll_way_up ll_way_up_from(const ll_profile *profile, const ll_settings *settings, const ll_gas_choice *choice,
                         const ll_breathed *now, double po2_bar, const ll_inert *tissues, double anchor_m,
                         double depth_m, ll_decays *decays);

/* One step of a way up: a wait at one depth, or a rise at a constant rate. */
typedef struct ll_way_step {
    double from_m, to_m, seconds; /* seconds > 0 */
    const ll_breathed *gas;       /* breathed during it; valid during the call */
} ll_way_step;

/* Takes the steps in order; false ends the way there, with the sums up to there. */
typedef struct ll_way_taker {
    bool (*take)(void *context, const ll_way_step *step);
    void *context;
} ll_way_taker;

/* The same way, each step told before it is taken. */
ll_way_up ll_way_up_told(const ll_profile *profile, const ll_settings *settings, const ll_gas_choice *choice,
                         const ll_breathed *now, double po2_bar, const ll_inert *tissues, double anchor_m,
                         double depth_m, ll_decays *decays, const ll_way_taker *taker);

#endif
