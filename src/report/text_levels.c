/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The levels that were kept on the way up, beside what was asked for then; the run time table. */
#include "report/text_levels.h"

#include <math.h>

#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/text_parts.h"
#include "report/utf8.h"

#define SAID_S 0.5  /* a shorter time is none */
#define SAID_M 0.05
#define MOVED_M 0.5         /* from end to end */
#define MOVING_SPREAD_M 0.2 /* an even way over a metre has 0.29 */

static void add_mix(ll_text *out, const ll_debrief *debrief, int mix, bool loop)
{
    if (loop)
        ll_text_puts(out, "the loop with diluent ");
    ll_mix_add(out, debrief->entry->log, mix);
}

static void add_metres(ll_page *page, double metres, int digits)
{
    ll_figure(&page->words, metres, "m", digits, page->look);
}

/* --- short of what was asked ----------------------------------------------------------------------------------- */

static void add_still_owed(ll_page *page, double still_owed_s)
{
    if (!(still_owed_s >= SAID_S))
        return;
    ll_text_puts(&page->words, " When it was left, ");
    ll_duration(&page->words, still_owed_s);
    ll_text_puts(&page->words, " at stops were still owed by the replay's own schedule.");
}

/* How firm the gradient at the surface is, where surfacing so is a finding. */
static void add_how_firm(ll_page *page, const ll_debrief *debrief)
{
    const ll_finding *surfaced = ll_surfaced_finding(debrief);
    const ll_range *range = &debrief->firmness.gradient_percent;
    if (!surfaced)
        return;
    ll_text_puts(&page->words, " The surface was reached with a gradient of ");
    ll_quantity_figure(&page->words, LL_GRADIENT, debrief->surfacing.gradient_percent, page->look);
    if (debrief->firmness.replayed && isfinite(range->least) && isfinite(range->greatest)) {
        ll_text_puts(&page->words, ", ");
        ll_percent_range(page, range);
        ll_text_puts(&page->words, " within recorder error");
    }
    ll_text_format(&page->words, "; the finding: %s", ll_severity_names[surfaced->severity]);
    if (debrief->firmness.asked)
        ll_text_puts(&page->words, surfaced->firm_severity == surfaced->severity ? ", firm" : ", marginal");
    ll_text_putc(&page->words, '.');
}

static void add_how_short(ll_page *page, const ll_debrief *debrief, const ll_level *last, double short_s)
{
    bool finite = isfinite(short_s);
    ll_text_puts(&page->words, finite ? "Short by " : "Short: no stay within 24 h at the level kept last, ");
    if (finite) {
        ll_duration(&page->words, short_s);
        ll_text_puts(&page->words, ": the level kept last, ");
    }
    add_metres(page, last->nominal_m, 0);
    ll_text_puts(&page->words, " on ");
    add_mix(&page->words, debrief, last->mix, last->loop);
    ll_text_puts(&page->words, finite ? ", would have had to last so much longer before the surface was within limits."
                                      : ", would have brought the surface within limits.");
    if (!(debrief->surfacing.ceiling_m > 0))
        ll_text_puts(&page->words, " On the way from there the ceiling went away.");
}

static void add_kept_to_the_end(ll_page *page, const ll_level *last)
{
    ll_text_puts(&page->words, "The level kept last, ");
    add_metres(page, last->nominal_m, 0);
    ll_text_puts(&page->words, ", was not left before the surface was within limits.");
}

/* Where the tissues are known at the surfacing, so are they at the level before. */
void ll_short_words(ll_page *page, const ll_debrief *debrief)
{
    const ll_levels *levels = &debrief->levels;
    if (!debrief->surfacing.known || levels->count == 0)
        return;
    const ll_level *last = &levels->level[levels->count - 1];
    const double short_s = debrief->asked.at[levels->count - 1].short_s;
    if (!(short_s < SAID_S)) {
        add_how_short(page, debrief, last, short_s);
        add_still_owed(page, debrief->asked.still_owed_s);
        add_how_firm(page, debrief);
    } else if (debrief->required) {
        add_kept_to_the_end(page, last);
    }
}

/* --- the way up ------------------------------------------------------------------------------------------------- */

static void add_climb(ll_page *page, const ll_climb *climb)
{
    ll_text_puts(&page->words, " in ");
    ll_duration(&page->words, climb->to_s - climb->from_s);
    ll_text_puts(&page->words, ", ");
    ll_quantity_figure(&page->words, LL_ASCENT_RATE, climb->rate_m_min, page->look);
    ll_text_puts(&page->words, " on average.");
}

