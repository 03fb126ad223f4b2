/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/gas.h"

const char *const ll_gas_remark_texts[LL_GAS_REMARKS] = {
    [LL_GAS_NO_PRESSURE] = "no pressures are known at both ends",
    [LL_GAS_NO_MIX] = "no known mix belongs to it",
    [LL_GAS_NO_VOLUME] = "the volume of the tank is not known",
    [LL_GAS_LOOP] = "on a loop there is no rate of breathing from a tank",
    [LL_GAS_NOT_BREATHED] = "the record names no time in which it was breathed from",
    [LL_GAS_ROSE] = "more was in it at the end than at the start",
    [LL_GAS_SHARED] =
        "several tanks hold this mix, and which was breathed when is not recorded: the rate is that of the mix",
    [LL_GAS_SHARED_UNKNOWN] = "another tank holds the same mix, and what it gave is not known",
    [LL_GAS_NO_TANK] = "no tank of the mix in use is known",
    [LL_GAS_NOT_READ] = "the pressure of a tank of the mix in use is not recorded then",
    [LL_GAS_BEYOND] = "the way to the surface is not known",
};

const char *const ll_gas_moment_names[3] = {"ascent-start", "switch", "surfacing"};

const char *ll_tank_use_name(const ll_log *log, const ll_tank_use *use)
{
    const ll_tank *tank = use->tank == LL_NONE ? NULL : &log->tank[use->tank];
    if (tank && tank->name && tank->name[0])
        return tank->name;
    return tank && tank->id && tank->id[0] ? tank->id : use->id;
}

const char *ll_tank_name(const ll_log *log, const ll_dive *dive, const ll_series *readings)
{
    return readings->tank_use == LL_NONE ? readings->ref : ll_tank_use_name(log, &dive->tank_use[readings->tank_use]);
}
