/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/leg.h"

#include <math.h>
#include <string.h>

double ll_po2_bar(const ll_breathed *gas, double ambient_bar, double recorded_bar)
{
    double own = gas->o2 * ambient_bar;
    if (!gas->loop)
        return own;
    if (!isnan(recorded_bar))
        return fmin(recorded_bar, ambient_bar);
    if (isnan(gas->set_point_bar))
        return own;
    return fmin(fmax(gas->set_point_bar, own), ambient_bar);
}

/* On a loop. */
static void inspire(const ll_breathed *gas, double ambient, double po2, double *n2, double *he)
{
    double inert = fmax(ambient - LL_WATER_VAPOUR_BAR - po2, 0);
    double share = gas->n2 + gas->he;
    *n2 = share > 0 ? inert * (gas->n2 / share) : 0;
    *he = share > 0 ? inert * (gas->he / share) : 0;
}

/* Where two lines cross strictly inside the interval, as a fraction of it; adds it to `at`. */
static void add_crossing(double a0, double a1, double b0, double b1, double *at, int *count)
{
    double from = a0 - b0, to = a1 - b1;
    if ((from < 0 && to > 0) || (from > 0 && to < 0))
        at[(*count)++] = from / (from - to);
}

static void sort(double *at, int count)
{
    for (int i = 1; i < count; i++)
        for (int j = i; j > 0 && at[j] < at[j - 1]; j--) {
            double swapped = at[j];
            at[j] = at[j - 1];
            at[j - 1] = swapped;
        }
}

/* Fractions of the interval at which PO2 on a loop, or the inert gas left beside it, changes its rule. */
static int find_cuts(const ll_breathed *gas, double from, double to, ll_loop_line line, double *at)
{
    const double w = LL_WATER_VAPOUR_BAR;
    int count = 0;
    bool recorded = !isnan(line.from_bar);
    double own0 = gas->o2 * from, own1 = gas->o2 * to;
    if (!recorded)
        line.from_bar = line.to_bar = gas->set_point_bar;
    if (!isnan(line.from_bar)) {
        add_crossing(line.from_bar, line.to_bar, from, to, at, &count);
        add_crossing(line.from_bar, line.to_bar, from - w, to - w, at, &count);
        if (!recorded)
            add_crossing(line.from_bar, line.to_bar, own0, own1, at, &count);
    }
    if (!recorded)
        add_crossing(own0, own1, from - w, to - w, at, &count);
    sort(at, count);
    return count;
}

static void set_end(const ll_breathed *gas, double ambient, double recorded, ll_leg *leg, int end)
{
    leg->ambient_bar[end] = ambient;
    leg->po2_bar[end] = ll_po2_bar(gas, ambient, recorded);
    inspire(gas, ambient, leg->po2_bar[end], &leg->n2_bar[end], &leg->he_bar[end]);
}

/* On open circuit nothing changes its rule. */
static ll_leg open_leg(const ll_breathed *gas, double seconds, double from_bar, double to_bar)
{
    const double dry[2] = {from_bar - LL_WATER_VAPOUR_BAR, to_bar - LL_WATER_VAPOUR_BAR};
    return (ll_leg){seconds,
                    {from_bar, to_bar},
                    {gas->o2 * from_bar, gas->o2 * to_bar},
                    {gas->n2 * dry[0], gas->n2 * dry[1]},
                    {gas->he * dry[0], gas->he * dry[1]}};
}

int ll_legs_make(const ll_breathed *gas, double seconds, double from_bar, double to_bar, ll_loop_line line,
                 ll_leg legs[LL_MAX_LEGS])
{
    double at[LL_MAX_LEGS];
    if (!gas->loop) {
        legs[0] = open_leg(gas, seconds, from_bar, to_bar);
        return 1;
    }
    int cuts = find_cuts(gas, from_bar, to_bar, line, at);
    set_end(gas, from_bar, line.from_bar, &legs[0], 0);
    double before = 0;
    for (int i = 0; i < cuts; i++) {
        double ambient = from_bar + (to_bar - from_bar) * at[i];
        set_end(gas, ambient, line.from_bar + (line.to_bar - line.from_bar) * at[i], &legs[i], 1);
        legs[i].seconds = seconds * (at[i] - before);
        before = at[i];
        legs[i + 1].ambient_bar[0] = ambient;
        legs[i + 1].po2_bar[0] = legs[i].po2_bar[1];
        legs[i + 1].n2_bar[0] = legs[i].n2_bar[1];
        legs[i + 1].he_bar[0] = legs[i].he_bar[1];
    }
    legs[cuts].seconds = cuts ? seconds * (1 - before) : seconds;
    set_end(gas, to_bar, line.to_bar, &legs[cuts], 1);
    return cuts + 1;
}

ll_leg ll_surface_leg(double seconds, double surface_bar)
{
    double n2 = LL_AIR_N2 * (surface_bar - LL_WATER_VAPOUR_BAR);
    double po2 = LL_AIR_O2 * surface_bar;
    return (ll_leg){seconds, {surface_bar, surface_bar}, {po2, po2}, {n2, n2}, {0, 0}};
}

void ll_decays_open(ll_decays *decays)
{
    for (int i = 0; i < 32; i++)
        decays->seconds[i] = NAN;
}

const ll_decay *ll_decays_find(ll_decays *decays, double seconds)
{
    uint64_t bits;
    memcpy(&bits, &seconds, sizeof bits);
    unsigned place = (unsigned)((bits * 0x9E3779B97F4A7C15u) >> 59);
    if (decays->seconds[place] != seconds) {
        ll_decay_make(&decays->of[place], seconds / 60);
        decays->seconds[place] = seconds;
    }
    return &decays->of[place];
}

void ll_leg_breathe(ll_tissues *tissues, const ll_leg *leg, ll_decays *decays)
{
    const ll_decay *decay = ll_decays_find(decays, leg->seconds);
    ll_tissues_step(tissues, decay, leg->n2_bar[0], leg->n2_bar[1], leg->he_bar[0], leg->he_bar[1]);
}
