/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/clock_lines.h"

#include <math.h>

#define DEEP_END_M 2.0
#define GAP_S 30.0
#define GAP_INTERVALS 4.0
#define STRAIGHT_M LL_LINES_STRAIGHT_M

/* --- one line ------------------------------------------------------------------------------------------------- */

double ll_line_start_s(const ll_depth_line *line)
{
    return line->time_s[0];
}

double ll_line_end_s(const ll_depth_line *line)
{
    return line->time_s[line->count - 1];
}

bool ll_line_is_start_deep(const ll_depth_line *line)
{
    return line->count > 0 && line->depth_m[0] > DEEP_END_M;
}

bool ll_line_is_end_deep(const ll_depth_line *line)
{
    return line->count > 0 && line->depth_m[line->count - 1] > DEEP_END_M;
}

static double sample_s(const ll_line_walk *at, size_t sample)
{
    return at->line->time_s[sample] + at->shift_s;
}

static double next_s(const ll_line_walk *at)
{
    return at->next < at->line->count ? sample_s(at, at->next) : INFINITY;
}

static bool is_within(const ll_line_walk *at)
{
    return at->next > 0 && at->next < at->line->count;
}

double ll_line_depth_m(const ll_line_walk *at, double time_s)
{
    if (!is_within(at))
        return 0;
    const double *depth = at->line->depth_m + at->next;
    const double from_s = sample_s(at, at->next - 1), to_s = sample_s(at, at->next);
    return at->scale * (depth[-1] + (depth[0] - depth[-1]) * (time_s - from_s) / (to_s - from_s));
}

bool ll_line_is_known(const ll_line_walk *at)
{
    const ll_depth_line *line = at->line;
    if (at->next == 0)
        return !ll_line_is_start_deep(line);
    if (at->next == line->count)
        return !ll_line_is_end_deep(line);
    const double seconds = line->time_s[at->next] - line->time_s[at->next - 1];
    return seconds <= GAP_S || seconds <= GAP_INTERVALS * line->interval_s;
}

void ll_line_pass(ll_line_walk *at, double time_s)
{
    while (next_s(at) <= time_s)
        at->next++;
}

/* --- two lines ------------------------------------------------------------------------------------------------ */

/* Integral over t in 0..1 of a line times another. */
static double mean_product(double a0, double a1, double b0, double b1)
{
    return (2 * a0 * b0 + a0 * b1 + a1 * b0 + 2 * a1 * b1) / 6;
}

static double mean_absolute(double a, double b)
{
    if (a * b >= 0)
        return fabs(a + b) / 2;
    return (a * a + b * b) / fabs(a - b) / 2;
}

double ll_line_loss(double d)
{
    return fabs(d) <= STRAIGHT_M ? d * d : STRAIGHT_M * (2 * fabs(d) - STRAIGHT_M);
}

double ll_line_loss_rate(double d)
{
    return 2 * fmin(fmax(d, -STRAIGHT_M), STRAIGHT_M);
}

/* Antiderivative of the loss. */
static double loss_sum(double d)
{
    if (fabs(d) <= STRAIGHT_M)
        return d * d * d / 3;
    return copysign(STRAIGHT_M * (d * d - STRAIGHT_M * fabs(d) + STRAIGHT_M * STRAIGHT_M / 3), d);
}

/* Mean loss along a straight piece from a to b; Simpson's rule is exact for a square. */
static double mean_loss(double a, double b)
{
    const bool small = fabs(a) <= STRAIGHT_M && fabs(b) <= STRAIGHT_M;
    if (small || fabs(a - b) < 1e-3)
        return (ll_line_loss(a) + 4 * ll_line_loss((a + b) / 2) + ll_line_loss(b)) / 6;
    return (loss_sum(b) - loss_sum(a)) / (b - a);
}

static void add_piece(ll_line_sums *s, const ll_line_walk *a, const ll_line_walk *b, double from_s, double to_s)
{
    const double seconds = to_s - from_s;
    const double a0 = ll_line_depth_m(a, from_s), a1 = ll_line_depth_m(a, to_s);
    const double b0 = ll_line_depth_m(b, from_s), b1 = ll_line_depth_m(b, to_s);
    s->union_s += seconds;
    s->first_ms += (a0 + a1) / 2 * seconds;
    s->other_ms += (b0 + b1) / 2 * seconds;
    s->absolute_ms += mean_absolute(a0 - b0, a1 - b1) * seconds;
    if (!ll_line_is_known(a) || !ll_line_is_known(b))
        return;
    s->known_s += seconds;
    s->known_first_ms += (a0 + a1) / 2 * seconds;
    s->known_other_ms += (b0 + b1) / 2 * seconds;
    s->loss += mean_loss(a0 - b0, a1 - b1) * seconds;
    s->product += mean_product(a0, a1, b0, b1) * seconds;
    s->other_square += mean_product(b0, b1, b0, b1) * seconds;
}

ll_line_sums ll_lines_compare(const ll_depth_line *first, const ll_depth_line *other, double offset_s, double scale)
{
    ll_line_walk a = {first, 0, 1, 0}, b = {other, offset_s, scale, 0};
    ll_line_sums s = {0};
    double now_s = fmin(next_s(&a), next_s(&b));
    while (a.next < first->count || b.next < other->count) {
        const double to_s = fmin(next_s(&a), next_s(&b));
        if ((is_within(&a) || is_within(&b)) && to_s > now_s)
            add_piece(&s, &a, &b, now_s, to_s);
        now_s = to_s;
        ll_line_pass(&a, now_s);
        ll_line_pass(&b, now_s);
    }
    return s;
}
