/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/gas.h"

#include "base/units.h"
#include "model/tissue.h"

#define GAS_CONSTANT_J_MOL_K 8.314462618 /* CODATA 2018, exact digits cut after the ninth decimal */
#define O2_G_MOL 31.998                  /* IUPAC standard atomic weights, 2013 */
#define N2_G_MOL 28.0134
#define HE_G_MOL 4.002602
#define KPA_PER_BAR 100.0

static double depth_of_m(double ambient_bar, double surface_bar, double bar_per_m)
{
    return (ambient_bar - surface_bar) / bar_per_m;
}

static double not_negative(double depth_m)
{
    return depth_m < 0.0 ? 0.0 : depth_m;
}

double ll_end_n2_m(double n2_bar, double surface_bar, double bar_per_m)
{
    return not_negative(depth_of_m(n2_bar / LL_AIR_N2, surface_bar, bar_per_m));
}

double ll_end_n2o2_m(double n2_bar, double o2_bar, double surface_bar, double bar_per_m)
{
    return not_negative(depth_of_m(n2_bar + o2_bar, surface_bar, bar_per_m));
}

double ll_density_g_l(double o2_bar, double n2_bar, double he_bar)
{
    double mass = o2_bar * O2_G_MOL + n2_bar * N2_G_MOL + he_bar * HE_G_MOL;
    return KPA_PER_BAR * mass / (GAS_CONSTANT_J_MOL_K * LL_KELVIN_AT_0_C);
}

double ll_mod_m(double o2_fraction, double po2_max_bar, double surface_bar, double bar_per_m)
{
    return depth_of_m(po2_max_bar / o2_fraction, surface_bar, bar_per_m);
}

double ll_ead_m(double o2_fraction, double depth_m, double surface_bar, double bar_per_m)
{
    double n2_bar = (1.0 - o2_fraction) * (surface_bar + depth_m * bar_per_m);
    return depth_of_m(n2_bar / LL_AIR_N2, surface_bar, bar_per_m);
}
