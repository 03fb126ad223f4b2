/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/clock.h"

#include <math.h>
#include <stdbool.h>

#include "assess/clock_lines.h"
#include "base/numeric.h"

#define SCALE_SPAN 0.1     /* of the factor between the two depths, either way */
#define UNSEEN_WEIGHT 0.05 /* of depth that a candidate leaves out of the comparison */
#define GRID_LEAST_S 1.0
#define GRID_MOST_S 4.0
#define GRID_COUNT 65536.0 /* the grid is coarser rather than longer */
#define BRACKET_S 4.0
#define NARROWEST_S 1e-3
#define RELATED_S 120.0 /* residuals further apart count as unrelated */
#define SLOPE_HALF_S 10.0
#define UNCERTAIN_LEAST_S 0.5
#define ZONE_S 1800.0
#define ZONE_NEAR_S 300.0
#define ZONE_MOST_S 1e9

enum { CANDIDATES = 4 };

/* --- the grid ------------------------------------------------------------------------------------------------- */

/* A line at even instants from its start on; square[i] is the sum of the squares of those before i. */
typedef struct grid {
    const ll_depth_line *line;
    size_t count;
    double *depth_m, *square;
} grid;

static double grid_step_s(const ll_depth_line *first, const ll_depth_line *other)
{
    const double longest_s = fmax(ll_line_end_s(first) - ll_line_start_s(first), ll_line_end_s(other) - ll_line_start_s(other));
    const double finest_s = fmin(fmax(fmin(first->interval_s, other->interval_s), GRID_LEAST_S), GRID_MOST_S);
    return fmax(finest_s, longest_s / GRID_COUNT);
}

static bool make_grid(const ll_depth_line *line, double step_s, ll_arena *arena, grid *g)
{
    *g = (grid){line, (size_t)((ll_line_end_s(line) - ll_line_start_s(line)) / step_s) + 1, NULL, NULL};
    g->depth_m = ll_arena_array(arena, g->count, sizeof *g->depth_m);
    g->square = ll_arena_array(arena, g->count + 1, sizeof *g->square);
    if (!g->depth_m || !g->square)
        return false;
    ll_line_walk at = {line, -ll_line_start_s(line), 1, 0};
    for (size_t i = 0; i < g->count; i++) {
        const double time_s = (double)i * step_s;
        ll_line_pass(&at, time_s);
        g->depth_m[i] = ll_line_depth_m(&at, time_s);
        g->square[i + 1] = g->square[i] + g->depth_m[i] * g->depth_m[i];
    }
    return true;
}

/* Sum of the squares of what of `g` lies where the second record tells of depth; `lag` is the place of the second's
 * start in `g`. */
static double seen_square(const grid *g, const grid *second, double lag)
{
    const double count = (double)g->count;
    const double from = ll_line_is_start_deep(second->line) ? fmin(fmax(lag, 0), count) : 0;
    const double to = ll_line_is_end_deep(second->line) ? fmin(fmax(lag + (double)second->count, 0), count) : count;
    return to > from ? g->square[(size_t)to] - g->square[(size_t)from] : 0;
}

/* --- candidates ----------------------------------------------------------------------------------------------- */

typedef struct candidate {
    double offset_s;
    double cost; /* 0 for the same line */
} candidate;

typedef struct search {
    const ll_depth_line *first, *other;
    double from_s, to_s; /* the window of offsets */
    double step_s;
    grid a, b;
    double *cost; /* at each lag of the grids */
    candidate best[CANDIDATES];
    size_t count;
} search;

/* Place of the other's start in the first's grid. */
static double lag_of(const search *s, size_t k)
{
    return (double)k - (double)(s->b.count - 1);
}

static double offset_of(const search *s, size_t k)
{
    return ll_line_start_s(s->first) - ll_line_start_s(s->other) + lag_of(s, k) * s->step_s;
}

