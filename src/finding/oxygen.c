/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Too much and too little oxygen in what was breathed. */
#include <math.h>

#include "base/units.h"
#include "finding/search.h"

/* Whether a stretch holds one of those in which the working limit was passed. */
static bool holds_any(const ll_stretch *stretch, const ll_stretches *working)
{
    for (size_t i = 0; i < working->count; i++)
        if (working->items[i].from_s < stretch->to_s && working->items[i].to_s > stretch->from_s)
            return true;
    return false;
}

/* In the bottom phase the lower working limit counts too, after it only the limits of the table or the standard. */
bool ll_find_oxygen_high(ll_search *s)
{
    const ll_limit *limit = &s->limits->of[LL_FINDING_OXYGEN_HIGH];
    const double bottom = s->limits->bottom_oxygen.caution;
    ll_curve curve = ll_curve_of(s, LL_PO2);
    ll_beyond early = ll_in_run_time(s, fmin(bottom, ll_limit_lowest(limit)), LL_UPPER_LIMIT);
    ll_beyond late = ll_in_run_time(s, ll_limit_lowest(limit), LL_UPPER_LIMIT);
    early.last = late.first = s->profile->bottom_end;
    ll_stretches found = {0}, working = {0};
    if (!ll_stretches_find(&curve, &early, s->arena, &found) || !ll_stretches_find(&curve, &late, s->arena, &found))
        return false;
    early.limit = bottom;
    if (!ll_stretches_find(&curve, &early, s->arena, &working))
        return false;
    ll_stretches_join(&found, LL_UPPER_LIMIT);
    for (size_t i = 0; i < found.count; i++) {
        ll_finding *made = ll_search_add_stretch(s, LL_FINDING_OXYGEN_HIGH, &found.items[i]);
        if (!made)
            return false;
        made->severity = ll_severity_of(made->peak, limit, LL_UPPER_LIMIT);
        if (holds_any(&found.items[i], &working) && made->severity < LL_CAUTION)
            made->severity = LL_CAUTION;
    }
    return true;
}

ll_limit ll_oxygen_low_limit(const ll_limits *limits, const ll_profile *profile)
{
    ll_limit limit = limits->of[LL_FINDING_OXYGEN_LOW];
    double air_atm = LL_AIR_O2 * profile->surface_bar / LL_BAR_PER_ATM;
    limit.note = isnan(limit.note) ? NAN : fmin(limit.note, air_atm);
    limit.caution = isnan(limit.caution) ? NAN : fmin(limit.caution, air_atm);
    limit.serious = isnan(limit.serious) ? NAN : fmin(limit.serious, air_atm);
    return limit;
}

bool ll_find_oxygen_low(ll_search *s)
{
    const ll_limit limit = ll_oxygen_low_limit(s->limits, s->profile);
    if (isnan(ll_limit_lowest(&limit)))
        return true;
    ll_curve curve = ll_curve_of(s, LL_PO2);
    curve.deeper_than_m = LL_OXYGEN_LOW_BELOW_M;
    return ll_find_on_curve(s, LL_FINDING_OXYGEN_LOW, &limit, &curve);
}
