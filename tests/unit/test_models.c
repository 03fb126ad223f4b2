/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What other factors and other models would have asked for, on dives made by hand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "assess/models.h"
#include "close.h"
#include "hand.h"

#define M_PER_FSW 3.0704545454545454 /* of 10: 10.1325 m to the atmosphere of 33 fsw */

static ll_arena arena;
static ll_settings settings;
static hand_log hand;
static ll_profile profile;
static ll_state start;
static ll_track track;
static ll_models models;

static int open_all(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    ll_settings_built_in(&settings);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    ll_arena_close(&arena);
    return 0;
}

static ll_owed ask(double low_percent, double high_percent)
{
    ll_owed owed;
    settings.gf_low_percent = low_percent;
    settings.gf_high_percent = high_percent;
    assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, NULL, &profile, NULL), LL_OK);
    ll_state_rest(&start, settings.model, profile.surface_bar);
    assert_int_equal(ll_replay_columns(&profile, &settings, &start, LL_SET(LL_CEILING), &arena, &track, NULL), LL_OK);
    assert_true(ll_owed_of(&track, &settings, &arena, &owed));
    assert_true(ll_models_make(&track, &settings, &start, owed.known, &owed.way, &arena, &models));
    return owed;
}

static const ll_model_row *row_of(const char *key, double low_percent)
{
    for (size_t i = 0; i < models.count; i++) {
        const ll_model_row *row = &models.row[i];
        bool same = isnan(low_percent) ? isnan(row->gf_low_percent) : row->gf_low_percent == low_percent;
        if (same && strcmp(ll_model_table[row->model].key, key) == 0)
            return row;
    }
    fail_msg("no row for %s", key);
    return NULL;
}

/* A stay, a second one shallower, and up: samples every 10 s as a recorder has them. */
static void dive(double depth_m, double bottom_s, double then_m, double then_s)
{
    static double time[2000], depth[2000];
    size_t count = 0;
    double down_s = depth_m / 18 * 60, up_s = fabs(depth_m - then_m) / 9 * 60, last_s = then_m / 9 * 60;
    double end_s = down_s + bottom_s + up_s + then_s + last_s;
    for (double t = 0; t < end_s + 10; t += 10) {
        double at = t, d;
        if (at < down_s)
            d = depth_m * at / down_s;
        else if ((at -= down_s) < bottom_s)
            d = depth_m;
        else if ((at -= bottom_s) < up_s)
            d = depth_m + (then_m - depth_m) * at / up_s;
        else if ((at -= up_s) < then_s)
            d = then_m;
        else
            d = fmax(then_m * (1 - (at - then_s) / last_s), 0);
        time[count] = t;
        depth[count++] = d;
    }
    hand_open(&hand, count, time, depth);
}

/* A row with other factors is what a replay with these factors comes to, anchor included. */
static void a_row_is_the_replay_with_its_factors(void **state)
{
    (void)state;
    static const double sets[][2] = {{30, 70}, {50, 80}, {85, 95}, {100, 100}};
    for (int helium = 0; helium < 2; helium++)
        for (int i = 0; i < 4; i++) {
            dive(57, 1500, 40, 300);
            if (helium)
                hand_breathe(&hand, 0, HAND_TX1845, LL_OPEN_CIRCUIT, NAN);
            ll_owed own = ask(sets[i][0], sets[i][1]);
            assert_true(own.known && own.required);
            assert_true(row_of("zh-l16c", sets[i][0])->as_replayed);
            ask(61, 83);
            assert_int_equal(models.count, 7);
            assert_true(models.row[0].as_replayed);
            const ll_model_row *row = row_of("zh-l16c", sets[i][0]);
            assert_false(row->as_replayed);
            assert_close(row->way.owed_s, own.way.owed_s, 0, 0);
            assert_close(row->way.time_s, own.way.time_s, 0, 0);
            assert_close(row->way.deepest_stop_m, own.way.deepest_stop_m, 0, 0);
        }
}

/* A deep start leaves an anchor that a second, shallower stay alone would not. */
static void anchors_run_with_the_record(void **state)
{
    (void)state;
    static const double time[] = {0, 200, 1400, 1500, 2700, 2760, 2900}, depth[] = {0, 60, 60, 45, 45, 40, 20};
    hand_open(&hand, 7, time, depth);
    ll_owed own = ask(30, 70);
    ask(50, 80);
    assert_close(row_of("zh-l16c", 30)->way.time_s, own.way.time_s, 0, 0);
}

/* NEDU TR 11-06 (2011), profile A1: air, 170 fsw, 30 min, down at 57 fsw/min. Its stops, 174 min in all, are at 30
 * fsw/min; here the way up is taken at 9 m/min, which is 29.3. First stop at 40 fsw. Whole minutes, four times
 * rounded up in the sum. */
