/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the replay asked for at each level of an ascent. */
#include "assess/levels.h"

#include <math.h>

#include "replay/column.h"
#include "replay/instants.h"
#include "replay/surface.h"

typedef struct asker {
    const ll_profile *profile;
    const ll_settings *settings;
    ll_gas_choice choice;
    ll_decays decays;
} asker;

/* Adds up the waits of a way up. */
typedef struct stay {
    double level_m, end_m; /* what is no deeper than these is not of the level, and not of what lies before the end */
    double here_s, beyond_s;
} stay;

static bool take_wait(void *context, const ll_way_step *step)
{
    stay *waits = context;
    bool here = step->from_m > waits->level_m;
    if (!here && step->from_m <= waits->end_m)
        return false;
    if (step->from_m - step->to_m <= 0)
        *(here ? &waits->here_s : &waits->beyond_s) += step->seconds;
    return true;
}

/* The waits of the replay's own way up from a sample. */
static stay waits_from(asker *a, const ll_kept *kept, size_t sample, double level_m, double end_m)
{
    const ll_profile *profile = a->profile;
    const ll_breathed *gas = ll_breathed_at(profile, sample);
    const double depth = profile->depth_m[sample];
    const stay unknown = {level_m, end_m, NAN, NAN};
    if (!kept->known || !gas->known)
        return unknown;
    stay waits = {level_m, end_m, 0, 0};
    const ll_way_taker taker = {take_wait, &waits};
    double po2_bar = ll_po2_bar(gas, ll_ambient_bar(profile, depth), ll_recorded_po2_bar(profile, sample));
    ll_way_up way = ll_way_up_told(profile, a->settings, &a->choice, gas, po2_bar, &kept->tissues, kept->anchor_m, depth,
                                   &a->decays, &taker);
    return isnan(way.time_s) ? unknown : waits;
}

/* Until `to_m` is within limits, staying at the level's mean depth on what was breathed up to its end. */
static double short_s(const asker *a, const ll_kept *kept, const ll_level *level, double to_m)
{
    const ll_profile *profile = a->profile;
    const ll_breathed *gas = ll_breathed_at(profile, level->last - 1);
    if (!kept->known || !gas->known)
        return NAN;
    double ambient = ll_ambient_bar(profile, level->mean_m), recorded = ll_recorded_po2_bar(profile, level->last);
    ll_leg legs[LL_MAX_LEGS];
    ll_legs_make(gas, 0, ambient, ambient, (ll_loop_line){recorded, recorded}, legs);
    const ll_factors factors = {profile->gf_low, profile->gf_high, kept->anchor_m, profile->surface_bar,
                                profile->bar_per_m};
    return ll_inert_wait_s(&kept->tissues, &factors, &legs[0], to_m);
}

static void ask(asker *a, const ll_track *track, const ll_levels *levels, size_t l, ll_levels_asked *asked)
{
    const ll_level *level = &levels->level[l];
    const ll_kept *arrival = &asked->keep.at[2 * l], *leaving = arrival + 1;
    bool last = l + 1 == levels->count;
    stay waits = waits_from(a, arrival, level->first, level->mean_m - LL_LEVEL_BAND_M,
                            last ? 0 : level[1].mean_m + LL_LEVEL_BAND_M);
    bool ends = last && !a->profile->has_surfacing;
    asked->at[l] = (ll_level_asked){.stop_m = track->column[LL_STOP][level->first],
                                    .stay_s = waits.here_s,
                                    .beyond_s = waits.beyond_s,
                                    .short_s = ends ? NAN : short_s(a, leaving, level, last ? 0 : level[1].mean_m)};
    if (last)
        asked->still_owed_s = waits_from(a, leaving, level->last, 0, 0).here_s;
}

bool ll_levels_open(const ll_levels *levels, ll_arena *arena, ll_levels_asked *asked)
{
    size_t *sample = ll_arena_array(arena, 2 * levels->count, sizeof *sample);
    ll_kept *at = ll_arena_array(arena, 2 * levels->count, sizeof *at);
    *asked = (ll_levels_asked){.keep = {.count = 2 * levels->count, .sample = sample, .at = at},
                               .at = ll_arena_array(arena, levels->count, sizeof *asked->at),
                               .still_owed_s = NAN};
    if (!sample || !at || !asked->at)
        return false;
    for (size_t l = 0; l < levels->count; l++) {
        sample[2 * l] = levels->level[l].first;
        sample[2 * l + 1] = levels->level[l].last;
        asked->at[l] = (ll_level_asked){NAN, NAN, NAN, NAN};
    }
    return true;
}

bool ll_levels_ask(const ll_track *track, const ll_settings *settings, const ll_levels *levels, ll_arena *arena,
                   ll_levels_asked *asked)
{
    if (levels->count == 0)
        return true;
    asker a = {.profile = track->profile, .settings = settings};
    if (!ll_gas_choice_make(track->profile, arena, &a.choice))
        return false;
    ll_decays_open(&a.decays);
    for (size_t l = 0; l < levels->count; l++)
        ask(&a, track, levels, l, asked);
    return true;
}
