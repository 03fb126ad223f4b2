/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Levels, switches and the run time table of dives drawn by hand. Means and spreads are held against GSL's weighted
 * statistics; what was asked for against the time to surface, and by replaying the dive with what was missing added. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_statistics_double.h>

#include "assess/levels.h"
#include "assess/switches.h"
#include "base/units.h"
#include "close.h"
#include "hand.h"
#include "model/limit.h"

/* Surface 1 bar, 10 m = 1 bar. 30 m to 1200 s, up to a level at 9 m (100 s) and one at 6 m (480 s), at 0.2 m at 1980 s. */
enum { SAMPLES = 14, AT_9 = 3, AT_6 = 7, LEFT_6 = 11, UP = 12 };
static const double drawn_s[SAMPLES] = {0,    120,  1200, 1320, 1350, 1380, 1420,
                                        1440, 1500, 1800, 1860, 1920, 1980, 2000};
static const double drawn_m[SAMPLES] = {0, 30, 30, 9, 9.4, 8.8, 9.2, 6, 6.2, 5.9, 6.1, 6, 0.2, 0};

static double time_s[SAMPLES], depth_m[SAMPLES];
static ll_arena arena;
static ll_settings settings;
static hand_log hand;
static ll_profile profile;
static ll_track track;
static ll_levels levels;
static ll_levels_asked asked;
static size_t switches;
static const ll_switch_shown *change;
static ll_notes notes;

static int open_all(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    ll_settings_built_in(&settings);
    settings.surface_bar = 1;
    memset(&notes, 0, sizeof notes);
    memcpy(time_s, drawn_s, sizeof time_s);
    memcpy(depth_m, drawn_m, sizeof depth_m);
    hand_open(&hand, SAMPLES, time_s, depth_m);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    ll_arena_close(&arena);
    return 0;
}

static void make(void)
{
    ll_state start;
    assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, NULL, &profile, NULL), LL_OK);
    assert_true(ll_levels_find(&profile, &arena, &levels));
    assert_true(ll_levels_open(&levels, &arena, &asked));
    ll_state_rest(&start, settings.model, profile.surface_bar);
    assert_int_equal(ll_replay_columns_keeping(&profile, &settings, &start,
                                               LL_SET(LL_STOP) | LL_SET(LL_CEILING) | LL_SET(LL_TIME_TO_SURFACE),
                                               &asked.keep, &arena, &track, NULL), LL_OK);
    assert_true(ll_levels_ask(&track, &settings, &levels, &arena, &asked));
    assert_true(ll_switches_list(&profile, &arena, &switches, &change));
    assert_true(ll_switches_doubt(&profile, &arena, &notes));
}

/* --- levels ------------------------------------------------------------------------------------------------------- */

static void levels_are_stretches_within_a_band(void **state)
{
    (void)state;
    make();
    assert_int_equal(levels.count, 2);
    const ll_level *nine = &levels.level[0], *six = &levels.level[1];
    assert_close(nine->from_s, 1320, 0, 0);
    assert_close(nine->to_s, 1420, 0, 0);
    assert_close(nine->least_m, 8.8, 0, 0);
    assert_close(nine->greatest_m, 9.4, 0, 0);
    assert_close(nine->nominal_m, 9, 0, 0);
    assert_close(nine->mean_m, (15 * 9 + 30 * 9.4 + 35 * 8.8 + 20 * 9.2) / 100, 1e-12, 0);
    assert_close(six->from_s, 1440, 0, 0);
    assert_close(six->to_s, 1920, 0, 0);
    assert_int_equal(six->mix, HAND_AIR);
}

static void levels_alone_are_the_same_levels(void **state)
{
    (void)state;
    ll_levels alone;
    make();
    assert_true(ll_levels_alone(&profile, &arena, &alone));
    assert_true(alone.made);
    assert_int_equal(alone.count, levels.count);
    for (size_t l = 0; l < levels.count; l++) {
        assert_int_equal(alone.level[l].first, levels.level[l].first);
        assert_int_equal(alone.level[l].last, levels.level[l].last);
        assert_int_equal(alone.level[l].mix, levels.level[l].mix);
        assert_close(alone.level[l].nominal_m, levels.level[l].nominal_m, 0, 0);
        assert_close(alone.level[l].spread_m, levels.level[l].spread_m, 0, 0);
    }
    assert_int_equal(alone.rows, 0);
    profile.has_run_time = false;
    assert_true(ll_levels_alone(&profile, &arena, &alone));
    assert_false(alone.made);
    assert_int_equal(alone.count, 0);
}

