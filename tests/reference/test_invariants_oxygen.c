/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Oxygen doses against GSL's adaptive quadrature, and what they must keep whatever the numbers. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>

#include "close.h"
#include "draw.h"
#include "model/oxygen.h"

enum { WORKSPACE = 1000, ROUNDS = 500 };

typedef double rate_of(double po2_atm);

/* NOAA's rows again, written out here so that the integrand is not the code under test. */
static const double row_atm[] = {0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6};
static const double row_min[2][12] = {{900, 720, 570, 450, 360, 300, 240, 210, 180, 150, 120, 45},
                                      {900, 720, 570, 450, 360, 300, 270, 240, 210, 180, 180, 150}};
enum { ROWS = sizeof row_atm / sizeof *row_atm };

static double cns_rate(int table, double po2_atm)
{
    if (po2_atm <= 0.5)
        return 0.0;
    int i = 1;
    while (i < ROWS && po2_atm > row_atm[i])
        i++;
    if (i == ROWS)
        return 100.0 / row_min[table][ROWS - 1];
    double share = (po2_atm - row_atm[i - 1]) / (row_atm[i] - row_atm[i - 1]);
    return 100.0 / (row_min[table][i - 1] + share * (row_min[table][i] - row_min[table][i - 1]));
}

static double single_rate(double po2_atm)
{
    return cns_rate(0, po2_atm);
}

static double day_rate(double po2_atm)
{
    return cns_rate(1, po2_atm);
}

static double otu_rate(double po2_atm)
{
    return po2_atm > 0.5 ? pow((po2_atm - 0.5) / 0.5, 5.0 / 6.0) : 0.0;
}

static double integrand(double po2_atm, void *given)
{
    return (*(rate_of **)given)(po2_atm);
}

static double quadrature(rate_of *rate, double from, double to)
{
    gsl_integration_workspace *workspace = gsl_integration_workspace_alloc(WORKSPACE);
    gsl_function function = {integrand, &rate};
    double result, error;
    assert_non_null(workspace);
    int status = gsl_integration_qags(&function, from, to, 1e-14, 1e-12, WORKSPACE, workspace, &result, &error);
    gsl_integration_workspace_free(workspace);
    assert_int_equal(status, GSL_SUCCESS);
    return result;
}

/* Dose of a ramp: minutes times the mean rate over PO2, piece by piece between the table's rows, where rates have
 * corners. */
static double dose(rate_of *rate, double minutes, double from, double to)
{
    double low = fmin(from, to), high = fmax(from, to), sum = 0.0, at = low;
    for (int i = 0; i <= ROWS && at < high; i++) {
        double next = i < ROWS ? fmin(high, row_atm[i]) : high;
        if (next > at) {
            sum += quadrature(rate, at, next);
            at = next;
        }
    }
    return minutes * sum / (high - low);
}

static void ramps_agree_with_quadrature(void **state)
{
    (void)state;
    gsl_set_error_handler_off();
    draws draw = {UINT64_C(0x02)};
    for (int round = 0; round < ROUNDS; round++) {
        double minutes = draw_between(&draw, 0.01, 60.0);
        double from = draw_between(&draw, 0.1, 2.0), to = draw_between(&draw, 0.1, 2.0);
        if (round % 3 == 0)
            to = from + draw_between(&draw, -0.01, 0.01);
        double single = ll_cns_percent(LL_CNS_SINGLE, minutes, from, to, NULL);
        double day = ll_cns_percent(LL_CNS_24_H, minutes, from, to, NULL);
        assert_close(single, dose(single_rate, minutes, from, to), 1e-12, 1e-10);
        assert_close(day, dose(day_rate, minutes, from, to), 1e-12, 1e-10);
        assert_close(ll_otu(minutes, from, to), dose(otu_rate, minutes, from, to), 1e-9, 0.0);
    }
}

static void pieces_equal_the_whole(void **state)
{
    (void)state;
    draws draw = {3};
    for (int round = 0; round < ROUNDS; round++) {
        double from = draw_between(&draw, 0.1, 2.0), to = draw_between(&draw, 0.1, 2.0), at = 0.0;
        double single = 0.0, day = 0.0, otu = 0.0;
        while (at < 1.0) {
            double next = fmin(1.0, at + draw_between(&draw, 0.0, 0.2));
            double here = from + (to - from) * at, there = from + (to - from) * next, minutes = 30.0 * (next - at);
            single += ll_cns_percent(LL_CNS_SINGLE, minutes, here, there, NULL);
            day += ll_cns_percent(LL_CNS_24_H, minutes, here, there, NULL);
            otu += ll_otu(minutes, here, there);
            at = next;
        }
        assert_close(single, ll_cns_percent(LL_CNS_SINGLE, 30.0, from, to, NULL), 1e-13, 1e-11);
        assert_close(day, ll_cns_percent(LL_CNS_24_H, 30.0, from, to, NULL), 1e-13, 1e-11);
        assert_close(otu, ll_otu(30.0, from, to), 1e-12, 1e-11);
    }
}

