/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far a compressed breathing gas departs from an ideal one, and what a tank of it holds. */
#ifndef LL_MODEL_COMPRESSIBILITY_H
#define LL_MODEL_COMPRESSIBILITY_H

/* Taken where no temperature is recorded. */
#define LL_TANK_TEMPERATURE_K 293.15

/* Compressibility factor Z of a mix (fractions of O2 and He, the rest N2) at an absolute pressure (bar) and a
 * temperature (K). Within 0.004 of the reference equation from 1 to 300 bar and 268 to 313 K, for the mixes of
 * tests/reference/compressibility.csv; measured on points kept out of the fit: 0.0013. Finite and positive everywhere:
 * a pressure above 350 bar, or a temperature outside 263 to 323 K, gives Z at that bound; 1 at 0 bar. Virial form to
 * third order in the molar density, fitted to GERG-2008 (Kunz and Wagner, J. Chem. Eng. Data 57, 2012, 3032) by
 * tests/reference/fit_compressibility.c. */
double ll_compressibility(double o2_fraction, double he_fraction, double pressure_bar, double temperature_k);

/* What a tank of `volume_l` holds at an absolute pressure: litres at 1 bar, as an ideal gas. */
double ll_tank_content_l(double volume_l, double o2_fraction, double he_fraction, double pressure_bar,
                         double temperature_k);

/* Rate of breathing (L/min at 1 bar) of so many litres over so many bar minutes (ambient pressure summed over minutes).
 * NaN where nothing was breathed for any time. */
double ll_rmv_l_min(double used_l, double bar_min);

#endif
