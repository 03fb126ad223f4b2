/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdbool.h>

#include "laws.h"
#include "model/oxygen.h"

/* table (0 single exposure, 1 in 24 h), PO2 atm: minutes */
static void cns_limit(const double *given, double *got)
{
    *got = ll_cns_limit_min((ll_oxygen_table)given[0], given[1]);
}

/* table, minutes, PO2 from, PO2 to */
static void cns(const double *given, double *got)
{
    *got = ll_cns_percent((ll_oxygen_table)given[0], given[1], given[2], given[3], 0);
}

static void cns_above(const double *given, double *got)
{
    bool above = false;
    ll_cns_percent((ll_oxygen_table)given[0], given[1], given[2], given[3], &above);
    *got = above ? 1.0 : 0.0;
}

/* percent, minutes */
static void cns_left(const double *given, double *got)
{
    *got = ll_cns_left_percent(given[0], given[1] * 60.0);
}

/* minutes, PO2, then minutes at the surface */
static void cns_then_left(const double *given, double *got)
{
    *got = ll_cns_left_percent(ll_cns_percent(LL_CNS_SINGLE, given[0], given[1], given[1], 0), given[2] * 60.0);
}

/* minutes, PO2 from, PO2 to */
static void otu(const double *given, double *got)
{
    *got = ll_otu(given[0], given[1], given[2]);
}

/* Three legs in a row: f O2, depth m, minutes down, at depth, up; 1 at the surface, 10 m = 1. */
static void dive_cns(const double *given, double *got)
{
    double surface = given[0], bottom = given[0] * (1.0 + given[1] / 10.0);
    *got = ll_cns_percent(LL_CNS_SINGLE, given[2], surface, bottom, 0)
           + ll_cns_percent(LL_CNS_SINGLE, given[3], bottom, bottom, 0)
           + ll_cns_percent(LL_CNS_SINGLE, given[4], bottom, surface, 0);
}

static void dive_otu(const double *given, double *got)
{
    double surface = given[0], bottom = given[0] * (1.0 + given[1] / 10.0);
    *got = ll_otu(given[2], surface, bottom) + ll_otu(given[3], bottom, bottom) + ll_otu(given[4], bottom, surface);
}

/* Oxygen in a chamber: fsw and minutes at two depths with an ascent after each; 33 fsw = 1 atm. */
static void chamber_otu(const double *given, double *got)
{
    double deep = 1.0 + given[0] / 33.0, shallow = 1.0 + given[3] / 33.0;
    *got = ll_otu(given[1], deep, deep) + ll_otu(given[2], deep, shallow) + ll_otu(given[4], shallow, shallow)
           + ll_otu(given[5], shallow, 1.0);
}

const law oxygen_laws[] = {
    {"cns_limit", 2, 1, cns_limit},
    {"cns", 4, 1, cns},
    {"cns_above", 4, 1, cns_above},
    {"cns_left", 2, 1, cns_left},
    {"cns_then_left", 3, 1, cns_then_left},
    {"otu", 3, 1, otu},
    {"dive_cns", 5, 1, dive_cns},
    {"dive_otu", 5, 1, dive_otu},
    {"chamber_otu", 6, 1, chamber_otu},
    {0},
};
