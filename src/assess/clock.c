/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/clock.h"

#include <math.h>
#include <stdbool.h>

#include "assess/clock_lines.h"
#include "assess/clock_width.h"
#include "base/numeric.h"

#define UNSEEN_WEIGHT 0.05 /* of depth that an offset leaves out of the comparison */
#define SEEN_LEAST 0.5     /* part of either line that must be in it */
#define ROUNDING 1e-9      /* of products */
#define GRID_LEAST_S 1.0
#define GRID_MOST_S 4.0
#define GRID_COUNT 65536.0 /* the grid is coarser rather than longer */
#define BRACKET_S 8.0
#define NARROWEST_S 1e-3
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
    const double first_s = ll_line_end_s(first) - ll_line_start_s(first);
    const double other_s = ll_line_end_s(other) - ll_line_start_s(other);
    const double finest_s = fmin(fmax(fmin(first->interval_s, other->interval_s), GRID_LEAST_S), GRID_MOST_S);
    return fmax(finest_s, fmax(first_s, other_s) / GRID_COUNT);
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
    const double whole_a = s->a.square[s->a.count], whole_b = s->b.square[s->b.count], whole = whole_a + whole_b;
    if (!(a > 0 && b > 0 && product > ROUNDING * whole) || (a < SEEN_LEAST * whole_a && b < SEEN_LEAST * whole_b))
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

/* Half of either line lies where both records tell of depth. */
static bool is_seen(const ll_line_sums *sums)
{
    return sums->known_s > 0 && (sums->known_first_ms >= SEEN_LEAST * sums->first_ms ||
                                 sums->known_other_ms >= SEEN_LEAST * sums->other_ms);
}

static double loss_at(const refining *r, double offset_s)
{
    const ll_line_sums sums = ll_lines_compare(r->s->first, r->s->other, offset_s, r->scale);
    return is_seen(&sums) ? sums.loss / sums.known_s : INFINITY;
}

static double loss_within(const refining *r, double offset_s)
{
    return offset_s < r->s->from_s || offset_s > r->s->to_s ? INFINITY : loss_at(r, offset_s);
}

/* Goes downhill by whole steps, either way. */
static double follow(const refining *r, double offset_s, double step_s)
{
    double here = loss_within(r, offset_s), next = loss_within(r, offset_s + step_s);
    if (next >= here) {
        step_s = -step_s;
        next = loss_within(r, offset_s + step_s);
    }
    for (; next < here; next = loss_within(r, offset_s + step_s)) {
        offset_s += step_s;
        here = next;
    }
    return offset_s;
}

static double tilt_at(const refining *r, double offset_s)
{
    double tilt = 0;
    for (int i = 1; i <= LL_CLOCK_BALANCES; i++)
        tilt += loss_at(r, offset_s + i * LL_CLOCK_BALANCE_S) - loss_at(r, offset_s - i * LL_CLOCK_BALANCE_S);
    return tilt;
}

/* Where the loss is as great a little earlier as a little later: below that width noise that two records happen to
 * share would pull at the offset. */
static double narrow(const refining *r, double low_s, double high_s)
{
    if (tilt_at(r, low_s) >= 0)
        return low_s;
    if (tilt_at(r, high_s) <= 0)
        return high_s;
    while (high_s - low_s > NARROWEST_S) {
        const double middle_s = (low_s + high_s) / 2;
        *(tilt_at(r, middle_s) > 0 ? &high_s : &low_s) = middle_s;
    }
    return (low_s + high_s) / 2;
}

/* The factor by which the other's depths fit the first's best. */
static double scale_at(const search *s, double offset_s)
{
    const ll_line_sums sums = ll_lines_compare(s->first, s->other, offset_s, 1);
    return sums.other_square > 0 ? sums.product / sums.other_square : 1;
}

/* What an offset leaves between the two lines, m: the loss over the union, what is unseen included. */
static double cost_at(const refining *r, double offset_s)
{
    const ll_line_sums sums = ll_lines_compare(r->s->first, r->s->other, offset_s, r->scale);
    const double unseen_ms = sums.first_ms + sums.other_ms - sums.known_first_ms - sums.known_other_ms;
    const double whole = sums.loss + UNSEEN_WEIGHT * LL_LINES_STRAIGHT_M * unseen_ms;
    return is_seen(&sums) ? whole / sums.union_s : INFINITY;
}

/* Follows every candidate; the one that ends lowest is narrowed. */
static candidate refine(const search *s)
{
    const double step_s = fmax(s->step_s, BRACKET_S);
    candidate best = {0, INFINITY};
    refining best_r = {s, 1};
    for (size_t i = 0; i < s->count; i++) {
        const refining r = {s, scale_at(s, s->best[i].offset_s)};
        const double near_s = follow(&r, s->best[i].offset_s, step_s), cost = cost_at(&r, near_s);
        if (cost < best.cost) {
            best = (candidate){near_s, cost};
            best_r = r;
        }
    }
    if (isfinite(best.cost))
        best.offset_s = narrow(&best_r, fmax(best.offset_s - step_s, s->from_s), fmin(best.offset_s + step_s, s->to_s));
    return best;
}

/* --- the match ------------------------------------------------------------------------------------------------ */

/* The least half width. */
static double least_s(const search *s)
{
    return fmax(UNCERTAIN_LEAST_S, fmax(s->first->interval_s, s->other->interval_s) / 4);
}

/* The half width where nothing holds the offset: all that was searched. */
static double searched_s(const search *s)
{
    return fmax((s->to_s - s->from_s) / 2, least_s(s));
}

static int zone_of(double offset_s)
{
    const double zone_s = ZONE_S * round(offset_s / ZONE_S);
    return fabs(offset_s) < ZONE_MOST_S && fabs(offset_s - zone_s) <= ZONE_NEAR_S ? (int)zone_s : 0;
}

/* Figures of an offset; as of nothing known where the two share no depth there. */
static ll_clock_match match_at(const search *s, double offset_s, double uncertainty_s)
{
    const ll_line_sums sums = ll_lines_compare(s->first, s->other, offset_s, 1);
    const double both_ms = sums.first_ms + sums.other_ms;
    const double less_ms = fmax(both_ms - sums.absolute_ms, 0), more_ms = both_ms + sums.absolute_ms;
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
    const ll_status status =
        ll_correlate(s->a.depth_m, s->a.count, s->b.depth_m, s->b.count, s->cost, arena->allocator, error);
    if (status)
        return status;
    for (size_t k = 0; k < s->a.count + s->b.count - 1; k++)
        s->cost[k] = cost_of(s, k, s->cost[k]);
    find_candidates(s);
    const candidate best = refine(s);
    if (!isfinite(best.cost)) {
        *match = (ll_clock_match){centre_s, searched_s(s), 0, match_at(s, centre_s, 0).difference_m, 0};
        return LL_OK;
    }
    const ll_clock_fit fit = {s->first, s->other, best.offset_s, scale_at(s, best.offset_s), s->step_s};
    double error_s;
    if (!ll_clock_error_find(&fit, arena, &error_s))
        return ll_fail_memory(error);
    *match = match_at(s, best.offset_s, fmin(fmax(2 * error_s, least_s(s)), searched_s(s)));
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
