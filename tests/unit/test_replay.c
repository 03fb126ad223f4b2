/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replay of dives made by hand: run time, legs, columns, time to surface, histories. Expected values are counted by
 * hand from spec-like statements in the comments, or come from closed forms written out here. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "model/limit.h"
#include "model/oxygen.h"
#include "model/water.h"
#include "replay/history.h"
#include "replay/leg.h"
#include "replay/passage.h"
#include "replay/phases.h"
#include "replay/surface.h"
#include "replay_world.h"

/* --- run time ------------------------------------------------------------------------------------------------- */

static void run_time_from_leaving_to_surfacing(void **state)
{
    (void)state;
    const double time[] = {0, 10, 20, 30, 40, 50, 60, 70, 80, 90};
    const double depth[] = {0, 0.4, 1.0, 5, 20, 0.2, 10, 1.6, 0.3, 0};
    hand_log hand;
    hand_open(&hand, 10, time, depth);
    ll_profile p = profile_of(&hand);
    assert_int_equal(p.leaving, 1);
    assert_int_equal(p.surfacing, 8);
    assert_true(p.has_surfacing);
    assert_close(p.run_time_s, 70, 0, 0);
    assert_close(p.record_s, 90, 0, 0);
    assert_close(p.greatest_m, 20, 0, 0);
    /* trapezes of 10 s: (0.4+1)/2 (1+5)/2 (5+20)/2 (20+0.2)/2 (0.2+10)/2 (10+1.6)/2 (1.6+0.3)/2 */
    assert_close(p.mean_m, (0.7 + 3 + 12.5 + 10.1 + 5.1 + 5.8 + 0.95) / 7, 1e-12, 0);
    assert_true(ll_is_surface_row(&p, 0));
    assert_false(ll_is_surface_row(&p, 1));
    assert_false(ll_is_surface_row(&p, 5));
    assert_false(ll_is_surface_row(&p, 8));
    assert_true(ll_is_surface_row(&p, 9));
}

static void record_that_ends_near_the_surface_has_surfaced(void **state)
{
    (void)state;
    const double time[] = {0, 60, 120};
    const double near[] = {0, 20, 1.8}, below[] = {0, 20, 2.1}, surface[] = {0, 1.5, 0};
    hand_log hand;
    hand_open(&hand, 3, time, near);
    assert_true(profile_of(&hand).has_surfacing);
    hand_open(&hand, 3, time, below);
    assert_false(profile_of(&hand).has_surfacing);
    assert_int_equal(profile_of(&hand).surfacing, 2);
    hand_open(&hand, 3, time, surface);
    assert_false(profile_of(&hand).has_run_time);
}

/* The last level minute deeper than two thirds of 40 m that varies by less than 3 m is the one at 30 m; in it the last sample
 * within 1 m of its greatest depth is the one at 540 s. */
static void start_of_the_ascent_is_the_last_deep_level(void **state)
{
    (void)state;
    const double time[] = {0, 120, 300, 420, 480, 540, 570, 600, 660, 900, 960};
    const double depth[] = {0, 40, 40, 30, 30.5, 29.6, 28, 24, 6, 6, 0};
    hand_log hand;
    hand_open(&hand, 11, time, depth);
    hand_breathe(&hand, 3, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    ll_profile p = profile_of(&hand);
    assert_int_equal(p.ascent_start, 5);
    assert_int_equal(p.bottom_end, 3); /* the switch to a richer mix after the greatest depth comes first */
}

static void without_a_level_the_last_sample_at_nine_tenths(void **state)
{
    (void)state;
    const double time[] = {0, 100, 200, 300, 400};
    const double depth[] = {0, 36, 40, 36, 0};
    hand_log hand;
    hand_open(&hand, 5, time, depth);
    assert_int_equal(profile_of(&hand).ascent_start, 3);
}

/* --- surface pressure and water ----------------------------------------------------------------------------------- */

static void surface_pressure_by_precedence(void **state)
{
    (void)state;
    const double time[] = {0, 60}, depth[] = {0, 10};
    hand_log hand;
    hand_open(&hand, 2, time, depth);
    ll_origin origin;
    assert_close(ll_surface_pressure_bar(&hand.log, &hand.dive, &settings, &origin), 1.01325, 0, 0);
    assert_int_equal(origin, LL_BUILT_IN);
    ll_site site = {"s", NULL, 2000, NAN};
    hand.log.site = &site;
    hand.log.sites = 1;
    hand.dive.site = 0;
    /* ISO 2533 at 2000 m geopotential: 794.952 hPa */
    assert_close(ll_surface_pressure_bar(&hand.log, &hand.dive, &settings, &origin), 0.794952, 1e-6, 0);
    hand.dive.altitude_m = 1000; /* 898.746 hPa */
    assert_close(ll_surface_pressure_bar(&hand.log, &hand.dive, &settings, &origin), 0.898746, 1e-6, 0);
    hand.dive.surface_pressure_bar = 0.9;
    assert_close(ll_surface_pressure_bar(&hand.log, &hand.dive, &settings, &origin), 0.9, 0, 0);
    hand.dive.surface_pressure_bar = 1.2; /* out of range: the altitude counts */
    assert_close(ll_surface_pressure_bar(&hand.log, &hand.dive, &settings, &origin), 0.898746, 1e-6, 0);
    settings.surface_bar = 1.02;
    assert_close(ll_surface_pressure_bar(&hand.log, &hand.dive, &settings, &origin), 1.02, 0, 0);
}

static void water_of_the_log_only_when_asked_for_and_plausible(void **state)
{
    (void)state;
    const double time[] = {0, 60}, depth[] = {0, 10};
    hand_log hand;
    hand_open(&hand, 2, time, depth);
    hand.dive.density_kg_m3 = 1025;
    assert_close(profile_of(&hand).bar_per_m, 0.1, 1e-15, 0);
    settings.water = LL_WATER_FROM_LOG;
    assert_close(profile_of(&hand).bar_per_m, 1025 * 9.80665 / 1e5, 1e-15, 0);
    hand.dive.density_kg_m3 = 989;
    assert_close(profile_of(&hand).bar_per_m, 0.1, 1e-15, 0);
}

/* --- columns -------------------------------------------------------------------------------------------------- */

/* A day at 20 m after an instant in the record: every compartment lies at what is inspired, 0.79 (3.01325 - 0.0627). */
static void long_stay_saturates(void **state)
{
    (void)state;
    const double time[] = {0, 1, 20 * 86400.0, 20 * 86400.0 + 1};
    const double depth[] = {0, 20, 20, 20};
    hand_log hand;
    hand_open(&hand, 4, time, depth);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET_TISSUES);
    for (int c = 0; c < LL_COMPARTMENTS; c++) {
        assert_close(t.n2[c][3], 0.79 * (3.01325 - 0.0627), 1e-10, 0);
        assert_close(t.he[c][3], 0, 0, 0);
    }
}

