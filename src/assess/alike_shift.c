/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two profiles at one shift. A search tries tens of thousands of shifts, each of them through all samples. */
#include <float.h>
#include <math.h>

#include "assess/alike_parts.h"
#include "base/extreme.h"

/* The integral of the difference over all that either covers, how long that is, and by how much the integral grows
 * where the second one moves on, m s a second. */
typedef struct apart {
    double sum_ms, covered_s, slope_m;
} apart;

/* --- the difference along a piece ------------------------------------------------------------------------------- */

/* A line from a to b, without a branch: on which side of 0 it lies is anybody's guess where two profiles are alike.
 * 1 / (|a| + |b|); for a line at 0 so large that 0 times it is still 0. */
static inline double weight_of(double a, double b)
{
    return 1 / (fabs(a) + fabs(b) + DBL_MIN);
}

/* Mean of |line|; where a and b lie on two sides of 0 that is (a * a + b * b) / (|a| + |b|) / 2. */
static inline double mean_of(double a, double b, double weight)
{
    return (fabs(a) + fabs(b)) / 2 + ll_lesser(a * b, 0) * weight;
}

/* Share of the line that lies above 0, less the share below. */
static inline double side_of(double a, double b, double weight)
{
    return (a + b) * weight;
}

/* --- any two profiles ----------------------------------------------------------------------------------------- */

/* A walk along a shape. What does not change within a piece is kept; outside it is 0 m deep. */
typedef struct walk {
    const double *time_s, *depth_m;
    size_t count;
    double start_s;      /* of the clock of its samples */
    size_t next;         /* the first sample that has not been passed */
    double from_s, to_s; /* the straight piece that ends there; its end is INFINITY behind the last sample */
    double from_m, rate_m_s;
    double at_m;         /* where the walk stands */
} walk;

static walk walk_along(const ll_shape *shape, double leaving_s)
{
    return (walk){.time_s = shape->time_s, .depth_m = shape->depth_m, .count = shape->count,
                  .start_s = leaving_s - shape->time_s[0], .from_s = leaving_s, .to_s = leaving_s};
}

static inline double time_of(const walk *at, size_t sample)
{
    return at->time_s[sample] + at->start_s;
}

/* On to the piece that ends with a sample. */
static inline void enter(walk *at, size_t next)
{
    at->next = next;
    if (next == at->count) {
        at->to_s = INFINITY;
        at->from_m = at->rate_m_s = 0;
        return;
    }
    at->from_s = time_of(at, next - 1);
    at->to_s = time_of(at, next);
    at->from_m = at->depth_m[next - 1];
    at->rate_m_s = (at->depth_m[next] - at->from_m) / (at->time_s[next] - at->time_s[next - 1]);
}

static inline double depth_at(const walk *at, double time_s)
{
    return at->from_m + at->rate_m_s * (time_s - at->from_s);
}

static inline bool is_within(const walk *at)
{
    return at->next > 0 && at->next < at->count;
}

/* To an instant on this piece, at which the depth is known; from its end on over to the next one. */
static inline void go_on(walk *at, double time_s, double depth_m)
{
    at->at_m = depth_m;
    while (at->to_s <= time_s) {
        enter(at, at->next + 1);
        at->at_m = at->from_m;
    }
}

typedef struct both {
    walk a, b;
    double now_s;
    apart all;
} both;

/* Piece by piece, a piece between two samples of either. */
static void walk_until(both *at, double end_s)
{
    walk a = at->a, b = at->b;
    apart all = at->all;
    double now_s = at->now_s;
    for (double to_s; (to_s = ll_lesser(a.to_s, b.to_s)) <= end_s; now_s = to_s) {
        const double seconds = to_s - now_s, a_m = depth_at(&a, to_s), b_m = depth_at(&b, to_s);
        if (seconds > 0 && (is_within(&a) || is_within(&b))) {
            const double from_m = a.at_m - b.at_m, to_m = a_m - b_m, weight = weight_of(from_m, to_m);
            all.sum_ms += mean_of(from_m, to_m, weight) * seconds;
            all.slope_m += side_of(from_m, to_m, weight) * (b_m - b.at_m);
            all.covered_s += seconds;
        }
        go_on(&a, to_s, a_m);
        go_on(&b, to_s, b_m);
    }
    *at = (both){a, b, now_s, all};
}

/* --- two with the same interval ------------------------------------------------------------------------------- */

enum { LANES = 8 }; /* intervals side by side, so that a compiler may do several with one instruction */

