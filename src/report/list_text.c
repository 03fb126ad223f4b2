/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list for people: a line of figures a dive, and a line on what its record holds. */
#include <math.h>

#include "report/list.h"
#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

/* Widths with the blanks before them. */
enum { NUMBER_COLUMNS = 4, DATE_COLUMNS = 18, RUN_COLUMNS = 10, DEPTH_COLUMNS = 10, EVERY_COLUMNS = 8, INDENT = 6 };

void ll_list_text_head(ll_text *out, const ll_history *history, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_first_caution(&page);
    ll_text_putc(out, '\n');
    ll_counted(&page.words, history->count, "dive");
    ll_text_puts(&page.words, " in ");
    ll_counted(&page.words, history->log_count, "log");
    ll_text_puts(&page.words, ". Run time in minutes and seconds; samples by the median time between them.");
    ll_page_end(&page, 0, 0);
    ll_text_putc(out, '\n');
    ll_paint_add(out, look, LL_BOLD, "dive  start             run time  greatest   every");
    ll_text_putc(out, '\n');
    ll_page_close(&page);
}

/* --- a row ---------------------------------------------------------------------------------------------------- */

/* Puts what was collected at the right edge of a column that wide. */
static void right_align(ll_page *page, size_t width)
{
    size_t columns = ll_columns(page->words.bytes, page->words.size);
    ll_text_fill(page->out, ' ', columns < width ? width - columns : 0);
    ll_text_add(page->out, page->words.bytes, page->words.size);
    page->words.size = 0;
}

static void add_date(ll_page *page, const ll_instant *start)
{
    if (start->has_date)
        ll_day_add(&page->words, ll_instant_day(start));
    if (start->has_date && start->has_time) {
        int64_t minutes = (start->local_s - ll_instant_day(start) * 86400) / 60;
        ll_text_format(&page->words, " %02d:%02d", (int)(minutes / 60), (int)(minutes % 60));
    }
    size_t written = page->words.size;
    if (written < DATE_COLUMNS - 2)
        ll_text_fill(&page->words, ' ', DATE_COLUMNS - 2 - written);
    right_align(page, DATE_COLUMNS);
}

/* As replayed; as stated where there is no profile. */
static void add_figures(ll_page *page, const ll_debrief *debrief)
{
    const ll_dive *dive = debrief->entry->dive;
    const ll_profile *profile = &debrief->profile;
    double run_s = dive->stated_duration_s, greatest_m = dive->stated_greatest_m, interval_s = NAN;
    if (debrief->has_profile) {
        run_s = profile->has_run_time ? profile->run_time_s : NAN;
        greatest_m = profile->has_run_time ? profile->greatest_m : NAN;
        interval_s = profile->interval_s;
    }
    ll_clock(&page->words, run_s);
    right_align(page, RUN_COLUMNS);
    ll_quantity_figure(&page->words, LL_DEPTH, greatest_m, page->look);
    right_align(page, DEPTH_COLUMNS);
    ll_figure(&page->words, interval_s, "s", 0, page->look);
    right_align(page, EVERY_COLUMNS);
}

static void add_mixes(ll_page *page, const ll_debrief *debrief)
{
    if (!debrief->has_profile)
        ll_text_puts(&page->words, "stated without a profile; ");
    for (size_t i = 0; i < debrief->mix_count; i++) {
        ll_mix_add(&page->words, debrief->entry->log, debrief->mixes[i]);
        ll_text_puts(&page->words, i + 1 < debrief->mix_count ? ", " : "; ");
    }
}

static void add_series(ll_page *page, const ll_dive *dive)
{
    bool any = false;
    for (size_t i = 0; i < LL_SERIES_SHOWN; i++) {
        if (!ll_has_series(dive, i))
            continue;
        ll_text_puts(&page->words, any ? ", " : "with ");
        ll_text_puts(&page->words, ll_series_names[i].words);
        any = true;
    }
    ll_text_puts(&page->words, any ? "; " : dive->count ? "with depth alone; " : "");
}

static void add_weights(ll_page *page, const ll_notes *notes)
{
    ll_text_puts(&page->words, notes->count ? "" : "no notes");
    bool any = false;
    for (int weight = LL_LOSS; weight >= LL_REMARK; weight--) {
        size_t count = ll_notes_of_weight(notes, (ll_weight)weight);
        if (count == 0)
            continue;
        ll_text_puts(&page->words, any ? ", " : "");
        ll_counted(&page->words, count, ll_weight_names[weight]);
        any = true;
    }
}

void ll_list_text_row(ll_text *out, const ll_debrief *debrief, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_format(&page.words, "%u", debrief->entry->number);
    right_align(&page, NUMBER_COLUMNS);
    add_date(&page, &debrief->entry->dive->start);
    add_figures(&page, debrief);
    ll_text_putc(out, '\n');
    add_mixes(&page, debrief);
    add_series(&page, debrief->entry->dive);
    add_weights(&page, &debrief->notes);
    ll_page_end(&page, INDENT, INDENT);
    ll_page_close(&page);
}

void ll_list_notes(ll_text *out, const ll_debrief *debrief, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_page_heading(&page, debrief->notes.count ? "Notes on the record" : "No notes on the record");
    ll_text_notes(&page, debrief->history, &debrief->notes);
    ll_page_close(&page);
}

/* --- foot ----------------------------------------------------------------------------------------------------- */

void ll_list_text_foot(ll_text *out, const ll_history *history, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_page_heading(&page, history->log_count == 1 ? "Log" : "Logs");
    for (size_t i = 0; i < history->log_count; i++)
        ll_text_file(&page, history->logs[i]);
    ll_text_log_notes(&page, history);
    ll_text_format(out, "\nleadline %s\n", ll_version);
    ll_page_close(&page);
}
