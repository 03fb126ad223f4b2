/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Identities of the exponential-linear and the ratio model, and an integration of the first one's equations. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "draw.h"
#include "model/linear.h"
#include "model/ratio.h"

#define ATM LL_BAR_PER_ATM

static const double half_time_min[LL_LINEAR_COMPARTMENTS] = {5, 10, 20, 40, 80, 120, 160, 200, 240};

/* A leg with both pressures linear; PO2 over what keeps the crossover above the arterial tension. */
typedef struct drawn_leg {
    double minutes, ambient_bar[2], po2_bar[2];
} drawn_leg;

static drawn_leg draw_leg(draws *draw)
{
    drawn_leg leg = {.minutes = draw_between(draw, 0.1, 40)};
    for (int end = 0; end < 2; end++) {
        leg.ambient_bar[end] = draw_between(draw, 1, 6);
        leg.po2_bar[end] = draw_between(draw, 0.15, 0.9) * fmin(leg.ambient_bar[end], 1.6);
    }
    return leg;
}

static ll_linear draw_linear(draws *draw)
{
    ll_linear tissues = {.minutes = NAN};
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
        tissues.n2_fsw[i] = draw_between(draw, 10, 160);
    return tissues;
}

/* The leg in pieces, cut at drawn fractions. */
static void step_in_pieces(ll_linear *tissues, const drawn_leg *leg, int pieces)
{
    for (int i = 0; i < pieces; i++) {
        double from = (double)i / pieces, to = (double)(i + 1) / pieces;
        const double ambient[2] = {leg->ambient_bar[0] + (leg->ambient_bar[1] - leg->ambient_bar[0]) * from,
                                   leg->ambient_bar[0] + (leg->ambient_bar[1] - leg->ambient_bar[0]) * to};
        const double po2[2] = {leg->po2_bar[0] + (leg->po2_bar[1] - leg->po2_bar[0]) * from,
                               leg->po2_bar[0] + (leg->po2_bar[1] - leg->po2_bar[0]) * to};
        ll_linear_step(tissues, leg->minutes / pieces, ambient, po2);
    }
}

static void a_leg_may_be_cut_anywhere(void **state)
{
    (void)state;
    draws draw = {.state = 77};
    for (int round = 0; round < 2000; round++) {
        drawn_leg leg = draw_leg(&draw);
        ll_linear whole = draw_linear(&draw), cut = whole;
        ll_linear_step(&whole, leg.minutes, leg.ambient_bar, leg.po2_bar);
        step_in_pieces(&cut, &leg, 2 + round % 30);
        for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
            assert_close(whole.n2_fsw[i], cut.n2_fsw[i], 1e-9, 0);
    }
}

/* The published equations: beyond the crossover the crossover stands for the tension. */
static double rate_of(const drawn_leg *leg, double share, double rate, double tension)
{
    double ambient = (leg->ambient_bar[0] + (leg->ambient_bar[1] - leg->ambient_bar[0]) * share) / ATM * 33;
    double po2 = (leg->po2_bar[0] + (leg->po2_bar[1] - leg->po2_bar[0]) * share) / ATM * 33;
    double arterial = ambient - po2 - 1.5, crossover = ambient - 4.3;
    bool linear = tension > crossover && crossover > arterial;
    return rate * (arterial - (linear ? crossover : tension));
}

static double integrated(const drawn_leg *leg, double rate, double tension, int steps)
{
    double h = leg->minutes / steps;
    for (int i = 0; i < steps; i++) {
        double a = rate_of(leg, (double)i / steps, rate, tension);
        double b = rate_of(leg, (i + 0.5) / steps, rate, tension + a * h / 2);
        double c = rate_of(leg, (i + 0.5) / steps, rate, tension + b * h / 2);
        double d = rate_of(leg, (i + 1.0) / steps, rate, tension + c * h);
        tension += (a + 2 * b + 2 * c + d) * h / 6;
    }
    return tension;
}

