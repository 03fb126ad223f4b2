/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <assert.h>
#include <math.h>

#include "replay/column.h"
#include "replay/dose.h"
#include "replay/surface.h"

/* The columns being filled; NULL where not asked for. */
typedef struct {
    double *ceiling, *stop, *gradient, *leading, *no_stop, *to_surface, *cns, *otu;
    double *n2[LL_COMPARTMENTS], *he[LL_COMPARTMENTS], *headroom[LL_COMPARTMENTS];
} tissue_columns;

typedef struct {
    ll_track *track;
    const ll_settings *settings;
    ll_quantities wanted;
    int compartments;           /* of the model */
    double step_m, last_stop_m; /* of its stops; the last one is at least a step deep */
    tissue_columns to;
    ll_factors factors;
    ll_gas_choice choice;
    ll_walk walk;
    const ll_keep *keep;
    size_t kept; /* of them so far */
    ll_floor floor;
    bool limits; /* any of ceiling, stop, gradient, leading, no-stop, time to surface */
    bool anchor; /* it alone, for the instants */
    bool unclear;     /* sparse: at the last sample the diver may have stood above the ceiling */
    bool left_out;    /* sparse: the last sample, which stood so: */
    ll_inert before;
    ll_factors before_factors;
    double near_until_s;
} tissue_loop;

static bool tissue_series(const double *of[], double *to[], int count, ll_track *track, ll_arena *arena)
{
    for (int c = 0; c < count; c++) {
        of[c] = to[c] = ll_arena_array(arena, track->count, sizeof *to[c]);
        if (!to[c])
            return false;
    }
    return true;
}

static bool open_columns(tissue_loop *loop, ll_quantities wanted, ll_arena *arena)
{
    ll_track *track = loop->track;
    tissue_columns *to = &loop->to;
    bool no_memory = false;
    to->ceiling = ll_column_new(track, LL_CEILING, wanted, arena, &no_memory);
    to->stop = ll_column_new(track, LL_STOP, wanted, arena, &no_memory);
    to->gradient = ll_column_new(track, LL_GRADIENT, wanted, arena, &no_memory);
    to->leading = ll_column_new(track, LL_LEADING, wanted, arena, &no_memory);
    to->no_stop = ll_column_new(track, LL_NO_STOP, wanted, arena, &no_memory);
    to->to_surface = ll_column_new(track, LL_TIME_TO_SURFACE, wanted, arena, &no_memory);
    to->cns = ll_column_new(track, LL_CNS, wanted, arena, &no_memory);
    to->otu = ll_column_new(track, LL_OTU, wanted, arena, &no_memory);
    if ((wanted & LL_SET(LL_TISSUES_N2)) && !tissue_series(track->n2, to->n2, LL_COMPARTMENTS, track, arena))
        return false;
    if ((wanted & LL_SET(LL_TISSUES_HE)) && !tissue_series(track->he, to->he, LL_COMPARTMENTS, track, arena))
        return false;
    if ((wanted & LL_SET_HEADROOM) &&
        !tissue_series(track->headroom, to->headroom, loop->compartments, track, arena))
        return false;
    loop->limits = to->ceiling || to->stop || to->gradient || to->leading || to->no_stop || to->to_surface ||
                   to->headroom[0];
    loop->anchor = !loop->limits && (wanted & LL_SET_INSTANTS);
    return !no_memory;
}

static double stop_depth_m(const tissue_loop *loop, double ceiling_m)
{
    return ceiling_m > 0 ? fmax(ceil((ceiling_m - 1e-6) / loop->step_m) * loop->step_m, loop->last_stop_m) : 0;
}

static const ll_breathed *gas_at(const tissue_loop *loop, size_t sample)
{
    const ll_profile *profile = loop->track->profile;
    size_t span = loop->walk.span;
    while (profile->breathed[span].end <= sample)
        span++;
    return &profile->breathed[span];
}

static double po2_at(const tissue_loop *loop, const ll_breathed *gas, size_t sample)
{
    const ll_profile *profile = loop->track->profile;
    return ll_po2_bar(gas, ll_ambient_bar(profile, profile->depth_m[sample]), ll_recorded_po2_bar(profile, sample));
}

/* What is inspired while staying at a sample's depth. */
static ll_leg stay_at(const ll_profile *profile, const ll_breathed *gas, size_t sample)
{
    if (ll_is_surface_row(profile, sample))
        return ll_surface_leg(0, profile->surface_bar);
    double ambient = ll_ambient_bar(profile, profile->depth_m[sample]);
    double recorded = gas->loop ? ll_recorded_po2_bar(profile, sample) : NAN;
    ll_leg legs[LL_MAX_LEGS];
    ll_legs_make(gas, 0, ambient, ambient, (ll_loop_line){recorded, recorded}, legs);
    return legs[0];
}

