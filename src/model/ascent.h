/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Times: no-stop time, and the wait until a level may be entered. */
#ifndef LL_MODEL_ASCENT_H
#define LL_MODEL_ASCENT_H

#include "model/limit.h"

#define LL_LONGEST_S 86400.0 /* beyond 24 h a time is missing */

/* The first change is found even where a compartment changes sides more than once; only a stay on the other side of less
 * than 1e-4 s may be passed over. The times are exact to rounding, so ll_within_limits asked at the very instant may
 * answer either way: act on the time, don't ask again. Factors in (0, 1], ambient pressures of 0.3 bar and more. */

/* Seconds at constant inspired pressures until the condition `within limits at ambient_bar with factor g` ceases to
 * hold; 0 if it does not hold now; NaN beyond 24 h. Error below 1e-3 s. */
double ll_time_within_s(const ll_coefficients *coefficients, const ll_tissues *tissues, double n2_inspired_bar,
                        double he_inspired_bar, double ambient_bar, double g);

/* Seconds at constant inspired pressures until that condition begins to hold for every compartment; 0 if it holds now;
 * NaN beyond 24 h. Error below 1e-6 s (so that sums of many waits stay well within a second). */
double ll_time_until_within_s(const ll_coefficients *coefficients, const ll_tissues *tissues, double n2_inspired_bar,
                              double he_inspired_bar, double ambient_bar, double g);

#endif
