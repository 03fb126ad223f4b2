/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/mod.h"

#include <math.h>

#include "base/number.h"

#define SLACK_M 0.5

/* The greatest depth of a mix as stated, NaN if the log says nothing. */
typedef struct {
    double depth_m;
    bool by_po2;
} stated_mod;

static stated_mod mod_of(const ll_profile *profile, const ll_mix *mix)
{
    stated_mod mod = {mix->maximum_depth_m > 0 ? mix->maximum_depth_m : NAN, false};
    if (!(mix->maximum_po2_bar > 0) || !(mix->o2_fraction > 0))
        return mod;
    double by_po2_m = (mix->maximum_po2_bar / mix->o2_fraction - profile->surface_bar) / profile->bar_per_m;
    return mod.depth_m <= by_po2_m ? mod : (stated_mod){fmax(by_po2_m, 0), true};
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

static const char *figure(ll_arena *arena, double value)
{
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    ll_number_add(&text, round(value * 10) / 10);
    const char *string = ll_text_string(&text);
    const char *kept = string ? ll_arena_text(arena, string) : NULL;
    ll_text_close(&text);
    return kept ? kept : "?";
}

bool ll_mod_note(const ll_profile *profile, ll_arena *arena, ll_notes *notes)
{
    bool fine = true;
    for (size_t m = 0; fine && profile->has_run_time && m < profile->log->mixes; m++) {
        const ll_mix *mix = &profile->log->mix[m];
        stated_mod mod = mod_of(profile, mix);
        size_t first;
        double deepest_m;
        if (isnan(mod.depth_m) || !find_deeper(profile, (int)m, mod.depth_m + SLACK_M, &first, &deepest_m))
            continue;
        fine = ll_note_add(notes, arena, LL_NOTE_DEEPER_THAN_MOD, profile->dive->line, mix->label,
                           figure(arena, deepest_m), figure(arena, profile->time_s[first]), figure(arena, mod.depth_m),
                           mod.by_po2 ? "where it has the greatest PO2 that the log states for it"
                                      : "the greatest depth that the log states for it");
    }
    return fine;
}
