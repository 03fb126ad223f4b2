/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts of the replay, one by one, where a whole dive would hide a slip: expected values are counted by hand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/units.h"
#include "close.h"
#include "model/linear.h"
#include "model/oxygen.h"
#include "model/ratio.h"
#include "replay/dose.h"
#include "replay/history.h"
#include "replay/interval.h"
#include "replay/lane.h"
#include "replay/leg.h"
#include "replay/switch.h"
#include "replay_world.h"

/* --- the usual interval ------------------------------------------------------------------------------------------- */

static double usual_interval_s(size_t count, const double *time_s)
{
    ll_profile profile = {.count = count, .time_s = time_s};
    assert_true(ll_interval_find(&profile, &arena));
    return profile.interval_s;
}

/* The median: of 10 10 3, of 7 1 4 (none is more than half), of 8 2 6 3 (between 3 and 6); none of one sample. */
static void usual_interval_is_the_median(void **state)
{
    (void)state;
    assert_close(usual_interval_s(4, (double[]){0, 10, 20, 23}), 10, 0, 0);
    assert_close(usual_interval_s(4, (double[]){0, 7, 8, 12}), 4, 0, 0);
    assert_close(usual_interval_s(5, (double[]){0, 8, 10, 16, 19}), 4.5, 0, 0);
    assert_close(usual_interval_s(2, (double[]){5, 11}), 6, 0, 0);
    assert_true(isnan(usual_interval_s(1, (double[]){5})));
}

/* --- run time ----------------------------------------------------------------------------------------------------- */

/* What lies behind the last sample is not the dive's. */
static void run_time_looks_at_no_sample_behind_the_last(void **state)
{
    (void)state;
    const double time[] = {0, 10, 20, 30}, depth[] = {0, 1, 0, 20};
    hand_log hand;
    hand_open(&hand, 3, time, depth);
    ll_profile p = profile_of(&hand);
    assert_false(p.has_run_time);
    assert_close(p.greatest_m, 1, 0, 0);
}

/* A record that begins at 30 s; at its bottom 30 m is the greatest depth, and the last sample within 1 m of it is the
 * third one, not the fourth, which lies 1.5 m above. */
static void ascent_starts_within_a_metre_of_the_level(void **state)
{
    (void)state;
    const double time[] = {30, 90, 150, 210, 270, 330}, depth[] = {0, 30, 30, 28.5, 10, 0};
    hand_log hand;
    hand_open(&hand, 6, time, depth);
    ll_profile p = profile_of(&hand);
    assert_int_equal(p.ascent_start, 2);
    assert_close(p.record_s, 300, 0, 0);
    assert_close(p.run_time_s, 300, 0, 0);
}

/* --- ascent rate -------------------------------------------------------------------------------------------------- */

/* 15 s back from 30 s the diver was half way from 24 m to 20 m, at 22 m: 4 m in 15 s. From 10 s there is no more to
 * look back on than those 10 s: 6 m. */
static void rate_looks_back_between_samples(void **state)
{
    (void)state;
    const double time[] = {0, 10, 20, 30}, depth[] = {30, 24, 20, 18};
    hand_log hand;
    hand_open(&hand, 4, time, depth);
    ll_profile p = profile_of(&hand);
    ll_track track = track_of(&p, LL_SET(LL_ASCENT_RATE));
    assert_close(track.column[LL_ASCENT_RATE][3], 16, 1e-12, 0);
    assert_close(track.column[LL_ASCENT_RATE][1], 36, 1e-12, 0);
}

/* --- legs -------------------------------------------------------------------------------------------------------- */

/* 18 % oxygen, 45 % helium, 37 % nitrogen from 2 to 5 bar: 1.9373 and 4.9373 bar of it are dry. A line of PO2 is not looked at. */
static void one_leg_on_open_circuit(void **state)
{
    (void)state;
    const ll_breathed gas = {.known = true, .o2 = 0.18, .n2 = 0.37, .he = 0.45, .set_point_bar = 1.3};
    ll_leg legs[LL_MAX_LEGS];
    assert_int_equal(ll_legs_make(&gas, 100, 2, 5, (ll_loop_line){1, 2}, legs), 1);
    const double ambient[] = {2, 5}, dry[] = {1.9373, 4.9373};
    assert_close(legs[0].seconds, 100, 0, 0);
    for (int end = 0; end < 2; end++) {
        assert_close(legs[0].ambient_bar[end], ambient[end], 0, 0);
        assert_close(legs[0].po2_bar[end], 0.18 * ambient[end], 1e-15, 0);
        assert_close(legs[0].n2_bar[end], 0.37 * dry[end], 1e-14, 0);
        assert_close(legs[0].he_bar[end], 0.45 * dry[end], 1e-14, 0);
    }
}

