/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kinetics: H. R. Schreiner, P. L. Kelley, A pragmatic view of decompression, 1971, for each gas on its own. */
#include "model/tissue.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define LN_2 0.69314718055994530942

void ll_tissues_rest(ll_tissues *tissues, double surface_bar)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        tissues->n2[i] = LL_AIR_N2 * (surface_bar - LL_WATER_VAPOUR_BAR);
        tissues->he[i] = 0.0;
    }
}

/* By their bits, which the compiler takes several at once of. */
bool ll_tissues_have_helium(const ll_tissues *tissues)
{
    uint64_t bits[LL_COMPARTMENTS], any = 0;
    memcpy(bits, tissues->he, sizeof bits);
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        any |= bits[i];
    return any != 0;
}

/* (-1)^(n+1) / (n+1)! for n = 1 to 17: the series of 1 - (1 - e^-x)/x without its power of x. At x = 1 the first term
 * left out is 2e-17 of the sum. */
static const double ramp_series[] = {
    1.0 / 2.0,
    -1.0 / 6.0,
    1.0 / 24.0,
    -1.0 / 120.0,
    1.0 / 720.0,
    -1.0 / 5040.0,
    1.0 / 40320.0,
    -1.0 / 362880.0,
    1.0 / 3628800.0,
    -1.0 / 39916800.0,
    1.0 / 479001600.0,
    -1.0 / 6227020800.0,
    1.0 / 87178291200.0,
    -1.0 / 1307674368000.0,
    1.0 / 20922789888000.0,
    -1.0 / 355687428096000.0,
    1.0 / 6402373705728000.0,
};
enum { RAMP_TERMS = sizeof ramp_series / sizeof *ramp_series };

/* 1 - fill/x: by the series up to x = 1, where the closed form would cancel; by the closed form beyond. */
static void make_ramps(double ramp[LL_COMPARTMENTS], const double x[LL_COMPARTMENTS],
                       const double fill[LL_COMPARTMENTS])
{
    double sum[LL_COMPARTMENTS] = {0};
    for (int term = RAMP_TERMS - 1; term >= 0; term--)
        for (int i = 0; i < LL_COMPARTMENTS; i++)
            sum[i] = ramp_series[term] + sum[i] * (x[i] < 1.0 ? x[i] : 1.0);
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        ramp[i] = x[i] < 1.0 ? sum[i] * x[i] : 1.0 - fill[i] / x[i];
}

static void make_one_gas(double fill[LL_COMPARTMENTS], double ramp[LL_COMPARTMENTS],
                         const double half_time_min[LL_COMPARTMENTS], double minutes)
{
    double x[LL_COMPARTMENTS];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        x[i] = minutes * LN_2 / half_time_min[i];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        fill[i] = -expm1(-x[i]);
    make_ramps(ramp, x, fill);
}

void ll_decay_make(ll_decay *decay, double minutes)
{
    const ll_coefficients *any_set = ll_coefficients_of(0);
    decay->minutes = minutes;
    make_one_gas(decay->n2_fill, decay->n2_ramp, any_set->n2_half_time_min, minutes);
    make_one_gas(decay->he_fill, decay->he_ramp, any_set->he_half_time_min, minutes);
}

static void step_ramp(double *restrict bar, const double *restrict fill, const double *restrict ramp, double from,
                      double to)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        bar[i] += (from - bar[i]) * fill[i] + (to - from) * ramp[i];
}

static void step_flat(double *restrict bar, const double *restrict fill, double inspired)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        bar[i] += (inspired - bar[i]) * fill[i];
}

static void step_one_gas(double *restrict bar, const double *restrict fill, const double *restrict ramp, double from,
                         double to)
{
    if (from == to)
        step_flat(bar, fill, from);
    else
        step_ramp(bar, fill, ramp, from, to);
}

void ll_tissues_step(ll_tissues *tissues, const ll_decay *decay, double n2_from, double n2_to, double he_from,
                     double he_to)
{
    step_one_gas(tissues->n2, decay->n2_fill, decay->n2_ramp, n2_from, n2_to);
    if (he_from != 0.0 || he_to != 0.0 || ll_tissues_have_helium(tissues))
        step_one_gas(tissues->he, decay->he_fill, decay->he_ramp, he_from, he_to);
}