double ll_no_stop_s(const ll_profile *profile, const ll_inert *tissues, const ll_breathed *gas, size_t sample)
{
    if (!ll_is_surface_row(profile, sample) && !gas->known)
        return NAN;
    ll_leg stay = stay_at(profile, gas, sample);
    const ll_factors factors = {profile->gf_low, profile->gf_high, 0, profile->surface_bar, profile->bar_per_m};
    return ll_inert_no_stop_s(tissues, &factors, &stay);
}

static bool is_up(const ll_profile *profile, size_t sample)
{
    return ll_is_surface_row(profile, sample) || !(profile->depth_m[sample] > 0) ||
           (profile->has_surfacing && sample == profile->surfacing);
}

static double to_surface_s(tissue_loop *loop, size_t sample)
{
    const ll_profile *profile = loop->track->profile;
    const ll_breathed *gas = gas_at(loop, sample);
    if (!gas->known)
        return NAN;
    return ll_way_up_from(profile, loop->settings, &loop->choice, gas, po2_at(loop, gas, sample),
                          &loop->walk.state.tissues, loop->factors.anchor_m, profile->depth_m[sample],
                          &loop->walk.decays)
        .time_s;
}

static void put_bounds(tissue_loop *loop, size_t sample, const ll_inert *tissues, ll_factors *factors)
{
    const ll_profile *profile = loop->track->profile;
    const tissue_columns *to = &loop->to;
    ll_bounds bounds;
    ll_inert_look(tissues, factors, ll_is_surface_row(profile, sample) ? 0 : profile->depth_m[sample], loop->wanted,
                  &bounds);
    if (to->ceiling)
        to->ceiling[sample] = bounds.ceiling_m;
    if (to->stop)
        to->stop[sample] = stop_depth_m(loop, bounds.ceiling_m);
    if (to->gradient)
        to->gradient[sample] = bounds.gradient_percent;
    if (to->leading)
        to->leading[sample] = bounds.leading;
    for (int c = 0; to->headroom[0] && c < loop->compartments; c++)
        to->headroom[c][sample] = bounds.headroom_bar[c];
}

static void put_limits(tissue_loop *loop, size_t sample)
{
    const ll_profile *profile = loop->track->profile;
    const tissue_columns *to = &loop->to;
    const ll_inert *tissues = &loop->walk.state.tissues;
    put_bounds(loop, sample, tissues, &loop->factors);
    if (to->no_stop)
        to->no_stop[sample] = ll_no_stop_s(profile, tissues, gas_at(loop, sample), sample);
    if (to->to_surface)
        to->to_surface[sample] = is_up(profile, sample) ? 0 : to_surface_s(loop, sample);
}

static void miss_limits(const tissue_loop *loop, size_t sample)
{
    double *const columns[] = {loop->to.ceiling, loop->to.stop, loop->to.gradient, loop->to.leading, loop->to.no_stop};
    for (size_t c = 0; c < sizeof columns / sizeof *columns; c++)
        if (columns[c])
            columns[c][sample] = NAN;
    for (int c = 0; loop->to.headroom[0] && c < loop->compartments; c++)
        loop->to.headroom[c][sample] = NAN;
    if (loop->to.to_surface)
        loop->to.to_surface[sample] = is_up(loop->track->profile, sample) ? 0 : NAN;
}

static bool is_asked(const tissue_loop *loop, size_t sample)
{
    return loop->kept < loop->keep->count && loop->keep->sample[loop->kept] == sample;
}

static void leave_out(tissue_loop *loop, size_t sample)
{
    loop->before = loop->walk.state.tissues;
    loop->before_factors = loop->factors;
    loop->left_out = true;
    miss_limits(loop, sample);
}

/* The sample before one at which the diver may stand above the ceiling: a line runs from the one to the other. */
static void put_before(tissue_loop *loop, size_t sample)
{
    if (loop->left_out)
        put_bounds(loop, sample - 1, &loop->before, &loop->before_factors);
}

static void put_sparse(tissue_loop *loop, size_t sample)
{
    const ll_profile *profile = loop->track->profile;
    const ll_inert *tissues = &loop->walk.state.tissues;
    ll_inert_raise(tissues, &loop->factors, &loop->floor);
    const bool clear = ll_is_surface_row(profile, sample) ||
                       ll_inert_is_clear(tissues, &loop->factors, profile->depth_m[sample]);
    if (!clear)
        put_before(loop, sample);
    if (!clear || loop->unclear)
        loop->near_until_s = profile->time_s[sample] + loop->keep->near_s;
    loop->unclear = !clear;
    if (profile->time_s[sample] > loop->near_until_s && !is_asked(loop, sample)) {
        leave_out(loop, sample);
        return;
    }
    loop->left_out = false;
    put_bounds(loop, sample, tissues, &loop->factors);
}