/* From 1.4 to 2.4 bar in 100 s on a loop at 1.3 bar, diluent 80 % oxygen, 5 % nitrogen, 15 % helium: from 1.625 bar on
 * the diluent alone gives more. There 1.625 - 0.0627 - 1.3 bar are inert, at the end 2.4 - 0.0627 - 1.92 bar, and a
 * quarter of it is nitrogen. */
static void legs_meet_where_the_diluent_takes_over(void **state)
{
    (void)state;
    const ll_breathed gas = {.known = true, .loop = true, .o2 = 0.8, .n2 = 0.05, .he = 0.15, .set_point_bar = 1.3};
    ll_leg legs[LL_MAX_LEGS];
    assert_int_equal(ll_legs_make(&gas, 100, 1.4, 2.4, (ll_loop_line){NAN, NAN}, legs), 2);
    assert_close(legs[0].seconds, 22.5, 1e-12, 0);
    assert_close(legs[1].seconds, 77.5, 1e-12, 0);
    for (int end = 0; end < 2; end++) {
        const ll_leg *leg = &legs[1 - end]; /* the first one's end, the second one's beginning */
        const int side = end;
        assert_close(leg->ambient_bar[side], 1.625, 1e-12, 0);
        assert_close(leg->po2_bar[side], 1.3, 1e-12, 0);
        assert_close(leg->n2_bar[side], 0.2623 / 4, 1e-12, 0);
        assert_close(leg->he_bar[side], 0.2623 * 3 / 4, 1e-12, 0);
    }
    assert_close(legs[1].po2_bar[1], 1.92, 1e-12, 0);
    assert_close(legs[1].n2_bar[1], 0.4173 / 4, 1e-12, 0);
    assert_close(legs[1].he_bar[1], 0.4173 * 3 / 4, 1e-12, 0);
}

/* The same loop from 4 bar up to 1 bar in 100 s: above 1.625 bar the diluent gives more than 1.3 bar, from 1.3627 bar
 * on nothing inert is left, from 1.3 bar on nothing but oxygen can be breathed. */
static void legs_come_in_order(void **state)
{
    (void)state;
    const ll_breathed gas = {.known = true, .loop = true, .o2 = 0.8, .n2 = 0.2, .set_point_bar = 1.3};
    const double cut[] = {4, 1.625, 1.3627, 1.3, 1};
    ll_leg legs[LL_MAX_LEGS];
    assert_int_equal(ll_legs_make(&gas, 100, 4, 1, (ll_loop_line){NAN, NAN}, legs), 4);
    for (int i = 0; i < 4; i++) {
        assert_close(legs[i].ambient_bar[0], cut[i], 1e-12, 0);
        assert_close(legs[i].ambient_bar[1], cut[i + 1], 1e-12, 0);
        assert_close(legs[i].seconds, 100 * (cut[i] - cut[i + 1]) / 3, 1e-10, 0);
    }
}

/* A recorded line from 1.2 down to 0.8 bar while the ambient pressure goes from 1 to 2: they meet after 0.2/1.4 of it,
 * at 8/7 bar, and beside the water vapour after 0.2627/1.4. */
static void recorded_lines_are_met_where_they_are(void **state)
{
    (void)state;
    const ll_breathed gas = {.known = true, .loop = true, .o2 = 0.21, .n2 = 0.79, .set_point_bar = NAN};
    ll_leg legs[LL_MAX_LEGS];
    assert_int_equal(ll_legs_make(&gas, 140, 1, 2, (ll_loop_line){1.2, 0.8}, legs), 3);
    assert_close(legs[0].seconds, 20, 1e-12, 0);
    assert_close(legs[1].seconds, 6.27, 1e-12, 0);
    assert_close(legs[0].po2_bar[0], 1, 1e-12, 0);
    assert_close(legs[0].po2_bar[1], 8.0 / 7, 1e-12, 0);
    assert_close(legs[1].po2_bar[1], 1.2 - 0.4 * 0.2627 / 1.4, 1e-12, 0);
    assert_close(legs[2].po2_bar[1], 0.8, 1e-12, 0);
}

/* A loop without a set point on 95 % oxygen: beside the water vapour nothing inert fits below 0.0627/0.05 = 1.254 bar.
 */
