/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What limits and ceilings must keep, whatever the numbers. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "draw.h"
#include "model/limit.h"
#include "scenario.h"

#define EXACT 1e-12
enum { SETS = 3, ROUNDS = 2000 };

/* Somewhere between a diver at rest and one long at depth, nitrogen and helium each. */
static ll_tissues drawn_tissues(draws *draw, double most_bar)
{
    ll_tissues tissues;
    double helium = draw_between(draw, -1.0, 1.0) > 0.0 ? most_bar : 0.0;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        tissues.n2[i] = draw_between(draw, 0.4, most_bar);
        tissues.he[i] = draw_between(draw, 0.0, 1.0) * helium;
    }
    return tissues;
}

static ll_load drawn_load(draws *draw, double most_bar)
{
    ll_tissues tissues = drawn_tissues(draw, most_bar);
    ll_load load;
    ll_load_make(&load, ll_coefficients_of((int)draw_between(draw, 0.0, SETS)), &tissues);
    return load;
}

static double greatest(const double *value)
{
    double most = value[0];
    for (int i = 1; i < LL_COMPARTMENTS; i++)
        most = fmax(most, value[i]);
    return most;
}

/* g = 0 allows no supersaturation; g = 1 is Buehlmann's (P - a) b. */
static void factors_end_at_no_gradient_and_at_m(void **state)
{
    (void)state;
    draws draw = {1};
    for (int round = 0; round < ROUNDS; round++) {
        ll_load load = drawn_load(&draw, 8.0);
        double full[LL_COMPARTMENTS];
        for (int i = 0; i < LL_COMPARTMENTS; i++)
            full[i] = (load.total_bar[i] - load.a_bar[i]) / (1.0 + load.slope[i]);
        assert_close(ll_tolerated_bar(&load, 0.0), greatest(load.total_bar), 0.0, 0.0);
        assert_close(ll_tolerated_bar(&load, 1.0), greatest(full), 0.0, EXACT);
    }
}

static void a_higher_factor_tolerates_less_pressure(void **state)
{
    (void)state;
    draws draw = {2};
    for (int round = 0; round < ROUNDS; round++) {
        ll_load load = drawn_load(&draw, 8.0);
        for (double g = 0.1; g < 1.05; g += 0.1)
            assert_true(ll_tolerated_bar(&load, g) < ll_tolerated_bar(&load, g - 0.1));
    }
}

/* Tolerated pressure, gradient and limits are three readings of one line. */
static void tolerated_gradient_and_within_agree(void **state)
{
    (void)state;
    draws draw = {3};
    for (int round = 0; round < ROUNDS; round++) {
        ll_load load = drawn_load(&draw, 8.0);
        double g = draw_between(&draw, 0.05, 1.0), tolerated = ll_tolerated_bar(&load, g);
        int leading = 0;
        if (tolerated < 0.3)
            continue;
        assert_close(ll_gradient_percent(&load, tolerated, &leading), 100.0 * g, 0.0, 1e-11);
        assert_in_range(leading, 1, LL_COMPARTMENTS);
        assert_close(ll_gradient_percent(&load, tolerated, NULL), 100.0 * g, 0.0, 1e-11);
        assert_true(ll_within_limits(&load, tolerated * (1.0 + 1e-12), g));
        assert_false(ll_within_limits(&load, tolerated * (1.0 - 1e-12), g));
        keep_compartment(&load, leading - 1);
        assert_close(ll_tolerated_bar(&load, g), tolerated, 0.0, 1e-11);
    }
}

static void the_leading_compartment_is_the_one(void **state)
{
    (void)state;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        ll_tissues tissues;
        ll_load load;
        int leading = 0;
        ll_tissues_rest(&tissues, 1.0);
        tissues.n2[i] = 4.0;
        ll_load_make(&load, ll_coefficients_of(2), &tissues);
        double limit = load.a_bar[i] + load.slope[i];
        assert_close(ll_gradient_percent(&load, 1.0, &leading), 100.0 * 3.0 / limit, 0.0, EXACT);
        assert_int_equal(leading, i + 1);
        double tolerated = (4.0 - load.a_bar[i] * 0.5) / (1.0 + load.slope[i] * 0.5);
        assert_close(ll_tolerated_bar(&load, 0.5), tolerated, 0.0, EXACT);
        assert_false(ll_within_limits(&load, 1.0, 0.9 * 3.0 / limit));
        assert_true(ll_within_limits(&load, 1.0, 1.1 * 3.0 / limit));
    }
}

