/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings over hand-drawn series: ends, peaks and times are counted by hand from the drawing. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "finding/finding.h"
#include "finding/stretch.h"

enum { SAMPLES = 16 };

/* A dive drawn by hand: a sample every 10 s, on one gas unless a test says otherwise. */
typedef struct {
    double time[SAMPLES], depth[SAMPLES], column[LL_QUANTITIES][SAMPLES], span_end[LL_QUANTITIES][2];
    ll_breathed breathed[2];
    ll_own_stop own_stop[SAMPLES];
    ll_dive dive;
    ll_profile profile;
    ll_track track;
    ll_settings settings;
    ll_limits limits;
    ll_surfacing surfacing;
    ll_arena arena;
    ll_findings found;
} drawing;

static void fill(double *column, const double *values, size_t count)
{
    memcpy(column, values, count * sizeof *values);
}

static int open_drawing(void **state)
{
    static drawing d;
    memset(&d, 0, sizeof d);
    ll_arena_open(&d.arena, NULL);
    ll_limits_built_in(&d.limits);
    d.settings.narcotic_oxygen = true;
    for (int i = 0; i < SAMPLES; i++) {
        d.time[i] = 10 * i;
        d.depth[i] = 20;
        d.column[LL_PO2][i] = 1;
    }
    d.depth[0] = d.depth[SAMPLES - 1] = 0;
    d.breathed[0] = (ll_breathed){.first = 0, .end = SAMPLES, .known = true};
    for (int q = 0; q < LL_QUANTITIES; q++) {
        d.track.column[q] = d.column[q];
        if (q == LL_PO2 || q == LL_END_N2 || q == LL_END_N2O2 || q == LL_DENSITY)
            d.track.at_span_end[q] = d.span_end[q];
    }
    for (int s = 0; s < 2; s++)
        d.span_end[LL_PO2][s] = 1;
    d.profile = (ll_profile){.dive = &d.dive,
                             .count = SAMPLES,
                             .time_s = d.time,
                             .depth_m = d.depth,
                             .surface_bar = 1.01325,
                             .gf_low = 0.5,
                             .gf_high = 0.8,
                             .breathed_count = 1,
                             .breathed = d.breathed,
                             .has_run_time = true,
                             .has_surfacing = true,
                             .leaving = 0,
                             .surfacing = SAMPLES - 1,
                             .ascent_start = 8,
                             .bottom_end = 8};
    d.track.profile = &d.profile;
    d.track.count = SAMPLES;
    *state = &d;
    return 0;
}

static int close_drawing(void **state)
{
    drawing *d = *state;
    ll_arena_close(&d->arena);
    return 0;
}

static const ll_finding *only(drawing *d, ll_kind kind)
{
    assert_int_equal(ll_findings_make(&d->track, &d->settings, &d->limits, &d->surfacing, LL_ALL_KINDS, &d->arena,
                                      &d->found, NULL),
                     LL_OK);
    assert_int_equal(d->found.count, 1);
    assert_int_equal(d->found.items[0].kind, kind);
    return &d->found.items[0];
}

static size_t all(drawing *d)
{
    assert_int_equal(ll_findings_make(&d->track, &d->settings, &d->limits, &d->surfacing, LL_ALL_KINDS, &d->arena,
                                      &d->found, NULL),
                     LL_OK);
    return d->found.count;
}

static void nothing_beyond_gives_no_finding(void **state)
{
    assert_int_equal(all(*state), 0);
}

/* Density 5.0 at 20 s, 5.4 at 30 s, 5.4 at 40 s, 5.0 at 50 s: over 5.2 from 25 s to 45 s. */
static void ends_lie_where_the_line_crosses(void **state)
{
    drawing *d = *state;
    fill(d->column[LL_DENSITY], (double[]){4, 4, 5.0, 5.4, 5.4, 5.0, 4}, 7);
    const ll_finding *f = only(d, LL_FINDING_DENSITY);
    assert_close(f->from_s, 25, 1e-3, 0);
    assert_close(f->to_s, 45, 1e-3, 0);
    assert_close(f->beyond_s, 20, 2e-3, 0);
    assert_close(f->peak, 5.4, 0, 0);
    assert_close(f->peak_s, 30, 0, 0);
    assert_close(f->limit, 5.2, 0, 0);
    assert_int_equal(f->severity, LL_NOTE);
    assert_int_equal(d->found.by_class[LL_GAS][LL_NOTE], 1);
}

/* At the limit is not over it; a millionth more is. */
static void over_means_by_more_than_a_millionth(void **state)
{
    drawing *d = *state;
    d->column[LL_DENSITY][4] = 5.2 * (1 + 0.9e-6);
    d->column[LL_DENSITY][5] = 5.2 * (1 + 0.9e-6);
    assert_int_equal(all(d), 0);
    d->column[LL_DENSITY][5] = 5.2 * (1 + 1.1e-6);
    assert_int_equal(all(d), 1);
    assert_false(ll_is_beyond(1e-6, 0, LL_UPPER_LIMIT));
    assert_true(ll_is_beyond(1.1e-6, 0, LL_UPPER_LIMIT));
    assert_false(ll_is_beyond(NAN, 0, LL_UPPER_LIMIT));
    assert_false(ll_is_beyond(NAN, 0, LL_LOWER_LIMIT));
}

