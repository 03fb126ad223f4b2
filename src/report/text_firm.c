/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How firm findings and figures are, in words. */
#include <math.h>

#include "replay/lane.h"
#include "report/text_figures.h"
#include "report/text_parts.h"

static void add_hangs(ll_page *page, unsigned hangs_on)
{
    static const char *const words[LL_HANGS] = {"the depth shown", "the water the recorder was set to",
                                                "the steps of the record", "the analysis of the mix"};
    bool first = true;
    for (int hang = 0; hang < LL_HANGS; hang++) {
        if (!(hangs_on & (1u << hang)))
            continue;
        ll_text_puts(&page->words, first ? "" : " and ");
        ll_text_puts(&page->words, words[hang]);
        first = false;
    }
}

void ll_text_firm(ll_page *page, const ll_debrief *debrief, const ll_finding *finding)
{
    if (!debrief->firmness.asked)
        return;
    if (finding->firm_severity == finding->severity) {
        ll_text_puts(&page->words, " Firm.");
        return;
    }
    ll_text_puts(&page->words, " Marginal: it hangs on ");
    add_hangs(page, finding->hangs_on);
    if (finding->firm_severity == LL_NO_FINDING)
        ll_text_puts(&page->words, ", and may be none.");
    else
        ll_text_format(&page->words, ", and may be no more than a %s.", ll_severity_names[finding->firm_severity]);
}

static bool is_known(const ll_range *range)
{
    return isfinite(range->least) && isfinite(range->greatest);
}

void ll_percent_range(ll_page *page, const ll_range *range)
{
    long long least = llround(range->least), greatest = llround(range->greatest);
    if (least < greatest)
        ll_text_format(&page->words, "%lld to ", least);
    ll_text_format(&page->words, "%lld %%", greatest);
}

static void add_owed_range(ll_page *page, const ll_range *owed_s)
{
    if (!(owed_s->greatest >= 0.5)) {
        ll_text_puts(&page->words, "no stops owed");
        return;
    }
    ll_text_puts(&page->words, "stops owed ");
    if (llround(owed_s->least) < llround(owed_s->greatest)) {
        ll_duration(&page->words, owed_s->least);
        ll_text_puts(&page->words, " to ");
    }
    ll_duration(&page->words, owed_s->greatest);
}

/* Metres in feet keep a digit more, or tenths would be lost. */
static void add_accuracy(ll_page *page, double metres)
{
    ll_figure(&page->words, metres, "m", page->look->imperial ? 2 : 1, page->look);
}

static void add_depth_accuracy(ll_page *page, const char *was)
{
    ll_text_puts(&page->words, was);
    add_accuracy(page, LL_ACCURACY_M);
    ll_text_format(&page->words, " and %d %%", (int)lround(100 * LL_ACCURACY_SHARE));
}

static void add_meanings(ll_page *page)
{
    ll_text_puts(&page->words, "Firm means: stands against recorder error (");
    add_depth_accuracy(page, "depth off by ");
    ll_text_puts(&page->words, ", set to fresh or sea water, steps of ");
    add_accuracy(page, LL_RATE_RESOLUTION_M);
    ll_text_puts(&page->words, ", a percentage point of oxygen), nothing more. Marginal means that it does not. ");
}

static void add_ranges(ll_page *page, const ll_debrief *debrief)
{
    const ll_firmness *firmness = &debrief->firmness;
    const char *between = ": ";
    if (debrief->findings.count > 0) {
        ll_text_puts(&page->words, "If depth or water was off by so much");
    } else {
        add_depth_accuracy(page, "If depth was off by ");
        ll_text_puts(&page->words, ", or the recorder set to fresh or sea water");
    }
    if (is_known(&firmness->owed_s)) {
        ll_text_puts(&page->words, between);
        add_owed_range(page, &firmness->owed_s);
        between = ", ";
    }
    if (is_known(&firmness->gradient_percent)) {
        ll_text_format(&page->words, "%sgradient at the surfacing ", between);
        ll_percent_range(page, &firmness->gradient_percent);
        between = ", ";
    }
    if (is_known(&firmness->cns_percent)) {
        ll_text_format(&page->words, "%sCNS %s", between, debrief->cns_lower_bound ? "at least " : "");
        ll_percent_range(page, &firmness->cns_percent);
    }
    ll_text_putc(&page->words, '.');
}

void ll_text_firm_meaning(ll_page *page, const ll_debrief *debrief)
{
    const ll_firmness *firmness = &debrief->firmness;
    if (!firmness->replayed)
        return;
    if (debrief->findings.count > 0)
        add_meanings(page);
    if (is_known(&firmness->owed_s) || is_known(&firmness->gradient_percent) || is_known(&firmness->cns_percent))
        add_ranges(page, debrief);
    ll_page_end(page, 2, 2);
}
