/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was kept is said as plainly as what was not. */
#include <math.h>

#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/text_parts.h"

void ll_text_reach(ll_page *page, const ll_debrief *debrief)
{
    bool unknown = ll_has_note(&debrief->notes, LL_NOTE_GAS_UNKNOWN);
    bool ends_below = ll_has_note(&debrief->notes, LL_NOTE_ENDS_BELOW);
    if (page->words.size == 0 || !(unknown || ends_below))
        return;
    ll_text_puts(&page->words, " This holds ");
    ll_text_puts(&page->words, unknown ? "as far as the gas is known" : "");
    ll_text_puts(&page->words, unknown && ends_below ? " and " : "");
    ll_text_puts(&page->words, ends_below ? "to the end of the record, which is under water" : "");
    ll_text_putc(&page->words, '.');
}

static void keep_ceiling(ll_page *page, const ll_debrief *debrief)
{
    double highest_m = debrief->peak[LL_CEILING].value;
    double limit = ll_first_limit(debrief, LL_FINDING_CEILING);
    if (ll_has_finding(debrief, LL_FINDING_CEILING) || ll_has_finding(debrief, LL_FINDING_SURFACED) || isnan(limit))
        return;
    if (isnan(highest_m)) {
        ll_text_format(&page->words, "No ceiling can be replayed, because %s. ", ll_tissues_missing(debrief));
        return;
    }
    if (highest_m > 0 && limit > 0)
        ll_text_puts(&page->words, "The replayed ceiling was kept within its limit. ");
    else
        ll_text_puts(&page->words,
                     highest_m > 0 ? "The replayed ceiling was kept throughout. " : "No ceiling stood at any time. ");
}

static void keep_rate(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_ASCENT);
    if (ll_has_finding(debrief, LL_FINDING_ASCENT) || isnan(limit))
        return;
    bool passed = debrief->peak[LL_ASCENT_RATE].value > limit;
    ll_text_puts(&page->words, passed ? "The ascent rate was over " : "The ascent rate stayed within ");
    ll_limit_figure(&page->words, limit, ll_kind_table[LL_FINDING_ASCENT].unit, page->look);
    if (passed)
        ll_text_puts(&page->words, " for moments only, never for 10 s unbroken");
    if (ll_has_note(&debrief->notes, LL_NOTE_COARSE_SAMPLING))
        ll_text_puts(&page->words, ", as far as samples this far apart can show");
    ll_text_puts(&page->words, ". ");
}

static bool has_mandatory_stops(const ll_dive *dive)
{
    for (size_t i = 0; i < dive->own_stops; i++)
        if (dive->own_stop[i].mandatory)
            return true;
    return false;
}

static void keep_own_stops(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_OWN_STOP);
    if (!has_mandatory_stops(debrief->entry->dive) || ll_has_finding(debrief, LL_FINDING_OWN_STOP) || isnan(limit))
        return;
    ll_text_puts(&page->words, limit > 0 ? "The recorder's own mandatory stops were kept within their limit. "
                                         : "The recorder's own mandatory stops were kept. ");
}

/* "PO2 stayed within 1.6 atm" */
static void keep_within(ll_page *page, const ll_debrief *debrief, ll_kind kind, const char *words)
{
    double limit = ll_first_limit(debrief, kind);
    ll_quantity quantity = ll_kind_quantity(kind);
    if (ll_has_finding(debrief, kind) || isnan(limit) || isnan(debrief->peak[quantity].value))
        return;
    ll_text_puts(&page->words, words);
    ll_limit_figure(&page->words, limit, ll_kind_table[kind].unit, page->look);
    ll_text_puts(&page->words, ". ");
}

/* Only where there was a switch that the rule of fifths looks at. */
static void keep_switches(ll_page *page, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    double deepest_s = profile->time_s[profile->greatest];
    bool any = false;
    for (size_t i = 0; i < debrief->switch_count; i++)
        any |= debrief->switches[i].time_s > deepest_s && debrief->switches[i].depth_m > LL_COUNTERDIFFUSION_BELOW_M;
    bool limited = !isnan(ll_first_limit(debrief, LL_FINDING_COUNTERDIFFUSION));
    if (any && limited && !ll_has_finding(debrief, LL_FINDING_COUNTERDIFFUSION))
        ll_text_puts(&page->words, "At the switches on the ascent nitrogen rose by no more than a fifth of the fall of "
                                   "helium. ");
}

static void keep_gas(ll_page *page, const ll_debrief *debrief)
{
    if (isnan(debrief->peak[LL_PO2].value)) {
        ll_text_puts(&page->words, "Of the gas nothing can be said: it is unknown. ");
        return;
    }
    bool narcotic = debrief->history->settings.narcotic_oxygen;
    keep_within(page, debrief, LL_FINDING_OXYGEN_HIGH, "PO2 stayed within ");
    keep_within(page, debrief, LL_FINDING_OXYGEN_LOW, "PO2 never fell under ");
    keep_within(page, debrief, LL_FINDING_DENSITY, "Gas density stayed within ");
    keep_within(page, debrief, LL_FINDING_NARCOSIS,
                narcotic ? "END (nitrogen and oxygen) stayed within " : "END (nitrogen only) stayed within ");
    keep_switches(page, debrief);
}

