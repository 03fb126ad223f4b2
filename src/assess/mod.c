/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/mod.h"

#include <math.h>

#include "base/number.h"
#include "replay/switch.h"

#define SLACK_M 0.5

/* As the log states it, NaN if it says nothing. */
static ll_mod stated(const ll_profile *profile, int mix)
{
    const ll_breathed gas = {.known = true, .mix = mix, .o2 = profile->log->mix[mix].o2_fraction};
    ll_mod mod = ll_mod_of(profile, &gas);
    return mod.source == LL_MOD_BUILT_IN ? (ll_mod){NAN, LL_MOD_NONE} : mod;
}

/* The samples of a span's gas that lie within the run time: at the one where it ends it still counts. */
static size_t last_of(const ll_profile *profile, const ll_breathed *gas)
{
    return gas->end < profile->surfacing ? gas->end : profile->surfacing;
}

/* The first sample of a mix that is deeper than this, and the deepest one from there on; false if none is. */
static bool find_deeper(const ll_profile *profile, int mix, double limit_m, size_t *first, double *deepest_m)
{
    *deepest_m = limit_m;
    bool any = false;
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        size_t from = gas->first > profile->leaving ? gas->first : profile->leaving;
        for (size_t i = from; gas->mix == mix && !gas->loop && i <= last_of(profile, gas); i++) {
            if (!(profile->depth_m[i] > limit_m))
                continue;
            if (!any)
                *first = i;
            any = true;
            *deepest_m = fmax(*deepest_m, profile->depth_m[i]);
        }
    }
    return any;
}

bool ll_mod_note(const ll_profile *profile, ll_arena *arena, ll_notes *notes)
{
    bool fine = true;
    for (size_t m = 0; fine && profile->has_run_time && m < profile->log->mixes; m++) {
        char deepest[LL_PRINTED], from[LL_PRINTED], greatest[LL_PRINTED];
        const ll_mod mod = stated(profile, (int)m);
        size_t first;
        double deepest_m;
        if (isnan(mod.depth_m) || !find_deeper(profile, (int)m, mod.depth_m + SLACK_M, &first, &deepest_m))
            continue;
        fine = ll_note_add(notes, arena, LL_NOTE_DEEPER_THAN_MOD, profile->dive->line, profile->log->mix[m].label,
                           ll_tenths_print(deepest, deepest_m), ll_tenths_print(from, profile->time_s[first]),
                           ll_tenths_print(greatest, mod.depth_m),
                           mod.source == LL_MOD_STATED_PO2 ? "where it has the greatest PO2 that the log states for it"
                                                           : "the greatest depth that the log states for it");
    }
    return fine;
}