/* Haldane's equation by hand for the first compartment: 5 min half-time, 10 min at 30 m. */
static void level_stay_is_haldane(void **state)
{
    (void)state;
    const double time[] = {0, 600}, depth[] = {30, 30};
    hand_log hand;
    hand_open(&hand, 2, time, depth);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET_TISSUES);
    double inspired = 0.79 * (4.01325 - 0.0627);
    double start = t.n2[0][0];
    assert_close(t.n2[0][1], inspired + (start - inspired) / 4, 1e-12, 0);
    /* the descent put before it: Schreiner from 0 to 30 m in 100 s */
    double rest = 0.79 * (1.01325 - 0.0627), k = log(2) / 5, rate = 0.79 * 3 / (100 / 60.0), m = 100 / 60.0;
    assert_close(start, rest + rate * (m - 1 / k) - (rest - rest - rate / k) * exp(-k * m), 1e-12, 0);
}

static const double square_time[] = {0, 200, 1500, 1740, 1980, 2400, 3000, 3600, 3660, 3700};
static const double square_depth[] = {0, 60, 60, 21, 21, 9, 6, 6, 0, 0};

static void square(hand_log *hand)
{
    hand_open(hand, 10, square_time, square_depth);
    hand_breathe(hand, 0, HAND_TX1845, LL_OPEN_CIRCUIT, NAN);
    hand_breathe(hand, 3, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    hand_breathe(hand, 6, HAND_OXYGEN, LL_OPEN_CIRCUIT, NAN);
}

static void advance_leaves_what_columns_end_with(void **state)
{
    (void)state;
    hand_log hand;
    square(&hand);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET_ALL);
    ll_state advanced;
    ll_doses doses;
    ll_state_rest(&advanced, settings.model, p.surface_bar);
    ll_replay_advance(&p, &advanced, &doses);
    assert_memory_equal(&advanced.tissues.zh_l16, &t.end.tissues.zh_l16, sizeof advanced.tissues.zh_l16);
    assert_true(advanced.cns_percent == t.end.cns_percent);
    assert_true(doses.otu == t.column[LL_OTU][9]);
    assert_true(doses.cns_24_h_percent > 0);
}

static void what_is_not_asked_for_is_not_there_and_changes_nothing(void **state)
{
    (void)state;
    hand_log hand;
    square(&hand);
    ll_profile p = profile_of(&hand);
    ll_track all = track_of(&p, LL_SET_ALL);
    ll_track one = track_of(&p, LL_SET(LL_CEILING));
    assert_null(one.column[LL_PO2]);
    assert_null(one.column[LL_TIME_TO_SURFACE]);
    assert_memory_equal(one.column[LL_CEILING], all.column[LL_CEILING], 10 * sizeof(double));
}

static void at_a_switch_the_row_has_the_new_mix_and_the_span_end_the_old(void **state)
{
    (void)state;
    hand_log hand;
    square(&hand);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET_ALL);
    double ambient_atm = 3.11325 / 1.01325;
    assert_close(t.column[LL_PO2][3], 0.5 * ambient_atm, 1e-12, 0);
    assert_close(t.at_span_end[LL_PO2][0], 0.18 * ambient_atm, 1e-12, 0);
    assert_close(t.column[LL_MIX_HE][2], 0.45, 0, 0);
    assert_close(t.column[LL_MIX_HE][3], 0, 0, 0);
}

