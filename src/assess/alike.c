/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "assess/alike_parts.h"

#define LAYER_M 3.0
#define BOTTOM_SHARE 0.9
#define CONSTANT_M 0.3
#define SLOPES_SHARE 0.2
#define NARROWEST_S 0.02 /* of the shift */
#define SLACK_M 1e-3     /* of the difference */
#define ROUNDING_M 1e-6  /* of sums of double precision, with room to spare */

/* --- shapes --------------------------------------------------------------------------------------------------- */

/* Half of the two intervals beside a sample. */
static double seconds_of(const ll_shape *shape, size_t i)
{
    double before = i > 0 ? shape->time_s[i] - shape->time_s[i - 1] : 0;
    double behind = i + 1 < shape->count ? shape->time_s[i + 1] - shape->time_s[i] : 0;
    return (before + behind) / 2;
}

/* Slopes down to a flat bottom and up from it are part of any record; a fifth of the time leaves room for them. */
static void look_at_bottom(ll_shape *shape)
{
    double bottom_s = 0, off_s = 0;
    for (size_t i = 0; i < shape->count; i++) {
        if (shape->depth_m[i] < BOTTOM_SHARE * shape->greatest_m)
            continue;
        bottom_s += seconds_of(shape, i);
        off_s += shape->greatest_m - shape->depth_m[i] < CONSTANT_M ? 0 : seconds_of(shape, i);
    }
    shape->constant_bottom = off_s < SLOPES_SHARE * bottom_s;
}

/* The longest stretch of samples at one interval. */
static void find_even(ll_shape *shape)
{
    size_t first = 0;
    for (size_t i = 1; i < shape->count; i++) {
        const double interval_s = shape->time_s[i] - shape->time_s[i - 1];
        if (i - first > 1 && interval_s != shape->time_s[i - 1] - shape->time_s[i - 2])
            first = i - 1;
        if (i - first >= shape->evens) {
            shape->even = first;
            shape->evens = i - first + 1;
            shape->even_s = interval_s;
        }
    }
}

void ll_shape_make(const ll_profile *profile, ll_shape *shape)
{
    const size_t first = profile->leaving;
    *shape = (ll_shape){.count = profile->surfacing - first + 1,
                        .time_s = profile->time_s + first,
                        .depth_m = profile->depth_m + first,
                        .run_time_s = profile->run_time_s,
                        .greatest_m = profile->greatest_m,
                        .interval_s = profile->interval_s};
    shape->climbed_m = shape->depth_m[0] + shape->depth_m[shape->count - 1];
    for (size_t i = 0; i + 1 < shape->count; i++)
        shape->climbed_m += fabs(shape->depth_m[i + 1] - shape->depth_m[i]);
    ll_layers_add(shape->count, shape->time_s, shape->depth_m, LAYER_M, shape->layer_ms);
    for (int layer = 0; layer < LL_LAYERS; layer++)
        shape->area_ms += shape->layer_ms[layer];
    shape->blocks = ll_blocks_fill(shape, 0, shape->block_m);
    look_at_bottom(shape);
    find_even(shape);
}

/* --- the best shift ------------------------------------------------------------------------------------------- */

ll_bends ll_bends_of(const ll_shape *shape)
{
    double sum = 0, before = 0;
    for (size_t i = 0; i + 1 < shape->count; i++) {
        const double rate = (shape->depth_m[i + 1] - shape->depth_m[i]) / (shape->time_s[i + 1] - shape->time_s[i]);
        sum += fabs(rate - before);
        before = rate;
    }
    return (ll_bends){sum + fabs(before), fabs(shape->depth_m[0]) + fabs(shape->depth_m[shape->count - 1])};
}

/* At each instant the difference bends downwards, over all shifts, only where the second profile bends: so the
 * integral, over all instants, bends downwards by no more than all its bends a second. From either side it lies above a
 * parabola that begins with its slope and bends so; the lowest point above both lies at an end or where they meet. The
 * depths that a record begins and ends with are jumps: they may add to the slope, or take from it. */
