/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A row a dive, a column a requirement. */
#include "base/number.h"
#include "report/audit_report.h"
#include "report/csv.h"

static void add_head(ll_text *out, const ll_audit *audit)
{
    ll_text_puts(out, "dive,start,file,class,reason,other,greatest_depth_m,run_time_s,decompression,owed_s");
    for (size_t i = 0; i < audit->answers; i++) {
        ll_text_putc(out, ',');
        ll_csv_text(out, audit->answer[i].asked->id);
    }
    ll_text_putc(out, '\n');
}

/* In a rising list. */
static bool holds(const size_t *dive, size_t count, size_t index)
{
    size_t from = 0, to = count;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (dive[middle] < index)
            from = middle + 1;
        else
            to = middle;
    }
    return from < count && dive[from] == index;
}

/* "yes", "open", or empty. */
static void add_answer(ll_text *out, const ll_requirement_answer *answer, size_t index)
{
    if (holds(answer->dive, answer->count, index))
        ll_text_puts(out, "yes");
    else if (holds(answer->open_dive, answer->open, index))
        ll_text_puts(out, "open");
}

static void add_number(ll_text *out, double value)
{
    ll_text_putc(out, ',');
    ll_number_add(out, value);
}

static void add_row(ll_text *out, const ll_audit *audit, size_t index)
{
    static const char *const known[] = {"", "no", "yes"};
    const ll_audit_dive *dive = &audit->dive[index];
    ll_text_format(out, "%u,", dive->entry->number);
    ll_instant_add(out, &dive->entry->dive->start);
    ll_text_putc(out, ',');
    ll_csv_text(out, dive->entry->log->name);
    ll_text_format(out, ",%s,%s,", ll_standing_names[dive->stand.standing], ll_reason_keys[dive->stand.reason]);
    if (dive->stand.other != SIZE_MAX)
        ll_text_format(out, "%u", audit->dive[dive->stand.other].entry->number);
    add_number(out, dive->greatest_m);
    add_number(out, dive->run_time_s);
    ll_text_format(out, ",%s", known[dive->decompression]);
    add_number(out, dive->owed_s);
    for (size_t i = 0; i < audit->answers; i++) {
        ll_text_putc(out, ',');
        add_answer(out, &audit->answer[i], index);
    }
    ll_text_putc(out, '\n');
}

void ll_audit_csv(ll_text *out, const ll_audit *audit)
{
    add_head(out, audit);
    for (size_t i = 0; i < audit->count; i++)
        add_row(out, audit, i);
}
