/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The recorder's word on a dive made by hand. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "assess/word.h"
#include "close.h"
#include "hand.h"
#include "replay/instants.h"

enum { SAMPLES = 9 };

/* 40 m for 25 min, stops at 9, 6 and 3 m; the ascent starts at sample 2. */
static const double time_s[SAMPLES] = {0, 140, 1640, 1850, 1910, 1930, 2200, 2220, 2900};
static const double depth_m[SAMPLES] = {0, 40, 40, 9, 9, 6, 6, 3, 0};

static ll_arena arena;
static ll_settings settings;
static ll_limits limits;
static hand_log hand;
static ll_profile profile;
static ll_track track;
static ll_word word;

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

static void ask(ll_quantities more)
{
    ll_state start;
    ll_findings findings;
    assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, NULL, &profile, NULL), LL_OK);
    ll_state_rest(&start, settings.model, profile.surface_bar);
    assert_int_equal(ll_replay_columns(&profile, &settings, &start, ll_word_quantities(&hand.dive) | more |
                                       ll_finding_quantities(LL_KIND(LL_FINDING_OWN_STOP)), &arena, &track, NULL),
                     LL_OK);
    ll_surfacing surfacing = ll_surfacing_of(&track);
    assert_int_equal(ll_findings_make(&track, &settings, &limits, &surfacing, LL_KIND(LL_FINDING_OWN_STOP), &arena,
                                      &findings, NULL),
                     LL_OK);
    assert_true(ll_word_make(&track, &start, &findings, &arena, &word));
}

static void a_silent_recorder_leaves_nothing(void **state)
{
    (void)state;
    hand_open(&hand, SAMPLES, time_s, depth_m);
    ask(0);
    assert_false(word.any);
    assert_false(word.stops.asked);
    assert_int_equal(ll_word_quantities(&hand.dive), 0);
}

/* A ladder of 12 and 9 m at the start of the ascent; 6 m while the diver is at 6; a safety stop is not asked for. */
static void own_stops_kept(void **state)
{
    (void)state;
    static const ll_own_stop stops[] = {
        {2, true, 9, 120, }, {2, true, 12, 60}, {3, true, 9, 60}, {5, true, 6, 240}, {7, false, 5, 180}};
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand.dive.own_stop = stops;
    hand.dive.own_stops = 5;
    ask(0);
    assert_true(word.any && word.stops.asked);
    assert_close(word.stops.from_s, 1640, 0, 0);
    assert_close(word.stops.to_s, 1930, 0, 0);
    assert_close(word.stops.deepest_m, 12, 0, 0);
    assert_close(word.stops.above_s, 0, 0, 0);
    assert_true(isnan(word.stops.above_m));
    const ll_word_figure *stop = &word.figure[LL_WORD_STOP];
    assert_true(stop->said && stop->compared);
    assert_close(stop->ascent.time_s, 1640, 0, 0);
    assert_close(stop->ascent.recorder, 12, 0, 0);
    assert_close(stop->ascent.duration_s, 60, 0, 0);
    assert_close(stop->ascent.replay, track.column[LL_STOP][2], 0, 0);
    assert_close(stop->surfacing.time_s, 1930, 0, 0);
    assert_close(stop->surfacing.recorder, 6, 0, 0);
    assert_close(stop->surfacing.replay, track.column[LL_STOP][5], 0, 0);
}

/* 9 m asked for from 1850 to 2200 s, the diver at 9 m until 1910 and at 6 m from 1930 s: above for 290 s less
 * nothing, by 3 m. */
static void own_stops_not_kept(void **state)
{
    (void)state;
    static const ll_own_stop stops[] = {{3, true, 9, 60}, {4, true, 9, 60}, {5, true, 9, 60}, {6, true, 9, 60}};
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand.dive.own_stop = stops;
    hand.dive.own_stops = 4;
    ask(0);
    assert_close(word.stops.above_s, 290, 1e-3, 0);
    assert_close(word.stops.above_m, 3, 1e-12, 0);
    assert_false(word.figure[LL_WORD_STOP].ascent.known);
    assert_true(word.figure[LL_WORD_STOP].farthest.known);
}

static ll_series series(size_t count, const uint32_t *sample, const double *value)
{
    return (ll_series){.tank_use = LL_NONE, .count = count, .sample = sample, .value = value};
}