static void a_and_b_lie_between_the_pure_ones(void **state)
{
    (void)state;
    draws draw = {4};
    for (int round = 0; round < ROUNDS; round++) {
        const ll_coefficients *c = ll_coefficients_of(round % SETS);
        ll_tissues tissues = drawn_tissues(&draw, 6.0);
        ll_load load;
        ll_load_make(&load, c, &tissues);
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            double total = tissues.n2[i] + tissues.he[i], b = 1.0 / (1.0 + load.slope[i]);
            double a_weighted = (c->n2_a_bar[i] * tissues.n2[i] + c->he_a_bar[i] * tissues.he[i]) / total;
            double b_weighted = (c->n2_b[i] * tissues.n2[i] + c->he_b[i] * tissues.he[i]) / total;
            assert_close(load.total_bar[i], total, 0.0, 0.0);
            assert_close(load.a_bar[i], a_weighted, 0.0, EXACT);
            assert_close(b, b_weighted, 0.0, EXACT);
            assert_true(load.a_bar[i] >= c->n2_a_bar[i] && load.a_bar[i] <= c->he_a_bar[i]);
            assert_true(b >= c->he_b[i] * (1.0 - EXACT) && b <= c->n2_b[i] * (1.0 + EXACT));
        }
    }
}

static void pure_loads_have_pure_coefficients(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(2);
    ll_tissues nitrogen = {.n2 = {[0] = 0}}, helium = nitrogen, nothing = nitrogen;
    ll_load load, he_load, empty;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        nitrogen.n2[i] = 0.3 + 0.37 * i;
        helium.he[i] = 0.3 + 0.37 * i;
    }
    ll_load_make(&load, c, &nitrogen);
    ll_load_make(&he_load, c, &helium);
    ll_load_make(&empty, c, &nothing);
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        assert_close(load.a_bar[i], c->n2_a_bar[i], 0.0, 0.0);
        assert_close(load.slope[i], (1.0 - c->n2_b[i]) / c->n2_b[i], 0.0, 0.0);
        assert_close(he_load.a_bar[i], c->he_a_bar[i], 0.0, EXACT);
        assert_close(1.0 / (1.0 + he_load.slope[i]), c->he_b[i], 0.0, EXACT);
        assert_close(empty.total_bar[i] + empty.a_bar[i] + empty.slope[i], load.a_bar[i] + load.slope[i], 0.0, 0.0);
    }
    assert_false(isnan(ll_gradient_percent(&empty, 1.0, NULL)));
    assert_true(ll_within_limits(&empty, 0.5, 0.1));
}

/* With equal coefficients it does not matter which gas it is. */
static void equal_gases_may_be_swapped(void **state)
{
    (void)state;
    draws draw = {6};
    ll_coefficients c = *ll_coefficients_of(0);
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        c.he_a_bar[i] = c.n2_a_bar[i];
        c.he_b[i] = c.n2_b[i];
    }
    for (int round = 0; round < 200; round++) {
        ll_tissues tissues = drawn_tissues(&draw, 6.0), swapped = tissues;
        ll_load load, load_swapped;
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            swapped.n2[i] = tissues.he[i];
            swapped.he[i] = tissues.n2[i];
        }
        ll_load_make(&load, &c, &tissues);
        ll_load_make(&load_swapped, &c, &swapped);
        assert_memory_equal(&load, &load_swapped, sizeof load);
    }
}

/* Sets are ordered: C never allows more than B, nor B more than A. */
static void sets_are_ordered(void **state)
{
    (void)state;
    draws draw = {7};
    for (int round = 0; round < 200; round++) {
        ll_tissues tissues = drawn_tissues(&draw, 6.0);
        double tolerated[SETS];
        for (int set = 0; set < SETS; set++) {
            ll_load load;
            ll_load_make(&load, ll_coefficients_of(set), &tissues);
            tolerated[set] = ll_tolerated_bar(&load, 0.8);
        }
        assert_true(tolerated[0] <= tolerated[1] && tolerated[1] <= tolerated[2]);
    }
}

