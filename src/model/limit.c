/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits: Buehlmann's M = a + P/b with gradient factors after E. C. Baker, Clearing up the confusion about deep stops,
 * immersed 3(4), 1998. With slope = 1/b - 1 the gradient allowed above ambient is a + slope P. */
#include "model/limit.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#define SHALLOWEST_CEILING_M 0.01 /* below it there is none */
#define NO_LOAD_BAR 1e-300         /* keeps 0/0 out of an empty compartment */
#define CLEAR_BAR 1e-6             /* far more than rounding, also of a root where a curve only just comes down */

/* Halves against halves, so that the compiler can take several compartments at once. */
static double largest(const double value[LL_COMPARTMENTS])
{
    double top[LL_COMPARTMENTS / 2];
    for (int i = 0; i < LL_COMPARTMENTS / 2; i++)
        top[i] = value[i] > value[i + LL_COMPARTMENTS / 2] ? value[i] : value[i + LL_COMPARTMENTS / 2];
    for (int i = 0; i < LL_COMPARTMENTS / 4; i++)
        top[i] = top[i] > top[i + LL_COMPARTMENTS / 4] ? top[i] : top[i + LL_COMPARTMENTS / 4];
    double greatest = top[0];
    for (int i = 1; i < LL_COMPARTMENTS / 4; i++)
        greatest = top[i] > greatest ? top[i] : greatest;
    return greatest;
}

static void make_load(double *restrict total_bar, double *restrict a_bar, double *restrict slope,
                      const ll_coefficients *restrict c, const ll_tissues *restrict tissues)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        double total = tissues->n2[i] + tissues->he[i];
        double he_share = tissues->he[i] / (total > NO_LOAD_BAR ? total : NO_LOAD_BAR);
        double b = c->n2_b[i] + (c->he_b[i] - c->n2_b[i]) * he_share;
        total_bar[i] = total;
        a_bar[i] = c->n2_a_bar[i] + (c->he_a_bar[i] - c->n2_a_bar[i]) * he_share;
        slope[i] = (1.0 - b) / b;
    }
}

void ll_load_make(ll_load *load, const ll_coefficients *coefficients, const ll_tissues *tissues)
{
    if (ll_tissues_have_helium(tissues)) {
        make_load(load->total_bar, load->a_bar, load->slope, coefficients, tissues);
        return;
    }
    memcpy(load->total_bar, tissues->n2, sizeof load->total_bar);
    memcpy(load->a_bar, coefficients->n2_a_bar, sizeof load->a_bar);
    memcpy(load->slope, coefficients->n2_slope, sizeof load->slope);
}

double ll_gradient_percent(const ll_load *load, double ambient_bar, int *leading)
{
    double share[LL_COMPARTMENTS];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        share[i] = (load->total_bar[i] - ambient_bar) / (load->a_bar[i] + load->slope[i] * ambient_bar);
    double greatest = largest(share);
    if (leading) {
        int first = 0;
        while (first < LL_COMPARTMENTS - 1 && share[first] < greatest)
            first++;
        *leading = first + 1;
    }
    return 100.0 * greatest;
}

double ll_tolerated_bar(const ll_load *load, double g)
{
    double tolerated[LL_COMPARTMENTS];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        tolerated[i] = (load->total_bar[i] - load->a_bar[i] * g) / (1.0 + load->slope[i] * g);
    return largest(tolerated);
}

bool ll_within_limits(const ll_load *load, double ambient_bar, double g)
{
    double beyond[LL_COMPARTMENTS];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        beyond[i] = load->total_bar[i] - ambient_bar - g * (load->a_bar[i] + load->slope[i] * ambient_bar);
    return largest(beyond) <= 0.0;
}

void ll_floor_make(ll_floor *floor, const ll_coefficients *coefficients, double ambient_bar, double g)
{
    floor->ambient_bar = ambient_bar;
    floor->g = g;
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        floor->allowed_bar[i] = g * (coefficients->n2_a_bar[i] + coefficients->n2_slope[i] * ambient_bar);
}