static void the_linear_model_gives_its_published_profile(void **state)
{
    (void)state;
    const double deep_m = 17 * M_PER_FSW;
    const double time[] = {0, 170 / 57.0 * 60, 1800, 1800 + deep_m / 9 * 60};
    const double depth[] = {0, deep_m, deep_m, 0};
    hand_open(&hand, 4, time, depth);
    ask(50, 80);
    const ll_model_row *row = row_of("vval-18", NAN);
    assert_null(row->covers);
    assert_close(row->way.owed_s, 174 * 60, 2 * 60, 0);
    assert_close(row->way.deepest_stop_m, 4 * M_PER_FSW, 1e-9, 0);
    assert_close(row->way.time_s - row->way.owed_s, deep_m / 9 * 60, 1e-6, 0);
}

/* Table MN90 (from memory): 20 m for 40 min asks for no stop, for 60 min for 13 min at 3 m. Its own way up is faster,
 * and its steps are whole minutes. */
static void the_ratio_model_gives_its_table(void **state)
{
    (void)state;
    for (int minutes = 40; minutes <= 60; minutes += 20) {
        const double end_s = minutes * 60.0, time[] = {0, 60, end_s, end_s + 20 / 9.0 * 60};
        static const double depth[] = {0, 20, 20, 0};
        hand_open(&hand, 4, time, depth);
        settings.surface_bar = 1;
        ask(50, 80);
        settings.surface_bar = NAN;
        const ll_model_row *row = row_of("mn90", NAN);
        assert_null(row->covers);
        assert_close(row->way.owed_s, minutes == 40 ? 0 : 13 * 60, minutes == 40 ? 0 : 2 * 60, 0);
        assert_close(row->way.deepest_stop_m, minutes == 40 ? 0 : 3, 1e-9, 0);
    }
}

static void a_model_says_what_it_covers(void **state)
{
    (void)state;
    dive(40, 1200, 20, 60);
    hand_breathe(&hand, 150, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    ask(50, 80);
    assert_null(row_of("vval-18", NAN)->covers);
    assert_non_null(row_of("mn90", NAN)->covers);
    assert_true(isnan(row_of("mn90", NAN)->way.time_s));
    dive(40, 1200, 20, 60);
    hand_breathe(&hand, 0, HAND_TX1845, LL_OPEN_CIRCUIT, NAN);
    ask(50, 80);
    assert_non_null(row_of("vval-18", NAN)->covers);
    assert_non_null(row_of("mn90", NAN)->covers);
    dive(40, 1200, 20, 60);
    hand_breathe(&hand, 0, HAND_AIR, LL_CLOSED_CIRCUIT, 1.2);
    ask(50, 80);
    assert_null(row_of("vval-18", NAN)->covers);
    assert_non_null(row_of("mn90", NAN)->covers);
}

/* On a loop at a fixed PO2 of 0.7 atm the no-stop time at 110 fsw is 24 min (Thalmann, NEDU 1-83, erratum; 60 fsw/min
 * both ways). */
static void the_linear_model_knows_a_fixed_po2(void **state)
{
    (void)state;
    const double deep_m = 11 * M_PER_FSW;
    for (int minute = 23; minute <= 26; minute += 3) {
        const double bottom_s = minute * 60.0, time[] = {0, 110, bottom_s, bottom_s + deep_m / 9 * 60};
        const double depth[] = {0, deep_m, deep_m, 0};
        hand_open(&hand, 4, time, depth);
        hand.mix[HAND_AIR].o2_fraction = 0.1; /* a diluent that leaves the set point in force at depth */
        hand_breathe(&hand, 0, HAND_AIR, LL_CLOSED_CIRCUIT, 0.7 * 1.01325);
        ask(50, 80);
        double owed_s = row_of("vval-18", NAN)->way.owed_s;
        assert_true(minute < 24 ? owed_s == 0 : owed_s > 0);
    }
}

static void the_range_spans_all_rows(void **state)
{
    (void)state;
    dive(45, 1500, 30, 60);
    ask(50, 80);
    assert_int_equal(models.count, 6);
    double least = INFINITY, greatest = 0;
    for (size_t i = 0; i < models.count; i++) {
        least = fmin(least, models.row[i].way.owed_s);
        greatest = fmax(greatest, models.row[i].way.owed_s);
    }
    assert_close(models.least_owed_s, least, 0, 0);
    assert_close(models.greatest_owed_s, greatest, 0, 0);
    assert_true(row_of("zh-l16c", 100)->way.owed_s < row_of("zh-l16c", 85)->way.owed_s);
    assert_true(row_of("zh-l16c", 85)->way.owed_s < row_of("zh-l16c", 30)->way.owed_s);
}

static void nothing_is_said_on_unknown_gas(void **state)
{
    (void)state;
    dive(45, 1500, 30, 60);
    hand_breathe(&hand, 0, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT, NAN);
    ask(50, 80);
    assert_false(models.known);
    assert_int_equal(models.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_row_is_the_replay_with_its_factors),
        cmocka_unit_test(anchors_run_with_the_record),
        cmocka_unit_test(the_linear_model_gives_its_published_profile),
        cmocka_unit_test(the_ratio_model_gives_its_table),
        cmocka_unit_test(a_model_says_what_it_covers),
        cmocka_unit_test(the_linear_model_knows_a_fixed_po2),
        cmocka_unit_test(the_range_spans_all_rows),
        cmocka_unit_test(nothing_is_said_on_unknown_gas),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
