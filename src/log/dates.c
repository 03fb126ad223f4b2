/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When a dive began: one text, or parts as until 2.x. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "log/values.h"

static void note_date(ll_reader *reader, const char *text, size_t length)
{
    char shown[LL_SHOWN];
    LL_NOTE_HERE(reader, LL_NOTE_DATE_UNUSABLE, ll_line(reader), ll_shown(shown, text, length));
}

/* --- texts in forms of their own ------------------------------------------------------------------------------ */

typedef struct {
    const char *at, *end;
} cursor;

static bool take(cursor *from, const char *any_of)
{
    if (from->at == from->end || !strchr(any_of, *from->at))
        return false;
    from->at++;
    return true;
}

static size_t take_blanks(cursor *from)
{
    const char *start = from->at;
    while (take(from, " \t\r\n"))
        ;
    return (size_t)(from->at - start);
}

/* A whole number of one to `most` digits; -1 where there is none. */
static int take_number(cursor *from, int most)
{
    int number = -1;
    for (; most > 0 && from->at < from->end && *from->at >= '0' && *from->at <= '9'; most--)
        number = (number < 0 ? 0 : number * 10) + (*from->at++ - '0');
    return number;
}

/* Four digits, then a month and a day of one or two, with the same sign between them. */
static bool take_day(cursor *from, int day[3])
{
    day[0] = take_number(from, 4);
    char sign[2] = {from->at < from->end ? *from->at : '-', '\0'};
    if (day[0] < 1000 || !take(from, "-/.") || (day[1] = take_number(from, 2)) < 0)
        return false;
    return take(from, sign) && (day[2] = take_number(from, 2)) >= 0;
}

/* Hour, minute and perhaps second, of one or two digits; a fraction of the second is dropped. */
static bool take_clock(cursor *from, int clock[3])
{
    clock[0] = take_number(from, 2);
    if (clock[0] < 0 || !take(from, ":") || (clock[1] = take_number(from, 2)) < 0)
        return false;
    clock[2] = take(from, ":") ? take_number(from, 2) : 0;
    if (clock[2] >= 0 && take(from, ".,") && take_number(from, 9) < 0)
        return false;
    return clock[2] >= 0;
}

/* 24:00 is the midnight that ends the day, second 60 the one behind 59. Seconds to add; the clock becomes a usual one.
 */
static int settle_clock(int clock[3])
{
    bool midnight = clock[0] == 24 && clock[1] == 0 && clock[2] == 0;
    bool leap = clock[2] == 60;
    if (midnight)
        clock[0] = 0;
    if (leap)
        clock[2] = 59;
    return midnight ? 24 * 3600 : leap;
}

/* A text in none of the format's forms that can still mean one instant only: digits or signs of another kind, small
 * letters, more blanks. */
static bool read_loosely(const char *text, size_t length, ll_instant *instant)
{
    cursor from = {text, text + length};
    int day[3], clock[3];
    char usual[64];
    if (!take_day(&from, day))
        return false;
    if (from.at == from.end) {
        int size = snprintf(usual, sizeof usual, "%04d-%02d-%02d", day[0], day[1], day[2]);
        return ll_instant_read(usual, (size_t)size, instant);
    }
    if ((take_blanks(&from) == 0 && !take(&from, "Tt")) || !take_clock(&from, clock))
        return false;
    int more_s = settle_clock(clock);
    take_blanks(&from);
    bool utc = take(&from, "z");
    int size =
        snprintf(usual, sizeof usual, "%04d-%02d-%02dT%02d:%02d:%02d%s%.*s", day[0], day[1], day[2], clock[0], clock[1],
                 clock[2], utc ? "Z" : "", (int)(from.end - from.at < 16 ? from.end - from.at : 16), from.at);
    if (!ll_instant_read(usual, (size_t)size, instant))
        return false;
    instant->local_s += more_s;
    return true;
}

static bool repair(ll_reader *reader, const char *text, size_t length)
{
    char shown[LL_SHOWN];
    ll_text read;
    if (!read_loosely(text, length, &reader->dive.start))
        return false;
    ll_text_open(&read, reader->allocator, NULL, NULL);
    ll_instant_add(&read, &reader->dive.start);
    const char *words = ll_text_string(&read);
    if (words)
        LL_NOTE_HERE(reader, LL_NOTE_DATE_REPAIRED, ll_line(reader), ll_shown(shown, text, length), words);
    else
        ll_stop_no_memory(reader);
    ll_text_close(&read);
    return true;
}

/* --- the two forms -------------------------------------------------------------------------------------------- */

void ll_end_datetime(ll_reader *reader)
{
    size_t length;
    const char *text = ll_gathered(reader, &length);
    uint8_t rank = ll_rank_here(reader);
    if (length == 0)
        return;
    if (reader->start_rank == rank)
        ll_note_repeated(reader);
    if (reader->start_rank >= rank)
        return;
    reader->start_rank = rank;
    reader->dive.start_text = ll_arena_text_n(&reader->arena, text, length);
    if (!reader->dive.start_text)
        ll_stop_no_memory(reader);
    bool is_text = ll_instant_read(text, length, &reader->dive.start);
    if ((!is_text && !repair(reader, text, length)) || !reader->dive.start.has_date)
        note_date(reader, text, length);
}

int ll_whole_fact(const ll_reader *reader, ll_fact fact)
{
    double value = ll_fact_of(reader, fact);
    return value >= 0 && value < 1e9 && value == floor(value) ? (int)value : -1;
}

/* The split form of 2.x; a missing second is 0. */
static void start_from_parts(ll_reader *reader)
{
    ll_instant *start = &reader->dive.start;
    if (reader->start_rank || isnan(ll_fact_of(reader, LL_FACT_YEAR)))
        return;
    if (!ll_instant_from_parts(ll_whole_fact(reader, LL_FACT_YEAR), ll_whole_fact(reader, LL_FACT_MONTH),
                               ll_whole_fact(reader, LL_FACT_DAY), start)) {
        note_date(reader, "year, month, day", strlen("year, month, day"));
        return;
    }
    if (isnan(ll_fact_of(reader, LL_FACT_HOUR)))
        return;
    int second = isnan(ll_fact_of(reader, LL_FACT_SECOND)) ? 0 : ll_whole_fact(reader, LL_FACT_SECOND);
    int minute = ll_whole_fact(reader, LL_FACT_MINUTE);
    if (!ll_instant_set_clock(start, ll_whole_fact(reader, LL_FACT_HOUR), minute, second))
        note_date(reader, "hour, minute", strlen("hour, minute"));
}

/* Days on which clocks of recorders begin. */
static bool is_default(const ll_instant *start)
{
    enum { DAY_1970_01_01 = 0, DAY_2000_01_01 = 10957 };
    int64_t day = ll_instant_day(start);
    return start->has_date && (day == DAY_1970_01_01 || day == DAY_2000_01_01);
}

void ll_take_start(ll_reader *reader)
{
    start_from_parts(reader);
    if (is_default(&reader->dive.start))
        LL_NOTE_HERE(reader, LL_NOTE_DATE_DEFAULT, reader->dive.line,
                     ll_instant_day(&reader->dive.start) ? "2000-01-01" : "1970-01-01");
}
