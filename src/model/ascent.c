/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Times at constant inspired pressures, where every compartment's nitrogen and helium run monotonically towards them.
 *
 * Without helium a compartment's limit stands still and the time is a logarithm. With helium the limit moves too. What
 * makes the search sure: beyond its limit a compartment's distance from it rises with either gas. (With S = N + H the
 * derivative by N is at least 1; by H it is 1 - g ((aH - aN) N/S^2 + P (bN - bH) N/B^2), B = bN N + bH H, and there, as
 * S > P + g aN, at least 1 - g ((aH - aN)/(P + g aN) + (bN - bH)/bH^2), which is positive for every compartment, factor
 * and pressure in use.) So over an interval a compartment stays within its limit if it would be with the higher of the
 * two end values of each gas, and stays beyond if it would be with the lower ones; where neither is known the interval
 * is halved. */
#include "model/ascent.h"

#include <math.h>

#define LN_2 0.69314718055994530942
#define S_PER_MIN 60.0
#define LONGEST_MIN (LL_LONGEST_S / S_PER_MIN)
#define NARROW_MIN 1e-6 /* a stay beyond or within limits shorter than this is not looked for */
#define ROOT_MIN 1e-9   /* how narrowly a root is bracketed */
#define HAIR_MIN (ROOT_MIN / 3.0)
#define MOST_STEPS 200

/* One gas of one compartment: inspired + excess e^(-rate t), t in minutes. */
typedef struct course {
    double inspired, excess, rate;
} course;

typedef struct compartment {
    course n2, he;
    double n2_a, n2_b, he_a, he_b;
    double ambient, factor;
} compartment;

typedef struct instant {
    double minutes, n2, he;
} instant;

typedef enum change { LEAVES, ENTERS } change; /* the limit's inner side */

static course course_of(double now, double inspired, double half_time_min)
{
    return (course){inspired, now - inspired, LN_2 / half_time_min};
}

static compartment compartment_of(const ll_coefficients *c, const ll_tissues *tissues, int i, double n2_inspired,
                                  double he_inspired, double ambient, double factor)
{
    return (compartment){
        .n2 = course_of(tissues->n2[i], n2_inspired, c->n2_half_time_min[i]),
        .he = course_of(tissues->he[i], he_inspired, c->he_half_time_min[i]),
        .n2_a = c->n2_a_bar[i],
        .n2_b = c->n2_b[i],
        .he_a = c->he_a_bar[i],
        .he_b = c->he_b[i],
        .ambient = ambient,
        .factor = factor,
    };
}

static instant instant_at(const compartment *c, double minutes)
{
    return (instant){
        .minutes = minutes,
        .n2 = c->n2.inspired + c->n2.excess * exp(-c->n2.rate * minutes),
        .he = c->he.inspired + c->he.excess * exp(-c->he.rate * minutes),
    };
}

/* Bar beyond the limit; positive outside. */
static double beyond(const compartment *c, double n2, double he)
{
    double total = n2 + he;
    double he_share = total > 0.0 ? he / total : 0.0;
    double a = c->n2_a + (c->he_a - c->n2_a) * he_share;
    double b = c->n2_b + (c->he_b - c->n2_b) * he_share;
    return total - c->ambient - c->factor * (a + (1.0 - b) / b * c->ambient);
}

static bool is_within(const compartment *c, const instant *at)
{
    return beyond(c, at->n2, at->he) <= 0.0;
}

/* How fast `beyond` grows, bar/min. */
static double growth(const compartment *c, const instant *at)
{
    double n2_rate = c->n2.rate * (c->n2.inspired - at->n2);
    double he_rate = c->he.rate * (c->he.inspired - at->he);
    double total = at->n2 + at->he;
    double mixed = c->n2_b * at->n2 + c->he_b * at->he;
    double share_rate = (he_rate * at->n2 - n2_rate * at->he) / (total * total);
    double a_rate = (c->he_a - c->n2_a) * share_rate;
    double inverse_b_rate = (c->n2_b - c->he_b) * share_rate * (total * total) / (mixed * mixed);
    return n2_rate + he_rate - c->factor * (a_rate + inverse_b_rate * c->ambient);
}

static double lower(double x, double y)
{
    return x < y ? x : y;
}

static double higher(double x, double y)
{
    return x > y ? x : y;
}

/* True if the compartment surely stays on the side it must leave, all the way from one instant to the other. */
static bool stays(const compartment *c, change what, const instant *from, const instant *to)
{
    if (what == LEAVES)
        return beyond(c, higher(from->n2, to->n2), higher(from->he, to->he)) <= 0.0;
    return beyond(c, lower(from->n2, to->n2), lower(from->he, to->he)) > 0.0;
}

static bool has_changed(const compartment *c, change what, const instant *at)
{
    return is_within(c, at) == (what == ENTERS);
}

