/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons in words that accuse nobody. */
#include <math.h>

#include "assess/standing_parts.h"
#include "base/number.h"

#define MOST_HOURS 14 /* the time zones farthest from UTC */
#define NEAR_S 120.0

const char *const ll_standing_names[LL_STANDINGS] = {"recorded", "claimed", "merged", "set-aside"};
const char *const ll_standing_words[LL_STANDINGS] = {"recorded", "claimed", "merged", "set aside"};

const char *const ll_reason_keys[LL_REASONS] = {
    [LL_REASON_NONE] = "",
    [LL_REASON_AFTER_DAY] = "after-day",
    [LL_REASON_DEPTH] = "depth-contradicts",
    [LL_REASON_DURATION] = "duration-contradicts",
    [LL_REASON_NOT_POSITIVE] = "not-positive",
    [LL_REASON_RATE] = "rate",
    [LL_REASON_TOO_DEEP] = "too-deep",
    [LL_REASON_NO_DIVE] = "no-dive",
    [LL_REASON_SAME] = "same-dive",
    [LL_REASON_SAME_STATED] = "states-recorded-dive",
    [LL_REASON_OVERLAPS] = "overlaps",
    [LL_REASON_REPEATS] = "repeats",
};

static void add_minutes(ll_text *text, double seconds)
{
    ll_fixed_add(text, seconds / 60, 0);
    ll_text_puts(text, " min");
}

static void add_figures(ll_text *text, const char *stated, const char *recorded, const ll_stand *stand, int digits)
{
    ll_text_puts(text, stated);
    ll_fixed_add(text, stand->stated, digits);
    ll_text_puts(text, recorded);
    ll_fixed_add(text, stand->recorded, digits);
    ll_text_puts(text, " m; a setting or an entry by hand may explain it");
}

/* "the same as dive 212 within 0.1 m over 740 samples" */
static void add_alike(ll_text *text, const ll_history *history, const ll_stand *stand, const char *what)
{
    ll_text_format(text, "%s dive %u within ", what, history->entry[stand->other].number);
    ll_fixed_add(text, fmax(ceil(stand->alike.difference_m * 10) / 10, 0.1), 1);
    ll_text_format(text, " m over %zu samples", stand->alike.samples);
}

int ll_whole_hours(double seconds)
{
    double hours = round(seconds / 3600);
    bool whole = fabs(hours) >= 1 && fabs(hours) <= MOST_HOURS && fabs(seconds - hours * 3600) < NEAR_S;
    return whole ? (int)hours : 0;
}

static void add_repeat(ll_text *text, const ll_history *history, const ll_entry *entry, const ll_stand *stand)
{
    int hours = ll_whole_hours(entry->begins_s - history->entry[stand->other].begins_s);
    add_alike(text, history, stand, "the same profile as");
    ll_text_puts(text, ", under another date; counted once; possible: a second recorder");
    if (hours != 0)
        ll_text_format(text, " whose clock is off by %d h", hours < 0 ? -hours : hours);
    ll_text_puts(text, ", a clock reset, a shared unit");
}

static void add_words(ll_text *text, const ll_history *history, const ll_entry *entry, const ll_stand *stand)
{
    switch (stand->reason) {
    case LL_REASON_AFTER_DAY:
        ll_text_puts(text, "lies after the day of this audit");
        break;
    case LL_REASON_DEPTH:
        add_figures(text, "the log states a greatest depth of ", " m, the record shows ", stand, 1);
        break;
    case LL_REASON_DURATION:
        ll_text_puts(text, "the log states a duration of ");
        add_minutes(text, stand->stated);
        ll_text_puts(text, ", the record shows ");
        add_minutes(text, stand->recorded);
        ll_text_puts(text, "; a record cut short or an entry by hand may explain it");
        break;
    case LL_REASON_NOT_POSITIVE:
        ll_text_puts(text, "the log states a depth or duration that is not more than 0");
        break;
    case LL_REASON_RATE:
        ll_text_puts(text, "the record changes depth by ");
        ll_fixed_add(text, stand->recorded, 0);
        ll_text_puts(text, " m/min for 5 s and more; a sensor can do that, a diver hardly");
        break;
    case LL_REASON_TOO_DEEP:
        ll_text_puts(text, "a greatest depth of ");
        ll_fixed_add(text, stand->recorded, 0);
        ll_text_puts(text, " m; a sensor or a unit may explain it");
        break;
    case LL_REASON_NO_DIVE:
        ll_text_puts(text, "never deeper than 3 m for 3 min in all");
        break;
    case LL_REASON_SAME:
        add_alike(text, history, stand, "the same dive as");
        ll_text_puts(text, "; counted once, this record is its witness; possible: a second recorder");
        break;
    case LL_REASON_SAME_STATED:
        ll_text_format(text, "states what dive %u recorded; counted once", history->entry[stand->other].number);
        break;
    case LL_REASON_OVERLAPS:
        ll_text_format(text, "overlaps dive %u in time; possible: a clock set wrong, another diver's log",
                       history->entry[stand->other].number);
        break;
    case LL_REASON_REPEATS:
        add_repeat(text, history, entry, stand);
        break;
    case LL_REASON_NONE:
    case LL_REASONS:
        break;
    }
}

bool ll_stand_words(const ll_history *history, const ll_entry *entry, ll_arena *arena, ll_stand *stand)
{
    ll_text text;
    ll_text_open(&text, arena->allocator, NULL, NULL);
    add_words(&text, history, entry, stand);
    const char *words = ll_text_string(&text);
    stand->why = words ? ll_arena_text_n(arena, words, text.size) : NULL;
    ll_text_close(&text);
    return stand->why != NULL;
}
