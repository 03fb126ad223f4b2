/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Times against searches that step the compartments themselves. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "draw.h"
#include "model/ascent.h"
#include "scenario.h"

#define S_PER_MIN 60.0
enum { SETS = 3 };

/* Everything a time is asked for. */
typedef struct stay {
    const ll_coefficients *coefficients;
    ll_tissues tissues;
    double n2_bar, he_bar; /* inspired */
    double level_bar, factor;
} stay;

static double within_s(const stay *s)
{
    return ll_time_within_s(s->coefficients, &s->tissues, s->n2_bar, s->he_bar, s->level_bar, s->factor);
}

static double until_within_s(const stay *s)
{
    return ll_time_until_within_s(s->coefficients, &s->tissues, s->n2_bar, s->he_bar, s->level_bar, s->factor);
}

/* After some seconds, by the stepper. */
static bool is_within_after(const stay *s, double seconds)
{
    ll_tissues tissues = s->tissues;
    ll_decay decay;
    ll_load load;
    ll_decay_make(&decay, seconds / S_PER_MIN);
    ll_tissues_step(&tissues, &decay, s->n2_bar, s->n2_bar, s->he_bar, s->he_bar);
    ll_load_make(&load, s->coefficients, &tissues);
    return ll_within_limits(&load, s->level_bar, s->factor);
}

/* The first second at which the condition is as wanted, and has not been so on the grid before; NaN beyond 24 h. */
static double search_s(const stay *s, bool wanted, double grid_s)
{
    double before = 0.0, after = grid_s;
    while (is_within_after(s, after) != wanted) {
        before = after;
        after += grid_s;
        if (after > LL_LONGEST_S)
            return NAN;
    }
    while (after - before > 1e-8) {
        double middle = before + (after - before) / 2.0;
        *(is_within_after(s, middle) == wanted ? &after : &before) = middle;
    }
    return after;
}

static stay square_dive(int set, double factor, double n2_fraction, double depth_m, double surface_bar)
{
    return (stay){ll_coefficients_of(set), saturated(0.79, surface_bar),
                  n2_fraction * (surface_bar + depth_m / 10.0 - LL_WATER_VAPOUR_BAR), 0.0, surface_bar, factor};
}

static void no_stop_time_is_where_the_stepper_leaves(void **state)
{
    (void)state;
    for (double depth = 12.0; depth < 60.0; depth += 7.0) {
        stay s = square_dive(2, 0.85, 0.79, depth, 1.0);
        assert_close(within_s(&s), search_s(&s, false, 10.0), 1e-6, 0.0);
    }
}

static void no_stop_time_falls_with_depth_factor_and_set(void **state)
{
    (void)state;
    double shallower = INFINITY;
    for (double depth = 15.0; depth < 60.0; depth += 3.0) {
        double of_set[SETS];
        for (int set = 0; set < SETS; set++) {
            stay s = square_dive(set, 1.0, 0.79, depth, 1.0), tighter = square_dive(set, 0.8, 0.79, depth, 1.0);
            of_set[set] = within_s(&s);
            assert_true(within_s(&tighter) < of_set[set]);
        }
        assert_true(of_set[0] >= of_set[1] && of_set[1] >= of_set[2] && of_set[2] > 0.0);
        assert_true(of_set[0] < shallower);
        shallower = of_set[0];
    }
}

/* f (P - 0.0627) = a + P/b at the surface: 6.723 m for air of 0.7902 at 1.01325 bar (computed apart). */
static void shallow_air_dives_have_no_limit(void **state)
{
    (void)state;
    stay s = square_dive(2, 1.0, 0.7902, 6.72, 1.01325);
    assert_true(isnan(within_s(&s)));
    s.n2_bar += 5.0; /* and the reason is the depth */
    assert_true(within_s(&s) > 0.0);
}

static void at_the_no_stop_time_the_ceiling_is_the_surface(void **state)
{
    (void)state;
    for (double depth = 15.0; depth < 60.0; depth += 5.0) {
        stay s = square_dive(1, 0.9, 0.68, depth, 1.01325);
        ll_decay decay;
        ll_load load;
        ll_decay_make(&decay, within_s(&s) / S_PER_MIN);
        ll_tissues_step(&s.tissues, &decay, s.n2_bar, s.n2_bar, 0.0, 0.0);
        ll_load_make(&load, s.coefficients, &s.tissues);
        assert_close(ll_tolerated_bar(&load, 0.9), 1.01325, 1e-9, 0.0);
    }
}

