/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replay of a history the textbook way, to be measured against: every compartment as a differential equation that a
 * general integrator of GSL carries from sample to sample, and the ceiling behind every sample.
 *
 *     leadline replay --columns dive,time_s,ambient_bar,mix_o2,mix_he LOG > track.csv; textbook track.csv
 *
 * Every dive begins saturated at its first pressure. With --loads the loads at the end of each dive are printed. */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_odeiv2.h>

#include "model/tissue.h"

enum { GASES = 2, UNKNOWNS = GASES * LL_COMPARTMENTS, SET_C = 2 };

static const double air_n2 = 0.79, first_step_s = 1, absolute = 1e-9, relative = 1e-9;

typedef struct sample {
    int dive;
    double time_s, ambient_bar, o2, he;
} sample;

/* Inspired pressures between two samples: a straight line, on the mix of the first. */
typedef struct leg {
    double begin_s, seconds, from[GASES], slope[GASES];
} leg;

typedef struct replayed {
    const ll_coefficients *law;
    gsl_odeiv2_driver *driver;
    leg now;
    double p[UNKNOWNS];
    double deepest_bar;
    size_t samples;
} replayed;

static double half_time_min(const ll_coefficients *law, int unknown)
{
    return unknown < LL_COMPARTMENTS ? law->n2_half_time_min[unknown]
                                     : law->he_half_time_min[unknown - LL_COMPARTMENTS];
}

static int derivatives(double time_s, const double p[], double dp[], void *given)
{
    const replayed *r = given;
    for (int i = 0; i < UNKNOWNS; i++) {
        int gas = i / LL_COMPARTMENTS;
        double inspired = r->now.from[gas] + r->now.slope[gas] * (time_s - r->now.begin_s);
        dp[i] = M_LN2 / (60 * half_time_min(r->law, i)) * (inspired - p[i]);
    }
    return GSL_SUCCESS;
}

static void begin_dive(replayed *r, const sample *first)
{
    for (int i = 0; i < UNKNOWNS; i++)
        r->p[i] = i < LL_COMPARTMENTS ? air_n2 * (first->ambient_bar - LL_WATER_VAPOUR_BAR) : 0;
    r->deepest_bar = 0;
    gsl_odeiv2_driver_reset_hstart(r->driver, first_step_s);
}

static void set_leg(leg *now, const sample *from, const sample *to)
{
    const double fraction[GASES] = {1 - from->o2 - from->he, from->he};
    now->begin_s = from->time_s;
    now->seconds = to->time_s - from->time_s;
    for (int gas = 0; gas < GASES; gas++) {
        now->from[gas] = fraction[gas] * (from->ambient_bar - LL_WATER_VAPOUR_BAR);
        now->slope[gas] = fraction[gas] * (to->ambient_bar - from->ambient_bar) / now->seconds;
    }
}

/* The least ambient pressure that all compartments bear. */
static double ceiling_bar(const replayed *r)
{
    double greatest = 0;
    for (int i = 0; i < LL_COMPARTMENTS; i++) {
        double n2 = r->p[i], he = r->p[LL_COMPARTMENTS + i], all = n2 + he;
        double a = (r->law->n2_a_bar[i] * n2 + r->law->he_a_bar[i] * he) / all;
        double b = (r->law->n2_b[i] * n2 + r->law->he_b[i] * he) / all;
        greatest = fmax(greatest, (all - a) * b);
    }
    return greatest;
}

static bool step(replayed *r, const sample *from, const sample *to)
{
    double time_s = from->time_s;
    set_leg(&r->now, from, to);
    if (gsl_odeiv2_driver_apply(r->driver, &time_s, to->time_s, r->p) != GSL_SUCCESS)
        return false;
    r->deepest_bar = fmax(r->deepest_bar, ceiling_bar(r));
    return true;
}

static void end_dive(const replayed *r, const sample *last, bool with_loads)
{
    if (!with_loads) {
        printf("%d,%.6g\n", last->dive, r->deepest_bar);
        return;
    }
    printf("%d", last->dive);
    for (int i = 0; i < UNKNOWNS; i++)
        printf(",%.12g", r->p[i]);
    putchar('\n');
}

static bool next_sample(FILE *track, sample *next)
{
    return fscanf(track, "%d,%lf,%lf,%lf,%lf", &next->dive, &next->time_s, &next->ambient_bar, &next->o2,
                  &next->he) == 5;
}

/* False where the integrator gives up. */
static bool replay(replayed *r, FILE *track, bool with_loads)
{
    sample last = {0}, next;
    if (fscanf(track, "%*[^\n]") == EOF)
        return false;
    for (; next_sample(track, &next); last = next, r->samples++) {
        if (next.dive == last.dive) {
            if (!step(r, &last, &next))
                return false;
            continue;
        }
        if (last.dive)
            end_dive(r, &last, with_loads);
        begin_dive(r, &next);
    }
    if (last.dive)
        end_dive(r, &last, with_loads);
    return feof(track);
}

int main(int count, char **arguments)
{
    bool with_loads = count == 3 && strcmp(arguments[1], "--loads") == 0;
    FILE *track = count == 2 + with_loads ? fopen(arguments[count - 1], "r") : NULL;
    if (!track) {
        fprintf(stderr, "usage: textbook [--loads] TRACK.csv\n");
        return 2;
    }
    replayed r = {.law = ll_coefficients_of(SET_C)};
    gsl_odeiv2_system system = {derivatives, NULL, UNKNOWNS, &r};
    r.driver = gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rkf45, first_step_s, absolute, relative);
    bool done = r.driver && replay(&r, track, with_loads);
    if (!done)
        fprintf(stderr, "textbook: stopped behind sample %zu\n", r.samples);
    gsl_odeiv2_driver_free(r.driver);
    fclose(track);
    return done ? 0 : 1;
}
