/* SPDX-License-Identifier: GPL-3.0-or-later */
/* ZH-L16, sets A, B and C, with gradient factors. */
#include <math.h>

#include "model/ascent.h"
#include "replay/inert_rows.h"

#define STEP_M 3.0 /* custom */

static const ll_coefficients *set_of(const ll_inert *inert)
{
    return ll_coefficients_of((int)inert->model);
}

static void rest(ll_inert *inert, double surface_bar)
{
    ll_tissues_rest(&inert->zh_l16, surface_bar);
}

static void breathe(ll_inert *inert, const ll_leg *leg, ll_decays *decays)
{
    if (decays) {
        ll_leg_breathe(&inert->zh_l16, leg, decays);
        return;
    }
    ll_decay decay;
    ll_decay_make(&decay, leg->seconds / 60);
    ll_tissues_step(&inert->zh_l16, &decay, leg->n2_bar[0], leg->n2_bar[1], leg->he_bar[0], leg->he_bar[1]);
}

void ll_anchor_raise(ll_factors *factors, const ll_load *load)
{
    double at_bar = factors->surface_bar + factors->bar_per_m * factors->anchor_m;
    if (!ll_within_limits(load, at_bar, factors->low))
        factors->anchor_m = fmax(factors->anchor_m, ll_anchor_candidate_m(load, factors));
}

static void look(const ll_inert *inert, ll_factors *factors, double depth_m, ll_quantities wanted, ll_bounds *bounds)
{
    ll_load load;
    ll_load_make(&load, set_of(inert), &inert->zh_l16);
    ll_anchor_raise(factors, &load);
    const double ambient_bar = ll_inert_ambient_bar(factors, depth_m);
    if (wanted & (LL_SET(LL_CEILING) | LL_SET(LL_STOP)))
        bounds->ceiling_m = ll_ceiling_m(&load, factors);
    if (wanted & (LL_SET(LL_GRADIENT) | LL_SET(LL_LEADING)))
        bounds->gradient_percent = ll_gradient_percent(&load, ambient_bar, &bounds->leading);
    if (wanted & LL_SET_HEADROOM)
        ll_headroom_bar(&load, ambient_bar, ll_factor_at(factors, depth_m), bounds->headroom_bar);
}

static bool floor_holds(const ll_inert *inert, const ll_factors *factors, ll_floor *floor)
{
    const double at_bar = ll_inert_ambient_bar(factors, factors->anchor_m);
    if (floor->ambient_bar != at_bar || floor->g != factors->low)
        ll_floor_make(floor, set_of(inert), at_bar, factors->low);
    return ll_floor_holds(floor, &inert->zh_l16);
}

/* Along a dive the anchor stands still most of the time; where it rose a moment ago it likely rises on, and the floor is not
 * asked. */
static void raise(const ll_inert *inert, ll_factors *factors, ll_floor *floor)
{
    if (!floor->gives_way && floor_holds(inert, factors, floor))
        return;
    const double before_m = factors->anchor_m;
    ll_load load;
    ll_load_make(&load, set_of(inert), &inert->zh_l16);
    ll_anchor_raise(factors, &load);
    floor->gives_way = factors->anchor_m > before_m;
}

/* No ceiling lies deeper than the anchor; and how far a compartment stands beyond its limit is convex in depth, and not above
 * 0 at the anchor: where it is below 0, what is above 0 lies shallower. */
static bool is_clear(const ll_inert *inert, const ll_factors *factors, double depth_m)
{
    if (!(depth_m >= 0))
        return false;
    return depth_m >= factors->anchor_m ||
           ll_clearly_within(set_of(inert), &inert->zh_l16, ll_inert_ambient_bar(factors, depth_m),
                             ll_factor_at(factors, depth_m));
}

static double anchor_m(const ll_inert *inert, const ll_factors *factors)
{
    ll_load load;
    ll_load_make(&load, set_of(inert), &inert->zh_l16);
    return ll_anchor_candidate_m(&load, factors);
}

static double wait_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here, double level_m)
{
    return ll_time_until_within_s(set_of(inert), &inert->zh_l16, here->n2_bar[0], here->he_bar[0],
                                  ll_inert_ambient_bar(factors, level_m), ll_factor_at(factors, level_m));
}

static double no_stop_s(const ll_inert *inert, const ll_factors *factors, const ll_leg *here)
{
    return ll_time_within_s(set_of(inert), &inert->zh_l16, here->n2_bar[0], here->he_bar[0], factors->surface_bar,
                            factors->high);
}

static double step_m(double bar_per_m)
{
    (void)bar_per_m;
    return STEP_M;
}

static double n2_bar(const ll_inert *inert, int compartment)
{
    return inert->zh_l16.n2[compartment];
}

static double he_bar(const ll_inert *inert, int compartment)
{
    return inert->zh_l16.he[compartment];
}

const ll_inert_row ll_inert_zh_l16 = {
    .compartments = LL_COMPARTMENTS,
    .rest = rest,
    .breathe = breathe,
    .look = look,
    .raise = raise,
    .is_clear = is_clear,
    .anchor_m = anchor_m,
    .wait_s = wait_s,
    .no_stop_s = no_stop_s,
    .step_m = step_m,
    .n2_bar = n2_bar,
    .he_bar = he_bar,
};
