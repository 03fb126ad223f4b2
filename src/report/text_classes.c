/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Findings by class, in time order, with what was kept and the limits that were looked at. */
#include <math.h>
#include <string.h>

#include "report/text_findings.h"
#include "report/text_parts.h"
#include "report/words.h"

static const char *const class_titles[LL_CLASSES] = {
    [LL_CONDUCT] = "Conduct, what the diver did",
    [LL_GAS] = "Gas, what was breathed where",
    [LL_DOSE] = "Dose, what adds up",
};

static bool has_any(const ll_debrief *debrief, ll_class class)
{
    const unsigned *counts = debrief->findings.by_class[class];
    return counts[LL_NOTE] + counts[LL_CAUTION] + counts[LL_SERIOUS] > 0;
}

static void add_firm_share(ll_page *page, const ll_debrief *debrief, unsigned count, unsigned firm)
{
    if (!debrief->firmness.asked)
        return;
    if (firm == count || firm == 0)
        ll_text_puts(&page->words, firm ? " (firm)" : " (marginal)");
    else
        ll_text_format(&page->words, " (%u firm)", firm);
}

/* "1 serious, 2 notes", or that there is none. */
static void add_counts(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    bool first = true;
    if (!has_any(debrief, class))
        ll_text_puts(&page->words, "nothing beyond a limit");
    for (int severity = LL_SERIOUS; severity >= LL_NOTE; severity--) {
        unsigned count = debrief->findings.by_class[class][severity];
        if (count == 0)
            continue;
        const char *plural = count == 1 || severity == LL_SERIOUS ? "" : "s";
        ll_text_format(&page->words, "%s%u %s%s", first ? "" : ", ", count, ll_severity_names[severity], plural);
        add_firm_share(page, debrief, count, debrief->findings.firm_by_class[class][severity]);
        first = false;
    }
}

static void add_title(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    ll_text_putc(page->out, '\n');
    ll_paint_add(&page->words, page->look, LL_BOLD, class_titles[class]);
    ll_text_puts(&page->words, ": ");
    add_counts(page, debrief, class);
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}

static void add_severity(ll_page *page, ll_severity severity)
{
    static const char *const openings[4] = {"None:", "Note:", "Caution:", "Serious:"};
    ll_paint_add(&page->words, page->look, ll_severity_paint(severity), openings[severity]);
    ll_text_putc(&page->words, ' ');
}

/* A ceiling stretch that runs into the surfacing is told with it, under the weightier severity. */
static void add_finding(ll_page *page, const ll_debrief *debrief, const ll_finding *finding)
{
    const ll_finding *surfaced = finding->told_with_surfaced ? ll_surfaced_finding(debrief) : NULL;
    ll_severity severity = finding->severity;
    if (surfaced && surfaced != finding && surfaced->severity > severity)
        severity = surfaced->severity;
    add_severity(page, severity);
    ll_finding_sentence(&page->words, debrief, finding, page->look);
    ll_text_firm(page, debrief, finding);
    if (surfaced && surfaced != finding) {
        ll_text_putc(&page->words, ' ');
        ll_finding_sentence(&page->words, debrief, surfaced, page->look);
        ll_text_firm(page, debrief, surfaced);
    }
    ll_page_end(page, 4, 6);
}

static bool is_told_elsewhere(const ll_debrief *debrief, const ll_finding *finding)
{
    if (finding->kind != LL_FINDING_SURFACED)
        return false;
    for (size_t i = 0; i < debrief->findings.count; i++)
        if (debrief->findings.items[i].kind == LL_FINDING_CEILING && debrief->findings.items[i].told_with_surfaced)
            return true;
    return false;
}

static void add_findings(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    for (size_t i = 0; i < debrief->findings.count; i++) {
        const ll_finding *finding = &debrief->findings.items[i];
        if (ll_kind_table[finding->kind].class == class && !is_told_elsewhere(debrief, finding))
            add_finding(page, debrief, finding);
    }
}

static void add_kept(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    ll_text_kept(page, debrief, class);
    ll_page_end(page, 4, 6);
}

/* The limits of the kinds that were found: they stand with the findings. */
static void add_limits(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        if (ll_kind_table[kind].class != class || !ll_has_finding(debrief, (ll_kind)kind))
            continue;
        ll_text_puts(&page->words, "Limits. ");
        ll_limit_sentence(&page->words, debrief, (ll_kind)kind, page->look);
        ll_page_end(page, 4, 6);
    }
}

/* Not a kind that only a standard limits, where none does. */
static bool is_looked_at(const ll_debrief *debrief, ll_kind kind)
{
    return !isnan(ll_first_limit(debrief, kind)) || ll_limit_of(debrief, kind)->origin != LL_BUILT_IN;
}

void ll_text_other_limits(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, debrief->findings.count ? "Other limits that were looked at" : "Limits that were looked at");
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        if (ll_has_finding(debrief, (ll_kind)kind) || !is_looked_at(debrief, (ll_kind)kind))
            continue;
        ll_limit_sentence(&page->words, debrief, (ll_kind)kind, page->look);
        ll_page_end(page, 2, 4);
    }
}

void ll_text_short(ll_page *page, const ll_debrief *debrief)
{
    static const char *const openings[LL_CLASSES] = {"In short: conduct, ", "; gas, ", "; dose, "};
    ll_text_putc(page->out, '\n');
    for (int class = 0; class < LL_CLASSES; class ++) {
        ll_text_puts(&page->words, openings[class]);
        add_counts(page, debrief, (ll_class) class);
    }
    ll_text_putc(&page->words, '.');
    ll_text_reach(page, debrief);
    ll_page_end(page, 0, 0);
}

void ll_text_classes(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "Findings");
    ll_text_firm_meaning(page, debrief);
    for (int class = 0; class < LL_CLASSES; class ++) {
        add_title(page, debrief, (ll_class) class);
        add_findings(page, debrief, (ll_class) class);
        add_kept(page, debrief, (ll_class) class);
        add_limits(page, debrief, (ll_class) class);
    }
}
