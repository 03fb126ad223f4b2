/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depth, pressure, altitude. */
#ifndef LL_MODEL_WATER_H
#define LL_MODEL_WATER_H

/* Pressure of one metre of water, bar/m = density (kg/m3) * standard gravity / 1e5.
 * 0.1 within rounding for the EN 13319 density. */
double ll_bar_per_metre(double density_kg_m3);

/* Surface pressure (bar) at a geopotential altitude (m, -500 to 11000; outside, clamped) in the ICAO standard
 * atmosphere: 1.01325 (1 - 0.0065 H / 288.15)^5.2558798. ISO 2533:1975 / ICAO Doc 7488. */
double ll_standard_surface_bar(double altitude_m);

#endif
