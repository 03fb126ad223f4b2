/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ratio model behind MN90. */
#include <math.h>

#include "replay/inert_rows.h"

#define AIR_SLACK 0.005 /* of the oxygen fraction: what recorders write for air */

static bool is_air(const ll_breathed *gas)
{
    return !gas->loop && !(gas->he > 0) && fabs(gas->o2 - LL_AIR_O2) <= AIR_SLACK;
}

static void rest(ll_inert *inert, double surface_bar)
{
    ll_ratio_rest(&inert->ratio, surface_bar);
}

static void breathe(ll_inert *inert, const ll_leg *leg, ll_decays *decays)
{
    (void)decays; /* the state keeps its own */
    ll_ratio_step(&inert->ratio, leg->seconds / 60, leg->ambient_bar);
}

static void look(const ll_inert *inert, ll_factors *factors, double depth_m, ll_quantities wanted, ll_bounds *bounds)
{
    const ll_ratio *tissues = &inert->ratio;
    const double ambient_bar = ll_inert_ambient_bar(factors, depth_m);
    if (wanted & (LL_SET(LL_CEILING) | LL_SET(LL_STOP)))
        bounds->ceiling_m = ll_inert_ceiling_m(ll_ratio_tolerated_bar(tissues), factors);
    if (wanted & (LL_SET(LL_GRADIENT) | LL_SET(LL_LEADING)))
        bounds->gradient_percent = ll_ratio_gradient_percent(tissues, ambient_bar, &bounds->leading);
    if (wanted & LL_SET_HEADROOM)
        ll_ratio_headroom_bar(tissues, ambient_bar, bounds->headroom_bar);
}

static double wait_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here, double level_m)
{
    return ll_inert_seconds(
        ll_ratio_wait_min(&inert->ratio, here->ambient_bar[0], ll_inert_ambient_bar(factors, level_m)));
}

static double no_stop_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here)
{
    return ll_inert_seconds(ll_ratio_hold_min(&inert->ratio, here->ambient_bar[0], factors->surface_bar));
}

static double step_m(double bar_per_m)
{
    (void)bar_per_m;
    return LL_RATIO_STEP_M;
}

static double n2_bar(const ll_inert *inert, int compartment)
{
    return inert->ratio.n2_bar[compartment];
}

const ll_inert_row ll_inert_ratio = {
    .compartments = LL_RATIO_COMPARTMENTS,
    .covers = "air on open circuit only",
    .is_covered = is_air,
    .rest = rest,
    .breathe = breathe,
    .look = look,
    .wait_s = wait_s,
    .no_stop_s = no_stop_s,
    .step_m = step_m,
    .n2_bar = n2_bar,
};
