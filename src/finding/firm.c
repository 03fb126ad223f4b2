/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "finding/firm.h"

#include <math.h>

#include "base/units.h"
#include "finding/search.h"
#include "replay/lane.h"

#define OXYGEN_POINT 0.01 /* of the analyser; common practice, no source */

#define MIX_KINDS (LL_KIND(LL_FINDING_OXYGEN_HIGH) | LL_KIND(LL_FINDING_OXYGEN_LOW) | LL_KIND(LL_FINDING_SWITCH_DEPTH))

/* The records that are looked at beside the one there is. */
typedef struct {
    ll_hang hang;
    double by; /* sign of depth; density, kg/m3; fraction of oxygen */
    ll_kinds kinds; /* that may change in it */
} lane_row;

static const lane_row lanes[] = {
    {LL_HANGS_DEPTH, 1, LL_ALL_KINDS},
    {LL_HANGS_DEPTH, -1, LL_ALL_KINDS},
    {LL_HANGS_WATER, LL_WATER_FRESH_KG_M3, LL_ALL_KINDS},
    {LL_HANGS_WATER, LL_WATER_SEA_KG_M3, LL_ALL_KINDS},
    {LL_HANGS_RATE, 0, LL_KIND(LL_FINDING_ASCENT)},
    {LL_HANGS_MIX, -OXYGEN_POINT, MIX_KINDS},
    {LL_HANGS_MIX, OXYGEN_POINT, MIX_KINDS},
};

typedef struct {
    const ll_track *track;
    const ll_settings *settings;
    const ll_limits *limits;
    const ll_state *start;
    ll_arena *arena;
    ll_findings *findings;
    ll_firmness *firmness; /* NULL: no ranges are asked for */
    ll_error *error;
    ll_kinds asked;    /* findings of other kinds are left as they are, */
    ll_severity least; /* and those that are lighter */
} question;

static bool is_asked(const question *q, const ll_finding *finding)
{
    return (q->asked & LL_KIND(finding->kind)) && finding->severity >= q->least;
}

/* The kinds that a lane can still say something of: without ranges nothing more where none stands. */
static ll_kinds open_kinds(const question *q)
{
    ll_kinds kinds = 0;
    for (size_t i = 0; i < q->findings->count; i++) {
        const ll_finding *finding = &q->findings->items[i];
        if (is_asked(q, finding) && (q->firmness || finding->firm_severity >= q->least))
            kinds |= LL_KIND(finding->kind);
    }
    return kinds;
}

/* --- one lane ------------------------------------------------------------------------------------------------- */

static bool shift(const question *q, const lane_row *row, ll_profile *lane)
{
    const ll_profile *profile = q->track->profile;
    *lane = *profile;
    if (row->hang == LL_HANGS_DEPTH)
        return ll_lane_of_depth(profile, row->by, q->arena, lane);
    if (row->hang == LL_HANGS_MIX)
        return ll_lane_of_oxygen(profile, row->by, q->arena, lane);
    if (row->hang == LL_HANGS_WATER)
        ll_lane_of_water(profile, row->by, lane);
    return true;
}

/* The rate of the record less what its steps can feign. */
static bool lower_rate(const question *q, ll_track *lane)
{
    const ll_profile *profile = q->track->profile;
    double *rate = ll_arena_array(q->arena, lane->count, sizeof *rate);
    for (size_t i = 0; rate && i < lane->count; i++) {
        double window_s = ll_rate_window_s(profile, i);
        rate[i] = lane->column[LL_ASCENT_RATE][i] - (window_s > 0 ? LL_RATE_RESOLUTION_M / window_s * 60 : 0);
    }
    lane->column[LL_ASCENT_RATE] = rate;
    return rate != NULL;
}

/* What one lane does not know is not known over all of them. */
static void widen(ll_range *range, double value)
{
    if (isnan(range->least))
        return;
    range->least = isnan(value) ? NAN : fmin(range->least, value);
    range->greatest = isnan(value) ? NAN : fmax(range->greatest, value);
}

static bool widen_ranges(question *q, const ll_track *lane, const ll_surfacing *surfacing)
{
    ll_owed owed;
    if (!ll_owed_of(lane, q->settings, q->arena, &owed))
        return false;
    widen(&q->firmness->owed_s, owed.way.owed_s);
    widen(&q->firmness->gradient_percent, surfacing->known ? surfacing->gradient_percent : NAN);
    widen(&q->firmness->cns_percent, lane->doses.complete ? lane->cns_at_surfacing_percent : NAN);
    return true;
}

static bool moves_record(const lane_row *row)
{
    return row->hang == LL_HANGS_DEPTH || row->hang == LL_HANGS_WATER;
}

