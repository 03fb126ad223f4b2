/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of a loaded compartment set: tolerated pressure, gradient, ceiling. Gradient factors as fractions.
 * Pressures are finite; compartments whose load is unknown are the caller's to leave out. */
#ifndef LL_MODEL_LIMIT_H
#define LL_MODEL_LIMIT_H

#include <stdbool.h>

#include "model/tissue.h"

/* Total load and weighted coefficients of each compartment at one instant: the a and b of a mixed load are averages
 * weighted by the compartment's own two partial pressures (Buehlmann; Baker 1998). slope = 1/b - 1. */
typedef struct ll_load {
    double total_bar[LL_COMPARTMENTS];
    double a_bar[LL_COMPARTMENTS];
    double slope[LL_COMPARTMENTS];
} ll_load;

void ll_load_make(ll_load *load, const ll_coefficients *coefficients, const ll_tissues *tissues);

/* Largest 100 (Pt - P)/(a + P/b - P) over the compartments at an ambient pressure, percent; *leading (may be NULL)
 * gets the compartment, 1 to 16. Negative while every compartment takes up gas. */
double ll_gradient_percent(const ll_load *load, double ambient_bar, int *leading);

/* Largest ambient pressure (bar) that any compartment still needs at factor g: (Pt - a g)/(g/b - g + 1). */
double ll_tolerated_bar(const ll_load *load, double g);

/* True if every compartment has Pt - P <= g (a + P/b - P). */
bool ll_within_limits(const ll_load *load, double ambient_bar, double g);

/* What nitrogen alone may stand above an ambient pressure by a factor: with helium a compartment may stand no lower, as its a
 * and slope are higher throughout. So a load of any mixture may be looked at without its weighted coefficients. */
typedef struct ll_floor {
    double ambient_bar, g;
    double allowed_bar[LL_COMPARTMENTS];
    bool gives_way; /* the caller's: it did when it was last asked */
} ll_floor;

void ll_floor_make(ll_floor *floor, const ll_coefficients *coefficients, double ambient_bar, double g);

/* True only where ll_within_limits is true of these tissues, rounding included; false says nothing. */
bool ll_floor_holds(const ll_floor *floor, const ll_tissues *tissues);

/* True only where a load stays within limits with a millionth of a bar to spare, each compartment held against what nitrogen
 * alone may have: then so it does with the weighted coefficients, whatever is rounded. False says nothing. */
bool ll_clearly_within(const ll_coefficients *coefficients, const ll_tissues *tissues, double ambient_bar, double g);

/* How far each compartment's load lies below what factor g allows at an ambient pressure, bar: g (a + P/b - P) + P - Pt;
 * negative beyond. */
void ll_headroom_bar(const ll_load *load, double ambient_bar, double g, double headroom_bar[LL_COMPARTMENTS]);

/* How the factor runs with depth: low at and below the anchor, linear to high at the surface; high everywhere while the
 * anchor is 0. */
typedef struct ll_factors {
    double low, high;   /* fractions */
    double anchor_m;    /* >= 0 */
    double surface_bar;
    double bar_per_m;
} ll_factors;

double ll_factor_at(const ll_factors *factors, double depth_m);

/* Depth (m) tolerated at factor low, not rounded; may be negative. */
double ll_anchor_candidate_m(const ll_load *load, const ll_factors *factors);

/* Shallowest depth >= 0 (m) at which every compartment is within limits, exact: the condition is convex in depth and
 * holds at the anchor, so each compartment gives one root and the ceiling is the largest; below 0.01 m it is 0.
 * Requires anchor_m >= the present tissues' own candidate. */
double ll_ceiling_m(const ll_load *load, const ll_factors *factors);

#endif
