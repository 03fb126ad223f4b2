/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mixes breathed deeper than the log states for them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "assess/mod.h"
#include "hand.h"

/* Air to 30 m, EAN50 from 300 s on, where the diver is at 21 m. */
static const double time_s[] = {0, 100, 200, 300, 400, 500};
static const double depth_m[] = {0, 30, 30, 21, 12, 0};

static hand_log hand;
static ll_settings settings;
static ll_profile profile;
static ll_arena arena;
static ll_notes notes;

static int open_all(void **state)
{
    (void)state;
    ll_arena_open(&arena, NULL);
    ll_settings_built_in(&settings);
    hand_open(&hand, 6, time_s, depth_m);
    hand_breathe(&hand, 3, HAND_EAN50, LL_OPEN_CIRCUIT, NAN);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    ll_arena_close(&arena);
    return 0;
}

/* The sentence of the note, or NULL. */
static const char *note(void)
{
    notes = (ll_notes){0};
    assert_int_equal(ll_profile_make(&hand.log, &hand.dive, &settings, &arena, NULL, &profile, NULL), LL_OK);
    assert_true(ll_mod_note(&profile, &arena, &notes));
    assert_true(notes.count <= 1);
    return notes.count ? notes.items[0].text : NULL;
}

static void what_the_log_does_not_state_is_not_asked(void **state)
{
    (void)state;
    assert_null(note());
    hand.mix[HAND_EAN50].maximum_po2_bar = 0; /* no reading */
    hand.mix[HAND_EAN50].maximum_depth_m = 0;
    assert_null(note());
    hand.mix[HAND_OXYGEN].maximum_depth_m = 6; /* not breathed */
    assert_null(note());
}

static void by_more_than_half_a_metre(void **state)
{
    (void)state;
    hand.mix[HAND_AIR].maximum_depth_m = 29.5;
    assert_null(note());
    hand.mix[HAND_AIR].maximum_depth_m = 29.4;
    assert_string_equal(note(), "air was breathed as deep as 30 m; from 100 s on it was deeper than 29.4 m, the greatest depth "
                                "that the log states for it");
}

/* 1.45 bar in half the gas are 2.9 bar: (2.9 - 1.01325) / 0.1 = 18.8675 m. */
static void by_the_greatest_po2_stated(void **state)
{
    (void)state;
    hand.mix[HAND_EAN50].maximum_po2_bar = 1.45;
    assert_string_equal(note(), "EAN50 was breathed as deep as 21 m; from 300 s on it was deeper than 18.9 m, where it has the "
                                "greatest PO2 that the log states for it");
    hand.mix[HAND_EAN50].maximum_depth_m = 18; /* the shallower counts */
    assert_string_equal(note(), "EAN50 was breathed as deep as 21 m; from 300 s on it was deeper than 18 m, the greatest depth "
                                "that the log states for it");
    hand.mix[HAND_EAN50].maximum_depth_m = 30;
    hand.mix[HAND_EAN50].maximum_po2_bar = 1.6;
    assert_null(note());
}

/* On a loop the mix is a diluent. */
static void a_loop_is_not_asked_and_further_mixes_are_counted(void **state)
{
    (void)state;
    hand.mix[HAND_AIR].maximum_depth_m = 20;
    hand.mix[HAND_EAN50].maximum_depth_m = 10;
    assert_non_null(note());
    assert_int_equal(notes.items[0].count, 2);
    hand.span[1].circuit = LL_CLOSED_CIRCUIT;
    assert_non_null(note());
    assert_int_equal(notes.items[0].count, 1);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, open_all, close_all)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(what_the_log_does_not_state_is_not_asked),
        CASE(by_more_than_half_a_metre),
        CASE(by_the_greatest_po2_stated),
        CASE(a_loop_is_not_asked_and_further_mixes_are_counted),
    };
    return cmocka_run_group_tests_name("mod", tests, NULL, NULL);
}
