/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replay through each of the models: what they share, what they cover, what is missing where they do not. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "replay/history.h"
#include "replay/instants.h"
#include "replay_world.h"

/* Up in steps of 10 s from 40 m after 25 min, straight to the surface, and a time on it. */
enum { UP_FROM = 2, UP_SAMPLES = 60 };
static double up_time[UP_SAMPLES], up_depth[UP_SAMPLES];

static void straight_up(hand_log *hand)
{
    up_time[1] = 120;
    up_depth[1] = up_depth[2] = 40;
    up_time[2] = 1500;
    for (size_t i = UP_FROM + 1; i < UP_SAMPLES; i++) {
        up_time[i] = up_time[i - 1] + 10;
        up_depth[i] = fmax(up_depth[i - 1] - 1, 0);
    }
    hand_open(hand, UP_SAMPLES, up_time, up_depth);
}

/* --- headroom ------------------------------------------------------------------------------------------------- */

static double least_headroom(const ll_track *track, size_t sample)
{
    double least = INFINITY;
    for (int c = 0; c < LL_COMPARTMENTS && track->headroom[c]; c++)
        least = fmin(least, track->headroom[c][sample]);
    return least;
}

static void headroom_is_negative_exactly_above_the_ceiling(void **state)
{
    (void)state;
    for (int m = 0; m < LL_MODELS; m++) {
        hand_log hand;
        straight_up(&hand);
        settings.model = (ll_model)m;
        ll_profile profile = profile_of(&hand);
        ll_track track = track_of(&profile, LL_SET(LL_CEILING) | LL_SET_HEADROOM);
        size_t above = 0;
        for (size_t i = 0; i < track.count; i++) {
            bool is_above = profile.depth_m[i] < track.column[LL_CEILING][i];
            assert_int_equal(least_headroom(&track, i) < 0, is_above);
            above += is_above;
        }
        assert_true(above > 5 && above < track.count - 20);
    }
}

/* At rest each compartment holds 0.79 (1.01325 - 0.0627) = 0.7509345 bar, and may hold, at the surface and with a factor of
 * 80 percent, P + 0.8 (a + P/b - P); a and b of compartments 1 and 16, set C: 1.1696 and 0.5578, 0.2327 and 0.9653. */
static void headroom_at_rest_by_hand(void **state)
{
    (void)state;
    hand_log hand;
    straight_up(&hand);
    ll_profile profile = profile_of(&hand);
    ll_track track = track_of(&profile, LL_SET_HEADROOM);
    const double p = 1.01325;
    assert_close(track.headroom[0][0], p + 0.8 * (1.1696 + p / 0.5578 - p) - 0.7509345, 1e-12, 0);
    assert_close(track.headroom[15][0], p + 0.8 * (0.2327 + p / 0.9653 - p) - 0.7509345, 1e-12, 0);
    ll_track without = track_of(&profile, LL_SET(LL_CEILING));
    assert_null(without.headroom[0]);
}

static void headroom_is_missing_after_unknown_gas(void **state)
{
    (void)state;
    hand_log hand;
    straight_up(&hand);
    hand_breathe(&hand, 10, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT, NAN);
    ll_profile profile = profile_of(&hand);
    ll_track track = track_of(&profile, LL_SET_HEADROOM);
    assert_false(isnan(track.headroom[0][10]));
    assert_true(isnan(track.headroom[0][11]));
}

/* --- stops, waits, no-stop times ------------------------------------------------------------------------------ */

static const ll_model further[] = {LL_VVAL_18, LL_MN90};
#define FSW_10_M 3.0704545454545454 /* 10.1325 m to the atmosphere of 33 fsw */

/* 40 m or so until `bottom_s`, then the way up as the replay tells it. */
typedef struct follower {
    double time_s[64], depth_m[64];
    size_t count;
} follower;

static bool follow(void *context, const ll_way_step *step)
{
    follower *way = context;
    way->time_s[way->count] = way->time_s[way->count - 1] + step->seconds;
    way->depth_m[way->count++] = step->to_m;
    return true;
}

static ll_way_up follow_way(const ll_profile *profile, const ll_track *track, size_t sample, follower *way)
{
    ll_gas_choice choice;
    ll_decays decays;
    const ll_way_taker taker = {follow, way};
    assert_true(ll_gas_choice_make(profile, &arena, &choice));
    ll_decays_open(&decays);
    return ll_way_up_told(profile, &settings, &choice, &profile->breathed[0], NAN, &track->end.tissues, 0,
                          profile->depth_m[sample], &decays, &taker);
}

