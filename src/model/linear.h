/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The exponential-linear model of E. D. Thalmann (NEDU reports 11-80, 1-83, 1-84, 8-85; Gerth and Doolette, NEDU TR
 * 07-09, 2007) with the parameter set VVal-18: nitrogen only, nine compartments that take up exponentially and,
 * beyond a crossover, give off at a constant rate. Pressures inside are feet of sea water, 33 to the atmosphere, as
 * in its tables. */
#ifndef LL_MODEL_LINEAR_H
#define LL_MODEL_LINEAR_H

#include <stdbool.h>

#include "base/units.h"

#define LL_BAR_PER_FSW (LL_BAR_PER_ATM / 33.0)
#define LL_LINEAR_STEP_FSW 10.0 /* between its stops; the last one is one step deep */

enum { LL_LINEAR_COMPARTMENTS = 9 };

typedef struct ll_linear {
    double n2_fsw[LL_LINEAR_COMPARTMENTS];
    double minutes; /* the length that `fill` was made for */
    double fill[LL_LINEAR_COMPARTMENTS];
} ll_linear;

/* Saturated with air at a surface pressure (bar). */
void ll_linear_rest(ll_linear *tissues, double surface_bar);

/* One leg: ambient pressure and PO2 (bar) at both ends, linear in between; exact to rounding, the crossover included.
 * Arterial nitrogen is ambient less PO2 less 1.5 fsw, at least 0: on open circuit and at a fixed PO2 alike. */
void ll_linear_step(ll_linear *tissues, double minutes, const double ambient_bar[2], const double po2_bar[2]);

/* True if every compartment may go to this ambient pressure. */
bool ll_linear_is_within(const ll_linear *tissues, double ambient_bar);

/* Minutes at a constant ambient pressure and PO2 until every compartment may go to `level_bar`; 0 if it may now;
 * infinite if one never may, or another has taken up too much by then. */
double ll_linear_wait_min(const ll_linear *tissues, double ambient_bar, double po2_bar, double level_bar);

/* Minutes at a constant ambient pressure and PO2 until some compartment may no longer go to `level_bar`; 0 if one may not
 * now; infinite if all always may. */
double ll_linear_hold_min(const ll_linear *tissues, double ambient_bar, double po2_bar, double level_bar);

/* Least ambient pressure (bar) to which every compartment may go. */
double ll_linear_tolerated_bar(const ll_linear *tissues);

/* Largest 100 (Pt - P)/(L - P) over the compartments, percent, L being the tension that one may have at the ambient
 * pressure P; *leading gets the compartment, 1 to 9. */
double ll_linear_gradient_percent(const ll_linear *tissues, double ambient_bar, int *leading);

/* How far each tension lies below what it may be at an ambient pressure, bar; negative beyond. */
void ll_linear_headroom_bar(const ll_linear *tissues, double ambient_bar, double headroom_bar[LL_LINEAR_COMPARTMENTS]);

#endif
