/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Doubts about clocks and numbers: recognised, noted, kept. */
#include <math.h>

#include "assess/audit_parts.h"

/* Days on which clocks that were never set begin (common practice, no source). */
static bool is_first_day(int64_t day)
{
    ll_date date = ll_day_date(day);
    return date.month == 1 && date.day == 1 && date.year % 10 == 0 && date.year <= 2000;
}

static bool note_unset(ll_audit *audit, ll_arena *arena, const ll_audit_dive *dive)
{
    if (!dive->dated || !is_first_day(dive->day))
        return true;
    const char *shown = ll_arena_format(arena, "%04d-01-01", ll_day_date(dive->day).year);
    if (!shown)
        return false;
    return ll_note_add(&audit->notes, arena, LL_NOTE_CLOCK_UNSET, dive->entry->dive->line, dive->entry->number, shown);
}

/* Within one log numbers rise with time. */
static bool note_numbers(ll_audit *audit, ll_arena *arena, size_t index)
{
    const ll_audit_dive *dive = &audit->dive[index];
    const unsigned number = dive->entry->dive->stated_number;
    if (number == 0 || !dive->dated)
        return true;
    for (size_t i = index; i-- > 0;) {
        const ll_audit_dive *earlier = &audit->dive[i];
        if (earlier->entry->log != dive->entry->log || earlier->entry->dive->stated_number == 0)
            continue;
        if (earlier->entry->dive->stated_number < number)
            return true;
        return ll_note_add(&audit->notes, arena, LL_NOTE_NUMBERS_FALL, dive->entry->dive->line, dive->entry->number,
                           number, earlier->entry->number, earlier->entry->dive->stated_number);
    }
    return true;
}

static bool note_hours(ll_audit *audit, ll_arena *arena, const ll_audit_dive *dive)
{
    if (dive->stand.reason != LL_REASON_REPEATS)
        return true;
    const ll_entry *other = audit->dive[dive->stand.other].entry;
    const int hours = ll_whole_hours(dive->entry->begins_s - other->begins_s);
    return hours == 0 || ll_note_add(&audit->notes, arena, LL_NOTE_CLOCK_HOURS_OFF, dive->entry->dive->line,
                                     dive->entry->number, other->number, hours);
}

bool ll_audit_doubts(ll_audit *audit, ll_arena *arena)
{
    for (size_t i = 0; i < audit->count; i++)
        if (!note_unset(audit, arena, &audit->dive[i]) || !note_numbers(audit, arena, i) ||
            !note_hours(audit, arena, &audit->dive[i]))
            return false;
    return true;
}
