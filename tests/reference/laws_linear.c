/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The exponential-linear model and the ratio model, on the dives of their own publications. */
#include <math.h>
#include <stdbool.h>

#include "laws.h"
#include "model/linear.h"
#include "model/ratio.h"

#define SURFACE_FSW 33.0

/* A mix on open circuit, or a fixed PO2. */
typedef struct breathing {
    double o2_fraction, po2_atm; /* NaN: the other */
} breathing;

static double po2_bar(const breathing *gas, double ambient_bar)
{
    return isnan(gas->po2_atm) ? gas->o2_fraction * ambient_bar : gas->po2_atm * LL_BAR_PER_ATM;
}

static double bar_at(double fsw)
{
    return (SURFACE_FSW + fsw) * LL_BAR_PER_FSW;
}

static void travel(ll_linear *tissues, const breathing *gas, double from_fsw, double to_fsw, double minutes)
{
    const double ambient[2] = {bar_at(from_fsw), bar_at(to_fsw)};
    const double po2[2] = {po2_bar(gas, ambient[0]), po2_bar(gas, ambient[1])};
    ll_linear_step(tissues, minutes, ambient, po2);
}

static ll_linear after_bottom(const breathing *gas, double depth_fsw, double bottom_min, double down_fsw_min)
{
    ll_linear tissues;
    double down_min = depth_fsw / down_fsw_min;
    ll_linear_rest(&tissues, SURFACE_FSW * LL_BAR_PER_FSW);
    travel(&tissues, gas, 0, depth_fsw, down_min);
    travel(&tissues, gas, depth_fsw, depth_fsw, bottom_min - down_min);
    return tissues;
}

/* depth fsw, bottom time min (descent included), descent and ascent fsw/min, fraction of oxygen: minutes waited at
 * 40, 30, 20 and 10 fsw, and in all */
static void linear_schedule(const double *given, double *got)
{
    const breathing gas = {given[4], NAN};
    ll_linear tissues = after_bottom(&gas, given[0], given[1], given[2]);
    got[0] = got[1] = got[2] = got[3] = got[4] = 0;
    double depth = given[0];
    while (depth > 0) {
        double level = (ceil(depth / 10 - 1e-9) - 1) * 10;
        double wait = ll_linear_wait_min(&tissues, bar_at(depth), po2_bar(&gas, bar_at(depth)), bar_at(level));
        travel(&tissues, &gas, depth, depth, wait);
        if (wait > 0 && depth <= 40)
            got[(int)lround((40 - depth) / 10)] = wait;
        got[4] += wait;
        travel(&tissues, &gas, depth, level, (depth - level) / given[3]);
        depth = level;
    }
}

/* The longest bottom time (min, descent included) after which nothing has to be waited for on the way up. */
static double longest_min(const breathing *gas, double depth_fsw, double down_fsw_min, double up_fsw_min)
{
    double good = depth_fsw / down_fsw_min, bad = 1440;
    while (bad - good > 1e-6) {
        double middle = good + (bad - good) / 2;
        ll_linear tissues = after_bottom(gas, depth_fsw, middle, down_fsw_min);
        bool direct = true;
        for (double depth = depth_fsw; depth > 0 && direct;) {
            double level = (ceil(depth / 10 - 1e-9) - 1) * 10;
            direct = ll_linear_is_within(&tissues, bar_at(level));
            travel(&tissues, gas, depth, level, (depth - level) / up_fsw_min);
            depth = level;
        }
        *(direct ? &good : &bad) = middle;
    }
    return good;
}

/* depth fsw, fraction of oxygen, descent and ascent fsw/min: minutes */
static void linear_no_stop(const double *given, double *got)
{
    const breathing gas = {given[1], NAN};
    *got = longest_min(&gas, given[0], given[2], given[3]);
}

/* depth fsw, PO2 atm, descent and ascent fsw/min: minutes */
static void linear_no_stop_at_po2(const double *given, double *got)
{
    const breathing gas = {NAN, given[1]};
    *got = longest_min(&gas, given[0], given[2], given[3]);
}

/* Half-time of compartment 4 is 40 min. depth fsw, tension fsw: minutes on air until it has come down to the
 * crossover, and the rate at first, fsw/min */
static void linear_crossover(const double *given, double *got)
{
    const double ambient = bar_at(given[0]);
    const double both[2] = {ambient, ambient}, po2[2] = {0.21 * ambient, 0.21 * ambient};
    const double crossover = SURFACE_FSW + given[0] - 4.3;
    ll_linear tissues = {.n2_fsw = {0, 0, 0, given[1]}};
    double good = 0, bad = 1000;
    while (bad - good > 1e-9) {
        double middle = good + (bad - good) / 2;
        ll_linear then = tissues;
        ll_linear_step(&then, middle, both, po2);
        *(then.n2_fsw[3] > crossover ? &good : &bad) = middle;
    }
    got[0] = good;
    ll_linear_step(&tissues, 1, both, po2);
    got[1] = tissues.n2_fsw[3] - given[1];
}

/* --- the ratio model ------------------------------------------------------------------------------------------ */

static ll_ratio after_stay(double surface_bar, double depth_m, double minutes)
{
    const double ambient = surface_bar + depth_m / 10, both[2] = {ambient, ambient};
    ll_ratio tissues;
    ll_ratio_rest(&tissues, surface_bar);
    ll_ratio_step(&tissues, minutes, both);
    return tissues;
}

/* surface bar, depth m, minutes: tension of the compartment of 10 min, bar, and its ratio to the surface pressure */
static void ratio_tension(const double *given, double *got)
{
    ll_ratio tissues = after_stay(given[0], given[1], given[2]);
    got[0] = tissues.n2_bar[2];
    got[1] = tissues.n2_bar[2] / given[0];
}

/* surface bar, depth m: longest stay, min, descent and ascent at once */
static void ratio_no_stop(const double *given, double *got)
{
    double good = 0, bad = 1440;
    while (bad - good > 1e-6) {
        double middle = good + (bad - good) / 2;
        ll_ratio tissues = after_stay(given[0], given[1], middle);
        *(ll_ratio_is_within(&tissues, given[0]) ? &good : &bad) = middle;
    }
    *got = good;
}

/* surface bar, depth m, minutes: 1 if the compartment of 10 min by itself may surface; deepest depth in steps of 3 m
 * that it asks for */
static void ratio_stop(const double *given, double *got)
{
    ll_ratio tissues = after_stay(given[0], given[1], given[2]), alone = {0};
    alone.n2_bar[2] = tissues.n2_bar[2];
    double stop = 0;
    while (!ll_ratio_is_within(&alone, given[0] + stop / 10))
        stop += LL_RATIO_STEP_M;
    got[0] = stop;
}

const law linear_laws[] = {
    {"linear_schedule", 5, 5, linear_schedule},
    {"linear_no_stop", 4, 1, linear_no_stop},
    {"linear_no_stop_at_po2", 4, 1, linear_no_stop_at_po2},
    {"linear_crossover", 2, 2, linear_crossover},
    {"ratio_tension", 3, 2, ratio_tension},
    {"ratio_no_stop", 2, 1, ratio_no_stop},
    {"ratio_stop", 3, 1, ratio_stop},
    {0},
};
