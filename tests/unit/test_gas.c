/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gas use and margin on a dive drawn by hand, with the figures worked out beside it. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "assess/gas_parts.h"
#include "close.h"
#include "hand.h"
#include "replay/surface.h"
#include "model/compressibility.h"

/* Surface 1 bar, 10 m = 1 bar. Down to 30 m in 2 min, 18 min there, up in 3 min; after 21 min the switch to EAN50 at
 * 20 m. On air: 2 min at 2.5 bar on average, 18 at 4, 1 at 3.5: 5 + 72 + 3.5 = 80.5 bar min. On EAN50: 2 min at 2 bar
 * on average: 4 bar min. */
enum { SAMPLES = 6, SWITCH = 3 };
static const double time_s[SAMPLES] = {0, 120, 1200, 1260, 1380, 1500};
static const double depth_m[SAMPLES] = {0, 30, 30, 20, 0, 0};
#define AIR_BAR_MIN 80.5
#define EAN50_BAR_MIN 4.0

static ll_arena arena;
static ll_settings settings;
static hand_log hand;
static ll_profile profile;
static ll_notes notes;
static ll_gas_use use;

static ll_tank tanks[3];
static ll_tank_use uses[3];
static ll_series series[3];
static const uint32_t every[SAMPLES] = {0, 1, 2, 3, 4, 5};

/* A tank of 12 L of air from 200 to 100 bar gauge, and one of 7 L of EAN50 from 150 to 140. */
static const double air_bar[SAMPLES] = {200, 190, 110, 100, 100, 0};
static const double ean50_bar[SAMPLES] = {150, 150, 150, 150, 140, 140};

