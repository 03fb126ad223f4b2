/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Records whose samples break the rules of a time series: what is kept, what moves to which sample, and what is said of
 * it. Expected figures follow by hand from the waypoints. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "close.h"
#include "log_world.h"

#define AT(depth, time, more) "<waypoint><depth>" depth "</depth><divetime>" time "</divetime>" more "</waypoint>\n"
#define NO_TIME(depth, more) "<waypoint><depth>" depth "</depth>" more "</waypoint>\n"
#define NO_DEPTH(time, more) "<waypoint><divetime>" time "</divetime>" more "</waypoint>\n"
#define AIR "<switchmix ref='air'/>"
#define EAN "<switchmix ref='ean50'/>"
#define TX "<switchmix ref='tx'/>"
#define PRESSURE(pascal) "<tankpressure>" pascal "</tankpressure>"

enum { FIRST_LINE = 6 }; /* of the first waypoint, see log_around */

static void assert_column(const double *column, size_t count, const double *expected)
{
    for (size_t i = 0; i < count; i++)
        assert_close(column[i], expected[i], 1e-12, 0);
}

static const ll_note *note_of(const ll_dive *dive, ll_note_code code)
{
    for (size_t i = 0; i < dive->notes.count; i++)
        if (dive->notes.items[i].code == code)
            return &dive->notes.items[i];
    return NULL;
}

/* The note is there so often, first at this waypoint (counted from 0), with this sentence. */
static void assert_noted(const ll_dive *dive, ll_note_code code, size_t count, long waypoint, const char *text)
{
    const ll_note *note = note_of(dive, code);
    assert_non_null(note);
    assert_int_equal(note->count, count);
    assert_int_equal(note->line, FIRST_LINE + waypoint);
    assert_string_equal(note->text, text);
}

/* Both records are read as the same one. */
static void assert_same_record(const char *odd, const char *sound)
{
    ll_log *a = read_waypoints(odd), *b = read_waypoints(sound);
    const ll_dive *x = &a->dive[0], *y = &b->dive[0];
    assert_int_equal(x->count, y->count);
    assert_column(x->time_s, x->count, y->time_s);
    assert_column(x->depth_m, x->count, y->depth_m);
    assert_int_equal(x->spans, y->spans);
    for (size_t i = 0; i < y->spans; i++)
        assert_span(x, i, y->span[i].first, y->span[i].end, y->span[i].mix, y->span[i].circuit);
    assert_int_equal(x->tank_pressures, y->tank_pressures);
    for (size_t i = 0; i < y->tank_pressures; i++) {
        assert_int_equal(x->tank_pressure[i].count, y->tank_pressure[i].count);
        assert_column(x->tank_pressure[i].value, y->tank_pressure[i].count, y->tank_pressure[i].value);
    }
    assert_true(x->notes.count > 0);
    assert_int_equal(y->notes.count, 0);
    ll_log_free(a);
    ll_log_free(b);
}

/* --- times --------------------------------------------------------------------------------------------------- */

#define SOUND AT("0", "0", AIR) AT("6", "30", "") AT("9", "60", EAN PRESSURE("1.9e7")) AT("9", "90", TX)

