/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page around its dives: one file, nothing from elsewhere, and a policy that forbids it. */
#include "report/html.h"
#include "report/html_parts.h"
#include "report/page_bytes.h"
#include "report/strips.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

static const char *const name_words[] = {"full", "initials", "letters"};

/* --- shared by all pages ---------------------------------------------------------------------------------------- */

void ll_html_begin(ll_text *out, const ll_settings *settings, const char *title, const ll_look *look)
{
    ll_text_puts(out, "<!DOCTYPE html>\n<html lang=\"en\"");
    ll_html_attribute(out, "data-leadline", ll_version);
    ll_html_attribute(out, "data-units", look->imperial ? "imperial" : "metric");
    ll_html_attribute(out, "data-names", name_words[look->names]);
    ll_html_attribute(out, "data-firm", settings->firm ? "yes" : "no");
    ll_text_puts(out, ">\n<head>\n<meta charset=\"utf-8\">\n");
    ll_text_format(out,
                   "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src '%s'; "
                   "script-src '%s'; base-uri 'none'; form-action 'none'\">\n",
                   ll_page_style_hash, ll_page_script_hash);
    ll_text_puts(out, "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                      "<meta name=\"color-scheme\" content=\"light dark\">\n"
                      "<meta name=\"referrer\" content=\"no-referrer\">\n<title>");
    ll_html_string(out, title);
    ll_text_puts(out, "</title>\n<style>");
    ll_text_puts(out, ll_page_style);
    ll_text_puts(out, "</style>\n</head>\n<body>\n<main>\n");
}

void ll_html_first_caution(ll_text *out)
{
    ll_text_puts(out, "<p class=\"caution\" role=\"note\">");
    ll_html_string(out, ll_caution_first);
    ll_text_puts(out, "</p>\n");
}

void ll_html_list(ll_page *page, const char *const *sentences)
{
    ll_text_puts(page->out, "<ul>\n");
    for (size_t i = 0; sentences[i]; i++) {
        ll_text_puts(&page->words, sentences[i]);
        ll_html_cell(page, "li");
        ll_text_putc(page->out, '\n');
    }
    ll_text_puts(page->out, "</ul>\n");
}

void ll_html_end(ll_text *out, const ll_text *figures)
{
    ll_text_format(out, "<p class=\"version\">leadline %s</p>\n</main>\n", ll_version);
    ll_text_puts(out, "<script type=\"application/json\" id=\"figures\">");
    ll_html_json(out, figures);
    ll_text_puts(out, "</script>\n<script>");
    ll_text_puts(out, ll_page_script);
    ll_text_puts(out, "</script>\n</body>\n</html>\n");
}

/* --- of debriefs ------------------------------------------------------------------------------------------------ */

static void begin(ll_text *out, const ll_history *history, const ll_html_content *content, const ll_look *look)
{
    ll_text title;
    ll_text_open(&title, out->allocator, NULL, NULL);
    if (content->dives == 1) {
        const ll_entry *entry = content->dive[0].entry;
        const char *site = ll_site_name(entry->log, entry->dive);
        ll_text_format(&title, "Dive %u%s", entry->number, site && site[0] ? ", " : "");
        ll_show(&title, site ? site : "");
    } else {
        ll_text_format(&title, "%zu dives", content->dives);
    }
    ll_text_puts(&title, " \xE2\x80\x93 debrief");
    const char *words = ll_text_string(&title);
    ll_html_begin(out, &history->settings, words ? words : "", look);
    out->no_memory = out->no_memory || title.no_memory;
    ll_text_close(&title);
}

static void add_logs(ll_page *page, const ll_history *history)
{
    if (history->log_count < 2)
        return;
    ll_page_heading(page, "All logs of this history");
    for (size_t i = 0; i < history->log_count; i++)
        ll_text_file(page, history->logs[i]);
}

static void add_foot(ll_text *out, const ll_history *history, const ll_look *look)
{
    ll_page page;
    ll_page_open_markup(&page, out, look);
    ll_text_puts(out, "<footer>\n");
    ll_text_log_notes(&page, history);
    add_logs(&page, history);
    ll_page_heading(&page, "Before anyone relies on this");
    ll_html_list(&page, ll_cautions);
    ll_text_puts(out, "</footer>\n");
    ll_page_close(&page);
}

void ll_html_page(ll_text *out, const ll_history *history, const ll_html_content *content, const ll_look *look)
{
    begin(out, history, content, look);
    ll_text_puts(out, "<h1>What did this diver actually do?</h1>\n");
    ll_html_first_caution(out);
    if (content->dives > 1)
        ll_html_season(out, content->dive, content->dives, look);
    ll_text_add(out, content->articles->bytes, content->articles->size);
    add_foot(out, history, look);
    ll_html_end(out, content->figures);
}
