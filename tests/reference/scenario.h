/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dives of one mix, made of the product's own steps; 10 m = 1 bar. */
#ifndef LL_TESTS_SCENARIO_H
#define LL_TESTS_SCENARIO_H

#include "model/limit.h"

/* Saturated with a nitrogen fraction at a surface pressure; no helium. */
ll_tissues saturated(double n2_fraction, double surface_bar);

/* One leg on a mix between two ambient pressures. */
void breathe(ll_tissues *tissues, double n2_fraction, double he_fraction, double from_bar, double to_bar,
             double minutes);

/* given: surface bar, f N2 of air, f N2, f He, depth m, minutes down, at depth, up. */
ll_tissues tissues_after(const double *given);

/* Leaves one compartment of a load (from 0) the only one that can ask for anything. */
void keep_compartment(ll_load *load, int kept);

#endif