/* The only change between two instants, the later one after it. Newton's steps, each aimed a hair past the root so that
 * the bracket closes from both sides; halving where a step would leave it. Gives a time just after the change. */
static double only_change_min(const compartment *c, change what, const instant *from, const instant *to)
{
    double early = from->minutes, late = to->minutes;
    instant at = *from;
    bool changed = false;
    for (int step = 0; step < MOST_STEPS && late - early > ROOT_MIN; step++) {
        double next = at.minutes - beyond(c, at.n2, at.he) / growth(c, &at) + (changed ? -HAIR_MIN : HAIR_MIN);
        if (!(next > early && next < late))
            next = early + (late - early) / 2.0;
        at = instant_at(c, next);
        changed = has_changed(c, what, &at);
        *(changed ? &late : &early) = next;
    }
    return late;
}

/* True if both gases run the same way, so that there is at most one change. */
static bool runs_one_way(const compartment *c)
{
    return c->n2.excess * c->he.excess >= 0.0;
}

/* Minutes to the first change between two instants; infinite if there is none. */
static double first_change_min(const compartment *c, change what, const instant *from, const instant *to)
{
    if (stays(c, what, from, to))
        return INFINITY;
    bool changed = has_changed(c, what, to);
    if (to->minutes - from->minutes <= NARROW_MIN || (changed && runs_one_way(c)))
        return changed ? only_change_min(c, what, from, to) : INFINITY;
    instant between = instant_at(c, from->minutes + (to->minutes - from->minutes) / 2.0);
    double first = first_change_min(c, what, from, &between);
    return isinf(first) ? first_change_min(c, what, &between, to) : first;
}

static bool has_helium(const compartment *c)
{
    return c->he.inspired > 0.0 || c->he.excess != 0.0;
}

/* Minutes from now until a compartment without helium changes sides, and stays there; by rounding a hair before now
 * where it stands at its limit. */
static double nitrogen_change_min(const compartment *c, change what)
{
    double limit = c->ambient + c->factor * (c->n2_a + (1.0 - c->n2_b) / c->n2_b * c->ambient);
    double now = c->n2.inspired + c->n2.excess;
    if (what == LEAVES ? c->n2.inspired <= limit : c->n2.inspired >= limit)
        return INFINITY;
    return log1p((limit - now) / (c->n2.inspired - limit)) / c->n2.rate;
}

/* First minute in `from_min` to `to_min` at which a compartment, on one side at the first, is on the other. */
static double change_min(const compartment *c, change what, double from_min, double to_min)
{
    if (!has_helium(c))
        return higher(nitrogen_change_min(c, what), from_min);
    instant from = instant_at(c, from_min), to = instant_at(c, to_min);
    return first_change_min(c, what, &from, &to);
}

double ll_time_within_s(const ll_coefficients *coefficients, const ll_tissues *tissues, double n2_inspired_bar,
                        double he_inspired_bar, double ambient_bar, double g)
{
    ll_load load;
    ll_load_make(&load, coefficients, tissues);
    if (!ll_within_limits(&load, ambient_bar, g))
        return 0.0;
    double first = INFINITY;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        compartment c = compartment_of(coefficients, tissues, i, n2_inspired_bar, he_inspired_bar, ambient_bar, g);
        first = lower(first, change_min(&c, LEAVES, 0.0, lower(first, LONGEST_MIN)));
    }
    return first <= LONGEST_MIN ? first * S_PER_MIN : NAN;
}

/* First minute, not before `from_min`, at which a compartment is within its limit; infinite beyond 24 h. */
static double within_from_min(const compartment *c, double from_min)
{
    instant from = instant_at(c, from_min);
    return is_within(c, &from) ? from_min : change_min(c, ENTERS, from_min, LONGEST_MIN);
}

double ll_time_until_within_s(const ll_coefficients *coefficients, const ll_tissues *tissues, double n2_inspired_bar,
                              double he_inspired_bar, double ambient_bar, double g)
{
    ll_load load;
    ll_load_make(&load, coefficients, tissues);
    if (ll_within_limits(&load, ambient_bar, g))
        return 0.0;
    compartment all[LL_COMPARTMENTS];
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        all[i] = compartment_of(coefficients, tissues, i, n2_inspired_bar, he_inspired_bar, ambient_bar, g);
    /* One compartment may leave its limit while another comes within: wait for each until none asks for more. */
    double minutes = 0.0, before;
    do {
        before = minutes;
        for (int i = 0; i < LL_COMPARTMENTS && minutes <= LONGEST_MIN; i++)
            minutes = within_from_min(&all[i], minutes);
    } while (minutes > before && minutes <= LONGEST_MIN);
    return minutes <= LONGEST_MIN ? minutes * S_PER_MIN : NAN;
}
