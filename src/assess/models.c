/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/models.h"

#include <math.h>

#include "replay/column.h"
#include "replay/passage.h"

static const double factor_sets[LL_FACTOR_SETS][2] = {{30, 70}, {50, 80}, {85, 95}, {100, 100}};
static const ll_model further_models[LL_FURTHER_MODELS] = {LL_VVAL_18, LL_MN90};

/* All models on their way down, to the start of the ascent. */
typedef struct passage {
    const ll_profile *profile;
    ll_inert zh_l16;
    ll_decays decays;
    int running; /* anchors that run with the samples */
    ll_factors *factors[LL_FACTOR_SETS];
    ll_factors of_set[LL_FACTOR_SETS];
    bool covered[LL_FURTHER_MODELS];
    ll_inert further[LL_FURTHER_MODELS];
} passage;

static bool is_own(const ll_track *track, const double set[2])
{
    const ll_profile *profile = track->profile;
    return ll_model_table[track->end.tissues.model].has_factors && fabs(profile->gf_low * 100 - set[0]) < 1e-9 &&
           fabs(profile->gf_high * 100 - set[1]) < 1e-9;
}

/* --- the way down --------------------------------------------------------------------------------------------- */

static void breathe(passage *down, const ll_leg *legs, int count)
{
    for (int i = 0; i < count; i++) {
        if (down->running > 0)
            ll_inert_breathe(&down->zh_l16, &legs[i], &down->decays);
        for (int m = 0; m < LL_FURTHER_MODELS; m++)
            if (down->covered[m])
                ll_inert_breathe(&down->further[m], &legs[i], &down->decays);
    }
}

static void raise_anchors(passage *down)
{
    ll_load load;
    if (down->running > 0)
        ll_load_make(&load, ll_coefficients_of((int)down->zh_l16.model), &down->zh_l16.zh_l16);
    for (int i = 0; i < down->running; i++)
        ll_anchor_raise(down->factors[i], &load);
}

static void go_down(passage *down)
{
    ll_passage way;
    ll_leg legs[LL_MAX_LEGS];
    int before;
    ll_passage_open(&way, down->profile, legs, &before);
    breathe(down, legs, before);
    raise_anchors(down);
    for (size_t i = 0; i < down->profile->ascent_start; i++) {
        breathe(down, legs, ll_passage_legs(&way, i, legs));
        raise_anchors(down);
    }
}

/* An anchor is walked for where it is not the replay's own and where factors run with depth. */
static void open_passage(passage *down, const ll_track *track, const ll_state *start)
{
    const ll_profile *profile = track->profile;
    *down = (passage){.profile = profile, .zh_l16 = start->tissues};
    if (!ll_model_table[start->tissues.model].has_factors)
        ll_inert_rest(&down->zh_l16, LL_ZH_L16C, profile->surface_bar);
    ll_decays_open(&down->decays);
    for (int i = 0; i < LL_FACTOR_SETS; i++) {
        const double *set = factor_sets[i];
        down->of_set[i] = (ll_factors){set[0] / 100, set[1] / 100, 0, profile->surface_bar, profile->bar_per_m};
        if (set[0] < set[1] && !is_own(track, set))
            down->factors[down->running++] = &down->of_set[i];
    }
    for (int m = 0; m < LL_FURTHER_MODELS; m++) {
        down->covered[m] = !ll_inert_uncovered(further_models[m], profile);
        ll_inert_rest(&down->further[m], further_models[m], profile->surface_bar);
    }
}

/* --- the ways up ---------------------------------------------------------------------------------------------- */

/* Where all ways begin. */
typedef struct ascent {
    const ll_track *track;
    const ll_settings *settings;
    const ll_way_up *owed;
    ll_gas_choice choice;
    const ll_breathed *gas;
    double depth_m, po2_bar;
    ll_decays *decays;
} ascent;

