/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How firm: a finding is moved across its limit by half the accuracy and turns from firm to marginal and back. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "close.h"
#include "finding/firm.h"
#include "hand.h"
#include "replay/lane.h"

static ll_arena arena;
static ll_settings settings;
static ll_limits limits;
static hand_log hand;
static ll_profile profile;
static ll_track track;
static ll_findings findings;
static ll_firmness firmness;

static int open_all(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    ll_settings_built_in(&settings);
    ll_limits_built_in(&limits);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    ll_arena_close(&arena);
    return 0;
}

/* What is asked of some findings only, from a severity up, says the same of those, and nothing of the others. */
static void ask_less(const ll_state *start, const ll_surfacing *surfacing, ll_kinds kinds, ll_severity least)
{
    ll_findings some;
    assert_int_equal(ll_findings_make(&track, &settings, &limits, surfacing, LL_ALL_KINDS, &arena, &some, NULL), LL_OK);
    assert_int_equal(ll_firm_stand(&track, &settings, &limits, start, kinds, least, &arena, &some, NULL), LL_OK);
    assert_int_equal(some.count, findings.count);
    for (size_t i = 0; i < some.count; i++) {
        const ll_finding *whole = &findings.items[i], *part = &some.items[i];
        if (!(kinds & LL_KIND(part->kind)) || part->severity < least)
            assert_int_equal(part->firm_severity, part->severity);
        else if (whole->firm_severity >= least)
            assert_int_equal(part->firm_severity, whole->firm_severity);
        else
            assert_true(part->firm_severity < least);
    }
}

static void ask(void)
{
    ll_state start;
    assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, NULL, &profile, NULL), LL_OK);
    ll_state_rest(&start, settings.model, profile.surface_bar);
    assert_int_equal(ll_replay_columns(&profile, &settings, &start, ll_finding_quantities(LL_ALL_KINDS), &arena, &track,
                                       NULL),
                     LL_OK);
    ll_surfacing surfacing = ll_surfacing_of(&track);
    assert_int_equal(ll_findings_make(&track, &settings, &limits, &surfacing, LL_ALL_KINDS, &arena, &findings, NULL),
                     LL_OK);
    assert_int_equal(ll_firm_make(&track, &settings, &limits, &start, true, &arena, &findings, &firmness, NULL), LL_OK);
    for (int least = LL_NOTE; least <= LL_SERIOUS; least++) {
        ask_less(&start, &surfacing, LL_ALL_KINDS, (ll_severity)least);
        ask_less(&start, &surfacing, ll_kinds_of(LL_CONDUCT), (ll_severity)least);
    }
}

static const ll_finding *find(ll_kind kind)
{
    for (size_t i = 0; i < findings.count; i++)
        if (findings.items[i].kind == kind)
            return &findings.items[i];
    fail_msg("no finding of kind %d", (int)kind);
    return NULL;
}

/* Five minutes at a depth on air, then up at 9 m/min. */
static void stay_at(double depth_m)
{
    static double time[4], depth[4];
    time[1] = 120;
    time[2] = 420;
    time[3] = 420 + depth_m / 9 * 60;
    depth[1] = depth[2] = depth_m;
    hand_open(&hand, 4, time, depth);
}

static void accuracy_is_never_more_than_the_depth(void **state)
{
    (void)state;
    assert_close(ll_depth_accuracy_m(0), 0, 0, 0);
    assert_close(ll_depth_accuracy_m(0.2), 0.2, 0, 0);
    assert_close(ll_depth_accuracy_m(10), 0.4, 1e-15, 0);
    assert_close(ll_depth_accuracy_m(60), 0.9, 1e-15, 0);
}

/* END over 30 m on air is the depth itself (oxygen counts): the accuracy at 30 m is 0.6 m. At 30.3 m, half of it above the
 * limit, a shallower record has no finding; at 32 m (accuracy 0.62) it has, and in fresh water too. So has density, over
 * 5.2 g/L from 30.93 m on. */
static void half_the_accuracy_over_a_limit_is_marginal(void **state)
{
    (void)state;
    stay_at(30.3);
    ask();
    const ll_finding *f = find(LL_FINDING_NARCOSIS);
    assert_int_equal(f->severity, LL_NOTE);
    assert_int_equal(f->firm_severity, LL_NO_FINDING);
    assert_true(f->hangs_on & (1u << LL_HANGS_DEPTH));
    stay_at(32);
    ask();
    f = find(LL_FINDING_NARCOSIS);
    assert_int_equal(f->firm_severity, LL_NOTE);
    assert_int_equal(f->hangs_on, 0);
    assert_int_equal(findings.firm_by_class[LL_GAS][LL_NOTE], 2);
    assert_int_equal(findings.by_class[LL_GAS][LL_NOTE], 2);
}

