/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/linear.h"

#include <math.h>

#define LN_2 0.69314718055994530942
#define FSW_PER_ATM 33.0
#define AIR_N2 0.79
#define ARTERIAL_CO2_FSW 1.5
#define TISSUE_GASES_FSW 4.3 /* venous oxygen 2.0 and carbon dioxide 2.3: how far the crossover lies below ambient */
#define ROOT_MIN 1e-12
#define MOST_PHASES 8 /* of one leg */

/* Half-times (min) and the tensions (fsw) that a compartment may have when it leaves 10 fsw for the surface; 10 fsw
 * more a step of 10 fsw. VVal-18; printed in NEDU TR 07-09. From memory; its outcomes are checked in the reference
 * suite. */
static const double half_time_min[LL_LINEAR_COMPARTMENTS] = {5, 10, 20, 40, 80, 120, 160, 200, 240};
static const double surfacing_fsw[LL_LINEAR_COMPARTMENTS] = {120, 98, 78, 56, 48.5, 45.5, 44.5, 44.0, 43.5};

/* One compartment on the rest of a leg; pressures in fsw, rates in fsw/min. */
typedef struct phase {
    double rate; /* 1/min */
    double tension;
    double arterial, arterial_rise;
    double crossover, crossover_rise;
    bool linear; /* beyond the crossover */
} phase;

/* Less than 0 where hardly anything but oxygen is breathed. */
static double inert_fsw(double ambient_bar, double po2_bar)
{
    return (ambient_bar - po2_bar) / LL_BAR_PER_FSW - ARTERIAL_CO2_FSW;
}

static double arterial_fsw(double ambient_bar, double po2_bar)
{
    return fmax(inert_fsw(ambient_bar, po2_bar), 0);
}

static double crossover_fsw(double ambient_bar)
{
    return ambient_bar / LL_BAR_PER_FSW - TISSUE_GASES_FSW;
}

/* The tension after some minutes; `fill` is 1 - e^-kt. */
static double tension_at(const phase *p, double minutes, double fill)
{
    if (!p->linear)
        return p->tension + (p->arterial - p->tension) * fill + p->arterial_rise * (minutes - fill / p->rate);
    double slope = p->arterial - p->crossover, curve = p->arterial_rise - p->crossover_rise;
    return p->tension + p->rate * minutes * (slope + curve * minutes / 2);
}

/* How far the tension stands beyond the crossover. */
static double beyond_at(const phase *p, double minutes)
{
    return tension_at(p, minutes, -expm1(-p->rate * minutes)) - p->crossover - p->crossover_rise * minutes;
}

/* When the distance from the crossover turns, if it does within the leg; else its end. In between it runs one way. */
static double turning_min(const phase *p, double minutes)
{
    double curve = p->arterial_rise - p->crossover_rise, at;
    if (p->linear)
        at = (p->crossover_rise / p->rate - (p->arterial - p->crossover)) / curve;
    else
        at = -log(-curve / (p->rate * (p->arterial - p->tension) - p->arterial_rise)) / p->rate;
    return at > 0 && at < minutes ? at : minutes;
}

static bool is_over(const phase *p, double beyond)
{
    return p->linear ? beyond < 0 : beyond > 0;
}

static double root_min(const phase *p, double good, double bad)
{
    while (bad - good > ROOT_MIN * (1 + good)) {
        double middle = good + (bad - good) / 2;
        *(is_over(p, beyond_at(p, middle)) ? &bad : &good) = middle;
    }
    return bad;
}

/* Minutes until the compartment crosses over; the end of the leg if it does not. */
static double phase_min(const phase *p, double minutes)
{
    double turning = turning_min(p, minutes);
    if (is_over(p, beyond_at(p, turning)))
        return root_min(p, 0, turning);
    if (turning < minutes && is_over(p, beyond_at(p, minutes)))
        return root_min(p, turning, minutes);
    return minutes;
}

