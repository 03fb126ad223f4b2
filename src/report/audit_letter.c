/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The candidate's letter: for each requirement what is missing, what to send or to clarify. And what was set aside. */
#include <math.h>

#include "base/number.h"
#include "report/audit_report.h"
#include "report/utf8.h"
#include "report/words.h"

/* The claimed ones among some dives: "Records of dives 3 to 5 would ..." */
static void add_claimed(ll_page *page, const ll_audit *audit, const size_t *dive, size_t count, const char *would)
{
    ll_arena arena;
    size_t found = 0;
    ll_arena_open(&arena, page->out->allocator);
    size_t *listed = ll_arena_array(&arena, count, sizeof *listed);
    for (size_t i = 0; listed && i < count; i++)
        if (audit->dive[dive[i]].stand.standing == LL_CLAIMED)
            listed[found++] = dive[i];
    if (found > 0) {
        ll_text_puts(&page->words, "Records of ");
        ll_audit_dives_words(page, audit, listed, found);
        ll_text_puts(&page->words, would);
    }
    page->out->no_memory = page->out->no_memory || !listed;
    ll_arena_close(&arena);
}

static void add_missing(ll_page *page, const ll_requirement_answer *answer)
{
    static const char *const units[LL_COUNTED_WAYS] = {"dives", "hours", "days"};
    const ll_requirement *asked = answer->asked;
    if (answer->recorded < asked->least) {
        ll_fixed_add(&page->words, asked->least - answer->recorded, asked->counted_in == LL_COUNTED_HOURS);
        ll_text_format(&page->words, " more recorded %s would reach the count. ", units[asked->counted_in]);
    }
    if (answer->recorded > asked->most)
        ll_text_puts(&page->words, "More are recorded than the most that is asked. ");
}

static void add_to_send(ll_page *page, const ll_audit *audit, const ll_requirement_answer *answer)
{
    add_claimed(page, audit, answer->dive, answer->count, " would turn claims into records. ");
    add_claimed(page, audit, answer->open_dive, answer->open, " would settle whether they count. ");
}

static bool has_reason(const ll_audit_dive *dive, ll_reason reason)
{
    return dive->stand.reason == reason;
}

static bool is_to_clarify(const ll_audit_dive *dive)
{
    return dive->stand.standing == LL_SET_ASIDE && !has_reason(dive, LL_REASON_NO_DIVE) &&
           !has_reason(dive, LL_REASON_AFTER_DAY);
}

static void add_to_clarify(ll_page *page, const ll_audit *audit)
{
    ll_arena arena;
    size_t count = 0;
    ll_arena_open(&arena, page->out->allocator);
    size_t *listed = ll_arena_array(&arena, audit->count, sizeof *listed);
    for (size_t i = 0; listed && i < audit->count; i++)
        if (is_to_clarify(&audit->dive[i]))
            listed[count++] = i;
    if (count > 0) {
        ll_text_puts(&page->words, "To clarify, if they are to count: ");
        ll_audit_dives_words(page, audit, listed, count);
        ll_text_puts(&page->words, ", set aside for the reasons given below. A word on how they came about is enough; a "
                                   "second recorder or a clock explains most of them.");
    }
    ll_page_end(page, 2, 4);
    page->out->no_memory = page->out->no_memory || !listed;
    ll_arena_close(&arena);
}

void ll_audit_letter(ll_page *page, const ll_audit *audit)
{
    bool any = false;
    ll_page_heading(page, "For the candidate: what is missing, what to send");
    for (size_t i = 0; i < audit->answers; i++) {
        const ll_requirement_answer *answer = &audit->answer[i];
        if (answer->verdict == LL_REACHED)
            continue;
        any = true;
        ll_show(&page->words, answer->asked->text);
        ll_text_puts(&page->words, ": ");
        ll_audit_asked_words(page, answer->asked);
        ll_text_puts(&page->words, " asked, ");
        ll_audit_counted_words(page, answer);
        ll_text_puts(&page->words, ". ");
        add_missing(page, answer);
        add_to_send(page, audit, answer);
        ll_page_end(page, 2, 4);
    }
    if (!any) {
        ll_text_puts(&page->words, "Every count asked for is reached by recorded dives; nothing needs to be sent.");
        ll_page_end(page, 2, 4);
    }
    add_to_clarify(page, audit);
}

/* --- merged and set aside ----------------------------------------------------------------------------------------- */

static void add_aside(ll_page *page, const ll_audit *audit, ll_standing standing, const char *heading)
{
    if (audit->in[standing] == 0)
        return;
    ll_page_heading(page, heading);
    for (size_t i = 0; i < audit->count; i++) {
        if (audit->dive[i].stand.standing != standing)
            continue;
        ll_audit_dive_words(page, audit, i);
        ll_text_puts(&page->words, " (");
        ll_show(&page->words, audit->dive[i].entry->log->name);
        ll_text_puts(&page->words, "): ");
        ll_text_puts(&page->words, audit->dive[i].stand.why);
        ll_text_putc(&page->words, '.');
        ll_page_end(page, 2, 4);
    }
}

static void add_witnessed(ll_page *page, const ll_audit *audit)
{
    for (size_t i = 0; i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        bool first = true;
        for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
            if (!(dive->witnessed & LL_KIND(kind)))
                continue;
            if (first)
                ll_text_format(&page->words, "Both records of dive %u show: ", dive->entry->number);
            ll_text_format(&page->words, "%s%s", first ? "" : ", ", ll_kind_table[kind].label);
            first = false;
        }
        ll_text_puts(&page->words, first ? "" : ".");
        ll_page_end(page, 2, 4);
    }
}

void ll_audit_aside_text(ll_page *page, const ll_audit *audit)
{
    add_aside(page, audit, LL_MERGED, "Merged: one dive, more than one record");
    add_witnessed(page, audit);
    add_aside(page, audit, LL_SET_ASIDE, "Set aside");
}
