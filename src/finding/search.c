/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "finding/search.h"

#include <math.h>

ll_finding *ll_search_add(ll_search *s, ll_kind kind)
{
    if (s->count == s->capacity) {
        size_t capacity = s->capacity ? s->capacity * 2 : 8;
        ll_finding *items = ll_arena_array(s->arena, capacity, sizeof *items);
        if (!items)
            return NULL;
        for (size_t i = 0; i < s->count; i++)
            items[i] = s->items[i];
        s->items = items;
        s->capacity = capacity;
    }
    ll_finding *made = &s->items[s->count++];
    *made = (ll_finding){.kind = kind, .gradient_percent = NAN, .counted = true};
    return made;
}

ll_finding *ll_search_add_stretch(ll_search *s, ll_kind kind, const ll_stretch *stretch)
{
    ll_finding *made = ll_search_add(s, kind);
    if (made) {
        made->from_s = stretch->from_s;
        made->to_s = stretch->to_s;
        made->beyond_s = stretch->beyond_s;
        made->peak = stretch->peak;
        made->peak_s = stretch->peak_s;
        made->limit = stretch->limit;
    }
    return made;
}

double ll_limit_lowest(const ll_limit *limit)
{
    return !isnan(limit->note) ? limit->note : !isnan(limit->caution) ? limit->caution : limit->serious;
}

ll_severity ll_severity_of(double peak, const ll_limit *limit, ll_direction direction)
{
    if (ll_is_beyond(peak, limit->serious, direction))
        return LL_SERIOUS;
    if (ll_is_beyond(peak, limit->caution, direction))
        return LL_CAUTION;
    return ll_is_beyond(peak, limit->note, direction) ? LL_NOTE : LL_NO_FINDING;
}

ll_beyond ll_in_run_time(const ll_search *s, double limit, ll_direction direction)
{
    return (ll_beyond){limit, direction, s->profile->leaving, s->profile->surfacing, 0};
}

ll_curve ll_curve_of(const ll_search *s, ll_quantity quantity)
{
    return (ll_curve){s->profile, s->track->column[quantity], s->track->at_span_end[quantity], -1};
}

/* A curve against the lowest limit of a kind, severity from the peak. */
bool ll_find_on_curve(ll_search *s, ll_kind kind, const ll_curve *curve)
{
    const ll_limit *limit = &s->limits->of[kind];
    ll_beyond beyond = ll_in_run_time(s, ll_limit_lowest(limit), LL_UPPER_LIMIT);
    ll_stretches found = {0};
    if (!ll_stretches_find(curve, &beyond, s->arena, &found))
        return false;
    ll_stretches_join(&found, LL_UPPER_LIMIT);
    for (size_t i = 0; i < found.count; i++) {
        ll_finding *made = ll_search_add_stretch(s, kind, &found.items[i]);
        if (!made)
            return false;
        made->severity = ll_severity_of(made->peak, limit, LL_UPPER_LIMIT);
    }
    return true;
}

/* The plain case: one column. */
bool ll_find_plain(ll_search *s, ll_kind kind, ll_quantity quantity)
{
    if (isnan(ll_limit_lowest(&s->limits->of[kind])))
        return true;
    ll_curve curve = ll_curve_of(s, quantity);
    return ll_find_on_curve(s, kind, &curve);
}