static void mean_and_spread_are_those_of_gsl(void **state)
{
    (void)state;
    static const double nine_s[] = {15, 30, 35, 20}, six_s[] = {30, 180, 180, 60, 30};
    make();
    const double *weights[] = {nine_s, six_s};
    const size_t counts[] = {4, 5}, firsts[] = {AT_9, AT_6};
    for (int l = 0; l < 2; l++) {
        const double *depths = depth_m + firsts[l];
        double mean = gsl_stats_wmean(weights[l], 1, depths, 1, counts[l]);
        double variance = gsl_stats_wvariance_with_fixed_mean(weights[l], 1, depths, 1, counts[l], mean);
        assert_close(levels.level[l].mean_m, mean, 1e-12, 0);
        assert_close(levels.level[l].spread_m, sqrt(variance), 1e-12, 0);
    }
}

/* Beyond the band a level falls into two, and the second one begins within 0.5 m of its mean; 59.5 s are none. */
static void a_wider_or_shorter_stay_is_no_level(void **state)
{
    (void)state;
    depth_m[9] = 4.6; /* 1.6 m above 6.2 m, 1.5 m above 6.1 m; 1.1 m from the mean of what follows, 5.7 m */
    make();
    assert_int_equal(levels.count, 3);
    assert_close(levels.level[1].to_s, 1500, 0, 0);
    assert_close(levels.level[2].from_s, 1860, 0, 0);
    depth_m[9] = 4.7;
    time_s[6] = 1379.5; /* 59.5 s at 9 m */
    time_s[4] = 1340;
    time_s[5] = 1360;
    make();
    assert_int_equal(levels.count, 1);
}

/* At 9 m/min from 30 m to 6 m with a sample every 2 s: the band reaches back to 7.5 m, the level to 6.3 m. */
static void the_way_to_a_level_is_cut_off(void **state)
{
    (void)state;
    enum { MANY = 260 };
    static double times[MANY], depths[MANY];
    for (int i = 0; i < MANY; i++) {
        times[i] = i < 2 ? i * 100 : 600 + (i - 2) * 2;
        depths[i] = i < 2 ? i * 30 : fmax(30 - 0.3 * (i - 2), 6);
    }
    depths[MANY - 1] = 0;
    hand_open(&hand, MANY, times, depths);
    make();
    assert_int_equal(levels.count, 1);
    assert_close(levels.level[0].from_s, 600 + 79 * 2, 0, 0); /* 30 - 79 x 0.3 = 6.3 m */
    assert_close(levels.level[0].to_s, times[MANY - 2], 0, 0);
    assert_close(levels.level[0].greatest_m, 6.3, 1e-9, 0);
}

/* --- the way up --------------------------------------------------------------------------------------------------- */

static void rates_are_means_between_instants(void **state)
{
    (void)state;
    make();
    assert_close(levels.to_first.rate_m_min, 10.5, 1e-12, 0); /* 21 m in 2 min */
    assert_close(levels.last_six.from_s, 1920, 0, 0);
    assert_close(levels.last_six.rate_m_min, 5.8, 1e-12, 0); /* 6 m to 0.2 m in a minute */
    depth_m[LEFT_6] = 9; /* on the way from there 6 m is passed after 60 x 3 / 8.8 s */
    make();
    assert_close(levels.last_six.from_s, 1920 + 60 * 3 / 8.8, 1e-9, 0);
    assert_close(levels.last_six.rate_m_min, 8.8, 1e-9, 0);
}

