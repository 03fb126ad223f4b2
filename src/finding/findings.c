/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "finding/finding.h"

#include <stdlib.h>
#include <string.h>

#include "finding/search.h"

static bool find_density(ll_search *s)
{
    return ll_find_plain(s, LL_FINDING_DENSITY, LL_DENSITY);
}

static bool find_narcosis(ll_search *s)
{
    return ll_find_plain(s, LL_FINDING_NARCOSIS, s->settings->narcotic_oxygen ? LL_END_N2O2 : LL_END_N2);
}

static bool find_depth(ll_search *s)
{
    return ll_find_plain(s, LL_FINDING_DEPTH, LL_DEPTH);
}

static bool find_cns(ll_search *s)
{
    return ll_find_plain(s, LL_FINDING_CNS, LL_CNS);
}

/* How a kind is found, and what it needs of the replay. */
static const struct {
    bool (*find)(ll_search *);
    ll_quantities needs;
} finders[LL_FINDING_KINDS] = {
    [LL_FINDING_CEILING] = {ll_find_ceiling, LL_SET(LL_CEILING) | LL_SET(LL_GRADIENT)},
    [LL_FINDING_SURFACED] = {ll_find_surfaced, LL_SET_INSTANTS},
    [LL_FINDING_ASCENT] = {ll_find_ascent, LL_SET(LL_ASCENT_RATE)},
    [LL_FINDING_OWN_STOP] = {ll_find_own_stop, 0},
    [LL_FINDING_DEPTH] = {find_depth, LL_SET(LL_DEPTH)},
    [LL_FINDING_STOP_DEPTH] = {ll_find_stop_depth, LL_SET(LL_STOP)},
    [LL_FINDING_SWITCH_DEPTH] = {ll_find_switch_depth, 0},
    [LL_FINDING_RESERVE] = {ll_find_reserve, 0},
    [LL_FINDING_OXYGEN_HIGH] = {ll_find_oxygen_high, LL_SET(LL_PO2)},
    [LL_FINDING_OXYGEN_LOW] = {ll_find_oxygen_low, LL_SET(LL_PO2)},
    [LL_FINDING_DENSITY] = {find_density, LL_SET(LL_DENSITY)},
    [LL_FINDING_NARCOSIS] = {find_narcosis, LL_SET(LL_END_N2) | LL_SET(LL_END_N2O2)},
    [LL_FINDING_COUNTERDIFFUSION] = {ll_find_counterdiffusion, LL_SET(LL_PO2)},
    [LL_FINDING_CNS] = {find_cns, LL_SET(LL_CNS)},
    [LL_FINDING_OTU] = {ll_find_otu, LL_SET(LL_OTU)},
};

ll_kinds ll_kinds_of(ll_class class)
{
    ll_kinds kinds = 0;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        if (ll_kind_table[kind].class == class)
            kinds |= LL_KIND(kind);
    return kinds;
}

ll_quantities ll_finding_quantities(ll_kinds kinds)
{
    ll_quantities needs = 0;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        if (kinds & LL_KIND(kind))
            needs |= finders[kind].needs;
    return needs;
}

/* A ceiling stretch that runs into the surfacing and `surfaced` tell the same: counts take them once. */
static void tell_together(ll_search *s)
{
    ll_finding *surfaced = NULL;
    for (size_t i = 0; i < s->count; i++)
        if (s->items[i].kind == LL_FINDING_SURFACED)
            surfaced = &s->items[i];
    for (size_t i = 0; surfaced && i < s->count; i++) {
        ll_finding *item = &s->items[i];
        if (item->kind != LL_FINDING_CEILING || item->to_s < surfaced->from_s)
            continue;
        item->told_with_surfaced = true;
        if (item->severity > surfaced->severity)
            surfaced->counted = false;
        else
            item->counted = false;
    }
}

static int by_start(const void *left, const void *right)
{
    const ll_finding *a = left, *b = right;
    if (a->from_s != b->from_s)
        return a->from_s < b->from_s ? -1 : 1;
    if (a->kind != b->kind)
        return (int)a->kind - (int)b->kind;
    return a->tank == b->tank ? 0 : a->tank < b->tank ? -1 : 1; /* both are among those of the dive */
}

void ll_findings_count(ll_findings *findings)
{
    memset(findings->by_class, 0, sizeof findings->by_class);
    memset(findings->firm_by_class, 0, sizeof findings->firm_by_class);
    findings->worst = LL_NO_FINDING;
    for (size_t i = 0; i < findings->count; i++) {
        const ll_finding *item = &findings->items[i];
        ll_class class = ll_kind_table[item->kind].class;
        if (item->counted)
            findings->by_class[class][item->severity]++;
        if (item->counted && item->firm_severity == item->severity)
            findings->firm_by_class[class][item->severity]++;
        if (item->severity > findings->worst)
            findings->worst = item->severity;
    }
}

ll_status ll_findings_make(const ll_track *track, const ll_settings *settings, const ll_limits *limits,
                           const ll_surfacing *surfacing, ll_kinds kinds, ll_arena *arena, ll_findings *findings,
                           ll_error *error)
{
    *findings = (ll_findings){0};
    ll_search s = {track, track->profile, settings, limits, surfacing, arena, NULL, 0, 0};
    if (!track->profile->has_run_time)
        return LL_OK;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        if ((kinds & LL_KIND(kind)) && !finders[kind].find(&s))
            return ll_fail_memory(error);
    tell_together(&s);
    if (s.count)
        qsort(s.items, s.count, sizeof *s.items, by_start);
    for (size_t i = 0; i < s.count; i++)
        s.items[i].firm_severity = s.items[i].severity;
    findings->count = s.count;
    findings->items = s.items;
    ll_findings_count(findings);
    return LL_OK;
}
