/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Logs merged: their order, logs given twice, zones, intervals against the clock. Dives are made by hand; expected
 * figures follow from their hours. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "hand.h"
#include "replay/history.h"

enum { MOST_LOGS = 4 };

static const double time_s[] = {0, 100, 1000, 1200};
static const double depth_m[] = {0, 20, 20, 0};

/* Dives of 20 min at 20 m, each in a log of its own. */
static hand_log hand[MOST_LOGS];
static const ll_log *logs[MOST_LOGS];

static void open_at(size_t which, int hour, const char *name, const char *digest)
{
    hand_open(&hand[which], 4, time_s, depth_m);
    hand_start_at(&hand[which], hour);
    hand[which].log.name = name;
    snprintf(hand[which].log.sha256, sizeof hand[which].log.sha256, "%s", digest);
    logs[which] = &hand[which].log;
}

static ll_history *history_of(const ll_log *const *given, size_t count)
{
    ll_settings settings;
    ll_history *history;
    ll_settings_built_in(&settings);
    assert_int_equal(ll_history_make(given, count, &settings, NULL, NULL, NULL, &history, NULL), LL_OK);
    return history;
}

static const char *note_of(const ll_notes *notes, ll_note_code code)
{
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].code == code)
            return notes->items[i].text;
    return NULL;
}

/* --- order and copies ------------------------------------------------------------------------------------------- */

