/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What blocks of 16 s say of two profiles before their samples are looked at: the means of two blocks differ by no more
 * than the depths within them do. */
#include <assert.h>
#include <math.h>

#include "assess/alike_parts.h"

#define ROUNDING_M 1e-3 /* of sums of single precision */

/* --- means ---------------------------------------------------------------------------------------------------- */

size_t ll_blocks_fill(const ll_shape *shape, double lead_s, float *block_m)
{
    double end_s = shape->time_s[0] - lead_s + LL_SHAPE_BLOCK_S, sum_ms = 0;
    size_t block = 0;
    for (size_t i = 0; i + 1 < shape->count && block < LL_SHAPE_BLOCKS; i++) {
        const double from_s = shape->time_s[i], to_s = shape->time_s[i + 1];
        const double from_m = shape->depth_m[i], to_m = shape->depth_m[i + 1];
        double at_s = from_s, at_m = from_m;
        for (; end_s <= to_s && block < LL_SHAPE_BLOCKS; end_s += LL_SHAPE_BLOCK_S) {
            const double end_m = from_m + (to_m - from_m) * (end_s - from_s) / (to_s - from_s);
            block_m[block++] = (float)((sum_ms + (at_m + end_m) / 2 * (end_s - at_s)) / LL_SHAPE_BLOCK_S);
            sum_ms = 0;
            at_s = end_s;
            at_m = end_m;
        }
        sum_ms += (at_m + to_m) / 2 * (to_s - at_s);
    }
    if (block < LL_SHAPE_BLOCKS && sum_ms > 0)
        block_m[block++] = (float)(sum_ms / LL_SHAPE_BLOCK_S);
    return block;
}

/* --- one shift ------------------------------------------------------------------------------------------------ */

typedef struct blocks {
    size_t count;
    const float *mean_m;
} blocks;

static blocks blocks_of(const ll_shape *shape)
{
    return (blocks){shape->blocks, shape->block_m};
}

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

static double blocks_sum(blocks of, size_t from, size_t to)
{
    double sum = 0;
    for (size_t i = from; i < to && i < of.count; i++)
        sum += of.mean_m[i];
    return sum;
}

/* Block i of `early` beside block i - later of `late`, which begins so many blocks later; what reaches beyond the last
 * block that is kept is left out, which makes the sum only smaller. */
static double apart_ms(blocks early, blocks late, size_t later)
{
    const size_t late_end = late.count + later, end = early.count < late_end ? early.count : late_end;
    double sum = blocks_sum(early, 0, later);
    if (end > later)
        sum += blocks_apart(early.mean_m + later, late.mean_m, end - later);
    if (early.count < LL_SHAPE_BLOCKS)
        sum += blocks_sum(late, end > later ? end - later : 0, late.count);
    if (late.count < LL_SHAPE_BLOCKS)
        sum += blocks_sum(early, end > later ? end : early.count, early.count);
    return sum * LL_SHAPE_BLOCK_S;
}

/* `other` so many blocks later, or earlier. */
static double shifted_ms(blocks one, blocks other, long later)
{
    return later >= 0 ? apart_ms(one, other, (size_t)later) : apart_ms(other, one, (size_t)-later);
}

static double union_s(const ll_shape *one, const ll_shape *other, double shift_s)
{
    return fmax(one->run_time_s, other->run_time_s + shift_s) - fmin(0, shift_s);
}

double ll_shapes_steepest(const ll_shape *one, const ll_shape *other)
{
    double least_s = fmax(one->run_time_s, other->run_time_s);
    double moved = fmin(one->climbed_m, other->climbed_m);
    double deepest = fmax(one->greatest_m, other->greatest_m);
    return (moved + deepest) / least_s;
}

/* The union is the maximum of straight lines over the shift: largest at one of the ends. */
double ll_shapes_longest_s(const ll_shape *one, const ll_shape *other, double from_s, double to_s)
{
    return fmax(union_s(one, other, from_s), union_s(one, other, to_s));
}

/* On the way from one shift to another the sum falls, each second, by no more than all changes of depth of one of the
 * two, and it must rise again to what is known there. */
