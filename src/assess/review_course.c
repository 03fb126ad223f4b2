/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was held against the limits of the course, kind by kind. */
#include <math.h>

#include "assess/review_parts.h"

#define COARSE_S 20.0 /* samples this far apart cannot show that a rate was kept */

static bool has_limit(const ll_limit *limit)
{
    return isfinite(limit->note) || isfinite(limit->caution) || isfinite(limit->serious);
}

static bool asks_own_stops(const ll_dive *dive)
{
    for (size_t i = 0; i < dive->own_stops; i++)
        if (dive->own_stop[i].mandatory)
            return true;
    return false;
}

/* Whether the record can show that a limit was kept. */
static bool can_show(const ll_debrief *debrief, ll_kind kind)
{
    const bool gas_known = !ll_has_note(&debrief->notes, LL_NOTE_GAS_UNKNOWN);
    switch (kind) {
    case LL_FINDING_CEILING:
    case LL_FINDING_STOP_DEPTH:
        return gas_known && !isnan(debrief->peak[LL_CEILING].value);
    case LL_FINDING_SURFACED:
        return debrief->surfacing.known;
    case LL_FINDING_ASCENT:
        return !(debrief->profile.interval_s >= COARSE_S);
    case LL_FINDING_RESERVE:
        return debrief->entry->dive->tank_pressures > 0;
    case LL_FINDING_CNS:
        return !isnan(debrief->cns_end_percent) && !debrief->cns_lower_bound;
    case LL_FINDING_OTU:
        return !isnan(debrief->otu_row);
    case LL_FINDING_DEPTH:
        return debrief->profile.has_surfacing;
    default:
        return gas_known;
    }
}

void ll_review_course(ll_diver *diver)
{
    const ll_debrief *debrief = &diver->debrief;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        ll_course_cell *cell = &diver->course[kind];
        *cell = (ll_course_cell){LL_COURSE_NO_LIMIT, LL_NO_FINDING, LL_NO_FINDING};
        if (kind == LL_FINDING_OWN_STOP && !asks_own_stops(debrief->entry->dive))
            continue;
        if (kind == LL_FINDING_SURFACED || has_limit(&debrief->limits->of[kind]))
            cell->course = can_show(debrief, (ll_kind)kind) ? LL_COURSE_KEPT : LL_COURSE_UNKNOWN;
    }
    for (size_t i = 0; i < debrief->findings.count; i++) {
        const ll_finding *finding = &debrief->findings.items[i];
        ll_course_cell *cell = &diver->course[finding->kind];
        cell->course = LL_COURSE_BEYOND;
        if (finding->severity > cell->worst)
            cell->worst = finding->severity;
        if (finding->firm_severity > cell->firm_worst)
            cell->firm_worst = finding->firm_severity;
    }
}
