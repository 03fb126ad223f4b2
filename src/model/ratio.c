/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/ratio.h"

#include <math.h>

#define LN_2 0.69314718055994530942
#define AIR_N2 0.80

/* Half-times (min) and critical ratios of tension to ambient pressure, as circulated in French teaching material on
 * MN90. */
static const double half_time_min[LL_RATIO_COMPARTMENTS] = {5, 7, 10, 15, 20, 30, 40, 50, 60, 80, 100, 120};
static const double critical[LL_RATIO_COMPARTMENTS] = {2.72, 2.54, 2.38, 2.20, 2.04, 1.82,
                                                       1.68, 1.61, 1.58, 1.56, 1.55, 1.54};

void ll_ratio_rest(ll_ratio *tissues, double surface_bar)
{
    *tissues = (ll_ratio){0};
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++)
        tissues->n2_bar[i] = AIR_N2 * surface_bar;
}

static void make_fill(ll_ratio *tissues, double minutes)
{
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++) {
        double lives = LN_2 / half_time_min[i] * minutes;
        tissues->fill[i] = -expm1(-lives);
        tissues->ramp[i] = 1 - tissues->fill[i] / lives;
    }
    tissues->minutes = minutes;
}

void ll_ratio_step(ll_ratio *tissues, double minutes, const double ambient_bar[2])
{
    if (!(minutes > 0))
        return;
    if (minutes != tissues->minutes)
        make_fill(tissues, minutes);
    double from = AIR_N2 * ambient_bar[0], to = AIR_N2 * ambient_bar[1];
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++)
        tissues->n2_bar[i] += (from - tissues->n2_bar[i]) * tissues->fill[i] + (to - from) * tissues->ramp[i];
}

bool ll_ratio_is_within(const ll_ratio *tissues, double ambient_bar)
{
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++)
        if (tissues->n2_bar[i] > critical[i] * ambient_bar)
            return false;
    return true;
}

double ll_ratio_wait_min(const ll_ratio *tissues, double ambient_bar, double level_bar)
{
    const double inspired = AIR_N2 * ambient_bar;
    double wait = 0;
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++) {
        double now = tissues->n2_bar[i], limit = critical[i] * level_bar;
        if (now > limit && limit <= inspired)
            return INFINITY;
        if (now > limit)
            wait = fmax(wait, log((now - inspired) / (limit - inspired)) * half_time_min[i] / LN_2);
    }
    for (int i = 0; i < LL_RATIO_COMPARTMENTS && wait > 0; i++) {
        double now = tissues->n2_bar[i], limit = critical[i] * level_bar;
        double then = now + (inspired - now) * -expm1(-LN_2 / half_time_min[i] * wait);
        if (now <= limit && inspired > now && then > limit)
            return INFINITY;
    }
    return wait;
}

double ll_ratio_hold_min(const ll_ratio *tissues, double ambient_bar, double level_bar)
{
    const double inspired = AIR_N2 * ambient_bar;
    double hold = INFINITY;
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++) {
        double now = tissues->n2_bar[i], limit = critical[i] * level_bar;
        if (now > limit)
            return 0;
        if (inspired > limit)
            hold = fmin(hold, log((inspired - now) / (inspired - limit)) * half_time_min[i] / LN_2);
    }
    return hold;
}

double ll_ratio_tolerated_bar(const ll_ratio *tissues)
{
    double tolerated = 0;
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++)
        tolerated = fmax(tolerated, tissues->n2_bar[i] / critical[i]);
    return tolerated;
}

double ll_ratio_gradient_percent(const ll_ratio *tissues, double ambient_bar, int *leading)
{
    double greatest = -INFINITY;
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++) {
        double share = (tissues->n2_bar[i] - ambient_bar) / (critical[i] * ambient_bar - ambient_bar);
        if (share > greatest)
            *leading = i + 1;
        greatest = fmax(greatest, share);
    }
    return 100 * greatest;
}

void ll_ratio_headroom_bar(const ll_ratio *tissues, double ambient_bar, double headroom_bar[LL_RATIO_COMPARTMENTS])
{
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++)
        headroom_bar[i] = critical[i] * ambient_bar - tissues->n2_bar[i];
}
