/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/alike.h"

#include <math.h>

#define LAYER_M 3.0
#define BOTTOM_SHARE 0.9
#define CONSTANT_M 0.3
#define SLOPES_SHARE 0.2
#define NARROWEST_S 0.02 /* of the shift */
#define SLACK_M 1e-3     /* of the difference */
#define ROUNDING_M 1e-3  /* of sums of single precision */

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

/* Integral of depth over [from, to), both within one interval that begins at sample i. */
static double between_ms(const ll_shape *shape, size_t i, double from_s, double to_s)
{
    const double slope = (shape->depth_m[i + 1] - shape->depth_m[i]) / (shape->time_s[i + 1] - shape->time_s[i]);
    const double from_m = shape->depth_m[i] + slope * (from_s - shape->time_s[i]);
    const double to_m = shape->depth_m[i] + slope * (to_s - shape->time_s[i]);
    return (from_m + to_m) / 2 * (to_s - from_s);
}

static void add_blocks(ll_shape *shape)
{
    const double zero_s = shape->time_s[0];
    size_t block = 0;
    double sum_ms = 0;
    for (size_t i = 0; i + 1 < shape->count && block < LL_SHAPE_BLOCKS; i++)
        for (double at_s = shape->time_s[i]; at_s < shape->time_s[i + 1] && block < LL_SHAPE_BLOCKS;) {
            const double end_s = zero_s + (double)(block + 1) * LL_SHAPE_BLOCK_S;
            const double to_s = fmin(end_s, shape->time_s[i + 1]);
            sum_ms += between_ms(shape, i, at_s, to_s);
            at_s = to_s;
            if (to_s < end_s)
                continue;
            shape->block_m[block++] = (float)(sum_ms / LL_SHAPE_BLOCK_S);
            sum_ms = 0;
        }
    if (block < LL_SHAPE_BLOCKS && sum_ms > 0)
        shape->block_m[block++] = (float)(sum_ms / LL_SHAPE_BLOCK_S);
    shape->blocks = block;
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
    add_blocks(shape);
    look_at_bottom(shape);
}

/* --- one shift ------------------------------------------------------------------------------------------------ */

/* A walk along a shape whose leaving lies at `start_s`. Every shift that is tried goes through all samples, so what does
 * not change within a piece is kept. */
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

double ll_shapes_difference_m(const ll_shape *one, const ll_shape *other, double shift_s)
{
    walk a = walk_along(one, 0), b = walk_along(other, shift_s);
    double sum_ms = 0, covered_s = 0, now_s = fmin(0, shift_s);
    while (a.next < one->count || b.next < other->count) {
        const double to_s = a.to_s < b.to_s ? a.to_s : b.to_s, seconds = to_s - now_s;
        const double a_m = depth_at(&a, to_s), b_m = depth_at(&b, to_s);
        if ((is_within(&a) || is_within(&b)) && seconds > 0) {
            sum_ms += absolute_ms(a.depth_m - b.depth_m, a_m - b_m, seconds);
            covered_s += seconds;
        }
        go_on(&a, to_s, a_m);
        go_on(&b, to_s, b_m);
        now_s = to_s;
    }
    return covered_s > 0 ? sum_ms / covered_s : 0;
}

/* --- the best shift ------------------------------------------------------------------------------------------- */

/* No shift makes the difference fall faster than this, m/s: what moves is one of the two, over its own changes of depth;
 * the union that is divided by changes by a second a second. */
static double steepest(const ll_shape *one, const ll_shape *other)
{
    double least_s = fmax(one->run_time_s, other->run_time_s);
    double moved = fmin(one->climbed_m, other->climbed_m);
    double deepest = fmax(one->greatest_m, other->greatest_m);
    return (moved + deepest) / least_s;
}

typedef struct search {
    const ll_shape *one, *other;
    double steepest;
    ll_alike best;
} search;

