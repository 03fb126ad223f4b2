/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/quantity.h"

#include <string.h>

#define BUEHLMANN "Buehlmann, Voellm, Nussberger, Tauchmedizin, 4th ed. 1995 (ZH-L16)"
#define GRADIENT "Baker 1998, Clearing up the confusion about deep stops"

const ll_quantity_row ll_quantity_table[LL_QUANTITIES] = {
    [LL_TIME] = {"time_s", "s", "time since the start of the record", 0, LL_NO_LIMIT, "the record"},
    [LL_DEPTH] = {"depth_m", "m", "depth", 1, LL_UPPER_LIMIT, "the record"},
    [LL_AMBIENT] = {"ambient_bar", "bar", "ambient pressure", 2, LL_NO_LIMIT, "hydrostatics; EN 13319:2000"},
    [LL_MIX_O2] = {"mix_o2", "", "oxygen fraction of the mix", 2, LL_NO_LIMIT, "the record"},
    [LL_MIX_HE] = {"mix_he", "", "helium fraction of the mix", 2, LL_NO_LIMIT, "the record"},
    [LL_PO2] = {"po2_atm", "atm", "PO2", 2, LL_UPPER_LIMIT, "Dalton's law"},
    [LL_END_N2] = {"end_n2_m", "m", "END, nitrogen only", 1, LL_UPPER_LIMIT, "Dalton's law; air 79 % nitrogen"},
    [LL_END_N2O2] = {"end_n2o2_m", "m", "END, nitrogen and oxygen", 1, LL_UPPER_LIMIT, "Dalton's law"},
    [LL_DENSITY] = {"density_g_l", "g/L", "gas density", 1, LL_UPPER_LIMIT, "ideal gas at 0 degrees Celsius"},
    [LL_ASCENT_RATE] = {"ascent_rate_m_min", "m/min", "ascent rate", 1, LL_UPPER_LIMIT, "mean over 15 s"},
    [LL_CEILING] = {"ceiling_m", "m", "ceiling", 1, LL_NO_LIMIT, BUEHLMANN "; " GRADIENT},
    [LL_STOP] = {"stop_m", "m", "stop", 0, LL_NO_LIMIT, "the ceiling in steps of 3 m"},
    [LL_GRADIENT] = {"gradient_percent", "percent", "gradient", 0, LL_UPPER_LIMIT, BUEHLMANN "; " GRADIENT},
    [LL_LEADING] = {"leading_compartment", "", "leading compartment", 0, LL_NO_LIMIT, BUEHLMANN},
    [LL_NO_STOP] = {"no_stop_s", "s", "no-stop time", 0, LL_NO_LIMIT, BUEHLMANN "; " GRADIENT},
    [LL_TIME_TO_SURFACE] = {"time_to_surface_s", "s", "time to surface", 0, LL_NO_LIMIT, BUEHLMANN "; " GRADIENT},
    [LL_CNS] = {"cns_percent", "percent", "CNS", 0, LL_UPPER_LIMIT, "NOAA Diving Manual, 4th ed. 2001, single exposure"},
    [LL_OTU] = {"otu", "", "OTU", 0, LL_UPPER_LIMIT, "Bardin and Lambertsen 1970"},
    [LL_TEMPERATURE] = {"temperature_c", "C", "temperature", 1, LL_NO_LIMIT, "the record"},
    [LL_TISSUES_N2] = {"n2_%d_bar", "bar", "nitrogen in compartment", 3, LL_NO_LIMIT, BUEHLMANN},
    [LL_TISSUES_HE] = {"he_%d_bar", "bar", "helium in compartment", 3, LL_NO_LIMIT, BUEHLMANN},
};

ll_quantity ll_quantity_find(const char *key, size_t length)
{
    for (int q = 0; q < LL_QUANTITIES; q++)
        if (strlen(ll_quantity_table[q].key) == length && memcmp(ll_quantity_table[q].key, key, length) == 0)
            return (ll_quantity)q;
    return LL_QUANTITIES;
}
