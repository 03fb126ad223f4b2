/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The exponential-linear model with VVal-18. */
#include "replay/inert_rows.h"

static bool is_without_helium(const ll_breathed *gas)
{
    return !(gas->he > 0);
}

static void rest(ll_inert *inert, double surface_bar)
{
    ll_linear_rest(&inert->linear, surface_bar);
}

static void breathe(ll_inert *inert, const ll_leg *leg, ll_decays *decays)
{
    (void)decays; /* the state keeps its own */
    ll_linear_step(&inert->linear, leg->seconds / 60, leg->ambient_bar, leg->po2_bar);
}

static void look(const ll_inert *inert, ll_factors *factors, double depth_m, ll_quantities wanted, ll_bounds *bounds)
{
    const ll_linear *tissues = &inert->linear;
    const double ambient_bar = ll_inert_ambient_bar(factors, depth_m);
    if (wanted & (LL_SET(LL_CEILING) | LL_SET(LL_STOP)))
        bounds->ceiling_m = ll_inert_ceiling_m(ll_linear_tolerated_bar(tissues), factors);
    if (wanted & (LL_SET(LL_GRADIENT) | LL_SET(LL_LEADING)))
        bounds->gradient_percent = ll_linear_gradient_percent(tissues, ambient_bar, &bounds->leading);
    if (wanted & LL_SET_HEADROOM)
        ll_linear_headroom_bar(tissues, ambient_bar, bounds->headroom_bar);
}

static double wait_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here, double level_m)
{
    return ll_inert_seconds(ll_linear_wait_min(&inert->linear, here->ambient_bar[0], here->po2_bar[0],
                                               ll_inert_ambient_bar(factors, level_m)));
}

static double no_stop_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here)
{
    return ll_inert_seconds(
        ll_linear_hold_min(&inert->linear, here->ambient_bar[0], here->po2_bar[0], factors->surface_bar));
}

static double step_m(double bar_per_m)
{
    return LL_LINEAR_STEP_FSW * LL_BAR_PER_FSW / bar_per_m;
}

static double n2_bar(const ll_inert *inert, int compartment)
{
    return inert->linear.n2_fsw[compartment] * LL_BAR_PER_FSW;
}

const ll_inert_row ll_inert_linear = {
    .compartments = LL_LINEAR_COMPARTMENTS,
    .covers = "mixes of oxygen and nitrogen only",
    .is_covered = is_without_helium,
    .rest = rest,
    .breathe = breathe,
    .look = look,
    .wait_s = wait_s,
    .no_stop_s = no_stop_s,
    .step_m = step_m,
    .n2_bar = n2_bar,
};
