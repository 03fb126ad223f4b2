/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ratio model behind the French Navy's table MN90 (1990): air, twelve compartments, each of which may have a
 * nitrogen tension of so many times the ambient pressure. Nitrogen 0.80 of air, no water vapour. The table was
 * computed for a surface of 1 bar and 10 m to the bar; here both are the caller's. */
#ifndef LL_MODEL_RATIO_H
#define LL_MODEL_RATIO_H

#include <stdbool.h>

#define LL_RATIO_STEP_M 3.0 /* between its stops; the last one is one step deep */

enum { LL_RATIO_COMPARTMENTS = 12 };

typedef struct ll_ratio {
    double n2_bar[LL_RATIO_COMPARTMENTS];
    double minutes; /* the length that `fill` and `ramp` were made for */
    double fill[LL_RATIO_COMPARTMENTS], ramp[LL_RATIO_COMPARTMENTS];
} ll_ratio;

/* Saturated with air at a surface pressure (bar). */
void ll_ratio_rest(ll_ratio *tissues, double surface_bar);

/* One leg on air: ambient pressure (bar) at both ends, linear in between; exact (Schreiner). */
void ll_ratio_step(ll_ratio *tissues, double minutes, const double ambient_bar[2]);

/* True if every compartment may go to this ambient pressure. */
bool ll_ratio_is_within(const ll_ratio *tissues, double ambient_bar);

/* Minutes on air at a constant ambient pressure until every compartment may go to `level_bar`; 0 if it may now;
 * infinite if one never may, or another has taken up too much by then. */
double ll_ratio_wait_min(const ll_ratio *tissues, double ambient_bar, double level_bar);

/* Minutes on air at a constant ambient pressure until some compartment may no longer go to `level_bar`; 0 if one may not
 * now; infinite if all always may. */
double ll_ratio_hold_min(const ll_ratio *tissues, double ambient_bar, double level_bar);

/* Least ambient pressure (bar) to which every compartment may go. */
double ll_ratio_tolerated_bar(const ll_ratio *tissues);

/* Largest 100 (Pt - P)/(S P - P) over the compartments, percent, S being the critical ratio of each; *leading gets the
 * compartment, 1 to 12. */
double ll_ratio_gradient_percent(const ll_ratio *tissues, double ambient_bar, int *leading);

/* How far each tension lies below what it may be at an ambient pressure, bar; negative beyond. */
void ll_ratio_headroom_bar(const ll_ratio *tissues, double ambient_bar, double headroom_bar[LL_RATIO_COMPARTMENTS]);

#endif
