/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How firm findings and figures are, in words. */
#include <math.h>

#include "base/number.h"
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

static void add_owed_range(ll_page *page, const ll_range *owed_s)
{
    ll_text_puts(&page->words, " Stops owed: ");
    ll_duration(&page->words, owed_s->least);
    ll_text_puts(&page->words, " to ");
    ll_duration(&page->words, owed_s->greatest);
    ll_text_putc(&page->words, '.');
}

static void add_percent_range(ll_page *page, const char *what, const ll_range *range)
{
    ll_text_puts(&page->words, what);
    ll_fixed_add(&page->words, range->least, 0);
    ll_text_puts(&page->words, " to ");
    ll_fixed_add(&page->words, range->greatest, 0);
    ll_text_puts(&page->words, " %.");
}

void ll_text_firm_meaning(ll_page *page, const ll_debrief *debrief)
{
    const ll_firmness *firmness = &debrief->firmness;
    if (!firmness->replayed)
        return;
    if (debrief->findings.count > 0)
        ll_text_puts(&page->words,
                     "Firm means: stands against recorder error (depth off by 0.3 m and 1 %, set to fresh or sea water, "
                     "steps of 0.1 m, a percentage point of oxygen), nothing more. Marginal means that it does not.");
    ll_text_puts(&page->words, " If the recorder was off by so much, the figures lie between:");
    if (is_known(&firmness->owed_s))
        add_owed_range(page, &firmness->owed_s);
    if (is_known(&firmness->gradient_percent))
        add_percent_range(page, " Gradient at the surfacing: ", &firmness->gradient_percent);
    if (is_known(&firmness->cns_percent))
        add_percent_range(page, " CNS: ", &firmness->cns_percent);
    ll_page_end(page, 2, 2);
}
