/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One dive on a page: first lines, picture, words, room for what people say of it, samples. */
#include "report/html.h"
#include "report/html_parts.h"
#include "report/samples.h"
#include "report/strips.h"
#include "report/text_levels.h"
#include "report/text_parts.h"
#include "report/words.h"

static void open_section(ll_page *page, const char *class)
{
    ll_text_format(page->out, "<section class=\"%s\">", class);
}

static void close_section(ll_page *page)
{
    ll_text_puts(page->out, "</section>\n");
}

static bool is_replayed(const ll_debrief *debrief)
{
    return debrief->has_profile && debrief->profile.has_run_time;
}

/* --- the picture ------------------------------------------------------------------------------------------------ */

static void add_picture(ll_page *page, const ll_debrief *debrief, const ll_track *track)
{
    const ll_profile *profile = &debrief->profile;
    ll_text_puts(page->out, "<section class=\"picture\"");
    ll_html_attribute_number(page->out, "data-from", profile->time_s[profile->leaving]);
    ll_html_attribute_number(page->out, "data-to", profile->time_s[profile->surfacing]);
    ll_text_puts(page->out, ">\n");
    ll_page_heading(page, "The dive, minute by minute");
    ll_html_strips(page->out, debrief, track, page->look);
    ll_text_puts(page->out, "<div class=\"readout\"></div>\n");
    close_section(page);
}

/* --- words ------------------------------------------------------------------------------------------------------ */

static void add_part(ll_page *page, const ll_debrief *debrief, void (*part)(ll_page *, const ll_debrief *))
{
    open_section(page, "part");
    part(page, debrief);
    close_section(page);
}

static void add_owed(ll_page *page, const ll_debrief *debrief)
{
    ll_text_owed(page, debrief);
    ll_html_slate(page, debrief);
}

static void add_oxygen(ll_page *page, const ll_debrief *debrief)
{
    ll_text_doses(page, debrief);
    ll_html_peaks(page, debrief);
}

static void add_summary(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "Summary");
    ll_text_summary(page, debrief);
}

static void add_notes(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "Notes on the record");
    ll_text_notes(page, debrief->history, &debrief->notes);
    if (debrief->notes.count > 0)
        return;
    ll_text_puts(&page->words, "Nothing about the record had to be repaired, assumed or doubted.");
    ll_page_end(page, 0, 0);
}

static void add_settings(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "Settings and source");
    ll_text_settings(page, debrief);
    ll_text_file(page, debrief->entry->log);
}

static void add_replay(ll_page *page, const ll_debrief *debrief)
{
    static void (*const parts[])(ll_page *, const ll_debrief *) = {
        ll_html_findings, add_owed, ll_html_switches, ll_text_gas, add_oxygen, ll_text_word, ll_text_models};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        add_part(page, debrief, parts[i]);
}

/* --- what people say of it -------------------------------------------------------------------------------------- */

static void add_room(ll_page *page)
{
    static const char *const labels[] = {"The diver's account", "The instructor's remarks"};
    open_section(page, "part people");
    ll_page_heading(page, "In their own words");
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++)
        ll_text_format(page->out, "<label>%s<textarea rows=\"5\"></textarea></label>\n", labels[i]);
    ll_text_puts(page->out, "<div class=\"seen\"><label>Seen by (diver), on<textarea rows=\"1\"></textarea></label>\n"
                            "<label>Seen by (instructor), on<textarea rows=\"1\"></textarea></label></div>\n");
    close_section(page);
}

/* --- the whole -------------------------------------------------------------------------------------------------- */

static void add_title(ll_page *page, const ll_debrief *debrief, bool alone)
{
    ll_text_puts(page->out, alone ? "<h2>" : "<details><summary><h2>");
    ll_title_words(page, debrief);
    const char *words = ll_text_string(&page->words);
    ll_html_string(page->out, words ? words : "");
    page->words.size = 0;
    ll_text_puts(page->out, alone ? "</h2>\n" : "</h2></summary>\n");
}

static void add_body(ll_page *page, const ll_debrief *debrief, const ll_track *track)
{
    if (is_replayed(debrief)) {
        ll_html_first(page, debrief);
        add_picture(page, debrief, track);
    }
    add_part(page, debrief, add_summary);
    if (is_replayed(debrief))
        add_replay(page, debrief);
    add_room(page);
    add_part(page, debrief, add_notes);
    add_part(page, debrief, add_settings);
    if (is_replayed(debrief))
        add_part(page, debrief, ll_html_limits);
}

unsigned ll_html_place(const ll_debrief *debrief, const ll_look *look)
{
    return look->place ? look->place : debrief->entry->number;
}

void ll_html_debrief(ll_text *out, const ll_debrief *debrief, const ll_track *track, const ll_look *look, bool alone)
{
    ll_look painted = *look;
    ll_page page;
    painted.colour = true;
    ll_page_open_markup(&page, out, &painted);
    const unsigned place = ll_html_place(debrief, look);
    ll_text_format(out, "<article class=\"dive\" id=\"dive-%u\" data-dive=\"%u\">\n", place, place);
    add_title(&page, debrief, alone);
    add_body(&page, debrief, track);
    if (is_replayed(debrief))
        ll_html_samples(out, debrief, track);
    ll_text_puts(out, alone ? "</article>\n" : "</details></article>\n");
    ll_page_close(&page);
}
