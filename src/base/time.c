/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/time.h"

#include <string.h>

enum { DAY_S = 86400, HOUR_S = 3600, MINUTE_S = 60 };
enum { FIRST_YEAR = 1583, LAST_YEAR = 9999 }; /* ISO 8601: whole years of the Gregorian calendar, four digits */
enum { FURTHEST_ZONE_S = 14 * HOUR_S };       /* W3C XML Schema Part 2: Datatypes, 2004, 3.2.7.3 */

static const int days_before_month[13] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};

/* --- calendar ------------------------------------------------------------------------------------------------- */

static bool is_leap(int year)
{
    return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

static int days_to_month(int year, int month)
{
    return days_before_month[month - 1] + (month > 2 && is_leap(year));
}

static bool is_date(int year, int month, int day)
{
    if (year < FIRST_YEAR || year > LAST_YEAR || month < 1 || month > 12)
        return false;
    return day >= 1 && day <= ll_month_days(year, month);
}

/* Days from 1970-01-01 to the first of January; the leap days as in POSIX, Seconds Since the Epoch. */
static int64_t day_of_year(int64_t year)
{
    return (year - 1970) * 365 + (year - 1969) / 4 - (year - 1901) / 100 + (year - 1601) / 400;
}

static int64_t day_of_date(int year, int month, int day)
{
    /* One whole cycle of 400 years later the divisions round down for every year that is read. */
    const int64_t cycle = 146097;
    return day_of_year(year + 400) - cycle + days_to_month(year, month) + day - 1;
}

static int year_of_day(int64_t day)
{
    int year = (int)(1970 + day / 366);
    if (day < 0)
        year = (int)(1970 + day / 365 - 1);
    while (day_of_date(year + 1, 1, 1) <= day)
        year++;
    return year;
}

/* --- reading -------------------------------------------------------------------------------------------------- */

typedef struct reader {
    const char *at;
    const char *end;
} reader;

static size_t count_digits(const reader *text)
{
    size_t count = 0;
    while (text->at + count < text->end && text->at[count] >= '0' && text->at[count] <= '9')
        count++;
    return count;
}

static bool take_char(reader *text, char c)
{
    if (text->at == text->end || *text->at != c)
        return false;
    text->at++;
    return true;
}

/* Takes exactly `count` digits. */
static bool take_number(reader *text, size_t count, int *number)
{
    if (count_digits(text) < count)
        return false;
    *number = 0;
    while (count--)
        *number = *number * 10 + (*text->at++ - '0');
    return true;
}

/* YYYY, YYYY-MM, YYYYMM, YYYY-MM-DD, YYYYMMDD. */
static bool take_date(reader *text, ll_instant *instant)
{
    int year, month = 1, day = 1;
    size_t run = count_digits(text);
    if ((run != 4 && run != 6 && run != 8) || !take_number(text, 4, &year))
        return false;
    bool extended = run == 4;
    bool has_month = extended ? take_char(text, '-') : true;
    if (has_month && !take_number(text, 2, &month))
        return false;
    bool has_day = has_month && (extended ? take_char(text, '-') : run == 8);
    if (has_day && !take_number(text, 2, &day))
        return false;
    if (!is_date(year, month, day))
        return false;
    return !has_day || ll_instant_from_parts(year, month, day, instant);
}

static bool take_fraction(reader *text)
{
    if (!take_char(text, '.') && !take_char(text, ','))
        return true;
    size_t count = count_digits(text);
    text->at += count;
    return count > 0;
}

static bool clock_seconds(int hour, int minute, int second, int *seconds)
{
    if (hour < 0 || hour >= 24 || minute < 0 || minute >= 60 || second < 0 || second >= 60)
        return false;
    *seconds = hour * HOUR_S + minute * MINUTE_S + second;
    return true;
}

/* hh, hh:mm, hhmm, hh:mm:ss, hhmmss, and a fraction behind the seconds. */
static bool take_clock(reader *text, ll_instant *instant)
{
    int hour, minute = 0, second = 0, seconds;
    size_t run = count_digits(text);
    if ((run != 2 && run != 4 && run != 6) || !take_number(text, 2, &hour))
        return false;
    bool extended = run == 2;
    bool has_minute = extended ? take_char(text, ':') : true;
    if (has_minute && !take_number(text, 2, &minute))
        return false;
    bool has_second = has_minute && (extended ? take_char(text, ':') : run == 6);
    if (has_second && !(take_number(text, 2, &second) && take_fraction(text)))
        return false;
    if (!clock_seconds(hour, minute, second, &seconds))
        return false;
    instant->local_s += seconds;
    instant->has_time = true;
    return true;
}

/* Z, or a sign and hh, hhmm, hh:mm; nothing is fine. */
static bool take_zone(reader *text, ll_instant *instant)
{
    int hour = 0, minute = 0;
    if (text->at == text->end)
        return true;
    instant->has_zone = true;
    if (take_char(text, 'Z'))
        return true;
    bool west = take_char(text, '-');
    if (!west && !take_char(text, '+'))
        return false;
    if (!take_number(text, 2, &hour))
        return false;
    bool has_minute = take_char(text, ':') || text->at < text->end;
    if (has_minute && !take_number(text, 2, &minute))
        return false;
    int seconds = hour * HOUR_S + minute * MINUTE_S;
    instant->zone_s = west ? -seconds : seconds;
    return minute < 60 && seconds <= FURTHEST_ZONE_S;
}

static bool take_time(reader *text, ll_instant *instant)
{
    return take_clock(text, instant) && take_zone(text, instant);
}

static bool take_instant(reader *text, ll_instant *instant)
{
    if (take_char(text, 'T'))
        return take_time(text, instant);
    if (!take_date(text, instant))
        return false;
    if (instant->has_date && (take_char(text, 'T') || take_char(text, ' ')))
        return take_time(text, instant);
    return true;
}

bool ll_instant_read(const char *text, size_t length, ll_instant *instant)
{
    reader from = {text, text + length};
    *instant = (ll_instant){0};
    if (take_instant(&from, instant) && from.at == from.end)
        return true;
    *instant = (ll_instant){0};
    return false;
}

bool ll_instant_from_parts(int year, int month, int day, ll_instant *instant)
{
    *instant = (ll_instant){0};
    if (!is_date(year, month, day))
        return false;
    instant->local_s = day_of_date(year, month, day) * DAY_S;
    instant->has_date = true;
    return true;
}

bool ll_instant_set_clock(ll_instant *instant, int hour, int minute, int second)
{
    int seconds;
    if (!clock_seconds(hour, minute, second, &seconds))
        return false;
    instant->local_s = ll_instant_day(instant) * DAY_S + seconds;
    instant->has_time = true;
    return true;
}

bool ll_day_read(const char *text, size_t length, int64_t *day)
{
    ll_instant instant;
    if (length != strlen("YYYY-MM-DD") || !ll_instant_read(text, length, &instant))
        return false;
    if (!instant.has_date || instant.has_time)
        return false;
    *day = ll_instant_day(&instant);
    return true;
}

/* --- writing -------------------------------------------------------------------------------------------------- */

int64_t ll_instant_day(const ll_instant *instant)
{
    int64_t day = instant->local_s / DAY_S;
    return instant->local_s % DAY_S < 0 ? day - 1 : day;
}

ll_date ll_day_date(int64_t day)
{
    int year = year_of_day(day);
    int rest = (int)(day - day_of_date(year, 1, 1));
    int month = 1;
    while (month < 12 && days_to_month(year, month + 1) <= rest)
        month++;
    return (ll_date){year, month, rest - days_to_month(year, month) + 1};
}

int64_t ll_date_day(ll_date date)
{
    return day_of_date(date.year, date.month, date.day);
}

int ll_month_days(int year, int month)
{
    return days_before_month[month] + (month > 1 && is_leap(year)) - days_to_month(year, month);
}

void ll_day_add(ll_text *text, int64_t day)
{
    ll_date date = ll_day_date(day);
    ll_text_format(text, "%04d-%02d-%02d", date.year, date.month, date.day);
}

static void add_zone(ll_text *text, int zone_s)
{
    int minutes = (zone_s < 0 ? -zone_s : zone_s) / MINUTE_S;
    if (minutes == 0)
        ll_text_putc(text, 'Z');
    else
        ll_text_format(text, "%c%02d:%02d", zone_s < 0 ? '-' : '+', minutes / 60, minutes % 60);
}

void ll_instant_add(ll_text *text, const ll_instant *instant)
{
    if (!instant->has_date)
        return;
    int64_t day = ll_instant_day(instant);
    int second = (int)(instant->local_s - day * DAY_S);
    ll_day_add(text, day);
    if (!instant->has_time)
        return;
    ll_text_format(text, "T%02d:%02d:%02d", second / HOUR_S, second / MINUTE_S % 60, second % MINUTE_S);
    if (instant->has_zone)
        add_zone(text, instant->zone_s);
}