/* A caution at 40.4 m that is a note at 39.7 m: it stands as a note. */
static void a_weight_may_be_marginal_while_the_finding_stands(void **state)
{
    (void)state;
    stay_at(40.4);
    ask();
    const ll_finding *f = find(LL_FINDING_NARCOSIS);
    assert_int_equal(f->severity, LL_CAUTION);
    assert_int_equal(f->firm_severity, LL_NOTE);
    assert_int_equal(f->hangs_on, 1u << LL_HANGS_DEPTH);
}

/* In fresh water 31.1 m weigh 31.1 * 0.0980665 bar: gas density falls from 5.215 to 5.138 g/L. */
static void density_hangs_on_the_water_too(void **state)
{
    (void)state;
    stay_at(31.1);
    ask();
    const ll_finding *f = find(LL_FINDING_DENSITY);
    assert_int_equal(f->firm_severity, LL_NO_FINDING);
    assert_int_equal(f->hangs_on, (1u << LL_HANGS_DEPTH) | (1u << LL_HANGS_WATER));
}

/* Oxygen at 6.2 m is 1.612 atm; one percentage point less gives 1.596, and so does 0.36 m less of depth. */
static void oxygen_hangs_on_the_mix(void **state)
{
    (void)state;
    static const double time[] = {0, 180, 480, 600, 900, 960}, depth[] = {0, 20, 20, 6.2, 6.2, 0};
    hand_open(&hand, 6, time, depth);
    hand_breathe(&hand, 3, HAND_OXYGEN, LL_OPEN_CIRCUIT, NAN);
    ask();
    const ll_finding *f = find(LL_FINDING_OXYGEN_HIGH);
    assert_int_equal(f->severity, LL_NOTE);
    assert_int_equal(f->firm_severity, LL_NO_FINDING);
    assert_true(f->hangs_on & (1u << LL_HANGS_MIX));
    assert_true(f->hangs_on & (1u << LL_HANGS_DEPTH));
}

/* A steady rise: 12.3 m/min less 0.1 m in 15 s (0.4 m/min) is under 12, 12.7 is not. Deeper and shallower records rise by
 * 1 % more or less. */
static void a_rate_hangs_on_its_resolution(void **state)
{
    (void)state;
    static double time[200], depth[200];
    for (int hard = 0; hard < 2; hard++) {
        double rate = hard ? 12.7 : 12.3;
        size_t count = 0;
        time[count] = depth[count] = 0;
        count++;
        for (double t = 120; t <= 420; t += 5) {
            time[count] = t;
            depth[count++] = 25;
        }
        while (depth[count - 1] > 0) {
            time[count] = time[count - 1] + 5;
            depth[count] = fmax(0, depth[count - 1] - rate / 12);
            count++;
        }
        hand_open(&hand, count, time, depth);
        ask();
        const ll_finding *f = find(LL_FINDING_ASCENT);
        assert_int_equal(f->firm_severity, hard ? LL_CAUTION : LL_NO_FINDING);
        assert_int_equal(f->hangs_on, hard ? 0 : 1u << LL_HANGS_RATE);
    }
}

/* Metres above the ceiling at the peak must exceed the accuracy there, whatever the shifted records say. */
static void a_ceiling_within_the_accuracy_is_marginal(void **state)
{
    (void)state;
    for (int deep = 0; deep < 2; deep++) {
        static double time[7], depth[7];
        const double times[] = {0, 120, 1500, 1740, 1800, 3600, 3700}, up = deep ? 4.0 : 0.4;
        for (int i = 0; i < 7; i++)
            time[i] = times[i];
        depth[1] = depth[2] = 40;
        depth[3] = depth[4] = 12;
        depth[5] = 12;
        hand_open(&hand, 7, time, depth);
        assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, NULL, &profile, NULL), LL_OK);
        ll_state start;
        ll_state_rest(&start, settings.model, profile.surface_bar);
        ll_quantities ceiling = LL_SET(LL_CEILING);
        assert_int_equal(ll_replay_columns(&profile, &settings, &start, ceiling, &arena, &track, NULL), LL_OK);
        depth[4] = track.column[LL_CEILING][4] - up; /* once above the ceiling, then back to 12 m until all is done */
        hand_open(&hand, 7, time, depth);
        ask();
        const ll_finding *f = find(LL_FINDING_CEILING);
        assert_true(f->peak > 0.1);
        assert_int_equal(f->peak > ll_depth_accuracy_m(depth[4]), deep);
        assert_int_equal(f->firm_severity == LL_NO_FINDING, !deep);
        if (!deep)
            assert_true(f->hangs_on & (1u << LL_HANGS_DEPTH));
    }
}

/* --- depths that a standard limits -------------------------------------------------------------------------------- */