/* After the surfacing: air at the surface pressure, whatever the mix columns say. */
static void surface_rows_are_air(void **state)
{
    (void)state;
    hand_log hand;
    square(&hand);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET_ALL);
    assert_close(t.column[LL_PO2][9], 0.21, 1e-15, 0);
    assert_close(t.column[LL_MIX_O2][9], 1, 0, 0);
    assert_close(t.column[LL_END_N2][9], 0, 1e-12, 0);
    assert_close(t.column[LL_TIME_TO_SURFACE][8], 0, 0, 0);
    assert_close(t.column[LL_TIME_TO_SURFACE][9], 0, 0, 0);
    assert_close(t.column[LL_PO2][8], 1, 1e-15, 0); /* the surfacing itself is run time, on oxygen */
}

static void rate_over_fifteen_seconds(void **state)
{
    (void)state;
    const double time[] = {0, 5, 10, 15, 20, 40};
    const double depth[] = {20, 19, 17, 16, 16, 6};
    hand_log hand;
    hand_open(&hand, 6, time, depth);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET(LL_ASCENT_RATE));
    assert_close(t.column[LL_ASCENT_RATE][0], 0, 0, 0);
    assert_close(t.column[LL_ASCENT_RATE][1], 12, 1e-12, 0);  /* 1 m in 5 s */
    assert_close(t.column[LL_ASCENT_RATE][2], 18, 1e-12, 0);  /* 3 m in 10 s */
    assert_close(t.column[LL_ASCENT_RATE][3], 16, 1e-12, 0);  /* 4 m in 15 s */
    assert_close(t.column[LL_ASCENT_RATE][4], 12, 1e-12, 0);  /* from 19 m at 5 s */
    assert_close(t.column[LL_ASCENT_RATE][5], 30, 1e-12, 0);  /* since the sample before, 20 s ago */
}

static void unknown_gas_is_missing_and_so_is_what_follows(void **state)
{
    (void)state;
    hand_log hand;
    square(&hand);
    hand.span[1].mix = LL_MIX_UNKNOWN;
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET_ALL);
    assert_false(isnan(t.column[LL_CEILING][3])); /* up to the switch everything is known */
    assert_true(isnan(t.column[LL_PO2][3]));
    assert_true(isnan(t.column[LL_CEILING][4]));
    assert_false(isnan(t.column[LL_PO2][7])); /* known again */
    assert_true(isnan(t.column[LL_CEILING][7]));
    assert_true(isnan(t.column[LL_CNS][7]));
    assert_false(t.end.tissues_known);
    assert_false(t.doses.complete);
    settings.assume_air = true;
    p = profile_of(&hand);
    t = track_of(&p, LL_SET_ALL);
    assert_close(t.column[LL_PO2][3], 0.21 * 3.11325 / 1.01325, 1e-12, 0);
    assert_true(t.end.tissues_known);
}

/* --- loop ----------------------------------------------------------------------------------------------------- */

static ll_breathed loop_gas(double o2, double he, double set_point_bar)
{
    return (ll_breathed){0, 2, true, true, 0, o2, he, 1 - o2 - he, set_point_bar};
}

/* Set point 1.3 bar from the surface to 10 bar on 21 % diluent: at most ambient until 1.3 bar, then 1.3, then the diluent's
 * own from 1.3/0.21 = 6.19 bar on. The inert rest begins at 1.3 + 0.0627 bar. */
static void set_point_is_cut_where_the_rule_changes(void **state)
{
    (void)state;
    ll_breathed gas = loop_gas(0.21, 0.35, 1.3);
    ll_leg legs[LL_MAX_LEGS];
    int count = ll_legs_make(&gas, 900, 1, 10, (ll_loop_line){NAN, NAN}, legs);
    assert_int_equal(count, 4);
    assert_close(legs[0].seconds, 30, 1e-9, 0);
    assert_close(legs[0].po2_bar[0], 1, 1e-12, 0);
    assert_close(legs[0].po2_bar[1], 1.3, 1e-12, 0);
    assert_close(legs[1].seconds, 6.27, 1e-9, 0);
    assert_close(legs[1].n2_bar[1], 0, 1e-12, 0);
    assert_close(legs[2].po2_bar[1], 1.3, 1e-12, 0);
    assert_close(legs[3].po2_bar[1], 2.1, 1e-12, 0);
    assert_close(legs[3].n2_bar[1], (10 - 0.0627 - 2.1) * 0.44 / 0.79, 1e-12, 0);
    assert_close(legs[3].he_bar[1], (10 - 0.0627 - 2.1) * 0.35 / 0.79, 1e-12, 0);
    double sum = 0;
    for (int i = 0; i < count; i++)
        sum += legs[i].seconds;
    assert_close(sum, 900, 1e-9, 0);
}