/* Two peaks of 10 s each (crossings at half way): 20 s apart they are one with 20 s beyond; 30 s apart they are two. */
static void stretches_less_than_30_s_apart_are_one(void **state)
{
    drawing *d = *state;
    fill(d->column[LL_END_N2O2], (double[]){0, 20, 40, 20, 20, 40, 20, 0}, 8);
    const ll_finding *f = only(d, LL_FINDING_NARCOSIS);
    assert_close(f->from_s, 15, 1e-3, 0);
    assert_close(f->to_s, 55, 1e-3, 0);
    assert_close(f->beyond_s, 20, 2e-3, 0);
    fill(d->column[LL_END_N2O2], (double[]){0, 20, 40, 20, 20, 20, 40, 20, 0}, 9);
    assert_int_equal(all(d), 2);
}

/* Up to a switch the old gas counts: PO2 1.0 at 90 s, 1.8 at the switch at 100 s on the old gas, 1.0 on the new one. */
static void at_a_switch_the_old_gas_counts_up_to_it(void **state)
{
    drawing *d = *state;
    d->profile.breathed_count = 2;
    d->breathed[0].end = 10;
    d->breathed[1] = (ll_breathed){.first = 10, .end = SAMPLES, .known = true};
    d->span_end[LL_PO2][0] = 1.8;
    const ll_finding *f = only(d, LL_FINDING_OXYGEN_HIGH);
    assert_close(f->from_s, 97.5, 1e-3, 0);
    assert_close(f->to_s, 100, 0, 0);
    assert_close(f->peak, 1.8, 0, 0);
    assert_close(f->peak_s, 100, 0, 0);
    assert_int_equal(f->severity, LL_SERIOUS);
}

/* In the bottom phase (to 80 s) 1.45 atm is a caution at the limit of 1.4, after it nothing. */
static void the_bottom_phase_has_its_own_oxygen_limit(void **state)
{
    drawing *d = *state;
    for (int i = 6; i <= 12; i++)
        d->column[LL_PO2][i] = 1.45;
    const ll_finding *f = only(d, LL_FINDING_OXYGEN_HIGH);
    assert_close(f->limit, 1.4, 0, 0);
    assert_close(f->to_s, 80, 0, 0);
    assert_int_equal(f->severity, LL_CAUTION);
    d->profile.bottom_end = 2;
    assert_int_equal(all(d), 0);
}

/* Depth 0 to 20 m in the first 10 s crosses 1.5 m at 0.75 s; PO2 0.17 all the way is a note from there. */
static void oxygen_low_counts_deeper_than_1_5_m(void **state)
{
    drawing *d = *state;
    d->column[LL_PO2][0] = d->column[LL_PO2][1] = 0.17;
    const ll_finding *f = only(d, LL_FINDING_OXYGEN_LOW);
    assert_close(f->from_s, 0.75, 1e-9, 0);
    assert_int_equal(f->severity, LL_NOTE);
    d->column[LL_PO2][1] = 0.15;
    assert_int_equal(only(d, LL_FINDING_OXYGEN_LOW)->severity, LL_SERIOUS);
}

/* At a lake where air gives 0.16 atm at the surface, 0.17 atm under water is not under the limit. */
static void oxygen_low_never_asks_more_than_surface_air(void **state)
{
    drawing *d = *state;
    d->profile.surface_bar = 0.16 / 0.21 * 1.01325;
    d->column[LL_PO2][1] = d->column[LL_PO2][2] = 0.17;
    assert_int_equal(all(d), 0);
}

/* 13 m/min at one sample between two at 11: beyond 12 from 15 s to 25 s is 10 s; at 12.9 it is less. */
static void a_rate_counts_once_it_is_kept_for_10_s(void **state)
{
    drawing *d = *state;
    fill(d->column[LL_ASCENT_RATE], (double[]){0, 11, 13.01, 11, 0}, 5);
    assert_int_equal(only(d, LL_FINDING_ASCENT)->severity, LL_CAUTION);
    d->column[LL_ASCENT_RATE][2] = 12.9;
    assert_int_equal(all(d), 0);
    fill(d->column[LL_ASCENT_RATE], (double[]){0, 20, 20, 0}, 4);
    assert_int_equal(only(d, LL_FINDING_ASCENT)->severity, LL_SERIOUS);
    /* over 12 long enough, over 18 for an instant only */
    fill(d->column[LL_ASCENT_RATE], (double[]){0, 13, 18.5, 13, 0}, 5);
    assert_int_equal(only(d, LL_FINDING_ASCENT)->severity, LL_CAUTION);
}