double ll_shapes_between_m(const ll_shape *one, const ll_shape *other, const ll_edge *from, const ll_edge *to)
{
    const double moved_ms = fmin(one->climbed_m, other->climbed_m) * (to->shift_s - from->shift_s);
    return (from->apart_ms + to->apart_ms - moved_ms) / 2 /
           ll_shapes_longest_s(one, other, from->shift_s, to->shift_s);
}

double ll_shapes_blocks_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s)
{
    const double slack_m = ll_shapes_steepest(one, other) * LL_SHAPE_BLOCK_S / 2 + ROUNDING_M;
    const long most = (long)ceil(most_shift_s / LL_SHAPE_BLOCK_S);
    double least_m = INFINITY;
    for (long k = -most; k <= most; k++) {
        const double whole_ms = shifted_ms(blocks_of(one), blocks_of(other), k);
        least_m = fmin(least_m, whole_ms / union_s(one, other, (double)k * LL_SHAPE_BLOCK_S) - slack_m);
    }
    return fmax(least_m, 0);
}

/* --- stretches of shifts -------------------------------------------------------------------------------------- */

/* Shifts that are no multiple of a block need other blocks of the one that is shifted; made when first asked for. */
typedef struct looking {
    const ll_shape *one, *other;
    double limit_m;
    ll_stretches *stretches;
    size_t count[LL_STRETCHES_A_BLOCK]; /* 0: not made yet */
    float block_m[LL_STRETCHES_A_BLOCK][LL_SHAPE_BLOCKS];
} looking;

static blocks blocks_in(looking *l, size_t phase)
{
    if (phase == 0)
        return blocks_of(l->other);
    if (l->count[phase] == 0)
        l->count[phase] = ll_blocks_fill(l->other, (double)phase * LL_STRETCH_S, l->block_m[phase]);
    return (blocks){l->count[phase], l->block_m[phase]};
}

/* Where a stretch begins. */
static ll_edge edge_at(looking *l, size_t stretch)
{
    const double shift_s = l->stretches->first_s + (double)stretch * LL_STRETCH_S;
    const double later = floor(shift_s / LL_SHAPE_BLOCK_S);
    const size_t phase = (size_t)((shift_s - later * LL_SHAPE_BLOCK_S) / LL_STRETCH_S);
    return (ll_edge){shift_s, shifted_ms(blocks_of(l->one), blocks_in(l, phase), (long)later)};
}

/* Halves stretches [begin, end) as long as blocks cannot rule them out. */
static void look_within(looking *l, size_t begin, const ll_edge *from, size_t end, const ll_edge *to)
{
    const double least_m = ll_shapes_between_m(l->one, l->other, from, to) - ROUNDING_M;
    if (least_m < l->limit_m && end - begin > 1) {
        const size_t half = (begin + end) / 2;
        const ll_edge middle = edge_at(l, half);
        look_within(l, begin, from, half, &middle);
        look_within(l, half, &middle, end, to);
        return;
    }
    for (size_t i = begin; i < end; i++)
        l->stretches->least_m[i] = least_m;
}

void ll_stretches_look(const ll_shape *one, const ll_shape *other, double most_shift_s, double limit_m,
                       ll_stretches *stretches)
{
    const double half = fmax(ceil(most_shift_s / LL_STRETCH_S), 1);
    assert(2 * half <= LL_STRETCHES);
    looking l = {.one = one, .other = other, .limit_m = limit_m, .stretches = stretches};
    stretches->count = (size_t)(2 * half);
    stretches->first_s = -half * LL_STRETCH_S;
    const ll_edge first = edge_at(&l, 0), last = edge_at(&l, stretches->count);
    look_within(&l, 0, &first, stretches->count, &last);
}

double ll_stretches_least_m(const ll_stretches *stretches, double from_s, double to_s)
{
    const double from = (from_s - stretches->first_s) / LL_STRETCH_S, to = (to_s - stretches->first_s) / LL_STRETCH_S;
    double least_m = INFINITY;
    for (size_t i = (size_t)fmax(from, 0); i < stretches->count && ((double)i < to || (double)i <= from); i++)
        least_m = fmin(least_m, stretches->least_m[i]);
    return least_m;
}