/* Sensors at samples 1 and 3 (median of three, mean of two); linear at 2; before and after them the set point. */
static void measured_po2_counts_between_its_readings(void **state)
{
    (void)state;
    const double time[] = {0, 60, 120, 180, 240}, depth[] = {0, 30, 30, 30, 30};
    const uint32_t samples[] = {1, 3}, only_first[] = {1};
    const double cell_1[] = {1.10, 1.30}, cell_2[] = {1.20, 1.40}, cell_3[] = {1.50};
    hand_log hand;
    hand_open(&hand, 5, time, depth);
    hand_breathe(&hand, 0, HAND_TX1845, LL_CLOSED_CIRCUIT, 0.7);
    hand.measured[0] = (ll_series){"1", LL_NONE, 2, samples, cell_1};
    hand.measured[1] = (ll_series){"2", LL_NONE, 2, samples, cell_2};
    hand.measured[2] = (ll_series){"3", LL_NONE, 1, only_first, cell_3};
    hand.dive.measured_po2s = 3;
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET(LL_PO2));
    assert_close(t.column[LL_PO2][1], 1.20 / 1.01325, 1e-12, 0);
    assert_close(t.column[LL_PO2][2], 1.275 / 1.01325, 1e-12, 0);
    assert_close(t.column[LL_PO2][3], 1.35 / 1.01325, 1e-12, 0);
    /* 18 % of 4.01325 bar is 0.722: above the set point of 0.7 */
    assert_close(t.column[LL_PO2][4], 0.18 * 4.01325 / 1.01325, 1e-12, 0);
}

/* The middle one of three sensors may be any of them, in any order. */
static void the_middle_sensor_counts(void **state)
{
    (void)state;
    static const double orders[6][3] = {{1.1, 1.2, 1.5}, {1.1, 1.5, 1.2}, {1.2, 1.1, 1.5},
                                        {1.2, 1.5, 1.1}, {1.5, 1.1, 1.2}, {1.5, 1.2, 1.1}};
    const double time[] = {0, 60, 120}, depth[] = {0, 30, 30};
    const uint32_t samples[] = {1};
    for (int i = 0; i < 6; i++) {
        hand_log hand;
        hand_open(&hand, 3, time, depth);
        hand_breathe(&hand, 0, HAND_TX1845, LL_CLOSED_CIRCUIT, 0.7);
        for (int s = 0; s < 3; s++)
            hand.measured[s] = (ll_series){"s", LL_NONE, 1, samples, &orders[i][s]};
        hand.dive.measured_po2s = 3;
        ll_profile p = profile_of(&hand);
        assert_close(p.measured_bar[1], 1.2, 0, 0);
    }
}

/* Sensors and the recorder's own value stand side by side; off the loop neither counts. */
static void readings_count_on_the_loop_only(void **state)
{
    (void)state;
    const double time[] = {0, 60, 120, 180, 240}, depth[] = {0, 30, 30, 30, 30};
    const uint32_t samples[] = {1, 2, 3, 4};
    const double cell[] = {1.1, 1.1, 1.1, 1.1}, own[] = {1.3, 1.3, 1.3, 1.3};
    hand_log hand;
    hand_open(&hand, 5, time, depth);
    hand_breathe(&hand, 0, HAND_TX1845, LL_CLOSED_CIRCUIT, 0.7);
    hand_breathe(&hand, 2, HAND_TX1845, LL_OPEN_CIRCUIT, NAN);
    hand_breathe(&hand, 3, HAND_TX1845, LL_CLOSED_CIRCUIT, 0.7);
    hand.measured[0] = (ll_series){"1", LL_NONE, 4, samples, cell};
    hand.dive.measured_po2s = 1;
    hand.dive.calculated_po2 = (ll_series){NULL, LL_NONE, 4, samples, own};
    ll_profile p = profile_of(&hand);
    assert_non_null(p.measured_bar);
    assert_non_null(p.calculated_bar);
    assert_close(p.measured_bar[1], 1.1, 0, 0);
    assert_close(p.calculated_bar[1], 1.3, 0, 0);
    assert_true(isnan(p.measured_bar[2]) && isnan(p.calculated_bar[2]));
    assert_close(p.measured_bar[3], 1.1, 0, 0);
    assert_close(p.calculated_bar[3], 1.3, 0, 0);
}

/* CNS at the end of half an hour at 12 m on a loop whose sensor reads this at the last three of four samples. */
static double cns_of_readings(const double time[4], const double cell[3])
{
    const double depth[] = {0, 12, 12, 12};
    const uint32_t samples[] = {1, 2, 3};
    hand_log hand;
    hand_open(&hand, 4, time, depth);
    hand_breathe(&hand, 0, HAND_OXYGEN, LL_CLOSED_CIRCUIT, 0.6);
    hand.measured[0] = (ll_series){"1", LL_NONE, 3, samples, cell};
    hand.dive.measured_po2s = 1;
    ll_profile p = profile_of(&hand);
    return track_of(&p, LL_SET(LL_CNS)).column[LL_CNS][3];
}

/* A loop's dose follows its readings: a sensor that rises from 0.6 to 1.4 bar gives more than one that stays at 0.6, and what
 * one that stays at their mean gives is less, because the time allowed falls ever faster. */
static void the_dose_follows_the_readings(void **state)
{
    (void)state;
    const double time[] = {0, 60, 660, 1260};
    static const double cells[3][3] = {{0.6, 0.6, 0.6}, {1.0, 1.0, 1.0}, {0.6, 1.0, 1.4}};
    double cns[3];
    for (int i = 0; i < 3; i++)
        cns[i] = cns_of_readings(time, cells[i]);
    assert_true(cns[0] < cns[1] && cns[1] < cns[2]);
}