static bool is_beyond(const phase *p)
{
    return p->tension > p->crossover && p->crossover > p->arterial;
}

/* How fast the distance from the crossover grows, `fill` being 1 - e^-kt. */
static double growth_at(const phase *p, double minutes, double fill)
{
    double curve = p->arterial_rise - p->crossover_rise;
    if (p->linear)
        return p->rate * (p->arterial - p->crossover + curve * minutes) - p->crossover_rise;
    return curve + (p->rate * (p->arterial - p->tension) - p->arterial_rise) * (1 - fill);
}

/* True if the whole leg surely lies in one phase, which leads to this tension. */
static bool stays(const phase *p, double minutes, double fill, double tension)
{
    if (!p->linear && p->crossover <= p->arterial)
        return true;
    double beyond = tension - p->crossover - p->crossover_rise * minutes;
    return !is_over(p, beyond) && growth_at(p, 0, 0) * growth_at(p, minutes, fill) >= 0;
}

static void move_on(phase *p, double minutes)
{
    p->tension = tension_at(p, minutes, -expm1(-p->rate * minutes));
    p->arterial += p->arterial_rise * minutes;
    p->crossover += p->crossover_rise * minutes;
}

/* From phase to phase; the one that follows a crossing is the other one. */
static double through_phases(phase *p, double minutes)
{
    for (int i = 0; i < MOST_PHASES && minutes > 0; i++) {
        double taken = i == MOST_PHASES - 1 ? minutes : phase_min(p, minutes);
        bool crossed = taken < minutes;
        move_on(p, taken);
        minutes -= taken;
        p->linear = crossed ? !p->linear && p->crossover > p->arterial : p->linear;
    }
    return p->tension;
}

static void make_fill(ll_linear *tissues, double minutes)
{
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
        tissues->fill[i] = -expm1(-LN_2 / half_time_min[i] * minutes);
    tissues->minutes = minutes;
}

void ll_linear_rest(ll_linear *tissues, double surface_bar)
{
    *tissues = (ll_linear){0};
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
        tissues->n2_fsw[i] = arterial_fsw(surface_bar, (1 - AIR_N2) * surface_bar);
}

/* A leg on which the arterial pressure is linear. */
static void step_line(ll_linear *tissues, double minutes, const double ambient_bar[2], const double po2_bar[2])
{
    if (!(minutes > 0))
        return;
    if (minutes != tissues->minutes)
        make_fill(tissues, minutes);
    phase leg = {.arterial = arterial_fsw(ambient_bar[0], po2_bar[0]), .crossover = crossover_fsw(ambient_bar[0])};
    leg.arterial_rise = (arterial_fsw(ambient_bar[1], po2_bar[1]) - leg.arterial) / minutes;
    leg.crossover_rise = (crossover_fsw(ambient_bar[1]) - leg.crossover) / minutes;
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++) {
        phase p = leg;
        p.rate = LN_2 / half_time_min[i];
        p.tension = tissues->n2_fsw[i];
        p.linear = is_beyond(&p);
        double tension = tension_at(&p, minutes, tissues->fill[i]);
        tissues->n2_fsw[i] = stays(&p, minutes, tissues->fill[i], tension) ? tension : through_phases(&p, minutes);
    }
}

void ll_linear_step(ll_linear *tissues, double minutes, const double ambient_bar[2], const double po2_bar[2])
{
    double from = inert_fsw(ambient_bar[0], po2_bar[0]), to = inert_fsw(ambient_bar[1], po2_bar[1]);
    if (from * to >= 0) {
        step_line(tissues, minutes, ambient_bar, po2_bar);
        return;
    }
    double share = from / (from - to); /* from here on, or up to here, it is 0 */
    double ambient = ambient_bar[0] + (ambient_bar[1] - ambient_bar[0]) * share;
    double po2 = po2_bar[0] + (po2_bar[1] - po2_bar[0]) * share;
    step_line(tissues, minutes * share, (const double[]){ambient_bar[0], ambient}, (const double[]){po2_bar[0], po2});
    step_line(tissues, minutes * (1 - share), (const double[]){ambient, ambient_bar[1]},
              (const double[]){po2, po2_bar[1]});
}