/* Halves a stretch of shifts as long as something better may lie in it. */
static void look_between(search *s, double middle_s, double half_s)
{
    double here = ll_shapes_difference_m(s->one, s->other, middle_s);
    if (here < s->best.difference_m) {
        s->best.difference_m = here;
        s->best.shift_s = middle_s;
    }
    if (half_s < NARROWEST_S || here - s->steepest * half_s >= s->best.difference_m - SLACK_M)
        return;
    look_between(s, middle_s - half_s / 2, half_s / 2);
    look_between(s, middle_s + half_s / 2, half_s / 2);
}

ll_alike ll_shapes_compare(const ll_shape *one, const ll_shape *other, double most_shift_s, double limit_m)
{
    search s = {one, other, steepest(one, other),
                {limit_m, 0, one->count < other->count ? one->count : other->count}};
    look_between(&s, 0, most_shift_s);
    if (!(s.best.difference_m < limit_m))
        s.best.difference_m = INFINITY;
    return s.best;
}

double ll_shapes_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s)
{
    double apart_ms = 0;
    for (int layer = 0; layer < LL_SHAPE_LAYERS; layer++)
        apart_ms += fabs(one->layer_ms[layer] - other->layer_ms[layer]);
    double longest_s = fmax(one->run_time_s, other->run_time_s) + most_shift_s;
    return apart_ms / fmin(longest_s, one->run_time_s + other->run_time_s);
}

/* --- blocks --------------------------------------------------------------------------------------------------- */

/* Sum of the absolute differences of so many blocks. */
static double blocks_apart(const float *one, const float *other, size_t count)
{
    enum { LANES = 8 };
    float lane[LANES] = {0};
    size_t i = 0;
    for (; i + LANES <= count; i += LANES)
        for (size_t k = 0; k < LANES; k++)
            lane[k] += fabsf(one[i + k] - other[i + k]);
    double sum = 0;
    for (; i < count; i++)
        sum += fabsf(one[i] - other[i]);
    for (size_t k = 0; k < LANES; k++)
        sum += lane[k];
    return sum;
}

static double blocks_sum(const ll_shape *shape, size_t from, size_t to)
{
    double sum = 0;
    for (size_t i = from; i < to && i < shape->blocks; i++)
        sum += shape->block_m[i];
    return sum;
}

/* Block i of `early` beside block i - later of `late`, which begins so many blocks later; what reaches beyond the last
 * block that is kept is left out, which makes the sum only smaller. */
static double apart_ms(const ll_shape *early, const ll_shape *late, size_t later)
{
    const size_t early_end = early->blocks, late_end = late->blocks + later;
    const size_t end = early_end < late_end ? early_end : late_end;
    double sum = blocks_sum(early, 0, later < early_end ? later : early_end);
    if (end > later)
        sum += blocks_apart(early->block_m + later, late->block_m, end - later);
    if (early->blocks < LL_SHAPE_BLOCKS)
        sum += blocks_sum(late, end > later ? end - later : 0, late->blocks);
    if (late->blocks < LL_SHAPE_BLOCKS)
        sum += blocks_sum(early, end > later ? end : early_end, early->blocks);
    return sum * LL_SHAPE_BLOCK_S;
}

static double union_s(const ll_shape *one, const ll_shape *other, double shift_s)
{
    return fmax(one->run_time_s, other->run_time_s + shift_s) - fmin(0, shift_s);
}

double ll_shapes_blocks_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s)
{
    const double slack_m = steepest(one, other) * LL_SHAPE_BLOCK_S / 2 + ROUNDING_M;
    const long most = (long)ceil(most_shift_s / LL_SHAPE_BLOCK_S);
    double least_m = INFINITY;
    for (long k = -most; k <= most; k++) {
        const double whole_ms = k >= 0 ? apart_ms(one, other, (size_t)k) : apart_ms(other, one, (size_t)-k);
        least_m = fmin(least_m, whole_ms / union_s(one, other, (double)k * LL_SHAPE_BLOCK_S) - slack_m);
    }
    return fmax(least_m, 0);
}