/* A reading that rises and then stays: two legs of one length that end alike are not one. A length that differs by a hair is
 * never taken for another. */
static void legs_on_a_loop_that_end_alike(void **state)
{
    (void)state;
    const double cells[] = {0.6, 1.4, 1.4}, even[] = {0, 60, 660, 1260}, hair[] = {0, 60, 660, 1260 + 1e-7};
    assert_close(cns_of_readings(even, cells), cns_of_readings(hair, cells), 0, 1e-8);
}

/* --- phases and settings ------------------------------------------------------------------------------------------ */

/* Down to 9 m in 10 s, up to 3 m in 20, to 0 in 10: deeper than 6 m for 10/3 and 10 s, than 3 m for 20/3 and 20 s, than 9 m
 * never. */
static void time_deeper_is_that_on_straight_lines(void **state)
{
    (void)state;
    const double time[] = {0, 10, 30, 40}, depth[] = {0, 9, 3, 0};
    hand_log hand;
    hand_open(&hand, 4, time, depth);
    ll_profile p = profile_of(&hand);
    assert_close(ll_seconds_deeper(&p, 6), 10 / 3.0 + 10, 1e-12, 0);
    assert_close(ll_seconds_deeper(&p, 3), 20 / 3.0 + 20, 1e-12, 0);
    assert_close(ll_seconds_deeper(&p, 9), 0, 0, 0);
}

static size_t ascent_start_of(size_t count, const double *time, const double *depth)
{
    hand_log hand;
    hand_open(&hand, count, time, depth);
    return profile_of(&hand).ascent_start;
}

/* A stay at half of the greatest depth is no bottom any more. */
static void the_bottom_is_within_two_thirds(void **state)
{
    (void)state;
    const double time[] = {0, 60, 600, 700, 1300, 1500};
    const double half[] = {0, 30, 30, 15, 15, 0}, more[] = {0, 30, 30, 21, 21, 0};
    assert_int_equal(ascent_start_of(6, time, half), 2);
    assert_int_equal(ascent_start_of(6, time, more), 4);
}

/* Half a minute within two thirds of the greatest depth is no level, though it was longer at nearly that depth; and of a level
 * what lies just 1 m above its greatest depth is still the bottom. */
static void a_level_of_the_bottom_lies_within_it(void **state)
{
    (void)state;
    const double time[] = {0, 60, 600, 700, 760, 790, 820, 1000}, depth[] = {0, 30, 30, 19, 19, 20.5, 20.5, 0};
    const double slowly[] = {0, 30, 30, 29, 27.5, 12, 6, 0};
    assert_int_equal(ascent_start_of(8, time, depth), 2);
    assert_int_equal(ascent_start_of(8, time, slowly), 3);
}

/* Factors that are none are no factors of the log. */
static void the_logs_factors_count_where_they_are_some(void **state)
{
    (void)state;
    const double time[] = {0, 60, 600}, depth[] = {0, 30, 30};
    static const struct {
        double low, high;
        bool count;
    } row[] = {{0.3, 0.7, true}, {0.7, 0.7, true}, {1, 1, true}, {0, 0.7, false}, {0.8, 0.7, false}, {0.3, 1.1, false},
               {NAN, NAN, false}};
    settings.gf_from_log = true;
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        hand_log hand;
        hand_open(&hand, 3, time, depth);
        hand.log.gf_low_fraction = row[i].low;
        hand.log.gf_high_fraction = row[i].high;
        ll_profile p = profile_of(&hand);
        assert_int_equal(p.gf_origin == LL_FROM_LOG, row[i].count);
        if (row[i].count)
            assert_close(p.gf_low, row[i].low, 0, 0);
        else
            assert_close(p.gf_low, settings.gf_low_percent / 100, 0, 0);
    }
}

static const ll_note *note_of(const hand_log *hand, ll_notes *notes, ll_note_code code)
{
    ll_profile profile;
    *notes = (ll_notes){0};
    assert_int_equal(ll_profile_make(&hand->log, &hand->dive, &settings, &arena, notes, &profile, NULL), LL_OK);
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].code == code)
            return &notes->items[i];
    return NULL;
}

/* Half a metre is still the surface; a factor stands as it is written, 10 and 3.28; what is of no line has none. */
static void notes_say_their_figures(void **state)
{
    (void)state;
    const double time[] = {0, 60, 600, 660};
    double depth[] = {0.5, 20, 20, 0}, flat[] = {0, 0.2, 0.1, 0};
    hand_log hand;
    ll_notes notes;
    hand_open(&hand, 4, time, depth);
    assert_null(note_of(&hand, &notes, LL_NOTE_STARTS_BELOW));
    depth[0] = 0.6;
    const ll_note *starts = note_of(&hand, &notes, LL_NOTE_STARTS_BELOW);
    assert_non_null(starts);
    assert_non_null(strstr(starts->text, "0.6 m"));
    depth[0] = 0;
    hand.dive.stated_greatest_m = 65.6;
    const ll_note *feet = note_of(&hand, &notes, LL_NOTE_DEPTH_UNIT);
    assert_non_null(feet);
    assert_non_null(strstr(feet->text, "3.28"));
    hand.dive.stated_greatest_m = 200;
    const ll_note *tenths = note_of(&hand, &notes, LL_NOTE_DEPTH_UNIT);
    assert_non_null(tenths);
    assert_non_null(strstr(tenths->text, "10"));
    assert_null(strstr(tenths->text, "10.00"));
    hand_open(&hand, 4, time, flat);
    const ll_note *surface = note_of(&hand, &notes, LL_NOTE_ALL_SURFACE);
    assert_non_null(surface);
    assert_int_equal(surface->line, 0);
}