/* What part of the depth two grids do not share whatever the factor between them, and a little for what is unseen. */
static double cost_of(const search *s, size_t k, double product)
{
    const double a = seen_square(&s->a, &s->b, lag_of(s, k)), b = seen_square(&s->b, &s->a, -lag_of(s, k));
    const double whole = s->a.square[s->a.count] + s->b.square[s->b.count];
    if (!(a > 0 && b > 0 && product > 1e-9 * whole))
        return INFINITY;
    return 1 - product * product / (a * b) + UNSEEN_WEIGHT * (1 - (a + b) / whole);
}

static void keep(search *s, candidate found)
{
    if (s->count == CANDIDATES && found.cost >= s->best[CANDIDATES - 1].cost)
        return;
    size_t i = s->count < CANDIDATES ? s->count++ : CANDIDATES - 1;
    for (; i > 0 && s->best[i - 1].cost > found.cost; i--)
        s->best[i] = s->best[i - 1];
    s->best[i] = found;
}

/* The least costs among their neighbours, within the window and a step beyond. */
static void find_candidates(search *s)
{
    const double most = (double)(s->a.count + s->b.count - 2), at_s = offset_of(s, 0);
    const double low = fmax(floor((s->from_s - at_s) / s->step_s), 0);
    const double high = fmin(ceil((s->to_s - at_s) / s->step_s), most);
    if (high < low)
        return;
    const size_t from = (size_t)low, to = (size_t)high;
    for (size_t k = from; k <= to; k++) {
        const double here = s->cost[k];
        const bool under_last = k == from || here < s->cost[k - 1], under_next = k == to || here <= s->cost[k + 1];
        if (isfinite(here) && under_last && under_next)
            keep(s, (candidate){fmin(fmax(offset_of(s, k), s->from_s), s->to_s), here});
    }
}

/* --- refining ------------------------------------------------------------------------------------------------- */

/* Two lines, what to multiply the other's depths by, and the window. */
typedef struct refining {
    const search *s;
    double scale;
} refining;

static double loss_at(const refining *r, double offset_s)
{
    if (offset_s < r->s->from_s || offset_s > r->s->to_s)
        return INFINITY;
    const ll_line_sums sums = ll_lines_compare(r->s->first, r->s->other, offset_s, r->scale);
    return sums.known_s > 0 ? sums.loss / sums.known_s : INFINITY;
}

/* Goes downhill by whole steps, either way. */
static double follow(const refining *r, double offset_s, double step_s)
{
    double here = loss_at(r, offset_s), next = loss_at(r, offset_s + step_s);
    if (next >= here) {
        step_s = -step_s;
        next = loss_at(r, offset_s + step_s);
    }
    for (; next < here; next = loss_at(r, offset_s + step_s)) {
        offset_s += step_s;
        here = next;
    }
    return offset_s;
}

/* Golden section: J. Kiefer, Proceedings of the American Mathematical Society 4 (1953), 502-506. */
static double narrow(const refining *r, double low_s, double high_s)
{
    const double part = (sqrt(5) - 1) / 2;
    double a = high_s - part * (high_s - low_s), b = low_s + part * (high_s - low_s);
    double at_a = loss_at(r, a), at_b = loss_at(r, b);
    while (high_s - low_s > NARROWEST_S) {
        if (at_a <= at_b) {
            high_s = b;
            b = a;
            at_b = at_a;
            a = high_s - part * (high_s - low_s);
            at_a = loss_at(r, a);
        } else {
            low_s = a;
            a = b;
            at_a = at_b;
            b = low_s + part * (high_s - low_s);
            at_b = loss_at(r, b);
        }
    }
    return (low_s + high_s) / 2;
}

/* The factor by which the other's depths fit the first's best, no further from 1 than water and settings explain. */
static double scale_at(const search *s, double offset_s)
{
    const ll_line_sums sums = ll_lines_compare(s->first, s->other, offset_s, 1);
    const double scale = sums.other_square > 0 ? sums.product / sums.other_square : 1;
    return fmin(fmax(scale, 1 - SCALE_SPAN), 1 + SCALE_SPAN);
}

/* From a candidate of the grid to the least mean loss near it; the cost becomes that loss, over the union, what is unseen
 * included. */
