/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The search for findings in one dive: what its parts share. Used inside this layer only. */
#ifndef LL_FINDING_SEARCH_H
#define LL_FINDING_SEARCH_H

#include "finding/finding.h"
#include "finding/stretch.h"

typedef struct ll_search {
    const ll_track *track;
    const ll_profile *profile;
    const ll_settings *settings;
    const ll_limits *limits;
    const ll_surfacing *surfacing;
    ll_arena *arena;
    ll_finding *items;
    size_t count, capacity;
} ll_search;

/* A new finding of a kind: with the figures of a stretch, or at an instant. NULL if memory ran out. Valid until the next
 * one. */
ll_finding *ll_search_add_stretch(ll_search *s, ll_kind kind, const ll_stretch *stretch);
ll_finding *ll_search_add_instant(ll_search *s, ll_kind kind, double time_s, double peak, ll_severity severity);

/* The least severe limit there is, NaN if none. */
double ll_limit_lowest(const ll_limit *limit);

/* What a peak weighs against a limit. */
ll_severity ll_severity_of(double peak, const ll_limit *limit, ll_direction direction);

ll_beyond ll_in_run_time(const ll_search *s, double limit, ll_direction direction);
ll_curve ll_curve_of(const ll_search *s, ll_quantity quantity);

/* Depth between samples of the run time. */
double ll_depth_at_m(const ll_profile *profile, double time_s);

/* A curve against the limit of a kind, or what stands for it here; severity from the peak. False if memory ran out. */
bool ll_find_on_curve(ll_search *s, ll_kind kind, const ll_limit *limit, const ll_curve *curve);

/* The finders: each adds all findings of one kind. False if memory ran out. */
bool ll_find_plain(ll_search *s, ll_kind kind, ll_quantity quantity);
bool ll_find_ceiling(ll_search *s);
bool ll_find_surfaced(ll_search *s);
bool ll_find_ascent(ll_search *s);
bool ll_find_own_stop(ll_search *s);
bool ll_find_stop_depth(ll_search *s);
bool ll_find_switch_depth(ll_search *s);
bool ll_find_reserve(ll_search *s);
bool ll_find_oxygen_high(ll_search *s);
bool ll_find_oxygen_low(ll_search *s);
bool ll_find_counterdiffusion(ll_search *s);
bool ll_find_otu(ll_search *s);

#endif
