/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Identities that the kinetics must keep, whatever the numbers. */
#include <float.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "close.h"
#include "draw.h"
#include "model/tissue.h"

#define EXACT 1e-12 /* relative, for identities of double arithmetic */
#define LN_2_LONG 0.693147180559945309417232121458L

/* Inspired pressures at both ends of an interval. */
typedef struct interval {
    double minutes, n2_from, n2_to, he_from, he_to;
} interval;

static void take(ll_tissues *tissues, const interval *breath)
{
    ll_decay decay;
    ll_decay_make(&decay, breath->minutes);
    ll_tissues_step(tissues, &decay, breath->n2_from, breath->n2_to, breath->he_from, breath->he_to);
}

static interval drawn_breath(draws *draw, double longest_min)
{
    return (interval){draw_between(draw, 0.01, longest_min), draw_between(draw, 0.0, 8.0), draw_between(draw, 0.0, 8.0),
                    draw_between(draw, 0.0, 8.0), draw_between(draw, 0.0, 8.0)};
}

static ll_tissues drawn_tissues(draws *draw)
{
    ll_tissues tissues;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        tissues.n2[i] = draw_between(draw, 0.1, 6.0);
        tissues.he[i] = draw_between(draw, 0.0, 6.0);
    }
    return tissues;
}

static void assert_same(const ll_tissues *actual, const ll_tissues *expected, double relative)
{
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        assert_close(actual->n2[i], expected->n2[i], 0.0, relative);
        assert_close(actual->he[i], expected->he[i], 0.0, relative);
    }
}

static void a_half_time_halves_the_distance(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(0);
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        ll_tissues n2 = {.n2 = {[0] = 0}}, he = n2;
        n2.n2[i] = 1.0;
        he.he[i] = 1.0;
        take(&n2, &(interval){c->n2_half_time_min[i], 5.0, 5.0, 0.0, 0.0});
        assert_close(n2.n2[i], 3.0, 0.0, EXACT);
        take(&he, &(interval){6.0 * c->he_half_time_min[i], 0.0, 0.0, 65.0, 65.0});
        assert_close(he.he[i], 64.0, 0.0, EXACT);
    }
}

static void equilibrium_stays(void **state)
{
    (void)state;
    ll_tissues tissues, before;
    ll_tissues_rest(&tissues, 1.01325);
    before = tissues;
    for (double minutes = 1e-6; minutes < 1e6; minutes *= 10.0)
        take(&tissues, &(interval){minutes, tissues.n2[0], tissues.n2[0], 0.0, 0.0});
    assert_memory_equal(&tissues, &before, sizeof tissues);
}

static void nothing_happens_in_no_time(void **state)
{
    (void)state;
    draws draw = {11};
    ll_tissues tissues = drawn_tissues(&draw), before = tissues;
    take(&tissues, &(interval){0.0, 3.0, 5.0, 4.0, 2.0});
    assert_memory_equal(&tissues, &before, sizeof tissues);
}

static void a_long_ramp_lags_by_rate_over_k(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(0);
    double rate = 0.001, minutes = 60.0 * 635.0;
    ll_tissues tissues = {.n2 = {[0] = 0}};
    take(&tissues, &(interval){minutes, 1.0, 1.0 + rate * minutes, 1.0, 1.0});
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        double lag = rate * c->n2_half_time_min[i] / (double)LN_2_LONG;
        assert_close(tissues.n2[i], 1.0 + rate * minutes - lag, 0.0, EXACT);
        assert_close(tissues.he[i], 1.0, 0.0, EXACT);
    }
}

static int by_size(const void *x, const void *y)
{
    double difference = *(const double *)x - *(const double *)y;
    return (difference > 0.0) - (difference < 0.0);
}

static double along(double from, double to, double share)
{
    return from + (to - from) * share;
}

/* The interval in pieces, cut at drawn places. */
static void take_in_pieces(ll_tissues *tissues, const interval *whole, int cuts, draws *draw)
{
    double at[1002] = {0.0};
    for (int i = 1; i <= cuts; i++)
        at[i] = draw_between(draw, 0.0, 1.0);
    at[cuts + 1] = 1.0;
    qsort(at, (size_t)cuts + 2, sizeof *at, by_size);
    for (int i = 0; i <= cuts; i++)
        take(tissues, &(interval){whole->minutes * (at[i + 1] - at[i]), along(whole->n2_from, whole->n2_to, at[i]),
                                along(whole->n2_from, whole->n2_to, at[i + 1]),
                                along(whole->he_from, whole->he_to, at[i]),
                                along(whole->he_from, whole->he_to, at[i + 1])});
}

static void pieces_equal_the_whole(void **state)
{
    (void)state;
    static const int cuts[] = {1, 6, 1000};
    draws draw = {UINT64_C(0xc0ffee)};
    for (int round = 0; round < 30; round++) {
        for (size_t i = 0; i < sizeof cuts / sizeof *cuts; i++) {
            ll_tissues whole = drawn_tissues(&draw), pieces = whole;
            interval breath = drawn_breath(&draw, 200.0);
            take(&whole, &breath);
            take_in_pieces(&pieces, &breath, cuts[i], &draw);
            assert_same(&pieces, &whole, EXACT);
        }
    }
}

