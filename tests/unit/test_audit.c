/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Audits of histories drawn by hand, whose answers are known by construction. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "assess/audit_parts.h"
#include "audit_world.h"
#include "close.h"

static audit_world world;

static int open_world(void **state)
{
    (void)state;
    world_open(&world);
    return 0;
}

static int close_world(void **state)
{
    (void)state;
    world_close(&world);
    return 0;
}

static void assert_stands(const ll_dive *dive, ll_standing standing, ll_reason reason)
{
    const ll_audit_dive *found = world_found(&world, dive);
    assert_int_equal(found->stand.standing, standing);
    assert_int_equal(found->stand.reason, reason);
    assert_true((found->stand.why != NULL) == (reason != LL_REASON_NONE));
}

/* --- calendar ------------------------------------------------------------------------------------------------------- */

/* Months clamped to their end first, then days: W3C XML Schema Part 2: Datatypes, 2nd ed. 2004, appendix E (its
 * 2000-01 less P3M is 1999-10), and calendars. */
static void days_before_are_calendar_days(void **state)
{
    (void)state;
    static const struct {
        const char *day;
        ll_period period;
        const char *before;
    } rows[] = {
        {"2026-08-31", {.months = 6}, "2026-02-28"}, {"2024-08-31", {.months = 6}, "2024-02-29"},
        {"2024-02-29", {.years = 1}, "2023-02-28"},  {"2000-01-12", {.months = 3}, "1999-10-12"},
        {"2026-03-31", {.months = 1}, "2026-02-28"}, {"2026-03-01", {.days = 1}, "2026-02-28"},
        {"2026-01-15", {.months = 1, .days = 20}, "2025-11-25"}, {"2026-11-25", {.years = 1, .months = 6}, "2025-05-25"},
        {"2026-12-31", {.months = 10}, "2026-02-28"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        int64_t day = 0, before = 0;
        assert_true(ll_day_read(rows[i].day, 10, &day) && ll_day_read(rows[i].before, 10, &before));
        assert_int_equal(ll_day_before(day, &rows[i].period), before);
    }
    const ll_period all = {.years = 99999, .months = 99999};
    int64_t today;
    assert_true(ll_day_read("2026-11-25", 10, &today));
    assert_true(ll_day_before(today, &all) < -100000);
}

/* --- classes -------------------------------------------------------------------------------------------------------- */

static void an_empty_history_meets_nothing(void **state)
{
    (void)state;
    world_ask(&world, 1, NAN, 0);
    world_ask(&world, NAN, 0, 0);
    world_audit(&world);
    assert_int_equal(world.audit.count, 0);
    assert_int_equal(world.audit.answer[0].verdict, LL_NOT_REACHED);
    assert_int_equal(world.audit.answer[1].verdict, LL_REACHED);
    assert_int_equal(world.audit.verdict, LL_NOT_REACHED);
}

static void claims_alone_hold_or_do_not(void **state)
{
    (void)state;
    for (int i = 0; i < 5; i++)
        world_claim(&world, 5, 1 + i, 600, 20 + i, 40);
    world_ask(&world, 5, NAN, 0);
    world_ask(&world, 6, NAN, 0);
    world_ask(&world, 1, NAN, LL_ASKED(LL_ASKED_DECOMPRESSION))->decompression = true;
    world_ask(&world, 2, NAN, LL_ASKED(LL_ASKED_DEEPEST_FROM))->deepest_from_m = 23;
    world_ask(&world, NAN, 0, LL_ASKED(LL_ASKED_DECOMPRESSION))->decompression = true;
    world_ask(&world, NAN, 1, LL_ASKED(LL_ASKED_DEEPEST_FROM))->deepest_from_m = 23;
    world_audit(&world);
    static const ll_reach expected[] = {LL_REACHED_IF_CLAIMS_HOLD, LL_NOT_REACHED, LL_NOT_REACHED,
                                        LL_REACHED_IF_CLAIMS_HOLD, LL_REACHED_IF_CLAIMS_HOLD,
                                        LL_REACHED_IF_CLAIMS_HOLD};
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        assert_int_equal(world.audit.answer[i].verdict, expected[i]);
    assert_int_equal(world.audit.in[LL_CLAIMED], 5);
    assert_close(world.audit.answer[2].unsettled, 5, 0, 0);
    assert_int_equal(world.audit.answer[3].count, 2);
}

static void what_contradicts_itself_is_set_aside(void **state)
{
    (void)state;
    ll_dive *fine = world_record(&world, 3, 1, 600, 30, 40, 10, 2, 1);
    ll_dive *deeper = world_record(&world, 3, 2, 600, 31, 41, 10, 2, 2);
    ll_dive *within = world_record(&world, 3, 3, 600, 32, 42, 10, 2, 3);
    ll_dive *longer = world_record(&world, 3, 4, 600, 33, 43, 10, 2, 4);
    ll_dive *zero = world_record(&world, 3, 5, 600, 34, 44, 10, 2, 5);
    ll_dive *later = world_record(&world, 11, 26, 600, 35, 45, 10, 2, 6);
    ll_dive *today = world_record(&world, 11, 25, 600, 36, 46, 10, 2, 7);
    ll_dive *shallow = world_record(&world, 3, 8, 600, 2.5, 47, 10, 0, 1);
    ll_dive *jump = world_record(&world, 3, 9, 600, 37, 48, 10, 2, 8);
    ll_dive *abyss = world_claim(&world, 3, 10, 600, 331, 30);
    /* Greatest depth recorded: 31 or 32 m. Off by more than 1 m + 5 %, and by no more. */
    deeper->stated_greatest_m = 31 + 1 + 0.05 * 31 + 0.2;
    within->stated_greatest_m = 32 + 1 + 0.05 * 32 - 0.2;
    longer->stated_duration_s = 43 * 60 * 1.1 + 300 + 5;
    zero->stated_duration_s = 0;
    world.depth_m[jump - world.dive][100] = jump->depth_m[99] - 25;
    world_audit(&world);
    assert_stands(fine, LL_RECORDED, LL_REASON_NONE);
    assert_stands(deeper, LL_SET_ASIDE, LL_REASON_DEPTH);
    assert_stands(within, LL_RECORDED, LL_REASON_NONE);
    assert_stands(longer, LL_SET_ASIDE, LL_REASON_DURATION);
    assert_stands(zero, LL_SET_ASIDE, LL_REASON_NOT_POSITIVE);
    assert_stands(later, LL_SET_ASIDE, LL_REASON_AFTER_DAY);
    assert_stands(today, LL_RECORDED, LL_REASON_NONE);
    assert_stands(shallow, LL_SET_ASIDE, LL_REASON_NO_DIVE);
    assert_stands(jump, LL_SET_ASIDE, LL_REASON_RATE);
    assert_stands(abyss, LL_SET_ASIDE, LL_REASON_TOO_DEEP);
}

static void a_second_recorder_is_a_witness(void **state)
{
    (void)state;
    ll_dive *coarse = world_record(&world, 4, 1, 600, 30, 40, 20, 3, 2);
    ll_dive *dense = world_record(&world, 4, 1, 604, 30.4, 40, 10, 3, 2);
    ll_dive *third = world_record(&world, 4, 1, 607, 30.2, 40, 20, 3, 2);
    ll_dive *other = world_record(&world, 4, 1, 800, 30, 40, 10, 3, 5);
    world_audit(&world);
    assert_stands(dense, LL_RECORDED, LL_REASON_NONE);
    assert_stands(coarse, LL_MERGED, LL_REASON_SAME);
    assert_stands(third, LL_MERGED, LL_REASON_SAME);
    assert_stands(other, LL_RECORDED, LL_REASON_NONE);
    assert_int_equal(world_found(&world, dense)->witnesses, 2);
    assert_ptr_equal(world.audit.dive[world_found(&world, third)->stand.other].entry->dive, dense);
}

/* The kept dive is carried on as if its witness, which began earlier, were not there. */
static void a_witness_loads_no_tissues(void **state)
{
    (void)state;
    world_record(&world, 4, 1, 604, 40, 40, 10, 3, 2);
    ll_dive *next = world_record(&world, 4, 1, 700, 30, 40, 10, 3, 5);
    world_audit(&world);
    double owed = world_found(&world, next)->owed_s;
    world_record(&world, 4, 1, 600, 40.3, 40, 20, 3, 2);
    world_audit(&world);
    assert_close(world_found(&world, next)->owed_s, owed, 1e-9, 0);
    assert_true(owed > 60);
}

static void what_overlaps_is_set_aside_but_one(void **state)
{
    (void)state;
    ll_dive *first = world_record(&world, 4, 1, 600, 30, 40, 10, 3, 2);
    ll_dive *second = world_record(&world, 4, 1, 620, 18, 60, 10, 6, 5);
    ll_dive *behind = world_record(&world, 4, 1, 641, 22, 50, 10, 4, 3);
    ll_dive *claimed = world_claim(&world, 4, 1, 590, 12, 30);
    ll_dive *stated = world_claim(&world, 4, 1, 610, 29, 35);
    world_audit(&world);
    assert_stands(first, LL_RECORDED, LL_REASON_NONE);
    assert_stands(second, LL_SET_ASIDE, LL_REASON_OVERLAPS);
    assert_stands(behind, LL_RECORDED, LL_REASON_NONE);
    assert_stands(claimed, LL_SET_ASIDE, LL_REASON_OVERLAPS);
    assert_stands(stated, LL_MERGED, LL_REASON_SAME_STATED);
}

static void repeats_under_another_date_are_seen(void **state)
{
    (void)state;
    ll_dive *first = world_record(&world, 4, 1, 600, 30, 40, 10, 3, 2);
    ll_dive *copy = world_record(&world, 6, 7, 660, 30, 40, 10, 3, 2);
    ll_dive *resampled = world_record(&world, 6, 9, 660, 30, 40, 5, 3, 2);
    ll_dive *other = world_record(&world, 6, 8, 660, 30, 40, 10, 3, 4);
    ll_dive *coarse = world_record(&world, 6, 10, 660, 30, 40, 30, 3, 2);
    world_audit(&world);
    assert_stands(first, LL_RECORDED, LL_REASON_NONE);
    assert_stands(copy, LL_SET_ASIDE, LL_REASON_REPEATS);
    assert_stands(resampled, LL_SET_ASIDE, LL_REASON_REPEATS);
    assert_stands(other, LL_RECORDED, LL_REASON_NONE);
    assert_stands(coarse, LL_RECORDED, LL_REASON_NONE);
    assert_non_null(strstr(world_found(&world, copy)->stand.why, "within 0.1 m over 241 samples"));
}

/* A platform at 20 m, every time the same: honest dives that look alike. */
static void platform_dives_are_left_alone(void **state)
{
    (void)state;
    for (int i = 0; i < 6; i++)
        world_record(&world, 5, 1 + i, 600, 20, 40, i % 2 ? 20 : 30, 0, 0);
    world_audit(&world);
    assert_int_equal(world.audit.in[LL_RECORDED], 6);
}

/* --- attributes ------------------------------------------------------------------------------------------------------ */

static void bounds_are_included(void **state)
{
    (void)state;
    ll_dive *on = world_record(&world, 5, 25, 600, 36, 40, 10, 2, 1);
    world_record(&world, 5, 24, 600, 35.9, 40, 10, 2, 3);
    ll_requirement *depth = world_ask(&world, 1, NAN, LL_ASKED(LL_ASKED_DEEPEST_FROM) | LL_ASKED(LL_ASKED_DEEPEST_TO));
    depth->deepest_from_m = depth->deepest_to_m = 36;
    world_ask(&world, 1, NAN, LL_ASKED(LL_ASKED_WITHIN))->within = (ll_period){.months = 6};
    world_ask(&world, 1, NAN, LL_ASKED(LL_ASKED_AMONG_LAST))->among_last = 1;
    world_ask(&world, 2, NAN, LL_ASKED(LL_ASKED_SHORTEST))->shortest = (ll_period){.seconds = 2400};
    world_ask(&world, 2, NAN, LL_ASKED(LL_ASKED_SHORTEST))->shortest = (ll_period){.seconds = 2401};
    world_audit(&world);
    const ll_requirement_answer *answer = world.audit.answer;
    for (int i = 0; i < 3; i++) {
        assert_int_equal(answer[i].count, 1);
        assert_ptr_equal(world.audit.dive[answer[i].dive[0]].entry->dive, on);
        assert_int_equal(answer[i].shorts, 1);
    }
    assert_string_equal(answer[0].just_short[0].why, "deepest 35.9 m, asked 36 m");
    assert_string_equal(answer[1].just_short[0].why, "on 2026-05-24, asked from 2026-05-25 on");
    assert_string_equal(answer[2].just_short[0].why, "number 2 from the latest, asked among the last 1");
    assert_int_equal(answer[3].verdict, LL_REACHED);
    assert_int_equal(answer[4].verdict, LL_NOT_REACHED);
}

static void hours_and_days_are_counted(void **state)
{
    (void)state;
    world_record(&world, 5, 1, 600, 20, 30, 10, 2, 1);
    world_record(&world, 5, 1, 700, 22, 45, 10, 2, 3);
    world_record(&world, 5, 2, 600, 24, 60, 10, 2, 4);
    world_claim(&world, 5, 2, 900, 20, 60);
    world_claim(&world, 5, 3, 900, 20, 30);
    world_ask(&world, 2, NAN, 0)->counted_in = LL_COUNTED_HOURS;
    world_ask(&world, 3, NAN, 0)->counted_in = LL_COUNTED_DAYS;
    world_audit(&world);
    assert_close(world.audit.answer[0].recorded, 2.25, 1e-9, 0);
    assert_close(world.audit.answer[0].claimed, 1.5, 1e-9, 0);
    assert_int_equal(world.audit.answer[0].verdict, LL_REACHED);
    assert_close(world.audit.answer[1].recorded, 2, 0, 0);
    assert_close(world.audit.answer[1].claimed, 1, 0, 0);
    assert_int_equal(world.audit.answer[1].verdict, LL_REACHED_IF_CLAIMS_HOLD);
}

static void replayed_attributes_come_from_the_replay(void **state)
{
    (void)state;
    ll_dive *stops = world_record(&world, 5, 1, 600, 45, 40, 10, 2, 1);
    ll_dive *none = world_record(&world, 5, 5, 600, 18, 30, 10, 2, 3);
    world.span[1].mix = 1; /* 18/45, to 18 m */
    world_ask(&world, 1, NAN, LL_ASKED(LL_ASKED_DECOMPRESSION))->decompression = true;
    world_ask(&world, 1, NAN, LL_ASKED(LL_ASKED_HELIUM))->helium = true;
    world_ask(&world, NAN, 0, LL_ASKED(LL_ASKED_FINDING) | LL_ASKED(LL_ASKED_SEVERITY))->finding = LL_FINDING_SURFACED;
    world.requirement[2].severity = LL_SERIOUS;
    world_audit(&world);
    assert_int_equal(world_found(&world, stops)->decompression, LL_YES);
    assert_int_equal(world_found(&world, none)->decompression, LL_NO);
    assert_ptr_equal(world.audit.dive[world.audit.answer[0].dive[0]].entry->dive, stops);
    assert_ptr_equal(world.audit.dive[world.audit.answer[1].dive[0]].entry->dive, none);
    /* 40 min to 45 m on air and straight up: far beyond the model's own limit. */
    assert_int_equal(world.audit.answer[2].verdict, LL_NOT_REACHED);
    assert_int_equal(world_found(&world, stops)->firm_worst[LL_FINDING_SURFACED], LL_SERIOUS);
}

/* --- what an instructor asks next, doubts --------------------------------------------------------------------------- */

static void the_overview_names_dives(void **state)
{
    (void)state;
    for (int i = 0; i < 11; i++)
        world_record(&world, 1 + i / 4, 1 + i, 600, 15 + i * 0.5, 30, 10, 2, i);
    ll_dive *step = world_record(&world, 6, 20, 600, 40, 40, 10, 2, 1);
    world_audit(&world);
    const ll_overview *overview = &world.audit.overview;
    assert_ptr_equal(world.audit.dive[overview->largest_step].entry->dive, step);
    assert_close(overview->largest_step_m, 20, 1e-9, 0);
    assert_ptr_equal(world.audit.dive[overview->deepest_recent].entry->dive, step);
    assert_ptr_equal(world.audit.dive[overview->last_decompression].entry->dive, step);
    assert_int_equal(overview->months, 6);
    assert_int_equal(overview->month[0].dives, 4);
    assert_int_equal(overview->month[4].dives, 0);
    /* 4 January to 5 February, 8 February to 9 March, 11 March to 20 June, and from there to the day of the audit. */
    assert_int_equal(overview->gaps, 4);
    assert_int_equal(overview->band[0] + overview->band[1], 11);
    assert_int_equal(overview->band[3], 1);
}

static void clocks_are_doubted_and_kept(void **state)
{
    (void)state;
    ll_dive *reset = world_record(&world, 5, 1, 600, 20, 30, 10, 2, 1);
    ll_dive *first = world_record(&world, 5, 2, 600, 22, 33, 10, 2, 3);
    world_date(reset, 2000, 1, 1, 5);
    reset->stated_number = 41;
    first->stated_number = 40;
    world_audit(&world);
    assert_true(ll_has_note(&world.audit.notes, LL_NOTE_CLOCK_UNSET));
    assert_true(ll_has_note(&world.audit.notes, LL_NOTE_NUMBERS_FALL));
    assert_int_equal(world.audit.in[LL_RECORDED], 2);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, open_world, close_world)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(days_before_are_calendar_days),
        TEST(an_empty_history_meets_nothing),
        TEST(claims_alone_hold_or_do_not),
        TEST(what_contradicts_itself_is_set_aside),
        TEST(a_second_recorder_is_a_witness),
        TEST(a_witness_loads_no_tissues),
        TEST(what_overlaps_is_set_aside_but_one),
        TEST(repeats_under_another_date_are_seen),
        TEST(platform_dives_are_left_alone),
        TEST(bounds_are_included),
        TEST(hours_and_days_are_counted),
        TEST(replayed_attributes_come_from_the_replay),
        TEST(the_overview_names_dives),
        TEST(clocks_are_doubted_and_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
