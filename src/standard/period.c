/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "standard/period.h"

#include <string.h>

#include "base/number.h"

#define MOST_DIGITS 5

/* The parts of one half, in their order, and what they hold in units of the member that they go to. */
typedef struct {
    char letter;
    size_t member;
    unsigned factor;
} part;

static const part date_parts[] = {{'Y', offsetof(ll_period, years), 1},
                                  {'M', offsetof(ll_period, months), 1},
                                  {'D', offsetof(ll_period, days), 1}};
static const part clock_parts[] = {{'H', offsetof(ll_period, seconds), 3600},
                                   {'M', offsetof(ll_period, seconds), 60},
                                   {'S', offsetof(ll_period, seconds), 1}};
enum { PARTS = 3 };

typedef struct {
    const char *next, *end;
} rest;

/* A number and the letter behind it. */
static bool read_part(rest *text, unsigned *number, char *letter)
{
    const char *start = text->next;
    while (text->next < text->end && *text->next >= '0' && *text->next <= '9')
        text->next++;
    size_t digits = (size_t)(text->next - start);
    if (digits == 0 || digits > MOST_DIGITS || text->next == text->end || !ll_whole_read(start, digits, number))
        return false;
    *letter = *text->next++;
    return true;
}

/* One part or more, up to a T or the end. */
static bool read_half(rest *text, const part *parts, ll_period *period)
{
    int next = 0;
    do {
        unsigned number;
        char letter;
        if (!read_part(text, &number, &letter))
            return false;
        while (next < PARTS && parts[next].letter != letter)
            next++;
        if (next == PARTS)
            return false;
        unsigned *member = (unsigned *)((char *)period + parts[next].member);
        *member += number * parts[next++].factor;
    } while (text->next < text->end && *text->next != 'T');
    return true;
}

static bool read_weeks(rest *text, ll_period *period)
{
    unsigned weeks;
    char letter;
    if (!read_part(text, &weeks, &letter) || letter != 'W' || text->next != text->end)
        return false;
    period->days = 7 * weeks;
    return true;
}

static bool read_parts(rest *text, ll_period *period)
{
    if (text->next == text->end || *text->next++ != 'P')
        return false;
    if (text->next < text->end && text->end[-1] == 'W')
        return read_weeks(text, period);
    if (text->next < text->end && *text->next != 'T' && !read_half(text, date_parts, period))
        return false;
    if (text->next == text->end)
        return text->end[-1] != 'P';
    text->next++; /* the T */
    return read_half(text, clock_parts, period) && text->next == text->end;
}

bool ll_period_read(const char *text, size_t length, ll_period *period)
{
    rest all = {text, text + length};
    *period = (ll_period){0, 0, 0, 0};
    if (read_parts(&all, period))
        return true;
    *period = (ll_period){0, 0, 0, 0};
    return false;
}
