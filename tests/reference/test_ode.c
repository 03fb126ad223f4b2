/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steps of all compartments against a general integrator of dp/dt = k (inspired(t) - p): GSL's Prince-Dormand
 * (8,9). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_odeiv2.h>

#include "close.h"
#include "draw.h"
#include "model/tissue.h"

enum { GASES = 2, UNKNOWNS = GASES * LL_COMPARTMENTS, LEGS = 25, PROFILES = 12 };

/* Inspired pressures run linearly from one to the other within the leg. */
typedef struct leg {
    double minutes, from[GASES], to[GASES];
} leg;

static double half_time_of(int unknown)
{
    const ll_coefficients *c = ll_coefficients_of(2);
    return unknown < LL_COMPARTMENTS ? c->n2_half_time_min[unknown] : c->he_half_time_min[unknown - LL_COMPARTMENTS];
}

static int derivatives(double minutes, const double p[], double dp[], void *given)
{
    const leg *now = given;
    for (int i = 0; i < UNKNOWNS; i++) {
        int gas = i / LL_COMPARTMENTS;
        double inspired = now->from[gas] + (now->to[gas] - now->from[gas]) * minutes / now->minutes;
        dp[i] = M_LN2 / half_time_of(i) * (inspired - p[i]);
    }
    return GSL_SUCCESS;
}

static void integrate(leg *now, double p[UNKNOWNS])
{
    gsl_odeiv2_system system = {derivatives, NULL, UNKNOWNS, now};
    gsl_odeiv2_driver *driver =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, now->minutes / 10.0, 1e-14, 1e-13);
    assert_non_null(driver);
    double minutes = 0.0;
    int status = gsl_odeiv2_driver_apply(driver, &minutes, now->minutes, p);
    gsl_odeiv2_driver_free(driver);
    assert_int_equal(status, GSL_SUCCESS);
}

static void assert_same(const ll_tissues *tissues, const double p[UNKNOWNS])
{
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        assert_close(tissues->n2[i], p[i], 1e-15, 1e-9);
        assert_close(tissues->he[i], p[LL_COMPARTMENTS + i], 1e-15, 1e-9);
    }
}

/* A leg from one ambient pressure to another on a drawn mix. */
static leg drawn_leg(draws *draw, double from_bar, double to_bar)
{
    double o2 = draw_between(draw, 0.08, 1.0), he = (1.0 - o2) * draw_between(draw, -0.5, 1.0);
    he = he > 0.0 ? he : 0.0;
    double n2 = 1.0 - o2 - he, from = from_bar - LL_WATER_VAPOUR_BAR, to = to_bar - LL_WATER_VAPOUR_BAR;
    double minutes = draw_between(draw, 0.0, 1.0) < 0.5 ? draw_between(draw, 1e-4, 1.0) : draw_between(draw, 1.0, 60.0);
    return (leg){minutes, {n2 * from, he * from}, {n2 * to, he * to}};
}

static void run_profile(draws *draw)
{
    ll_tissues tissues;
    double p[UNKNOWNS] = {0};
    double ambient = draw_between(draw, 0.6, 1.05);
    ll_tissues_rest(&tissues, ambient);
    for (int i = 0; i < LL_COMPARTMENTS; i++)
        p[i] = tissues.n2[i];
    for (int i = 0; i < LEGS; i++) {
        double next = draw_between(draw, 0.6, 14.0);
        leg now = drawn_leg(draw, ambient, next);
        ll_decay decay;
        ll_decay_make(&decay, now.minutes);
        ll_tissues_step(&tissues, &decay, now.from[0], now.to[0], now.from[1], now.to[1]);
        integrate(&now, p);
        assert_same(&tissues, p);
        ambient = next;
    }
}

static void steps_agree_with_an_integrator(void **state)
{
    (void)state;
    gsl_set_error_handler_off();
    draws draw = {UINT64_C(0x5eed0de5)};
    for (int i = 0; i < PROFILES; i++)
        run_profile(&draw);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(steps_agree_with_an_integrator)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