static void add_to_first(ll_page *page, const ll_levels *levels)
{
    const ll_climb *climb = &levels->to_first;
    if (isnan(climb->rate_m_min))
        return;
    ll_text_puts(&page->words, "From the bottom to the ");
    ll_text_puts(&page->words, levels->count ? "first level, " : "surface, no level being kept on the way, ");
    add_metres(page, climb->from_m, 1);
    ll_text_puts(&page->words, " to ");
    add_metres(page, climb->to_m, 1);
    add_climb(page, climb);
    ll_page_end(page, 2, 4);
}

static void add_last_metres(ll_page *page, const ll_debrief *debrief)
{
    const ll_climb *climb = &debrief->levels.last_six;
    if (isnan(climb->rate_m_min) || climb->from_m < SAID_M)
        return;
    ll_text_puts(&page->words, "The last metres: from ");
    add_metres(page, climb->from_m, 1);
    ll_text_puts(&page->words, " at ");
    ll_run_clock(&page->words, debrief, climb->from_s);
    ll_text_puts(&page->words, " to the surface");
    add_climb(page, climb);
    ll_page_end(page, 2, 4);
}

static void add_redescents(ll_page *page, const ll_debrief *debrief)
{
    const ll_levels *levels = &debrief->levels;
    for (size_t i = 0; i < levels->redescents; i++) {
        const ll_climb *down = &levels->redescent[i];
        ll_text_puts(&page->words, i ? "; from " : "Down again on the way up: from ");
        add_metres(page, down->from_m, 1);
        ll_text_puts(&page->words, " at ");
        ll_run_clock(&page->words, debrief, down->from_s);
        ll_text_puts(&page->words, " to ");
        add_metres(page, down->to_m, 1);
        ll_text_puts(&page->words, " at ");
        ll_run_clock(&page->words, debrief, down->to_s);
    }
    if (levels->redescents)
        ll_text_puts(&page->words, ".");
    ll_page_end(page, 2, 4);
}

static void add_breaks(ll_page *page, const ll_debrief *debrief)
{
    const ll_levels *levels = &debrief->levels;
    for (size_t i = 0; i < levels->breaks; i++) {
        const ll_oxygen_break *rest = &levels->oxygen_break[i];
        ll_text_puts(&page->words, i ? "; break from " : "On oxygen: break from ");
        ll_run_clock(&page->words, debrief, rest->from_s);
        ll_text_puts(&page->words, " to ");
        ll_run_clock(&page->words, debrief, rest->to_s);
        ll_text_puts(&page->words, " on ");
        ll_mix_add(&page->words, debrief->entry->log, rest->mix);
        ll_text_puts(&page->words, " at ");
        add_metres(page, rest->depth_m, 1);
    }
    if (levels->breaks)
        ll_text_puts(&page->words, ".");
    ll_page_end(page, 2, 4);
}

/* --- levels ------------------------------------------------------------------------------------------------------- */

/* A slow way up is cut into levels: there depth at both ends says more than the mean. */
static void add_drift(ll_page *page, const ll_debrief *debrief, const ll_level *level)
{
    const double from_m = debrief->profile.depth_m[level->first], to_m = debrief->profile.depth_m[level->last];
    if (level->spread_m < MOVING_SPREAD_M || fabs(from_m - to_m) < MOVED_M)
        return;
    ll_text_puts(&page->words, ", from ");
    add_metres(page, from_m, 1);
    ll_text_puts(&page->words, " at its beginning to ");
    add_metres(page, to_m, 1);
    ll_text_puts(&page->words, " at its end");
}

static void add_level_kept(ll_page *page, const ll_debrief *debrief, const ll_level *level)
{
    add_metres(page, level->nominal_m, 0);
    ll_text_puts(&page->words, ", ");
    ll_run_clock(&page->words, debrief, level->from_s);
    ll_text_puts(&page->words, " to ");
    ll_run_clock(&page->words, debrief, level->to_s);
    ll_text_puts(&page->words, " on ");
    add_mix(&page->words, debrief, level->mix, level->loop);
    ll_text_puts(&page->words, ". Kept: ");
    ll_duration(&page->words, level->to_s - level->from_s);
    ll_text_puts(&page->words, " between ");
    add_metres(page, level->least_m, 1);
    ll_text_puts(&page->words, " and ");
    add_metres(page, level->greatest_m, 1);
    ll_text_puts(&page->words, ", mean ");
    add_metres(page, level->mean_m, 1);
    ll_text_puts(&page->words, ", spread ");
    add_metres(page, level->spread_m, 2);
    add_drift(page, debrief, level);
    ll_text_puts(&page->words, ".");
}