/* Factors, a surface and an anchor at least the tissues' own, as a replay holds them. */
static ll_factors drawn_factors(draws *draw, const ll_load *load)
{
    ll_factors factors = {0.0, draw_between(draw, 0.3, 1.0), 0.0, draw_between(draw, 0.6, 1.1),
                          draw_between(draw, 0.098, 0.102)};
    factors.low = draw_between(draw, 0.0, 1.0) < 0.2 ? factors.high : draw_between(draw, 0.1, factors.high);
    double deeper = draw_between(draw, 0.0, 1.0) < 0.3 ? 0.0 : draw_between(draw, 0.0, 30.0);
    factors.anchor_m = fmax(0.0, ll_anchor_candidate_m(load, &factors) + deeper);
    return factors;
}

static bool is_within_at(const ll_load *load, const ll_factors *factors, double depth_m)
{
    double ambient = factors->surface_bar + factors->bar_per_m * depth_m;
    return ll_within_limits(load, ambient, ll_factor_at(factors, depth_m));
}

static void the_ceiling_is_where_limits_begin(void **state)
{
    (void)state;
    draws draw = {8};
    int above_surface = 0, below = 0;
    for (int round = 0; round < 20 * ROUNDS; round++) {
        ll_load load = drawn_load(&draw, draw_between(&draw, 0.5, round % 2 ? 1.5 : 6.0));
        ll_factors factors = drawn_factors(&draw, &load);
        double ceiling = ll_ceiling_m(&load, &factors);
        assert_true(ceiling >= 0.0 && ceiling <= factors.anchor_m);
        assert_true(is_within_at(&load, &factors, ceiling + (ceiling > 0.0 ? 1e-9 : 0.01)));
        if (ceiling > 0.0) {
            assert_true(ceiling >= 0.01);
            assert_false(is_within_at(&load, &factors, ceiling - 1e-9));
        }
        *(ceiling > 0.0 ? &below : &above_surface) += 1;
    }
    assert_true(above_surface > ROUNDS && below > ROUNDS); /* both kinds were drawn */
}

/* Every depth between ceiling and anchor is within limits, none above the ceiling: by search in steps of 5 cm. */
static void a_search_finds_the_same_ceiling(void **state)
{
    (void)state;
    draws draw = {9};
    for (int round = 0; round < 300; round++) {
        ll_load load = drawn_load(&draw, 5.0);
        ll_factors factors = drawn_factors(&draw, &load);
        double ceiling = ll_ceiling_m(&load, &factors);
        for (double depth = 0.0; depth < factors.anchor_m + 5.0; depth += 0.05)
            if (fabs(depth - ceiling) > 0.01)
                assert_true(is_within_at(&load, &factors, depth) == (depth > ceiling));
    }
}

/* One factor: the ceiling is the tolerated pressure, whatever the anchor. */
static void one_factor_needs_no_root(void **state)
{
    (void)state;
    draws draw = {10};
    for (int round = 0; round < ROUNDS; round++) {
        ll_load load = drawn_load(&draw, 6.0);
        ll_factors factors = drawn_factors(&draw, &load);
        factors.low = factors.high;
        factors.anchor_m = fmax(0.0, ll_anchor_candidate_m(&load, &factors)) + round % 3;
        double expected = ll_anchor_candidate_m(&load, &factors);
        assert_close(ll_ceiling_m(&load, &factors), expected < 0.01 ? 0.0 : expected, 1e-12, EXACT);
    }
}

static void tissues_that_give_the_anchor_have_it_as_their_ceiling(void **state)
{
    (void)state;
    draws draw = {12};
    for (int round = 0; round < ROUNDS; round++) {
        ll_load load = drawn_load(&draw, 6.0);
        ll_factors factors = drawn_factors(&draw, &load);
        factors.anchor_m = ll_anchor_candidate_m(&load, &factors);
        if (factors.anchor_m < 0.01)
            continue;
        double ceiling = ll_ceiling_m(&load, &factors);
        assert_true(ceiling <= factors.anchor_m);
        assert_true(is_within_at(&load, &factors, ceiling + 1e-9));
        assert_true(ceiling == 0.0 || !is_within_at(&load, &factors, ceiling - 1e-9));
    }
}