/* Intervals of the first shape, each with one sample of the second in it: `share` of the interval lies before that. */
typedef struct abreast {
    size_t a, b;  /* the first interval begins with sample a and holds sample b */
    size_t count; /* of intervals, a multiple of LANES; 0: none */
    double share;
} abreast;

static double lead_s(const ll_shape *shape)
{
    return shape->time_s[shape->even] - shape->time_s[0];
}

/* Sample i of the first lies at sample i - later of the second, or between that and the one before. */
static abreast find_abreast(const ll_shape *one, const ll_shape *other, double shift_s)
{
    if (!(one->evens > 0 && other->evens > 0 && one->even_s == other->even_s))
        return (abreast){0};
    const double steps = (shift_s + lead_s(other) - lead_s(one)) / one->even_s, whole = floor(steps);
    const long a_first = (long)one->even, a_end = a_first + (long)one->evens;
    const long later = a_first + (long)whole - (long)other->even;
    const long b_first = (long)other->even + later, b_end = b_first + (long)other->evens;
    const long first = a_first > b_first ? a_first : b_first + 1, end = (a_end < b_end ? a_end : b_end) - 1;
    if (end - first < LANES)
        return (abreast){0};
    return (abreast){(size_t)first, (size_t)(first - later), (size_t)((end - first) / LANES * LANES), steps - whole};
}

/* Depth of the second where a sample of the first lies. */
static inline double second_m(const double *b, double share)
{
    return b[0] - (b[0] - b[-1]) * share;
}

/* The difference where a sample of the second lies. */
static inline double gap_m(const double *a, const double *b, double share)
{
    return a[0] + (a[1] - a[0]) * share - b[0];
}

/* The parts of all intervals before the sample in them are equally long, and so are those behind it. */
static void add_abreast(const ll_shape *one, const ll_shape *other, const abreast *run, apart *all)
{
    const double *a = one->depth_m + run->a, *b = other->depth_m + run->b, share = run->share;
    double before_m[LANES] = {0}, behind_m[LANES] = {0};
    double moved_before_m[LANES] = {0}, moved_behind_m[LANES] = {0};
    for (const double *end = a + run->count; a < end; a += LANES, b += LANES)
        for (int k = 0; k < LANES; k++) {
            const double start = a[k] - second_m(b + k, share), middle = gap_m(a + k, b + k, share);
            const double last = a[k + 1] - second_m(b + k + 1, share);
            const double w = weight_of(start, middle), v = weight_of(middle, last);
            before_m[k] += mean_of(start, middle, w);
            behind_m[k] += mean_of(middle, last, v);
            moved_before_m[k] += side_of(start, middle, w) * (b[k] - b[k - 1]);
            moved_behind_m[k] += side_of(middle, last, v) * (b[k + 1] - b[k]);
        }
    for (int k = 0; k < LANES; k++) {
        all->sum_ms += (before_m[k] * share + behind_m[k] * (1 - share)) * one->even_s;
        all->slope_m += moved_before_m[k] * share + moved_behind_m[k] * (1 - share);
    }
    all->covered_s += (double)run->count * one->even_s;
}

/* --- one shift ------------------------------------------------------------------------------------------------ */

/* On behind the last of these intervals, where a sample of the first lies. */
static void pass_abreast(both *at, const ll_shape *one, const ll_shape *other, const abreast *run)
{
    const size_t a = run->a + run->count, b = run->b + run->count;
    add_abreast(one, other, run, &at->all);
    at->now_s = time_of(&at->a, a);
    enter(&at->a, a + 1);
    enter(&at->b, b);
    at->a.at_m = at->a.from_m;
    at->b.at_m = second_m(other->depth_m + b, run->share);
}

static apart apart_at(const ll_shape *one, const ll_shape *other, double shift_s)
{
    both at = {.a = walk_along(one, 0), .b = walk_along(other, shift_s), .now_s = ll_lesser(0, shift_s)};
    const abreast run = find_abreast(one, other, shift_s);
    if (run.count > 0) {
        walk_until(&at, time_of(&at.a, run.a));
        pass_abreast(&at, one, other, &run);
    }
    walk_until(&at, DBL_MAX);
    return at.all;
}

static double mean_m(apart all)
{
    return all.covered_s > 0 ? all.sum_ms / all.covered_s : 0;
}

double ll_shapes_difference_m(const ll_shape *one, const ll_shape *other, double shift_s)
{
    return mean_m(apart_at(one, other, shift_s));
}

ll_tried ll_shapes_try(const ll_shape *one, const ll_shape *other, double shift_s)
{
    const apart all = apart_at(one, other, shift_s);
    return (ll_tried){{shift_s, all.sum_ms}, all.slope_m, mean_m(all)};
}
