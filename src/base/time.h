/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dates and times as logs write them: ISO 8601, calendar arithmetic, no clock and no host time zone. */
#ifndef LL_BASE_TIME_H
#define LL_BASE_TIME_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/text.h"

/* An instant as written. `local_s` counts seconds from 1970-01-01T00:00:00 on the clock that the text shows,
 * whatever its zone; a date without a time counts from its midnight. */
typedef struct ll_instant {
    int64_t local_s;
    int zone_s;    /* offset from UTC in seconds, meaningful if has_zone */
    bool has_date; /* whole calendar date */
    bool has_time;
    bool has_zone;
} ll_instant;

/* Reads the ISO 8601 forms that UDDF allows: date, date and time ("T" or one blank between), "T" and a time alone,
 * extended or basic (six digits are a year and month), lower-order parts may be missing, fractions of a second are
 * dropped, zone Z or +hh[[:]mm] up to 14:00. Range-checked (no 30 February, no 24:00, years 1583 to 9999). True if
 * text[0..length) is wholly such a text; year-only, year-month and time-only texts read with has_date false.
 * On failure *instant is all zero/false. */
bool ll_instant_read(const char *text, size_t length, ll_instant *instant);

/* From parts; false (and zero) if they are no calendar date. */
bool ll_instant_from_parts(int year, int month, int day, ll_instant *instant);
/* Puts a clock time to the date; false (and *instant untouched) if the parts are none. */
bool ll_instant_set_clock(ll_instant *instant, int hour, int minute, int second);

/* Appends `2026-05-03T09:12:00+02:00` (`Z` for no offset), or what of it is known; nothing without a date. */
void ll_instant_add(ll_text *text, const ll_instant *instant);

/* Days since 1970-01-01 of the written calendar day. */
int64_t ll_instant_day(const ll_instant *instant);

/* Calendar parts of a day number, month and day from 1; and back, for parts that are a calendar date in or near the
 * years that a reading gives. */
typedef struct ll_date {
    int year, month, day;
} ll_date;
ll_date ll_day_date(int64_t day);
int64_t ll_date_day(ll_date date);

/* Days of a month, 28 to 31. */
int ll_month_days(int year, int month);

/* Appends a day number as YYYY-MM-DD. For days that a reading gives, or near them. */
void ll_day_add(ll_text *text, int64_t day);

/* Reads YYYY-MM-DD wholly; false if it is none. */
bool ll_day_read(const char *text, size_t length, int64_t *day);

#endif