/* A wait ends exactly when the next level comes within limits: the schedule followed as a record touches the ceiling and
 * never passes it, and its stops are at the levels of the model. */
static void a_schedule_followed_is_just_within(void **state)
{
    (void)state;
    static const double step_m[] = {FSW_10_M, 3}, depth_m[] = {0, 45, 45};
    for (int m = 0; m < 2; m++)
        for (int last = 0; last < 2; last++) {
            settings.model = further[m];
            settings.last_stop_m = last ? 6 : 3;
            const double least_m = last ? 6 : step_m[m];
            follower way = {{0, 150, 2100}, {0, 45, 45}, 3};
            hand_log hand;
            hand_open(&hand, 3, way.time_s, depth_m);
            ll_profile profile = profile_of(&hand);
            ll_track track = track_of(&profile, LL_SET(LL_CEILING) | LL_SET(LL_STOP) | LL_SET(LL_TIME_TO_SURFACE));
            ll_way_up up = follow_way(&profile, &track, 2, &way);
            assert_close(up.time_s, track.column[LL_TIME_TO_SURFACE][2], 1e-9, 0);
            assert_close(up.time_s - up.owed_s, 5 * 60, 1e-6, 0);
            assert_true(up.owed_s > 600);
            double stop = track.column[LL_STOP][2];
            assert_true(stop >= track.column[LL_CEILING][2] && stop >= least_m - 1e-9);
            assert_close(fmod(stop + 1e-9, step_m[m]), 0, 2e-9, 0);
            hand_open(&hand, way.count, way.time_s, way.depth_m);
            profile = profile_of(&hand);
            track = track_of(&profile, LL_SET(LL_CEILING) | LL_SET(LL_GRADIENT));
            double nearest = INFINITY;
            for (size_t i = 3; i < way.count; i++) {
                nearest = fmin(nearest, way.depth_m[i] - track.column[LL_CEILING][i]);
                assert_true(track.column[LL_CEILING][i] <= way.depth_m[i] + 1e-6);
                assert_true(track.column[LL_GRADIENT][i] <= 100 + 1e-6);
                if (way.depth_m[i] > 0 && way.depth_m[i] < 44)
                    assert_true(way.depth_m[i] >= least_m - 1e-9);
            }
            assert_true(nearest < step_m[m]);
        }
}

/* MN90's no-stop times, by the model behind the table, descent at once (the same ratios computed apart; within a step of
 * 5 to 10 min of the table itself: 135, 75, 50, 40, 20, 10 min). */
static void no_stop_times_of_the_ratio_model(void **state)
{
    (void)state;
    static const double depth_m[] = {12, 15, 18, 20, 25, 30}, minutes[] = {133.9, 76.3, 53.3, 43.0, 20.6, 11.6};
    settings.model = LL_MN90;
    settings.surface_bar = 1;
    for (int i = 0; i < 6; i++) {
        const double time[] = {0, 0.001, 60}, depth[] = {0, depth_m[i], depth_m[i]};
        hand_log hand;
        hand_open(&hand, 3, time, depth);
        ll_profile profile = profile_of(&hand);
        ll_track track = track_of(&profile, LL_SET(LL_NO_STOP));
        assert_close(track.column[LL_NO_STOP][1] / 60, minutes[i], 0.06, 0); /* one decimal */
        assert_close(track.column[LL_NO_STOP][2], track.column[LL_NO_STOP][1] - 59.999, 1e-6, 0);
    }
}

static bool is_above_somewhere(double fsw, double bottom_min)
{
    const double bottom_m = fsw / 10 * FSW_10_M;
    double time[400], depth[400];
    size_t count = 3;
    time[0] = depth[0] = 0;
    time[1] = fsw / 75 * 60;
    time[2] = bottom_min * 60;
    depth[1] = depth[2] = bottom_m;
    for (; depth[count - 1] > 0; count++) { /* 30 fsw/min, a sample a second */
        time[count] = time[count - 1] + 1;
        depth[count] = fmax(depth[count - 1] - 3 * FSW_10_M / 60, 0);
    }
    hand_log hand;
    hand_open(&hand, count, time, depth);
    ll_profile profile = profile_of(&hand);
    ll_track track = track_of(&profile, LL_SET(LL_CEILING));
    bool above = false;
    for (size_t i = 0; i < count; i++)
        above = above || depth[i] < track.column[LL_CEILING][i];
    return above;
}