/* Ceiling 20.6 m against 20 m of depth: 0.6 m above; a note for 50 s, a caution from 60 s, serious over 100 percent. */
static void above_the_ceiling(void **state)
{
    drawing *d = *state;
    for (int i = 3; i <= 8; i++)
        d->column[LL_CEILING][i] = 20.6;
    const ll_finding *f = only(d, LL_FINDING_CEILING);
    assert_close(f->peak, 0.6, 1e-9, 0);
    assert_close(f->limit, 0, 0, 0);
    assert_int_equal(f->severity, LL_NOTE);
    d->column[LL_CEILING][9] = d->column[LL_CEILING][10] = 20.6;
    assert_int_equal(only(d, LL_FINDING_CEILING)->severity, LL_CAUTION);
    d->column[LL_GRADIENT][5] = 100.5;
    f = only(d, LL_FINDING_CEILING);
    assert_int_equal(f->severity, LL_SERIOUS);
    assert_close(f->gradient_percent, 100.5, 0, 0);
    d->column[LL_GRADIENT][5] = 0;
    d->column[LL_GRADIENT][13] = 120; /* outside the stretch */
    assert_int_equal(only(d, LL_FINDING_CEILING)->severity, LL_CAUTION);
}

static void surfacing(drawing *d, double ceiling_m, double gradient)
{
    d->surfacing = (ll_surfacing){true, 10 * (SAMPLES - 1), gradient, 3, ceiling_m};
}

static void surfaced_weighs_by_the_gradient(void **state)
{
    drawing *d = *state;
    surfacing(d, 0.5, 82.9);
    assert_int_equal(only(d, LL_FINDING_SURFACED)->severity, LL_NOTE);
    surfacing(d, 0.5, 83.1);
    assert_int_equal(only(d, LL_FINDING_SURFACED)->severity, LL_CAUTION);
    surfacing(d, 0.5, 100.1);
    assert_int_equal(only(d, LL_FINDING_SURFACED)->severity, LL_SERIOUS);
    surfacing(d, 0, 100.1);
    assert_int_equal(all(d), 0);
}

/* A ceiling stretch that runs into the surfacing and `surfaced` stand both in the list and count once. */
static void ceiling_into_the_surfacing_counts_once(void **state)
{
    drawing *d = *state;
    d->column[LL_CEILING][SAMPLES - 1] = 2;
    surfacing(d, 2, 90);
    assert_int_equal(all(d), 2);
    assert_true(d->found.items[0].told_with_surfaced);
    assert_false(d->found.items[0].counted);
    assert_true(d->found.items[1].counted);
    assert_int_equal(d->found.by_class[LL_CONDUCT][LL_CAUTION], 1);
    assert_int_equal(d->found.by_class[LL_CONDUCT][LL_NOTE], 0);
    assert_int_equal(d->found.worst, LL_CAUTION);
}

/* The recorder asks for 21 m from 20 s to 100 s; the diver is at 20 m. Safety stops and silence are not held against him. */
static void the_recorders_own_stop(void **state)
{
    drawing *d = *state;
    for (size_t i = 0; i < 9; i++)
        d->own_stop[i] = (ll_own_stop){(uint32_t)(i + 2), true, 21, 60};
    d->dive.own_stop = d->own_stop;
    d->dive.own_stops = 9;
    const ll_finding *f = only(d, LL_FINDING_OWN_STOP);
    assert_close(f->from_s, 20, 0, 0);
    assert_close(f->to_s, 100, 0, 0);
    assert_close(f->peak, 1, 1e-12, 0);
    assert_int_equal(f->severity, LL_CAUTION);
    for (size_t i = 0; i < 9; i++)
        d->own_stop[i].mandatory = false;
    assert_int_equal(all(d), 0);
}

static void missing_values_are_no_findings(void **state)
{
    drawing *d = *state;
    for (int i = 0; i < SAMPLES; i++)
        d->column[LL_PO2][i] = d->column[LL_DENSITY][i] = d->column[LL_CEILING][i] = NAN;
    assert_int_equal(all(d), 0);
}

static void cns_and_its_class(void **state)
{
    drawing *d = *state;
    for (int i = 0; i < SAMPLES; i++)
        d->column[LL_CNS][i] = 8 * i;
    const ll_finding *f = only(d, LL_FINDING_CNS);
    assert_close(f->from_s, 100, 1e-3, 0);
    assert_close(f->peak, 120, 0, 0);
    assert_int_equal(f->severity, LL_SERIOUS);
    assert_int_equal(d->found.by_class[LL_DOSE][LL_SERIOUS], 1);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, open_drawing, close_drawing)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(nothing_beyond_gives_no_finding),
        CASE(ends_lie_where_the_line_crosses),
        CASE(over_means_by_more_than_a_millionth),
        CASE(stretches_less_than_30_s_apart_are_one),
        CASE(at_a_switch_the_old_gas_counts_up_to_it),
        CASE(the_bottom_phase_has_its_own_oxygen_limit),
        CASE(oxygen_low_counts_deeper_than_1_5_m),
        CASE(oxygen_low_never_asks_more_than_surface_air),
        CASE(a_rate_counts_once_it_is_kept_for_10_s),
        CASE(above_the_ceiling),
        CASE(surfaced_weighs_by_the_gradient),
        CASE(ceiling_into_the_surfacing_counts_once),
        CASE(the_recorders_own_stop),
        CASE(missing_values_are_no_findings),
        CASE(cns_and_its_class),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