static void rich_diluent_leaves_nothing_inert_at_first(void **state)
{
    (void)state;
    const ll_breathed gas = {.known = true, .loop = true, .o2 = 0.95, .n2 = 0.05, .set_point_bar = NAN};
    ll_leg legs[LL_MAX_LEGS];
    assert_int_equal(ll_legs_make(&gas, 100, 1, 2, (ll_loop_line){NAN, NAN}, legs), 2);
    assert_close(legs[0].seconds, 25.4, 1e-10, 0);
    assert_close(legs[0].n2_bar[1], 0, 1e-12, 0);
    assert_close(legs[1].n2_bar[1], 0.1 - 0.0627, 1e-12, 0);
}

/* --- doses ------------------------------------------------------------------------------------------------------- */

/* On a loop whose diluent gives more than its set point: two minutes that begin alike and end apart. */
static void doses_of_legs_that_only_begin_alike(void **state)
{
    (void)state;
    const double time[] = {0, 60, 120, 180}, depth[] = {20, 20, 20, 12};
    hand_log hand;
    ll_state end;
    ll_doses doses;
    hand_open(&hand, 4, time, depth);
    hand_breathe(&hand, 0, HAND_EAN50, LL_CLOSED_CIRCUIT, 0.7);
    ll_profile p = profile_of(&hand);
    ll_leg down[LL_MAX_LEGS];
    double deep = 0.5 * ll_ambient_bar(&p, 20) / LL_BAR_PER_ATM;
    double shallow = 0.5 * ll_ambient_bar(&p, 12) / LL_BAR_PER_ATM;
    double expected = 2 * ll_otu(1, deep, deep) + ll_otu(1, deep, shallow);
    int legs = ll_descent_legs(&p, down);
    for (int i = 0; i < legs; i++)
        expected += ll_otu(down[i].seconds / 60, down[i].po2_bar[0] / LL_BAR_PER_ATM,
                           down[i].po2_bar[1] / LL_BAR_PER_ATM);
    ll_state_rest(&end, settings.model, p.surface_bar);
    ll_replay_advance(&p, &end, &doses);
    assert_close(doses.otu, expected, 1e-12, 0);
}

/* A dive of 20 min from 9 h on; one on the next day whose record begins 30 s after 9 h and ends at 9:08:50. 24 h before
 * that the first diver was at 20 m for another 470 s, then came up for 200 s. */
static void doses_of_a_day_reach_back_from_the_surfacing(void **state)
{
    (void)state;
    const double time[] = {0, 100, 1000, 1200}, later[] = {30, 130, 430, 530}, depth[] = {0, 20, 20, 0};
    hand_log first, second;
    hand_open(&first, 4, time, depth);
    hand_start_at(&first, 9);
    hand_open(&second, 4, later, depth);
    hand_start_at(&second, 9);
    second.dive.start.local_s += 86400;
    first.log.name = "a";
    second.log.name = "b";
    ll_history *history;
    const ll_log *logs[] = {&first.log, &second.log};
    assert_int_equal(ll_history_make(logs, 2, &settings, NULL, NULL, NULL, &history, NULL), LL_OK);
    ll_profile p = profile_of(&first);
    double deep = 0.21 * ll_ambient_bar(&p, 20) / LL_BAR_PER_ATM, up = 0.21 * p.surface_bar / LL_BAR_PER_ATM;
    double expected = ll_cns_percent(LL_CNS_24_H, 470.0 / 60, deep, deep, NULL) +
                      ll_cns_percent(LL_CNS_24_H, 200.0 / 60, deep, up, NULL);
    assert_true(expected > 0);
    assert_close(history->entry[1].cns_24_h_before_percent, expected, 1e-12, 0);
    ll_history_free(history);
}

/* Oxygen at 6 m, then 90 min at the surface, by which half is left (custom, model/oxygen.h). */
static void doses_halve_at_the_surface(void **state)
{
    (void)state;
    const double time[] = {0, 60, 660, 720, 6120}, depth[] = {0, 6, 6, 0, 0};
    hand_log hand;
    ll_state end;
    ll_doses doses;
    hand_open(&hand, 5, time, depth);
    hand_breathe(&hand, 0, HAND_OXYGEN, LL_OPEN_CIRCUIT, NAN);
    ll_profile p = profile_of(&hand);
    double up = p.surface_bar / LL_BAR_PER_ATM, deep = ll_ambient_bar(&p, 6) / LL_BAR_PER_ATM;
    ll_state_rest(&end, settings.model, p.surface_bar);
    ll_replay_advance(&p, &end, &doses);
    assert_close(end.cns_percent, (ll_cns_percent(LL_CNS_SINGLE, 1, up, deep, NULL) +
                                   ll_cns_percent(LL_CNS_SINGLE, 10, deep, deep, NULL) +
                                   ll_cns_percent(LL_CNS_SINGLE, 1, deep, up, NULL)) / 2, 1e-12, 0);
}