static void records_with_the_same_information_are_the_same(void **state)
{
    (void)state;
    const char *const odd[] = {
        /* before the start, with the mix and a pressure that goes with its sample */
        AT("0", "-5", AIR PRESSURE("2e7")) AT("0", "0", "") AT("6", "30", "") AT("9", "60", EAN PRESSURE("1.9e7"))
            AT("9", "90", TX),
        /* no time */
        AT("0", "0", AIR) AT("6", "30", "") NO_TIME("7", EAN PRESSURE("2e7")) AT("9", "60", PRESSURE("1.9e7"))
            AT("9", "90", TX),
        /* out of order, switches and all */
        AT("0", "0", AIR) AT("9", "90", TX) AT("9", "60", EAN PRESSURE("1.9e7")) AT("6", "30", ""),
        /* one waypoint for each thing */
        AT("0", "0", "") NO_DEPTH("0", AIR) AT("6", "30", "") NO_DEPTH("60", EAN) AT("9", "60", "")
            NO_DEPTH("60", PRESSURE("1.9e7")) AT("9", "90", TX),
        /* a depth left out on a straight line */
        AT("0", "0", AIR) AT("6", "30", "") AT("9", "60", EAN PRESSURE("1.9e7")) NO_DEPTH("90", TX),
        /* a time of 0 amid others */
        AT("0", "0", AIR) AT("6", "30", "") AT("8", "100", "") AT("3", "1", EAN PRESSURE("2e7"))
            AT("9", "130", PRESSURE("1.9e7")) AT("9", "160", TX),
    };
    const char *const sound[] = {SOUND, SOUND, SOUND, SOUND, SOUND,
                                 AT("0", "0", AIR) AT("6", "30", "") AT("8", "100", "")
                                     AT("9", "130", EAN PRESSURE("1.9e7")) AT("9", "160", TX)};
    for (size_t i = 0; i < sizeof odd / sizeof *odd; i++)
        assert_same_record(odd[i], sound[i]);
}

static void samples_before_the_start_are_left_out(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "-20.5", AIR) AT("0", "-10", "<alarm>surface</alarm>") AT("0", "-0", "")
                                 AT("3", "10", ""));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->count, 2);
    assert_int_equal(dive->alarm[0].sample, 0);
    assert_noted(dive, LL_NOTE_TIME_NEGATIVE, 2, 0,
                 "a sample at -20.5 s, before the start, was left out; what it says holds from the next one");
    ll_log_free(log);
}

static void one_time_that_falls_back_is_left_out(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "100", "") AT("9", "0", EAN) NO_TIME("9", "")
                                 AT("9", "110", ""));
    const ll_dive *dive = &log->dive[0];
    const double time[] = {0, 100, 110}, depth[] = {0, 9, 9};
    assert_int_equal(dive->count, 3);
    assert_column(dive->time_s, 3, time);
    assert_column(dive->depth_m, 3, depth);
    assert_span(dive, 1, 2, 3, 1, LL_OPEN_CIRCUIT);
    assert_noted(dive, LL_NOTE_TIME_STRAY, 1, 2,
                 "the time of one sample falls back to 0 s amid times that go on; it was left out, and what it says "
                 "holds from the next one");
    assert_null(note_of(dive, LL_NOTE_TIME_RESET));
    ll_log_free(log);
}

static void what_follows_a_reset_is_left_out_with_its_events(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "100", "") AT("0", "2", EAN PRESSURE("2e7"))
                                 AT("7", "30", "<alarm>deco</alarm>"));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->count, 2);
    assert_int_equal(dive->spans, 1);
    assert_int_equal(dive->alarms, 0);
    assert_int_equal(dive->tank_pressures, 0);
    assert_int_equal(note_of(dive, LL_NOTE_TIME_RESET)->line, FIRST_LINE + 2);
    ll_log_free(log);
}

static void every_step_back_is_counted(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("2", "20", "") AT("1", "10", "") AT("4", "40", "")
                                 AT("3", "30", ""));
    assert_noted(&log->dive[0], LL_NOTE_TIME_BACK, 2, 2, "times step back at 10 s; the samples were put in order");
    assert_int_equal(log->dive[0].count, 5);
    ll_log_free(log);
}

static void samples_of_one_time_become_one(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("5", "10", "") AT("5", "10", "") NO_DEPTH("10", EAN)
                                 AT("6", "20", "") AT("7", "20", "") AT("7", "30", ""));
    const ll_dive *dive = &log->dive[0];
    const double depth[] = {0, 5, 7, 7};
    assert_int_equal(dive->count, 4);
    assert_column(dive->depth_m, 4, depth);
    assert_span(dive, 1, 1, 4, 1, LL_OPEN_CIRCUIT);
    assert_noted(dive, LL_NOTE_TIME_SHARED, 2, 2,
                 "two samples at 10 s became one; neither depth nor temperature was lost");
    assert_noted(dive, LL_NOTE_TIME_REPEATED, 1, 5, "two samples at 20 s differ; the later one counts");
    ll_log_free(log);
}

