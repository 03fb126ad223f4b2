/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How firm a finding is: whether it stands, and how heavily, if the recorder was off. */
#ifndef LL_FINDING_FIRM_H
#define LL_FINDING_FIRM_H

#include "finding/finding.h"

#define LL_RATE_RESOLUTION_M 0.1 /* depths are recorded in such steps */

typedef struct ll_range {
    double least, greatest; /* NaN if not known */
} ll_range;

/* What the figures of a dive may be if the recorder was off. */
typedef struct ll_firmness {
    bool asked;    /* the findings carry their firmness */
    bool replayed; /* the shifted records were replayed: the ranges are known */
    ll_range cns_percent, gradient_percent, owed_s; /* CNS and gradient at the surfacing; owed at the start of the ascent */
} ll_firmness;

/* Replays the record deeper, shallower, in fresh and in sea water from the same start, looks at the rate less its resolution and
 * at one percentage point of oxygen less and more, and fills firm_severity and hangs_on of every finding: the lowest severity
 * at which it stands as the same kind in an overlapping stretch. A `ceiling` finding stands at all only if the metres above the
 * ceiling at its peak exceed the depth accuracy there. Only for dives that have findings or were decompression dives. */
ll_status ll_firm_make(const ll_track *track, const ll_settings *settings, const ll_limits *limits,
                       const ll_state *start, bool required, ll_arena *arena, ll_findings *findings,
                       ll_firmness *firmness, ll_error *error);

/* Only whether findings of these kinds that are `least` or heavier still are against recorder error: their firm_severity is what
 * ll_firm_make makes of it, as long as it is `least` or more, else something below `least`. Other findings are left as they
 * are, and no record is replayed that could say nothing more. */
ll_status ll_firm_stand(const ll_track *track, const ll_settings *settings, const ll_limits *limits,
                        const ll_state *start, ll_kinds kinds, ll_severity least, ll_arena *arena,
                        ll_findings *findings, ll_error *error);

#endif
