/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gas use of each tank, what was left when, and the margin afterwards. */
#include <math.h>

#include "base/number.h"
#include "base/settings.h"
#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

static void add_bar(ll_page *page, double bar)
{
    ll_figure(&page->words, bar, "bar", 0, page->look);
}

static void add_litres(ll_page *page, double litres)
{
    ll_figure(&page->words, litres, "L", 0, page->look);
}

static void add_rate(ll_page *page, double l_min)
{
    ll_figure(&page->words, l_min, "L/min", 1, page->look);
}

/* --- use ------------------------------------------------------------------------------------------------------ */

static void add_name(ll_page *page, const ll_debrief *debrief, const ll_gas_tank *tank)
{
    if (tank->name)
        ll_show(&page->words, tank->name);
    else
        ll_text_puts(&page->words, "Tank without a name");
    ll_text_puts(&page->words, " (");
    ll_mix_add(&page->words, debrief->entry->log, tank->mix);
    if (!isnan(tank->volume_l)) {
        ll_text_puts(&page->words, ", ");
        ll_number_add(&page->words, round(tank->volume_l * 10) / 10);
        ll_text_puts(&page->words, " L");
    }
    ll_text_puts(&page->words, ")");
}

static void add_used(ll_page *page, const ll_gas_tank *tank)
{
    if (isnan(tank->start_bar))
        return;
    ll_text_puts(&page->words, ": ");
    add_bar(page, tank->start_bar);
    ll_text_puts(&page->words, " before, ");
    add_bar(page, tank->end_bar);
    ll_text_puts(&page->words, tank->recorded ? " after" : " after, as stated");
    if (tank->used_l >= 0) {
        ll_text_puts(&page->words, "; ");
        add_litres(page, tank->used_l);
        ll_text_puts(&page->words, " used");
    }
}

static void add_phase_rate(ll_page *page, const char *before, double l_min)
{
    if (isnan(l_min))
        return;
    ll_text_puts(&page->words, before);
    add_rate(page, l_min);
}

static void add_rates(ll_page *page, const ll_gas_tank *tank)
{
    if (isnan(tank->rmv_l_min))
        return;
    ll_text_puts(&page->words, ". Breathed for ");
    ll_duration(&page->words, tank->breathed_min * 60);
    ll_text_puts(&page->words, " at ");
    ll_figure(&page->words, tank->mean_bar, "bar", 1, page->look);
    ll_text_puts(&page->words, " on average: ");
    add_rate(page, tank->rmv_l_min);
    bool both = !isnan(tank->bottom.rmv_l_min) && !isnan(tank->ascent.rmv_l_min);
    add_phase_rate(page, both ? ", in the bottom phase " : "", both ? tank->bottom.rmv_l_min : NAN);
    add_phase_rate(page, both ? " and on the ascent " : "", both ? tank->ascent.rmv_l_min : NAN);
}

static void add_tank(ll_page *page, const ll_debrief *debrief, const ll_gas_tank *tank)
{
    add_name(page, debrief, tank);
    add_used(page, tank);
    add_rates(page, tank);
    const char *remark = ll_gas_remark_texts[tank->remark];
    if (remark)
        ll_text_format(&page->words, "; %s", remark);
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}

/* --- what was left -------------------------------------------------------------------------------------------- */

static void add_instant(ll_page *page, const ll_debrief *debrief, const ll_gas_instant *instant)
{
    static const char *const words[] = {"at the start of the ascent, ", "at the switch to ", "at the surfacing, "};
    ll_text_puts(&page->words, words[instant->moment]);
    if (instant->moment == LL_AT_SWITCH) {
        ll_mix_add(&page->words, debrief->entry->log, instant->mix);
        ll_text_puts(&page->words, ", ");
    }
    ll_run_clock(&page->words, debrief, instant->time_s);
}

static bool add_left(ll_page *page, const ll_debrief *debrief, size_t i)
{
    const ll_gas_use *gas = &debrief->gas;
    bool any = false;
    for (size_t t = 0; t < gas->tanks; t++) {
        const ll_gas_left *left = &gas->tank[t].left[i];
        if (isnan(left->bar))
            continue;
        ll_text_puts(&page->words, any ? "; " : ": ");
        ll_show(&page->words, gas->tank[t].name ? gas->tank[t].name : "tank without a name");
        ll_text_putc(&page->words, ' ');
        add_bar(page, left->bar);
        if (!isnan(left->content_l)) {
            ll_text_puts(&page->words, ", ");
            add_litres(page, left->content_l);
        }
        any = true;
    }
    return any;
}

