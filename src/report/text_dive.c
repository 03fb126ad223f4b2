/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Title and summary of a text debrief. */
#include <math.h>

#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

#define UNDER_M 1.5 /* deeper than this a diver is under water, see replay/phases.c */

static void add_owner(ll_page *page, const ll_debrief *debrief)
{
    ll_text name;
    ll_text_open(&name, page->out->allocator, NULL, NULL);
    if (ll_owner_add(&name, debrief->history, debrief->entry->log, page->look))
        ll_text_puts(&page->words, ", ");
    ll_page_show(page, &name);
}

void ll_title_words(ll_page *page, const ll_debrief *debrief)
{
    const ll_dive *dive = debrief->entry->dive;
    const char *site = ll_site_name(debrief->entry->log, dive);
    ll_text *words = &page->words;
    ll_text_format(words, "Dive %u", debrief->entry->number);
    add_owner(page, debrief);
    if (site && site[0]) {
        ll_text_puts(words, ", ");
        ll_show(words, site);
    }
    ll_text_puts(words, ", ");
    if (dive->start.has_date)
        ll_start_add(words, &dive->start);
    else
        ll_text_puts(words, "no usable date");
}

void ll_text_title(ll_page *page, const ll_debrief *debrief)
{
    ll_title_words(page, debrief);
    ll_text_putc(page->out, '\n');
    size_t columns = ll_columns(page->words.bytes, page->words.size);
    ll_page_end(page, 0, 0);
    size_t width = page->look->width > 0 ? (size_t)page->look->width : 0;
    ll_text_fill(page->out, '=', columns < width ? columns : width);
    ll_text_puts(page->out, "\n\n");
}

/* --- summary -------------------------------------------------------------------------------------------------- */

static void add_times(ll_page *page, const ll_profile *profile)
{
    ll_text_puts(&page->words, "Run time ");
    ll_duration(&page->words, profile->run_time_s);
    if (fabs(profile->record_s - profile->run_time_s) >= 0.5) {
        ll_text_puts(&page->words, " (the record itself lasts ");
        ll_duration(&page->words, profile->record_s);
        ll_text_putc(&page->words, ')');
    }
    ll_text_puts(&page->words, ". ");
}

static void add_depths(ll_page *page, const ll_profile *profile)
{
    ll_text_puts(&page->words, "Greatest depth ");
    ll_quantity_figure(&page->words, LL_DEPTH, profile->greatest_m, page->look);
    ll_text_puts(&page->words, " at ");
    ll_clock(&page->words, profile->time_s[profile->greatest] - profile->time_s[profile->leaving]);
    ll_text_puts(&page->words, ", mean depth ");
    ll_quantity_figure(&page->words, LL_DEPTH, profile->mean_m, page->look);
    ll_text_puts(&page->words, ". ");
}

static double lowest_temperature_c(const ll_dive *dive)
{
    double lowest = NAN;
    for (size_t i = 0; dive->temperature_c && i < dive->count; i++)
        if (!(dive->temperature_c[i] >= lowest) && isfinite(dive->temperature_c[i]))
            lowest = dive->temperature_c[i];
    return lowest;
}

static void add_temperature(ll_page *page, const ll_dive *dive)
{
    double lowest = lowest_temperature_c(dive);
    if (isnan(lowest))
        return;
    ll_text_puts(&page->words, "Lowest temperature ");
    ll_quantity_figure(&page->words, LL_TEMPERATURE, lowest, page->look);
    ll_text_puts(&page->words, ". ");
}

/* The span that is breathed when the surface is left. */
static size_t span_at_leaving(const ll_profile *profile)
{
    size_t span = 0;
    while (span + 1 < profile->breathed_count && profile->breathed[span].end <= profile->leaving)
        span++;
    return span;
}

static bool is_ever_on_loop(const ll_profile *profile)
{
    for (size_t s = 0; s < profile->breathed_count; s++)
        if (profile->breathed[s].loop)
            return true;
    return false;
}

static void add_gas(ll_page *page, const ll_debrief *debrief, const ll_breathed *gas)
{
    if (gas->loop)
        ll_text_puts(&page->words, "the loop with diluent ");
    if (gas->mix == LL_MIX_UNKNOWN && gas->known)
        ll_text_puts(&page->words, "air (taken for an unknown mix)");
    else
        ll_mix_add(&page->words, debrief->entry->log, gas->mix);
    if (!gas->loop && is_ever_on_loop(&debrief->profile))
        ll_text_puts(&page->words, " on open circuit");
}