/* A mix without helium and air at its equivalent depth load alike: the depths at which f (P - w) is the same. */
static void equivalent_air_depths_have_equal_times(void **state)
{
    (void)state;
    for (double n2 = 0.5; n2 < 0.79; n2 += 0.04) {
        stay mix = square_dive(2, 0.8, n2, 32.0, 1.0);
        double air_bar = (4.2 - LL_WATER_VAPOUR_BAR) * n2 / 0.79 + LL_WATER_VAPOUR_BAR;
        stay air = square_dive(2, 0.8, 0.79, 10.0 * (air_bar - 1.0), 1.0);
        assert_close(within_s(&mix), within_s(&air), 1e-6, 0.0);
    }
}

static void helium_that_is_nearly_none_changes_nothing(void **state)
{
    (void)state;
    stay s = square_dive(2, 0.8, 0.68, 30.0, 1.0);
    double without = within_s(&s);
    s.he_bar = 1e-13;
    assert_close(within_s(&s), without, 1e-6, 0.0);
    breathe(&s.tissues, 0.79, 0.0, 4.0, 4.0, 60.0);
    s.n2_bar = 0.7;
    s.he_bar = 0.0;
    without = until_within_s(&s);
    assert_true(without > 60.0);
    s.he_bar = 1e-13;
    assert_close(until_within_s(&s), without, 1e-6, 0.0);
}

/* A dive of one to three legs on drawn mixes, then a stay on another: loads that run both ways, helium in and out. */
static stay drawn_stay(draws *draw)
{
    stay s = {ll_coefficients_of((int)draw_between(draw, 0.0, SETS)), saturated(0.79, 1.0), 0.0, 0.0,
              1.0 + 0.3 * floor(draw_between(draw, 0.0, 8.0)), draw_between(draw, 0.2, 1.0)};
    int legs = (int)draw_between(draw, 1.0, 4.0);
    double ambient = 1.0;
    for (int i = 0; i <= legs; i++) {
        double o2 = draw_between(draw, 0.1, 0.6), he = fmax(0.0, draw_between(draw, -0.3, 0.9 - o2));
        ambient = draw_between(draw, 1.0, i < legs ? 8.0 : 5.0);
        if (i < legs)
            breathe(&s.tissues, 1.0 - o2 - he, he, ambient, ambient, draw_between(draw, 1.0, 40.0));
        s.n2_bar = (1.0 - o2 - he) * (ambient - LL_WATER_VAPOUR_BAR);
        s.he_bar = he * (ambient - LL_WATER_VAPOUR_BAR);
    }
    return s;
}

/* The two times against a search on a grid; a stay too short for the grid shows in the second look. */
static void assert_first(const stay *s, double found_s, bool wanted)
{
    double grid_s = 60.0;
    double expected = search_s(s, wanted, grid_s);
    if (isnan(expected)) {
        assert_true(isnan(found_s) || is_within_after(s, found_s + 1e-4) == wanted);
        return;
    }
    assert_true(found_s <= expected + 1e-6);
    if (found_s < expected - 1e-6) { /* what the grid has stepped over is there */
        assert_true(is_within_after(s, found_s + 1e-6) == wanted);
        assert_true(is_within_after(s, fmax(found_s - 1e-6, 0.0)) != wanted);
        assert_true(expected - found_s > 1.0);
    }
}

static void drawn_dives_agree_with_a_search(void **state)
{
    (void)state;
    draws draw = {UINT64_C(0xa5ce47)};
    int left = 0, entered = 0, never = 0;
    for (int round = 0; round < 400; round++) {
        stay s = drawn_stay(&draw);
        bool now = is_within_after(&s, 0.0);
        double leaves = within_s(&s), enters = until_within_s(&s);
        assert_true(now ? enters == 0.0 : leaves == 0.0);
        assert_first(&s, now ? leaves : enters, !now);
        *(isnan(now ? leaves : enters) ? &never : now ? &left : &entered) += 1;
    }
    assert_true(left > 40 && entered > 40 && never > 40); /* all three kinds were drawn */
}

