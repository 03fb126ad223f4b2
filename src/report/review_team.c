/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The team in words: how close it kept in depth, who came when. An order says who came when, not why. */
#include <math.h>

#include "base/number.h"
#include "report/review_report.h"
#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/words.h"

enum { PAIRS_TOLD = 6 };

static void add_name(ll_page *page, const ll_review *review, size_t diver)
{
    ll_diver_name_add(&page->words, review, diver, page->look);
}

static void add_both(ll_page *page, const ll_review *review, size_t one, size_t other)
{
    add_name(page, review, one);
    ll_text_puts(&page->words, " and ");
    add_name(page, review, other);
}

/* --- separation ----------------------------------------------------------------------------------------------------- */

/* "caution over 6 m for 60 s" */
static void add_limit(ll_page *page, const char *severity, double limit_m, double for_s, bool *any)
{
    if (isnan(limit_m))
        return;
    ll_text_format(&page->words, "%s%s over ", *any ? ", " : "", severity);
    ll_limit_figure(&page->words, limit_m, "m", page->look);
    ll_text_puts(&page->words, " for ");
    ll_fixed_add(&page->words, for_s, 0);
    ll_text_puts(&page->words, " s");
    *any = true;
}

static void add_limits(ll_page *page, const ll_limit *limit)
{
    bool any = false;
    ll_text_puts(&page->words, "Looked at: ");
    add_limit(page, "note", limit->note, LL_APART_CAUTION_S, &any);
    add_limit(page, "caution", limit->caution, LL_APART_CAUTION_S, &any);
    add_limit(page, "serious", limit->serious, LL_APART_SERIOUS_S, &any);
    ll_text_format(&page->words, "%s (%s%s%s).", any ? "" : "no limit", ll_origin_names[limit->origin],
                   limit->origin == LL_BUILT_IN ? "; " : "", limit->origin == LL_BUILT_IN ? limit->source : "");
    ll_page_end(page, 2, 4);
}

static void add_greatest(ll_page *page, const ll_review *review)
{
    const ll_team *team = &review->team;
    if (isnan(team->greatest_m)) {
        ll_text_puts(&page->words, "No two students were under water and known at the same time.");
        ll_page_end(page, 2, 4);
        return;
    }
    ll_text_puts(&page->words, "Depth separation was greatest at ");
    ll_clock(&page->words, team->greatest_s);
    ll_text_puts(&page->words, ": ");
    ll_difference_figure(&page->words, team->greatest_m, page->look);
    ll_text_puts(&page->words, " between ");
    add_both(page, review, team->between[0], team->between[1]);
    ll_text_puts(&page->words, ". ");
    if (team->apart_s > 0) {
        ll_text_puts(&page->words, "In all, at least one pair stood beyond the limit for ");
        ll_duration(&page->words, team->apart_s);
        ll_text_putc(&page->words, '.');
    } else {
        ll_text_puts(&page->words, "No pair of students stood beyond the limit for long enough to be told.");
    }
    ll_page_end(page, 2, 4);
}

static void add_stretch(ll_page *page, const ll_apart *apart)
{
    ll_paint_add(&page->words, page->look, ll_severity_paint(apart->severity), ll_severity_names[apart->severity]);
    ll_text_puts(&page->words, " from ");
    ll_clock(&page->words, apart->from_s);
    ll_text_puts(&page->words, " to ");
    ll_clock(&page->words, apart->to_s);
    ll_text_puts(&page->words, ", up to ");
    ll_difference_figure(&page->words, apart->greatest_m, page->look);
}

static void add_pair(ll_page *page, const ll_review *review, const ll_pair *pair)
{
    add_both(page, review, pair->one, pair->other);
    ll_text_puts(&page->words, pair->buddies ? " (buddies): " : ": ");
    if (isnan(pair->greatest_m)) {
        ll_text_puts(&page->words, "never under water and known at the same time.");
    } else {
        ll_text_puts(&page->words, "greatest ");
        ll_difference_figure(&page->words, pair->greatest_m, page->look);
        ll_text_puts(&page->words, " at ");
        ll_clock(&page->words, pair->greatest_s);
        for (size_t i = 0; i < pair->count; i++) {
            ll_text_puts(&page->words, "; ");
            add_stretch(page, &pair->stretch[i]);
        }
        ll_text_putc(&page->words, '.');
    }
    ll_page_end(page, 4, 6);
}

/* Pairs that stood apart, and buddies; where none are named and there are few, all. An extract tells pairs of its own diver. */
static bool is_told(const ll_review *review, const ll_pair *pair)
{
    if (review->extract != SIZE_MAX && pair->one != review->extract && pair->other != review->extract)
        return false;
    if (review->team.has_buddies)
        return pair->buddies || pair->count > 0;
    return review->extract != SIZE_MAX || review->team.pairs <= PAIRS_TOLD || pair->count > 0;
}