static void add_level_asked(ll_page *page, const ll_debrief *debrief, size_t index)
{
    const ll_level_asked *asked = &debrief->asked.at[index];
    bool last = index + 1 == debrief->levels.count;
    ll_text_puts(&page->words, " Asked: ");
    if (isnan(asked->stop_m)) {
        ll_text_format(&page->words, "not known, because %s.", ll_tissues_missing(debrief));
        return;
    }
    if (asked->stop_m > 0) {
        ll_text_puts(&page->words, "a stop at ");
        add_metres(page, asked->stop_m, 0);
        if (asked->stop_m - debrief->levels.level[index].mean_m >= LL_LEVEL_BAND_M)
            ll_text_puts(&page->words, " (deeper than here)");
    } else {
        ll_text_puts(&page->words, "no stop");
    }
    if (asked->stay_s >= SAID_S) {
        ll_text_puts(&page->words, ", ");
        ll_duration(&page->words, asked->stay_s);
        ll_text_puts(&page->words, " here");
    } else if (asked->stop_m > 0 && isfinite(asked->stay_s)) {
        ll_text_puts(&page->words, ", no wait here");
    }
    if (asked->beyond_s >= SAID_S) {
        ll_text_puts(&page->words, " and ");
        ll_duration(&page->words, asked->beyond_s);
        ll_text_puts(&page->words, last ? " shallower" : " shallower, before the next level");
    }
    ll_text_puts(&page->words, ".");
    if (!last && asked->short_s >= SAID_S) {
        ll_text_puts(&page->words, " Left ");
        ll_duration(&page->words, asked->short_s);
        ll_text_puts(&page->words, " before the next level was within limits.");
    }
}

static void add_levels(ll_page *page, const ll_debrief *debrief)
{
    const ll_levels *levels = &debrief->levels;
    if (levels->count == 0)
        return;
    ll_text_puts(&page->words, "Levels kept, a minute or more within ");
    add_metres(page, LL_LEVEL_BAND_M, 1);
    ll_text_puts(&page->words, ", and what the replay asked for at each arrival:");
    ll_page_end(page, 2, 4);
    for (size_t i = 0; i < levels->count; i++) {
        add_level_kept(page, debrief, &levels->level[i]);
        add_level_asked(page, debrief, i);
        ll_page_end(page, 4, 6);
    }
}

void ll_text_levels(ll_page *page, const ll_debrief *debrief)
{
    if (!debrief->levels.made)
        return;
    ll_short_words(page, debrief);
    ll_page_end(page, 2, 9);
    add_to_first(page, &debrief->levels);
    add_last_metres(page, debrief);
    add_redescents(page, debrief);
    add_breaks(page, debrief);
    add_levels(page, debrief);
}

/* --- the slate ------------------------------------------------------------------------------------------------------ */

enum { SLATE_WIDTH = 8 };

/* What was collected as a cell, right-aligned. */
static void end_cell(ll_page *page)
{
    size_t columns = ll_columns(page->words.bytes, page->words.size);
    ll_text_fill(page->out, ' ', columns < SLATE_WIDTH ? SLATE_WIDTH - columns : 1);
    ll_text_add(page->out, page->words.bytes, page->words.size);
    page->words.size = 0;
}

static void add_row(ll_page *page, const ll_debrief *debrief, const ll_slate_row *row)
{
    bool up = isnan(row->leaving_s);
    add_metres(page, row->depth_m, 0);
    end_cell(page);
    ll_run_clock(&page->words, debrief, row->arrival_s);
    end_cell(page);
    if (!up)
        ll_run_clock(&page->words, debrief, row->leaving_s);
    end_cell(page);
    ll_text_puts(page->out, "  ");
    if (up)
        ll_text_puts(page->out, "surface");
    else if (row->mix < 0)
        ll_text_puts(page->out, "unknown");
    else
        ll_mix_add(page->out, debrief->entry->log, row->mix);
    ll_text_puts(page->out, row->loop ? " (loop)\n" : "\n");
}

void ll_text_slate(ll_page *page, const ll_debrief *debrief)
{
    const ll_levels *levels = &debrief->levels;
    if (!levels->made)
        return;
    ll_page_heading(page, "Run time table, as on a slate");
    ll_text_puts(page->out, "   depth arrival leaving  mix\n");
    for (size_t i = 0; i < levels->rows; i++)
        add_row(page, debrief, &levels->row[i]);
}
