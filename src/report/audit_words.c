/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words of an audit: what was asked, what was counted, which dives. */
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "report/audit_report.h"
#include "report/utf8.h"
#include "report/words.h"

enum { SHORTS_SHOWN = 5 };

const char *const ll_audit_cautions[] = {
    "Counts show exposure, not competence.",
    "Doubts about a record can have innocent causes: a second recorder, a clock, a shared unit, an entry by hand.",
    "Admission is the instructor's decision under the standard in force.",
    NULL,
};

/* Hours with one decimal, whole dives and days. */
static void add_count(ll_text *out, double count, ll_counted_in in)
{
    if (in == LL_COUNTED_HOURS)
        ll_fixed_add(out, count, 1);
    else
        ll_number_add(out, count);
}

static void add_asked(ll_text *out, double count, ll_counted_in in)
{
    static const char *const one[LL_COUNTED_WAYS] = {" dive", " hour", " day"};
    ll_number_add(out, count);
    ll_text_puts(out, one[in]);
    ll_text_puts(out, count > 1 || count < 1 ? "s" : "");
}

void ll_audit_asked_words(ll_page *page, const ll_requirement *asked)
{
    bool least = !isnan(asked->least), most = !isnan(asked->most);
    if (least) {
        ll_text_puts(&page->words, "at least ");
        add_asked(&page->words, asked->least, asked->counted_in);
    }
    ll_text_puts(&page->words, least && most ? " and " : "");
    if (most) {
        ll_text_puts(&page->words, "at most ");
        add_asked(&page->words, asked->most, asked->counted_in);
    }
}

void ll_audit_counted_words(ll_page *page, const ll_requirement_answer *answer)
{
    const ll_counted_in in = answer->asked->counted_in;
    add_count(&page->words, answer->recorded, in);
    ll_text_puts(&page->words, " recorded, ");
    add_count(&page->words, answer->claimed, in);
    ll_text_puts(&page->words, " claimed");
    if (answer->unsettled > 0) {
        ll_text_puts(&page->words, ", ");
        add_count(&page->words, answer->unsettled, in);
        ll_text_puts(&page->words, " not settled by what is known of them");
    }
}

/* --- dives ------------------------------------------------------------------------------------------------------ */

static unsigned number_of(const ll_audit *audit, size_t index)
{
    return audit->dive[index].entry->number;
}

void ll_audit_dives_words(ll_page *page, const ll_audit *audit, const size_t *dive, size_t count)
{
    ll_text_puts(&page->words, count == 1 ? "dive " : count ? "dives " : "no dive");
    for (size_t i = 0; i < count;) {
        size_t last = i;
        while (last + 1 < count && number_of(audit, dive[last + 1]) == number_of(audit, dive[last]) + 1)
            last++;
        ll_text_format(&page->words, "%s%u", i ? ", " : "", number_of(audit, dive[i]));
        if (last > i)
            ll_text_format(&page->words, "%s%u", last == i + 1 ? ", " : " to ", number_of(audit, dive[last]));
        i = last + 1;
    }
}

void ll_audit_dive_words(ll_page *page, const ll_audit *audit, size_t index)
{
    const ll_audit_dive *dive = &audit->dive[index];
    ll_text_format(&page->words, page->words.size ? "dive %u" : "Dive %u", dive->entry->number);
    if (!dive->dated)
        return;
    ll_text_puts(&page->words, " on ");
    ll_day_add(&page->words, dive->day);
}

void ll_audit_short_words(ll_page *page, const ll_audit *audit, const ll_requirement_answer *answer)
{
    size_t shown = answer->shorts < SHORTS_SHOWN ? answer->shorts : SHORTS_SHOWN;
    for (size_t i = 0; i < shown; i++) {
        const ll_just_short *one = &answer->just_short[answer->shorts - 1 - i];
        ll_text_puts(&page->words, i ? "; " : "Just short: ");
        ll_audit_dive_words(page, audit, one->dive);
        ll_text_puts(&page->words, " (");
        ll_text_puts(&page->words, one->why);
        ll_text_putc(&page->words, ')');
    }
    if (answer->shorts > shown)
        ll_text_format(&page->words, "; and %zu earlier one%s", answer->shorts - shown,
                       answer->shorts - shown == 1 ? "" : "s");
    ll_text_puts(&page->words, shown ? "." : "");
}

/* --- title and records -------------------------------------------------------------------------------------------- */

/* The owner that all logs share; nothing where they name several, which a note lists. */
static void add_owner(ll_page *page, const ll_history *history)
{
    const ll_log *named = NULL;
    ll_text name;
    for (size_t i = 0; i < history->log_count; i++) {
        const ll_log *log = history->logs[i];
        if (named && log->owner && strcmp(named->owner, log->owner) != 0)
            return;
        named = log->owner ? log : named;
    }
    ll_text_open(&name, page->out->allocator, NULL, NULL);
    if (named && ll_owner_add(&name, history, named, page->look))
        ll_text_puts(&page->words, " of ");
    ll_page_show(page, &name);
}

void ll_audit_title_words(ll_page *page, const ll_audit *audit)
{
    ll_text_puts(&page->words, "The dives");
    add_owner(page, audit->history);
    ll_text_puts(&page->words, " and the entry requirements of ");
    ll_show(&page->words, audit->standard->name);
    ll_text_puts(&page->words, ", as of ");
    ll_day_add(&page->words, audit->today);
}

void ll_audit_records(ll_page *page, const ll_audit *audit)
{
    ll_text_puts(&page->words, "The logs hold ");
    ll_counted(&page->words, audit->count, "dive");
    ll_text_format(&page->words,
                   ": %zu recorded, %zu claimed (stated without a record), %zu merged with another record or statement "
                   "of the same dive, %zu set aside. Each is in exactly one of these classes. Merged dives and those set "
                   "aside count for nothing below and load no tissues.",
                   audit->in[LL_RECORDED], audit->in[LL_CLAIMED], audit->in[LL_MERGED], audit->in[LL_SET_ASIDE]);
    ll_page_end(page, 0, 0);
}