/* Three logs in all six orders; two begin at the same hour, so that their names decide. */
static void logs_given_in_any_order_are_one_history(void **state)
{
    (void)state;
    static const int orders[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    open_at(0, 12, "b.uddf", "1");
    open_at(1, 9, "z.uddf", "2");
    open_at(2, 12, "a.uddf", "3");
    for (size_t i = 0; i < 6; i++) {
        const ll_log *given[3] = {logs[orders[i][0]], logs[orders[i][1]], logs[orders[i][2]]};
        ll_history *history = history_of(given, 3);
        assert_ptr_equal(history->logs[0], logs[1]);
        assert_ptr_equal(history->logs[1], logs[2]);
        assert_ptr_equal(history->logs[2], logs[0]);
        assert_ptr_equal(history->entry[0].log, logs[1]);
        assert_ptr_equal(history->entry[1].log, logs[2]);
        assert_int_equal(history->notes.count, 0);
        ll_history_free(history);
    }
}

static void the_same_bytes_count_once(void **state)
{
    (void)state;
    open_at(0, 9, "copy.uddf", "1");
    open_at(1, 9, "again.uddf", "1");
    open_at(2, 12, "other.uddf", "2");
    open_at(3, 9, "zero.uddf", "1");
    ll_history *history = history_of(logs, 4);
    assert_int_equal(history->log_count, 2);
    assert_int_equal(history->count, 2);
    assert_ptr_equal(history->logs[0], logs[1]);
    assert_string_equal(note_of(&history->notes, LL_NOTE_LOG_REPEATED),
                        "copy.uddf holds the same bytes as again.uddf and was left out");
    assert_int_equal(history->notes.items[0].count, 2);
    assert_false(ll_has_note(&history->entry[1].notes, LL_NOTE_OVERLAPS));
    ll_history_free(history);
}

static void logs_without_a_digest_are_never_the_same(void **state)
{
    (void)state;
    open_at(0, 9, "a.uddf", "");
    open_at(1, 12, "a.uddf", "");
    ll_history *history = history_of(logs, 2);
    assert_int_equal(history->count, 2);
    ll_history_free(history);
}

/* --- zones ------------------------------------------------------------------------------------------------------ */

static void set_zone(size_t which, int hours)
{
    hand[which].dive.start.has_zone = true;
    hand[which].dive.start.zone_s = hours * 3600;
}

/* 10:00 in a zone of +3 h is before 9:00 in one of +1 h; as written it is after. */
static void zones_count_only_where_every_dive_has_one(void **state)
{
    (void)state;
    open_at(0, 9, "a.uddf", "1");
    open_at(1, 10, "b.uddf", "2");
    set_zone(0, 1);
    set_zone(1, 3);
    ll_history *history = history_of(logs, 2);
    assert_ptr_equal(history->entry[0].log, logs[1]);
    assert_null(note_of(&history->notes, LL_NOTE_ZONES_MIXED));
    ll_history_free(history);
    open_at(2, 12, "c.uddf", "3");
    history = history_of(logs, 3);
    assert_ptr_equal(history->entry[0].log, logs[0]);
    assert_non_null(note_of(&history->notes, LL_NOTE_ZONES_MIXED));
    ll_history_free(history);
}

/* --- intervals -------------------------------------------------------------------------------------------------- */

/* The second dive begins 3 h after the first, which lasts 20 min: 9600 s on the surface, 600 s either way are let pass.
 */
static const char *note_on_interval(double stated_s)
{
    static char text[160];
    hand[1].dive.interval = LL_INTERVAL_PASSED;
    hand[1].dive.interval_s = stated_s;
    ll_history *history = history_of(logs, 2);
    const char *note = note_of(&history->entry[1].notes, LL_NOTE_INTERVAL_DIFFERS);
    snprintf(text, sizeof text, "%s", note ? note : "");
    ll_history_free(history);
    return text;
}

static void an_interval_that_differs_from_the_clock_is_noted(void **state)
{
    (void)state;
    open_at(0, 9, "a.uddf", "1");
    open_at(1, 12, "b.uddf", "2");
    assert_string_equal(note_on_interval(9600), "");
    assert_string_equal(note_on_interval(10200), "");
    assert_string_equal(note_on_interval(9000), "");
    assert_string_equal(note_on_interval(8999),
                        "the log states a surface interval of 150 min, the clock says 160 min; the "
                        "clock was followed");
    assert_string_not_equal(note_on_interval(10201), "");
}

/* A day later: 86400 - 1200 s, of which a twentieth is 4260 s. */
static void long_intervals_have_more_slack(void **state)
{
    (void)state;
    open_at(0, 9, "a.uddf", "1");
    open_at(1, 9, "b.uddf", "2");
    hand[1].dive.start.local_s += 86400;
    assert_string_equal(note_on_interval(85200 + 4260), "");
    assert_string_not_equal(note_on_interval(85200 + 4261), "");
}

static void a_dive_without_a_profile_in_between_leaves_nothing_to_compare(void **state)
{
    (void)state;
    open_at(0, 9, "a.uddf", "1");
    open_at(1, 14, "b.uddf", "2");
    open_at(2, 11, "c.uddf", "3");
    hand[2].dive.count = 0;
    hand[1].dive.interval = LL_INTERVAL_PASSED;
    hand[1].dive.interval_s = 7200;
    ll_history *history = history_of(logs, 3);
    assert_null(note_of(&history->entry[2].notes, LL_NOTE_INTERVAL_DIFFERS));
    assert_non_null(note_of(&history->entry[2].notes, LL_NOTE_AFTER_CLAIMED));
    ll_history_free(history);
}

/* A log that says "never before" three hours after another dive is contradicted; one that states the interval, or says
 * it two days later, is not. */
static bool is_contradicted(ll_interval_kind stated, int days)
{
    open_at(0, 9, "a.uddf", "1");
    open_at(1, 12, "b.uddf", "2");
    hand[1].dive.start.local_s += days * 86400;
    hand[1].dive.interval = stated;
    hand[1].dive.interval_s = 9600;
    ll_history *history = history_of(logs, 2);
    const bool noted = note_of(&history->entry[1].notes, LL_NOTE_INTERVAL_CONTRADICTED) != NULL;
    ll_history_free(history);
    return noted;
}

static void no_dive_before_is_held_against_the_clock(void **state)
{
    (void)state;
    assert_true(is_contradicted(LL_INTERVAL_INFINITE, 0));
    assert_true(is_contradicted(LL_INTERVAL_INFINITE, 1));
    assert_false(is_contradicted(LL_INTERVAL_INFINITE, 2));
    assert_false(is_contradicted(LL_INTERVAL_PASSED, 0));
}

/* --- owners ------------------------------------------------------------------------------------------------------- */

static void only_the_logs_of_one_owner(void **state)
{
    (void)state;
    ll_settings settings;
    ll_history *history;
    ll_error error = {.line = 7};
    ll_settings_built_in(&settings);
    open_at(0, 9, "a.uddf", "1");
    open_at(1, 12, "b.uddf", "2");
    hand[0].log.owner = "Idun Slate";
    hand[1].log.owner = "Torvald Slate";
    assert_int_equal(ll_history_make(logs, 2, &settings, "Torvald Slate", NULL, NULL, &history, &error), LL_OK);
    assert_int_equal(history->count, 1);
    assert_ptr_equal(history->logs[0], logs[1]);
    ll_history_free(history);
    assert_int_equal(ll_history_make(logs, 2, &settings, "Ragna Slate", NULL, NULL, &history, &error), LL_BAD_USAGE);
    assert_string_equal(error.text, "no log names 'Ragna Slate' as its owner");
    assert_int_equal(error.line, 0);
}

/* --- days in a row ------------------------------------------------------------------------------------------------ */

static void on_day(size_t which, int month, int day)
{
    ll_instant *start = &hand[which].dive.start;
    ll_instant_from_parts(2026, month, day, start);
    ll_instant_set_clock(start, 9 + (int)which, 0, 0);
}

/* Two dives on the last of April, one on the first of May, one on the third: rows of 1, 1, 2 and again 1 day. */
static void days_in_a_row_and_their_sums(void **state)
{
    (void)state;
    static const int days[4][2] = {{4, 30}, {4, 30}, {5, 1}, {5, 3}};
    static const char *const digests[4] = {"1", "2", "3", "4"};
    for (size_t i = 0; i < 4; i++) {
        open_at(i, 9, digests[i], digests[i]);
        on_day(i, days[i][0], days[i][1]);
    }
    ll_history *history = history_of(logs, 4);
    const ll_entry *entry = history->entry;
    static const unsigned rows[4] = {1, 1, 2, 1};
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(entry[i].start.days_in_row, rows[i]);
    assert_true(entry[0].doses.otu > 0);
    assert_close(entry[0].start.otu_in_row, 0, 0, 0);
    assert_close(entry[1].start.otu_in_row, entry[0].doses.otu, 0, 0);
    assert_close(entry[2].start.otu_in_row, entry[0].doses.otu + entry[1].doses.otu, 0, 0);
    assert_close(entry[3].start.otu_in_row, 0, 0, 0);
    ll_history_free(history);
}

/* From unknown gas on the sum of the row is not known, to the end of the row. */
static void unknown_gas_makes_the_sum_of_the_row_unknown(void **state)
{
    (void)state;
    for (size_t i = 0; i < 3; i++) {
        open_at(i, 9, i == 0 ? "a" : i == 1 ? "b" : "c", i == 0 ? "1" : i == 1 ? "2" : "3");
        on_day(i, 5, 3 + (int)i);
    }
    hand[0].span[0].mix = LL_MIX_UNKNOWN;
    ll_history *history = history_of(logs, 3);
    assert_true(isnan(history->entry[1].start.otu_in_row));
    assert_true(isnan(history->entry[2].start.otu_in_row));
    assert_int_equal(history->entry[2].start.days_in_row, 3);
    ll_history_free(history);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(logs_given_in_any_order_are_one_history),
        cmocka_unit_test(the_same_bytes_count_once),
        cmocka_unit_test(logs_without_a_digest_are_never_the_same),
        cmocka_unit_test(zones_count_only_where_every_dive_has_one),
        cmocka_unit_test(an_interval_that_differs_from_the_clock_is_noted),
        cmocka_unit_test(long_intervals_have_more_slack),
        cmocka_unit_test(a_dive_without_a_profile_in_between_leaves_nothing_to_compare),
        cmocka_unit_test(no_dive_before_is_held_against_the_clock),
        cmocka_unit_test(only_the_logs_of_one_owner),
        cmocka_unit_test(days_in_a_row_and_their_sums),
        cmocka_unit_test(unknown_gas_makes_the_sum_of_the_row_unknown),
    };
    return cmocka_run_group_tests_name("history", tests, NULL, NULL);
}
