/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page of a review: the team's picture, the tables, each diver's debrief folded away under it. */
#include "report/html.h"
#include "report/html_parts.h"
#include "report/review_report.h"
#include "report/text_parts.h"
#include "report/words.h"

static void begin(ll_page *page, const ll_review *review, const ll_look *look)
{
    ll_review_title_words(page, review);
    const char *words = ll_text_string(&page->words);
    ll_html_begin(page->out, review->asked->settings, words ? words : "", look);
    ll_text_puts(page->out, "<h1>What did these divers actually do?</h1>\n");
    ll_html_first_caution(page->out);
    ll_text_puts(page->out, "<article class=\"review\">\n<h2>");
    ll_html_string(page->out, words ? words : "");
    ll_text_puts(page->out, "</h2>\n");
    page->words.size = 0;
}

static void add_debrief(ll_page *page, const ll_review *review, size_t index, const ll_track *track, const ll_look *look)
{
    ll_text name;
    ll_text_open(&name, page->out->allocator, NULL, NULL);
    const ll_look own = ll_diver_look(review, index, look, &name);
    ll_html_debrief(page->out, &review->diver[index].debrief, track, &own, false);
    page->out->no_memory = page->out->no_memory || name.no_memory;
    ll_text_close(&name);
}

static void add_debriefs(ll_page *page, const ll_review *review, const ll_track *const *track, const ll_look *look)
{
    ll_page_heading(page, "Each diver's own debrief");
    for (size_t i = 0; i < review->count; i++)
        if (ll_review_has(review, i))
            add_debrief(page, review, i, track[i], look);
}

static void add_cautions(ll_page *page)
{
    ll_page_heading(page, "Before anyone relies on this");
    ll_html_list(page, ll_review_cautions);
    ll_html_list(page, ll_cautions);
}

static void add_body(ll_page *page, const ll_review *review)
{
    ll_team_picture(page->out, review, page->look);
    ll_review_differ(page, review);
    ll_review_table(page, review);
    ll_review_divers(page, review);
    ll_review_team_text(page, review);
    ll_review_plan_text(page, review);
    ll_review_course_table(page, review);
    ll_review_records(page, review);
}

void ll_review_html(ll_text *out, const ll_review *review, const ll_track *const *track, const ll_look *look)
{
    ll_look painted = *look, line = *look;
    ll_page page;
    ll_text figures;
    painted.colour = true;
    line.one_line = true;
    ll_text_open(&figures, out->allocator, NULL, NULL);
    ll_review_json(&figures, review, &line);
    ll_page_open_markup(&page, out, &painted);
    begin(&page, review, look);
    add_body(&page, review);
    ll_text_puts(out, "</article>\n");
    add_debriefs(&page, review, track, look);
    ll_text_puts(out, "<footer>\n");
    ll_review_sources(&page, review);
    add_cautions(&page);
    ll_text_puts(out, "</footer>\n");
    ll_html_end(out, &figures);
    out->no_memory = out->no_memory || figures.no_memory;
    ll_text_close(&figures);
    ll_page_close(&page);
}