/* --- legs that are kept ------------------------------------------------------------------------------------------- */

/* A switch at a depth that stays: the same legs on another gas. Depths that differ by a hair are never found again. */
static void a_kept_leg_is_of_one_gas(void **state)
{
    (void)state;
    enum { COUNT = 40 };
    double time[COUNT], level[COUNT], hair[COUNT];
    for (int i = 0; i < COUNT; i++) {
        time[i] = 60.0 * i;
        level[i] = i == 0 ? 0 : 21;
        hair[i] = i == 0 ? 0 : 21 + 1e-9 * i;
    }
    double cns[2], otu[2];
    for (int k = 0; k < 2; k++) {
        hand_log hand;
        hand_open(&hand, COUNT, time, k ? hair : level);
        hand_breathe(&hand, 0, HAND_TX1845, LL_OPEN_CIRCUIT, NAN);
        hand_breathe(&hand, 20, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
        ll_profile p = profile_of(&hand);
        ll_track t = track_of(&p, LL_SET(LL_CNS) | LL_SET(LL_OTU));
        cns[k] = t.column[LL_CNS][COUNT - 1];
        otu[k] = t.column[LL_OTU][COUNT - 1];
    }
    assert_close(cns[0], cns[1], 0, 1e-6);
    assert_close(otu[0], otu[1], 0, 1e-6);
    assert_true(cns[0] > 5); /* 20 min at 1.55 bar */
}

/* Between two samples at the surface the leg is as long as they are apart. */
static void a_surface_leg_has_its_length(void **state)
{
    (void)state;
    const double time[] = {0, 40, 160, 400, 460, 470}, depth[] = {0, 0, 12, 0, 0, 0};
    hand_log hand;
    hand_open(&hand, 6, time, depth);
    ll_profile p = profile_of(&hand);
    ll_passage passage;
    ll_leg legs[LL_MAX_LEGS];
    int count;
    ll_passage_open(&passage, &p, legs, &count);
    assert_int_equal(ll_passage_legs(&passage, 0, legs), 1);
    assert_close(legs[0].seconds, 40, 0, 0);
    assert_int_equal(ll_passage_legs(&passage, 1, legs), 1);
    assert_close(legs[0].seconds, 120, 0, 0);
    assert_int_equal(ll_passage_legs(&passage, 4, legs), 1);
    assert_close(legs[0].seconds, 10, 0, 0);
}

/* --- time to surface ------------------------------------------------------------------------------------------- */

/* At the surface there is no way left, whatever was breathed; on the way nobody knows. */
static void at_the_surface_there_is_no_way_left(void **state)
{
    (void)state;
    const double time[] = {0, 30, 90, 600, 660, 690, 700}, depth[] = {0.3, 0.2, 20, 20, 0, 0.2, 0};
    hand_log hand;
    hand_open(&hand, 7, time, depth);
    hand_breathe(&hand, 0, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT, NAN);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET(LL_TIME_TO_SURFACE));
    assert_true(isnan(t.column[LL_TIME_TO_SURFACE][2]) && isnan(t.column[LL_TIME_TO_SURFACE][3]));
    for (int i = 4; i < 7; i++)
        assert_close(t.column[LL_TIME_TO_SURFACE][i], 0, 0, 0);
    assert_close(t.column[LL_TIME_TO_SURFACE][0], 0, 0, 0);
}

/* From 18 m without anything owed: 18 m at 9 m/min. */
static void way_up_without_stops_is_the_rate(void **state)
{
    (void)state;
    const double time[] = {0, 60, 120}, depth[] = {0, 18, 18};
    hand_log hand;
    hand_open(&hand, 3, time, depth);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET(LL_TIME_TO_SURFACE) | LL_SET(LL_NO_STOP) | LL_SET(LL_STOP));
    assert_close(t.column[LL_TIME_TO_SURFACE][2], 120, 1e-9, 0);
    assert_close(t.column[LL_STOP][2], 0, 0, 0);
    assert_true(t.column[LL_NO_STOP][2] > 30 * 60);
}