static void tiny_anchors_give_numbers(void **state)
{
    (void)state;
    ll_tissues tissues;
    ll_load load;
    ll_tissues_rest(&tissues, 1.0);
    ll_load_make(&load, ll_coefficients_of(2), &tissues);
    for (double anchor = 1.0; anchor > 0.0; anchor *= 1e-3) {
        ll_factors factors = {0.5, 0.8, anchor, 1.0, 0.1};
        assert_close(ll_ceiling_m(&load, &factors), 0.0, 0.0, 0.0);
        factors.surface_bar = 0.01; /* far beyond limits: the anchor is too shallow, and all there is */
        assert_close(ll_ceiling_m(&load, &factors), anchor < 0.01 ? 0.0 : anchor, 0.0, 0.0);
    }
}

/* Limits are in absolute pressure: what the surface is called does not matter to one factor. */
static void altitude_does_not_move_the_limit(void **state)
{
    (void)state;
    draws draw = {13};
    for (int round = 0; round < ROUNDS; round++) {
        ll_load load = drawn_load(&draw, 6.0);
        double g = draw_between(&draw, 0.3, 1.0), depth = draw_between(&draw, 0.0, 5.0);
        ll_factors sea = {g, g, 0.0, 1.0, 0.1}, high = {g, g, 0.0, 0.7, 0.1};
        sea.anchor_m = fmax(0.0, ll_anchor_candidate_m(&load, &sea));
        high.anchor_m = fmax(0.0, ll_anchor_candidate_m(&load, &high)) + depth;
        double at_sea = ll_ceiling_m(&load, &sea), at_height = ll_ceiling_m(&load, &high);
        if (at_sea > 0.0)
            assert_close(0.7 + 0.1 * at_height, 1.0 + 0.1 * at_sea, 0.0, EXACT);
    }
}

/* Saturated at depth: the ceiling is the greatest (P - a) b, and compartment 16 leads on the way up. */
static void a_saturation_dive_is_led_by_the_slowest(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(2);
    ll_tissues tissues = saturated(0.79, 1.0);
    ll_load load;
    int leading = 0;
    breathe(&tissues, 0.79, 0.0, 3.0, 3.0, 10.0 * 635.0);
    ll_load_make(&load, c, &tissues);
    double inspired = 0.79 * (3.0 - LL_WATER_VAPOUR_BAR);
    double slowest = (inspired - c->n2_a_bar[LL_COMPARTMENTS - 1]) * c->n2_b[LL_COMPARTMENTS - 1];
    assert_close(ll_tolerated_bar(&load, 1.0), slowest, 0.0, 0.002); /* 10 half-times leave 1/1024 of the way */
    ll_gradient_percent(&load, slowest, &leading);
    assert_int_equal(leading, LL_COMPARTMENTS);
}

static void the_factor_runs_on_a_line(void **state)
{
    (void)state;
    const ll_factors factors = {0.3, 0.8, 20.0, 1.0, 0.1}, none = {0.3, 0.8, 0.0, 1.0, 0.1};
    for (double depth = 0.0; depth <= 20.0; depth += 0.5)
        assert_close(ll_factor_at(&factors, depth), 0.8 - 0.5 * depth / 20.0, 0.0, EXACT);
    assert_close(ll_factor_at(&factors, 25.0), 0.3, 0.0, 0.0);
    assert_close(ll_factor_at(&factors, -0.5), 0.8, 0.0, 0.0);
    assert_close(ll_factor_at(&none, 12.0), 0.8, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(factors_end_at_no_gradient_and_at_m),
        cmocka_unit_test(a_higher_factor_tolerates_less_pressure),
        cmocka_unit_test(tolerated_gradient_and_within_agree),
        cmocka_unit_test(the_leading_compartment_is_the_one),
        cmocka_unit_test(a_and_b_lie_between_the_pure_ones),
        cmocka_unit_test(pure_loads_have_pure_coefficients),
        cmocka_unit_test(equal_gases_may_be_swapped),
        cmocka_unit_test(sets_are_ordered),
        cmocka_unit_test(the_ceiling_is_where_limits_begin),
        cmocka_unit_test(a_search_finds_the_same_ceiling),
        cmocka_unit_test(one_factor_needs_no_root),
        cmocka_unit_test(tissues_that_give_the_anchor_have_it_as_their_ceiling),
        cmocka_unit_test(tiny_anchors_give_numbers),
        cmocka_unit_test(altitude_does_not_move_the_limit),
        cmocka_unit_test(a_saturation_dive_is_led_by_the_slowest),
        cmocka_unit_test(the_factor_runs_on_a_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