/* US Navy Diving Manual, Revision 7, 2016, no-decompression limits for air (from memory), descent 75, ascent 30 fsw/min:
 * no ceiling is passed after as long; one is after as much longer as the reference suite allows, and a minute for what is
 * given off between 10 fsw and the surface and for the centimetre under which a ceiling is none. */
static void no_stop_limits_of_the_linear_model(void **state)
{
    (void)state;
    static const double rows[][3] = {{40, 163, 1.1}, {50, 92, 1.1}, {60, 63, 1.1}, {70, 48, 1.1}, {90, 33, 1.1}};
    settings.model = LL_VVAL_18;
    for (int i = 0; i < 5; i++) {
        assert_false(is_above_somewhere(rows[i][0], rows[i][1]));
        assert_true(is_above_somewhere(rows[i][0], rows[i][1] + rows[i][2] + 1));
    }
}

/* NEDU TR 11-06 (2011), profile A1: air, 170 fsw, 30 min, down at 57 fsw/min: first stop at 40 fsw, 174 min of stops in
 * whole minutes at 30 fsw/min; here the way up is taken at 9 m/min, which is 29.3. */
static void stops_of_the_linear_model(void **state)
{
    (void)state;
    settings.model = LL_VVAL_18;
    const double deep_m = 17 * FSW_10_M;
    const double time[] = {0, 170 / 57.0 * 60, 1800}, depth[] = {0, deep_m, deep_m};
    hand_log hand;
    hand_open(&hand, 3, time, depth);
    ll_profile profile = profile_of(&hand);
    ll_track track = track_of(&profile, LL_SET(LL_STOP) | LL_SET(LL_TIME_TO_SURFACE));
    assert_close(track.column[LL_TIME_TO_SURFACE][2] - deep_m / 9 * 60, 174 * 60, 2 * 60, 0);
    assert_close(track.column[LL_STOP][2], 5 * FSW_10_M, 1e-9, 0); /* before the ascent, which itself takes a step of it */
    ll_owed owed;
    assert_true(ll_owed_of(&track, &settings, &arena, &owed));
    assert_close(owed.way.deepest_stop_m, 4 * FSW_10_M, 1e-9, 0);
}

/* --- what a model does not cover ------------------------------------------------------------------------------ */

static bool is_covered(ll_model model, int mix, ll_circuit circuit, double set_point_bar, ll_notes *notes)
{
    static const double time[] = {0, 120, 1500, 1800}, depth[] = {0, 30, 30, 0};
    hand_log hand;
    ll_profile profile;
    settings.model = model;
    hand_open(&hand, 4, time, depth);
    hand_breathe(&hand, 0, mix, circuit, set_point_bar);
    *notes = (ll_notes){0};
    assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, notes, &profile, NULL), LL_OK);
    ll_track track = track_of(&profile, LL_SET(LL_CEILING) | LL_SET(LL_PO2) | LL_SET(LL_CNS) | LL_SET(LL_TISSUES_N2));
    assert_int_equal(isnan(track.column[LL_CEILING][2]), profile.uncovered);
    assert_int_equal(isnan(track.n2[0][0]), profile.uncovered);
    assert_false(isnan(track.column[LL_PO2][2]));
    assert_false(isnan(track.column[LL_CNS][2]));
    assert_true(track.doses.complete);
    assert_int_equal(ll_has_note(notes, LL_NOTE_MODEL_DOES_NOT_COVER), profile.uncovered);
    ll_owed owed;
    assert_true(ll_owed_of(&track, &settings, &arena, &owed));
    assert_int_equal(owed.known, !profile.uncovered);
    return !profile.uncovered;
}

static const char *said_of(const ll_notes *notes, ll_note_code code)
{
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].code == code)
            return notes->items[i].text;
    return "";
}