static void refine(const search *s, candidate *c)
{
    const refining r = {s, scale_at(s, c->offset_s)};
    const double step_s = fmax(s->step_s, BRACKET_S), near_s = follow(&r, c->offset_s, step_s);
    const double fine_s = narrow(&r, fmax(near_s - step_s, s->from_s), fmin(near_s + step_s, s->to_s));
    c->offset_s = loss_at(&r, near_s) <= loss_at(&r, fine_s) ? near_s : fine_s;
    const ll_line_sums sums = ll_lines_compare(s->first, s->other, c->offset_s, r.scale);
    c->cost = (sums.loss + UNSEEN_WEIGHT * LL_LINES_STRAIGHT_M * sums.unseen_ms) / sums.union_s;
}

static candidate best_of(search *s)
{
    candidate best = {0, INFINITY};
    for (size_t i = 0; i < s->count; i++) {
        refine(s, &s->best[i]);
        if (s->best[i].cost < best.cost)
            best = s->best[i];
    }
    return best;
}

/* --- uncertainty ---------------------------------------------------------------------------------------------- */

/* Both lines at one instant, and a little before and behind. */
typedef struct view {
    ll_line_walk a, b, a_before, b_before, a_behind, b_behind;
} view;

static view open_view(const search *s, double offset_s)
{
    const ll_line_walk a = {s->first, 0, 1, 0}, b = {s->other, offset_s, scale_at(s, offset_s), 0};
    return (view){a, b, a, b, a, b};
}

static double depth_at(ll_line_walk *at, double time_s)
{
    ll_line_pass(at, time_s);
    return ll_line_depth_m(at, time_s);
}

/* Mean of both lines' rates over a while about an instant; 0 where one of the records tells nothing. */
static double slope_at(view *v, double time_s, double half_s)
{
    const double before = depth_at(&v->a_before, time_s - half_s) + depth_at(&v->b_before, time_s - half_s);
    const double behind = depth_at(&v->a_behind, time_s + half_s) + depth_at(&v->b_behind, time_s + half_s);
    const bool known = ll_line_is_known(&v->a) && ll_line_is_known(&v->b) && ll_line_is_known(&v->a_before) &&
                       ll_line_is_known(&v->b_before) && ll_line_is_known(&v->a_behind) &&
                       ll_line_is_known(&v->b_behind);
    return known ? (behind - before) / (4 * half_s) : 0;
}

/* Sum over all pairs that may be related, the weight falling with their distance. */
static double related_square(const double *pull, size_t count, double step_s)
{
    const size_t most = (size_t)(RELATED_S / step_s);
    double sum = 0;
    for (size_t lag = 0; lag <= most && lag < count; lag++) {
        double products = 0;
        for (size_t i = lag; i < count; i++)
            products += pull[i] * pull[i - lag];
        sum += products * (lag == 0 ? 1 : 2 * (1 - (double)lag / (double)(most + 1)));
    }
    return sum;
}

static double coarser_s(const search *s)
{
    return fmax(s->first->interval_s, s->other->interval_s);
}

/* What each instant pulls at the offset, and how stiff all of them hold it. */
static double pulls_at(const search *s, double offset_s, double *pull, size_t count)
{
    const double from_s = fmin(ll_line_start_s(s->first), ll_line_start_s(s->other) + offset_s);
    const double half_s = fmax(SLOPE_HALF_S, coarser_s(s));
    view v = open_view(s, offset_s);
    double stiffness = 0;
    for (size_t i = 0; i < count; i++) {
        const double time_s = from_s + (double)i * s->step_s;
        const double residual = depth_at(&v.a, time_s) - depth_at(&v.b, time_s);
        const double slope = slope_at(&v, time_s, half_s);
        pull[i] = slope * fmin(fmax(residual, -LL_LINES_STRAIGHT_M), LL_LINES_STRAIGHT_M);
        stiffness += fabs(residual) <= LL_LINES_STRAIGHT_M ? slope * slope : 0;
    }
    return stiffness;
}

