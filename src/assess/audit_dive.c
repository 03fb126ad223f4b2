/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the audit knows of one dive: from its replay, else from what the log states. */
#include <math.h>

#include "assess/audit_parts.h"
#include "assess/debrief.h"
#include "finding/firm.h"

#define HELIUM_BELOW_M 10.0

/* --- what the log states ---------------------------------------------------------------------------------------- */

/* The mixes that the log names for a dive without a profile: whether all, or none, hold helium. None counts that was not
 * breathed below 10 m. */
static ll_known stated_helium(const ll_log *log, const ll_dive *dive)
{
    size_t named = 0, with = 0;
    if (dive->stated_greatest_m <= HELIUM_BELOW_M)
        return LL_NO;
    for (size_t i = 0; i < dive->tank_uses; i++) {
        int mix = dive->tank_use[i].mix;
        if (mix == LL_NONE || !log->mix[mix].usable)
            return LL_UNSETTLED;
        named++;
        with += log->mix[mix].he_fraction > 0;
    }
    if (named == 0)
        return LL_UNSETTLED;
    if (with == 0)
        return LL_NO;
    return with == named && dive->stated_greatest_m > HELIUM_BELOW_M ? LL_YES : LL_UNSETTLED;
}

static void take_statement(ll_audit_dive *dive)
{
    const ll_dive *stated = dive->entry->dive;
    dive->greatest_m = stated->stated_greatest_m;
    dive->run_time_s = stated->stated_duration_s;
    dive->helium = stated_helium(dive->entry->log, stated);
}

/* --- what the record shows -------------------------------------------------------------------------------------- */

/* Deeper than 10 m while a gas with helium is breathed. */
static ll_known breathed_helium(const ll_profile *profile)
{
    bool unknown = false;
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        bool deep = false;
        for (size_t i = gas->first; i <= gas->end && i <= profile->surfacing && !deep; i++)
            deep = i >= profile->leaving && profile->depth_m[i] > HELIUM_BELOW_M;
        if (deep && gas->known && gas->he > 0)
            return LL_YES;
        unknown = unknown || (deep && !gas->known);
    }
    return unknown ? LL_UNSETTLED : LL_NO;
}

static ll_known was_on_loop(const ll_profile *profile)
{
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        if (gas->loop && gas->end > profile->leaving && gas->first < profile->surfacing)
            return LL_YES;
    }
    return LL_NO;
}

static size_t count_stages(const ll_debrief *outline)
{
    const ll_dive *dive = outline->entry->dive;
    size_t stages = 0;
    for (size_t i = 0; i < dive->tank_uses; i++)
        stages += dive->tank_use[i].mix != LL_NONE && outline->mix_count && dive->tank_use[i].mix != outline->mixes[0];
    return stages;
}

static void take_outline(const ll_debrief *outline, ll_audit_dive *dive)
{
    const ll_profile *profile = &outline->profile;
    dive->greatest_m = profile->greatest_m;
    dive->run_time_s = profile->has_run_time ? profile->run_time_s : 0;
    dive->interval_s = profile->interval_s;
    dive->mixes = outline->mix_count;
    dive->stages = count_stages(outline);
    dive->switches = (unsigned)outline->switch_count;
    dive->switches_settled = true;
    if (!profile->has_run_time)
        return;
    dive->helium = breathed_helium(profile);
    dive->loop = was_on_loop(profile);
}

/* Levels of a minute or more at whose arrival the replay asked for a stop. */
static double kept_s(const ll_levels *levels, const double *stop_m)
{
    double kept = 0;
    for (size_t i = 0; i < levels->count; i++)
        if (stop_m[levels->level[i].first] > 0)
            kept += levels->level[i].to_s - levels->level[i].from_s;
    return kept;
}

static void take_findings(const ll_findings *findings, ll_audit_dive *dive)
{
    for (size_t i = 0; i < findings->count; i++) {
        const ll_finding *finding = &findings->items[i];
        if (finding->severity > dive->worst[finding->kind])
            dive->worst[finding->kind] = finding->severity;
        if (finding->firm_severity >= LL_AUDIT_FIRM_FROM && finding->firm_severity > dive->firm_worst[finding->kind])
            dive->firm_worst[finding->kind] = finding->firm_severity;
    }
}

/* Firmness is told of recorded dives, and of conduct alone. */
static ll_status find_firm(const ll_audit *audit, const ll_track *track, const ll_audit_dive *dive, ll_arena *scratch,
                           ll_findings *findings, ll_error *error)
{
    if (!audit->history->settings.firm || dive->stand.standing != LL_RECORDED)
        return LL_OK;
    return ll_firm_stand(track, &audit->history->settings, audit->limits, &dive->entry->start,
                         ll_kinds_of(LL_CONDUCT), LL_AUDIT_FIRM_FROM, scratch, findings, error);
}

static ll_status replay(const ll_audit *audit, const ll_debrief *outline, ll_kinds kinds, ll_arena *scratch,
                        ll_audit_dive *dive, ll_error *error)
{
    const ll_settings *settings = &audit->history->settings;
    ll_track track;
    ll_levels levels;
    ll_owed owed;
    ll_findings findings;
    if (!ll_levels_alone(&outline->profile, scratch, &levels))
        return ll_fail_memory(error);
    ll_status status = ll_findings_replay(&outline->profile, settings, audit->limits, &dive->entry->start, kinds,
                                          LL_SET(LL_STOP), &levels, scratch, &track, error);
    if (status != LL_OK)
        return status;
    if (!ll_owed_of(&track, settings, scratch, &owed))
        return ll_fail_memory(error);
    if (owed.known) {
        dive->decompression = owed.required ? LL_YES : LL_NO;
        dive->owed_s = owed.way.owed_s;
        dive->kept_s = kept_s(&levels, track.column[LL_STOP]);
    }
    ll_surfacing surfacing = ll_surfacing_of(&track);
    status = ll_findings_make(&track, settings, audit->limits, &surfacing, kinds, scratch, &findings, error);
    if (status == LL_OK)
        status = find_firm(audit, &track, dive, scratch, &findings, error);
    if (status == LL_OK)
        take_findings(&findings, dive);
    return status;
}

static bool is_replayed(const ll_audit_dive *dive)
{
    return dive->stand.standing == LL_RECORDED ||
           (dive->stand.standing == LL_MERGED && dive->stand.reason == LL_REASON_SAME);
}

ll_status ll_audit_dive_make(const ll_audit *audit, size_t index, ll_kinds kinds, ll_arena *scratch,
                             ll_audit_dive *dive, ll_error *error)
{
    const ll_entry *entry = &audit->history->entry[index];
    dive->entry = entry;
    dive->dated = entry->dive->start.has_date;
    dive->day = dive->dated ? ll_instant_day(&entry->dive->start) : 0;
    dive->interval_s = dive->owed_s = dive->kept_s = NAN;
    if (entry->dive->count == 0) {
        take_statement(dive);
        return LL_OK;
    }
    ll_debrief outline;
    ll_status status = ll_outline_make(audit->history, index, scratch, &outline, error);
    if (status != LL_OK)
        return status;
    take_outline(&outline, dive);
    if (!is_replayed(dive) || !outline.profile.has_run_time)
        return LL_OK;
    return replay(audit, &outline, kinds, scratch, dive, error);
}
