/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/units.h"
#include "laws.h"
#include "model/water.h"

/* density kg/m3, depth m: bar above the surface */
static void gauge_bar(const double *given, double *got)
{
    *got = ll_bar_per_metre(given[0]) * given[1];
}

/* depth m under the EN 13319 convention */
static void gauge_bar_en13319(const double *given, double *got)
{
    *got = ll_bar_per_metre(LL_WATER_EN13319_KG_M3) * given[0];
}

/* density of the water that the depth is in, kg/m3: true depth in percent of what an EN 13319 gauge shows */
static void true_depth_percent(const double *given, double *got)
{
    *got = 100.0 * ll_bar_per_metre(LL_WATER_EN13319_KG_M3) / ll_bar_per_metre(given[0]);
}

/* geopotential m: hPa */
static void standard_hpa(const double *given, double *got)
{
    *got = 1000.0 * ll_standard_surface_bar(given[0]);
}

const law water_laws[] = {
    {"gauge_bar", 2, 1, gauge_bar},
    {"gauge_bar_en13319", 1, 1, gauge_bar_en13319},
    {"true_depth_percent", 1, 1, true_depth_percent},
    {"standard_hpa", 1, 1, standard_hpa},
    {0},
};
