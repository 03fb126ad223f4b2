/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which logs a review was made of, how their clocks were brought together, what was left out. */
#include <math.h>

#include "base/number.h"
#include "report/review_report.h"
#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/utf8.h"

#define HALF_HOUR_S 1800

/* "1 h 30 min", a multiple of half an hour. */
static void add_zone(ll_text *out, int seconds)
{
    const int half = (seconds < 0 ? -seconds : seconds) / HALF_HOUR_S;
    if (half > 1)
        ll_text_format(out, "%d h", half / 2);
    if (half % 2)
        ll_text_format(out, "%s30 min", half > 1 ? " " : "");
}

/* "2.4 s", "1 h 0 min 3 s" */
static void add_length(ll_text *out, double seconds)
{
    const double size_s = fabs(seconds);
    if (size_s < 60) {
        ll_fixed_add(out, size_s, 1);
        ll_text_puts(out, " s");
        return;
    }
    const long long whole = llround(size_s);
    if (whole >= 3600)
        ll_text_format(out, "%lld h ", whole / 3600);
    ll_text_format(out, "%lld min %lld s", whole / 60 % 60, whole % 60);
}

/* "clock 1 h 0 min 3 s ahead (within 1.2 s)" */
static void add_clock(ll_page *page, const ll_recorder *recorder)
{
    const ll_clock_match *match = &recorder->match;
    if (recorder->by == LL_CLOCK_FIRST) {
        ll_text_puts(&page->words, "its clock is the team's");
        return;
    }
    if (recorder->by == LL_CLOCK_TRUSTED) {
        ll_text_puts(&page->words, "its clock is taken as it is");
        return;
    }
    if (fabs(match->offset_s) < 0.05) {
        ll_text_puts(&page->words, "its clock agrees");
    } else {
        ll_text_puts(&page->words, "its clock is ");
        add_length(&page->words, match->offset_s);
        ll_text_puts(&page->words, match->offset_s < 0 ? " ahead" : " behind");
    }
    if (recorder->by == LL_CLOCK_GIVEN) {
        ll_text_puts(&page->words, ", as given");
        return;
    }
    ll_text_puts(&page->words, " (within ");
    ll_fixed_add(&page->words, match->uncertainty_s, 1);
    ll_text_puts(&page->words, " s)");
    if (match->zone_s != 0) {
        ll_text_puts(&page->words, ", of which ");
        add_zone(&page->words, match->zone_s);
        ll_text_puts(&page->words, " looks like a time zone or summer time set differently");
    }
}

static void add_recorder(ll_page *page, const ll_review *review, size_t index, size_t r)
{
    const ll_diver *diver = &review->diver[index];
    const ll_recorder *recorder = &diver->recorder[r];
    ll_diver_name_add(&page->words, review, index, page->look);
    ll_text_puts(&page->words, diver->lead ? " (lead)" : "");
    ll_text_puts(&page->words, r != diver->main && diver->main != SIZE_MAX ? ", another recorder: " : ": ");
    if (ll_review_shows(review, index)) {
        ll_show(&page->words, recorder->log->name);
        ll_text_puts(&page->words, recorder->accepted ? "" : ", ");
    }
    if (!recorder->accepted) {
        ll_text_format(&page->words, "left out: %s.", recorder->why_not);
        ll_page_end(page, 2, 4);
        return;
    }
    if (ll_review_shows(review, index))
        ll_text_format(&page->words, ", dive %u, a sample every ", recorder->history->entry[recorder->index].number);
    else
        ll_text_puts(&page->words, "a sample every ");
    ll_duration(&page->words, recorder->profile.interval_s);
    ll_text_puts(&page->words, "; ");
    add_clock(page, recorder);
    if (recorder->by != LL_CLOCK_FIRST) {
        ll_text_puts(&page->words, "; agrees with the first log to ");
        ll_fixed_add(&page->words, 100 * recorder->match.score, 0);
        ll_text_puts(&page->words, " %");
    }
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}

/* Everybody is held against the first log; where it is the wrong one, all others are left out. */
static void add_nobody(ll_page *page, const ll_review *review)
{
    if (review->taken > 1 || review->count < 2)
        return;
    ll_text_puts(&page->words, "No other log agrees with the first one, against which all are held. Should that be the one of "
                               "another dive, name another log first.");
    ll_page_end(page, 2, 4);
}

void ll_review_records(ll_page *page, const ll_review *review)
{
    ll_page_heading(page, "Records and clocks");
    for (size_t i = 0; i < review->count; i++)
        for (size_t r = 0; r < review->diver[i].recorders; r++)
            add_recorder(page, review, i, r);
    add_nobody(page, review);
    if (!review->by_zone && review->count > 1) {
        ll_text_puts(&page->words, "Not every record states its time zone; times are compared as written.");
        ll_page_end(page, 2, 4);
    }
}

void ll_review_sources(ll_page *page, const ll_review *review)
{
    for (size_t i = 0; i < review->count; i++)
        for (size_t r = 0; ll_review_shows(review, i) && r < review->diver[i].recorders; r++)
            ll_text_log_notes(page, review->diver[i].recorder[r].history);
    ll_page_heading(page, "Settings and sources");
    ll_text_history_settings(page, review->asked->settings);
    for (size_t i = 0; i < review->count; i++)
        for (size_t r = 0; ll_review_shows(review, i) && r < review->diver[i].recorders; r++)
            ll_text_file(page, review->diver[i].recorder[r].log);
    if (!review->asked->plan)
        return;
    if (ll_review_shows_plan(review)) {
        ll_text_puts(&page->words, "Plan ");
        ll_show(&page->words, review->asked->plan->name);
        ll_text_puts(&page->words, ", SHA-256 ");
        ll_text_puts(&page->words, review->asked->plan->sha256);
    } else {
        ll_text_puts(&page->words, "The plan is the log of another diver.");
    }
    ll_page_end(page, 2, 4);
}