/* Helium comes in faster than nitrogen goes out: compartment 8 is within its limit now and at the end of the day, and
 * beyond it in between. */
static stay bulge(void)
{
    stay s = {ll_coefficients_of(2), saturated(0.5, 1.0 + LL_WATER_VAPOUR_BAR), 0.5, 1.6, 1.8, 0.6};
    s.tissues.n2[7] = 2.0;
    return s;
}

static void a_bulge_is_not_stepped_over(void **state)
{
    (void)state;
    stay s = bulge();
    double leaves = within_s(&s);
    assert_true(is_within_after(&s, 0.0));
    assert_true(is_within_after(&s, LL_LONGEST_S));
    assert_true(leaves > 60.0 && leaves < 3600.0);
    assert_close(leaves, search_s(&s, false, 1.0), 1e-6, 0.0);
}

/* A bulge that just fails to reach the limit, and one that just reaches it. */
static void a_graze_is_told_from_a_miss(void **state)
{
    (void)state;
    stay s = bulge();
    double reached = 0.6, missed = 1.0;
    s.tissues.n2[7] = 1.8;
    while (missed - reached > 1e-9) {
        s.factor = reached + (missed - reached) / 2.0;
        *(isnan(within_s(&s)) ? &missed : &reached) = s.factor;
    }
    assert_true(reached > 0.7 && missed < 0.99);
    s.factor = reached - 1e-6;
    double leaves = within_s(&s);
    assert_true(is_within_after(&s, leaves - 1e-3) && !is_within_after(&s, leaves + 1e-3));
    s.factor = missed + 1e-6;
    assert_true(isnan(search_s(&s, false, 1.0)));
}

/* Compartment 5 comes within its limit while compartment 8 is beyond its own, where it was not at first: the wait is
 * for all. */
static void a_wait_is_for_all_compartments(void **state)
{
    (void)state;
    stay s = bulge();
    s.tissues.n2[4] = 4.0;
    stay without = s;
    without.tissues.n2[7] = 0.5;
    double fifth = until_within_s(&without), all = until_within_s(&s);
    assert_close(fifth, search_s(&without, true, 5.0), 1e-6, 0.0);
    assert_close(all, search_s(&s, true, 5.0), 1e-6, 0.0);
    assert_true(fifth > 3600.0 && all > fifth + 3600.0);
}

/* The same in the other order: compartment 9 is the one that is beyond at first, compartment 8 the one that leaves. */
static void a_wait_looks_back_at_faster_compartments(void **state)
{
    (void)state;
    stay s = bulge();
    s.tissues.he[8] = 1.6;
    s.tissues.n2[8] = 0.7;
    stay without = s;
    without.tissues.n2[7] = 0.5;
    double ninth = until_within_s(&without), all = until_within_s(&s);
    assert_close(ninth, search_s(&without, true, 5.0), 1e-6, 0.0);
    assert_close(all, search_s(&s, true, 5.0), 1e-6, 0.0);
    assert_true(ninth > 1200.0 && all > ninth + 3600.0);
}

/* Loads at the limit to the last bit, where roundings may disagree about the side: the time is nothing, not unknown. */
static void at_the_limit_itself_the_time_is_nothing(void **state)
{
    (void)state;
    draws draw = {21};
    int left = 0, entered = 0;
    for (int round = 0; round < 4000; round++) {
        stay s = {ll_coefficients_of(2), {.n2 = {[0] = 0}}, 0.0, 0.0, draw_between(&draw, 0.8, 4.0),
                  draw_between(&draw, 0.2, 1.0)};
        int i = round % LL_COMPARTMENTS;
        double b = s.coefficients->n2_b[i];
        double limit = s.level_bar + s.factor * (s.coefficients->n2_a_bar[i] + (1.0 - b) / b * s.level_bar);
        s.tissues.n2[i] = round % 3 ? nextafter(limit, round % 3 == 1 ? 0.0 : 9.0) : limit;
        s.n2_bar = round % 2 ? 2.0 * limit : 0.2;
        if (round % 2 && is_within_after(&s, 0.0)) {
            assert_close(within_s(&s), 0.0, 1e-6, 0.0);
            left++;
        } else if (round % 2 == 0 && !is_within_after(&s, 0.0)) {
            assert_close(until_within_s(&s), 0.0, 1e-6, 0.0);
            entered++;
        }
    }
    assert_true(left > 200 && entered > 200);
}

