/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is breathed between two samples, cut into legs on which every pressure is linear in time. */
#ifndef LL_REPLAY_LEG_H
#define LL_REPLAY_LEG_H

#include "model/tissue.h"
#include "replay/profile.h"

/* Values at both ends of a leg; bar. */
typedef struct ll_leg {
    double seconds;
    double ambient_bar[2];
    double po2_bar[2];
    double n2_bar[2], he_bar[2]; /* inspired: less water vapour */
} ll_leg;

enum { LL_MAX_LEGS = 6 };

/* PO2 on a loop between two instants: a recorded line (at most ambient), or, where there is none (NaN), what the set
 * point and the diluent give. */
typedef struct ll_loop_line {
    double from_bar, to_bar;
} ll_loop_line;

/* Cuts an interval in which the ambient pressure goes linearly between two values. `line` is used on a loop only; a line of NaN
 * lets the set point count, raised to the diluent's own PO2 and at most ambient. Returns the number of legs, in order. */
int ll_legs_make(const ll_breathed *gas, double seconds, double from_bar, double to_bar, ll_loop_line line,
                 ll_leg legs[LL_MAX_LEGS]);

/* PO2 (bar) at an ambient pressure: recorded PO2 (bar) on a loop, NaN if none is recorded. */
double ll_po2_bar(const ll_breathed *gas, double ambient_bar, double recorded_bar);

/* Air at the surface pressure. */
ll_leg ll_surface_leg(double seconds, double surface_bar);

/* Decay factors kept by length of interval. */
typedef struct ll_decays {
    double seconds[32];
    ll_decay of[32];
} ll_decays;

void ll_decays_open(ll_decays *decays);

/* The factors for one length, computed at the first call and kept until another length needs the place. */
const ll_decay *ll_decays_find(ll_decays *decays, double seconds);

void ll_leg_breathe(ll_tissues *tissues, const ll_leg *leg, ll_decays *decays);

#endif