static ll_status replay_lane(question *q, const lane_row *row, ll_kinds kinds, ll_profile *profile, ll_findings *found)
{
    const ll_quantities more = moves_record(row) && q->firmness ? LL_SET_INSTANTS | LL_SET(LL_CNS) : 0;
    ll_track lane;
    ll_status status = ll_findings_replay(profile, q->settings, q->limits, q->start, kinds, more,
                                          row->hang == LL_HANGS_DEPTH ? NULL : q->track->levels, q->arena, &lane,
                                          q->error);
    if (status != LL_OK)
        return status;
    if (row->hang == LL_HANGS_RATE && !lower_rate(q, &lane))
        return ll_fail_memory(q->error);
    ll_surfacing surfacing = {.known = false};
    if (moves_record(row))
        surfacing = ll_surfacing_of(&lane);
    if (moves_record(row) && q->firmness && !widen_ranges(q, &lane, &surfacing))
        return ll_fail_memory(q->error);
    return ll_findings_make(&lane, q->settings, q->limits, &surfacing, kinds, q->arena, found, q->error);
}

/* --- what it says of the findings ------------------------------------------------------------------------------- */

static ll_severity severity_within(const ll_findings *lane, const ll_finding *finding)
{
    ll_severity severity = LL_NO_FINDING;
    for (size_t i = 0; i < lane->count; i++) {
        const ll_finding *other = &lane->items[i];
        bool same = other->kind == finding->kind && other->from_s <= finding->to_s && other->to_s >= finding->from_s;
        if (same && other->severity > severity)
            severity = other->severity;
    }
    return severity;
}

static void lower(ll_finding *finding, ll_severity severity, ll_hang hang)
{
    if (severity >= finding->severity)
        return;
    finding->hangs_on |= 1u << hang;
    if (severity < finding->firm_severity)
        finding->firm_severity = severity;
}

static void compare(question *q, const lane_row *row, const ll_findings *lane)
{
    for (size_t i = 0; i < q->findings->count; i++) {
        ll_finding *finding = &q->findings->items[i];
        if ((row->kinds & LL_KIND(finding->kind)) && is_asked(q, finding))
            lower(finding, severity_within(lane, finding), row->hang);
    }
}

/* The error of the moment at which the diver stood highest above the ceiling does not cancel. */
static void doubt_ceilings(question *q)
{
    for (size_t i = 0; i < q->findings->count; i++) {
        ll_finding *finding = &q->findings->items[i];
        if (finding->kind != LL_FINDING_CEILING || !is_asked(q, finding))
            continue;
        double accuracy = ll_depth_accuracy_m(ll_depth_at_m(q->track->profile, finding->peak_s));
        if (!(finding->peak > accuracy))
            lower(finding, LL_NO_FINDING, LL_HANGS_DEPTH);
    }
}

static ll_status look_at_lanes(question *q)
{
    for (size_t i = 0; i < sizeof lanes / sizeof *lanes; i++) {
        const lane_row *row = &lanes[i];
        const ll_kinds kinds = open_kinds(q) & row->kinds;
        ll_profile profile;
        ll_findings found;
        if (!kinds && !(moves_record(row) && q->firmness))
            continue;
        if (!shift(q, row, &profile))
            return ll_fail_memory(q->error);
        ll_status status = replay_lane(q, row, kinds, &profile, &found);
        if (status != LL_OK)
            return status;
        compare(q, row, &found);
    }
    return LL_OK;
}

ll_status ll_firm_make(const ll_track *track, const ll_settings *settings, const ll_limits *limits,
                       const ll_state *start, bool required, ll_arena *arena, ll_findings *findings,
                       ll_firmness *firmness, ll_error *error)
{
    const ll_range unknown = {NAN, NAN};
    *firmness = (ll_firmness){true, false, unknown, unknown, unknown};
    if (!track->profile->has_run_time || (findings->count == 0 && !required))
        return LL_OK;
    const ll_range open = {INFINITY, -INFINITY};
    *firmness = (ll_firmness){true, true, open, open, open};
    question q = {track, settings, limits, start, arena, findings, firmness, error, LL_ALL_KINDS, LL_NO_FINDING};
    ll_surfacing surfacing = ll_surfacing_of(track);
    if (!widen_ranges(&q, track, &surfacing))
        return ll_fail_memory(error);
    ll_status status = look_at_lanes(&q);
    if (status != LL_OK)
        return status;
    doubt_ceilings(&q);
    ll_findings_count(findings);
    return LL_OK;
}

ll_status ll_firm_stand(const ll_track *track, const ll_settings *settings, const ll_limits *limits,
                        const ll_state *start, ll_kinds kinds, ll_severity least, ll_arena *arena,
                        ll_findings *findings, ll_error *error)
{
    question q = {track, settings, limits, start, arena, findings, NULL, error, kinds, least};
    doubt_ceilings(&q);
    return look_at_lanes(&q);
}
