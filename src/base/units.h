/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units and conventions that every layer shares. */
#ifndef LL_BASE_UNITS_H
#define LL_BASE_UNITS_H

#define LL_BAR_PER_ATM 1.01325              /* exact: 101325 Pa, 10th CGPM 1954 */
#define LL_SURFACE_BAR 1.01325              /* where neither log nor option says otherwise */
#define LL_GRAVITY_M_S2 9.80665             /* standard gravity, exact: 3rd CGPM 1901 */
#define LL_WATER_EN13319_KG_M3 (1e4 / LL_GRAVITY_M_S2) /* 10 m = 1 bar exactly: the EN 13319 convention */
#define LL_WATER_FRESH_KG_M3 1000.0
#define LL_WATER_SEA_KG_M3 1030.0
#define LL_KELVIN_AT_0_C 273.15
#define LL_M_PER_FT 0.3048                  /* exact: international foot */
#define LL_PSI_PER_BAR 14.503773773
#define LL_CUFT_PER_L 0.0353146667       /* of the international foot */

#endif
