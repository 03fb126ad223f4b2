/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dates and times. Sources: the examples of ISO 8601:2004 clauses 4.1.2, 4.2.2, 4.2.5 and 4.3.2 (12 April 1985,
 * 23:20:50 and 10:15:30); POSIX.1-2017, Base Definitions 4.16, Seconds Since the Epoch; RFC 3339 (2002), 5.8. */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "base/time.h"

static bool read(const char *text, ll_instant *instant)
{
    return ll_instant_read(text, strlen(text), instant);
}

static void assert_shown(const ll_instant *instant, const char *expected)
{
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    ll_instant_add(&text, instant);
    assert_string_equal(ll_text_string(&text), expected);
    ll_text_close(&text);
}

/* The formula of POSIX for a broken-down time, years counted from 1900. */
static int64_t posix_seconds(int64_t year, int64_t yday, int64_t hour, int64_t minute, int64_t second)
{
    return second + minute * 60 + hour * 3600 + yday * 86400 + (year - 70) * 31536000 + ((year - 69) / 4) * 86400 -
           ((year - 1) / 100) * 86400 + ((year + 299) / 400) * 86400;
}

static const struct {
    const char *text;
    const char *shown; /* date, time and zone as they come back */
} forms[] = {
    {"1985-04-12", "1985-04-12"},
    {"19850412", "1985-04-12"},
    {"1985-04", ""},
    {"198504", ""}, /* UDDF: six digits are a year and month */
    {"1985", ""},
    {"1985-04-12T10:15:30", "1985-04-12T10:15:30"},
    {"19850412T101530", "1985-04-12T10:15:30"},
    {"1985-04-12T10:15", "1985-04-12T10:15:00"},
    {"19850412T1015", "1985-04-12T10:15:00"},
    {"1985-04-12T10", "1985-04-12T10:00:00"},
    {"1985-04-12T10:15:30Z", "1985-04-12T10:15:30Z"},
    {"19850412T101530Z", "1985-04-12T10:15:30Z"},
    {"1985-04-12T10:15:30+04:00", "1985-04-12T10:15:30+04:00"},
    {"19850412T101530+0400", "1985-04-12T10:15:30+04:00"},
    {"19850412T101530+04", "1985-04-12T10:15:30+04:00"},
    {"1985-04-12T10:15:30-03:30", "1985-04-12T10:15:30-03:30"},
    {"1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50Z"}, /* RFC 3339, 5.8 */
    {"1996-12-19T16:39:57-08:00", "1996-12-19T16:39:57-08:00"},
    {"1985-04-12T23:20:50,5", "1985-04-12T23:20:50"},
    {"1985-04-12 10:15:30", "1985-04-12T10:15:30"},
    {"1985-04-12T00:00:00", "1985-04-12T00:00:00"},
    {"2000-02-29", "2000-02-29"},
    {"1583-01-01", "1583-01-01"},
    {"9999-12-31T23:59:59+14:00", "9999-12-31T23:59:59+14:00"},
    {"T23:20:50", ""},
};

static void reads_and_shows_the_forms(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        ll_instant instant;
        if (!read(forms[i].text, &instant))
            fail_msg("'%s' was not read", forms[i].text);
        assert_shown(&instant, forms[i].shown);
        assert_int_equal(instant.has_date, forms[i].shown[0] != '\0');
        assert_int_equal(instant.has_time, strchr(forms[i].text, 'T') != NULL || strchr(forms[i].text, ' ') != NULL);
    }
}

static void refuses_the_rest(void **state)
{
    (void)state;
    static const char *const bad[] = {
        "", " ", "85", "985-04-12", "1985-4-12", "1985-04-12x", " 1985-04-12", "1985-04-12 ", "1985-0412", "198504-12",
        "1985-13-01", "1985-00-01", "1985-04-31", "1985-04-00", "2004-02-30", "1900-02-29", "2001-02-29", "1582-12-31",
        "0001-01-01", "0000-00-00", "10000-01-01", "-1985-04-12", "1985-04-12T", "1985-04-12T24:00:00",
        "1985-04-12T10:60", "1985-04-12T10:15:60", "1985-04-12T1:15", "1985-04-12T10:15:", "1985-04-12T10:15:30.",
        "1985-04-12T10:1530", "1985-04-12T1015:30", "1985-04-12t10:15:30", "1985-04-12  10:15", "1985-04-12T10:15:30z",
        "1985-04-12T10:15:30+", "1985-04-12T10:15:30+4", "1985-04-12T10:15:30+04:", "1985-04-12T10:15:30+04:0",
        "1985-04-12T10:15:30+14:01", "1985-04-12T10:15:30+04:60", "1985-04-12T10:15:30ZZ", "1985-04-12Z",
        "1985-04T10:15", "1985T10", "T", "T25", "12/04/1985", "1985-W15-5", "1985-102",
    };
    static const ll_instant zero;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        ll_instant instant = {1, 1, true, true, true};
        if (read(bad[i], &instant))
            fail_msg("'%s' was read", bad[i]);
        assert_int_equal(instant.local_s, zero.local_s);
        assert_int_equal(instant.zone_s, zero.zone_s);
        assert_false(instant.has_date || instant.has_time || instant.has_zone);
    }
}

