/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit as a letter. No single verdict stands at its top. */
#include "report/audit_report.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

static void add_title(ll_page *page, const ll_audit *audit)
{
    ll_text_putc(page->out, '\n');
    ll_audit_title_words(page, audit);
    ll_page_end(page, 0, 0);
    ll_text_putc(page->out, '\n');
}

static void add_requirement(ll_page *page, const ll_audit *audit, size_t index)
{
    const ll_requirement_answer *answer = &audit->answer[index];
    ll_text_format(&page->words, "%zu. ", index + 1);
    ll_show(&page->words, answer->asked->text);
    ll_text_puts(&page->words, ": asked ");
    ll_audit_asked_words(page, answer->asked);
    ll_text_puts(&page->words, "; ");
    ll_audit_counted_words(page, answer);
    ll_text_puts(&page->words, ": ");
    ll_paint_add(&page->words, page->look, LL_BOLD, ll_reach_words[answer->verdict]);
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 5);
    if (answer->count > 0) {
        ll_text_puts(&page->words, "Counting: ");
        ll_audit_dives_words(page, audit, answer->dive, answer->count);
        ll_text_putc(&page->words, '.');
        ll_page_end(page, 5, 7);
    }
    ll_audit_short_words(page, audit, answer);
    ll_page_end(page, 5, 7);
}

static void add_requirements(ll_page *page, const ll_audit *audit)
{
    ll_page_heading(page, "Asked, and counted");
    if (audit->answers == 0) {
        ll_text_puts(&page->words, "The standard has no entry requirements.");
        ll_page_end(page, 2, 2);
    }
    for (size_t i = 0; i < audit->answers; i++)
        add_requirement(page, audit, i);
}

/* --- sources ------------------------------------------------------------------------------------------------------ */

void ll_audit_sources(ll_page *page, const ll_audit *audit)
{
    const ll_history *history = audit->history;
    if (audit->notes.count > 0) {
        ll_page_heading(page, "Notes on clocks and numbers");
        ll_text_notes(page, history, &audit->notes);
    }
    ll_text_log_notes(page, history);
    ll_page_heading(page, "Settings and sources");
    ll_text_history_settings(page, &history->settings);
    for (size_t i = 0; i < history->log_count; i++)
        ll_text_file(page, history->logs[i]);
}

static void add_cautions(ll_page *page)
{
    ll_page_heading(page, "Before anyone relies on this");
    for (size_t i = 0; ll_audit_cautions[i]; i++) {
        ll_text_puts(&page->words, ll_audit_cautions[i]);
        ll_text_putc(&page->words, ' ');
    }
    ll_page_end(page, 0, 0);
    ll_text_cautions(page);
}

void ll_audit_text(ll_text *out, const ll_audit *audit, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_first_caution(&page);
    add_title(&page, audit);
    ll_audit_records(&page, audit);
    add_requirements(&page, audit);
    ll_audit_overview_text(&page, audit);
    ll_audit_letter(&page, audit);
    ll_audit_aside_text(&page, audit);
    ll_audit_sources(&page, audit);
    add_cautions(&page);
    ll_text_format(out, "\nleadline %s\n", ll_version);
    ll_page_close(&page);
}
