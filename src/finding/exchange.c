/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nitrogen that comes while helium goes: switches on the ascent, by the rule of fifths. Information, no more. */
#include <math.h>

#include "base/units.h"
#include "finding/search.h"

#define SHARE 0.2 /* of the fall of helium, that nitrogen may rise by */

typedef struct {
    double n2, he;
} inert;

/* Fractions of what is breathed; on a loop what the oxygen leaves, split as in the diluent. */
static inert inert_of(const ll_breathed *gas, double po2_atm, double ambient_bar)
{
    double share = gas->n2 + gas->he;
    if (!gas->loop || !(share > 0))
        return (inert){gas->n2, gas->he};
    double left = fmax(1 - po2_atm * LL_BAR_PER_ATM / ambient_bar, 0);
    return (inert){left * gas->n2 / share, left * gas->he / share};
}

/* From one span to the next. */
static ll_exchange exchange_at(const ll_search *s, size_t span)
{
    const ll_breathed *before = &s->profile->breathed[span - 1], *after = before + 1;
    const double depth_m = s->profile->depth_m[after->first], ambient = ll_ambient_bar(s->profile, depth_m);
    inert old = inert_of(before, s->track->at_span_end[LL_PO2][span - 1], ambient);
    inert new = inert_of(after, s->track->column[LL_PO2][after->first], ambient);
    double rise = new.n2 - old.n2, fall = old.he - new.he;
    return (ll_exchange){depth_m, before->mix, after->mix, rise, fall, rise * ambient, fall * ambient};
}

/* Helium that rises too excuses nothing and adds nothing. */
static double beyond_fifth(const ll_exchange *exchange)
{
    return exchange->n2_rise - SHARE * fmax(exchange->he_fall, 0);
}

static bool is_looked_at(const ll_search *s, size_t span)
{
    const ll_profile *profile = s->profile;
    const ll_breathed *after = &profile->breathed[span], *before = after - 1;
    return after->mix != before->mix && after->known && before->known && after->first > profile->greatest &&
           after->first <= profile->surfacing &&
           ll_is_beyond(profile->depth_m[after->first], LL_COUNTERDIFFUSION_BELOW_M, LL_UPPER_LIMIT);
}

static bool add(ll_search *s, const ll_exchange *exchange, double time_s)
{
    const ll_limit *limit = &s->limits->of[LL_FINDING_COUNTERDIFFUSION];
    double peak = beyond_fifth(exchange);
    ll_severity severity = ll_severity_of(peak, limit, LL_UPPER_LIMIT);
    if (severity == LL_NO_FINDING)
        return true;
    ll_finding *made = ll_search_add_instant(s, LL_FINDING_COUNTERDIFFUSION, time_s, peak, severity);
    if (made)
        made->exchange = ll_arena_copy(s->arena, exchange, sizeof *exchange);
    return made && made->exchange;
}

bool ll_find_counterdiffusion(ll_search *s)
{
    const ll_profile *profile = s->profile;
    for (size_t span = 1; span < profile->breathed_count; span++) {
        if (!is_looked_at(s, span))
            continue;
        ll_exchange exchange = exchange_at(s, span);
        if (!add(s, &exchange, profile->time_s[profile->breathed[span].first]))
            return false;
    }
    return true;
}
