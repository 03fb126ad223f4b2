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
#include "finding/search.h"
#include "replay/levels.h"
#include "standard/repex.h"

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

/* With a note from 6 m/min on: 8 m/min is a note, and a caution only where 10 m/min was kept for 10 s too. */
static void ascent_by_the_lightest_limit_there_is(void **state)
{
    drawing *d = *state;
    d->limits.of[LL_FINDING_ASCENT] = (ll_limit){.note = 6, .caution = 10, .serious = NAN};
    fill(d->column[LL_ASCENT_RATE], (double[]){0, 8, 8, 8, 0}, 5);
    assert_int_equal(only(d, LL_FINDING_ASCENT)->severity, LL_NOTE);
    fill(d->column[LL_ASCENT_RATE], (double[]){0, 12, 12, 8, 0}, 5);
    assert_int_equal(only(d, LL_FINDING_ASCENT)->severity, LL_CAUTION);
    d->limits.of[LL_FINDING_ASCENT] = (ll_limit){.note = NAN, .caution = NAN, .serious = NAN};
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

/* --- limits of a standard ------------------------------------------------------------------------------------------ */

static void depth_is_found_only_under_a_limit(void **state)
{
    drawing *d = *state;
    d->track.column[LL_DEPTH] = d->depth; /* 0, twenty metres from 10 s to 140 s, 0 */
    assert_int_equal(all(d), 0);
    d->limits.of[LL_FINDING_DEPTH] = (ll_limit){15, NAN, 19, LL_FROM_STANDARD, "course"};
    const ll_finding *f = only(d, LL_FINDING_DEPTH);
    assert_close(f->from_s, 7.5, 1e-4, 0);
    assert_close(f->to_s, 142.5, 1e-4, 0);
    assert_close(f->peak, 20, 0, 0);
    assert_close(f->limit, 15, 0, 0);
    assert_int_equal(f->severity, LL_SERIOUS);
    d->limits.of[LL_FINDING_DEPTH].serious = 20; /* not over 20 */
    assert_int_equal(only(d, LL_FINDING_DEPTH)->severity, LL_NOTE);
}

/* Readings of 80, 60 and 40 bar at 20, 60 and 100 s: under 50 from 80 s to the last reading. */
static void reserve_looks_at_every_tank_between_its_readings(void **state)
{
    drawing *d = *state;
    static const uint32_t sample[] = {2, 6, 10};
    static const double full[] = {200, 190, 180}, low[] = {80, 60, 40};
    const ll_series tanks[] = {{NULL, LL_NONE, 3, sample, full}, {NULL, LL_NONE, 3, sample, low}};
    d->dive.tank_pressures = 2;
    d->dive.tank_pressure = tanks;
    assert_int_equal(all(d), 0);
    d->limits.of[LL_FINDING_RESERVE] = (ll_limit){NAN, 50, 30, LL_FROM_STANDARD, "course"};
    const ll_finding *f = only(d, LL_FINDING_RESERVE);
    assert_close(f->from_s, 80, 1e-3, 0);
    assert_close(f->to_s, 100, 0, 0);
    assert_close(f->peak, 40, 0, 0);
    assert_close(f->peak_s, 100, 0, 0);
    assert_int_equal(f->severity, LL_CAUTION);
    assert_ptr_equal(f->tank, &tanks[1]);
}

/* 50 bar, and readings at 50 s and 120 s: what is read between them lies on a line. */
static void a_reserve_counts_from_the_limit_down(void **state)
{
    drawing *d = *state;
    static const uint32_t at[] = {5, 12};
    static double bar[] = {60, 50};
    static ll_series tank = {.count = 2, .sample = at, .value = bar};
    d->dive.tank_pressures = 1;
    d->dive.tank_pressure = &tank;
    d->limits.of[LL_FINDING_RESERVE] = (ll_limit){NAN, 50, NAN, LL_FROM_STANDARD, "course"};
    assert_int_equal(all(d), 0);
    bar[1] = 50 - 4e-5;
    assert_int_equal(all(d), 0);
    bar[1] = 50 - 6e-5;
    assert_int_equal(all(d), 1);
    bar[1] = 49.9;
    assert_close(only(d, LL_FINDING_RESERVE)->peak, 49.9, 0, 0);
    bar[0] = 40;
    bar[1] = 60;
    assert_close(only(d, LL_FINDING_RESERVE)->peak, 40, 0, 0);
}

/* Wherever in the run time the one sample lies that is beyond, and however many there are. */
static void one_sample_beyond_is_found_anywhere(void **state)
{
    drawing *d = *state;
    for (size_t up = SAMPLES - 1; up > 3; up--)
        for (size_t i = 1; i <= up; i++) {
            d->profile.surfacing = up;
            memset(d->column[LL_DENSITY], 0, sizeof d->column[LL_DENSITY]);
            d->column[LL_DENSITY][i] = 5.4;
            assert_close(only(d, LL_FINDING_DENSITY)->peak_s, d->time[i], 0, 0);
            d->column[LL_DENSITY][i] = 5.2;
            d->column[LL_DENSITY][up - i] = NAN;
            assert_int_equal(all(d), 0);
        }
}

/* A level at 6 m from 20 s to 140 s, reached while a stop was asked. */
static void draw_level(drawing *d)
{
    d->profile.ascent_start = 2;
    for (int i = 2; i < SAMPLES - 1; i++)
        d->depth[i] = 6;
    d->column[LL_STOP][2] = 3;
    d->limits.of[LL_FINDING_STOP_DEPTH] = (ll_limit){0.5, 1, NAN, LL_FROM_STANDARD, "course"};
}

/* 6.9 m at 60 and 70 s: over 6.5 m from 50 + 10 * 5/9 s to 70 + 10 * 4/9 s. 5.4 m at 100 and 110 s: under 5.5 m from
 * 90 + 10 * 5/6 s to 110 + 10 * 1/6 s, less than 30 s later. The mean is 6.025 m. */
static void off_a_level_deeper_and_shallower(void **state)
{
    drawing *d = *state;
    draw_level(d);
    assert_int_equal(all(d), 0);
    d->depth[6] = d->depth[7] = 6.9;
    d->depth[10] = d->depth[11] = 5.4;
    const ll_finding *f = only(d, LL_FINDING_STOP_DEPTH);
    assert_close(f->from_s, 50 + 50 / 9.0, 1e-4, 0);
    assert_close(f->to_s, 110 + 10 / 6.0, 1e-4, 0);
    assert_close(f->beyond_s, 10 + 80 / 9.0 + 10 + 20 / 6.0, 1e-3, 0);
    assert_close(f->peak, 0.9, 1e-12, 0);
    assert_close(f->peak_s, 60, 0, 0);
    assert_close(f->limit, 0.5, 0, 0);
    assert_close(f->nominal_m, 6, 0, 0);
    assert_close(f->depth_m, 6.9, 0, 0);
    assert_int_equal(f->severity, LL_NOTE);
    assert_int_equal(d->found.by_class[LL_CONDUCT][LL_NOTE], 1);
    d->depth[6] = d->depth[7] = 6;
    d->limits.of[LL_FINDING_STOP_DEPTH].caution = 0.55;
    f = only(d, LL_FINDING_STOP_DEPTH);
    assert_close(f->from_s, 90 + 50 / 6.0, 1e-4, 0);
    assert_close(f->peak_s, 100, 0, 0);
    assert_close(f->depth_m, 5.4, 0, 0);
    assert_int_equal(f->severity, LL_CAUTION);
}

/* Two samples, wherever they lie in the level: 0.5 m and a little less or more than its millionth, either way. */
static void off_a_level_by_more_than_the_limit(void **state)
{
    drawing *d = *state;
    draw_level(d);
    for (int i = 3; i < SAMPLES - 3; i++)
        for (int sign = -1; sign <= 1; sign += 2) {
            d->depth[i] = d->depth[i + 1] = 6 + sign * (0.5 + 0.4e-6);
            assert_int_equal(all(d), 0);
            d->depth[i] = d->depth[i + 1] = 6 + sign * (0.5 + 0.6e-6);
            const ll_finding *f = only(d, LL_FINDING_STOP_DEPTH);
            assert_close(f->peak, 0.5 + 0.6e-6, 0, 1e-12);
            assert_close(f->peak_s, 10 * i, 0, 0);
            assert_true(f->depth_m == d->depth[i]);
            d->depth[i] = d->depth[i + 1] = 6;
        }
}

/* 7 m deeper or shallower from sample to sample, so the line of another interval says something else. */
static void depth_between_samples_lies_on_their_line(void **state)
{
    drawing *d = *state;
    for (int i = 0; i < SAMPLES; i++)
        d->depth[i] = i % 2 ? 7 + i : i;
    d->profile.leaving = 1;
    for (size_t up = 1; up < SAMPLES; up++) {
        d->profile.surfacing = up;
        assert_true(ll_depth_at_m(&d->profile, d->time[up]) == d->depth[up]);
        assert_true(ll_depth_at_m(&d->profile, d->time[up] + 5) == d->depth[up]);
        for (size_t i = 1; i < up; i++)
            for (int k = 0; k <= 10; k++)
                assert_close(ll_depth_at_m(&d->profile, d->time[i] + k),
                             d->depth[i] + k * (d->depth[i + 1] - d->depth[i]) / 10, 1e-12, 0);
    }
}

/* Who replays a dive hands over the levels that it has; without them they are looked for. */
static void levels_at_hand_are_not_looked_for(void **state)
{
    drawing *d = *state;
    ll_level level = {.first = 2, .last = 14, .nominal_m = 6, .least_m = 6, .greatest_m = 6.9};
    ll_levels levels = {.made = true, .count = 1, .level = &level};
    draw_level(d);
    d->depth[6] = d->depth[7] = 6.9;
    d->track.levels = &levels;
    assert_close(only(d, LL_FINDING_STOP_DEPTH)->nominal_m, 6, 0, 0);
    level.nominal_m = 7;
    assert_close(only(d, LL_FINDING_STOP_DEPTH)->nominal_m, 7, 0, 0);
    levels.count = 0;
    assert_int_equal(all(d), 0);
}

/* 6.8 m at 60 s and 5.4 m at 70 s: over 6.5 m for 5.9 s, under 5.5 m for 2.4 s, and at 6 m in between. */
static void off_a_level_counts_for_10_s_unbroken(void **state)
{
    drawing *d = *state;
    draw_level(d);
    d->depth[6] = 6.8;
    d->depth[7] = 5.4;
    assert_int_equal(all(d), 0);
    d->depth[7] = 6.7;
    assert_int_equal(all(d), 1);
}

static void off_a_level_only_where_a_stop_was_asked(void **state)
{
    drawing *d = *state;
    draw_level(d);
    d->depth[6] = d->depth[7] = 6.9;
    assert_int_equal(all(d), 1);
    d->column[LL_STOP][2] = 0;
    d->column[LL_STOP][6] = 3; /* not at the arrival */
    assert_int_equal(all(d), 0);
    d->column[LL_STOP][2] = NAN;
    assert_int_equal(all(d), 0);
    d->column[LL_STOP][2] = 3;
    d->limits.of[LL_FINDING_STOP_DEPTH] = ll_kind_table[LL_FINDING_STOP_DEPTH].limit;
    assert_int_equal(all(d), 0);
    d->limits.of[LL_FINDING_STOP_DEPTH] = (ll_limit){NAN, 0.9, NAN, LL_FROM_STANDARD, "course"}; /* not over 0.9 */
    assert_int_equal(all(d), 0);
}

/* From air to half oxygen at 24 m: 1.6 atm are 1.6212 bar, in half the gas 3.2424, which is 22.2915 m. */
static void draw_deep_switch(drawing *d, ll_log *log, ll_mix *mix)
{
    mix[0] = (ll_mix){.o2_fraction = 0.21, .maximum_po2_bar = NAN, .maximum_depth_m = NAN, .usable = true};
    mix[1] = (ll_mix){.o2_fraction = 0.5, .maximum_po2_bar = NAN, .maximum_depth_m = NAN, .usable = true};
    *log = (ll_log){.mixes = 2, .mix = mix};
    d->profile.log = log;
    d->profile.bar_per_m = 0.1;
    d->profile.breathed_count = 2;
    d->breathed[0] = (ll_breathed){.first = 0, .end = 10, .known = true, .mix = 0, .o2 = 0.21, .n2 = 0.79};
    d->breathed[1] = (ll_breathed){.first = 10, .end = SAMPLES, .known = true, .mix = 1, .o2 = 0.5, .n2 = 0.5};
    d->depth[10] = 24;
    d->limits.of[LL_FINDING_SWITCH_DEPTH] = (ll_limit){1, NAN, 3, LL_FROM_STANDARD, "course"};
}

static void a_switch_deeper_than_its_mix(void **state)
{
    drawing *d = *state;
    ll_log log;
    ll_mix mix[2];
    draw_deep_switch(d, &log, mix);
    const ll_finding *f = only(d, LL_FINDING_SWITCH_DEPTH);
    assert_close(f->from_s, 100, 0, 0);
    assert_close(f->to_s, 100, 0, 0);
    assert_close(f->peak_s, 100, 0, 0);
    assert_close(f->beyond_s, 0, 0, 0);
    assert_close(f->peak, 24 - 22.2915, 1e-9, 0);
    assert_close(f->limit, 1, 0, 0);
    assert_int_equal(f->severity, LL_NOTE);
    assert_close(f->deep->depth_m, 24, 0, 0);
    assert_close(f->deep->mod.depth_m, 22.2915, 1e-9, 0);
    assert_int_equal(f->deep->mod.source, LL_MOD_BUILT_IN);
    assert_int_equal(f->deep->to_mix, 1);
    assert_int_equal(d->found.by_class[LL_CONDUCT][LL_NOTE], 1);
    mix[1].maximum_depth_m = 20;
    f = only(d, LL_FINDING_SWITCH_DEPTH);
    assert_close(f->peak, 4, 0, 0);
    assert_int_equal(f->severity, LL_SERIOUS);
    assert_int_equal(f->deep->mod.source, LL_MOD_STATED_DEPTH);
    mix[1].maximum_po2_bar = 1.4; /* 2.8 bar, which is 17.8675 m: the shallower counts */
    assert_close(only(d, LL_FINDING_SWITCH_DEPTH)->peak, 24 - 17.8675, 1e-9, 0);
    mix[1].maximum_po2_bar = 0.4; /* less than at the surface: no depth is above it */
    assert_close(only(d, LL_FINDING_SWITCH_DEPTH)->peak, 24, 0, 0);
}

static void switches_without_a_greatest_depth(void **state)
{
    drawing *d = *state;
    ll_log log;
    ll_mix mix[2];
    draw_deep_switch(d, &log, mix);
    assert_int_equal(all(d), 1);
    mix[1].maximum_depth_m = 23; /* 1 m deeper is not over 1 */
    assert_int_equal(all(d), 0);
    mix[1].maximum_depth_m = NAN;
    d->breathed[1].loop = true;
    assert_int_equal(all(d), 0);
    d->breathed[1].loop = false;
    d->breathed[1].mix = 0; /* the same mix is no switch */
    assert_int_equal(all(d), 0);
    d->breathed[1].mix = LL_MIX_UNKNOWN;
    d->breathed[1].known = false;
    assert_int_equal(all(d), 0);
    draw_deep_switch(d, &log, mix);
    d->profile.leaving = 10; /* not after the leaving */
    assert_int_equal(all(d), 0);
    d->profile.leaving = 0;
    d->limits.of[LL_FINDING_SWITCH_DEPTH] = ll_kind_table[LL_FINDING_SWITCH_DEPTH].limit;
    assert_int_equal(all(d), 0);
}

/* A standard that names only a caution asks for no notes; the 60 s and the gradient of the table stay. */
static void a_ceiling_limit_without_a_note_gives_none(void **state)
{
    drawing *d = *state;
    d->limits.of[LL_FINDING_CEILING] = (ll_limit){NAN, 0.5, NAN, LL_FROM_STANDARD, "course"};
    for (int i = 4; i <= 6; i++)
        d->column[LL_CEILING][i] = 21;
    assert_int_equal(all(d), 0);
    for (int i = 4; i <= 12; i++)
        d->column[LL_CEILING][i] = 21;
    assert_int_equal(only(d, LL_FINDING_CEILING)->severity, LL_CAUTION);
    d->column[LL_GRADIENT][8] = 101;
    assert_int_equal(only(d, LL_FINDING_CEILING)->severity, LL_SERIOUS);
    d->limits.of[LL_FINDING_CEILING].caution = NAN;
    assert_int_equal(all(d), 0);
}

/* The working limit of the bottom phase counts under a note that lies lower, and where the standard has no other limit. */
static void the_working_limit_stays_under_a_standard(void **state)
{
    drawing *d = *state;
    for (int i = 3; i <= 6; i++)
        d->column[LL_PO2][i] = 1.45;
    d->limits.of[LL_FINDING_OXYGEN_HIGH] = (ll_limit){1.3, 1.5, NAN, LL_FROM_STANDARD, "course"};
    const ll_finding *f = only(d, LL_FINDING_OXYGEN_HIGH);
    assert_close(f->limit, 1.3, 0, 0);
    assert_int_equal(f->severity, LL_CAUTION);
    d->profile.bottom_end = 2;
    assert_int_equal(only(d, LL_FINDING_OXYGEN_HIGH)->severity, LL_NOTE);
    d->profile.bottom_end = 8;
    d->limits.of[LL_FINDING_OXYGEN_HIGH] = (ll_limit){NAN, NAN, NAN, LL_FROM_STANDARD, "course"};
    assert_close(only(d, LL_FINDING_OXYGEN_HIGH)->limit, 1.4, 0, 0);
}

/* --- OTU over days, inert gases at a switch ---------------------------------------------------------------------- */

/* Hamilton, Kenyon and Peterson 1988 (REPEX): 1 day and the long run as published, the rest from memory. */
static void the_allowance_of_days_in_a_row(void **state)
{
    (void)state;
    static const double totals[] = {850, 1400, 1860, 2100, 2300, 2520, 2660, 2800, 2970, 3100, 3300, 3600, 3900, 4200};
    for (unsigned days = 1; days <= 14; days++) {
        assert_close(ll_repex_allowance(days), totals[days - 1], 0, 0);
        assert_int_equal(ll_repex_is_published(days), days == 1 || days > 10);
    }
    assert_close(ll_repex_allowance(0), 850, 0, 0);
    assert_close(ll_repex_allowance(30), 9000, 0, 0);
}

/* 1000 OTU before, 3 a second: of 1400 for two days 80 % are 1120, at 40 s; 1450 at the surfacing. */
static void otu_from_the_instant_of_80_percent_to_the_surfacing(void **state)
{
    drawing *d = *state;
    d->track.end.days_in_row = 2;
    d->track.end.otu_in_row = 1000;
    for (int i = 0; i < SAMPLES; i++)
        d->column[LL_OTU][i] = 30 * i;
    const ll_finding *f = only(d, LL_FINDING_OTU);
    assert_close(f->from_s, 40, 1e-3, 0);
    assert_close(f->to_s, 150, 0, 0);
    assert_close(f->beyond_s, 110, 1e-3, 0);
    assert_close(f->peak, 100 * 1450 / 1400.0, 0, 1e-12);
    assert_close(f->peak_s, 150, 0, 0);
    assert_close(f->limit, 80, 0, 0);
    assert_int_equal(f->severity, LL_CAUTION);
    assert_int_equal(d->found.by_class[LL_DOSE][LL_CAUTION], 1);
    d->track.end.otu_in_row = 800; /* 1250 at the surfacing: 89 % */
    assert_int_equal(only(d, LL_FINDING_OTU)->severity, LL_NOTE);
    d->track.end.otu_in_row = 1200; /* passed before the dive */
    assert_close(only(d, LL_FINDING_OTU)->from_s, 0, 0, 0);
    d->track.end.otu_in_row = 670; /* 1120 at the surfacing is not over */
    assert_int_equal(all(d), 0);
    d->track.end.otu_in_row = NAN;
    assert_int_equal(all(d), 0);
}

/* 18/45 from the start, a lean mix from 100 s on at 36 m; the greatest depth, 40 m, at 50 s. */
static void draw_switch(drawing *d, double o2, double he)
{
    for (int i = 1; i < SAMPLES - 1; i++)
        d->depth[i] = i < 5 ? 38 : i == 5 ? 40 : 36;
    d->profile.greatest = 5;
    d->profile.bar_per_m = 0.1;
    d->profile.breathed_count = 2;
    d->breathed[0] = (ll_breathed){.first = 0, .end = 10, .known = true, .mix = 0, .o2 = 0.18, .he = 0.45, .n2 = 0.37};
    d->breathed[1] = (ll_breathed){
        .first = 10, .end = SAMPLES, .known = true, .mix = 1, .o2 = o2, .he = he, .n2 = 1 - o2 - he};
}

/* To EAN28: nitrogen up by 0.35, helium down by 0.45, a fifth of which is 0.09; ambient pressure 4.61325 bar. */
static void a_switch_by_the_rule_of_fifths(void **state)
{
    drawing *d = *state;
    draw_switch(d, 0.28, 0);
    const ll_finding *f = only(d, LL_FINDING_COUNTERDIFFUSION);
    assert_close(f->from_s, 100, 0, 0);
    assert_close(f->to_s, 100, 0, 0);
    assert_close(f->peak_s, 100, 0, 0);
    assert_close(f->beyond_s, 0, 0, 0);
    assert_close(f->peak, 0.26, 1e-12, 0);
    assert_close(f->limit, 0, 0, 0);
    assert_int_equal(f->severity, LL_NOTE);
    assert_int_equal(d->found.by_class[LL_GAS][LL_NOTE], 1);
    assert_close(f->exchange->depth_m, 36, 0, 0);
    assert_close(f->exchange->n2_rise, 0.35, 1e-12, 0);
    assert_close(f->exchange->he_fall, 0.45, 1e-12, 0);
    assert_close(f->exchange->n2_rise_bar, 0.35 * 4.61325, 1e-9, 0);
    assert_close(f->exchange->he_fall_bar, 0.45 * 4.61325, 1e-9, 0);
    draw_switch(d, 0.54, 0); /* up by 0.09 for a fall of 0.45: a fifth, and no more */
    assert_int_equal(all(d), 0);
    draw_switch(d, 0.13, 0.5); /* helium rises, nitrogen does not */
    assert_int_equal(all(d), 0);
}

static void switches_that_the_rule_does_not_look_at(void **state)
{
    drawing *d = *state;
    draw_switch(d, 0.28, 0);
    d->depth[10] = 30; /* not deeper than 30 m */
    assert_int_equal(all(d), 0);
    d->depth[10] = 30.1;
    assert_int_equal(all(d), 1);
    d->profile.greatest = 10; /* not after the greatest depth */
    assert_int_equal(all(d), 0);
    d->profile.greatest = 5;
    d->breathed[1].mix = 0; /* a new set point or circuit is no switch */
    assert_int_equal(all(d), 0);
    d->breathed[1].mix = 1;
    d->breathed[0].known = false;
    assert_int_equal(all(d), 0);
}

/* Off a loop at 1.3 atm: inert gas was 1 - 1.3 * 1.01325 / 4.61325 of the pressure, split 37 to 45. */
static void on_a_loop_the_fractions_breathed_count(void **state)
{
    drawing *d = *state;
    draw_switch(d, 0.28, 0);
    d->breathed[0].loop = true;
    d->span_end[LL_PO2][0] = 1.3;
    double left = 1 - 1.3 * 1.01325 / 4.61325;
    const ll_finding *f = only(d, LL_FINDING_COUNTERDIFFUSION);
    assert_close(f->exchange->n2_rise, 0.72 - left * 0.37 / 0.82, 1e-12, 0);
    assert_close(f->exchange->he_fall, left * 0.45 / 0.82, 1e-12, 0);
    assert_close(f->peak, 0.3192, 1e-4, 0);
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
        CASE(ascent_by_the_lightest_limit_there_is),
        CASE(above_the_ceiling),
        CASE(surfaced_weighs_by_the_gradient),
        CASE(ceiling_into_the_surfacing_counts_once),
        CASE(the_recorders_own_stop),
        CASE(missing_values_are_no_findings),
        CASE(cns_and_its_class),
        CASE(depth_is_found_only_under_a_limit),
        CASE(reserve_looks_at_every_tank_between_its_readings),
        CASE(off_a_level_deeper_and_shallower),
        CASE(levels_at_hand_are_not_looked_for),
        CASE(off_a_level_counts_for_10_s_unbroken),
        CASE(off_a_level_by_more_than_the_limit),
        CASE(depth_between_samples_lies_on_their_line),
        CASE(a_reserve_counts_from_the_limit_down),
        CASE(one_sample_beyond_is_found_anywhere),
        CASE(off_a_level_only_where_a_stop_was_asked),
        CASE(a_switch_deeper_than_its_mix),
        CASE(switches_without_a_greatest_depth),
        CASE(a_ceiling_limit_without_a_note_gives_none),
        CASE(the_working_limit_stays_under_a_standard),
        cmocka_unit_test(the_allowance_of_days_in_a_row),
        CASE(otu_from_the_instant_of_80_percent_to_the_surfacing),
        CASE(a_switch_by_the_rule_of_fifths),
        CASE(switches_that_the_rule_does_not_look_at),
        CASE(on_a_loop_the_fractions_breathed_count),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
