/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/clock_width.h"

#include <math.h>

#include "assess/clock_lines.h"

#define RELATED_S 120.0 /* pulls further apart count as unrelated */
#define SLOPE_HALF_S 20.0
#define COUNT_MOST 131072.0

/* Both lines over each other, at even instants over the union of both. */
typedef struct overlay {
    size_t count;
    double from_s, step_s;
    double *residual_m;
    /* Running sums of those before: of the mean of both depths, and of instants at which a record tells nothing. */
    double *depth_sum, *unknown_sum;
    double *pull;
} overlay;

static bool open_overlay(const ll_clock_fit *fit, ll_arena *arena, overlay *o)
{
    const double from_s = fmin(ll_line_start_s(fit->first), ll_line_start_s(fit->other) + fit->offset_s);
    const double to_s = fmax(ll_line_end_s(fit->first), ll_line_end_s(fit->other) + fit->offset_s);
    o->step_s = fmax(fit->step_s, (to_s - from_s) / COUNT_MOST);
    o->from_s = from_s;
    o->count = (size_t)((to_s - from_s) / o->step_s) + 1;
    o->residual_m = ll_arena_array(arena, o->count, sizeof *o->residual_m);
    o->depth_sum = ll_arena_array(arena, o->count + 1, sizeof *o->depth_sum);
    o->unknown_sum = ll_arena_array(arena, o->count + 1, sizeof *o->unknown_sum);
    o->pull = ll_arena_array(arena, o->count, sizeof *o->pull);
    return o->residual_m && o->depth_sum && o->unknown_sum && o->pull;
}

static void lay_over(const ll_clock_fit *fit, overlay *o)
{
    ll_line_walk a = {fit->first, 0, 1, 0}, b = {fit->other, fit->offset_s, fit->scale, 0};
    for (size_t i = 0; i < o->count; i++) {
        const double time_s = o->from_s + (double)i * o->step_s;
        ll_line_pass(&a, time_s);
        ll_line_pass(&b, time_s);
        const double a_m = ll_line_depth_m(&a, time_s), b_m = ll_line_depth_m(&b, time_s);
        o->residual_m[i] = a_m - b_m;
        o->depth_sum[i + 1] = o->depth_sum[i] + (a_m + b_m) / 2;
        o->unknown_sum[i + 1] = o->unknown_sum[i] + !(ll_line_is_known(&a) && ll_line_is_known(&b));
    }
}

/* Rate from the mean of `half` instants before to that of `half` behind; 0 where not all of them are known. */
static double slope_at(const overlay *o, size_t i, size_t half)
{
    if (i < half || i + half >= o->count || o->unknown_sum[i + half + 1] > o->unknown_sum[i - half])
        return 0;
    const double before = o->depth_sum[i] - o->depth_sum[i - half];
    const double behind = o->depth_sum[i + half + 1] - o->depth_sum[i + 1];
    return (behind - before) / ((double)half * (double)(half + 1) * o->step_s);
}

/* Sum over all pairs at most so far apart, the weight falling with their distance. */
static double square_within(const double *pull, size_t count, size_t most)
{
    double sum = 0;
    for (size_t lag = 0; lag <= most && lag < count; lag++) {
        double products = 0;
        for (size_t i = lag; i < count; i++)
            products += pull[i] * pull[i - lag];
        sum += products * (lag == 0 ? 1 : 2 * (1 - (double)lag / (double)(most + 1)));
    }
    return sum;
}

/* The greatest over nested widths. At the offset found all pulls add up to nothing: where a few steep minutes hold it, they
 * cancel within a wide window, as if nothing had pulled. */
static double related_square(const double *pull, size_t count, double step_s)
{
    const size_t most = (size_t)(RELATED_S / step_s);
    double greatest = square_within(pull, count, most);
    for (size_t width = most / 2; width > 0; width /= 2)
        greatest = fmax(greatest, square_within(pull, count, width));
    return greatest;
}

/* What each instant pulls at the offset: its loss with the other line a little earlier less that a little later. The lines
 * themselves are moved, for the noise that comes along pulls too, and in a slow dive most of all. */
static void find_pulls(const ll_clock_fit *fit, overlay *o)
{
    for (int width = 1; width <= LL_CLOCK_BALANCES; width++) {
        const double moved_s = width * LL_CLOCK_BALANCE_S;
        ll_line_walk a = {fit->first, 0, 1, 0};
        ll_line_walk late = {fit->other, fit->offset_s + moved_s, fit->scale, 0};
        ll_line_walk early = {fit->other, fit->offset_s - moved_s, fit->scale, 0};
        for (size_t i = 0; i < o->count; i++) {
            const double time_s = o->from_s + (double)i * o->step_s;
            ll_line_pass(&a, time_s);
            ll_line_pass(&late, time_s);
            ll_line_pass(&early, time_s);
            const double a_m = ll_line_depth_m(&a, time_s);
            o->pull[i] += ll_line_loss(a_m - ll_line_depth_m(&late, time_s)) -
                          ll_line_loss(a_m - ll_line_depth_m(&early, time_s));
        }
    }
}

/* How stiff all instants hold the offset; those that cannot tell of a slope pull at nothing. */
static double find_stiffness(const ll_clock_fit *fit, overlay *o)
{
    const double coarser_s = fmax(fit->first->interval_s, fit->other->interval_s);
    const size_t half = (size_t)ceil(fmax(SLOPE_HALF_S, coarser_s) / o->step_s);
    double stiffness = 0;
    for (size_t i = 0; i < o->count; i++) {
        const double residual = o->residual_m[i], slope = slope_at(o, i, half);
        if (slope == 0)
            o->pull[i] = 0;
        for (int width = 1; width <= LL_CLOCK_BALANCES; width++) {
            const double change = slope * width * LL_CLOCK_BALANCE_S;
            stiffness += slope * (ll_line_loss_rate(residual + change) - ll_line_loss_rate(residual - change));
        }
    }
    return stiffness;
}

bool ll_clock_error_find(const ll_clock_fit *fit, ll_arena *arena, double *error_s)
{
    overlay o;
    if (!open_overlay(fit, arena, &o))
        return false;
    lay_over(fit, &o);
    find_pulls(fit, &o);
    const double stiffness = find_stiffness(fit, &o);
    *error_s = stiffness > 0 ? sqrt(related_square(o.pull, o.count, o.step_s)) / stiffness : INFINITY;
    return true;
}
