/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was owed at the start of the ascent, and what was kept. */
#include <math.h>

#include "base/number.h"
#include "report/text_figures.h"
#include "report/text_levels.h"
#include "report/text_parts.h"

static void add_ascent_start(ll_page *page, const ll_debrief *debrief)
{
    ll_text_puts(&page->words, "The ascent began at ");
    ll_run_clock(&page->words, debrief, debrief->ascent_start_s);
    ll_text_puts(&page->words, " from ");
    ll_quantity_figure(&page->words, LL_DEPTH, debrief->ascent_start_depth_m, page->look);
    ll_text_puts(&page->words, ".");
    ll_page_end(page, 2, 2);
}

static void add_stops(ll_page *page, const ll_debrief *debrief)
{
    if (!(debrief->owed_s >= 0.5)) {
        ll_text_puts(&page->words, "; no stops were owed");
        return;
    }
    ll_text_puts(&page->words, ", of it ");
    ll_duration(&page->words, debrief->owed_s);
    ll_text_puts(&page->words, " at stops");
    if (debrief->deepest_stop_m > 0) {
        ll_text_puts(&page->words, ", the deepest at ");
        ll_figure(&page->words, debrief->deepest_stop_m, "m", 0, page->look);
    }
}

/* A decompression dive owes a minute or more. */
static void add_meaning(ll_page *page, const ll_debrief *debrief)
{
    if (debrief->required)
        ll_text_puts(&page->words, ". A minute or more at stops: a decompression dive.");
    else
        ll_text_puts(&page->words, ". Less than a minute at stops: not a decompression dive.");
}

void ll_asked_words(ll_page *page, const ll_debrief *debrief)
{
    if (!debrief->decompression_known) {
        ll_text_format(&page->words, "not known, because %s%s.", ll_tissues_missing(debrief),
                       debrief->profile.uncovered ? "" : " at that moment");
    } else if (!isfinite(debrief->time_to_surface_s)) {
        ll_text_puts(&page->words, "more than 24 h to the surface on the mixes of this dive.");
    } else {
        ll_duration(&page->words, debrief->time_to_surface_s);
        ll_text_puts(&page->words, " to the surface");
        add_stops(page, debrief);
        add_meaning(page, debrief);
    }
}

/* How the time taken compares with the time asked for. */
static void add_comparison(ll_page *page, const ll_debrief *debrief, double taken_s)
{
    double longer_s = taken_s - debrief->time_to_surface_s;
    if (!debrief->decompression_known || !debrief->required || !isfinite(longer_s))
        return;
    ll_text_puts(&page->words, ", ");
    if (fabs(longer_s) < 0.5) {
        ll_text_puts(&page->words, "as long as asked");
        return;
    }
    ll_duration(&page->words, fabs(longer_s));
    ll_text_puts(&page->words, longer_s < 0 ? " shorter than asked" : " longer than asked");
}

static void add_surface_gradient(ll_page *page, const ll_debrief *debrief)
{
    const ll_surfacing *surfacing = &debrief->surfacing;
    if (!surfacing->known) {
        ll_text_format(&page->words, " The gradient there is not known, because %s.", ll_tissues_missing(debrief));
        return;
    }
    ll_text_puts(&page->words, " There the gradient was ");
    ll_quantity_figure(&page->words, LL_GRADIENT, surfacing->gradient_percent, page->look);
    if (surfacing->leading_compartment > 0)
        ll_text_format(&page->words, ", compartment %d leading", surfacing->leading_compartment);
    ll_text_puts(&page->words, " (");
    if (ll_model_table[debrief->history->settings.model].has_factors) {
        ll_text_puts(&page->words, "the high factor is ");
        ll_fixed_add(&page->words, debrief->profile.gf_high * 100, 0);
        ll_text_puts(&page->words, " %, ");
    }
    ll_text_puts(&page->words, "the model's own limit 100 %), ");
    if (surfacing->ceiling_m > 0) {
        ll_text_puts(&page->words, "and a ceiling of ");
        ll_difference_figure(&page->words, surfacing->ceiling_m, page->look);
        ll_text_puts(&page->words, " still stood.");
    } else {
        ll_text_puts(&page->words, "and no ceiling stood.");
    }
}

void ll_taken_words(ll_page *page, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    if (!profile->has_surfacing) {
        ll_text_puts(&page->words, "the record ends under water; nothing can be said of the surfacing.");
    } else {
        double taken_s = profile->time_s[profile->surfacing] - debrief->ascent_start_s;
        ll_duration(&page->words, taken_s);
        ll_text_puts(&page->words, " to the surface, reached at ");
        ll_run_clock(&page->words, debrief, profile->time_s[profile->surfacing]);
        add_comparison(page, debrief, taken_s);
        ll_text_puts(&page->words, ".");
        add_surface_gradient(page, debrief);
    }
}

void ll_text_owed(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "What was owed and what was kept");
    add_ascent_start(page, debrief);
    ll_text_puts(&page->words, "Asked: ");
    ll_asked_words(page, debrief);
    ll_page_end(page, 2, 9);
    ll_text_puts(&page->words, "Kept: ");
    ll_taken_words(page, debrief);
    ll_page_end(page, 2, 8);
    ll_text_levels(page, debrief);
}