/* A wait ends exactly when the next level comes within limits: replaying the schedule as a record touches the ceiling. */
static void schedule_followed_as_a_record_is_just_within(void **state)
{
    (void)state;
    const double time[] = {0, 120, 1500}, depth[] = {0, 40, 40};
    hand_log hand;
    hand_open(&hand, 3, time, depth);
    ll_profile p = profile_of(&hand);
    ll_track t = track_of(&p, LL_SET(LL_CEILING) | LL_SET(LL_TIME_TO_SURFACE));
    ll_gas_choice choice;
    assert_true(ll_gas_choice_make(&p, &arena, &choice));
    ll_decays decays;
    ll_decays_open(&decays);
    ll_way_up way = ll_way_up_from(&p, &settings, &choice, &p.breathed[0], NAN, &t.end.tissues, 0, 40, &decays);
    assert_close(way.time_s, t.column[LL_TIME_TO_SURFACE][2], 1e-9, 0);
    assert_close(way.time_s - way.owed_s, 40 / 9.0 * 60, 1e-6, 0);
    assert_true(way.deepest_stop_m >= 9 && way.deepest_stop_m <= 18);
    settings.last_stop_m = 6;
    ll_way_up six = ll_way_up_from(&p, &settings, &choice, &p.breathed[0], NAN, &t.end.tissues, 0, 40, &decays);
    assert_true(six.owed_s > way.owed_s); /* on air the same stop taken deeper lasts longer */
}

static void way_up_takes_the_mixes_of_the_dive(void **state)
{
    (void)state;
    hand_log hand;
    square(&hand);
    ll_profile p = profile_of(&hand);
    ll_track with = track_of(&p, LL_SET(LL_TIME_TO_SURFACE));
    hand_open(&hand, 10, square_time, square_depth);
    hand_breathe(&hand, 0, HAND_TX1845, LL_OPEN_CIRCUIT, NAN);
    p = profile_of(&hand);
    ll_track without = track_of(&p, LL_SET(LL_TIME_TO_SURFACE));
    assert_true(with.column[LL_TIME_TO_SURFACE][2] < without.column[LL_TIME_TO_SURFACE][2] / 2);
}

/* --- histories --------------------------------------------------------------------------------------------------- */

static ll_history *history_of(const ll_log *const *logs, size_t count)
{
    ll_history *history;
    assert_int_equal(ll_history_make(logs, count, &settings, NULL, NULL, NULL, &history, NULL), LL_OK);
    return history;
}

static void second_dive_starts_from_the_first(void **state)
{
    (void)state;
    hand_log first, second;
    square(&first);
    square(&second);
    hand_start_at(&first, 9);
    hand_start_at(&second, 12);
    const ll_log *logs[] = {&second.log, &first.log}; /* files in any order */
    ll_history *h = history_of(logs, 2);
    assert_ptr_equal(h->entry[0].dive, &first.dive);
    assert_int_equal(h->entry[1].number, 2);
    ll_profile p = profile_of(&first);
    ll_state by_hand;
    ll_doses doses;
    ll_state_rest(&by_hand, settings.model, p.surface_bar);
    ll_replay_advance(&p, &by_hand, &doses);
    ll_state_interval(&by_hand, p.surface_bar, 3 * 3600 - 3700);
    assert_memory_equal(&by_hand.tissues.zh_l16, &h->entry[1].start.tissues.zh_l16, sizeof by_hand.tissues.zh_l16);
    assert_true(by_hand.cns_percent == h->entry[1].start.cns_percent);
    assert_close(h->entry[1].otu_day_before, doses.otu, 0, 0);
    assert_close(h->entry[1].cns_24_h_before_percent, doses.cns_24_h_percent, 0, 0);
    ll_history_free(h);
}

static void overlapping_dive_starts_before_both_and_is_not_carried(void **state)
{
    (void)state;
    hand_log first, over, later;
    square(&first);
    square(&over);
    square(&later);
    hand_start_at(&first, 9);
    hand_start_at(&over, 10); /* the first one lasts until 10:01:40 */
    hand_start_at(&later, 14);
    const ll_log *three[] = {&first.log, &over.log, &later.log}, *two[] = {&first.log, &later.log};
    ll_history *a = history_of(three, 3), *b = history_of(two, 2);
    assert_false(a->entry[1].carried);
    assert_true(ll_has_note(&a->entry[1].notes, LL_NOTE_OVERLAPS));
    ll_state rest;
    ll_state_rest(&rest, settings.model, 1.01325);
    assert_memory_equal(&a->entry[1].start.tissues.zh_l16, &rest.tissues.zh_l16, sizeof rest.tissues.zh_l16);
    assert_memory_equal(&a->entry[2].start.tissues.zh_l16, &b->entry[1].start.tissues.zh_l16, sizeof rest.tissues.zh_l16);
    assert_close(a->entry[2].otu_day_before, b->entry[1].otu_day_before, 0, 0);
    ll_history_free(a);
    ll_history_free(b);
}

/* The window of 24 h cuts through the first dive: only its late part counts, and the parts add up. */
static void dose_of_24_h_is_cut_at_its_window(void **state)
{
    (void)state;
    hand_log hand;
    square(&hand);
    ll_profile p = profile_of(&hand);
    ll_state end;
    ll_doses doses;
    ll_state_rest(&end, settings.model, p.surface_bar);
    ll_replay_advance(&p, &end, &doses);
    assert_close(ll_replay_dose_24_h(&p, -1), doses.cns_24_h_percent, 1e-12, 0);
    assert_close(ll_replay_dose_24_h(&p, 3660), 0, 0, 0);
    /* the last 60 s go from oxygen at 1.613 bar to 1.01325 bar; the last 600 s before that are level at 6 m */
    double level = ll_cns_percent(LL_CNS_24_H, 10, 1.61325 / 1.01325, 1.61325 / 1.01325, NULL);
    double rise = ll_cns_percent(LL_CNS_24_H, 1, 1.61325 / 1.01325, 1, NULL);
    assert_close(ll_replay_dose_24_h(&p, 3000), level + rise, 1e-10, 0);
    assert_close(ll_replay_dose_24_h(&p, 3300), level / 2 + rise, 1e-10, 0);
}