static void records_without_times_or_depths(void **state)
{
    (void)state;
    const struct {
        const char *waypoints;
        ll_note_code code;
    } row[] = {
        {NO_TIME("0", AIR) NO_TIME("3", ""), LL_NOTE_NO_TIMES},
        {AT("0", "00:00", AIR) AT("3", "00:10", ""), LL_NOTE_NO_TIMES},
        {AT("0", "PT0S", AIR) AT("3", "PT10S", ""), LL_NOTE_NO_TIMES},
        {AT("0", "-20", AIR) AT("3", "-10", ""), LL_NOTE_NO_TIMES},
        {NO_DEPTH("0", AIR) NO_DEPTH("10", EAN), LL_NOTE_NO_DEPTHS},
        {AT("0", "7", AIR) AT("3", "7", ""), LL_NOTE_ONE_SAMPLE},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        ll_log *log = read_waypoints(row[i].waypoints);
        assert_int_equal(log->dive[0].count, 0);
        assert_int_equal(log->dive[0].spans, 0);
        assert_non_null(note_of(&log->dive[0], row[i].code));
        assert_non_null(note_of(&log->dive[0], LL_NOTE_NO_PROFILE));
        assert_null(note_of(&log->dive[0], LL_NOTE_DEPTH_MISSING));
        ll_log_free(log);
    }
}

/* --- depths above the surface -------------------------------------------------------------------------------- */

static void depths_above_the_surface(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("-0.2", "0", AIR) AT("-1", "5", "") AT("9", "60", "") AT("-1.1", "180", ""));
    const double depth[] = {0, 0, 9, 0};
    assert_column(log->dive[0].depth_m, 4, depth);
    assert_noted(&log->dive[0], LL_NOTE_DEPTH_NEGATIVE, 2, 0, "a depth of 0.2 m above the surface was read as 0");
    assert_noted(&log->dive[0], LL_NOTE_DEPTH_FAR_ABOVE, 1, 3,
                 "a depth of 1.1 m above the surface, more than a sensor strays, was read as 0");
    ll_log_free(log);
}

static void a_turned_sign_is_not_turned_back(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("-9", "60", "") AT("-12.5", "120", "") AT("0", "180", ""));
    const double depth[] = {0, 0, 0, 0};
    assert_column(log->dive[0].depth_m, 4, depth);
    assert_noted(&log->dive[0], LL_NOTE_DEPTHS_TURNED, 2, 1,
                 "no sample is below the surface, one is at -12.5 m, as if the sign were turned; nothing was turned, and "
                 "all of it was read as 0");
    assert_int_equal(log->dive[0].notes.count, 1);
    ll_log_free(log);
}

/* --- steps, stuck depths, gaps ------------------------------------------------------------------------------- */

static void steps_that_are_no_spike_are_named_and_stay(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("9", "0", AIR) AT("9", "10", "") AT("30", "20", "") AT("30", "30", "")
                                 AT("32", "31", "") AT("60", "41", ""));
    const double depth[] = {9, 9, 30, 30, 32, 60};
    assert_column(log->dive[0].depth_m, 6, depth);
    assert_noted(&log->dive[0], LL_NOTE_DEPTH_STEP, 2, 2,
                 "from 10 s on depth changes by 21 m in 10 s; that is over 120 m/min and no spike, and was left as "
                 "recorded");
    assert_int_equal(log->dive[0].notes.count, 1);
    ll_log_free(log);
}

static void each_spike_is_counted_and_no_step(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("9", "0", AIR) AT("90", "10", "") AT("9", "20", "") AT("9", "30", "")
                                 AT("90", "40", "") AT("91", "50", "") AT("9", "60", ""));
    const double depth[] = {9, 9, 9, 9, 9, 9, 9};
    assert_column(log->dive[0].depth_m, 7, depth);
    assert_noted(&log->dive[0], LL_NOTE_SPIKE, 2, 1,
                 "the record leaves its line and returns (samples between: 1), both at over 120 m/min, around 10 s; "
                 "the depths there were bridged");
    assert_int_equal(log->dive[0].notes.count, 1);
    ll_log_free(log);
}