double ll_shapes_parabolas_m(const ll_shape *one, const ll_shape *other, const ll_bends *bends, const ll_tried *from,
                             const ll_tried *to)
{
    const double way_s = to->edge.shift_s - from->edge.shift_s, bent = bends->rate_m_s;
    const double start_ms = from->edge.apart_ms, end_ms = to->edge.apart_ms;
    const double start_m = from->slope_m - bends->jumps_m, end_m = to->slope_m + bends->jumps_m;
    const double meet_s = (start_ms - end_ms + end_m * way_s + bent * way_s * way_s / 2) /
                          (end_m - start_m + bent * way_s);
    double least_ms = fmin(start_ms, end_ms);
    if (!(bent < INFINITY))
        return 0;
    if (meet_s > 0 && meet_s < way_s)
        least_ms = fmin(least_ms, start_ms + (start_m - bent * meet_s / 2) * meet_s);
    return least_ms / ll_shapes_longest_s(one, other, from->edge.shift_s, to->edge.shift_s);
}

typedef struct search {
    const ll_shape *one, *other;
    ll_stretches stretches;
    double steepest;
    ll_bends bends; /* of the second */
    ll_alike best;
} search;

/* Whether what is known of a stretch of shifts rules out that something better lies in it. */
static bool is_ruled_out(const search *s, const ll_tried *from, const ll_tried *to)
{
    const double best_m = s->best.difference_m;
    return ll_stretches_least_m(&s->stretches, from->edge.shift_s, to->edge.shift_s) >= best_m ||
           ll_shapes_between_m(s->one, s->other, &from->edge, &to->edge) >= best_m + ROUNDING_M ||
           ll_shapes_parabolas_m(s->one, s->other, &s->bends, from, to) >= best_m + ROUNDING_M;
}

/* Halves a stretch of shifts as long as something better may lie in it. */
static void look_between(search *s, const ll_tried *from, const ll_tried *to)
{
    if (is_ruled_out(s, from, to))
        return;
    const double middle_s = (from->edge.shift_s + to->edge.shift_s) / 2;
    const double half_s = (to->edge.shift_s - from->edge.shift_s) / 2;
    const ll_tried middle = ll_shapes_try(s->one, s->other, middle_s);
    const double here = middle.difference_m;
    if (here < s->best.difference_m) {
        s->best.difference_m = here;
        s->best.shift_s = middle_s;
    }
    if (half_s < NARROWEST_S || here - s->steepest * half_s >= s->best.difference_m - SLACK_M)
        return;
    look_between(s, from, &middle);
    look_between(s, &middle, to);
}

ll_alike ll_shapes_compare(const ll_shape *one, const ll_shape *other, double most_shift_s, double limit_m)
{
    search s = {.one = one, .other = other, .steepest = ll_shapes_steepest(one, other), .bends = ll_bends_of(other),
                .best = {limit_m, 0, one->count < other->count ? one->count : other->count}};
    ll_stretches_look(one, other, most_shift_s, limit_m, &s.stretches);
    /* Of the two ends it is known without a try that the integral is no less than 0. */
    look_between(&s, &(ll_tried){.edge = {-most_shift_s, 0}}, &(ll_tried){.edge = {most_shift_s, 0}});
    if (!(s.best.difference_m < limit_m))
        s.best.difference_m = INFINITY;
    return s.best;
}

/* The longest that both can cover together. */
static double longest_s(const ll_shape *one, const ll_shape *other, double most_shift_s)
{
    return fmin(fmax(one->run_time_s, other->run_time_s) + most_shift_s, one->run_time_s + other->run_time_s);
}

double ll_shapes_areas_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s)
{
    return fabs(one->area_ms - other->area_ms) / longest_s(one, other, most_shift_s);
}

double ll_shapes_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s)
{
    double apart_ms = 0;
    for (int layer = 0; layer < LL_LAYERS; layer++)
        apart_ms += fabs(one->layer_ms[layer] - other->layer_ms[layer]);
    return apart_ms / longest_s(one, other, most_shift_s);
}