static int open_all(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    ll_settings_built_in(&settings);
    settings.surface_bar = 1;
    memset(&notes, 0, sizeof notes);
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand_breathe(&hand, SWITCH, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    tanks[0] = (ll_tank){"t1", "back gas", 12};
    tanks[1] = (ll_tank){"t2", NULL, 7};
    tanks[2] = (ll_tank){"t3", NULL, 12};
    uses[0] = (ll_tank_use){NULL, 0, HAND_AIR, 12, NAN, NAN};
    uses[1] = (ll_tank_use){NULL, 1, HAND_EAN50, 7, NAN, NAN};
    uses[2] = (ll_tank_use){"third", LL_NONE, HAND_AIR, 12, NAN, NAN};
    series[0] = (ll_series){"t1", 0, SAMPLES, every, air_bar};
    series[1] = (ll_series){"t2", 1, SAMPLES, every, ean50_bar};
    series[2] = (ll_series){"third", 2, SAMPLES, every, air_bar};
    hand.log.tank = tanks;
    hand.log.tanks = 3;
    hand.dive.tank_use = uses;
    hand.dive.tank_uses = 2;
    hand.dive.tank_pressure = series;
    hand.dive.tank_pressures = 2;
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
    ll_state_rest(&start, settings.model, profile.surface_bar);
    assert_int_equal(ll_gas_use_make(&profile, &settings, &start, &arena, &notes, &use, NULL), LL_OK);
}

/* Gauge; at 293.15 K, since no temperature is recorded. */
static double air_l(double bar)
{
    return ll_tank_content_l(12, 0.21, 0, bar + 1, 293.15);
}

static double ean50_l(double bar)
{
    return ll_tank_content_l(7, 0.5, 0, bar + 1, 293.15);
}

/* --- use ------------------------------------------------------------------------------------------------------- */

/* 12 L of air, 201 and 101 bar absolute at 293.15 K: Z 1.0264 and 0.9883 (Lemmon et al. 2000, between its rows), that
 * is 12 (195.83 - 102.20) = 1123.6 L over 80.5 bar min: 13.96 L/min. Valve closed and purged after the surfacing: the
 * reading of 0 bar is not of the dive. */
static void rates_follow_from_readings_and_depths(void **state)
{
    (void)state;
    make();
    assert_int_equal(use.tanks, 2);
    const ll_gas_tank *air = &use.tank[0], *ean50 = &use.tank[1];
    assert_string_equal(air->name, "back gas");
    assert_string_equal(ean50->name, "t2");
    assert_int_equal(air->mix, HAND_AIR);
    assert_close(air->start_bar, 200, 0, 0);
    assert_close(air->end_bar, 100, 0, 0);
    assert_close(air->used_l, air_l(200) - air_l(100), 1e-9, 0);
    assert_close(air->used_l, 1123.6, 8, 0);
    assert_close(air->rmv_l_min, (air_l(200) - air_l(100)) / AIR_BAR_MIN, 1e-9, 0);
    assert_close(air->rmv_l_min, 13.96, 0.1, 0);
    assert_close(air->breathed_min, 21, 1e-9, 0);
    assert_close(air->mean_bar, AIR_BAR_MIN / 21, 1e-9, 0);
    assert_close(ean50->rmv_l_min, (ean50_l(150) - ean50_l(140)) / EAN50_BAR_MIN, 1e-9, 0);
    assert_int_equal(air->remark, LL_GAS_PLAIN);
    assert_int_equal(notes.count, 1); /* 18 min between two readings */
    assert_true(ll_has_note(&notes, LL_NOTE_TANK_GAP));
}

/* Bottom phase to 1200 s: 77 bar min, 200 to 110 bar. Ascent: air 3.5 bar min. */
static void phases_have_rates_of_their_own(void **state)
{
    (void)state;
    make();
    const ll_gas_tank *air = &use.tank[0];
    assert_close(air->bottom.to_s, 1200, 0, 0);
    assert_close(air->bottom.rmv_l_min, (air_l(200) - air_l(110)) / 77, 1e-9, 0);
    assert_close(air->ascent.rmv_l_min, (air_l(110) - air_l(100)) / 3.5, 1e-9, 0);
    assert_true(isnan(use.tank[1].bottom.rmv_l_min));
    assert_close(use.tank[1].bottom.used_l, 0, 1e-9, 0);
}

static void what_was_left_stands_at_each_instant(void **state)
{
    (void)state;
    static const ll_gas_moment moments[3] = {LL_AT_ASCENT_START, LL_AT_SWITCH, LL_AT_SURFACING};
    static const double bars[3] = {110, 100, 100}, times[3] = {1200, 1260, 1380};
    make();
    assert_int_equal(use.instants, 3);
    for (int i = 0; i < 3; i++) {
        assert_int_equal(use.instant[i].moment, moments[i]);
        assert_close(use.instant[i].time_s, times[i], 0, 0);
        assert_close(use.tank[0].left[i].bar, bars[i], 0, 0);
        assert_close(use.tank[0].left[i].content_l, air_l(bars[i]), 1e-9, 0);
    }
}

/* 12 L at 277.15 K where it is recorded; the reading at 1260 s has none, so 293.15 K. */
static void the_temperature_of_the_sample_counts(void **state)
{
    (void)state;
    static const double celsius[SAMPLES] = {4, 4, 4, NAN, NAN, 4};
    hand.dive.temperature_c = celsius;
    make();
    double before = ll_tank_content_l(12, 0.21, 0, 201, 277.15), after = air_l(100);
    assert_close(use.tank[0].used_l, before - after, 1e-9, 0);
}

/* Readings at 120 and 1200 s only: 72 bar min, nothing before and after them. */
static void only_the_time_between_readings_counts(void **state)
{
    (void)state;
    static const uint32_t two[2] = {1, 2};
    static const double bar[2] = {190, 110};
    series[0] = (ll_series){"t1", 0, 2, two, bar};
    make();
    assert_close(use.tank[0].rmv_l_min, (air_l(190) - air_l(110)) / 72, 1e-9, 0);
    assert_true(isnan(use.tank[0].left[2].bar));
    assert_true(ll_has_note(&notes, LL_NOTE_TANK_GAP));
}

static void stated_pressures_stand_in(void **state)
{
    (void)state;
    uses[0].begin_bar = 200;
    uses[0].end_bar = 100;
    hand.dive.tank_pressures = 0;
    make();
    assert_false(use.tank[0].recorded);
    assert_close(use.tank[0].rmv_l_min, (air_l(200) - air_l(100)) / AIR_BAR_MIN, 1e-9, 0);
    assert_true(isnan(use.tank[0].bottom.used_l));
    assert_int_equal(use.tank[1].remark, LL_GAS_NO_PRESSURE);
    assert_int_equal(use.margin.count, 0);
}

/* Two readings before the leaving, or two after the surfacing, tell nothing of the dive. */
static void readings_outside_the_dive_are_none(void **state)
{
    (void)state;
    static const double late_s[SAMPLES] = {0, 60, 1200, 1260, 1380, 1500}, late_m[SAMPLES] = {0, 0, 30, 20, 0, 0};
    static const uint32_t before[2] = {0, 1}, after[2] = {4, 5};
    hand.dive.time_s = late_s;
    hand.dive.depth_m = late_m;
    series[0] = (ll_series){"t1", 0, 2, before, air_bar};
    series[1] = (ll_series){"t2", 1, 2, after, ean50_bar};
    make();
    assert_int_equal(use.tank[0].remark, LL_GAS_NO_PRESSURE);
    assert_int_equal(use.tank[1].remark, LL_GAS_NO_PRESSURE);
}

/* --- what cannot be known ----------------------------------------------------------------------------------------- */

static void twins_of_one_mix_share_a_rate(void **state)
{
    (void)state;
    hand.dive.tank_uses = hand.dive.tank_pressures = 3;
    make();
    assert_string_equal(use.tank[2].name, "third");
    assert_int_equal(use.tank[0].remark, LL_GAS_SHARED);
    assert_close(use.tank[0].rmv_l_min, 2 * (air_l(200) - air_l(100)) / AIR_BAR_MIN, 1e-9, 0);
    assert_close(use.tank[2].rmv_l_min, use.tank[0].rmv_l_min, 0, 0);
    hand.dive.tank_pressures = 2;
    make();
    assert_int_equal(use.tank[0].remark, LL_GAS_SHARED_UNKNOWN);
    assert_true(isnan(use.tank[0].rmv_l_min));
    assert_close(use.tank[0].used_l, air_l(200) - air_l(100), 1e-9, 0);
    assert_int_equal(use.margin.known, 0);
    assert_int_equal(use.margin.minute[0].remark, LL_GAS_NOT_READ);
}

static void without_volume_or_mix_or_off_a_loop_there_is_no_rate(void **state)
{
    (void)state;
    uses[0].volume_l = NAN;
    uses[1].mix = LL_NONE;
    make();
    assert_int_equal(use.tank[0].remark, LL_GAS_NO_VOLUME);
    assert_int_equal(use.tank[1].remark, LL_GAS_NO_MIX);
    for (int i = 0; i < 2; i++)
        assert_true(isnan(use.tank[i].used_l) && isnan(use.tank[i].rmv_l_min));
    assert_int_equal(use.margin.minute[0].remark, LL_GAS_NO_VOLUME);
    uses[0].volume_l = 12;
    hand_breathe(&hand, 0, HAND_AIR, LL_CLOSED_CIRCUIT, 0.7);
    make();
    assert_int_equal(use.tank[0].remark, LL_GAS_LOOP);
    assert_close(use.tank[0].used_l, air_l(200) - air_l(100), 1e-9, 0);
    assert_true(isnan(use.tank[0].rmv_l_min));
    assert_int_equal(use.margin.known, 0);
}

/* --- margin ----------------------------------------------------------------------------------------------------- */

/* The usual example, two divers at 20 L/min: a minute at 60 m and 39 m up at 9 m/min, 40 (7 + 4.3333 x 5.05) = 1155.33
 * L. */
static void need_is_rate_times_ambient_pressure(void **state)
{
    (void)state;
    make();
    double there = ll_gas_needed_l(&profile, 20, 60, 60, 60), up = ll_gas_needed_l(&profile, 20, 39 / 9.0 * 60, 60, 21);
    assert_close(there + up, 1155.33, 0.01, 0);
}

/* Samples lie at 120 and 1200 s, so these two minutes are looked at. EAN50 may be breathed at 1.62 atm, 22.8 m, of the
 * levels at 21 m. At 120 s nothing holds a level shut: 60 L/min x (4 bar x 1 min + 9/9 min x 3.55 bar) = 453 L. At 1200
 * s 18 min at 30 m later no stop lies at 21 m or deeper either, so the same; 110 bar are left, 12 x 111/0.990 = 1346 L
 * less 453: 893 L. */
static void margin_is_what_was_left_less_the_need(void **state)
{
    (void)state;
    make();
    const ll_gas_margin *margin = &use.margin;
    assert_int_equal(margin->count, 2);
    assert_int_equal(margin->known, 2);
    assert_int_equal(margin->least, 1);
    const ll_gas_minute *minute = &margin->minute[1];
    assert_close(minute->time_s, 1200, 0, 0);
    assert_close(minute->needed_l, 453, 1e-9, 0);
    assert_close(minute->recorded_l, air_l(110), 1e-9, 0);
    assert_close(minute->margin_l, air_l(110) - 453, 1e-9, 0);
    assert_close(minute->margin_l, 893, 6, 0);
    assert_int_equal(minute->next_mix, HAND_EAN50);
    assert_close(minute->to_m, 21, 0, 0);
}

/* Without a tank of EAN50 to the surface: a minute at 4 bar, 30 m at 9 m/min at 2.5 bar, and the waits of the schedule.
 */
static void without_a_next_mix_the_way_leads_to_the_surface(void **state)
{
    (void)state;
    hand.dive.tank_uses = hand.dive.tank_pressures = 1;
    settings.gf_low_percent = settings.gf_high_percent = 100;
    make();
    const ll_gas_minute *minute = &use.margin.minute[0];
    assert_int_equal(minute->next_mix, LL_NONE);
    assert_close(minute->needed_l, 60 * (4 + 30 / 9.0 * 2.5), 1e-9, 0);
    settings.rmv_l_min = 15;
    make();
    assert_close(use.margin.minute[0].needed_l, 30 * (4 + 30 / 9.0 * 2.5), 1e-9, 0);
}

/* Steps of a way up that are added up. */
typedef struct sum {
    double seconds, waits, at_m;
    bool joined; /* each step begins where the last one ended */
} sum;

static bool add_step(void *context, const ll_way_step *step)
{
    sum *s = context;
    s->joined = s->joined && step->from_m == s->at_m;
    s->at_m = step->to_m;
    s->seconds += step->seconds;
    s->waits += step->from_m == step->to_m ? step->seconds : 0;
    return true;
}

/* Told or not, the way up is the same to the bit, and its steps add up to it. */
static void a_way_that_is_told_is_the_same_way(void **state)
{
    (void)state;
    make();
    ll_gas_choice choice;
    ll_decays decays;
    ll_inert tissues;
    ll_decays_open(&decays);
    assert_true(ll_gas_choice_make(&profile, &arena, &choice));
    ll_inert_rest(&tissues, settings.model, 3.5);
    sum s = {0, 0, 30, true};
    const ll_way_taker taker = {add_step, &s};
    ll_way_up told =
        ll_way_up_told(&profile, &settings, &choice, profile.breathed, NAN, &tissues, 0, 30, &decays, &taker);
    ll_way_up plain = ll_way_up_from(&profile, &settings, &choice, profile.breathed, NAN, &tissues, 0, 30, &decays);
    assert_true(told.time_s == plain.time_s && told.owed_s == plain.owed_s);
    assert_true(plain.owed_s > 60 && s.joined && s.at_m == 0);
    assert_close(s.seconds, plain.time_s, 1e-6, 0);
    assert_close(s.waits, plain.owed_s, 1e-6, 0);
}

/* --- doubts ------------------------------------------------------------------------------------------------------- */

static void rises_and_flat_readings_are_noted_and_kept(void **state)
{
    (void)state;
    static const double rising[SAMPLES] = {200, 190, 195.5, 100, 100, 100},
                        flat[SAMPLES] = {200, 190, 190, 185, 185, 185};
    series[0].value = rising;
    make();
    assert_true(ll_has_note(&notes, LL_NOTE_TANK_ROSE));
    assert_close(use.tank[0].left[0].bar, 195.5, 0, 0);
    memset(&notes, 0, sizeof notes);
    series[0].value = flat;
    make();
    assert_true(ll_has_note(&notes, LL_NOTE_TANK_FLAT));
    assert_false(ll_has_note(&notes, LL_NOTE_TANK_ROSE));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_all, close_all)
        TEST(rates_follow_from_readings_and_depths),
        TEST(phases_have_rates_of_their_own),
        TEST(what_was_left_stands_at_each_instant),
        TEST(the_temperature_of_the_sample_counts),
        TEST(only_the_time_between_readings_counts),
        TEST(stated_pressures_stand_in),
        TEST(readings_outside_the_dive_are_none),
        TEST(twins_of_one_mix_share_a_rate),
        TEST(without_volume_or_mix_or_off_a_loop_there_is_no_rate),
        TEST(need_is_rate_times_ambient_pressure),
        TEST(margin_is_what_was_left_less_the_need),
        TEST(without_a_next_mix_the_way_leads_to_the_surface),
        TEST(a_way_that_is_told_is_the_same_way),
        TEST(rises_and_flat_readings_are_noted_and_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
