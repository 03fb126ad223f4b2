/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Given: set (0 A, 1 B, 2 C) where it matters. Given back: the 16 compartments in order. */
#include <math.h>

#include "laws.h"
#include "model/tissue.h"

static const ll_coefficients *set_of(const double *given)
{
    return ll_coefficients_of((int)given[0]);
}

static void copy(const double *from, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = from[i];
}

static void n2_half_times(const double *given, double *got)
{
    copy(set_of(given)->n2_half_time_min, got);
}

static void n2_a(const double *given, double *got)
{
    copy(set_of(given)->n2_a_bar, got);
}

static void n2_b(const double *given, double *got)
{
    copy(set_of(given)->n2_b, got);
}

static void he_half_times(const double *given, double *got)
{
    copy(set_of(given)->he_half_time_min, got);
}

static void he_a(const double *given, double *got)
{
    copy(set_of(given)->he_a_bar, got);
}

static void he_b(const double *given, double *got)
{
    copy(set_of(given)->he_b, got);
}

/* a - 2 bar T^(-1/3) */
static void n2_a_less_formula(const double *given, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = set_of(given)->n2_a_bar[i] - 2.0 / cbrt(set_of(given)->n2_half_time_min[i]);
}

static void he_a_less_formula(const double *given, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = set_of(given)->he_a_bar[i] - 2.0 / cbrt(set_of(given)->he_half_time_min[i]);
}

/* b - (1.005 - T^(-1/2)) */
static void n2_b_less_formula(const double *given, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = set_of(given)->n2_b[i] - (1.005 - 1.0 / sqrt(set_of(given)->n2_half_time_min[i]));
}

static void half_time_ratios(const double *given, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = set_of(given)->n2_half_time_min[i] / set_of(given)->he_half_time_min[i];
}

/* Limit at a surface pressure of 10 m of sea water (1 bar), in m of sea water: 10 a + 10/b. */
static void n2_m0(const double *given, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = 10.0 * set_of(given)->n2_a_bar[i] + 10.0 / set_of(given)->n2_b[i];
}

static void n2_dm(const double *given, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = 1.0 / set_of(given)->n2_b[i];
}

static void he_m0(const double *given, double *got)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        got[i] = 10.0 * set_of(given)->he_a_bar[i] + 10.0 / set_of(given)->he_b[i];
}

/* The same for one compartment: set, compartment from 1. */
static void n2_m0_of(const double *given, double *got)
{
    double all[LL_COMPARTMENTS];
    n2_m0(given, all);
    *got = all[(int)given[1] - 1];
}

static void he_m0_of(const double *given, double *got)
{
    double all[LL_COMPARTMENTS];
    he_m0(given, all);
    *got = all[(int)given[1] - 1];
}

const law coefficient_laws[] = {
    {"n2_half_times", 1, 16, n2_half_times},
    {"n2_a", 1, 16, n2_a},
    {"n2_b", 1, 16, n2_b},
    {"he_half_times", 1, 16, he_half_times},
    {"he_a", 1, 16, he_a},
    {"he_b", 1, 16, he_b},
    {"n2_a_less_formula", 1, 16, n2_a_less_formula},
    {"n2_b_less_formula", 1, 16, n2_b_less_formula},
    {"he_a_less_formula", 1, 16, he_a_less_formula},
    {"half_time_ratios", 1, 16, half_time_ratios},
    {"n2_dm", 1, 16, n2_dm},
    {"n2_m0_of", 2, 1, n2_m0_of},
    {"he_m0_of", 2, 1, he_m0_of},
    {0},
};
