/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures that a log states, against its samples: 900 s, at most 20 m, 15 m on average, 7 degrees at the least. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "hand.h"
#include "replay/stated.h"

enum { NOTHING = LL_NOTES };

static const double time_s[] = {0, 150, 600, 900}, depth_m[] = {0, 20, 20, 0};
static const double temperature_c[] = {NAN, 9, 7, 8};

static size_t disagreements(double greatest, double average, double duration, double lowest, ll_disagreement *found)
{
    hand_log hand;
    ll_arena arena;
    ll_settings settings;
    ll_profile profile;
    ll_notes notes = {0};
    ll_arena_open(&arena, NULL);
    ll_settings_built_in(&settings);
    hand_open(&hand, 4, time_s, depth_m);
    hand.dive.temperature_c = temperature_c;
    hand.dive.stated_greatest_m = greatest;
    hand.dive.stated_average_m = average;
    hand.dive.stated_duration_s = duration;
    hand.dive.stated_lowest_c = lowest;
    assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, &notes, &profile, NULL), LL_OK);
    size_t count = ll_stated_disagreements(&profile, found);
    for (size_t i = 0; i < count; i++)
        assert_true(ll_has_note(&notes, found[i].code));
    ll_arena_close(&arena);
    return count;
}

static void one_figure_at_a_time(void **state)
{
    (void)state;
    static const struct {
        double greatest, average, duration, lowest;
        int code;
        double factor;
    } row[] = {
        {NAN, NAN, NAN, NAN, NOTHING, NAN},
        {22, NAN, NAN, NAN, NOTHING, NAN}, /* 1 m and 5 % */
        {18, NAN, NAN, NAN, NOTHING, NAN},
        {22.1, NAN, NAN, NAN, LL_NOTE_STATED_DEPTH, NAN},
        {0, NAN, NAN, NAN, LL_NOTE_STATED_DEPTH, NAN},
        {65.6, NAN, NAN, NAN, LL_NOTE_DEPTH_UNIT, 3.28}, /* the greatest depth in feet */
        {6.1, NAN, NAN, NAN, LL_NOTE_DEPTH_UNIT, 3.28},  /* the samples in feet */
        {2, NAN, NAN, NAN, LL_NOTE_DEPTH_UNIT, 10},
        {200, NAN, NAN, NAN, LL_NOTE_DEPTH_UNIT, 10},
        {120, NAN, NAN, NAN, LL_NOTE_STATED_DEPTH, NAN},
        {NAN, 18.4, NAN, NAN, NOTHING, NAN}, /* 2 m and 10 % of 15 m */
        {NAN, 18.6, NAN, NAN, LL_NOTE_STATED_AVERAGE, NAN},
        {NAN, NAN, 1290, NAN, NOTHING, NAN}, /* 5 min and 10 % */
        {NAN, NAN, 1291, NAN, LL_NOTE_STATED_DURATION, NAN},
        {NAN, NAN, 509, NAN, LL_NOTE_STATED_DURATION, NAN},
        {NAN, NAN, 15, NAN, LL_NOTE_TIME_UNIT, 60},
        {NAN, NAN, 54000, NAN, LL_NOTE_TIME_UNIT, 60},
        {NAN, NAN, NAN, 5, NOTHING, NAN},
        {NAN, NAN, NAN, 4.9, LL_NOTE_STATED_LOWEST, NAN},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        ll_disagreement found[LL_STATED_FIGURES];
        size_t count = disagreements(row[i].greatest, row[i].average, row[i].duration, row[i].lowest, found);
        assert_int_equal(count, row[i].code != NOTHING);
        if (count == 0)
            continue;
        assert_int_equal(found[0].code, row[i].code);
        assert_int_equal(isnan(found[0].factor), isnan(row[i].factor));
        if (!isnan(row[i].factor))
            assert_close(found[0].factor, row[i].factor, 0, 0);
    }
}

static void all_of_them(void **state)
{
    (void)state;
    ll_disagreement found[LL_STATED_FIGURES];
    assert_int_equal(disagreements(40, 30, 3000, 20, found), 4);
    assert_close(found[0].sampled, 20, 0, 0);
    assert_close(found[1].sampled, 900, 0, 0);
    assert_close(found[2].sampled, 15, 1e-12, 0);
    assert_close(found[3].sampled, 7, 0, 0);
    assert_close(found[3].stated, 20, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_figure_at_a_time),
        cmocka_unit_test(all_of_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
