/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/text_figures.h"
#include "report/text_levels.h"

static void add_po2(ll_page *page, double po2_atm)
{
    if (isnan(po2_atm))
        ll_text_puts(&page->words, "not known");
    else
        ll_quantity_figure(&page->words, LL_PO2, po2_atm, page->look);
}

static void add_both_po2(ll_page *page, const ll_switch_shown *change)
{
    ll_text_puts(&page->words, ": PO2 ");
    add_po2(page, change->po2_before_atm);
    ll_text_puts(&page->words, " before, ");
    add_po2(page, change->po2_atm);
    ll_text_puts(&page->words, " after");
}

void ll_mod_words(ll_text *out, double depth_m, const ll_mod *mod, const ll_look *look)
{
    static const char *const sources[] = {"", "as the log states it", "by the PO2 that the log states", "at 1.6 atm"};
    const double above_m = mod->depth_m - depth_m;
    ll_difference_figure(out, fabs(above_m), look);
    ll_text_puts(out, above_m < 0 ? " deeper than its greatest depth of " : " above its greatest depth of ");
    ll_figure(out, mod->depth_m, "m", 1, look);
    ll_text_format(out, " (%s)", sources[mod->source]);
}

static void add_held(ll_page *page, const ll_switch_shown *change)
{
    if (change->held) {
        ll_text_puts(&page->words, "; depth was held within ");
        ll_difference_figure(&page->words, 1, page->look);
        ll_text_puts(&page->words, " for the minute around it");
    } else {
        ll_text_puts(&page->words, "; in the minute around it depth was off by as much as ");
        ll_difference_figure(&page->words, change->off_m, page->look);
    }
}

static void add_order(ll_page *page, const ll_switch_shown *change)
{
    if (change->order == LL_SWITCH_BREAK)
        ll_text_puts(&page->words, " A break on oxygen.");
    else if (change->order == LL_SWITCH_BACK)
        ll_text_puts(&page->words, " Back from the break.");
    else if (change->order == LL_SWITCH_LEANER && change->on_ascent)
        ll_text_puts(&page->words, " To a leaner mix on the way up.");
}

void ll_switch_words(ll_page *page, const ll_debrief *debrief, size_t index)
{
    const ll_switch_shown *change = &debrief->switches[index];
    ll_text_puts(&page->words, "To ");
    ll_mix_add(&page->words, debrief->entry->log, change->mix);
    ll_text_puts(&page->words, " at ");
    ll_run_clock(&page->words, debrief, change->time_s);
    ll_text_puts(&page->words, ", at ");
    ll_quantity_figure(&page->words, LL_DEPTH, change->depth_m, page->look);
    add_both_po2(page, change);
    if (!isnan(change->mod.depth_m)) {
        ll_text_puts(&page->words, "; ");
        ll_mod_words(&page->words, change->depth_m, &change->mod, page->look);
    }
    add_held(page, change);
    ll_text_puts(&page->words, ".");
    add_order(page, change);
}

void ll_text_switches(ll_page *page, const ll_debrief *debrief)
{
    if (debrief->switch_count == 0)
        return;
    ll_page_heading(page, "Switches");
    for (size_t i = 0; i < debrief->switch_count; i++) {
        ll_switch_words(page, debrief, i);
        ll_page_end(page, 2, 4);
    }
}
