/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "finding/stretch.h"

#include <math.h>

/* The value that has to be passed; above it for an upper limit, below it for a lower one. */
static double threshold(double limit, ll_direction direction)
{
    double margin = limit == 0 ? 1e-6 : 1e-6 * fabs(limit);
    return direction == LL_LOWER_LIMIT ? limit - margin : limit + margin;
}

bool ll_is_beyond(double value, double limit, ll_direction direction)
{
    double passed = threshold(limit, direction);
    return direction == LL_LOWER_LIMIT ? value < passed : value > passed;
}

/* A straight piece of a curve. */
typedef struct {
    double from_s, to_s, from, to;
} piece;

static double value_at(const piece *p, double time_s)
{
    if (time_s <= p->from_s)
        return p->from;
    if (time_s >= p->to_s)
        return p->to;
    return p->from + (p->to - p->from) * (time_s - p->from_s) / (p->to_s - p->from_s);
}

/* Cuts a piece to where a straight line from `a` to `b` over it is above 0; false if nowhere. */
static bool keep_above(piece *p, double a, double b)
{
    if (!(a > 0) && !(b > 0))
        return false;
    if (a > 0 && b > 0)
        return true;
    double cut_s = p->from_s + (p->to_s - p->from_s) * a / (a - b);
    double cut = value_at(p, cut_s);
    if (a > 0) {
        p->to_s = cut_s;
        p->to = cut;
    } else {
        p->from_s = cut_s;
        p->from = cut;
    }
    return p->to_s > p->from_s;
}

/* The piece of a curve between samples i and i + 1, cut to where it is beyond; false if nowhere. */
static bool beyond_piece(const ll_curve *curve, const ll_beyond *beyond, size_t i, size_t span, piece *p)
{
    const ll_profile *profile = curve->profile;
    bool change = curve->at_span_end && profile->breathed[span].end == i + 1;
    *p = (piece){profile->time_s[i], profile->time_s[i + 1], curve->value[i],
                 change ? curve->at_span_end[span] : curve->value[i + 1]};
    if (isnan(p->from) || isnan(p->to))
        return false;
    double passed = threshold(beyond->limit, beyond->direction);
    double sign = beyond->direction == LL_LOWER_LIMIT ? -1 : 1;
    double gate_m = curve->deeper_than_m;
    if (gate_m >= 0 && !keep_above(p, profile->depth_m[i] - gate_m, profile->depth_m[i + 1] - gate_m))
        return false;
    return keep_above(p, sign * (p->from - passed), sign * (p->to - passed));
}

static void raise_peak(ll_stretch *stretch, double value, double time_s, ll_direction direction)
{
    bool higher = direction == LL_LOWER_LIMIT ? value < stretch->peak : value > stretch->peak;
    if (higher) {
        stretch->peak = value;
        stretch->peak_s = time_s;
    }
}

static bool add(ll_stretches *found, ll_arena *arena, const ll_stretch *stretch)
{
    if (found->count == found->capacity) {
        size_t capacity = found->capacity ? found->capacity * 2 : 8;
        ll_stretch *items = ll_arena_array(arena, capacity, sizeof *items);
        if (!items)
            return false;
        for (size_t i = 0; i < found->count; i++)
            items[i] = found->items[i];
        found->items = items;
        found->capacity = capacity;
    }
    found->items[found->count++] = *stretch;
    return true;
}

static bool close_stretch(ll_stretches *found, ll_arena *arena, const ll_stretch *open, const ll_beyond *beyond)
{
    double unbroken_s = open->to_s - open->from_s;
    return !(unbroken_s > 0) || unbroken_s < beyond->least_unbroken_s || add(found, arena, open);
}

enum { ABREAST = 8 };

/* Most curves stay within. Several at once, which the compiler does together; NaN is never beyond. */
static bool any_above(const double *value, size_t count, double passed)
{
    double top[ABREAST];
    size_t i = 0;
    for (int k = 0; k < ABREAST; k++)
        top[k] = passed;
    for (; i + ABREAST <= count; i += ABREAST)
        for (int k = 0; k < ABREAST; k++)
            top[k] = value[i + k] > top[k] ? value[i + k] : top[k];
    for (; i < count; i++)
        top[0] = value[i] > top[0] ? value[i] : top[0];
    bool any = false;
    for (int k = 0; k < ABREAST; k++)
        any = any || top[k] > passed;
    return any;
}

static bool any_below(const double *value, size_t count, double passed)
{
    for (size_t i = 0; i < count; i++)
        if (value[i] < passed)
            return true;
    return false;
}

static bool any_value_beyond(const double *value, size_t count, const ll_beyond *beyond)
{
    const double passed = threshold(beyond->limit, beyond->direction);
    return beyond->direction == LL_LOWER_LIMIT ? any_below(value, count, passed) : any_above(value, count, passed);
}

static bool any_beyond(const ll_curve *curve, const ll_beyond *beyond)
{
    if (beyond->first <= beyond->last &&
        any_value_beyond(curve->value + beyond->first, beyond->last - beyond->first + 1, beyond))
        return true;
    for (size_t s = 0; curve->at_span_end && s < curve->profile->breathed_count; s++)
        if (ll_is_beyond(curve->at_span_end[s], beyond->limit, beyond->direction))
            return true;
    return false;
}

bool ll_stretches_find(const ll_curve *curve, const ll_beyond *beyond, ll_arena *arena, ll_stretches *found)
{
    if (!any_beyond(curve, beyond))
        return true;
    ll_stretch open = {.from_s = NAN};
    size_t span = 0;
    for (size_t i = beyond->first; i < beyond->last; i++) {
        while (curve->profile->breathed[span].end <= i)
            span++;
        piece p;
        if (!beyond_piece(curve, beyond, i, span, &p))
            continue;
        if (isnan(open.from_s) || p.from_s > open.to_s) {
            if (!isnan(open.from_s) && !close_stretch(found, arena, &open, beyond))
                return false;
            open = (ll_stretch){p.from_s, p.from_s, 0, p.from, p.from_s, beyond->limit};
        }
        raise_peak(&open, p.from, p.from_s, beyond->direction);
        raise_peak(&open, p.to, p.to_s, beyond->direction);
        open.beyond_s += p.to_s - p.from_s;
        open.to_s = p.to_s;
    }
    return isnan(open.from_s) || close_stretch(found, arena, &open, beyond);
}

void ll_stretches_join(ll_stretches *found, ll_direction direction)
{
    size_t kept = 0;
    for (size_t i = 0; i < found->count; i++) {
        const ll_stretch *next = &found->items[i];
        ll_stretch *last = kept ? &found->items[kept - 1] : NULL;
        if (!last || next->from_s - last->to_s >= LL_JOINED_BELOW_S) {
            found->items[kept++] = *next;
            continue;
        }
        raise_peak(last, next->peak, next->peak_s, direction);
        last->to_s = next->to_s;
        last->beyond_s += next->beyond_s;
        last->limit = direction == LL_LOWER_LIMIT ? fmax(last->limit, next->limit) : fmin(last->limit, next->limit);
    }
    found->count = kept;
}