static void add_pairs(ll_page *page, const ll_review *review)
{
    size_t told = 0;
    for (size_t i = 0; i < review->team.pairs; i++)
        if (is_told(review, &review->team.pair[i])) {
            add_pair(page, review, &review->team.pair[i]);
            told++;
        }
    if (told < review->team.pairs && review->extract == SIZE_MAX) {
        ll_text_puts(&page->words, "The other pairs, which never stood beyond the limit for long enough, stand in the "
                                   "machine-readable formats.");
        ll_page_end(page, 4, 6);
    }
}

/* --- orders --------------------------------------------------------------------------------------------------------- */

static void add_order(ll_page *page, const ll_review *review, const ll_order *order, bool depths)
{
    for (size_t i = 0; i < order->count; i++) {
        ll_text_puts(&page->words, i ? ", " : "");
        add_name(page, review, order->at[i].diver);
        ll_text_putc(&page->words, ' ');
        ll_clock(&page->words, order->at[i].time_s);
        if (!depths)
            continue;
        ll_text_puts(&page->words, " (");
        ll_figure(&page->words, order->at[i].depth_m, "m", 1, page->look);
        ll_text_putc(&page->words, ')');
    }
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}

static void add_orders(ll_page *page, const ll_review *review)
{
    const ll_team *team = &review->team;
    ll_text_puts(&page->words, "Left the bottom: ");
    add_order(page, review, &team->left_bottom, false);
    for (size_t i = 0; i < team->switches; i++) {
        ll_text_format(&page->words, "Switched to %s: ", team->to[i].label);
        add_order(page, review, &team->to[i].order, true);
    }
    for (size_t i = 0; i < team->levels; i++) {
        ll_text_puts(&page->words, "At ");
        ll_figure(&page->words, team->level[i].depth_m, "m", 0, page->look);
        ll_text_puts(&page->words, ": ");
        add_order(page, review, &team->level[i].order, false);
    }
    ll_text_puts(&page->words, "Surfaced: ");
    if (team->surfaced.count > 0)
        add_order(page, review, &team->surfaced, false);
    else
        ll_text_puts(&page->words, "no record reaches the surface.");
    ll_page_end(page, 2, 4);
}

/* --- the deepest ceiling -------------------------------------------------------------------------------------------- */

static void add_ceiling(ll_page *page, const ll_review *review)
{
    const ll_team *team = &review->team;
    size_t told = 0;
    if (!(team->ceiling_peak_m > 0)) {
        ll_text_puts(&page->words, isnan(team->ceiling_peak_m) ? "No ceiling of the team is known."
                                                               : "No student had a ceiling at any time.");
        ll_page_end(page, 2, 4);
        return;
    }
    ll_text_puts(&page->words, "The team's ceiling, the deepest of the students' at each moment, was deepest at ");
    ll_clock(&page->words, team->ceiling_peak_s);
    ll_text_puts(&page->words, ": ");
    ll_figure(&page->words, team->ceiling_peak_m, "m", 1, page->look);
    ll_text_puts(&page->words, ". ");
    for (size_t i = 0; i < review->count; i++) {
        const ll_diver *diver = &review->diver[i];
        if (!ll_review_has(review, i) || !(diver->above_team_ceiling_s >= 1))
            continue;
        ll_text_puts(&page->words, told++ ? ", " : "Above it: ");
        add_name(page, review, i);
        ll_text_puts(&page->words, " for ");
        ll_duration(&page->words, diver->above_team_ceiling_s);
    }
    if (told > 0) {
        ll_text_putc(&page->words, '.');
    } else if (review->extract == SIZE_MAX) {
        ll_text_puts(&page->words, "Nobody was above it.");
    } else if (ll_review_has(review, review->extract)) {
        add_name(page, review, review->extract);
        ll_text_puts(&page->words, " was not above it.");
    }
    ll_page_end(page, 2, 4);
}

void ll_review_team_text(ll_page *page, const ll_review *review)
{
    ll_page_heading(page, "As a team");
    if (review->taken < 2) {
        ll_text_puts(&page->words, "Only one log has this dive; there is nothing to compare.");
        ll_page_end(page, 2, 4);
        return;
    }
    ll_text_puts(&page->words, "Times count from the leaving of the first log's diver, on that log's clock.");
    ll_page_end(page, 2, 4);
    add_greatest(page, review);
    add_pairs(page, review);
    add_limits(page, &review->team.limit);
    add_orders(page, review);
    add_ceiling(page, review);
}