static void a_depth_that_stands_still_until_a_step_is_named(void **state)
{
    (void)state;
    const struct {
        const char *waypoints;
        bool stuck;
    } row[] = {
        {AT("0", "0", AIR) AT("30", "100", "") AT("30", "250", "") AT("30", "400", "") AT("5", "410", ""), true},
        {AT("0", "0", AIR) AT("30", "100", "") AT("30", "250", "") AT("30", "399", "") AT("5", "410", ""), false},
        {AT("0", "0", AIR) AT("30", "100", "") AT("30.1", "250", "") AT("30", "400", "") AT("5", "410", ""), false},
        {AT("0", "0", AIR) AT("30", "100", "") AT("30", "250", "") AT("30", "400", "") AT("10", "410", ""), false},
        {AT("0", "0", AIR) AT("3", "100", "") AT("3", "250", "") AT("3", "400", "") AT("33", "410", ""), false},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        ll_log *log = read_waypoints(row[i].waypoints);
        assert_int_equal(note_of(&log->dive[0], LL_NOTE_DEPTH_STUCK) != NULL, row[i].stuck);
        if (row[i].stuck)
            assert_noted(&log->dive[0], LL_NOTE_DEPTH_STUCK, 1, 1,
                         "depth stands at 30 m from 100 s to 400 s and then changes at over 120 m/min, as if the sensor "
                         "had stood still; it was left as recorded");
        ll_log_free(log);
    }
}

/* `count` samples every 2 s at 9 m, then one more after `last_s`. */
static ll_log *read_regular(int count, int last_s)
{
    char text[8000] = "", one[100];
    for (int i = 0; i <= count; i++) {
        int time_s = i < count ? 2 * i : 2 * (count - 1) + last_s;
        snprintf(one, sizeof one, AT("9", "%d", "%s"), time_s, i ? "" : AIR);
        strcat(text, one);
    }
    return read_waypoints(text);
}

static void gaps_are_named_where_they_stand_out(void **state)
{
    (void)state;
    ll_log *log = read_regular(50, 62); /* 160 s over 50 intervals: 3.2 s on average */
    assert_noted(&log->dive[0], LL_NOTE_GAP, 1, 50,
                 "no sample for 62 s from 98 s on, where the record has one every 3.2 s on average; depths in between "
                 "were taken as a straight line");
    ll_log_free(log);
    log = read_regular(50, 60);
    assert_null(note_of(&log->dive[0], LL_NOTE_GAP));
    ll_log_free(log);
    log = read_waypoints(AT("0", "0", AIR) AT("18", "120", "") AT("18", "1800", "") AT("0", "1920", ""));
    assert_int_equal(log->dive[0].notes.count, 0);
    ll_log_free(log);
}

/* --- mixes --------------------------------------------------------------------------------------------------- */

static void of_two_mixes_in_a_waypoint_the_last_counts(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", AIR) AT("9", "60", AIR EAN) AT("9", "90", EAN EAN) AT("9", "120", TX EAN));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->spans, 2);
    assert_span(dive, 1, 1, 4, 1, LL_OPEN_CIRCUIT);
    assert_noted(dive, LL_NOTE_MIX_TWICE, 2, 1, "two mixes are named at 60 s; the last one counts");
    ll_log_free(log);
}

#define TANK(id, pascal) "<tankpressure ref='" id "'>" pascal "</tankpressure>"

static void assert_series(const ll_series *series, const char *ref, size_t count, const uint32_t *sample,
                          const double *value)
{
    assert_string_equal(series->ref, ref);
    assert_int_equal(series->count, count);
    for (size_t i = 0; i < count; i++)
        assert_int_equal(series->sample[i], sample[i]);
    assert_column(series->value, count, value);
}

