/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of ll_gas_use_make; used by the files of gas use only. */
#ifndef LL_ASSESS_GAS_PARTS_H
#define LL_ASSESS_GAS_PARTS_H

#include "assess/gas.h"

/* Readings of one tank around the run time, gauge, with the temperature recorded at each (else 293.15 K). Between them
 * both are linear. */
typedef struct ll_gas_curve {
    bool recorded;
    size_t count; /* 0 or at least 2 */
    const double *time_s, *bar, *kelvin;
} ll_gas_curve;

/* What is known of one tank. */
typedef struct ll_gas_source {
    const ll_mix *gas; /* NULL: unknown */
    int mix;
    double volume_l;
    ll_gas_curve curve;
} ll_gas_source;

/* The readings of a series (NULL: none), else what is stated of the use (NULL: nothing). False if memory ran out. */
bool ll_gas_curve_make(const ll_profile *profile, const ll_series *series, const ll_tank_use *stated, ll_arena *arena,
                       ll_gas_curve *curve);

/* Content at an instant; NaN outside the readings or where volume or mix are unknown. */
ll_gas_left ll_gas_left_at(const ll_profile *profile, const ll_gas_source *source, double time_s);

/* Ambient pressure summed over the minutes (bar min) of the run time between two instants in which `mix` was breathed
 * on open circuit, and those minutes. */
typedef struct ll_gas_breathed {
    double bar_min, minutes;
    bool loop; /* it was breathed on a loop for some of the time */
} ll_gas_breathed;
ll_gas_breathed ll_gas_breathed_between(const ll_profile *profile, int mix, double from_s, double to_s);

/* Fills the margin. False if memory ran out. */
bool ll_gas_margin_make(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                        const ll_gas_source *sources, size_t count, ll_arena *arena, ll_gas_margin *margin);

/* What two divers breathe in so many seconds on a straight line between two depths, litres at 1 bar. */
double ll_gas_needed_l(const ll_profile *profile, double rmv_l_min, double seconds, double from_m, double to_m);

/* Doubts about recorded pressures: rises, flat stretches, gaps. False if memory ran out. */
bool ll_gas_notes(const ll_profile *profile, const ll_gas_source *sources, const ll_gas_tank *tanks, size_t count,
                  ll_arena *arena, ll_notes *notes);

#endif