/* A loop that holds 0.5095 bar, 0.503 atm: hardly more than the 0.5 atm from which on a dose counts, but more. */
static void doses_count_from_half_an_atmosphere(void **state)
{
    (void)state;
    const double time[] = {0, 60, 660}, depth[] = {0, 5, 5};
    hand_log hand;
    ll_state end;
    ll_doses doses;
    hand_open(&hand, 3, time, depth);
    hand_breathe(&hand, 0, HAND_AIR, LL_CLOSED_CIRCUIT, 0.5095);
    ll_profile p = profile_of(&hand);
    ll_state_rest(&end, settings.model, p.surface_bar);
    ll_replay_advance(&p, &end, &doses);
    const double held = 0.5095 / LL_BAR_PER_ATM;
    assert_true(doses.otu > 0);
    assert_close(doses.otu, ll_otu(11, held, held), 1e-12, 0);
}

/* --- breaks from oxygen ------------------------------------------------------------------------------------------ */

/* Oxygen at 6 m, five minutes on air at `break_m`, oxygen again. */
static bool is_break(double oxygen, double break_s, double break_m, size_t ascent_start)
{
    const double time[] = {0, 600, 1200, 1200 + break_s, 2400 + break_s, 2500 + break_s};
    const double depth[] = {0, 30, 6, break_m, 6, 0};
    ll_breathed gas[] = {{0, 2, true, false, HAND_OXYGEN, oxygen, 0, 1 - oxygen, NAN},
                         {2, 3, true, false, HAND_AIR, 0.21, 0, 0.79, NAN},
                         {3, 6, true, false, HAND_OXYGEN, oxygen, 0, 1 - oxygen, NAN}};
    const ll_profile p = {.count = 6, .time_s = time, .depth_m = depth, .breathed_count = 3, .breathed = gas,
                          .has_run_time = true, .surfacing = 5, .ascent_start = ascent_start};
    return ll_is_oxygen_break(&p, 1);
}

/* Oxygen is 95 % or more, a break at most 10 min on the ascent, within less than 1.5 m. */
static void breaks_from_oxygen(void **state)
{
    (void)state;
    assert_true(is_break(1, 300, 6, 1));
    assert_true(is_break(0.95, 300, 6, 1));
    assert_false(is_break(0.94, 300, 6, 1));
    assert_true(is_break(1, 600, 6, 1));
    assert_false(is_break(1, 601, 6, 1));
    assert_true(is_break(1, 300, 7.25, 1));
    assert_false(is_break(1, 300, 7.5, 1));
    assert_true(is_break(1, 300, 6, 2));
    assert_false(is_break(1, 300, 6, 3));
}

/* --- what a recorder may be off by ------------------------------------------------------------------------------- */

/* 0.3 m + 1 %: 0.5 m at 20 m; at 0.1 m no more than that. */
static void depths_off_by_their_accuracy(void **state)
{
    (void)state;
    const double time[] = {0, 10, 20}, depth[] = {0.1, 20, 0};
    hand_log hand;
    ll_profile lane;
    hand_open(&hand, 3, time, depth);
    ll_profile p = profile_of(&hand);
    assert_true(ll_lane_of_depth(&p, 1, &arena, &lane));
    assert_close(lane.depth_m[0], 0.2, 1e-15, 0);
    assert_close(lane.depth_m[1], 20.5, 1e-12, 0);
    assert_true(ll_lane_of_depth(&p, -1, &arena, &lane));
    assert_close(lane.depth_m[0], 0, 1e-15, 0);
    assert_close(lane.depth_m[1], 19.5, 1e-12, 0);
    assert_close(lane.depth_m[2], 0, 0, 0);
}

/* --- the ratio model --------------------------------------------------------------------------------------------- */

/* Each compartment in turn holds 1.2 bar at an ambient pressure of 1 bar, the others 1: 0.2 bar of the S - 1 bar that
 * it may have. Ratios as in the table that model/ratio.c cites. */