/* The last value before the moment, with its own time; the no-stop time is that of the whole column. */
static void the_no_stop_time_is_replayed_where_it_is_shown(void **state)
{
    (void)state;
    static const uint32_t sample[] = {0, 1, 6};
    static const double value[] = {5940, 540, 0};
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand.dive.no_stop = series(3, sample, value);
    ask(LL_SET(LL_NO_STOP));
    const ll_word_figure *figure = &word.figure[LL_WORD_NO_STOP];
    assert_close(figure->ascent.time_s, 140, 0, 0);
    assert_close(figure->ascent.recorder, 540, 0, 0);
    assert_close(figure->ascent.replay, track.column[LL_NO_STOP][1], 1e-6, 0);
    assert_close(figure->surfacing.time_s, 2200, 0, 0);
    assert_close(figure->surfacing.replay, track.column[LL_NO_STOP][6], 1e-6, 0);
    assert_false(figure->farthest.known);
    assert_int_equal(ll_word_quantities(&hand.dive), 0);
}

static void a_gradient_is_a_fraction_in_the_log(void **state)
{
    (void)state;
    static const uint32_t sample[] = {2, 5, 8};
    static const double value[] = {0.1, 0.5, 0.74};
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand.dive.own_gradient = series(3, sample, value);
    ask(0);
    const ll_word_figure *figure = &word.figure[LL_WORD_GRADIENT];
    assert_close(figure->surfacing.recorder, 74, 1e-12, 0);
    assert_close(figure->surfacing.replay, track.column[LL_GRADIENT][8], 0, 0);
    double farthest = 0;
    for (int i = 0; i < 3; i++)
        farthest = fmax(farthest, fabs(value[i] * 100 - track.column[LL_GRADIENT][sample[i]]));
    assert_close(fabs(figure->farthest.recorder - figure->farthest.replay), farthest, 1e-12, 0);
}

/* 0.12 may be a fraction or an eighth of a percent; 12 in the same dive settles it. */
static void cns_is_compared_only_where_its_scale_is_settled(void **state)
{
    (void)state;
    static const uint32_t sample[] = {1, 2, 8};
    static const double unsettled[] = {0, 0.12, 0.14}, settled[] = {0.3, 12, 14};
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand.dive.own_cns = series(3, sample, unsettled);
    ask(0);
    const ll_word_figure *figure = &word.figure[LL_WORD_CNS];
    assert_true(figure->said && !figure->compared && !figure->farthest.known);
    assert_close(figure->surfacing.recorder, 0.14, 0, 0);
    hand.dive.own_cns = series(3, sample, settled);
    ask(0);
    assert_true(figure->compared && figure->farthest.known);
    assert_close(figure->surfacing.recorder, 14, 0, 0);
    assert_close(figure->surfacing.replay, track.column[LL_CNS][8], 0, 0);
}

static void otu_and_what_lies_after_the_surfacing(void **state)
{
    (void)state;
    static const double time[] = {0, 140, 1640, 1910, 2000, 2100}, depth[] = {0, 40, 40, 0, 0, 0};
    static const uint32_t sample[] = {1, 3, 5};
    static const double value[] = {2, 31, 99};
    hand_open(&hand, 6, time, depth);
    hand.dive.own_otu = series(3, sample, value);
    ask(0);
    const ll_word_figure *figure = &word.figure[LL_WORD_OTU];
    assert_close(figure->surfacing.time_s, 1910, 0, 0);
    assert_close(figure->surfacing.recorder, 31, 0, 0);
    assert_true(figure->farthest.recorder < 99);
}

static void unknown_gas_leaves_the_replay_without_a_word(void **state)
{
    (void)state;
    static const uint32_t sample[] = {1, 6};
    static const double value[] = {540, 0};
    hand_open(&hand, SAMPLES, time_s, depth_m);
    hand_breathe(&hand, 1, LL_MIX_UNKNOWN, LL_OPEN_CIRCUIT, NAN);
    hand.dive.no_stop = series(2, sample, value);
    ask(0);
    assert_true(word.any);
    assert_true(isnan(word.figure[LL_WORD_NO_STOP].surfacing.replay));
    assert_close(word.figure[LL_WORD_NO_STOP].surfacing.recorder, 0, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_silent_recorder_leaves_nothing),
        cmocka_unit_test(own_stops_kept),
        cmocka_unit_test(own_stops_not_kept),
        cmocka_unit_test(the_no_stop_time_is_replayed_where_it_is_shown),
        cmocka_unit_test(a_gradient_is_a_fraction_in_the_log),
        cmocka_unit_test(cns_is_compared_only_where_its_scale_is_settled),
        cmocka_unit_test(otu_and_what_lies_after_the_surfacing),
        cmocka_unit_test(unknown_gas_leaves_the_replay_without_a_word),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
