/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page of an audit: requirements in a table, the dives by date and depth, the letter, every dive in a list. */
#include <math.h>

#include "report/audit_report.h"
#include "report/html.h"
#include "report/html_parts.h"
#include "report/strips.h"
#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

/* --- requirements ------------------------------------------------------------------------------------------------- */

static void add_dives(ll_page *page, const ll_audit *audit, const ll_requirement_answer *answer)
{
    if (answer->count == 0 && answer->shorts == 0) {
        ll_text_puts(page->out, "<td></td>");
        return;
    }
    ll_text_puts(page->out, "<td><details><summary>which</summary>");
    ll_audit_dives_words(page, audit, answer->dive, answer->count);
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 0, 0);
    ll_audit_short_words(page, audit, answer);
    ll_page_end(page, 0, 0);
    ll_text_puts(page->out, "</details></td>");
}

static void add_requirement(ll_page *page, const ll_audit *audit, const ll_requirement_answer *answer)
{
    ll_text_format(page->out, "<tr class=\"%s\">", ll_reach_keys[answer->verdict]);
    ll_show(&page->words, answer->asked->text);
    ll_html_cell(page, "th scope=\"row\"");
    ll_audit_asked_words(page, answer->asked);
    ll_html_cell(page, "td");
    ll_audit_counted_words(page, answer);
    ll_html_cell(page, "td");
    ll_text_puts(&page->words, ll_reach_words[answer->verdict]);
    ll_html_cell(page, "td");
    add_dives(page, audit, answer);
    ll_text_puts(page->out, "</tr>\n");
}

static void add_requirements(ll_page *page, const ll_audit *audit)
{
    ll_page_heading(page, "Asked, and counted");
    if (audit->answers == 0) {
        ll_text_puts(&page->words, "The standard has no entry requirements.");
        ll_page_end(page, 0, 0);
        return;
    }
    ll_text_puts(page->out, "<div class=\"wide\"><table class=\"requirements\"><thead><tr><th scope=\"col\">Requirement"
                            "</th><th scope=\"col\">Asked</th><th scope=\"col\">Counted</th><th scope=\"col\">Answer</th>"
                            "<th scope=\"col\">Dives</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < audit->answers; i++)
        add_requirement(page, audit, &audit->answer[i]);
    ll_text_puts(page->out, "</tbody></table></div>\n");
}

/* --- the list of dives -------------------------------------------------------------------------------------------- */

static void add_dive(ll_page *page, const ll_audit_dive *dive)
{
    ll_text_format(page->out, "<tr id=\"dive-%u\"><th scope=\"row\">%u</th>", dive->entry->number, dive->entry->number);
    if (dive->dated)
        ll_day_add(&page->words, dive->day);
    ll_html_cell(page, "td");
    if (!isnan(dive->greatest_m))
        ll_quantity_figure(&page->words, LL_DEPTH, dive->greatest_m, page->look);
    ll_html_cell(page, "td");
    if (!isnan(dive->run_time_s))
        ll_duration(&page->words, dive->run_time_s);
    ll_html_cell(page, "td");
    if (dive->decompression == LL_YES && !isnan(dive->owed_s))
        ll_duration(&page->words, dive->owed_s);
    ll_html_cell(page, "td");
    ll_text_puts(&page->words, ll_standing_words[dive->stand.standing]);
    if (dive->stand.why) {
        ll_text_puts(&page->words, ": ");
        ll_text_puts(&page->words, dive->stand.why);
    }
    ll_html_cell(page, "td");
    ll_text_puts(page->out, "</tr>\n");
}

static void add_list(ll_page *page, const ll_audit *audit)
{
    ll_text_puts(page->out, "<details class=\"dives\"><summary><h3>Every dive</h3></summary><div class=\"wide\">"
                            "<table class=\"figures\"><thead><tr><th scope=\"col\">No.</th><th scope=\"col\">Date</th>"
                            "<th scope=\"col\">Greatest depth</th><th scope=\"col\">Time</th><th scope=\"col\">Stops owed"
                            "</th><th scope=\"col\">Class</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < audit->count; i++)
        add_dive(page, &audit->dive[i]);
    ll_text_puts(page->out, "</tbody></table></div></details>\n");
}

/* --- the season ------------------------------------------------------------------------------------------------- */

static void add_season(ll_page *page, const ll_audit *audit)
{
    ll_arena arena;
    ll_arena_open(&arena, page->out->allocator);
    ll_html_dive *list = ll_arena_array(&arena, audit->count, sizeof *list);
    for (size_t i = 0; list && i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        list[i] = (ll_html_dive){dive->entry, dive->entry->dive->count > 0, dive->greatest_m, LL_NO_FINDING,
                                 (int)dive->stand.standing};
    }
    if (list)
        ll_html_season(page->out, list, audit->count, page->look);
    page->out->no_memory = page->out->no_memory || !list;
    ll_arena_close(&arena);
}

/* --- the whole ---------------------------------------------------------------------------------------------------- */

static void begin(ll_page *page, const ll_audit *audit, const ll_look *look)
{
    ll_audit_title_words(page, audit);
    const char *words = ll_text_string(&page->words);
    ll_html_begin(page->out, &audit->history->settings, words ? words : "", look);
    ll_text_puts(page->out, "<h1>Does this history meet the standard?</h1>\n");
    ll_html_first_caution(page->out);
    ll_text_puts(page->out, "<article class=\"audit\">\n<h2>");
    ll_html_string(page->out, words ? words : "");
    ll_text_puts(page->out, "</h2>\n");
    page->words.size = 0;
}

static void add_cautions(ll_page *page)
{
    ll_page_heading(page, "Before anyone relies on this");
    ll_html_list(page, ll_audit_cautions);
    ll_html_list(page, ll_cautions);
}

static void add_body(ll_page *page, const ll_audit *audit)
{
    ll_audit_records(page, audit);
    add_requirements(page, audit);
    add_season(page, audit);
    ll_audit_letter(page, audit);
    ll_audit_overview_text(page, audit);
    ll_audit_aside_text(page, audit);
    add_list(page, audit);
    ll_audit_sources(page, audit);
    add_cautions(page);
}

void ll_audit_html(ll_text *out, const ll_audit *audit, const ll_look *look)
{
    ll_look painted = *look, line = *look;
    ll_page page;
    ll_text figures;
    painted.colour = true;
    line.one_line = true;
    ll_text_open(&figures, out->allocator, NULL, NULL);
    ll_audit_json(&figures, audit, &line);
    ll_page_open_markup(&page, out, &painted);
    begin(&page, audit, look);
    add_body(&page, audit);
    ll_text_puts(out, "</article>\n");
    ll_html_end(out, &figures);
    out->no_memory = out->no_memory || figures.no_memory;
    ll_text_close(&figures);
    ll_page_close(&page);
}