/* A ramp so short that differences of powers would cancel is what its middle gives, but for a term of second order. */
static void tiny_differences_do_not_cancel(void **state)
{
    (void)state;
    for (double po2 = 0.55; po2 < 1.58; po2 += 0.1)
        for (double step = 1e-16; step < 2e-5; step *= 10.0) {
            double to = po2 + step;
            assert_close(ll_otu(60.0, po2, to), 60.0 * otu_rate(po2 + step / 2.0), 0.0, 1e-8 * step / 1e-5 + 1e-14);
            assert_close(ll_cns_percent(LL_CNS_SINGLE, 60.0, po2, to, NULL), 60.0 * single_rate(po2 + step / 2.0), 0.0,
                         1e-8 * step / 1e-5 + 1e-13);
        }
}

static void there_and_back_are_alike(void **state)
{
    (void)state;
    draws draw = {4};
    for (int round = 0; round < ROUNDS; round++) {
        double from = draw_between(&draw, 0.1, 2.0), to = draw_between(&draw, 0.1, 2.0);
        assert_close(ll_otu(7.0, from, to), ll_otu(7.0, to, from), 0.0, 0.0);
        assert_close(ll_cns_percent(LL_CNS_SINGLE, 7.0, from, to, NULL),
                     ll_cns_percent(LL_CNS_SINGLE, 7.0, to, from, NULL), 0.0, 0.0);
        assert_close(ll_otu(14.0, from, to), 2.0 * ll_otu(7.0, from, to), 0.0, 1e-15);
    }
}

static void nothing_accrues_at_half_an_atmosphere(void **state)
{
    (void)state;
    assert_close(ll_otu(60.0, 0.5, 0.5), 0.0, 0.0, 0.0);
    assert_close(ll_otu(60.0, 0.0, 0.5), 0.0, 0.0, 0.0);
    assert_close(ll_cns_percent(LL_CNS_SINGLE, 60.0, 0.2, 0.5, NULL), 0.0, 0.0, 0.0);
    assert_true(isinf(ll_cns_limit_min(LL_CNS_SINGLE, 0.5)));
    assert_true(ll_otu(60.0, 0.5, 0.5001) > 0.0);
    assert_true(ll_cns_percent(LL_CNS_24_H, 60.0, 0.5, 0.5001, NULL) > 0.0);
    assert_close(ll_otu(0.0, 1.0, 1.4), 0.0, 0.0, 0.0);
    assert_close(ll_cns_percent(LL_CNS_SINGLE, 0.0, 1.0, 1.4, NULL), 0.0, 0.0, 0.0);
}

static void limits_fall_with_po2(void **state)
{
    (void)state;
    for (int table = LL_CNS_SINGLE; table <= LL_CNS_24_H; table++)
        for (double po2 = 0.51; po2 < 2.0; po2 += 0.01) {
            double limit = ll_cns_limit_min((ll_oxygen_table)table, po2);
            assert_true(limit <= ll_cns_limit_min((ll_oxygen_table)table, po2 - 0.005) + 1e-9);
            assert_close(100.0 / limit, cns_rate(table, po2), 0.0, 1e-12);
        }
}

static bool tells_above(double minutes, double from, double to)
{
    bool above = false;
    ll_cns_percent(LL_CNS_SINGLE, minutes, from, to, &above);
    return above;
}

static void time_above_the_table_is_told(void **state)
{
    (void)state;
    bool above = true;
    ll_cns_percent(LL_CNS_SINGLE, 1.0, 1.0, 1.0, &above);
    assert_true(above); /* never taken back */
    assert_true(tells_above(1.0, 1.2, 1.7) && tells_above(1.0, 1.7, 1.2) && tells_above(1.0, 1.7, 1.8));
    assert_false(tells_above(1.0, 1.2, 1.6) || tells_above(1.0, 1.6, 1.6) || tells_above(0.0, 1.7, 1.7));
    assert_close(ll_cns_percent(LL_CNS_SINGLE, 45.0, 1.7, 1.9, NULL), 100.0, 0.0, 1e-15);
}

static void what_is_unknown_stays_unknown(void **state)
{
    (void)state;
    assert_true(isnan(ll_otu(1.0, NAN, 0.3)) && isnan(ll_otu(1.0, 0.3, NAN)) && isnan(ll_otu(1.0, NAN, NAN)));
    assert_true(isnan(ll_cns_percent(LL_CNS_SINGLE, 1.0, NAN, 0.3, NULL)));
    assert_true(isnan(ll_cns_percent(LL_CNS_SINGLE, 1.0, 1.3, NAN, NULL)));
}

/* Surface intervals add: decay over both is decay over the sum. */
static void decay_is_exponential(void **state)
{
    (void)state;
    assert_close(ll_cns_left_percent(73.0, 5400.0), 36.5, 0.0, 1e-15);
    for (double first = 0.0; first < 1e5; first += 7777.0) {
        double in_two = ll_cns_left_percent(ll_cns_left_percent(80.0, first), 4000.0);
        assert_close(in_two, ll_cns_left_percent(80.0, first + 4000.0), 0.0, 1e-13);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ramps_agree_with_quadrature),
        cmocka_unit_test(pieces_equal_the_whole),
        cmocka_unit_test(tiny_differences_do_not_cancel),
        cmocka_unit_test(there_and_back_are_alike),
        cmocka_unit_test(nothing_accrues_at_half_an_atmosphere),
        cmocka_unit_test(limits_fall_with_po2),
        cmocka_unit_test(time_above_the_table_is_told),
        cmocka_unit_test(what_is_unknown_stays_unknown),
        cmocka_unit_test(decay_is_exponential),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
