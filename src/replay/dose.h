/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The walk along a dive that advance and columns share: tissues and doses over one interval after the other. */
#ifndef LL_REPLAY_DOSE_H
#define LL_REPLAY_DOSE_H

#include "replay/leg.h"
#include "replay/replay.h"

/* The oxygen of one leg: what it adds to the doses. */
typedef struct ll_dose {
    double seconds, po2_bar[2]; /* of the leg; seconds NaN: none yet */
    bool accrues, above_table;
    double cns_percent, cns_24_h_percent, otu;
} ll_dose;

/* An interval on open circuit: its one leg and what that adds. */
typedef struct ll_kept_leg {
    const ll_breathed *gas; /* NULL: none yet */
    double from_m, to_m;
    ll_leg leg;
    ll_dose dose;
} ll_kept_leg;

/* Depths are recorded in steps, so intervals repeat: they are kept until another one needs the place. */
enum { LL_LEGS_KEPT = 64 };

typedef struct ll_walk {
    const ll_profile *profile;
    ll_state state;
    ll_doses doses;
    bool above_table; /* some time above 1.6 atm */
    bool no_doses;    /* nobody asks for oxygen: only tissues are walked along */
    size_t span;      /* of the breathed spans: the one that holds the next interval */
    ll_decays decays;
    ll_kept_leg kept[LL_LEGS_KEPT];
    ll_dose last; /* of the legs that are not kept */
} ll_walk;

/* Starts before the first sample; a record that begins under water gets its descent here. What it adds to the doses is never
 * left out; who sets no_doses then looks at none of them. */
void ll_walk_open(ll_walk *walk, const ll_profile *profile, const ll_state *start);

/* From sample `interval` to the next one. To be called for each interval in turn. */
void ll_walk_step(ll_walk *walk, size_t interval);

/* The legs of one interval of run time on known gas. Returns their number. */
int ll_interval_legs(const ll_profile *profile, const ll_breathed *gas, size_t interval, ll_leg legs[LL_MAX_LEGS]);

/* The legs of the descent put before a record that begins under water: none where it does not, or on unknown gas. */
int ll_descent_legs(const ll_profile *profile, ll_leg legs[LL_MAX_LEGS]);

#endif