/* In the order in which each was first named, whatever the order at a sample; ids are told apart that begin alike. */
static void tanks_may_come_in_any_order(void **state)
{
    (void)state;
    ll_log *log = read_waypoints(AT("0", "0", TANK("a", "20000000") TANK("ab", "19000000"))
                                 AT("9", "60", TANK("ab", "18900000") TANK("a", "19900000") TANK("b", "10000000"))
                                 AT("9", "90", TANK("b", "9900000"))
                                 AT("9", "120", TANK("a", "19700000") TANK("b", "9800000") TANK("ab", "18700000"))
                                 AT("9", "150", TANK("ab", "18600000") TANK("ab", "18500000"))
                                 AT("9", "180", TANK("a", "19500000"))
                                 AT("9", "210", TANK("a", "19400000")));
    const ll_dive *dive = &log->dive[0];
    assert_int_equal(dive->tank_pressures, 3);
    assert_series(&dive->tank_pressure[0], "a", 5, (uint32_t[]){0, 1, 3, 5, 6}, (double[]){200, 199, 197, 195, 194});
    assert_series(&dive->tank_pressure[1], "ab", 4, (uint32_t[]){0, 1, 3, 4}, (double[]){190, 189, 187, 186});
    assert_series(&dive->tank_pressure[2], "b", 3, (uint32_t[]){1, 2, 3}, (double[]){100, 99, 98});
    assert_non_null(note_of(dive, LL_NOTE_VALUE_REPEATED));
    ll_log_free(log);
}

/* What lies outside counts as missing. */
static void depths_and_times_are_bounded(void **state)
{
    (void)state;
    static const struct {
        const char *waypoints;
        ll_note_code then; /* LL_NOTE_VALUE_UNREADABLE and this one; or neither of them */
        bool outside;
    } rows[] = {{AT("0", "0", AIR) AT("12000", "60", ""), LL_NOTE_DEPTH_MISSING, false},
                {AT("0", "0", AIR) AT("12000.001", "60", ""), LL_NOTE_DEPTH_MISSING, true},
                {AT("-12000", "0", AIR) AT("9", "60", ""), LL_NOTE_DEPTH_MISSING, false},
                {AT("-12000.001", "0", AIR) AT("9", "60", ""), LL_NOTE_DEPTH_MISSING, true},
                {AT("0", "0", AIR) AT("9", "60", "") AT("9", "10000000", ""), LL_NOTE_TIME_MISSING, false},
                {AT("0", "0", AIR) AT("9", "60", "") AT("9", "10000000.001", ""), LL_NOTE_TIME_MISSING, true}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        ll_log *log = read_waypoints(rows[i].waypoints);
        assert_int_equal(note_of(&log->dive[0], LL_NOTE_VALUE_UNREADABLE) != NULL, rows[i].outside);
        assert_int_equal(note_of(&log->dive[0], rows[i].then) != NULL, rows[i].outside);
        ll_log_free(log);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(records_with_the_same_information_are_the_same),
        cmocka_unit_test(samples_before_the_start_are_left_out),
        cmocka_unit_test(one_time_that_falls_back_is_left_out),
        cmocka_unit_test(what_follows_a_reset_is_left_out_with_its_events),
        cmocka_unit_test(every_step_back_is_counted),
        cmocka_unit_test(samples_of_one_time_become_one),
        cmocka_unit_test(records_without_times_or_depths),
        cmocka_unit_test(depths_above_the_surface),
        cmocka_unit_test(a_turned_sign_is_not_turned_back),
        cmocka_unit_test(steps_that_are_no_spike_are_named_and_stay),
        cmocka_unit_test(each_spike_is_counted_and_no_step),
        cmocka_unit_test(a_depth_that_stands_still_until_a_step_is_named),
        cmocka_unit_test(gaps_are_named_where_they_stand_out),
        cmocka_unit_test(of_two_mixes_in_a_waypoint_the_last_counts),
        cmocka_unit_test(tanks_may_come_in_any_order),
        cmocka_unit_test(depths_and_times_are_bounded),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