static void redescents_of_three_metres_are_told(void **state)
{
    (void)state;
    make();
    assert_int_equal(levels.redescents, 0);
    depth_m[9] = 8.9; /* 2.9 m under the 6 m of 1440 s */
    make();
    assert_int_equal(levels.redescents, 0);
    depth_m[9] = 9.1;
    make();
    assert_int_equal(levels.redescents, 1);
    assert_close(levels.redescent[0].from_s, 1440, 0, 0);
    assert_close(levels.redescent[0].from_m, 6, 0, 0);
    assert_close(levels.redescent[0].to_s, 1800, 0, 0);
    assert_close(levels.redescent[0].to_m, 9.1, 0, 0);
}

/* From 6.2 to 9.2 m are 3 m, though their difference as numbers is a little less. */
static void three_metres_are_three_metres(void **state)
{
    (void)state;
    depth_m[7] = 6.2;
    depth_m[8] = 6.3;
    depth_m[9] = 9.2;
    depth_m[10] = 6.3;
    depth_m[11] = 6.25;
    make();
    assert_true(depth_m[9] - depth_m[7] < 3);
    assert_int_equal(levels.redescents, 1);
}

/* Samples far apart: 6.2, 9.5, 14 m are one way down, whose every step is more than 3 m. */
static void a_redescent_goes_on_to_its_deepest(void **state)
{
    (void)state;
    depth_m[9] = 9.5;
    depth_m[10] = 14;
    make();
    assert_int_equal(levels.redescents, 1);
    assert_close(levels.redescent[0].to_s, 1860, 0, 0);
    assert_close(levels.redescent[0].to_m, 14, 0, 0);
}

/* 27 of 30 m is nine tenths. */
static void the_bottom_begins_at_nine_tenths(void **state)
{
    (void)state;
    depth_m[1] = 27;
    make();
    assert_close(levels.row[0].arrival_s, 120, 0, 0);
    depth_m[1] = 26.9;
    make();
    assert_close(levels.row[0].arrival_s, 1200, 0, 0);
}

