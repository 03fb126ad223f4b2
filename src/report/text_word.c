/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the recorder itself said, beside the replay: whether its own stops were kept first, then figure by figure. */
#include <math.h>

#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/words.h"

#define SAID_M 0.05

static void add_run_clock(ll_page *page, const ll_debrief *debrief, double time_s)
{
    ll_run_clock(&page->words, debrief, time_s);
}

static void add_kept(ll_page *page, const ll_debrief *debrief, const ll_word_stops *stops)
{
    if (isnan(stops->above_m)) {
        ll_text_puts(&page->words, "The diver stayed at or below them throughout.");
        return;
    }
    ll_text_puts(&page->words, "The diver was above them for ");
    ll_duration(&page->words, stops->above_s);
    ll_text_puts(&page->words, " in all, by as much as ");
    ll_difference_figure(&page->words, stops->above_m, page->look);
    ll_text_puts(&page->words, " at ");
    add_run_clock(page, debrief, stops->above_at_s);
    ll_text_puts(&page->words, ", and at or below them for the rest.");
}

static void add_stops(ll_page *page, const ll_debrief *debrief, const ll_word_stops *stops)
{
    if (!stops->asked) {
        ll_text_puts(&page->words, "It asked for no mandatory stop.");
    } else {
        ll_text_puts(&page->words, "It asked for mandatory stops from ");
        add_run_clock(page, debrief, stops->from_s);
        ll_text_puts(&page->words, " to ");
        add_run_clock(page, debrief, stops->to_s);
        ll_text_puts(&page->words, ", the deepest at ");
        ll_figure(&page->words, stops->deepest_m, "m", 0, page->look);
        ll_text_puts(&page->words, ". ");
        add_kept(page, debrief, stops);
    }
    ll_page_end(page, 2, 2);
}

/* --- figures -------------------------------------------------------------------------------------------------- */

/* A no-stop time is missing beyond 24 h, everything where the gas is unknown. */
static void add_value(ll_page *page, const ll_debrief *debrief, const ll_word_figure *figure, double value)
{
    bool long_stay = figure->quantity == LL_NO_STOP && debrief->track.doses.complete && !debrief->profile.uncovered;
    if (isnan(value))
        ll_text_puts(&page->words, long_stay ? "more than 24 h" : "not known");
    else if (figure->quantity == LL_STOP && !(value > 0))
        ll_text_puts(&page->words, "no stop");
    else if (figure->quantity == LL_NO_STOP)
        ll_duration(&page->words, value);
    else
        ll_quantity_figure(&page->words, figure->quantity, value, page->look);
}

static void add_pair(ll_page *page, const ll_debrief *debrief, const ll_word_figure *figure,
                     const ll_word_pair *pair)
{
    if (figure->quantity == LL_CNS && !figure->compared)
        ll_limit_figure(&page->words, pair->recorder, "", page->look);
    else
        add_value(page, debrief, figure, pair->recorder);
    if (pair->duration_s > 0) {
        ll_text_puts(&page->words, " for ");
        ll_duration(&page->words, pair->duration_s);
    }
    ll_text_puts(&page->words, ", the replay ");
    add_value(page, debrief, figure, pair->replay);
    if (figure->quantity == LL_GRADIENT && pair->replay < 0 && !(pair->recorder < 0))
        ll_text_puts(&page->words, " (recorders show none below 0)");
}

/* There the gradient is less than at the surface itself, of which the rest of the debrief speaks. */
static void add_still_under(ll_page *page, double depth_m)
{
    if (depth_m < SAID_M)
        return;
    ll_text_puts(&page->words, ", still ");
    ll_difference_figure(&page->words, depth_m, page->look);
    ll_text_puts(&page->words, " under the surface");
}

/* "at 24:54, the start of the ascent, 21 m for 1 min, the replay 24 m" */
static void add_moment(ll_page *page, const ll_debrief *debrief, const ll_word_figure *figure,
                       const ll_word_pair *pair, size_t sample, const char *moment)
{
    bool there = pair->time_s == debrief->profile.time_s[sample];
    ll_text_puts(&page->words, "at ");
    add_run_clock(page, debrief, pair->time_s);
    ll_text_puts(&page->words, there ? ", " : ", its last before ");
    ll_text_puts(&page->words, moment);
    if (there && figure->quantity == LL_GRADIENT && debrief->profile.has_surfacing &&
        sample == debrief->profile.surfacing)
        add_still_under(page, debrief->profile.depth_m[sample]);
    ll_text_puts(&page->words, ", ");
    add_pair(page, debrief, figure, pair);
}

static void add_farthest(ll_page *page, const ll_debrief *debrief, const ll_word_figure *figure)
{
    const ll_word_pair *pair = &figure->farthest;
    const ll_quantity_row *row = &ll_quantity_table[figure->quantity];
    double step = row->digits > 0 ? 0.1 : 1; /* what the figures are rounded to */
    if (!(fabs(pair->recorder - pair->replay) >= step)) {
        ll_text_puts(&page->words, "; nowhere as much as ");
        ll_figure(&page->words, step, row->unit, row->digits, page->look);
        ll_text_puts(&page->words, " apart");
        return;
    }
    ll_text_puts(&page->words, "; farthest apart at ");
    add_run_clock(page, debrief, pair->time_s);
    ll_text_puts(&page->words, ", ");
    add_pair(page, debrief, figure, pair);
}

static void add_figure(ll_page *page, const ll_debrief *debrief, const ll_word_figure *figure)
{
    const ll_profile *profile = &debrief->profile;
    const ll_word_pair *first = &figure->ascent, *last = &figure->surfacing;
    const char *end = profile->has_surfacing ? "the surfacing" : "the end of the record";
    ll_capital_add(&page->words, ll_quantity_table[figure->quantity].label);
    bool as_written = figure->quantity == LL_CNS && !figure->compared;
    ll_text_puts(&page->words, as_written ? " as written, fraction or percent is not settled: " : ": ");
    if (first->known)
        add_moment(page, debrief, figure, first, profile->ascent_start, "the start of the ascent");
    if (!first->known || first->time_s != last->time_s) {
        ll_text_puts(&page->words, first->known ? "; " : "");
        add_moment(page, debrief, figure, last, profile->surfacing, end);
    }
    if (figure->farthest.known)
        add_farthest(page, debrief, figure);
    ll_text_puts(&page->words, ".");
    ll_page_end(page, 2, 4);
}

void ll_text_word(ll_page *page, const ll_debrief *debrief)
{
    const ll_word *word = &debrief->word;
    if (!word->any)
        return;
    ll_page_heading(page, "The recorder's word");
    add_stops(page, debrief, &word->stops);
    for (int f = 0; f < LL_WORD_FIGURES; f++)
        if (word->figure[f].said)
            add_figure(page, debrief, &word->figure[f]);
}