/* To half oxygen at this depth after five minutes at 30 m on air; limit 1 m. */
static void switch_at(double depth_m, double stated_m)
{
    static double time[5] = {0, 120, 420, 480, 780}, depth[5] = {0, 30, 30};
    depth[3] = depth_m;
    hand_open(&hand, 5, time, depth);
    hand_breathe(&hand, 3, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    hand.mix[HAND_EAN50].maximum_depth_m = stated_m;
    limits.of[LL_FINDING_SWITCH_DEPTH] = (ll_limit){1, NAN, NAN, LL_FROM_STANDARD, "course"};
    ask();
}

/* The log states 21 m. At 22 m the accuracy is 0.52 m: half of it over the limit at 22.26 m, all of it at 22.6 m. */
static void a_deep_switch_hangs_on_the_depth(void **state)
{
    (void)state;
    switch_at(22.26, 21);
    const ll_finding *f = find(LL_FINDING_SWITCH_DEPTH);
    assert_int_equal(f->firm_severity, LL_NO_FINDING);
    assert_int_equal(f->hangs_on, 1u << LL_HANGS_DEPTH);
    switch_at(22.6, 21);
    f = find(LL_FINDING_SWITCH_DEPTH);
    assert_int_equal(f->firm_severity, LL_NOTE);
    assert_int_equal(f->hangs_on, 0);
}

/* By 1.6 atm: 22.29 m, with one percentage point less of oxygen 22.95 m. At 23.9 m the shallower record is 1.07 m deeper than
 * that, the one with less oxygen 0.95 m, and in fresh water the greatest depth is 22.73 m. */
static void a_deep_switch_hangs_on_the_mix(void **state)
{
    (void)state;
    switch_at(23.9, NAN);
    const ll_finding *f = find(LL_FINDING_SWITCH_DEPTH);
    assert_int_equal(f->firm_severity, LL_NO_FINDING);
    assert_int_equal(f->hangs_on, 1u << LL_HANGS_MIX);
}

/* A quarter of an hour at 9 m with stops owed, half a minute of it deeper by so much; limit 0.5 m. */
static void sag_by(double metres)
{
    static double time[9] = {0, 120, 1500, 1740, 1800, 1815, 1845, 1860, 2640}, depth[9] = {0, 40, 40, 9, 9, 9, 9, 9, 9};
    depth[5] = depth[6] = 9 + metres;
    hand_open(&hand, 9, time, depth);
    limits.of[LL_FINDING_STOP_DEPTH] = (ll_limit){0.5, NAN, NAN, LL_FROM_STANDARD, "course"};
    ask();
}

/* At 9.7 m the accuracy is 0.4 m: half of it over the limit, 0.7 m, and all of it, 1 m. */
static void half_the_accuracy_off_a_level_is_marginal(void **state)
{
    (void)state;
    sag_by(0.7);
    const ll_finding *f = find(LL_FINDING_STOP_DEPTH);
    assert_int_equal(f->severity, LL_NOTE);
    assert_int_equal(f->firm_severity, LL_NO_FINDING);
    assert_int_equal(f->hangs_on, 1u << LL_HANGS_DEPTH);
    sag_by(1);
    f = find(LL_FINDING_STOP_DEPTH);
    assert_int_equal(f->firm_severity, LL_NOTE);
    assert_int_equal(f->hangs_on, 0);
    assert_int_equal(findings.firm_by_class[LL_CONDUCT][LL_NOTE], 1);
}

static void ranges_hold_the_figures(void **state)
{
    (void)state;
    static const double time[] = {0, 120, 1500, 2000, 2060}, depth[] = {0, 40, 40, 6, 0};
    hand_open(&hand, 5, time, depth);
    ask();
    ll_owed owed;
    assert_true(ll_owed_of(&track, &settings, &arena, &owed));
    assert_true(firmness.replayed);
    assert_true(firmness.owed_s.least < owed.way.owed_s && owed.way.owed_s < firmness.owed_s.greatest);
    assert_true(firmness.cns_percent.least < track.cns_at_surfacing_percent);
    assert_true(firmness.cns_percent.greatest > track.cns_at_surfacing_percent);
    assert_true(firmness.gradient_percent.least < firmness.gradient_percent.greatest);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, open_all, close_all)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(accuracy_is_never_more_than_the_depth),
        CASE(half_the_accuracy_over_a_limit_is_marginal),
        CASE(a_weight_may_be_marginal_while_the_finding_stands),
        CASE(density_hangs_on_the_water_too),
        CASE(oxygen_hangs_on_the_mix),
        CASE(a_rate_hangs_on_its_resolution),
        CASE(a_ceiling_within_the_accuracy_is_marginal),
        CASE(a_deep_switch_hangs_on_the_depth),
        CASE(a_deep_switch_hangs_on_the_mix),
        CASE(half_the_accuracy_off_a_level_is_marginal),
        CASE(ranges_hold_the_figures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