static void reads_no_further_than_told(void **state)
{
    (void)state;
    const char exact[10] = {'1', '9', '8', '5', '-', '0', '4', '-', '1', '2'}; /* no terminator */
    ll_instant instant;
    int64_t day;
    assert_true(ll_instant_read(exact, sizeof exact, &instant));
    assert_true(ll_day_read(exact, sizeof exact, &day));
    assert_false(ll_instant_read(exact, 9, &instant));
    assert_true(ll_instant_read(exact, 7, &instant) && !instant.has_date);
}

static void counts_seconds_as_posix(void **state)
{
    (void)state;
    ll_instant instant;
    assert_true(read("1970-01-01T00:00:00", &instant));
    assert_int_equal(instant.local_s, 0);
    assert_true(read("1985-04-12T23:20:50+02:00", &instant)); /* day 101 of the year, from 0 */
    assert_int_equal(instant.local_s, posix_seconds(85, 101, 23, 20, 50)); /* whatever the zone */
    assert_int_equal(instant.zone_s, 7200);
    assert_true(read("2000-03-01T00:00:00", &instant));
    assert_int_equal(instant.local_s, posix_seconds(100, 60, 0, 0, 0));
    assert_int_equal(instant.local_s, (int64_t)11017 * 86400); /* 30 years of 365 days, 8 leap days, 31 + 28 */
    assert_true(read("1985-04-12T10:15:30-03:30", &instant));
    assert_int_equal(instant.zone_s, -12600);
}

static int64_t day_of(const char *text)
{
    int64_t day = -999999999;
    assert_true(ll_day_read(text, strlen(text), &day));
    return day;
}

static void numbers_days(void **state)
{
    (void)state;
    assert_int_equal(day_of("1970-01-01"), 0);
    assert_int_equal(day_of("1969-12-31"), -1);
    assert_int_equal(day_of("2000-02-29"), 11016);
    assert_int_equal(day_of("2000-03-01"), 11017);
    assert_int_equal(day_of("2038-01-19"), INT32_MAX / 86400);
    assert_int_equal(day_of("1858-11-17"), -40587); /* Modified Julian Date 0: 40587 days before 1970 (IAU) */
    assert_int_equal(day_of("2000-01-01") - day_of("1600-01-01"), 146097); /* one Gregorian cycle of 400 years */
}

/* Every day of 500 years follows the one before it, and agrees with the C library's calendar in UTC. */
static void walks_the_calendar(void **state)
{
    (void)state;
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    for (int64_t day = day_of("1583-01-01"); day <= day_of("2101-01-01"); day++) {
        char expected[32];
        time_t seconds = (time_t)(day * 86400);
        struct tm parts;
        assert_non_null(gmtime_r(&seconds, &parts));
        strftime(expected, sizeof expected, "%Y-%m-%d", &parts);
        ll_day_add(&text, day);
        assert_string_equal(ll_text_string(&text), expected);
        assert_int_equal(day_of(expected), day);
        text.size = 0;
    }
    ll_text_close(&text);
}

static void finds_the_day_before_1970(void **state)
{
    (void)state;
    ll_instant instant;
    assert_true(read("1969-12-31T23:59:59", &instant));
    assert_int_equal(instant.local_s, -1);
    assert_int_equal(ll_instant_day(&instant), -1);
    assert_shown(&instant, "1969-12-31T23:59:59");
}

static void builds_from_parts(void **state)
{
    (void)state;
    ll_instant instant;
    assert_true(ll_instant_from_parts(2004, 9, 30, &instant));
    assert_shown(&instant, "2004-09-30");
    assert_false(ll_instant_set_clock(&instant, 24, 0, 0));
    assert_false(ll_instant_set_clock(&instant, -1, 0, 0));
    assert_false(ll_instant_set_clock(&instant, 9, 60, 0));
    assert_shown(&instant, "2004-09-30"); /* untouched */
    assert_true(ll_instant_set_clock(&instant, 9, 12, 0));
    assert_shown(&instant, "2004-09-30T09:12:00");
    assert_true(ll_instant_set_clock(&instant, 23, 59, 59)); /* again: it replaces */
    assert_shown(&instant, "2004-09-30T23:59:59");
    assert_false(ll_instant_from_parts(2004, 2, 30, &instant));
    assert_false(instant.has_date || instant.has_time || instant.local_s);
}

static void day_read_wants_a_whole_day(void **state)
{
    (void)state;
    int64_t day = 5;
    static const char *const bad[] = {"1985-04", "19850412", "1985-04-12T10:15", "1985-02-29", "19850412T1", ""};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_false(ll_day_read(bad[i], strlen(bad[i]), &day));
    assert_int_equal(day, 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_and_shows_the_forms),  cmocka_unit_test(refuses_the_rest),
        cmocka_unit_test(reads_no_further_than_told), cmocka_unit_test(counts_seconds_as_posix),
        cmocka_unit_test(numbers_days),               cmocka_unit_test(walks_the_calendar),
        cmocka_unit_test(finds_the_day_before_1970),  cmocka_unit_test(builds_from_parts),
        cmocka_unit_test(day_read_wants_a_whole_day),
    };
    return cmocka_run_group_tests_name("time", tests, NULL, NULL);
}