/* 1 - (1 - e^-x)/x in extended precision: the series below 1, where the closed form cancels. */
static long double ramp_long(long double x)
{
    if (x >= 1.0L)
        return 1.0L + expm1l(-x) / x;
    long double term = x / 2.0L, sum = 0.0L;
    for (int n = 3; fabsl(term) > 1e-25L * sum; n++) {
        sum += term;
        term *= -x / n;
    }
    return sum;
}

static void factors_are_accurate_at_every_length(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(0);
    for (double minutes = 1e-9; minutes < 1e7; minutes *= 1.37) {
        ll_decay decay;
        ll_decay_make(&decay, minutes);
        assert_close(decay.minutes, minutes, 0.0, 0.0);
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            long double n2 = minutes * LN_2_LONG / c->n2_half_time_min[i];
            long double he = minutes * LN_2_LONG / c->he_half_time_min[i];
            assert_close(decay.n2_fill[i], (double)-expm1l(-n2), 0.0, 4.0 * DBL_EPSILON);
            assert_close(decay.he_fill[i], (double)-expm1l(-he), 0.0, 4.0 * DBL_EPSILON);
            assert_close(decay.n2_ramp[i], (double)ramp_long(n2), 0.0, 4.0 * DBL_EPSILON);
            assert_close(decay.he_ramp[i], (double)ramp_long(he), 0.0, 4.0 * DBL_EPSILON);
        }
    }
}

/* P = Pi + (P0 - Pi) 2^(-t/T): J. S. Haldane et al., J. Hyg. 8, 1908, for a constant inspired pressure. */
static void constant_pressure_is_haldane(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(0);
    draws draw = {77};
    for (int round = 0; round < 200; round++) {
        ll_tissues tissues = drawn_tissues(&draw), start = tissues;
        interval breath = drawn_breath(&draw, 500.0);
        breath.n2_to = breath.n2_from;
        breath.he_to = breath.he_from;
        take(&tissues, &breath);
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            double n2_left = exp2(-breath.minutes / c->n2_half_time_min[i]);
            double he_left = exp2(-breath.minutes / c->he_half_time_min[i]);
            assert_close(tissues.n2[i], breath.n2_from + (start.n2[i] - breath.n2_from) * n2_left, 0.0, EXACT);
            assert_close(tissues.he[i], breath.he_from + (start.he[i] - breath.he_from) * he_left, 0.0, EXACT);
        }
    }
}

/* Schreiner's equation as published, which cancels for short intervals:
 * P = Pi0 + R (t - 1/k) - (Pi0 - P0 - R/k) e^-kt. */
static void a_ramp_is_schreiner(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(0);
    draws draw = {78};
    for (int round = 0; round < 200; round++) {
        ll_tissues tissues = drawn_tissues(&draw), start = tissues;
        interval breath = drawn_breath(&draw, 100.0);
        take(&tissues, &breath);
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            long double k = LN_2_LONG / c->n2_half_time_min[i], t = breath.minutes;
            long double rate = (breath.n2_to - breath.n2_from) / t;
            long double expected = breath.n2_from + rate * (t - 1.0L / k)
                                   - (breath.n2_from - start.n2[i] - rate / k) * expl(-k * t);
            assert_close(tissues.n2[i], (double)expected, 0.0, EXACT);
        }
    }
}

static interval sum_of(const interval *x, const interval *y, double scale)
{
    return (interval){x->minutes, x->n2_from + scale * y->n2_from, x->n2_to + scale * y->n2_to,
                    x->he_from + scale * y->he_from, x->he_to + scale * y->he_to};
}

static ll_tissues tissues_sum(const ll_tissues *x, const ll_tissues *y, double scale)
{
    ll_tissues sum;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        sum.n2[i] = x->n2[i] + scale * y->n2[i];
        sum.he[i] = x->he[i] + scale * y->he[i];
    }
    return sum;
}

static void dives_superpose(void **state)
{
    (void)state;
    draws draw = {UINT64_C(0xadd)};
    for (int round = 0; round < 200; round++) {
        ll_tissues one = drawn_tissues(&draw), other = drawn_tissues(&draw);
        interval breath_one = drawn_breath(&draw, 100.0), breath_other = drawn_breath(&draw, 100.0);
        double scale = draw_between(&draw, 0.1, 3.0);
        breath_other.minutes = breath_one.minutes;
        interval both = sum_of(&breath_one, &breath_other, scale);
        ll_tissues together = tissues_sum(&one, &other, scale);
        take(&one, &breath_one);
        take(&other, &breath_other);
        take(&together, &both);
        ll_tissues expected = tissues_sum(&one, &other, scale);
        assert_same(&together, &expected, EXACT);
    }
}

