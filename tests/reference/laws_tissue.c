/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "laws.h"
#include "model/limit.h"
#include "scenario.h"

/* start bar, inspired bar, minutes, half-time min: one compartment of any half-time. Kinetics depend on t/T alone, so a
 * compartment of the table stands in for it with the time scaled. */
static void haldane(const double *given, double *got)
{
    double table_min = ll_coefficients_of(0)->n2_half_time_min[4];
    ll_tissues tissues = {.n2 = {[4] = given[0]}};
    ll_decay decay;
    ll_decay_make(&decay, given[2] * table_min / given[3]);
    ll_tissues_step(&tissues, &decay, given[1], given[1], 0.0, 0.0);
    *got = tissues.n2[4];
}

/* surface bar, f N2 of air, f N2, f He, depth m, then minutes down, at depth, up (0: at once); vapour 0.0627 bar */
static void dive_n2(const double *given, double *got)
{
    ll_tissues tissues = tissues_after(given);
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = tissues.n2[i];
}

/* The same, then factor and set; the pressure tolerated at the end. */
static void dive_tolerated(const double *given, double *got)
{
    ll_tissues tissues = tissues_after(given);
    ll_load load;
    ll_load_make(&load, ll_coefficients_of((int)given[9]), &tissues);
    *got = ll_tolerated_bar(&load, given[8]);
}

/* The same as dive_n2, then a compartment: its nitrogen, helium, and tolerated pressure at factor 1, set C. */
static void dive_of_compartment(const double *given, double *got)
{
    ll_tissues tissues = tissues_after(given);
    ll_load load;
    int at = (int)given[8] - 1;
    ll_load_make(&load, ll_coefficients_of(2), &tissues);
    keep_compartment(&load, at);
    got[0] = tissues.n2[at];
    got[1] = tissues.he[at];
    got[2] = ll_tolerated_bar(&load, 1.0);
}

/* The same: weighted a and b. */
static void dive_coefficients(const double *given, double *got)
{
    ll_tissues tissues = tissues_after(given);
    ll_load load;
    int at = (int)given[8] - 1;
    ll_load_make(&load, ll_coefficients_of(2), &tissues);
    got[0] = load.a_bar[at];
    got[1] = 1.0 / (1.0 + load.slope[at]);
}

/* surface bar: nitrogen of a diver at rest, first and last compartment */
static void rest(const double *given, double *got)
{
    ll_tissues tissues;
    ll_tissues_rest(&tissues, given[0]);
    got[0] = tissues.n2[0];
    got[1] = tissues.n2[LL_COMPARTMENTS - 1];
}

const law tissue_laws[] = {
    {"haldane", 4, 1, haldane},
    {"dive_n2", 8, 16, dive_n2},
    {"dive_tolerated", 10, 1, dive_tolerated},
    {"dive_of_compartment", 9, 3, dive_of_compartment},
    {"dive_coefficients", 9, 2, dive_coefficients},
    {"rest", 1, 2, rest},
    {0},
};
