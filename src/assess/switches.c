/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/switches.h"

#include <math.h>

#include "base/units.h"
#include "model/gas.h"
#include "replay/column.h"
#include "replay/leg.h"

#define AROUND_S 30.0
#define HELD_M 1.0
#define ROUNDING_M 1e-9     /* depths are decimals */
#define HIGHEST_PO2_ATM 1.6 /* NOAA Diving Program notice 2015: decompression */
#define OXYGEN 0.95
#define BREAK_S 600.0       /* common practice, no source */
#define BREAK_M 1.5

static bool in_run_time(const ll_profile *profile, const ll_breathed *gas)
{
    return profile->has_run_time && gas->end > profile->leaving && gas->first < profile->surfacing;
}

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

static void put_mod(const ll_profile *profile, const ll_breathed *gas, ll_switch_shown *shown)
{
    shown->mod_m = shown->above_mod_m = NAN;
    if (!gas->known || gas->loop || !(gas->o2 > 0))
        return;
    const ll_mix *mix = gas->mix == LL_MIX_UNKNOWN ? NULL : &profile->log->mix[gas->mix];
    bool by_po2 = mix && mix->maximum_po2_bar > 0, by_depth = mix && mix->maximum_depth_m > 0;
    double highest_bar = by_po2 ? mix->maximum_po2_bar : HIGHEST_PO2_ATM * LL_BAR_PER_ATM;
    shown->mod_m = ll_mod_m(gas->o2, highest_bar, profile->surface_bar, profile->bar_per_m);
    shown->mod_source = by_po2 ? LL_MOD_STATED_PO2 : LL_MOD_BUILT_IN;
    if (by_depth && !(by_po2 && shown->mod_m < mix->maximum_depth_m)) {
        shown->mod_m = mix->maximum_depth_m;
        shown->mod_source = LL_MOD_STATED_DEPTH;
    }
    shown->above_mod_m = shown->mod_m - shown->depth_m;
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
                             .off_m = farthest_off_m(profile, at),
                             .on_ascent = at >= profile->ascent_start,
                             .order = order_of(profile, span)};
    shown.held = shown.off_m <= HELD_M + ROUNDING_M;
    put_mod(profile, gas, &shown);
    return shown;
}

bool ll_switches_list(const ll_profile *profile, ll_arena *arena, size_t *count, const ll_switch_shown **list)
{
    ll_switch_shown *shown = ll_arena_array(arena, profile->breathed_count, sizeof *shown);
    *count = 0;
    *list = shown;
    for (size_t s = 1; shown && s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        if (gas->mix != gas[-1].mix && gas->first > profile->leaving && in_run_time(profile, gas))
            shown[(*count)++] = show_switch(profile, s);
    }
    return shown != NULL;
}