/* Runge-Kutta of fourth order; where the equations have a corner it loses order, hence the tolerance. */
static void an_integration_agrees(void **state)
{
    (void)state;
    draws draw = {.state = 5};
    for (int round = 0; round < 60; round++) {
        drawn_leg leg = draw_leg(&draw);
        ll_linear tissues = draw_linear(&draw), before = tissues;
        ll_linear_step(&tissues, leg.minutes, leg.ambient_bar, leg.po2_bar);
        for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++) {
            double rate = log(2) / half_time_min[i];
            assert_close(tissues.n2_fsw[i], integrated(&leg, rate, before.n2_fsw[i], 4000), 1e-5, 0);
        }
    }
}

/* It gives off no faster than an exponential model with the same half-times. */
static void it_gives_off_no_faster_than_exponentially(void **state)
{
    (void)state;
    draws draw = {.state = 31};
    for (int round = 0; round < 500; round++) {
        double ambient = draw_between(&draw, 1, 4), minutes = draw_between(&draw, 0.1, 200);
        const double both[2] = {ambient, ambient}, po2[2] = {0.21 * ambient, 0.21 * ambient};
        double arterial = 0.79 * ambient / ATM * 33 - 1.5;
        ll_linear tissues = draw_linear(&draw), before = tissues;
        ll_linear_step(&tissues, minutes, both, po2);
        for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++) {
            double exponential = arterial + (before.n2_fsw[i] - arterial) * exp2(-minutes / half_time_min[i]);
            assert_true(tissues.n2_fsw[i] >= exponential - 1e-9);
        }
    }
}

/* Waited exactly so long a level may be entered, a little less and it may not. */
static void a_wait_is_as_long_as_it_must_be(void **state)
{
    (void)state;
    draws draw = {.state = 9};
    int waits = 0;
    for (int round = 0; round < 2000; round++) {
        double ambient = draw_between(&draw, 1.3, 3), level = ambient - draw_between(&draw, 0.1, 0.31);
        const double both[2] = {ambient, ambient}, po2[2] = {0.3 * ambient, 0.3 * ambient};
        ll_linear late = draw_linear(&draw), early = late;
        double wait = ll_linear_wait_min(&late, ambient, po2[0], level);
        if (!(wait > 1e-3) || isinf(wait))
            continue;
        waits++;
        ll_linear_step(&late, wait + 1e-6, both, po2);
        ll_linear_step(&early, wait - 1e-6, both, po2);
        assert_true(ll_linear_is_within(&late, level));
        assert_false(ll_linear_is_within(&early, level));
    }
    assert_true(waits > 100);
}

static void a_ratio_wait_is_as_long_as_it_must_be(void **state)
{
    (void)state;
    draws draw = {.state = 12};
    int waits = 0;
    for (int round = 0; round < 2000; round++) {
        double ambient = draw_between(&draw, 1.3, 3), level = ambient - draw_between(&draw, 0.1, 0.3);
        const double both[2] = {ambient, ambient};
        ll_ratio late = {.minutes = NAN};
        for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++)
            late.n2_bar[i] = draw_between(&draw, 0.8, 5);
        ll_ratio early = late;
        double wait = ll_ratio_wait_min(&late, ambient, level);
        if (!(wait > 1e-3) || isinf(wait))
            continue;
        waits++;
        ll_ratio_step(&late, wait + 1e-6, both);
        ll_ratio_step(&early, wait - 1e-6, both);
        assert_true(ll_ratio_is_within(&late, level));
        assert_false(ll_ratio_is_within(&early, level));
    }
    assert_true(waits > 100);
}

/* Pure oxygen: no nitrogen is breathed in, and none is taken below nothing. */
static void oxygen_leaves_nothing(void **state)
{
    (void)state;
    const double both[2] = {1.6, 1.6};
    ll_linear tissues;
    ll_linear_rest(&tissues, ATM);
    assert_close(tissues.n2_fsw[0], 24.57, 1e-12, 0);
    ll_linear_step(&tissues, 5, both, both);
    assert_close(tissues.n2_fsw[0], 24.57 / 2, 1e-9, 0);
    ll_linear_step(&tissues, 5000, both, both);
    assert_true(tissues.n2_fsw[8] >= 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_leg_may_be_cut_anywhere),
        cmocka_unit_test(an_integration_agrees),
        cmocka_unit_test(it_gives_off_no_faster_than_exponentially),
        cmocka_unit_test(a_wait_is_as_long_as_it_must_be),
        cmocka_unit_test(a_ratio_wait_is_as_long_as_it_must_be),
        cmocka_unit_test(oxygen_leaves_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