static double least_uncertainty_s(const search *s)
{
    return fmax(UNCERTAIN_LEAST_S, coarser_s(s) / 4);
}

/* Where nothing holds the offset: all that was searched. */
static double searched_s(const search *s)
{
    return fmax((s->to_s - s->from_s) / 2, least_uncertainty_s(s));
}

/* False if memory ran out. */
static bool find_uncertainty(const search *s, double offset_s, ll_arena *arena, double *uncertainty_s)
{
    const size_t count = s->a.count + s->b.count;
    double *pull = ll_arena_array(arena, count, sizeof *pull);
    if (!pull)
        return false;
    const double stiffness = pulls_at(s, offset_s, pull, count);
    const double error_s = stiffness > 0 ? sqrt(related_square(pull, count, s->step_s)) / stiffness : INFINITY;
    *uncertainty_s = fmin(fmax(2 * error_s, least_uncertainty_s(s)), searched_s(s));
    return true;
}

/* --- the match ------------------------------------------------------------------------------------------------ */

static int zone_of(double offset_s)
{
    const double zone_s = ZONE_S * round(offset_s / ZONE_S);
    return fabs(offset_s) < ZONE_MOST_S && fabs(offset_s - zone_s) <= ZONE_NEAR_S ? (int)zone_s : 0;
}

/* Figures of an offset; as of nothing known where the two share no depth there. */
static ll_clock_match match_at(const search *s, double offset_s, double uncertainty_s)
{
    const ll_line_sums sums = ll_lines_compare(s->first, s->other, offset_s, 1);
    const double less_ms = fmax(sums.area_ms - sums.absolute_ms, 0), more_ms = sums.area_ms + sums.absolute_ms;
    ll_clock_match match = {offset_s, uncertainty_s, more_ms > 0 ? fmin(less_ms / more_ms, 1) : 0,
                            sums.union_s > 0 ? sums.absolute_ms / sums.union_s : 0, 0};
    match.zone_s = match.score > 0 ? zone_of(offset_s) : 0;
    return match;
}

static bool prepare(search *s, ll_arena *arena)
{
    s->step_s = grid_step_s(s->first, s->other);
    if (!make_grid(s->first, s->step_s, arena, &s->a) || !make_grid(s->other, s->step_s, arena, &s->b))
        return false;
    s->cost = ll_arena_array(arena, s->a.count + s->b.count - 1, sizeof *s->cost);
    return s->cost != NULL;
}

static ll_status find(search *s, double centre_s, ll_arena *arena, ll_clock_match *match, ll_error *error)
{
    if (!prepare(s, arena))
        return ll_fail_memory(error);
    ll_status status = ll_correlate(s->a.depth_m, s->a.count, s->b.depth_m, s->b.count, s->cost, arena->allocator, error);
    if (status)
        return status;
    for (size_t k = 0; k < s->a.count + s->b.count - 1; k++)
        s->cost[k] = cost_of(s, k, s->cost[k]);
    find_candidates(s);
    const candidate best = best_of(s);
    double uncertainty_s = searched_s(s);
    if (!isfinite(best.cost)) {
        *match = (ll_clock_match){centre_s, uncertainty_s, 0, match_at(s, centre_s, 0).difference_m, 0};
        return LL_OK;
    }
    if (!find_uncertainty(s, best.offset_s, arena, &uncertainty_s))
        return ll_fail_memory(error);
    *match = match_at(s, best.offset_s, uncertainty_s);
    return LL_OK;
}

ll_status ll_clock_compare(const ll_depth_line *first, const ll_depth_line *other, double centre_s, double most_s,
                           const ll_allocator *allocator, ll_clock_match *match, ll_error *error)
{
    search s = {.first = first, .other = other, .from_s = centre_s - most_s, .to_s = centre_s + most_s};
    if (first->count == 0 || other->count == 0) {
        *match = match_at(&s, centre_s, searched_s(&s));
        return LL_OK;
    }
    ll_arena arena;
    ll_arena_open(&arena, allocator);
    const ll_status status = find(&s, centre_s, &arena, match, error);
    ll_arena_close(&arena);
    return status;
}