static void gases_do_not_meet(void **state)
{
    (void)state;
    draws draw = {5};
    ll_tissues one = drawn_tissues(&draw), other = one;
    interval breath = drawn_breath(&draw, 60.0), changed = breath;
    changed.he_from += 1.0;
    changed.he_to -= 0.5;
    take(&one, &breath);
    take(&other, &changed);
    assert_memory_equal(one.n2, other.n2, sizeof one.n2);
    assert_memory_not_equal(one.he, other.he, sizeof one.he);
}

/* Only t/T counts: every compartment after its own share of a time is where the others are. */
static void time_scales_with_the_half_time(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(0);
    for (double share = 1e-4; share < 20.0; share *= 3.0) {
        double first = 0.0;
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            ll_tissues tissues = {.n2 = {[0] = 0}};
            take(&tissues, &(interval){share * c->n2_half_time_min[i], 2.0, 7.0, 0.0, 0.0});
            first = i == 0 ? tissues.n2[0] : first;
            assert_close(tissues.n2[i], first, 0.0, EXACT);
        }
    }
}

static void more_in_gives_more_and_stays_between(void **state)
{
    (void)state;
    draws draw = {UINT64_C(0x0bde4)};
    for (int round = 0; round < 300; round++) {
        ll_tissues less = drawn_tissues(&draw), more = less, start = less;
        interval breath = drawn_breath(&draw, 300.0), richer = breath;
        richer.n2_from += draw_between(&draw, 0.0, 1.0);
        richer.n2_to += draw_between(&draw, 0.0, 1.0);
        take(&less, &breath);
        take(&more, &richer);
        for (int i = 0; i < LL_COMPARTMENTS; i++) {
            double least = fmin(start.n2[i], fmin(breath.n2_from, breath.n2_to));
            double most = fmax(start.n2[i], fmax(breath.n2_from, breath.n2_to));
            assert_true(less.n2[i] <= more.n2[i]);
            assert_true(less.n2[i] >= least * (1.0 - EXACT) && less.n2[i] <= most * (1.0 + EXACT));
        }
    }
}

static void fast_compartments_lead_on_a_square_dive(void **state)
{
    (void)state;
    for (double minutes = 1.0; minutes < 60.0; minutes *= 2.0) { /* later the fastest are full */
        ll_tissues tissues;
        ll_tissues_rest(&tissues, 1.0);
        take(&tissues, &(interval){minutes, 3.0, 3.0, 1.0, 1.0});
        for (int i = 1; i < LL_COMPARTMENTS; i++)
            assert_true(tissues.n2[i] < tissues.n2[i - 1] && tissues.he[i] < tissues.he[i - 1]);
    }
}

static void saturation_is_reached_in_ten_half_times(void **state)
{
    (void)state;
    const ll_coefficients *c = ll_coefficients_of(0);
    ll_tissues tissues;
    ll_tissues_rest(&tissues, 1.0);
    double rest = tissues.n2[0];
    take(&tissues, &(interval){10.0 * 635.0, 3.0, 3.0, 0.0, 0.0});
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        double left = (3.0 - rest) * exp2(-6350.0 / c->n2_half_time_min[i]);
        assert_close(tissues.n2[i], 3.0, left * 1.001, 4.0 * DBL_EPSILON);
    }
}

static void odd_intervals_give_numbers(void **state)
{
    (void)state;
    static const double minutes[] = {0.0, 1e-300, 1e-9, 1e-6, 1e9, 1e300};
    for (size_t i = 0; i < sizeof minutes / sizeof *minutes; i++) {
        ll_tissues tissues;
        ll_tissues_rest(&tissues, 0.5);
        take(&tissues, &(interval){minutes[i], 0.0, 0.0, 0.0, 8.0});
        for (int j = 0; j < LL_COMPARTMENTS; j++)
            assert_true(tissues.n2[j] >= 0.0 && tissues.n2[j] < 1.0 && tissues.he[j] >= 0.0 && tissues.he[j] <= 8.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_half_time_halves_the_distance),
        cmocka_unit_test(equilibrium_stays),
        cmocka_unit_test(nothing_happens_in_no_time),
        cmocka_unit_test(a_long_ramp_lags_by_rate_over_k),
        cmocka_unit_test(pieces_equal_the_whole),
        cmocka_unit_test(factors_are_accurate_at_every_length),
        cmocka_unit_test(constant_pressure_is_haldane),
        cmocka_unit_test(a_ramp_is_schreiner),
        cmocka_unit_test(dives_superpose),
        cmocka_unit_test(gases_do_not_meet),
        cmocka_unit_test(time_scales_with_the_half_time),
        cmocka_unit_test(more_in_gives_more_and_stays_between),
        cmocka_unit_test(fast_compartments_lead_on_a_square_dive),
        cmocka_unit_test(saturation_is_reached_in_ten_half_times),
        cmocka_unit_test(odd_intervals_give_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
