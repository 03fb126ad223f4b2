/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/debrief.h"

#include <math.h>

#include "assess/mod.h"
#include "standard/repex.h"

/* --- peaks ---------------------------------------------------------------------------------------------------- */

static void raise(ll_peak *peak, double value, double time_s)
{
    if (isnan(value) || value <= peak->value)
        return;
    *peak = (ll_peak){value, time_s};
}

static ll_peak find_peak(const ll_track *track, ll_quantity quantity)
{
    const ll_profile *profile = track->profile;
    const double *value = track->column[quantity], *at_span_end = track->at_span_end[quantity];
    ll_peak peak = {NAN, NAN};
    for (size_t i = profile->leaving; i <= profile->surfacing; i++)
        raise(&peak, value[i], profile->time_s[i]);
    for (size_t s = 0; at_span_end && s < profile->breathed_count; s++) {
        size_t end = profile->breathed[s].end;
        if (end > profile->leaving && end <= profile->surfacing)
            raise(&peak, at_span_end[s], profile->time_s[end]);
    }
    return peak;
}

static void find_peaks(ll_debrief *debrief)
{
    for (int q = 0; q < LL_QUANTITIES; q++) {
        bool wanted = ll_debrief_peaks & LL_SET(q);
        debrief->peak[q] = (ll_peak){NAN, NAN};
        if (wanted && debrief->profile.has_run_time)
            debrief->peak[q] = find_peak(&debrief->track, (ll_quantity)q);
    }
    if (debrief->surfacing.known)
        raise(&debrief->peak[LL_GRADIENT], debrief->surfacing.gradient_percent, debrief->surfacing.time_s);
}

/* --- decompression -------------------------------------------------------------------------------------------- */

static ll_status find_owed(ll_debrief *debrief, ll_arena *arena, ll_error *error)
{
    ll_owed owed;
    if (!ll_owed_of(&debrief->track, &debrief->history->settings, arena, &owed))
        return ll_fail_memory(error);
    debrief->decompression_known = owed.known;
    debrief->ascent_start_s = owed.ascent_start_s;
    debrief->ascent_start_depth_m = owed.ascent_start_depth_m;
    debrief->required = owed.required;
    debrief->owed_s = owed.way.owed_s;
    debrief->time_to_surface_s = owed.way.time_s;
    debrief->deepest_stop_m = owed.way.deepest_stop_m;
    return LL_OK;
}

/* --- doses ---------------------------------------------------------------------------------------------------- */

/* Of this dive: all of it, unless it lasted longer than the window. */
static double own_24_h_percent(const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    size_t last = profile->has_run_time ? profile->surfacing : profile->count - 1;
    double window_s = profile->time_s[last] - 24 * 3600.0;
    return window_s > profile->time_s[0] ? ll_replay_dose_24_h(profile, window_s)
                                         : debrief->track.doses.cns_24_h_percent;
}

static void add_doses(ll_debrief *debrief)
{
    const ll_entry *entry = debrief->entry;
    const ll_track *track = &debrief->track;
    bool known = track->doses.complete;
    bool has_run_time = debrief->profile.has_run_time;
    debrief->cns_start_percent = entry->start.cns_percent;
    debrief->cns_end_percent = has_run_time ? track->cns_at_surfacing_percent : track->end.cns_percent;
    debrief->cns_24_h_percent = entry->cns_24_h_before_percent + own_24_h_percent(debrief);
    debrief->otu_dive = track->doses.otu;
    debrief->otu_day = entry->otu_day_before + track->doses.otu;
    debrief->days_in_row = entry->start.days_in_row;
    debrief->otu_row = known ? entry->start.otu_in_row + track->doses.otu : NAN;
    debrief->otu_allowance = ll_repex_allowance(debrief->days_in_row);
    debrief->cns_lower_bound = track->end.cns_lower_bound || entry->cns_24_h_lower_bound;
    if (!known)
        debrief->cns_end_percent = debrief->cns_24_h_percent = debrief->otu_dive = debrief->otu_day = NAN;
}

const ll_quantities ll_debrief_peaks = LL_SET(LL_PO2) | LL_SET(LL_END_N2) | LL_SET(LL_END_N2O2) | LL_SET(LL_DENSITY) |
                                       LL_SET(LL_ASCENT_RATE) | LL_SET(LL_CEILING) | LL_SET(LL_GRADIENT);

ll_status ll_debrief_make(const ll_history *history, size_t index, const ll_limits *limits, ll_arena *arena,
                          ll_debrief *debrief, ll_error *error)
{
    const ll_settings *settings = &history->settings;
    ll_status status = ll_outline_make(history, index, arena, debrief, error);
    debrief->limits = limits;
    if (status != LL_OK || !debrief->has_profile)
        return status;
    if (!ll_mod_note(&debrief->profile, arena, &debrief->notes) ||
        !ll_switches_doubt(&debrief->profile, arena, &debrief->notes) ||
        !ll_levels_find(&debrief->profile, arena, &debrief->levels) ||
        !ll_levels_open(&debrief->levels, arena, &debrief->asked))
        return ll_fail_memory(error);
    status = ll_replay_columns_keeping(&debrief->profile, settings, &debrief->entry->start,
                                       ll_finding_quantities(LL_ALL_KINDS) | ll_debrief_peaks | LL_SET(LL_STOP) |
                                           ll_word_quantities(debrief->entry->dive),
                                       &debrief->asked.keep, arena, &debrief->track, error);
    if (status != LL_OK)
        return status;
    debrief->surfacing = ll_surfacing_of(&debrief->track);
    find_peaks(debrief);
    add_doses(debrief);
    status = find_owed(debrief, arena, error);
    if (status == LL_OK)
        status = ll_gas_use_make(&debrief->profile, settings, &debrief->entry->start, arena, &debrief->notes,
                                 &debrief->gas, error);
    if (status != LL_OK)
        return status;
    status = ll_findings_make(&debrief->track, settings, limits, &debrief->surfacing, LL_ALL_KINDS, arena,
                              &debrief->findings, error);
    if (status != LL_OK || !settings->firm)
        return status;
    return ll_firm_make(&debrief->track, settings, limits, &debrief->entry->start, debrief->required, arena,
                        &debrief->findings, &debrief->firmness, error);
}

ll_status ll_debrief_compare(ll_debrief *debrief, ll_arena *arena, ll_error *error)
{
    if (!debrief->has_profile)
        return LL_OK;
    const ll_settings *settings = &debrief->history->settings;
    const ll_state *start = &debrief->entry->start;
    const ll_way_up owed = {debrief->time_to_surface_s, debrief->owed_s, debrief->deepest_stop_m};
    bool made = ll_levels_ask(&debrief->track, settings, &debrief->levels, arena, &debrief->asked) &&
                ll_word_make(&debrief->track, start, &debrief->findings, arena, &debrief->word) &&
                ll_models_make(&debrief->track, settings, start, debrief->decompression_known, &owed, arena,
                               &debrief->models);
    return made ? LL_OK : ll_fail_memory(error);
}
