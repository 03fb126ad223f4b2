/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/switches.h"

#include <math.h>

#include "base/units.h"
#include "replay/column.h"
#include "replay/leg.h"

#define AROUND_S 30.0
#define HELD_M 1.0
#define ROUNDING_M 1e-9 /* depths are decimals */

/* The id as the log names it at a sample. */
static const char *named_at(const ll_profile *profile, size_t sample, int mix)
{
    const ll_dive *dive = profile->dive;
    for (size_t i = 0; i < dive->switches; i++)
        if (dive->change[i].sample == sample)
            return dive->change[i].ref;
    return mix == LL_MIX_UNKNOWN ? "" : profile->log->mix[mix].id;
}

/* --- order ---------------------------------------------------------------------------------------------------------- */

static ll_switch_order order_of(const ll_profile *profile, size_t span)
{
    const ll_breathed *gas = &profile->breathed[span], *before = gas - 1;
    if (ll_is_oxygen_break(profile, span))
        return LL_SWITCH_BREAK;
    if (ll_is_oxygen_break(profile, span - 1))
        return LL_SWITCH_BACK;
    if (!gas->known || !before->known || fabs(gas->o2 - before->o2) <= 0)
        return LL_SWITCH_UNKNOWN;
    return gas->o2 > before->o2 ? LL_SWITCH_RICHER : LL_SWITCH_LEANER;
}

/* --- depth ---------------------------------------------------------------------------------------------------------- */

static double depth_at(const ll_profile *profile, size_t before, double time_s)
{
    const double *time = profile->time_s, *depth = profile->depth_m;
    double share = (time_s - time[before]) / (time[before + 1] - time[before]);
    return depth[before] + share * (depth[before + 1] - depth[before]);
}

/* Over the minute around a sample, its ends between samples included. */
static double farthest_off_m(const ll_profile *profile, size_t at)
{
    const double *time = profile->time_s, *depth = profile->depth_m;
    const double from = time[at] - AROUND_S, to = time[at] + AROUND_S;
    double off = 0;
    size_t i = at;
    for (; i > 0 && time[i - 1] >= from; i--)
        off = fmax(off, fabs(depth[i - 1] - depth[at]));
    if (i > 0)
        off = fmax(off, fabs(depth_at(profile, i - 1, from) - depth[at]));
    for (i = at; i + 1 < profile->count && time[i + 1] <= to; i++)
        off = fmax(off, fabs(depth[i + 1] - depth[at]));
    if (i + 1 < profile->count)
        off = fmax(off, fabs(depth_at(profile, i, to) - depth[at]));
    return off;
}

static double po2_atm(const ll_profile *profile, const ll_breathed *gas, size_t sample)
{
    double ambient = ll_ambient_bar(profile, profile->depth_m[sample]);
    double recorded = gas->loop ? ll_recorded_po2_bar(profile, sample) : NAN;
    return gas->known ? ll_po2_bar(gas, ambient, recorded) / LL_BAR_PER_ATM : NAN;
}

/* --- the list ------------------------------------------------------------------------------------------------------- */

static ll_switch_shown show_switch(const ll_profile *profile, size_t span)
{
    const ll_breathed *gas = &profile->breathed[span];
    const size_t at = gas->first;
    ll_switch_shown shown = {.time_s = profile->time_s[at],
                             .depth_m = profile->depth_m[at],
                             .mix = gas->mix,
                             .to = named_at(profile, at, gas->mix),
                             .po2_atm = po2_atm(profile, gas, at),
                             .po2_before_atm = po2_atm(profile, gas - 1, at),
                             .mod = ll_mod_of(profile, gas),
                             .off_m = farthest_off_m(profile, at),
                             .on_ascent = at >= profile->ascent_start,
                             .order = order_of(profile, span)};
    shown.held = shown.off_m <= HELD_M + ROUNDING_M;
    return shown;
}

bool ll_switches_list(const ll_profile *profile, ll_arena *arena, size_t *count, const ll_switch_shown **list)
{
    ll_switch_shown *shown = ll_arena_array(arena, profile->breathed_count, sizeof *shown);
    *count = 0;
    *list = shown;
    for (size_t s = 1; shown && s < profile->breathed_count; s++)
        if (ll_is_switch(profile, s))
            shown[(*count)++] = show_switch(profile, s);
    return shown != NULL;
}