static void put_state(const tissue_loop *loop, size_t sample)
{
    const ll_state *state = &loop->walk.state;
    for (int c = 0; loop->to.n2[0] && c < LL_COMPARTMENTS; c++)
        loop->to.n2[c][sample] = state->tissues_known ? ll_inert_n2_bar(&state->tissues, c) : NAN;
    for (int c = 0; loop->to.he[0] && c < LL_COMPARTMENTS; c++)
        loop->to.he[c][sample] = state->tissues_known ? ll_inert_he_bar(&state->tissues, c) : NAN;
    if (loop->to.cns)
        loop->to.cns[sample] = loop->walk.doses.complete ? state->cns_percent : NAN;
    if (loop->to.otu)
        loop->to.otu[sample] = loop->walk.doses.complete ? loop->walk.doses.otu : NAN;
}

/* The two instants that a debrief asks about. */
static void keep_instants(tissue_loop *loop, size_t sample)
{
    ll_track *track = loop->track;
    const ll_profile *profile = track->profile;
    const ll_state *state = &loop->walk.state;
    if (!profile->has_run_time)
        return;
    if (sample == profile->ascent_start) {
        track->at_ascent_start = state->tissues;
        track->tissues_at_ascent_start = state->tissues_known;
        track->anchor_at_ascent_start_m = loop->factors.anchor_m;
    }
    if (sample == profile->surfacing) {
        track->at_surfacing = state->tissues;
        track->tissues_at_surfacing = state->tissues_known;
        track->cns_at_surfacing_percent = state->cns_percent;
        track->anchor_at_surfacing_m = loop->factors.anchor_m;
    }
}

static void keep_asked(tissue_loop *loop, size_t sample)
{
    const ll_keep *keep = loop->keep;
    const ll_state *state = &loop->walk.state;
    if (!is_asked(loop, sample))
        return;
    if (keep->at)
        keep->at[loop->kept] = (ll_kept){state->tissues, state->tissues_known, loop->factors.anchor_m};
    loop->kept++;
}

static void walk_through(tissue_loop *loop)
{
    for (size_t i = 0; i < loop->track->count; i++) {
        if (i > 0)
            ll_walk_step(&loop->walk, i - 1);
        if (loop->limits && loop->keep->sparse && loop->walk.state.tissues_known)
            put_sparse(loop, i);
        else if (loop->limits && loop->walk.state.tissues_known)
            put_limits(loop, i);
        else if (loop->limits)
            miss_limits(loop, i);
        else if (loop->anchor && loop->walk.state.tissues_known)
            ll_inert_raise(&loop->walk.state.tissues, &loop->factors, &loop->floor);
        put_state(loop, i);
        keep_instants(loop, i);
        keep_asked(loop, i);
    }
}

static void miss_doses(tissue_loop *loop)
{
    loop->walk.doses = (ll_doses){false, NAN, NAN};
    loop->walk.state.cns_percent = loop->track->cns_at_surfacing_percent = NAN;
}

bool ll_columns_of_tissue(ll_track *track, const ll_settings *settings, const ll_state *start, ll_quantities wanted,
                          const ll_keep *keep, ll_arena *arena)
{
    const ll_profile *profile = track->profile;
    const double step_m = ll_inert_step_m(start->tissues.model, profile->bar_per_m);
    tissue_loop loop = {
        .track = track,
        .settings = settings,
        .keep = keep,
        .wanted = wanted,
        .compartments = ll_inert_table[start->tissues.model]->compartments,
        .step_m = step_m,
        .last_stop_m = fmax(settings->last_stop_m, step_m),
        .near_until_s = -INFINITY,
        .factors = {.low = profile->gf_low,
                    .high = profile->gf_high,
                    .surface_bar = profile->surface_bar,
                    .bar_per_m = profile->bar_per_m},
    };
    if (!open_columns(&loop, wanted, arena))
        return false;
    if (loop.to.to_surface && !ll_gas_choice_make(profile, arena, &loop.choice))
        return false;
    assert(!keep->sparse || !(loop.to.no_stop || loop.to.to_surface || loop.to.headroom[0]));
    ll_walk_open(&loop.walk, profile, start);
    loop.walk.no_doses = keep->sparse && !(wanted & (LL_SET(LL_CNS) | LL_SET(LL_OTU)));
    walk_through(&loop);
    if (loop.walk.no_doses)
        miss_doses(&loop);
    track->doses = loop.walk.doses;
    track->end = loop.walk.state;
    track->end.cns_lower_bound = track->end.cns_lower_bound || loop.walk.above_table;
    track->cns_above_table = loop.walk.above_table;
    return true;
}