static void coverage_is_noted(void **state)
{
    (void)state;
    ll_notes notes;
    assert_true(is_covered(LL_ZH_L16C, HAND_TX1845, LL_OPEN_CIRCUIT, NAN, &notes));
    assert_true(is_covered(LL_VVAL_18, HAND_AIR, LL_OPEN_CIRCUIT, NAN, &notes));
    assert_true(is_covered(LL_VVAL_18, HAND_EAN50, LL_OPEN_CIRCUIT, NAN, &notes));
    assert_true(is_covered(LL_VVAL_18, HAND_AIR, LL_CLOSED_CIRCUIT, 1.2, &notes));
    assert_false(is_covered(LL_VVAL_18, HAND_TX1845, LL_OPEN_CIRCUIT, NAN, &notes));
    assert_string_equal(said_of(&notes, LL_NOTE_MODEL_DOES_NOT_COVER),
                        "VVal-18 covers mixes of oxygen and nitrogen only; 18/45 was breathed: ceiling, stops and what "
                        "follows from them are missing");
    assert_true(is_covered(LL_MN90, HAND_AIR, LL_OPEN_CIRCUIT, NAN, &notes));
    assert_false(is_covered(LL_MN90, HAND_EAN50, LL_OPEN_CIRCUIT, NAN, &notes));
    assert_false(is_covered(LL_MN90, HAND_AIR, LL_CLOSED_CIRCUIT, 1.2, &notes));
    assert_non_null(strstr(said_of(&notes, LL_NOTE_MODEL_DOES_NOT_COVER), "; air was breathed on a loop: "));
}

