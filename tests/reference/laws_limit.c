/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>

#include "laws.h"
#include "model/ascent.h"
#include "scenario.h"

#define S_PER_MIN 60.0

static ll_load load_of(double total_bar, double a_bar, double b)
{
    ll_load load = {0};
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        load.total_bar[i] = total_bar;
        load.a_bar[i] = a_bar;
        load.slope[i] = 1.0 / b - 1.0;
    }
    return load;
}

/* load bar, a bar, b, factor */
static void tolerated(const double *given, double *got)
{
    ll_load load = load_of(given[0], given[1], given[2]);
    *got = ll_tolerated_bar(&load, given[3]);
}

/* load bar, a bar, b, ambient bar: percent of the gradient */
static void gradient(const double *given, double *got)
{
    ll_load load = load_of(given[0], given[1], given[2]);
    *got = ll_gradient_percent(&load, given[3], NULL);
}

/* surface bar, f N2, depth m: percent at the surface after saturation there, and the leading compartment; set C */
static void saturation_gradient(const double *given, double *got)
{
    ll_tissues tissues = saturated(given[1], given[0] + given[2] / 10.0);
    ll_load load;
    int leading;
    ll_load_make(&load, ll_coefficients_of(2), &tissues);
    got[0] = ll_gradient_percent(&load, given[0], &leading);
    got[1] = leading;
}

/* surface bar, f N2, set, factor, depth m, pressure the diver is saturated at: minutes, descent and ascent at once */
static double instant_no_stop_min(const double *given, double rest_bar)
{
    double inspired = given[1] * (given[0] + given[4] / 10.0 - LL_WATER_VAPOUR_BAR);
    ll_tissues tissues = saturated(given[1], rest_bar);
    const ll_coefficients *coefficients = ll_coefficients_of((int)given[2]);
    return ll_time_within_s(coefficients, &tissues, inspired, 0.0, given[0], given[3]) / S_PER_MIN;
}

static void no_stop(const double *given, double *got)
{
    *got = instant_no_stop_min(given, given[0]);
}

static void no_stop_from_sea_level(const double *given, double *got)
{
    *got = instant_no_stop_min(given, 1.01325);
}

/* given as for no_stop, then descent and ascent m/min: within limits on surfacing after this bottom time? */
static bool surfaces_within(const double *given, double bottom_time_min)
{
    double down = given[4] / given[5], up = given[4] / given[6];
    const double dive[] = {given[0], given[1], given[1], 0.0, given[4], down, bottom_time_min - down, up};
    ll_tissues tissues = tissues_after(dive);
    ll_load load;
    ll_load_make(&load, ll_coefficients_of((int)given[2]), &tissues);
    return ll_within_limits(&load, given[0], given[3]);
}

/* The longest bottom time, descent included, limits looked at on surfacing. */
static void no_stop_with_travel(const double *given, double *got)
{
    double good = given[4] / given[5], bad = 1440.0;
    if (!surfaces_within(given, good) || surfaces_within(given, bad)) {
        *got = NAN;
        return;
    }
    while (bad - good > 1e-6) {
        double middle = good + (bad - good) / 2.0;
        *(surfaces_within(given, middle) ? &good : &bad) = middle;
    }
    *got = good;
}

/* The same, then a limit in min: 1 if the model allows at least that. */
static void no_stop_with_travel_covers(const double *given, double *got)
{
    *got = surfaces_within(given, given[7]) ? 1.0 : 0.0;
}

/* low, high, anchor m, depth m */
static void factor_at(const double *given, double *got)
{
    const ll_factors factors = {given[0], given[1], given[2], 1.0, 0.1};
    *got = ll_factor_at(&factors, given[3]);
}

/* surface bar, f N2 of air, f N2, f He, depth m, minutes down, at depth, up, then factor: ceiling m in set C */
static void dive_ceiling(const double *given, double *got)
{
    ll_tissues tissues = tissues_after(given);
    ll_load load;
    ll_factors factors = {given[8], given[8], 0.0, given[0], 0.1};
    ll_load_make(&load, ll_coefficients_of(2), &tissues);
    factors.anchor_m = fmax(0.0, ll_anchor_candidate_m(&load, &factors));
    *got = ll_ceiling_m(&load, &factors);
}

const law limit_laws[] = {
    {"tolerated", 4, 1, tolerated},
    {"gradient", 4, 1, gradient},
    {"saturation_gradient", 3, 2, saturation_gradient},
    {"no_stop", 5, 1, no_stop},
    {"no_stop_from_sea_level", 5, 1, no_stop_from_sea_level},
    {"no_stop_with_travel", 7, 1, no_stop_with_travel},
    {"no_stop_with_travel_covers", 8, 1, no_stop_with_travel_covers},
    {"factor_at", 4, 1, factor_at},
    {"dive_ceiling", 9, 1, dive_ceiling},
    {0},
};
