/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first lines of a dive: what stood beyond a limit against recorder error, and what was kept; then the questions
 * that are asked first. Marginal findings wait for the table. */
#include <math.h>

#include "report/html_parts.h"
#include "report/marks.h"
#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/text_levels.h"
#include "report/text_parts.h"

/* --- class by class ------------------------------------------------------------------------------------------- */

static unsigned counted(const unsigned counts[4])
{
    return counts[LL_NOTE] + counts[LL_CAUTION] + counts[LL_SERIOUS];
}

static void add_firm(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    const unsigned *firm = debrief->findings.firm_by_class[class];
    bool first = true;
    for (int severity = LL_SERIOUS; severity >= LL_NOTE; severity--) {
        if (firm[severity] == 0)
            continue;
        bool one = firm[severity] == 1 || severity == LL_SERIOUS;
        ll_text_format(&page->words, "%s%u ", first ? "" : ", ", firm[severity]);
        ll_paint_add(&page->words, page->look, ll_severity_paint((ll_severity)severity), ll_severity_names[severity]);
        ll_text_puts(&page->words, one ? "" : "s");
        first = false;
    }
    if (counted(firm) == 0)
        ll_text_puts(&page->words, counted(debrief->findings.by_class[class]) ? "nothing firm" : "nothing");
}

static void add_class(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    static const char *const names[LL_CLASSES] = {"Conduct, what the diver did", "Gas, what was breathed where",
                                                  "Dose, what adds up"};
    ll_text_format(page->out, "<tr><th scope=\"row\">%s</th><td class=\"beyond\">", names[class]);
    add_firm(page, debrief, class);
    ll_page_end(page, 0, 0);
    ll_text_puts(page->out, "</td><td>");
    ll_text_kept(page, debrief, class);
    ll_page_end(page, 0, 0);
    ll_text_puts(page->out, "</td></tr>\n");
}

static void add_classes(ll_page *page, const ll_debrief *debrief)
{
    ll_text_format(page->out,
                   "<table class=\"first\"><thead><tr><th scope=\"col\">Findings</th><th scope=\"col\">%s</th>"
                   "<th scope=\"col\">Kept</th></tr></thead><tbody>\n",
                   debrief->firmness.asked ? "Beyond a limit, firm" : "Beyond a limit");
    for (int class = 0; class < LL_CLASSES; class ++)
        add_class(page, debrief, (ll_class) class);
    ll_text_puts(page->out, "</tbody></table>\n");
}

/* --- questions asked first -------------------------------------------------------------------------------------- */

static void open_answer(ll_page *page, const char *question)
{
    ll_text_format(page->out, "<dt>%s</dt><dd>", question);
}

static void close_answer(ll_page *page)
{
    ll_page_end(page, 0, 0);
    ll_text_puts(page->out, "</dd>\n");
}

static bool is_of_ceiling(const ll_finding *finding)
{
    return finding->kind == LL_FINDING_CEILING || finding->kind == LL_FINDING_SURFACED;
}

/* The weightiest word that the findings of the ceiling allow. */
static const char *ceiling_word(const ll_debrief *debrief)
{
    bool any = false;
    for (size_t i = 0; i < debrief->findings.count; i++) {
        const ll_finding *finding = &debrief->findings.items[i];
        if (is_of_ceiling(finding) && finding->firm_severity > LL_NO_FINDING)
            return "Yes. ";
        any = any || is_of_ceiling(finding);
    }
    if (any)
        return "Within the recorder's error only. ";
    if (isnan(debrief->peak[LL_CEILING].value))
        return "Not known: no ceiling can be replayed.";
    return debrief->peak[LL_CEILING].value > 0 ? "No, at no time." : "No: no ceiling stood at any time.";
}

static void answer_ceiling(ll_page *page, const ll_debrief *debrief)
{
    open_answer(page, "Above the replayed ceiling?");
    ll_text_puts(&page->words, ceiling_word(debrief));
    for (size_t i = 0; i < debrief->findings.count; i++) {
        const ll_finding *finding = &debrief->findings.items[i];
        if (!is_of_ceiling(finding))
            continue;
        ll_finding_sentence(&page->words, debrief, finding, page->look);
        ll_text_firm(page, debrief, finding);
        ll_text_putc(&page->words, ' ');
    }
    close_answer(page);
}

static void answer_gas(ll_page *page, const ll_debrief *debrief)
{
    static const ll_quantity asked[] = {LL_END_N2O2, LL_END_N2, LL_DENSITY, LL_PO2};
    open_answer(page, "The gas at its worst?");
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        const ll_peak *peak = &debrief->peak[asked[i]];
        ll_text_puts(&page->words, i ? "; " : "");
        ll_text_puts(&page->words, ll_quantity_table[asked[i]].label);
        ll_text_puts(&page->words, isnan(peak->value) ? ": not known" : ": ");
        if (isnan(peak->value))
            continue;
        ll_quantity_figure(&page->words, asked[i], peak->value, page->look);
        ll_text_puts(&page->words, " at ");
        ll_run_clock(&page->words, debrief, peak->time_s);
    }
    ll_text_putc(&page->words, '.');
    close_answer(page);
}

static void answer_owed(ll_page *page, const ll_debrief *debrief)
{
    open_answer(page, "Owed at the start of the ascent?");
    ll_asked_words(page, debrief);
    close_answer(page);
    open_answer(page, "And kept?");
    ll_taken_words(page, debrief);
    ll_text_putc(&page->words, ' ');
    ll_short_words(page, debrief);
    close_answer(page);
}

void ll_html_first(ll_page *page, const ll_debrief *debrief)
{
    if (!debrief->has_profile || !debrief->profile.has_run_time)
        return;
    add_classes(page, debrief);
    ll_text_puts(page->out, "<dl class=\"answers\">\n");
    answer_ceiling(page, debrief);
    answer_owed(page, debrief);
    answer_gas(page, debrief);
    ll_text_puts(page->out, "</dl>\n");
}
