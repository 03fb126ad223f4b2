/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The text debrief: something to read aloud at the table. */
#include "report/text_levels.h"
#include "report/text_parts.h"
#include "report/words.h"

void ll_text_head(ll_text *out, const ll_history *history, const ll_look *look)
{
    (void)history;
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_first_caution(&page);
    ll_page_close(&page);
}

static void add_replay(ll_page *page, const ll_debrief *debrief)
{
    if (!debrief->has_profile || !debrief->profile.has_run_time)
        return;
    ll_text_short(page, debrief);
    ll_text_owed(page, debrief);
    ll_text_slate(page, debrief);
    ll_text_switches(page, debrief);
    ll_text_word(page, debrief);
    ll_text_classes(page, debrief);
    ll_text_peaks(page, debrief);
    ll_text_doses(page, debrief);
    ll_text_gas(page, debrief);
    ll_text_picture(page, debrief);
    ll_text_models(page, debrief);
    ll_text_other_limits(page, debrief);
}

static void add_record(ll_page *page, const ll_debrief *debrief)
{
    if (debrief->notes.count > 0) {
        ll_page_heading(page, "Notes on the record");
        ll_text_notes(page, debrief->history, &debrief->notes);
    }
    ll_page_heading(page, "Settings and source");
    ll_text_settings(page, debrief);
    ll_text_file(page, debrief->entry->log);
}

void ll_text_debrief(ll_text *out, const ll_debrief *debrief, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_title(&page, debrief);
    ll_text_summary(&page, debrief);
    add_replay(&page, debrief);
    add_record(&page, debrief);
    ll_page_close(&page);
}

/* --- foot ----------------------------------------------------------------------------------------------------- */

static void add_logs(ll_page *page, const ll_history *history)
{
    if (history->log_count < 2)
        return;
    ll_page_heading(page, "All logs of this history");
    for (size_t i = 0; i < history->log_count; i++)
        ll_text_file(page, history->logs[i]);
}

void ll_text_foot(ll_text *out, const ll_history *history, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_log_notes(&page, history);
    add_logs(&page, history);
    ll_page_heading(&page, "Before anyone relies on this");
    ll_text_cautions(&page);
    ll_text_format(out, "\nleadline %s\n", ll_version);
    ll_page_close(&page);
}