/* Every operation is one of ll_within_limits, with operands that make it no less. */
bool ll_floor_holds(const ll_floor *floor, const ll_tissues *tissues)
{
    double beyond[LL_COMPARTMENTS];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        beyond[i] = tissues->n2[i] + tissues->he[i] - floor->ambient_bar - floor->allowed_bar[i];
    return largest(beyond) <= 0.0;
}

bool ll_clearly_within(const ll_coefficients *coefficients, const ll_tissues *tissues, double ambient_bar, double g)
{
    double beyond[LL_COMPARTMENTS];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        beyond[i] = tissues->n2[i] + tissues->he[i] - ambient_bar -
                    g * (coefficients->n2_a_bar[i] + coefficients->n2_slope[i] * ambient_bar);
    return largest(beyond) <= -CLEAR_BAR;
}

void ll_headroom_bar(const ll_load *load, double ambient_bar, double g, double headroom_bar[LL_COMPARTMENTS])
{
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        headroom_bar[i] = g * (load->a_bar[i] + load->slope[i] * ambient_bar) + ambient_bar - load->total_bar[i];
}

double ll_factor_at(const ll_factors *factors, double depth_m)
{
    if (factors->anchor_m <= 0.0 || depth_m <= 0.0)
        return factors->high;
    if (depth_m >= factors->anchor_m)
        return factors->low;
    return factors->high + (factors->low - factors->high) * (depth_m / factors->anchor_m);
}

double ll_anchor_candidate_m(const ll_load *load, const ll_factors *factors)
{
    return (ll_tolerated_bar(load, factors->low) - factors->surface_bar) / factors->bar_per_m;
}

/* How far each compartment stands beyond its limit at depth d: constant + linear d + square d^2, in bar. */
typedef struct curves {
    double allowed[LL_COMPARTMENTS]; /* at the surface, above its pressure, by a factor of 1 */
    double constant[LL_COMPARTMENTS], linear[LL_COMPARTMENTS], square[LL_COMPARTMENTS];
} curves;

static void make_constants(curves *restrict curve, const ll_load *restrict load, double surface, double high)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        curve->allowed[i] = load->a_bar[i] + load->slope[i] * surface;
        curve->constant[i] = load->total_bar[i] - surface - high * curve->allowed[i];
    }
}

static void make_slopes(curves *restrict curve, const ll_load *restrict load, const ll_factors *restrict factors)
{
    double rise = factors->bar_per_m, high = factors->high;
    double fall = factors->anchor_m > 0.0 ? (high - factors->low) / factors->anchor_m : 0.0; /* of the factor, 1/m */
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        curve->linear[i] = fall * curve->allowed[i] - rise * (1.0 + high * load->slope[i]);
        curve->square[i] = fall * load->slope[i] * rise;
    }
}

/* The shallower root of a convex curve that is above 0 at depth 0, in the form that does not cancel; NaN or no depth
 * where the curve never comes down. */
static double root_m(double constant, double linear, double square)
{
    return 2.0 * constant / (sqrt(linear * linear - 4.0 * square * constant) - linear);
}

double ll_ceiling_m(const ll_load *load, const ll_factors *factors)
{
    curves curve;
    make_constants(&curve, load, factors->surface_bar, factors->high);
    if (largest(curve.constant) <= 0.0)
        return 0.0;
    make_slopes(&curve, load, factors);
    double deepest = factors->anchor_m > 0.0 ? factors->anchor_m : INFINITY;
    double ceiling = 0.0;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        double beyond = curve.constant[i] + (curve.linear[i] + curve.square[i] * ceiling) * ceiling;
        if (beyond <= 0.0)
            continue;
        double root = root_m(curve.constant[i], curve.linear[i], curve.square[i]);
        if (!(root > 0.0 && root < deepest)) { /* by rounding: the caller promised that the anchor is within limits */
            ceiling = deepest;
            break;
        }
        ceiling = root > ceiling ? root : ceiling;
    }
    return ceiling < SHALLOWEST_CEILING_M ? 0.0 : ceiling;
}
