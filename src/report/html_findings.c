/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings of a page: a row each, with the number that stands on the picture and room for the instructor's remark. */
#include "report/html.h"
#include "report/html_parts.h"
#include "report/marks.h"
#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/text_parts.h"

static ll_severity weight_of(const ll_debrief *debrief, const ll_finding *finding)
{
    const ll_finding *surfaced = finding->told_with_surfaced ? ll_surfaced_finding(debrief) : NULL;
    return surfaced && surfaced->severity > finding->severity ? surfaced->severity : finding->severity;
}

static void open_row(ll_page *page, const ll_debrief *debrief, size_t index, unsigned mark)
{
    const ll_finding *finding = &debrief->findings.items[index];
    ll_text_format(page->out, "<tr class=\"finding\" id=\"d%u-f%u\" data-mark=\"%u\"",
                   ll_html_place(debrief, page->look), mark, mark);
    ll_html_attribute_number(page->out, "data-from", finding->from_s);
    ll_html_attribute_number(page->out, "data-to", finding->to_s);
    ll_html_attribute_number(page->out, "data-peak", finding->peak_s);
    ll_text_putc(page->out, '>');
}

static void add_words(ll_page *page, const ll_debrief *debrief, const ll_finding *finding)
{
    const ll_finding *surfaced = finding->told_with_surfaced ? ll_surfaced_finding(debrief) : NULL;
    ll_finding_sentence(&page->words, debrief, finding, page->look);
    ll_text_firm(page, debrief, finding);
    if (!surfaced || surfaced == finding)
        return;
    ll_text_putc(&page->words, ' ');
    ll_finding_sentence(&page->words, debrief, surfaced, page->look);
    ll_text_firm(page, debrief, surfaced);
}

static void add_row(ll_page *page, const ll_debrief *debrief, size_t index)
{
    const ll_finding *finding = &debrief->findings.items[index];
    const unsigned mark = ll_mark_of_finding(debrief, index);
    const ll_severity severity = weight_of(debrief, finding);
    open_row(page, debrief, index, mark);
    ll_text_format(page->out, "<th scope=\"row\"><span class=\"mark\">%u</span></th>", mark);
    ll_text_format(&page->words, "%s, ", ll_class_names[ll_kind_table[finding->kind].class]);
    ll_paint_add(&page->words, page->look, ll_severity_paint(severity), ll_severity_names[severity]);
    ll_html_cell(page, "td");
    add_words(page, debrief, finding);
    ll_html_cell(page, "td");
    ll_text_format(page->out,
                   "<td class=\"remark\"><textarea rows=\"2\" aria-label=\"Instructor's remark to finding %u\">"
                   "</textarea></td></tr>\n",
                   mark);
}

void ll_html_findings(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "Findings");
    if (debrief->findings.count == 0) {
        ll_text_puts(&page->words, "Nothing stood beyond a limit.");
        ll_text_reach(page, debrief);
        ll_page_end(page, 0, 0);
        return;
    }
    ll_text_puts(page->out, "<div class=\"wide\"><table class=\"findings\"><thead><tr><th scope=\"col\">No.</th>"
                            "<th scope=\"col\">Class, weight</th><th scope=\"col\">What stood beyond a limit</th>"
                            "<th scope=\"col\">Instructor's remark</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < debrief->findings.count; i++)
        if (!ll_mark_is_shared(debrief, i))
            add_row(page, debrief, i);
    ll_text_puts(page->out, "</tbody></table></div>\n");
    ll_text_firm_meaning(page, debrief);
}
