/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "finding/search.h"

#include <math.h>

/* Empty. */
static ll_finding *add(ll_search *s, ll_kind kind)
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
    *made = (ll_finding){.kind = kind, .gradient_percent = NAN, .nominal_m = NAN, .depth_m = NAN, .counted = true};
    return made;
}

ll_finding *ll_search_add_stretch(ll_search *s, ll_kind kind, const ll_stretch *stretch)
{
    ll_finding *made = add(s, kind);
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

ll_finding *ll_search_add_instant(ll_search *s, ll_kind kind, double time_s, double peak, ll_severity severity)
{
    ll_finding *made = add(s, kind);
    if (made) {
        made->from_s = made->to_s = made->peak_s = time_s;
        made->peak = peak;
        made->limit = ll_limit_lowest(&s->limits->of[kind]);
        made->severity = severity;
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

double ll_depth_at_m(const ll_profile *profile, double time_s)
{
    size_t i = profile->leaving, end = profile->surfacing; /* the first sample whose next one is not earlier, or the last */
    while (i < end) {
        const size_t middle = i + (end - i) / 2;
        if (profile->time_s[middle + 1] < time_s)
            i = middle + 1;
        else
            end = middle;
    }
    if (i == profile->surfacing)
        return profile->depth_m[i];
    double share = (time_s - profile->time_s[i]) / (profile->time_s[i + 1] - profile->time_s[i]);
    return profile->depth_m[i] + share * (profile->depth_m[i + 1] - profile->depth_m[i]);
}

bool ll_find_on_curve(ll_search *s, ll_kind kind, const ll_limit *limit, const ll_curve *curve)
{
    const ll_direction direction = ll_limit_direction(kind);
    ll_beyond beyond = ll_in_run_time(s, ll_limit_lowest(limit), direction);
    ll_stretches found = {0};
    if (!ll_stretches_find(curve, &beyond, s->arena, &found))
        return false;
    ll_stretches_join(&found, direction);
    for (size_t i = 0; i < found.count; i++) {
        ll_finding *made = ll_search_add_stretch(s, kind, &found.items[i]);
        if (!made)
            return false;
        made->severity = ll_severity_of(made->peak, limit, direction);
    }
    return true;
}

/* The plain case: one column. */
bool ll_find_plain(ll_search *s, ll_kind kind, ll_quantity quantity)
{
    const ll_limit *limit = &s->limits->of[kind];
    if (isnan(ll_limit_lowest(limit)))
        return true;
    ll_curve curve = ll_curve_of(s, quantity);
    return ll_find_on_curve(s, kind, limit, &curve);
}
