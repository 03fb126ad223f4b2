/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What differs most, and three sentences a diver: what was kept, what to look at, what this record cannot tell. */
#include <math.h>

#include "report/review_report.h"
#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

/* --- what differs most ---------------------------------------------------------------------------------------------- */

static void add_difference(ll_page *page, const ll_review *review, const ll_difference *difference)
{
    const ll_compared *compared = &ll_compared_table[difference->compared];
    ll_compared_label_add(&page->words, compared, page->look);
    ll_text_puts(&page->words, ": from ");
    ll_compared_figure(&page->words, compared, difference->least_value, true, page->look);
    ll_text_puts(&page->words, " (");
    ll_diver_name_add(&page->words, review, difference->least, page->look);
    ll_text_puts(&page->words, ") to ");
    ll_compared_figure(&page->words, compared, difference->greatest_value, true, page->look);
    ll_text_puts(&page->words, " (");
    ll_diver_name_add(&page->words, review, difference->greatest, page->look);
    ll_text_puts(&page->words, ").");
    ll_page_end(page, 2, 4);
}

/* Figures of others are no part of an extract. */
void ll_review_differ(ll_page *page, const ll_review *review)
{
    if (review->extract != SIZE_MAX)
        return;
    ll_page_heading(page, "What differs most");
    for (size_t i = 0; i < review->differences; i++)
        add_difference(page, review, &review->difference[i]);
    if (review->differences > 0)
        return;
    ll_text_puts(&page->words, "No figure differs between the divers by more than records like these can show.");
    ll_page_end(page, 2, 4);
}

/* --- three sentences ------------------------------------------------------------------------------------------------ */

/* "ceiling, ascent rate and PO2" of the kinds with this answer; the number of them. */
static size_t list_kinds(ll_page *page, const ll_diver *diver, ll_course course)
{
    size_t count = 0, told = 0;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        count += diver->course[kind].course == course;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        if (diver->course[kind].course != course)
            continue;
        ll_text_puts(&page->words, told == 0 ? "" : told + 1 == count ? " and " : ", ");
        ll_text_puts(&page->words, ll_course_labels[kind]);
        told++;
    }
    return count;
}

static void add_kept(ll_page *page, const ll_diver *diver)
{
    bool any = false;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        any |= diver->course[kind].course == LL_COURSE_KEPT;
    if (!any) {
        ll_text_puts(&page->words, "Kept within its limit: of what has one, nothing that this record shows. ");
        return;
    }
    ll_text_puts(&page->words, "Kept within their limits: ");
    list_kinds(page, diver, LL_COURSE_KEPT);
    ll_text_puts(&page->words, ". ");
}

/* The weightiest; of those alike a firm one, then the earlier. */
static const ll_finding *weightiest(const ll_findings *findings)
{
    const ll_finding *best = NULL;
    for (size_t i = 0; i < findings->count; i++) {
        const ll_finding *one = &findings->items[i];
        if (one->counted && (!best || one->severity > best->severity ||
                             (one->severity == best->severity && one->firm_severity > best->firm_severity)))
            best = one;
    }
    return best;
}

static void add_look_at(ll_page *page, const ll_diver *diver)
{
    const ll_finding *finding = weightiest(&diver->debrief.findings);
    if (!finding) {
        ll_text_puts(&page->words, "To look at: nothing of this record stood beyond a limit. ");
        return;
    }
    ll_text sentence;
    ll_text_open(&sentence, page->out->allocator, NULL, NULL);
    ll_finding_sentence(&sentence, &diver->debrief, finding, page->look);
    ll_text_format(&page->words, "To look at first (%s", ll_severity_names[finding->severity]);
    if (diver->debrief.firmness.asked)
        ll_text_puts(&page->words, finding->firm_severity == finding->severity ? ", firm" : ", marginal");
    ll_text_puts(&page->words, "): ");
    ll_page_show(page, &sentence);
    ll_text_putc(&page->words, ' ');
}

static void add_cannot_tell(ll_page *page, const ll_diver *diver)
{
    bool any = false;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
        any |= diver->course[kind].course == LL_COURSE_UNKNOWN;
    ll_text_puts(&page->words, "This record cannot tell ");
    if (any) {
        ll_text_puts(&page->words, "whether these were kept: ");
        list_kinds(page, diver, LL_COURSE_UNKNOWN);
        ll_text_puts(&page->words, "; nor ");
    }
    ll_text_puts(&page->words, "what was really breathed, how cold or how hard the dive was, and what happened between two "
                               "samples ");
    ll_duration(&page->words, diver->debrief.profile.interval_s);
    ll_text_puts(&page->words, " apart.");
}

void ll_review_three(ll_page *page, const ll_review *review, size_t index)
{
    const ll_diver *diver = &review->diver[index];
    add_kept(page, diver);
    add_look_at(page, diver);
    add_cannot_tell(page, diver);
    ll_page_end(page, 4, 4);
}

void ll_review_divers(ll_page *page, const ll_review *review)
{
    ll_page_heading(page, "Each diver");
    for (size_t i = 0; i < review->count; i++) {
        if (!ll_review_has(review, i))
            continue;
        ll_text name;
        ll_text_open(&name, page->out->allocator, NULL, NULL);
        ll_diver_name_add(&name, review, i, page->look);
        const char *words = ll_text_string(&name);
        ll_paint_add(&page->words, page->look, LL_BOLD, words ? words : "");
        page->words.no_memory = page->words.no_memory || name.no_memory;
        ll_text_close(&name);
        ll_text_puts(&page->words, review->diver[i].lead ? " (lead):" : ":");
        ll_page_end(page, 2, 4);
        ll_review_three(page, review, i);
    }
}