/* --- limits --------------------------------------------------------------------------------------------------- */

/* What compartment i may have to go to an ambient pressure. */
static double limit_fsw(int i, double ambient_bar)
{
    return surfacing_fsw[i] + ambient_bar / LL_BAR_PER_FSW - FSW_PER_ATM;
}

bool ll_linear_is_within(const ll_linear *tissues, double ambient_bar)
{
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
        if (tissues->n2_fsw[i] > limit_fsw(i, ambient_bar))
            return false;
    return true;
}

/* Minutes until a compartment has come down to its limit. */
static double fall_min(const phase *p, double limit)
{
    if (p->tension <= limit)
        return 0;
    if (limit <= p->arterial)
        return INFINITY;
    double minutes = 0, from = p->tension;
    if (p->linear) {
        double to = fmax(p->crossover, limit);
        minutes = (from - to) / (p->rate * (p->crossover - p->arterial));
        from = to;
    }
    return minutes + log((from - p->arterial) / (limit - p->arterial)) / p->rate;
}

double ll_linear_wait_min(const ll_linear *tissues, double ambient_bar, double po2_bar, double level_bar)
{
    phase here = {.arterial = arterial_fsw(ambient_bar, po2_bar), .crossover = crossover_fsw(ambient_bar)};
    double wait = 0;
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++) {
        phase p = here;
        p.rate = LN_2 / half_time_min[i];
        p.tension = tissues->n2_fsw[i];
        p.linear = is_beyond(&p);
        wait = fmax(wait, fall_min(&p, limit_fsw(i, level_bar)));
    }
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS && wait > 0 && isfinite(wait); i++) {
        double now = tissues->n2_fsw[i], limit = limit_fsw(i, level_bar);
        double then = now + (here.arterial - now) * -expm1(-LN_2 / half_time_min[i] * wait);
        if (now <= limit && here.arterial > now && then > limit)
            wait = INFINITY;
    }
    return wait;
}

double ll_linear_hold_min(const ll_linear *tissues, double ambient_bar, double po2_bar, double level_bar)
{
    const double arterial = arterial_fsw(ambient_bar, po2_bar);
    double hold = INFINITY;
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++) {
        double now = tissues->n2_fsw[i], limit = limit_fsw(i, level_bar);
        if (now > limit)
            return 0;
        if (arterial > limit) /* it takes up all the way, exponentially */
            hold = fmin(hold, log((arterial - now) / (arterial - limit)) * half_time_min[i] / LN_2);
    }
    return hold;
}

double ll_linear_tolerated_bar(const ll_linear *tissues)
{
    double tolerated = -INFINITY;
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
        tolerated = fmax(tolerated, tissues->n2_fsw[i] - surfacing_fsw[i] + FSW_PER_ATM);
    return tolerated * LL_BAR_PER_FSW;
}

double ll_linear_gradient_percent(const ll_linear *tissues, double ambient_bar, int *leading)
{
    const double ambient = ambient_bar / LL_BAR_PER_FSW;
    double greatest = -INFINITY;
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++) {
        double share = (tissues->n2_fsw[i] - ambient) / (limit_fsw(i, ambient_bar) - ambient);
        if (share > greatest)
            *leading = i + 1;
        greatest = fmax(greatest, share);
    }
    return 100 * greatest;
}

void ll_linear_headroom_bar(const ll_linear *tissues, double ambient_bar, double headroom_bar[LL_LINEAR_COMPARTMENTS])
{
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
        headroom_bar[i] = (limit_fsw(i, ambient_bar) - tissues->n2_fsw[i]) * LL_BAR_PER_FSW;
}