static void undated_dive_starts_at_rest_with_a_note(void **state)
{
    (void)state;
    hand_log first, undated;
    square(&first);
    square(&undated);
    hand_start_at(&first, 9);
    const ll_log *logs[] = {&undated.log, &first.log};
    ll_history *h = history_of(logs, 2);
    assert_ptr_equal(h->entry[1].dive, &undated.dive);
    assert_true(ll_has_note(&h->entry[1].notes, LL_NOTE_START_NO_DATE));
    assert_false(h->entry[1].carried);
    ll_history_free(h);
}

static void intervals_that_contradict_the_clock_are_noted(void **state)
{
    (void)state;
    hand_log first, second;
    square(&first);
    square(&second);
    hand_start_at(&first, 9);
    hand_start_at(&second, 12);
    first.dive.interval = LL_INTERVAL_PASSED;
    first.dive.interval_s = 5400;
    second.dive.interval = LL_INTERVAL_INFINITE;
    const ll_log *logs[] = {&first.log, &second.log};
    ll_history *h = history_of(logs, 2);
    assert_true(ll_has_note(&h->entry[0].notes, LL_NOTE_START_UNDERSTATED));
    assert_non_null(strstr(h->entry[0].notes.items[0].text, "90 min"));
    assert_true(ll_has_note(&h->entry[1].notes, LL_NOTE_INTERVAL_CONTRADICTED));
    assert_true(h->entry[1].start.tissues.zh_l16.n2[9] > 0.79 * (1.01325 - 0.0627) + 1e-6); /* the clock rules */
    ll_history_free(h);
}

static void after_unknown_gas_the_next_dive_starts_at_rest(void **state)
{
    (void)state;
    hand_log first, second;
    square(&first);
    square(&second);
    first.span[1].mix = LL_MIX_UNKNOWN;
    hand_start_at(&first, 9);
    hand_start_at(&second, 12);
    const ll_log *logs[] = {&first.log, &second.log};
    ll_history *h = history_of(logs, 2);
    ll_state rest;
    ll_state_rest(&rest, settings.model, 1.01325);
    assert_memory_equal(&h->entry[1].start.tissues.zh_l16, &rest.tissues.zh_l16, sizeof rest.tissues.zh_l16);
    assert_true(h->entry[1].start.cns_lower_bound);
    assert_true(h->entry[1].cns_24_h_lower_bound);
    ll_history_free(h);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, open_arena, close_arena)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(run_time_from_leaving_to_surfacing),
        CASE(record_that_ends_near_the_surface_has_surfaced),
        CASE(start_of_the_ascent_is_the_last_deep_level),
        CASE(without_a_level_the_last_sample_at_nine_tenths),
        CASE(surface_pressure_by_precedence),
        CASE(water_of_the_log_only_when_asked_for_and_plausible),
        CASE(long_stay_saturates),
        CASE(level_stay_is_haldane),
        CASE(advance_leaves_what_columns_end_with),
        CASE(what_is_not_asked_for_is_not_there_and_changes_nothing),
        CASE(at_a_switch_the_row_has_the_new_mix_and_the_span_end_the_old),
        CASE(surface_rows_are_air),
        CASE(rate_over_fifteen_seconds),
        CASE(unknown_gas_is_missing_and_so_is_what_follows),
        CASE(set_point_is_cut_where_the_rule_changes),
        CASE(measured_po2_counts_between_its_readings),
        CASE(the_middle_sensor_counts),
        CASE(readings_count_on_the_loop_only),
        CASE(the_dose_follows_the_readings),
        CASE(legs_on_a_loop_that_end_alike),
        CASE(time_deeper_is_that_on_straight_lines),
        CASE(the_bottom_is_within_two_thirds),
        CASE(a_level_of_the_bottom_lies_within_it),
        CASE(the_logs_factors_count_where_they_are_some),
        CASE(notes_say_their_figures),
        CASE(a_kept_leg_is_of_one_gas),
        CASE(a_surface_leg_has_its_length),
        CASE(at_the_surface_there_is_no_way_left),
        CASE(way_up_without_stops_is_the_rate),
        CASE(schedule_followed_as_a_record_is_just_within),
        CASE(way_up_takes_the_mixes_of_the_dive),
        CASE(second_dive_starts_from_the_first),
        CASE(overlapping_dive_starts_before_both_and_is_not_carried),
        CASE(dose_of_24_h_is_cut_at_its_window),
        CASE(undated_dive_starts_at_rest_with_a_note),
        CASE(intervals_that_contradict_the_clock_are_noted),
        CASE(after_unknown_gas_the_next_dive_starts_at_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
