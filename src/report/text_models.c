/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Appendix: what other factors and other models would have asked for. */
#include <math.h>

#include "base/number.h"
#include "replay/surface.h"
#include "report/text_figures.h"
#include "report/text_parts.h"

static void add_name(ll_page *page, const ll_model_row *row)
{
    ll_text_puts(&page->words, ll_model_table[row->model].title);
    if (!isnan(row->gf_low_percent)) {
        ll_text_putc(&page->words, ' ');
        ll_number_add(&page->words, row->gf_low_percent);
        ll_text_putc(&page->words, '/');
        ll_number_add(&page->words, row->gf_high_percent);
    }
    ll_text_puts(&page->words, row->as_replayed ? ", as replayed" : "");
}

static void add_way(ll_page *page, const ll_way_up *way)
{
    if (isnan(way->time_s)) {
        ll_text_puts(&page->words, "more than 24 h to the surface.");
        return;
    }
    bool stops = way->owed_s >= 0.5;
    ll_text_puts(&page->words, stops ? "" : "no stops");
    if (stops) {
        ll_duration(&page->words, way->owed_s);
        ll_text_puts(&page->words, " at stops");
    }
    if (stops && way->deepest_stop_m > 0) {
        ll_text_puts(&page->words, ", the deepest at ");
        ll_figure(&page->words, way->deepest_stop_m, "m", 0, page->look);
    }
    ll_text_puts(&page->words, "; ");
    ll_duration(&page->words, way->time_s);
    ll_text_puts(&page->words, " to the surface.");
}

static void add_row(ll_page *page, const ll_model_row *row)
{
    add_name(page, row);
    if (row->covers) {
        ll_text_puts(&page->words, " covers ");
        ll_text_puts(&page->words, row->covers);
        ll_text_puts(&page->words, ", and this dive breathed something else.");
    } else {
        ll_text_puts(&page->words, ": ");
        add_way(page, &row->way);
    }
    ll_page_end(page, 2, 4);
}

static void add_owed(ll_page *page, double owed_s)
{
    if (isnan(owed_s))
        ll_text_puts(&page->words, "more than 24 h");
    else if (owed_s < 0.5)
        ll_text_puts(&page->words, "nothing");
    else
        ll_duration(&page->words, owed_s);
}

static void add_range(ll_page *page, const ll_models *models)
{
    if (models->greatest_owed_s < 0.5) {
        ll_text_puts(&page->words, "By none of these was a stop owed.");
        ll_page_end(page, 2, 2);
        return;
    }
    ll_text_puts(&page->words, "By these, what was owed lies between ");
    add_owed(page, models->least_owed_s);
    ll_text_puts(&page->words, " and ");
    add_owed(page, models->greatest_owed_s);
    ll_text_puts(&page->words, ".");
    ll_page_end(page, 2, 2);
}

/* What the lines start from; `own` is the model that the dive was replayed with. */
static void add_starts(ll_page *page, const ll_model_words *own)
{
    ll_text_format(&page->words, "The %s from what the replay carries over from earlier dives; the other models ",
                   own->has_factors ? "ZH-L16 lines start" : "line as replayed starts");
    ll_text_puts(&page->words, "start this record at rest, without earlier dives, and stop in steps of 10 fsw "
                               "(exponential-linear) and ");
    ll_figure(&page->words, 3, "m", 0, page->look);
    ll_text_puts(&page->words, " (MN90).");
    ll_page_end(page, 2, 2);
}

void ll_text_models(ll_page *page, const ll_debrief *debrief)
{
    const ll_models *models = &debrief->models;
    if (!models->known)
        return;
    ll_page_heading(page, "How much hangs on the model");
    ll_text_puts(&page->words, "Asked for at the start of the ascent, at ");
    ll_run_clock(&page->words, debrief, debrief->ascent_start_s);
    ll_text_puts(&page->words, " from ");
    ll_quantity_figure(&page->words, LL_DEPTH, debrief->ascent_start_depth_m, page->look);
    ll_text_puts(&page->words, ", all at ");
    ll_figure(&page->words, LL_ASCENT_M_MIN, "m/min", 0, page->look);
    ll_text_puts(&page->words, " and on the mixes of this dive:");
    ll_page_end(page, 2, 2);
    for (size_t i = 0; i < models->count; i++)
        add_row(page, &models->row[i]);
    add_range(page, models);
    add_starts(page, &ll_model_table[debrief->history->settings.model]);
}