static bool open_ascent(ascent *up, const ll_track *track, const ll_settings *settings, ll_arena *arena)
{
    const ll_profile *profile = track->profile;
    const size_t at = profile->ascent_start;
    *up = (ascent){.track = track, .settings = settings};
    up->gas = ll_breathed_at(profile, at);
    up->depth_m = profile->depth_m[at];
    up->po2_bar = ll_po2_bar(up->gas, ll_ambient_bar(profile, up->depth_m), ll_recorded_po2_bar(profile, at));
    return ll_gas_choice_make(profile, arena, &up->choice);
}

static ll_way_up way_with(const ascent *up, const ll_inert *tissues, double gf_low, double gf_high, double anchor_m)
{
    ll_profile profile = *up->track->profile;
    profile.gf_low = gf_low;
    profile.gf_high = gf_high;
    return ll_way_up_from(&profile, up->settings, &up->choice, up->gas, up->po2_bar, tissues, anchor_m, up->depth_m,
                          up->decays);
}

static ll_model_row *add_row(ll_models *models, ll_model model)
{
    ll_model_row *row = &models->row[models->count++];
    *row = (ll_model_row){model, NAN, NAN, false, NULL, {NAN, NAN, NAN}};
    return row;
}

static void add_factors(ll_models *models, ll_model model, double low_percent, double high_percent, bool as_replayed,
                        ll_way_up way)
{
    ll_model_row *row = add_row(models, model);
    row->gf_low_percent = low_percent;
    row->gf_high_percent = high_percent;
    row->as_replayed = as_replayed;
    row->way = way;
}

static void add_sets(ll_models *models, const passage *down, const ascent *up)
{
    const ll_profile *profile = down->profile;
    const ll_inert *replayed = &up->track->at_ascent_start;
    bool has_factors = ll_model_table[replayed->model].has_factors, listed = !has_factors;
    const ll_inert *from = has_factors ? replayed : &down->zh_l16;
    for (int i = 0; i < LL_FACTOR_SETS; i++)
        listed = listed || is_own(up->track, factor_sets[i]);
    if (!listed)
        add_factors(models, from->model, profile->gf_low * 100, profile->gf_high * 100, true, *up->owed);
    for (int i = 0; i < LL_FACTOR_SETS; i++) {
        const ll_factors *set = &down->of_set[i];
        bool own = is_own(up->track, factor_sets[i]);
        add_factors(models, from->model, factor_sets[i][0], factor_sets[i][1], own,
                    own ? *up->owed : way_with(up, from, set->low, set->high, set->anchor_m));
    }
}

static void add_further(ll_models *models, const passage *down, const ascent *up)
{
    for (int m = 0; m < LL_FURTHER_MODELS; m++) {
        ll_model_row *row = add_row(models, further_models[m]);
        row->as_replayed = further_models[m] == up->track->at_ascent_start.model;
        if (row->as_replayed)
            row->way = *up->owed;
        else if (down->covered[m])
            row->way = way_with(up, &down->further[m], 1, 1, 0);
        else
            row->covers = ll_inert_table[further_models[m]]->covers;
    }
}

static void add_range(ll_models *models)
{
    models->least_owed_s = INFINITY;
    models->greatest_owed_s = 0;
    for (size_t i = 0; i < models->count; i++) {
        const ll_model_row *row = &models->row[i];
        if (row->covers)
            continue;
        models->least_owed_s = fmin(models->least_owed_s, row->way.owed_s);
        bool larger = isnan(row->way.owed_s) || row->way.owed_s > models->greatest_owed_s;
        if (larger)
            models->greatest_owed_s = row->way.owed_s;
    }
    if (isinf(models->least_owed_s))
        models->least_owed_s = NAN;
}

bool ll_models_make(const ll_track *track, const ll_settings *settings, const ll_state *start, bool owed_known,
                    const ll_way_up *owed, ll_arena *arena, ll_models *models)
{
    *models = (ll_models){.known = owed_known, .least_owed_s = NAN, .greatest_owed_s = NAN};
    if (!owed_known)
        return true;
    passage down;
    ascent up;
    open_passage(&down, track, start);
    if (!open_ascent(&up, track, settings, arena))
        return false;
    go_down(&down);
    up.decays = &down.decays;
    up.owed = owed;
    add_sets(models, &down, &up);
    add_further(models, &down, &up);
    add_range(models);
    return true;
}
