/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings: stretches of a dive's run time in which a quantity stands beyond its limit. */
#ifndef LL_FINDING_FINDING_H
#define LL_FINDING_FINDING_H

#include "replay/instants.h"
#include "replay/levels.h"
#include "replay/switch.h"
#include "standard/limits.h"

/* What a switch did to the inert gases: fractions as breathed, and partial pressures at its depth. A fall that is negative is
 * a rise. */
typedef struct ll_exchange {
    double depth_m;
    int from_mix, to_mix; /* indices into the log's mixes, or LL_MIX_UNKNOWN where air stands in for one */
    double n2_rise, he_fall;
    double n2_rise_bar, he_fall_bar;
} ll_exchange;

/* A switch to a mix deeper than its greatest depth. */
typedef struct ll_deep_switch {
    double depth_m;
    int to_mix; /* index into the log's mixes, or LL_MIX_UNKNOWN where air stands in for it */
    ll_mod mod;
} ll_deep_switch;

typedef struct ll_finding {
    ll_kind kind;
    ll_severity severity;
    double from_s, to_s; /* on the record's clock */
    double beyond_s;     /* time beyond the limit within it */
    double peak, peak_s;
    double limit;        /* the lowest one crossed */
    double gradient_percent; /* ceiling: largest at a sample within; surfaced: at the surface pressure; else NaN */
    const ll_exchange *exchange; /* counterdiffusion; else NULL */
    const ll_deep_switch *deep;  /* switch-depth; else NULL */
    const ll_series *tank;       /* reserve: the readings; else NULL */
    double nominal_m, depth_m;   /* stop-depth: of the level, and the diver's at the peak; else NaN */
    bool told_with_surfaced; /* a ceiling stretch that runs into the surfacing */
    bool counted;        /* false where another finding tells the same and counts for both */
    ll_severity firm_severity; /* the lowest over the lanes, see finding/firm.h; its own where that was not asked */
    unsigned hangs_on;         /* bits of ll_hang: what lowered it */
} ll_finding;

/* What a finding may hang on. */
typedef enum ll_hang { LL_HANGS_DEPTH, LL_HANGS_WATER, LL_HANGS_RATE, LL_HANGS_MIX, LL_HANGS } ll_hang;
extern const char *const ll_hang_names[LL_HANGS]; /* "depth", "water", "rate-resolution", "mix" */

/* Kinds as a set: bit k is kind k. */
typedef unsigned ll_kinds;
#define LL_KIND(kind) (1u << (kind))
#define LL_ALL_KINDS (LL_KIND(LL_FINDING_KINDS) - 1)
ll_kinds ll_kinds_of(ll_class class);

typedef struct ll_findings {
    size_t count;
    ll_finding *items; /* by from_s, then kind */
    unsigned by_class[LL_CLASSES][4];      /* counted ones, by class and severity */
    unsigned firm_by_class[LL_CLASSES][4]; /* those of them that are firm; all where firmness was not asked */
    ll_severity worst;
} ll_findings;

/* The limits for too little oxygen as they are held against a dive, deeper than 1.5 m: never more than the PO2 of air at its
 * surface pressure. */
#define LL_OXYGEN_LOW_BELOW_M 1.5
ll_limit ll_oxygen_low_limit(const ll_limits *limits, const ll_profile *profile);

/* What findings of these kinds need of the replay. */
ll_quantities ll_finding_quantities(ll_kinds kinds);

/* Replays what findings of these kinds need, and the stop at the arrival of every level; where the diver certainly was not
 * above the ceiling, limits are left NaN, so this is for findings only. `levels`: those of the profile, or NULL: they are
 * looked for where a kind asks for them. They go into the track. Results live in `arena`. */
ll_status ll_findings_replay(const ll_profile *profile, const ll_settings *settings, const ll_limits *limits,
                             const ll_state *start, ll_kinds kinds, ll_quantities more, const ll_levels *levels,
                             ll_arena *arena, ll_track *track, ll_error *error);

/* All findings of these kinds in one dive. Results live in `arena`. */
ll_status ll_findings_make(const ll_track *track, const ll_settings *settings, const ll_limits *limits,
                           const ll_surfacing *surfacing, ll_kinds kinds, ll_arena *arena, ll_findings *findings,
                           ll_error *error);

/* Counts anew, by class and severity, after firmness is known. */
void ll_findings_count(ll_findings *findings);

#endif