static void keep_dose(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_CNS);
    if (ll_has_finding(debrief, LL_FINDING_CNS) || isnan(limit))
        return;
    if (isnan(debrief->cns_end_percent)) {
        ll_text_puts(&page->words, "CNS is not known, because the gas is unknown. ");
        return;
    }
    ll_text_puts(&page->words, "CNS stayed within ");
    ll_limit_figure(&page->words, limit, ll_kind_table[LL_FINDING_CNS].unit, page->look);
    if (debrief->cns_lower_bound)
        ll_text_puts(&page->words, ", as far as it is known: the figures are lower bounds");
    ll_text_puts(&page->words, ". ");
}

static void keep_otu(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_OTU);
    if (ll_has_finding(debrief, LL_FINDING_OTU) || isnan(limit) || debrief->days_in_row == 0)
        return;
    if (isnan(debrief->otu_row)) {
        ll_text_puts(&page->words, "OTU of these days is not known, because some gas is unknown. ");
        return;
    }
    ll_text_puts(&page->words, "OTU stayed within ");
    ll_limit_figure(&page->words, limit, ll_kind_table[LL_FINDING_OTU].unit, page->look);
    ll_allowance_words(&page->words, debrief);
    ll_text_puts(&page->words, ". ");
}

/* What only a standard limits. */
static void keep_depth(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_DEPTH);
    if (ll_has_finding(debrief, LL_FINDING_DEPTH) || isnan(limit))
        return;
    ll_text_puts(&page->words, "Depth stayed within ");
    ll_limit_figure(&page->words, limit, ll_kind_table[LL_FINDING_DEPTH].unit, page->look);
    ll_text_puts(&page->words, ". ");
}

static size_t count_asked(const ll_debrief *debrief)
{
    size_t asked = 0;
    for (size_t i = 0; i < debrief->levels.count; i++)
        asked += debrief->track.column[LL_STOP][debrief->levels.level[i].first] > 0;
    return asked;
}

static void keep_stop_depth(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_STOP_DEPTH);
    if (ll_has_finding(debrief, LL_FINDING_STOP_DEPTH) || isnan(limit))
        return;
    if (isnan(debrief->peak[LL_CEILING].value)) {
        ll_text_format(&page->words, "How stops were held is not known, because %s. ", ll_tissues_missing(debrief));
        return;
    }
    if (count_asked(debrief) == 0) {
        ll_text_puts(&page->words, "No level was kept while a stop was asked. ");
        return;
    }
    ll_text_puts(&page->words, "Levels kept while a stop was asked were held within ");
    ll_limit_figure(&page->words, limit, ll_kind_table[LL_FINDING_STOP_DEPTH].unit, page->look);
    ll_text_puts(&page->words, ". ");
}

/* Only where there was a switch to a mix that has a greatest depth. */
static void keep_switch_depth(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_SWITCH_DEPTH);
    bool any = false;
    for (size_t i = 0; i < debrief->switch_count; i++)
        any |= !isnan(debrief->switches[i].mod.depth_m);
    if (!any || ll_has_finding(debrief, LL_FINDING_SWITCH_DEPTH) || isnan(limit))
        return;
    ll_text_puts(&page->words, "No switch lay deeper than the greatest depth of its mix");
    if (limit > 0) {
        ll_text_puts(&page->words, " by more than ");
        ll_limit_figure(&page->words, limit, ll_kind_table[LL_FINDING_SWITCH_DEPTH].unit, page->look);
    }
    ll_text_puts(&page->words, ". ");
}

static void keep_reserve(ll_page *page, const ll_debrief *debrief)
{
    double limit = ll_first_limit(debrief, LL_FINDING_RESERVE);
    if (ll_has_finding(debrief, LL_FINDING_RESERVE) || isnan(limit))
        return;
    if (debrief->entry->dive->tank_pressures == 0) {
        ll_text_puts(&page->words, "No tank pressure was recorded, so nothing can be said of the reserve. ");
        return;
    }
    ll_text_puts(&page->words, "No recorded tank pressure was under ");
    ll_limit_figure(&page->words, limit, ll_kind_table[LL_FINDING_RESERVE].unit, page->look);
    ll_text_puts(&page->words, ". ");
}

void ll_text_kept(ll_page *page, const ll_debrief *debrief, ll_class class)
{
    if (class == LL_CONDUCT) {
        keep_ceiling(page, debrief);
        keep_rate(page, debrief);
        keep_own_stops(page, debrief);
        keep_depth(page, debrief);
        keep_stop_depth(page, debrief);
        keep_switch_depth(page, debrief);
        keep_reserve(page, debrief);
    } else if (class == LL_GAS) {
        keep_gas(page, debrief);
    } else {
        keep_dose(page, debrief);
        keep_otu(page, debrief);
    }
    ll_text_reach(page, debrief);
}
