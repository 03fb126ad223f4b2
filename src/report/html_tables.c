/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables of a page. */
#include <math.h>

#include "report/html.h"
#include "report/html_parts.h"
#include "report/marks.h"
#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/text_levels.h"
#include "report/text_parts.h"
#include "report/words.h"

void ll_html_cell(ll_page *page, const char *tag)
{
    ll_text_format(page->out, "<%s>", tag);
    ll_page_end(page, 0, 0);
    ll_text_format(page->out, "</%.2s>", tag);
}

static const char *const row_head = "th scope=\"row\"";

/* --- slate ---------------------------------------------------------------------------------------------------- */

static void add_slate_row(ll_page *page, const ll_debrief *debrief, const ll_slate_row *row)
{
    bool up = isnan(row->leaving_s);
    ll_text_puts(page->out, "<tr>");
    ll_figure(&page->words, row->depth_m, "m", 0, page->look);
    ll_html_cell(page, row_head);
    ll_run_clock(&page->words, debrief, row->arrival_s);
    ll_html_cell(page, "td");
    if (!up)
        ll_run_clock(&page->words, debrief, row->leaving_s);
    ll_html_cell(page, "td");
    if (up)
        ll_text_puts(&page->words, "surface");
    else if (row->mix < 0)
        ll_text_puts(&page->words, "unknown");
    else
        ll_mix_add(&page->words, debrief->entry->log, row->mix);
    ll_text_puts(&page->words, row->loop ? " (loop)" : "");
    ll_html_cell(page, "td");
    ll_text_puts(page->out, "</tr>\n");
}

void ll_html_slate(ll_page *page, const ll_debrief *debrief)
{
    const ll_levels *levels = &debrief->levels;
    if (!levels->made)
        return;
    ll_text_puts(page->out, "<table class=\"figures\"><caption>Run time table, as on a slate</caption><thead><tr>"
                            "<th scope=\"col\">Depth</th><th scope=\"col\">Arrival</th><th scope=\"col\">Leaving</th>"
                            "<th scope=\"col\">Mix</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < levels->rows; i++)
        add_slate_row(page, debrief, &levels->row[i]);
    ll_text_puts(page->out, "</tbody></table>\n");
}

/* --- switches ------------------------------------------------------------------------------------------------- */

void ll_html_switches(ll_page *page, const ll_debrief *debrief)
{
    if (debrief->switch_count == 0)
        return;
    ll_page_heading(page, "Switches");
    ll_text_puts(page->out, "<table class=\"switches\"><thead><tr><th scope=\"col\">Mark</th><th scope=\"col\">"
                            "What was switched</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < debrief->switch_count; i++) {
        char letters[LL_MARK_LETTERS];
        ll_text_puts(page->out, "<tr class=\"switch\"");
        ll_html_attribute_number(page->out, "data-at", debrief->switches[i].time_s);
        ll_text_format(page->out, "><th scope=\"row\"><span class=\"mark round\">%s</span></th>",
                       ll_mark_of_switch(i, letters));
        ll_switch_words(page, debrief, i);
        ll_html_cell(page, "td");
        ll_text_puts(page->out, "</tr>\n");
    }
    ll_text_puts(page->out, "</tbody></table>\n");
}

/* --- peaks ---------------------------------------------------------------------------------------------------- */

static void add_peak(ll_page *page, const ll_debrief *debrief, ll_quantity quantity)
{
    const ll_peak *peak = &debrief->peak[quantity];
    const bool none = quantity == LL_CEILING && !(peak->value > 0);
    ll_text_puts(page->out, "<tr>");
    ll_capital_add(&page->words, ll_quantity_table[quantity].label);
    ll_html_cell(page, row_head);
    if (isnan(peak->value) || none)
        ll_text_puts(&page->words, isnan(peak->value) ? "not known" : "none");
    else
        ll_quantity_figure(&page->words, quantity, peak->value, page->look);
    ll_html_cell(page, "td");
    if (!isnan(peak->value) && !none)
        ll_run_clock(&page->words, debrief, peak->time_s);
    ll_html_cell(page, "td");
    ll_text_puts(page->out, "</tr>\n");
}

void ll_html_peaks(ll_page *page, const ll_debrief *debrief)
{
    ll_text_puts(page->out, "<table class=\"figures\"><caption>Peaks</caption><thead><tr><th scope=\"col\">Quantity</th>"
                            "<th scope=\"col\">Greatest</th><th scope=\"col\">At run time</th></tr></thead><tbody>\n");
    for (int q = 0; q < LL_QUANTITIES; q++)
        if (ll_debrief_peaks & LL_SET(q))
            add_peak(page, debrief, (ll_quantity)q);
    ll_text_puts(page->out, "</tbody></table>\n");
}

/* --- limits and sources ----------------------------------------------------------------------------------------- */

static void add_source(ll_page *page, const ll_quantity_row *row)
{
    ll_capital_add(&page->words, row->label);
    ll_html_cell(page, row_head);
    ll_text_puts(&page->words, row->source);
    ll_html_cell(page, "td");
}

void ll_html_limits(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "Limits and where they come from");
    ll_text_puts(page->out, "<ul>\n");
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        const bool asked = !isnan(ll_first_limit(debrief, (ll_kind)kind));
        if (!asked && ll_limit_of(debrief, (ll_kind)kind)->origin == LL_BUILT_IN)
            continue;
        ll_limit_sentence(&page->words, debrief, (ll_kind)kind, page->look);
        ll_html_cell(page, "li");
        ll_text_putc(page->out, '\n');
    }
    ll_text_puts(page->out, "</ul>\n");
    ll_page_heading(page, "Where the figures come from");
    ll_text_puts(page->out, "<table class=\"sources\"><thead><tr><th scope=\"col\">Figure</th><th scope=\"col\">Source"
                            "</th></tr></thead><tbody>\n");
    for (int q = LL_PO2; q <= LL_OTU; q++) {
        ll_text_puts(page->out, "<tr>");
        add_source(page, &ll_quantity_table[q]);
        ll_text_puts(page->out, "</tr>\n");
    }
    ll_text_puts(page->out, "</tbody></table>\n");
}
