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

/* Integral over a straight line from a to b within `seconds` of what of it lies deeper than `roof`. */
static double deeper_ms(double a, double b, double seconds, double roof)
{
    double over_a = a - roof, over_b = b - roof;
    if (over_a <= 0 && over_b <= 0)
        return 0;
    if (over_a >= 0 && over_b >= 0)
        return (over_a + over_b) / 2 * seconds;
    double over = over_a > 0 ? over_a : over_b;
    return over * over / fabs(a - b) / 2 * seconds;
}

static void add_layers(ll_shape *shape)
{
    for (size_t i = 0; i + 1 < shape->count; i++) {
        const double a = shape->depth_m[i], b = shape->depth_m[i + 1];
        const double seconds = shape->time_s[i + 1] - shape->time_s[i];
        const int deepest = (int)fmin(fmax(a, b) / LAYER_M, LL_SHAPE_LAYERS - 1);
        double below = deeper_ms(a, b, seconds, 0);
        for (int layer = 0; layer <= deepest; layer++) {
            double next = layer == deepest ? 0 : deeper_ms(a, b, seconds, (layer + 1) * LAYER_M);
            shape->layer_ms[layer] += below - next;
            below = next;
        }
    }
}

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
    add_layers(shape);
    for (int layer = 0; layer < LL_SHAPE_LAYERS; layer++)
        shape->area_ms += shape->layer_ms[layer];
    shape->blocks = ll_blocks_fill(shape, 0, shape->block_m);
    look_at_bottom(shape);
}

/* --- one shift ------------------------------------------------------------------------------------------------ */

/* A walk along a shape whose leaving lies at `start_s`. Every shift that is tried goes through all samples, so what
 * does not change within a piece is kept. */
typedef struct walk {
    const ll_shape *shape;
    double start_s;
    size_t next;         /* the first sample that has not been passed */
    double from_s, to_s; /* the straight piece that ends there; its end is INFINITY behind the last sample */
    double depth_m;      /* where the walk stands */
} walk;

static double time_of(const walk *at, size_t sample)
{
    return at->start_s + at->shape->time_s[sample] - at->shape->time_s[0];
}

static walk walk_along(const ll_shape *shape, double start_s)
{
    walk at = {shape, start_s, 0, -INFINITY, 0, 0};
    at.to_s = time_of(&at, 0);
    return at;
}

static bool is_within(const walk *at)
{
    return at->next > 0 && at->next < at->shape->count;
}

/* Depth on this piece; 0 outside. */
static double depth_at(const walk *at, double time_s)
{
    if (!is_within(at))
        return 0;
    const double *depth = at->shape->depth_m + at->next;
    return depth[-1] + (depth[0] - depth[-1]) * (time_s - at->from_s) / (at->to_s - at->from_s);
}

/* To an instant on this piece, at which the depth is known; from its end on over to the next one. */
static void go_on(walk *at, double time_s, double depth_m)
{
    at->depth_m = depth_m;
    while (at->to_s <= time_s) {
        at->next++;
        at->from_s = at->to_s;
        at->to_s = at->next < at->shape->count ? time_of(at, at->next) : INFINITY;
        at->depth_m = is_within(at) ? at->shape->depth_m[at->next - 1] : 0;
    }
}

/* Integral of |line| from a to b over `seconds`. */
static double absolute_ms(double a, double b, double seconds)
{
    if (a * b >= 0)
        return fabs(a + b) / 2 * seconds;
    return (a * a + b * b) / fabs(a - b) / 2 * seconds;
}

/* The integral of the difference over all that either covers, and how long that is. */
typedef struct apart {
    double sum_ms, covered_s;
} apart;

static apart apart_at(const ll_shape *one, const ll_shape *other, double shift_s)
{
    walk a = walk_along(one, 0), b = walk_along(other, shift_s);
    apart all = {0, 0};
    double now_s = fmin(0, shift_s);
    while (a.next < one->count || b.next < other->count) {
        const double to_s = a.to_s < b.to_s ? a.to_s : b.to_s, seconds = to_s - now_s;
        const double a_m = depth_at(&a, to_s), b_m = depth_at(&b, to_s);
        if ((is_within(&a) || is_within(&b)) && seconds > 0) {
            all.sum_ms += absolute_ms(a.depth_m - b.depth_m, a_m - b_m, seconds);
            all.covered_s += seconds;
        }
        go_on(&a, to_s, a_m);
        go_on(&b, to_s, b_m);
        now_s = to_s;
    }
    return all;
}

static double mean_m(apart all)
{
    return all.covered_s > 0 ? all.sum_ms / all.covered_s : 0;
}

double ll_shapes_difference_m(const ll_shape *one, const ll_shape *other, double shift_s)
{
    return mean_m(apart_at(one, other, shift_s));
}

/* --- the best shift ------------------------------------------------------------------------------------------- */

typedef struct search {
    const ll_shape *one, *other;
    ll_stretches stretches;
    double steepest;
    ll_alike best;
} search;

/* Whether what is known of a stretch of shifts rules out that something better lies in it. */
static bool is_ruled_out(const search *s, const ll_edge *from, const ll_edge *to)
{
    return ll_stretches_least_m(&s->stretches, from->shift_s, to->shift_s) >= s->best.difference_m ||
           ll_shapes_between_m(s->one, s->other, from, to) >= s->best.difference_m + ROUNDING_M;
}

/* Halves a stretch of shifts as long as something better may lie in it. */
static void look_between(search *s, const ll_edge *from, const ll_edge *to)
{
    if (is_ruled_out(s, from, to))
        return;
    const double middle_s = (from->shift_s + to->shift_s) / 2, half_s = (to->shift_s - from->shift_s) / 2;
    const apart all = apart_at(s->one, s->other, middle_s);
    const double here = mean_m(all);
    if (here < s->best.difference_m) {
        s->best.difference_m = here;
        s->best.shift_s = middle_s;
    }
    if (half_s < NARROWEST_S || here - s->steepest * half_s >= s->best.difference_m - SLACK_M)
        return;
    const ll_edge middle = {middle_s, all.sum_ms};
    look_between(s, from, &middle);
    look_between(s, &middle, to);
}

ll_alike ll_shapes_compare(const ll_shape *one, const ll_shape *other, double most_shift_s, double limit_m)
{
    search s = {.one = one, .other = other, .steepest = ll_shapes_steepest(one, other),
                .best = {limit_m, 0, one->count < other->count ? one->count : other->count}};
    ll_stretches_look(one, other, most_shift_s, limit_m, &s.stretches);
    look_between(&s, &(ll_edge){-most_shift_s, 0}, &(ll_edge){most_shift_s, 0});
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
    for (int layer = 0; layer < LL_SHAPE_LAYERS; layer++)
        apart_ms += fabs(one->layer_ms[layer] - other->layer_ms[layer]);
    return apart_ms / longest_s(one, other, most_shift_s);
}
