/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/switch.h"

#include <math.h>

#include "base/units.h"
#include "model/gas.h"

#define HIGHEST_PO2_ATM 1.6 /* NOAA Diving Program notice 2015: decompression */
#define OXYGEN 0.95
#define BREAK_S 600.0       /* common practice, no source */
#define BREAK_M 1.5

bool ll_is_switch(const ll_profile *profile, size_t span)
{
    const ll_breathed *gas = &profile->breathed[span];
    return profile->has_run_time && span > 0 && gas->mix != gas[-1].mix && gas->first > profile->leaving &&
           gas->first < profile->surfacing;
}

bool ll_is_oxygen_break(const ll_profile *profile, size_t span)
{
    if (span == 0 || span + 1 >= profile->breathed_count)
        return false;
    const ll_breathed *gas = &profile->breathed[span], *before = gas - 1, *after = gas + 1;
    bool known = gas->known && before->known && !gas->loop && !before->loop && !after->loop;
    if (!known || before->o2 < OXYGEN || gas->o2 >= before->o2 || after->mix != before->mix)
        return false;
    const double *time = profile->time_s, *depth = profile->depth_m;
    bool on_ascent = profile->has_run_time && gas->first >= profile->ascent_start && after->first <= profile->surfacing;
    return on_ascent && time[gas->end] - time[gas->first] <= BREAK_S &&
           fabs(depth[gas->end] - depth[gas->first]) < BREAK_M;
}

ll_mod ll_mod_of(const ll_profile *profile, const ll_breathed *gas)
{
    if (!gas->known || gas->loop || !(gas->o2 > 0))
        return (ll_mod){NAN, LL_MOD_NONE};
    const ll_mix *mix = gas->mix == LL_MIX_UNKNOWN ? NULL : &profile->log->mix[gas->mix];
    bool by_po2 = mix && mix->maximum_po2_bar > 0, by_depth = mix && mix->maximum_depth_m > 0;
    double highest_bar = by_po2 ? mix->maximum_po2_bar : HIGHEST_PO2_ATM * LL_BAR_PER_ATM;
    ll_mod mod = {fmax(ll_mod_m(gas->o2, highest_bar, profile->surface_bar, profile->bar_per_m), 0),
                  by_po2 ? LL_MOD_STATED_PO2 : LL_MOD_BUILT_IN};
    if (by_depth && !(by_po2 && mod.depth_m < mix->maximum_depth_m))
        mod = (ll_mod){mix->maximum_depth_m, LL_MOD_STATED_DEPTH};
    return mod;
}