/* What is breathed in surface time only is air, whatever the record says. */
static void surface_time_needs_no_cover(void **state)
{
    (void)state;
    static const double time[] = {0, 120, 1500, 1800, 1900, 2000}, depth[] = {0, 30, 30, 0, 0, 0};
    hand_log hand;
    settings.model = LL_MN90;
    hand_open(&hand, 6, time, depth);
    hand_breathe(&hand, 4, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    ll_profile profile = profile_of(&hand);
    assert_false(profile.uncovered);
    hand_open(&hand, 6, time, depth);
    hand_breathe(&hand, 2, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    profile = profile_of(&hand);
    assert_true(profile.uncovered);
}

static void columns_end_with_the_compartments_of_the_model(void **state)
{
    (void)state;
    static const int compartments[] = {9, 12};
    static const double rest_bar[] = {0.79 * 1.01325 - 1.5 / 33 * 1.01325, 0.80 * 1.01325};
    for (int m = 0; m < 2; m++) {
        hand_log hand;
        settings.model = further[m];
        straight_up(&hand);
        ll_profile profile = profile_of(&hand);
        ll_track track = track_of(&profile, LL_SET_TISSUES | LL_SET_HEADROOM);
        for (int c = 0; c < LL_COMPARTMENTS; c++) {
            bool has = c < compartments[m];
            assert_int_equal(isnan(track.n2[c][5]), !has);
            assert_true(isnan(track.he[c][5]));
            assert_int_equal(track.headroom[c] != NULL, has);
            if (has)
                assert_close(track.n2[c][0], rest_bar[m], 1e-12, 0);
        }
    }
}

static void gradient_factors_do_not_apply(void **state)
{
    (void)state;
    ll_error error;
    settings.model = LL_MN90;
    assert_int_equal(ll_settings_check(&settings, &error), LL_OK);
    hand_log hand;
    straight_up(&hand);
    assert_close(profile_of(&hand).gf_low, 1, 0, 0);
    assert_close(profile_of(&hand).gf_high, 1, 0, 0);
    settings.gf_origin = LL_COMMAND_LINE;
    assert_int_equal(ll_settings_check(&settings, &error), LL_BAD_USAGE);
    assert_string_equal(error.text, "gradient factors do not go with MN90, which has none");
    settings.gf_origin = LL_FROM_STANDARD;
    assert_int_equal(ll_settings_check(&settings, &error), LL_OK);
    settings.gf_from_log = true;
    assert_int_equal(ll_settings_check(&settings, &error), LL_BAD_USAGE);
}

/* --- histories ------------------------------------------------------------------------------------------------ */

static const double dive_time[] = {0, 120, 1500, 1800, 1810}, dive_depth[] = {0, 36, 36, 0, 0};

static ll_history *two_dives(hand_log *first, hand_log *second)
{
    static const ll_log *logs[2];
    ll_history *history;
    hand_start_at(first, 9);
    hand_start_at(second, 12);
    logs[0] = &first->log;
    logs[1] = &second->log;
    assert_int_equal(ll_history_make(logs, 2, &settings, NULL, NULL, NULL, &history, NULL), LL_OK);
    return history;
}

/* Between dives: P0 2^(-t/T) towards air at the surface; VVal-18 straight down
 * to the crossover first, at k (Pa - X) fsw/min, Pa = 0.79 33 - 1.5 = 24.57, X = 33 - 4.3 = 28.7. */
static void tissues_carry_over_to_the_next_dive(void **state)
{
    (void)state;
    const double minutes = (3 * 3600 - 1810) / 60.0, fsw = 1.01325 / 33;
    for (int m = 0; m < 2; m++) {
        settings.model = further[m];
        hand_log first, second;
        hand_open(&first, 5, dive_time, dive_depth);
        hand_open(&second, 5, dive_time, dive_depth);
        ll_profile profile = profile_of(&first);
        ll_track track = track_of(&profile, LL_SET(LL_CEILING));
        ll_history *history = two_dives(&first, &second);
        const ll_inert *start = &history->entry[1].start.tissues;
        assert_int_equal(start->model, further[m]);
        if (further[m] == LL_MN90) {
            double rest = 0.80 * 1.01325, end = track.end.tissues.ratio.n2_bar[8]; /* 60 min */
            assert_close(start->ratio.n2_bar[8], rest + (end - rest) * exp2(-minutes / 60), 1e-12, 0);
        } else {
            double end = track.end.tissues.linear.n2_fsw[0], k = log(2) / 5; /* 5 min */
            double straight = (end - 28.7) / (k * (28.7 - 24.57));
            assert_true(end > 28.7 && straight < minutes);
            assert_close(start->linear.n2_fsw[0], 24.57 + (28.7 - 24.57) * exp(-k * (minutes - straight)), 1e-9, 0);
        }
        assert_close(ll_inert_n2_bar(start, 3), m ? start->ratio.n2_bar[3] : start->linear.n2_fsw[3] * fsw, 1e-12, 0);
        ll_history_free(history);
    }
}

static void after_a_dive_not_covered_tissues_start_at_rest_and_doses_go_on(void **state)
{
    (void)state;
    settings.model = LL_MN90;
    hand_log first, second;
    hand_open(&first, 5, dive_time, dive_depth);
    hand_breathe(&first, 0, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    hand_open(&second, 5, dive_time, dive_depth);
    ll_history *history = two_dives(&first, &second);
    const ll_entry *entry = &history->entry[1];
    ll_state rest;
    ll_state_rest(&rest, settings.model, 1.01325);
    assert_memory_equal(entry->start.tissues.ratio.n2_bar, rest.tissues.ratio.n2_bar, sizeof rest.tissues.ratio.n2_bar);
    assert_true(entry->start.tissues_known);
    assert_true(ll_has_note(&entry->notes, LL_NOTE_START_AFTER_UNCOVERED));
    assert_false(ll_has_note(&entry->notes, LL_NOTE_START_AFTER_UNKNOWN));
    assert_true(history->entry[0].doses.complete);
    settings.model = LL_ZH_L16C; /* which covers both */
    ll_history *other = two_dives(&first, &second);
    assert_true(entry->start.cns_percent > 5);
    assert_true(entry->start.cns_percent == other->entry[1].start.cns_percent);
    assert_int_equal(entry->start.cns_lower_bound, other->entry[1].start.cns_lower_bound);
    assert_true(entry->otu_day_before == other->entry[1].otu_day_before);
    assert_false(ll_has_note(&other->entry[1].notes, LL_NOTE_START_AFTER_UNCOVERED));
    ll_history_free(history);
    ll_history_free(other);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, open_arena, close_arena)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(headroom_is_negative_exactly_above_the_ceiling),
        CASE(headroom_at_rest_by_hand),
        CASE(headroom_is_missing_after_unknown_gas),
        CASE(a_schedule_followed_is_just_within),
        CASE(no_stop_times_of_the_ratio_model),
        CASE(no_stop_limits_of_the_linear_model),
        CASE(stops_of_the_linear_model),
        CASE(coverage_is_noted),
        CASE(surface_time_needs_no_cover),
        CASE(columns_end_with_the_compartments_of_the_model),
        CASE(gradient_factors_do_not_apply),
        CASE(tissues_carry_over_to_the_next_dive),
        CASE(after_a_dive_not_covered_tissues_start_at_rest_and_doses_go_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
