/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/strip_points.h"

#include <math.h>

/* Room for the most corners that there can be. */
static bool open_points(ll_points *points, size_t most, ll_arena *arena)
{
    points->count = 0;
    points->at = ll_arena_array(arena, most, sizeof *points->at);
    return points->at != NULL;
}

static void add(ll_points *points, double time_s, double value)
{
    points->at[points->count++] = (ll_point){time_s, isfinite(value) ? value : NAN};
}

static void drop_if_empty(ll_points *points)
{
    for (size_t i = 0; i < points->count; i++)
        if (!isnan(points->at[i].value))
            return;
    points->count = 0;
}

/* --- of a dive ------------------------------------------------------------------------------------------------ */

/* What the span's own gas gives at the sample where another one begins; NaN if none begins there. */
static double before_change(const ll_track *track, ll_quantity quantity, size_t sample, size_t *span)
{
    const ll_profile *profile = track->profile;
    while (*span < profile->breathed_count && profile->breathed[*span].end < sample)
        ++*span;
    if (!track->at_span_end[quantity] || *span >= profile->breathed_count || profile->breathed[*span].end != sample)
        return NAN;
    return track->at_span_end[quantity][*span];
}

bool ll_points_of_track(const ll_track *track, ll_quantity quantity, ll_arena *arena, ll_points *points)
{
    const ll_profile *profile = track->profile;
    const double *value = track->column[quantity];
    if (!open_points(points, 2 * profile->count, arena))
        return false;
    size_t span = 0;
    for (size_t i = profile->leaving; value && i <= profile->surfacing; i++) {
        double before = i > profile->leaving ? before_change(track, quantity, i, &span) : NAN;
        if (!isnan(before) && before != value[i])
            add(points, profile->time_s[i], before);
        add(points, profile->time_s[i], value[i]);
    }
    drop_if_empty(points);
    return true;
}

bool ll_points_of_steps(const ll_track *track, ll_quantity quantity, ll_arena *arena, ll_points *points)
{
    const ll_profile *profile = track->profile;
    const double *value = track->column[quantity];
    if (!open_points(points, 2 * profile->count, arena))
        return false;
    for (size_t i = profile->leaving; value && i <= profile->surfacing; i++) {
        if (i > profile->leaving && !isnan(value[i - 1]) && value[i - 1] != value[i])
            add(points, profile->time_s[i], value[i - 1]);
        add(points, profile->time_s[i], value[i]);
    }
    drop_if_empty(points);
    return true;
}

bool ll_points_of_series(const ll_profile *profile, const ll_series *series, ll_arena *arena, ll_points *points)
{
    if (!open_points(points, series->count, arena))
        return false;
    for (size_t i = 0; i < series->count; i++) {
        bool before = i + 1 < series->count && series->sample[i + 1] <= profile->leaving;
        bool after = i > 0 && series->sample[i - 1] >= profile->surfacing;
        if (!before && !after)
            add(points, profile->time_s[series->sample[i]], series->value[i]);
    }
    drop_if_empty(points);
    return true;
}

bool ll_points_of_own_stops(const ll_profile *profile, ll_arena *arena, ll_points *points)
{
    const ll_dive *dive = profile->dive;
    if (!open_points(points, profile->count, arena))
        return false;
    size_t next = 0;
    for (size_t i = profile->leaving; i <= profile->surfacing; i++) {
        double stop_m = NAN;
        for (; next < dive->own_stops && dive->own_stop[next].sample <= i; next++) {
            const ll_own_stop *own = &dive->own_stop[next];
            if (own->sample == i && own->mandatory && own->depth_m > 0 && own->duration_s != 0)
                stop_m = fmax(stop_m, own->depth_m);
        }
        add(points, profile->time_s[i], stop_m);
    }
    drop_if_empty(points);
    return true;
}

/* --- of points ------------------------------------------------------------------------------------------------ */

static bool is_zero(const ll_points *points, size_t i)
{
    return !(points->at[i].value > 0);
}

void ll_points_without_zero(ll_points *points)
{
    size_t kept = 0;
    bool before = true;
    for (size_t i = 0; i < points->count; i++) {
        bool zero = is_zero(points, i);
        bool inside = zero && before && (i + 1 == points->count || is_zero(points, i + 1));
        before = zero;
        if (!inside)
            points->at[kept++] = points->at[i];
        else if (kept > 0 && !isnan(points->at[kept - 1].value))
            points->at[kept++] = (ll_point){points->at[i].time_s, NAN};
    }
    points->count = kept;
    drop_if_empty(points);
}

