/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Oxygen doses. PO2 in atm, because the tables are. */
#ifndef LL_MODEL_OXYGEN_H
#define LL_MODEL_OXYGEN_H

#include <stdbool.h>

typedef enum ll_oxygen_table { LL_CNS_SINGLE, LL_CNS_24_H } ll_oxygen_table;

/* Minutes allowed at a PO2: linear between the rows of NOAA's table (single exposure, or total of 24 h), 900 at 0.5
 * falling to 720 at 0.6; infinite at or below 0.5; above 1.6 as at 1.6. */
double ll_cns_limit_min(ll_oxygen_table table, double po2_atm);

/* Percent gained over `minutes` while PO2 goes linearly from one value to another: 100 * integral of dt / limit, exact.
 * Sets *above_table (if not NULL) to true where part of it lies above 1.6 atm; never to false. Relative error below
 * 1e-11. NaN if either PO2 is NaN. */
double ll_cns_percent(ll_oxygen_table table, double minutes, double po2_from_atm, double po2_to_atm, bool *above_table);

/* What is left of a CNS percentage after an interval: halves every 90 min (custom; no data behind it). */
double ll_cns_left_percent(double percent, double seconds);

/* OTU gained: integral of ((PO2 - 0.5)/0.5)^(5/6) dt over minutes, exact on a linear ramp; nothing at or below 0.5.
 * Bardin and Lambertsen 1970; ramp form after Baker. Absolute error below 1e-9 a call for minutes < 60.
 * NaN if either PO2 is NaN. */
double ll_otu(double minutes, double po2_from_atm, double po2_to_atm);

#endif
