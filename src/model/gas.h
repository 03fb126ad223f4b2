/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a gas under pressure means: END in two conventions, density, MOD, EAD. */
#ifndef LL_MODEL_GAS_H
#define LL_MODEL_GAS_H

/* Equivalent narcotic depth (m, >= 0), nitrogen only: P_N2 = 0.79 P(END). */
double ll_end_n2_m(double n2_bar, double surface_bar, double bar_per_m);

/* Nitrogen and oxygen: P_N2 + P_O2 = P(END). */
double ll_end_n2o2_m(double n2_bar, double o2_bar, double surface_bar, double bar_per_m);

/* Density (g/L) of partial pressures (bar) as an ideal gas at 0 degrees Celsius, the convention in which the published
 * limits match their published depths; M: O2 31.998, N2 28.0134, He 4.002602 g/mol; R = 8.314462618 J/(mol K),
 * CODATA 2018. */
double ll_density_g_l(double o2_bar, double n2_bar, double he_bar);

/* Maximum operating depth (m) for a PO2 (in the same unit as the pressures); negative where the surface is too much,
 * infinite for a fraction of 0. */
double ll_mod_m(double o2_fraction, double po2_max_bar, double surface_bar, double bar_per_m);

/* Equivalent air depth (m): nitrogen pressure of a mix without helium as that of air with 79 % nitrogen; negative
 * where it is less than air has at the surface. */
double ll_ead_m(double o2_fraction, double depth_m, double surface_bar, double bar_per_m);

#endif