/* The first corner later than an instant. */
static size_t first_after(const ll_points *points, double time_s)
{
    size_t low = 0, high = points->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (points->at[middle].time_s > time_s)
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

double ll_points_value(const ll_points *points, double time_s)
{
    size_t after = first_after(points, time_s);
    if (after == 0)
        return NAN;
    const ll_point *a = &points->at[after - 1];
    if (a->time_s == time_s)
        return a->value;
    if (after == points->count)
        return NAN;
    const ll_point *b = &points->at[after];
    return a->value + (b->value - a->value) * (time_s - a->time_s) / (b->time_s - a->time_s);
}

void ll_points_range(const ll_points *points, double from_s, double to_s, double *least, double *greatest)
{
    *least = *greatest = NAN;
    for (size_t i = 0; i < points->count; i++) {
        if (points->at[i].time_s < from_s || points->at[i].time_s > to_s)
            continue;
        *least = fmin(*least, points->at[i].value);
        *greatest = fmax(*greatest, points->at[i].value);
    }
}

/* --- between two curves --------------------------------------------------------------------------------------- */

/* Both curves over [from.time_s, to.time_s], straight. */
typedef struct overlap {
    ll_band_point from, to;
} overlap;

static double on_line(const ll_point *at, double time_s)
{
    double share = (time_s - at[0].time_s) / (at[1].time_s - at[0].time_s);
    return share <= 0 ? at[0].value : share >= 1 ? at[1].value : at[0].value + share * (at[1].value - at[0].value);
}

/* The time that two straight pieces share within [from_s, to_s]; false if none, or in a gap. */
static bool find_overlap(const ll_point *a, const ll_point *b, double from_s, double to_s, overlap *both)
{
    both->from.time_s = fmax(from_s, fmax(a[0].time_s, b[0].time_s));
    both->to.time_s = fmin(to_s, fmin(a[1].time_s, b[1].time_s));
    if (!(both->to.time_s > both->from.time_s))
        return false;
    both->from.a = on_line(a, both->from.time_s);
    both->from.b = on_line(b, both->from.time_s);
    both->to.a = on_line(a, both->to.time_s);
    both->to.b = on_line(b, both->to.time_s);
    return !isnan(both->from.a + both->from.b + both->to.a + both->to.b);
}

static ll_band_point share_of(const overlap *both, double share)
{
    const ll_band_point *from = &both->from, *to = &both->to;
    return (ll_band_point){from->time_s + share * (to->time_s - from->time_s), from->a + share * (to->a - from->a),
                           from->b + share * (to->b - from->b)};
}

/* Cuts it to where a is beyond b; false if nowhere. */
static bool keep_beyond(overlap *both, double sign)
{
    double from = sign * (both->from.a - both->from.b), to = sign * (both->to.a - both->to.b);
    if (!(from > 0) && !(to > 0))
        return false;
    if (from > 0 && to > 0)
        return true;
    ll_band_point cut = share_of(both, from / (from - to));
    *(from > 0 ? &both->to : &both->from) = cut;
    return both->to.time_s > both->from.time_s;
}

static bool is_same(const ll_band_point *a, const ll_band_point *b)
{
    return a->time_s == b->time_s && a->a == b->a && a->b == b->b;
}

static void add_overlap(ll_band *band, const overlap *both)
{
    const ll_band_point *last = band->count > 0 ? &band->at[band->count - 1] : NULL;
    if (last && last->time_s < both->from.time_s)
        band->at[band->count++] = (ll_band_point){NAN, NAN, NAN};
    if (!last || !is_same(last, &both->from))
        band->at[band->count++] = both->from;
    band->at[band->count++] = both->to;
}

/* The corners of a curve that lie in [from_s, to_s], with the one before and the one after. */
static ll_points within(const ll_points *points, double from_s, double to_s)
{
    size_t first = first_after(points, from_s), end = first_after(points, to_s);
    first -= first > 0;
    end += end < points->count;
    return (ll_points){end - first, points->at + first};
}

bool ll_band_between(const ll_points *a, const ll_points *b, double from_s, double to_s, ll_direction direction,
                     ll_arena *arena, ll_band *band)
{
    const double sign = direction == LL_LOWER_LIMIT ? -1 : 1;
    *band = (ll_band){0};
    if (!(to_s > from_s))
        return true;
    const ll_points first = within(a, from_s, to_s), second = within(b, from_s, to_s);
    band->at = ll_arena_array(arena, 3 * (first.count + second.count), sizeof *band->at);
    if (!band->at)
        return false;
    for (size_t i = 0, j = 0; i + 1 < first.count && j + 1 < second.count;) {
        overlap both;
        if (find_overlap(&first.at[i], &second.at[j], from_s, to_s, &both) && keep_beyond(&both, sign))
            add_overlap(band, &both);
        if (first.at[i + 1].time_s <= second.at[j + 1].time_s)
            i++;
        else
            j++;
    }
    return true;
}
