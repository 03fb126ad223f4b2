/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings: stretches of a dive's run time in which a quantity stands beyond its limit. */
#ifndef LL_FINDING_FINDING_H
#define LL_FINDING_FINDING_H

#include "replay/instants.h"
#include "standard/limits.h"

typedef struct ll_finding {
    ll_kind kind;
    ll_severity severity;
    double from_s, to_s; /* on the record's clock */
    double beyond_s;     /* time beyond the limit within it */
    double peak, peak_s;
    double limit;        /* the lowest one crossed */
    double gradient_percent; /* ceiling: largest at a sample within; surfaced: at the surface pressure; else NaN */
    bool told_with_surfaced; /* a ceiling stretch that runs into the surfacing */
    bool counted;        /* false where another finding tells the same and counts for both */
} ll_finding;

typedef struct ll_findings {
    size_t count;
    const ll_finding *items; /* by from_s, then kind */
    unsigned by_class[LL_CLASSES][4]; /* counted ones, by class and severity */
    ll_severity worst;
} ll_findings;

/* What findings need of the replay. */
extern const ll_quantities ll_finding_quantities;

/* All findings of one dive. Results live in `arena`. */
ll_status ll_findings_make(const ll_track *track, const ll_settings *settings, const ll_limits *limits,
                           const ll_surfacing *surfacing, ll_arena *arena, ll_findings *findings, ll_error *error);

#endif