static void every_compartment_can_lead(void **state)
{
    (void)state;
    static const double ratio[LL_RATIO_COMPARTMENTS] = {2.72, 2.54, 2.38, 2.20, 2.04, 1.82,
                                                        1.68, 1.61, 1.58, 1.56, 1.55, 1.54};
    for (int i = 0; i < LL_RATIO_COMPARTMENTS; i++) {
        ll_ratio tissues = {0};
        for (int j = 0; j < LL_RATIO_COMPARTMENTS; j++)
            tissues.n2_bar[j] = j == i ? 1.2 : 1;
        int leading = 0;
        assert_close(ll_ratio_gradient_percent(&tissues, 1, &leading), 20 / (ratio[i] - 1), 1e-9, 0);
        assert_int_equal(leading, i + 1);
        double headroom[LL_RATIO_COMPARTMENTS] = {0};
        ll_ratio_headroom_bar(&tissues, 1, headroom);
        assert_close(headroom[i], ratio[i] - 1.2, 1e-12, 0);
        tissues.n2_bar[i] = ratio[i] * 1.001;
        assert_false(ll_ratio_is_within(&tissues, 1));
        assert_close(ll_ratio_tolerated_bar(&tissues), 1.001, 1e-12, 0);
        assert_close(ll_ratio_hold_min(&tissues, 1, 1), 0, 0, 0);
    }
}

/* --- the linear model -------------------------------------------------------------------------------------------- */

/* A little less than it says lets the diver up, a little more does not. The third values must not be looked at. */
static void linear_model_holds_as_long_as_it_says(void **state)
{
    (void)state;
    const double ambient[] = {4, 4, NAN}, po2[] = {0.84, 0.84, NAN};
    ll_linear rest, less, more;
    ll_linear_rest(&rest, 1.01325);
    const double hold = ll_linear_hold_min(&rest, 4, 0.84, 1.01325);
    assert_true(hold > 1 && hold < 600);
    less = more = rest;
    ll_linear_step(&less, hold * 0.999, ambient, po2);
    ll_linear_step(&more, hold * 1.001, ambient, po2);
    assert_true(ll_linear_is_within(&less, 1.01325));
    assert_false(ll_linear_is_within(&more, 1.01325));
}

/* Each compartment in turn 7 fsw over 33 fsw, of what its limit at the surface (the values of model/linear.c) leaves. */
static void every_linear_compartment_can_lead(void **state)
{
    (void)state;
    static const double limit[LL_LINEAR_COMPARTMENTS] = {120, 98, 78, 56, 48.5, 45.5, 44.5, 44.0, 43.5};
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++) {
        ll_linear tissues = {0};
        for (int j = 0; j < LL_LINEAR_COMPARTMENTS; j++)
            tissues.n2_fsw[j] = j == i ? 40 : 33;
        int leading = 0;
        assert_close(ll_linear_gradient_percent(&tissues, LL_BAR_PER_ATM, &leading), 700 / (limit[i] - 33), 1e-9, 0);
        assert_int_equal(leading, i + 1);
    }
}

/* Oxygen alone at 1 bar, the rest added on the way to 3 bar: one leg, or the two into which the first inert gas beside
 * 1.5 fsw of carbon dioxide (model/linear.c) cuts it. */
static void linear_model_cuts_where_inert_gas_begins(void **state)
{
    (void)state;
    const double ambient[] = {1, 3, NAN}, po2[] = {1, 1, NAN};
    const double share = 1.5 * LL_BAR_PER_FSW / 2, cut = 1 + 1.5 * LL_BAR_PER_FSW;
    ll_linear once, twice;
    ll_linear_rest(&once, 1.01325);
    twice = once;
    ll_linear_step(&once, 10, ambient, po2);
    ll_linear_step(&twice, 10 * share, (const double[]){1, cut}, (const double[]){1, 1});
    ll_linear_step(&twice, 10 * (1 - share), (const double[]){cut, 3}, (const double[]){1, 1});
    for (int i = 0; i < LL_LINEAR_COMPARTMENTS; i++)
        assert_close(once.n2_fsw[i], twice.n2_fsw[i], 1e-9, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(usual_interval_is_the_median, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(run_time_looks_at_no_sample_behind_the_last, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(rate_looks_back_between_samples, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(one_leg_on_open_circuit, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(legs_meet_where_the_diluent_takes_over, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(doses_of_legs_that_only_begin_alike, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(doses_of_a_day_reach_back_from_the_surfacing, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(depths_off_by_their_accuracy, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(every_compartment_can_lead, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(ascent_starts_within_a_metre_of_the_level, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(legs_come_in_order, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(recorded_lines_are_met_where_they_are, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(rich_diluent_leaves_nothing_inert_at_first, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(doses_halve_at_the_surface, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(doses_count_from_half_an_atmosphere, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(breaks_from_oxygen, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(every_linear_compartment_can_lead, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(linear_model_holds_as_long_as_it_says, open_arena, close_arena),
        cmocka_unit_test_setup_teardown(linear_model_cuts_where_inert_gas_begins, open_arena, close_arena),
    };
    return cmocka_run_group_tests_name("parts", tests, NULL, NULL);
}