static void beyond_a_day_a_time_is_missing(void **state)
{
    (void)state;
    stay s = {ll_coefficients_of(2), saturated(0.79, 4.0), 0.79 * 3.9, 0.0, 1.0, 0.8};
    assert_true(isnan(until_within_s(&s)));
    assert_close(within_s(&s), 0.0, 0.0, 0.0);
    s.n2_bar = 0.0;
    assert_close(until_within_s(&s), search_s(&s, true, 60.0), 1e-6, 0.0);
}

/* What ascent.c rests on, for every set, factor and pressure in use: beyond its limit a compartment's distance from it
 * rises with nitrogen and with helium; and the inequality that proves it. */
static void beyond_the_limit_more_gas_is_farther(void **state)
{
    (void)state;
    for (int set = 0; set < SETS; set++) {
        const ll_coefficients *c = ll_coefficients_of(set);
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            double a_rise = c->he_a_bar[i] - c->n2_a_bar[i], b_fall = c->n2_b[i] - c->he_b[i];
            double by_b = b_fall / (c->he_b[i] * c->he_b[i]);
            assert_true(a_rise > 0.0 && b_fall > 0.0);
            for (double pressure = 0.3; pressure < 40.0; pressure *= 1.1)
                for (double g = 0.05; g < 1.01; g += 0.05)
                    assert_true(1.0 - g * (a_rise / (pressure + g * c->n2_a_bar[i]) + by_b) > 0.2);
        }
    }
}

static double distance(const ll_coefficients *c, int i, double n2, double he, double pressure, double g)
{
    ll_tissues tissues = {.n2 = {[0] = 0}};
    ll_load load;
    tissues.n2[i] = n2;
    tissues.he[i] = he;
    ll_load_make(&load, c, &tissues);
    return load.total_bar[i] - pressure - g * (load.a_bar[i] + load.slope[i] * pressure);
}

static void the_same_by_small_differences(void **state)
{
    (void)state;
    const double step = 1e-5;
    draws draw = {31};
    int beyond = 0;
    for (int round = 0; round < 20000; round++) {
        const ll_coefficients *c = ll_coefficients_of(round % SETS);
        int i = round % LL_COMPARTMENTS;
        double pressure = draw_between(&draw, 0.5, 12.0), g = draw_between(&draw, 0.1, 1.0);
        double n2 = draw_between(&draw, 0.0, 2.0 * pressure), he = draw_between(&draw, 0.0, 2.0 * pressure);
        double here = distance(c, i, n2, he, pressure, g);
        if (here <= 0.0)
            continue;
        beyond++;
        assert_true(distance(c, i, n2 + step, he, pressure, g) - here >= 0.999 * step);
        assert_true(distance(c, i, n2, he + step, pressure, g) - here >= 0.2 * step);
    }
    assert_true(beyond > 5000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_stop_time_is_where_the_stepper_leaves),
        cmocka_unit_test(no_stop_time_falls_with_depth_factor_and_set),
        cmocka_unit_test(shallow_air_dives_have_no_limit),
        cmocka_unit_test(at_the_no_stop_time_the_ceiling_is_the_surface),
        cmocka_unit_test(equivalent_air_depths_have_equal_times),
        cmocka_unit_test(helium_that_is_nearly_none_changes_nothing),
        cmocka_unit_test(drawn_dives_agree_with_a_search),
        cmocka_unit_test(a_bulge_is_not_stepped_over),
        cmocka_unit_test(a_graze_is_told_from_a_miss),
        cmocka_unit_test(a_wait_is_for_all_compartments),
        cmocka_unit_test(a_wait_looks_back_at_faster_compartments),
        cmocka_unit_test(at_the_limit_itself_the_time_is_nothing),
        cmocka_unit_test(beyond_a_day_a_time_is_missing),
        cmocka_unit_test(beyond_the_limit_more_gas_is_farther),
        cmocka_unit_test(the_same_by_small_differences),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
