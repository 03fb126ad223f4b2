/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The review as text. */
#include "report/review_report.h"
#include "report/text_parts.h"
#include "report/words.h"

static void add_title(ll_page *page, const ll_review *review)
{
    ll_text_putc(page->out, '\n');
    ll_review_title_words(page, review);
    ll_page_end(page, 0, 0);
}

static void add_cautions(ll_page *page)
{
    ll_page_heading(page, "Before anyone relies on this");
    for (size_t i = 0; ll_review_cautions[i]; i++) {
        ll_text_puts(&page->words, ll_review_cautions[i]);
        ll_text_putc(&page->words, ' ');
    }
    ll_page_end(page, 0, 0);
    ll_text_cautions(page);
}

void ll_review_text(ll_text *out, const ll_review *review, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_first_caution(&page);
    add_title(&page, review);
    ll_review_records(&page, review);
    ll_review_table(&page, review);
    ll_review_differ(&page, review);
    ll_review_divers(&page, review);
    ll_review_team_text(&page, review);
    ll_review_plan_text(&page, review);
    ll_review_course_table(&page, review);
    ll_review_sources(&page, review);
    add_cautions(&page);
    ll_text_format(out, "\nleadline %s\n", ll_version);
    ll_page_close(&page);
}