static void add_instants(ll_page *page, const ll_debrief *debrief)
{
    for (size_t i = 0; i < debrief->gas.instants; i++) {
        ll_text_puts(&page->words, "Left ");
        add_instant(page, debrief, &debrief->gas.instant[i]);
        if (!add_left(page, debrief, i))
            ll_text_puts(&page->words, ": not recorded");
        ll_text_putc(&page->words, '.');
        ll_page_end(page, 2, 4);
    }
}

/* --- margin --------------------------------------------------------------------------------------------------- */

static void add_terms(ll_page *page, const ll_debrief *debrief)
{
    const ll_settings *settings = &debrief->history->settings;
    ll_text_puts(&page->words,
                 "Margin, looking back: at each minute of the bottom phase, what was in the tanks of the mix in "
                 "use, less what two divers at ");
    ll_limit_figure(&page->words, settings->rmv_l_min, "L/min", page->look);
    ll_text_format(
        &page->words,
        " each (%s; common practice, no source) would have needed for one minute at that depth and the way up by "
        "the replay's own schedule, to where a richer mix with a tank of its own may be breathed, else to the "
        "surface. It describes this dive and plans none.",
        ll_origin_names[settings->rmv_origin]);
    ll_page_end(page, 2, 4);
}

static void add_way(ll_page *page, const ll_debrief *debrief, const ll_gas_minute *minute)
{
    if (minute->next_mix < 0) {
        ll_text_puts(&page->words, " to the surface");
        return;
    }
    ll_text_puts(&page->words, " to ");
    ll_mix_add(&page->words, debrief->entry->log, minute->next_mix);
    ll_text_puts(&page->words, " at ");
    ll_figure(&page->words, minute->to_m, "m", 0, page->look);
}

/* What is left of two figures as they stand there, rounded. */
static void add_difference(ll_page *page, const ll_gas_minute *minute)
{
    const double shown = ll_conversion_of("L", page->look->imperial).factor;
    double more = round(minute->recorded_l * shown) - round(minute->needed_l * shown);
    add_litres(page, fabs(more) / shown);
    ll_text_puts(&page->words, minute->margin_l < 0 ? " less than needed." : " more than needed.");
}

static void add_least(ll_page *page, const ll_debrief *debrief, const ll_gas_minute *minute)
{
    ll_text_puts(&page->words, "Smallest at ");
    ll_run_clock(&page->words, debrief, minute->time_s);
    ll_text_puts(&page->words, ", at ");
    ll_quantity_figure(&page->words, LL_DEPTH, minute->depth_m, page->look);
    ll_text_puts(&page->words, ": ");
    add_litres(page, minute->recorded_l);
    ll_text_puts(&page->words, " of ");
    ll_mix_add(&page->words, debrief->entry->log, minute->mix);
    ll_text_puts(&page->words, " recorded, ");
    add_litres(page, minute->needed_l);
    ll_text_puts(&page->words, " needed");
    add_way(page, debrief, minute);
    ll_text_puts(&page->words, "; ");
    add_difference(page, minute);
    ll_page_end(page, 2, 4);
}

static void add_margin(ll_page *page, const ll_debrief *debrief)
{
    const ll_gas_margin *margin = &debrief->gas.margin;
    if (margin->count == 0)
        return;
    if (margin->known == 0) {
        ll_text_format(&page->words, "Margin, looking back: not known (%s).",
                       ll_gas_remark_texts[margin->minute[0].remark]);
        ll_page_end(page, 2, 4);
        return;
    }
    add_terms(page, debrief);
    add_least(page, debrief, &margin->minute[margin->least]);
    if (margin->known < margin->count) {
        ll_text_format(&page->words, "Of %zu minutes looked at, %zu are known.", margin->count, margin->known);
        ll_page_end(page, 2, 4);
    }
}

void ll_text_gas(ll_page *page, const ll_debrief *debrief)
{
    const ll_gas_use *gas = &debrief->gas;
    bool recorded = false;
    if (gas->tanks == 0)
        return;
    ll_page_heading(page, "Gas use and margin");
    for (size_t i = 0; i < gas->tanks; i++) {
        add_tank(page, debrief, &gas->tank[i]);
        recorded = recorded || gas->tank[i].recorded;
    }
    if (recorded)
        add_instants(page, debrief);
    add_margin(page, debrief);
    ll_text_puts(&page->words,
                 "Volumes and rates are at 1 bar, with the compressibility of each mix; pressures are as the "
                 "gauge shows them. Gas for suit or wing counts as breathed.");
    ll_page_end(page, 2, 4);
}
