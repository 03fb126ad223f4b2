/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/water.h"

#include <math.h>

#include "base/units.h"

#define PA_PER_BAR 1e5

/* The troposphere of the ICAO standard atmosphere (ISO 2533:1975; ICAO Doc 7488, 3rd ed. 1993). */
#define SEA_LEVEL_BAR 1.01325
#define SEA_LEVEL_K 288.15
#define LAPSE_K_M 0.0065
#define EXPONENT 5.2558798 /* g0 / (R lapse) with g0 = 9.80665 m/s2, R = 287.05287 J/(kg K) */
#define LOWEST_M (-500.0)
#define HIGHEST_M 11000.0 /* the tropopause */

double ll_bar_per_metre(double density_kg_m3)
{
    return density_kg_m3 * LL_GRAVITY_M_S2 / PA_PER_BAR;
}

double ll_standard_surface_bar(double altitude_m)
{
    double height_m = altitude_m;
    if (height_m < LOWEST_M)
        height_m = LOWEST_M;
    if (height_m > HIGHEST_M)
        height_m = HIGHEST_M;
    return SEA_LEVEL_BAR * pow(1.0 - LAPSE_K_M * height_m / SEA_LEVEL_K, EXPONENT);
}
