/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the diver did: ceiling, surfacing, ascent rate, the recorder's own stops. */
#include <math.h>

#include "finding/search.h"

#define LONG_S 60.0          /* a stretch this long above the ceiling weighs more */
#define UNBROKEN_RATE_S 10.0 /* a rate counts once it is kept this long */
#define GRADIENT_SLACK 3.0   /* points above factor high at the surfacing */

/* Metres above a line that runs with the samples (NaN where there is none). */
static double *metres_above(const ll_search *s, const double *line)
{
    double *above = ll_arena_array(s->arena, s->track->count, sizeof *above);
    for (size_t i = 0; above && i < s->track->count; i++)
        above[i] = line[i] - s->profile->depth_m[i];
    return above;
}

static double greatest_gradient(const ll_search *s, double from_s, double to_s)
{
    const double *gradient = s->track->column[LL_GRADIENT];
    double greatest = NAN;
    for (size_t i = s->profile->leaving; i <= s->profile->surfacing; i++)
        if (s->profile->time_s[i] >= from_s && s->profile->time_s[i] <= to_s)
            greatest = fmax(greatest, gradient[i]);
    return greatest;
}

/* A caution asks for a length too; note and serious go by the peak alone. */
static ll_severity severity_above(const ll_stretch *stretch, const ll_limit *limit)
{
    ll_severity severity = ll_severity_of(stretch->peak, limit, LL_UPPER_LIMIT);
    if (severity == LL_CAUTION && stretch->beyond_s < LONG_S)
        severity = ll_is_beyond(stretch->peak, limit->note, LL_UPPER_LIMIT) ? LL_NOTE : LL_NO_FINDING;
    return severity;
}

static bool find_above(ll_search *s, ll_kind kind, const double *line)
{
    const ll_limit *limit = &s->limits->of[kind];
    const double *above = line ? metres_above(s, line) : NULL;
    if (!above)
        return false;
    ll_curve curve = {s->profile, above, NULL, -1};
    ll_beyond beyond = ll_in_run_time(s, ll_limit_lowest(limit), LL_UPPER_LIMIT);
    ll_stretches found = {0};
    if (!ll_stretches_find(&curve, &beyond, s->arena, &found))
        return false;
    ll_stretches_join(&found, LL_UPPER_LIMIT);
    for (size_t i = 0; i < found.count; i++) {
        const ll_stretch *stretch = &found.items[i];
        double gradient = kind == LL_FINDING_CEILING ? greatest_gradient(s, stretch->from_s, stretch->to_s) : NAN;
        ll_severity severity =
            ll_is_beyond(gradient, 100, LL_UPPER_LIMIT) ? LL_SERIOUS : severity_above(stretch, limit);
        ll_finding *made = severity != LL_NO_FINDING ? ll_search_add_stretch(s, kind, stretch) : NULL;
        if (severity != LL_NO_FINDING && !made)
            return false;
        if (made) {
            made->severity = severity;
            made->gradient_percent = gradient;
        }
    }
    return true;
}

bool ll_find_ceiling(ll_search *s)
{
    return find_above(s, LL_FINDING_CEILING, s->track->column[LL_CEILING]);
}

bool ll_find_surfaced(ll_search *s)
{
    const ll_surfacing *up = s->surfacing;
    if (!up->known || !ll_is_beyond(up->ceiling_m, 0, LL_UPPER_LIMIT))
        return true;
    ll_severity severity = LL_NOTE;
    if (ll_is_beyond(up->gradient_percent, s->profile->gf_high * 100 + GRADIENT_SLACK, LL_UPPER_LIMIT))
        severity = LL_CAUTION;
    if (ll_is_beyond(up->gradient_percent, 100, LL_UPPER_LIMIT))
        severity = LL_SERIOUS;
    ll_finding *made = ll_search_add_instant(s, LL_FINDING_SURFACED, up->time_s, up->ceiling_m, severity);
    if (made)
        made->gradient_percent = up->gradient_percent;
    return made != NULL;
}

static bool overlaps(const ll_stretches *found, const ll_stretch *stretch)
{
    for (size_t i = 0; i < found->count; i++)
        if (found->items[i].from_s < stretch->to_s && found->items[i].to_s > stretch->from_s)
            return true;
    return false;
}

/* A rate beyond a limit counts once it is kept for 10 s unbroken, for each limit by itself. */
bool ll_find_ascent(ll_search *s)
{
    const ll_limit *limit = &s->limits->of[LL_FINDING_ASCENT];
    const double steps[] = {limit->note, limit->caution, limit->serious};
    ll_stretches found[3] = {{0}};
    int lowest_step = -1;
    ll_curve curve = ll_curve_of(s, LL_ASCENT_RATE);
    for (int i = 0; i < 3; i++) {
        if (isnan(steps[i]))
            continue;
        ll_beyond beyond = ll_in_run_time(s, steps[i], LL_UPPER_LIMIT);
        beyond.least_unbroken_s = UNBROKEN_RATE_S;
        if (!ll_stretches_find(&curve, &beyond, s->arena, &found[i]))
            return false;
        if (lowest_step < 0)
            lowest_step = i;
    }
    if (lowest_step < 0)
        return true;
    ll_stretches_join(&found[lowest_step], LL_UPPER_LIMIT);
    for (size_t i = 0; i < found[lowest_step].count; i++) {
        const ll_stretch *stretch = &found[lowest_step].items[i];
        ll_finding *made = ll_search_add_stretch(s, LL_FINDING_ASCENT, stretch);
        if (!made)
            return false;
        made->severity = (ll_severity)(LL_NOTE + lowest_step);
        for (int step = lowest_step + 1; step < 3; step++)
            if (overlaps(&found[step], stretch))
                made->severity = (ll_severity)(LL_NOTE + step);
    }
    return true;
}

/* The recorder's own mandatory stop at each sample, NaN where it names none: what it does not say is not held against
 * the diver. */
static double *own_stops(const ll_search *s)
{
    const ll_dive *dive = s->profile->dive;
    double *stop = ll_arena_array(s->arena, s->track->count, sizeof *stop);
    for (size_t i = 0; stop && i < s->track->count; i++)
        stop[i] = NAN;
    for (size_t i = 0; stop && i < dive->own_stops; i++) {
        const ll_own_stop *own = &dive->own_stop[i];
        if (own->mandatory && own->depth_m > 0 && own->duration_s != 0)
            stop[own->sample] = fmax(stop[own->sample], own->depth_m);
    }
    return stop;
}

bool ll_find_own_stop(ll_search *s)
{
    return s->profile->dive->own_stops == 0 || find_above(s, LL_FINDING_OWN_STOP, own_stops(s));
}
