/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/models.h"

#include <math.h>

#include "assess/further.h"
#include "replay/column.h"

static const double factor_sets[LL_FACTOR_SETS][2] = {{30, 70}, {50, 80}, {85, 95}, {100, 100}};
static const char *const set_names[] = {"ZH-L16A", "ZH-L16B", "ZH-L16C"};

/* All models on their way down, to the start of the ascent. */
typedef struct passage {
    const ll_profile *profile;
    const ll_settings *settings;
    ll_tissues tissues;
    ll_decays decays;
    int running; /* anchors that run with the samples */
    ll_factors *factors[LL_FACTOR_SETS];
    ll_factors of_set[LL_FACTOR_SETS];
    bool covered[LL_FURTHER_MODELS];
    ll_further_tissues further[LL_FURTHER_MODELS];
} passage;

static bool is_own(const ll_profile *profile, const double set[2])
{
    return fabs(profile->gf_low * 100 - set[0]) < 1e-9 && fabs(profile->gf_high * 100 - set[1]) < 1e-9;
}

/* --- the way down --------------------------------------------------------------------------------------------- */

static void breathe(passage *down, const ll_passage_leg *legs, int count)
{
    for (int i = 0; i < count && down->running > 0; i++)
        ll_leg_breathe(&down->tissues, &legs[i].breathed, &down->decays);
    for (int m = 0; m < LL_FURTHER_MODELS; m++)
        if (down->covered[m])
            ll_further_breathe(&ll_further_models[m], &down->further[m], legs, count);
}

static void raise_anchors(passage *down)
{
    ll_load load;
    if (down->running > 0)
        ll_load_make(&load, ll_coefficients_of(down->settings->model), &down->tissues);
    for (int i = 0; i < down->running; i++)
        ll_anchor_raise(down->factors[i], &load);
}

static void go_down(passage *down)
{
    const ll_profile *profile = down->profile;
    ll_passage way;
    ll_passage_leg legs[LL_MAX_LEGS];
    ll_passage_open(&way, profile);
    breathe(down, legs, ll_passage_before(&way, legs));
    raise_anchors(down);
    for (size_t i = 0; i < profile->ascent_start; i++) {
        breathe(down, legs, ll_passage_legs(&way, i, legs));
        raise_anchors(down);
    }
}

/* An anchor is walked for where it is not the replay's own and where factors run with depth. */
static void open_passage(passage *down, const ll_track *track, const ll_settings *settings, const ll_state *start)
{
    const ll_profile *profile = track->profile;
    *down = (passage){.profile = profile, .settings = settings, .tissues = start->tissues};
    ll_decays_open(&down->decays);
    for (int i = 0; i < LL_FACTOR_SETS; i++) {
        const double *set = factor_sets[i];
        down->of_set[i] = (ll_factors){set[0] / 100, set[1] / 100, 0, profile->surface_bar, profile->bar_per_m};
        if (set[0] < set[1] && !is_own(profile, set))
            down->factors[down->running++] = &down->of_set[i];
    }
    for (int m = 0; m < LL_FURTHER_MODELS; m++) {
        down->covered[m] = ll_further_is_covered(&ll_further_models[m], profile);
        ll_further_models[m].rest(&down->further[m], profile->surface_bar);
    }
}

/* --- the ways up ---------------------------------------------------------------------------------------------- */

/* Where all ways begin. */
typedef struct ascent {
    const ll_track *track;
    const ll_settings *settings;
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

static ll_way_up way_with(const ascent *up, const ll_factors *factors)
{
    ll_profile profile = *up->track->profile;
    profile.gf_low = factors->low;
    profile.gf_high = factors->high;
    return ll_way_up_from(&profile, up->settings, &up->choice, up->gas, up->po2_bar, &up->track->at_ascent_start,
                          factors->anchor_m, up->depth_m, up->decays);
}

static ll_model_row *add_row(ll_models *models, const char *key, const char *name)
{
    ll_model_row *row = &models->row[models->count++];
    *row = (ll_model_row){key, name, NAN, NAN, false, NULL, {NAN, NAN, NAN}};
    return row;
}

static void add_factors(ll_models *models, const ll_settings *settings, double low_percent, double high_percent,
                        bool as_replayed, ll_way_up way)
{
    ll_model_row *row = add_row(models, ll_model_names[settings->model], set_names[settings->model]);
    row->gf_low_percent = low_percent;
    row->gf_high_percent = high_percent;
    row->as_replayed = as_replayed;
    row->way = way;
}

static void add_sets(ll_models *models, const passage *down, const ascent *up, const ll_way_up *owed)
{
    const ll_profile *profile = down->profile;
    bool listed = false;
    for (int i = 0; i < LL_FACTOR_SETS; i++)
        listed = listed || is_own(profile, factor_sets[i]);
    if (!listed)
        add_factors(models, up->settings, profile->gf_low * 100, profile->gf_high * 100, true, *owed);
    for (int i = 0; i < LL_FACTOR_SETS; i++) {
        bool own = is_own(profile, factor_sets[i]);
        add_factors(models, up->settings, factor_sets[i][0], factor_sets[i][1], own,
                    own ? *owed : way_with(up, &down->of_set[i]));
    }
}

static void add_further(ll_models *models, const passage *down, const ascent *up)
{
    for (int m = 0; m < LL_FURTHER_MODELS; m++) {
        const ll_further_model *model = &ll_further_models[m];
        ll_model_row *row = add_row(models, model->key, model->name);
        if (!down->covered[m])
            row->covers = model->covers;
        else
            row->way = ll_further_way_up(model, down->profile, &up->choice, up->gas, up->po2_bar, &down->further[m],
                                         up->depth_m);
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
    open_passage(&down, track, settings, start);
    if (!open_ascent(&up, track, settings, arena))
        return false;
    go_down(&down);
    up.decays = &down.decays;
    add_sets(models, &down, &up, owed);
    add_further(models, &down, &up);
    add_range(models);
    return true;
}