static void the_slate_has_a_row_a_level(void **state)
{
    (void)state;
    static const double rows[4][3] = {{30, 120, 1200}, {9, 1320, 1420}, {6, 1440, 1920}, {0, 1980, 0}};
    hand_breathe(&hand, AT_6, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    make();
    assert_int_equal(levels.rows, 4);
    for (int i = 0; i < 4; i++) {
        assert_close(levels.row[i].depth_m, rows[i][0], 0, 0);
        assert_close(levels.row[i].arrival_s, rows[i][1], 0, 0);
        if (i < 3)
            assert_close(levels.row[i].leaving_s, rows[i][2], 0, 0);
    }
    assert_true(isnan(levels.row[3].leaving_s));
    assert_int_equal(levels.row[0].mix, HAND_AIR);
    assert_int_equal(levels.row[2].mix, HAND_EAN50);
}

/* --- asked -------------------------------------------------------------------------------------------------------- */

/* Long and deep enough for stops; the last level flat, so that its mean is its depth. */
static void draw_long_dive(double more_s)
{
    depth_m[1] = depth_m[2] = 40;
    for (int i = 2; i < SAMPLES; i++)
        time_s[i] = drawn_s[i] + 1800 + (i >= LEFT_6 ? more_s : 0);
    for (int i = AT_6; i <= LEFT_6; i++)
        depth_m[i] = 6;
    make();
}

/* From the arrival at 6 m: all waits, and 6 m at 9 m/min, are the time to surface. */
static void what_was_asked_adds_up_to_the_time_to_surface(void **state)
{
    (void)state;
    draw_long_dive(0);
    const ll_level_asked *six = &asked.at[1];
    assert_true(six->stay_s > 60 && six->beyond_s > 60);
    assert_close(six->stay_s + six->beyond_s + 40, track.column[LL_TIME_TO_SURFACE][AT_6], 1e-6, 0);
    assert_close(six->stop_m, track.column[LL_STOP][AT_6], 0, 0);
    assert_close(asked.still_owed_s + 40, track.column[LL_TIME_TO_SURFACE][LEFT_6], 1e-6, 0);
}

/* With the missing time added the gradient at the surface is factor high, 80 %, at the very end of the level. */
static void the_missing_time_is_what_was_missing(void **state)
{
    (void)state;
    draw_long_dive(0);
    double missing_s = asked.at[1].short_s;
    assert_true(missing_s > 60);
    draw_long_dive(missing_s);
    ll_load load;
    ll_load_make(&load, ll_coefficients_of(settings.model), &asked.keep.at[3].tissues.zh_l16);
    assert_close(ll_gradient_percent(&load, profile.surface_bar, NULL), 80, 1e-6, 0);
    assert_close(asked.at[1].short_s, 0, 1e-3, 0);
}

static void unknown_gas_asks_for_nothing(void **state)
{
    (void)state;
    hand_breathe(&hand, 2, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT, NAN);
    make();
    assert_int_equal(levels.count, 2);
    assert_true(isnan(asked.at[1].stay_s) && isnan(asked.at[1].stop_m) && isnan(asked.at[1].short_s));
    assert_int_equal(levels.level[1].mix, LL_MIX_UNKNOWN);
}

static void what_never_went_down_has_no_levels(void **state)
{
    (void)state;
    for (int i = 0; i < SAMPLES; i++)
        depth_m[i] = 1;
    make();
    assert_false(levels.made);
    assert_int_equal(levels.count + levels.rows + switches, 0);
}

/* --- switches ------------------------------------------------------------------------------------------------------- */

/* At 6.2 m, 1.62 bar. 6.1 m at 1470 s, 6.17 m at 1530 s. MOD (1.6 x 1.01325 / 0.5 - 1) x 10 = 22.424 m. */
static void a_switch_has_its_figures(void **state)
{
    (void)state;
    hand_breathe(&hand, AT_6 + 1, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    make();
    assert_int_equal(switches, 1);
    assert_close(change->po2_before_atm, 0.21 * 1.62 / LL_BAR_PER_ATM, 1e-12, 0);
    assert_close(change->po2_atm, 0.5 * 1.62 / LL_BAR_PER_ATM, 1e-12, 0);
    assert_close(change->mod.depth_m, 22.424, 1e-9, 0);
    assert_close(change->mod.depth_m - change->depth_m, 16.224, 1e-9, 0);
    assert_int_equal(change->mod.source, LL_MOD_BUILT_IN);
    assert_close(change->off_m, 0.1, 1e-9, 0);
    assert_true(change->held && change->on_ascent);
    assert_int_equal(change->order, LL_SWITCH_RICHER);
}

/* At 9 m on the way up at 10.5 m/min: 30 s earlier at 14.25 m. The log allows the mix to 5 m, or to 1.4 bar, 18 m. */
static void on_the_way_up_depth_is_not_held(void **state)
{
    (void)state;
    hand.mix[HAND_EAN50].maximum_depth_m = 5;
    hand_breathe(&hand, AT_9, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    make();
    assert_false(change->held);
    assert_close(change->off_m, 5.25, 1e-9, 0);
    assert_close(change->mod.depth_m - change->depth_m, -4, 1e-9, 0);
    assert_int_equal(change->mod.source, LL_MOD_STATED_DEPTH);
    hand.mix[HAND_EAN50].maximum_depth_m = NAN;
    hand.mix[HAND_EAN50].maximum_po2_bar = 1.4;
    make();
    assert_close(change->mod.depth_m - change->depth_m, 9, 1e-9, 0);
    assert_int_equal(change->mod.source, LL_MOD_STATED_PO2);
}

static void a_break_on_oxygen_is_one_only_with_the_way_back(void **state)
{
    (void)state;
    hand_breathe(&hand, AT_6, HAND_OXYGEN, LL_OPEN_CIRCUIT, NAN);
    hand_breathe(&hand, AT_6 + 1, HAND_AIR, LL_OPEN_CIRCUIT, NAN);
    make();
    assert_int_equal(change[1].order, LL_SWITCH_LEANER);
    assert_int_equal(levels.breaks, 0);
    hand_breathe(&hand, AT_6 + 2, HAND_OXYGEN, LL_OPEN_CIRCUIT, NAN);
    make();
    assert_int_equal(change[0].order, LL_SWITCH_RICHER);
    assert_int_equal(change[1].order, LL_SWITCH_BREAK);
    assert_int_equal(change[2].order, LL_SWITCH_BACK);
    assert_int_equal(levels.breaks, 1);
    assert_close(levels.oxygen_break->from_s, 1500, 0, 0);
    assert_close(levels.oxygen_break->to_s, 1800, 0, 0);
    assert_int_equal(levels.oxygen_break->mix, HAND_AIR);
    for (int i = AT_6 + 2; i < SAMPLES; i++)
        time_s[i] += 301; /* 601 s */
    make();
    assert_int_equal(levels.breaks, 0);
    assert_int_equal(change[1].order, LL_SWITCH_LEANER);
}

/* --- pressures ------------------------------------------------------------------------------------------------------ */

/* The record names EAN50 from 1800 s on; its tank falls from 1500 s on, while that of air stands. */
static double air_bar[SAMPLES] = {200, 190, 100, 98, 97, 96, 95, 94, 94, 93.5, 93.5, 93.5, 93.5, 93.5};
static double ean50_bar[SAMPLES] = {150, 150, 150, 150, 150, 150, 150, 150, 150, 140, 138, 136, 134, 134};

static void give_tanks(void)
{
    static const uint32_t every[SAMPLES] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13};
    static ll_tank_use uses[2];
    static ll_series series[2];
    uses[0] = (ll_tank_use){NULL, LL_NONE, HAND_AIR, 12, NAN, NAN};
    uses[1] = (ll_tank_use){NULL, LL_NONE, HAND_EAN50, 7, NAN, NAN};
    series[0] = (ll_series){"a", 0, SAMPLES, every, air_bar};
    series[1] = (ll_series){"b", 1, SAMPLES, every, ean50_bar};
    hand.dive.tank_use = uses;
    hand.dive.tank_uses = 2;
    hand.dive.tank_pressure = series;
    hand.dive.tank_pressures = 2;
    hand_breathe(&hand, 9, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
}

static void pressures_may_suggest_another_mix(void **state)
{
    (void)state;
    give_tanks();
    make();
    assert_int_equal(notes.count, 1);
    assert_int_equal(notes.items[0].code, LL_NOTE_PRESSURES_SUGGEST);
    assert_non_null(strstr(notes.items[0].text, "the record says air, the pressures suggest EAN50: from 1500 s to 1800 s"));
    assert_non_null(strstr(notes.items[0].text, "falls by 10 bar"));
    assert_int_equal(profile.breathed[0].mix, HAND_AIR);
    assert_int_equal(profile.breathed[0].end, 9);
}

static void pressures_that_fall_together_suggest_nothing(void **state)
{
    (void)state;
    air_bar[9] = 92.9;
    ean50_bar[9] = 145.2;
    give_tanks();
    make();
    assert_int_equal(notes.count, 0); /* 4.8 bar, and air 1.1 bar */
    ean50_bar[9] = 140;
    make();
    assert_int_equal(notes.count, 0);
    air_bar[9] = 93.5;
    hand.dive.tank_pressures = 1;
    make();
    assert_int_equal(notes.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_all, close_all)
        TEST(levels_are_stretches_within_a_band),
        TEST(levels_alone_are_the_same_levels),
        TEST(mean_and_spread_are_those_of_gsl),
        TEST(a_wider_or_shorter_stay_is_no_level),
        TEST(the_way_to_a_level_is_cut_off),
        TEST(rates_are_means_between_instants),
        TEST(redescents_of_three_metres_are_told),
        TEST(three_metres_are_three_metres),
        TEST(a_redescent_goes_on_to_its_deepest),
        TEST(the_bottom_begins_at_nine_tenths),
        TEST(the_slate_has_a_row_a_level),
        TEST(what_was_asked_adds_up_to_the_time_to_surface),
        TEST(the_missing_time_is_what_was_missing),
        TEST(unknown_gas_asks_for_nothing),
        TEST(what_never_went_down_has_no_levels),
        TEST(a_switch_has_its_figures),
        TEST(on_the_way_up_depth_is_not_held),
        TEST(a_break_on_oxygen_is_one_only_with_the_way_back),
        TEST(pressures_may_suggest_another_mix),
        TEST(pressures_that_fall_together_suggest_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
