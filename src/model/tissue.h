/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sixteen compartments of the ZH-L16 family: kinetics that are exact on linear segments. */
#ifndef LL_MODEL_TISSUE_H
#define LL_MODEL_TISSUE_H

#include <stdbool.h>

#include "base/quantity.h"

#define LL_WATER_VAPOUR_BAR 0.0627 /* 47 mmHg; Buehlmann (respiratory quotient 1) */
#define LL_AIR_O2 0.21
#define LL_AIR_N2 0.79

/* Half-times in minutes and limit coefficients of one coefficient set; compartment 1 in its 1b form. Helium has one
 * set, used with all three. Sources and the choices between disagreeing printings: coefficients.c. */
typedef struct ll_coefficients {
    double n2_half_time_min[LL_COMPARTMENTS], n2_a_bar[LL_COMPARTMENTS], n2_b[LL_COMPARTMENTS];
    double he_half_time_min[LL_COMPARTMENTS], he_a_bar[LL_COMPARTMENTS], he_b[LL_COMPARTMENTS];
    double n2_slope[LL_COMPARTMENTS]; /* 1/b - 1, as (1 - b)/b */
} ll_coefficients;

/* set: 0 = A, 1 = B, 2 = C (the values of ll_model). */
const ll_coefficients *ll_coefficients_of(int set);

/* Inert-gas pressures, bar. */
typedef struct ll_tissues {
    double n2[LL_COMPARTMENTS];
    double he[LL_COMPARTMENTS];
} ll_tissues;

/* Saturated with air at a surface pressure: n2 = 0.79 (P - 0.0627), he = 0. */
void ll_tissues_rest(ll_tissues *tissues, double surface_bar);

/* False only where no compartment holds any helium: then limits are those of nitrogen alone. */
bool ll_tissues_have_helium(const ll_tissues *tissues);

/* What an interval of one length does to all compartments, whatever the pressures: with inspired pressure going
 * linearly from i0 to i1 a compartment goes from p to  p + (i0 - p) fill + (i1 - i0) ramp  (Schreiner's equation,
 * rearranged so that nothing cancels: fill = 1 - e^-kt, ramp = 1 - fill/kt). */
typedef struct ll_decay {
    double minutes;
    double n2_fill[LL_COMPARTMENTS], n2_ramp[LL_COMPARTMENTS];
    double he_fill[LL_COMPARTMENTS], he_ramp[LL_COMPARTMENTS];
} ll_decay;

/* Accurate to a few units in the last place for 0 <= minutes (0 gives no change). Half-times do not depend on the
 * set. */
void ll_decay_make(ll_decay *decay, double minutes);

/* One interval: inspired nitrogen and helium (bar) at both its ends. */
void ll_tissues_step(ll_tissues *tissues, const ll_decay *decay, double n2_from, double n2_to, double he_from,
                     double he_to);

#endif