static double po2_after_switch(const ll_debrief *debrief, double time_s)
{
    for (size_t i = 0; i < debrief->switch_count; i++)
        if (debrief->switches[i].time_s >= time_s && debrief->switches[i].time_s <= time_s)
            return debrief->switches[i].po2_atm;
    return NAN;
}

static void add_change(ll_page *page, const ll_debrief *debrief, const ll_breathed *gas)
{
    const ll_profile *profile = &debrief->profile;
    double po2_atm = po2_after_switch(debrief, profile->time_s[gas->first]);
    ll_text_puts(&page->words, "; ");
    add_gas(page, debrief, gas);
    ll_text_puts(&page->words, " from ");
    ll_run_clock(&page->words, debrief, profile->time_s[gas->first]);
    ll_text_puts(&page->words, " at ");
    ll_quantity_figure(&page->words, LL_DEPTH, profile->depth_m[gas->first], page->look);
    if (isfinite(po2_atm)) {
        ll_text_puts(&page->words, " (PO2 ");
        ll_quantity_figure(&page->words, LL_PO2, po2_atm, page->look);
        ll_text_putc(&page->words, ')');
    }
}

/* Changes of mix, and of circuit, within the run time; a new set point alone is none. */
static void add_mixes(ll_page *page, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    size_t span = span_at_leaving(profile);
    size_t last = profile->has_surfacing ? profile->surfacing : profile->count;
    ll_text_puts(&page->words, "Breathed: ");
    add_gas(page, debrief, &profile->breathed[span]);
    ll_text_puts(&page->words, " from the start");
    for (span++; span < profile->breathed_count && profile->breathed[span].first < last; span++) {
        const ll_breathed *gas = &profile->breathed[span];
        if (gas->mix != gas[-1].mix || gas->loop != gas[-1].loop)
            add_change(page, debrief, gas);
    }
    ll_text_puts(&page->words, ".");
}

static void add_clock_words(ll_page *page, const ll_profile *profile)
{
    double leaving_s = profile->time_s[profile->leaving];
    ll_text_puts(&page->words, "Times are run time, minutes and seconds since the surface was left");
    if (fabs(leaving_s) >= 0.5) {
        ll_text_puts(&page->words, ", which the record's own clock shows as ");
        ll_clock(&page->words, leaving_s);
    }
    ll_text_puts(&page->words, ".");
}

static void add_stated(ll_page *page, const ll_dive *dive)
{
    const struct {
        const char *words;
        double value;
        ll_quantity quantity;
    } stated[] = {{"greatest depth", dive->stated_greatest_m, LL_DEPTH},
                  {"mean depth", dive->stated_average_m, LL_DEPTH}};
    ll_text_puts(&page->words, "Stated: ");
    bool any = isfinite(dive->stated_duration_s);
    if (any) {
        ll_text_puts(&page->words, "duration ");
        ll_duration(&page->words, dive->stated_duration_s);
    }
    for (size_t i = 0; i < sizeof stated / sizeof *stated; i++) {
        if (!isfinite(stated[i].value))
            continue;
        ll_text_format(&page->words, "%s%s ", any ? ", " : "", stated[i].words);
        ll_quantity_figure(&page->words, stated[i].quantity, stated[i].value, page->look);
        any = true;
    }
    ll_text_puts(&page->words, any ? "." : "neither depth nor duration.");
}

void ll_text_summary(ll_page *page, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    if (!debrief->has_profile) {
        ll_text_puts(&page->words, "The log states this dive without a profile, so there is nothing to replay. ");
        add_stated(page, debrief->entry->dive);
    } else if (!profile->has_run_time) {
        ll_text_puts(&page->words, "The record never goes deeper than ");
        ll_figure(&page->words, UNDER_M, "m", 1, page->look);
        ll_text_puts(&page->words, ": all of it is surface time. It lasts ");
        ll_duration(&page->words, profile->record_s);
        ll_text_puts(&page->words, ".");
    } else {
        add_times(page, profile);
        add_depths(page, profile);
        add_temperature(page, debrief->entry->dive);
        add_mixes(page, debrief);
        ll_page_end(page, 0, 0);
        add_clock_words(page, profile);
    }
    ll_page_end(page, 0, 0);
}
