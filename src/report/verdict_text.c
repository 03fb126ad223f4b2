/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/verdict.h"
#include "report/words.h"

enum { INDENT = 2, HANGING = 4 };

bool ll_verdict_same(const ll_verdict *verdict)
{
    return verdict->comparison && verdict->comparison->count == 0;
}

bool ll_verdict_is_given(const ll_verdict *verdict, const ll_claimed_input *input)
{
    for (size_t i = 0; i < verdict->logs; i++)
        if (verdict->log[i].named && strcmp(verdict->log[i].sha256, input->sha256) == 0)
            return true;
    return false;
}

/* --- of which logs ---------------------------------------------------------------------------------------------- */

static void add_named(ll_page *page, const char *name, const char *sha256)
{
    ll_show(&page->words, name);
    ll_text_puts(&page->words, ", SHA-256 ");
    ll_show(&page->words, sha256);
}

static void add_page(ll_page *page, const ll_verdict *verdict)
{
    ll_text_puts(&page->words, "The page ");
    add_named(page, verdict->page, verdict->sha256);
    ll_text_puts(&page->words, ", says that it was made by leadline ");
    ll_show(&page->words, verdict->claims->version);
    ll_text_puts(&page->words, ".");
    ll_page_end(page, 0, 0);
}

static void add_name_on_page(ll_page *page, const ll_given_log *log)
{
    if (!log->named || strcmp(log->named->name, log->name) == 0)
        return;
    ll_text_puts(&page->words, "; on the page its name is ");
    ll_show(&page->words, log->named->name);
}

static void add_given(ll_page *page, const ll_given_log *log)
{
    add_named(page, log->name, log->sha256);
    if (!log->named)
        ll_text_puts(&page->words, ": the page does not name it");
    add_name_on_page(page, log);
    ll_text_puts(&page->words, ".");
    ll_page_end(page, INDENT, HANGING);
}

static void add_missing(ll_page *page, const ll_claimed_input *input)
{
    add_named(page, input->name, input->sha256);
    ll_text_puts(&page->words, ": the page names it, and it was not given.");
    ll_page_end(page, INDENT, HANGING);
}

static void add_logs(ll_page *page, const ll_verdict *verdict)
{
    const ll_claims *claims = verdict->claims;
    for (size_t i = 0; i < verdict->logs; i++)
        add_given(page, &verdict->log[i]);
    for (size_t i = 0; i < claims->inputs; i++)
        if (!ll_verdict_is_given(verdict, &claims->input[i]))
            add_missing(page, &claims->input[i]);
}

/* One log, and the page names one. */
static void add_belonging_to_one(ll_page *page, const ll_verdict *verdict)
{
    const ll_given_log *log = verdict->log;
    if (verdict->belongs) {
        ll_text_puts(&page->words, "This page belongs to this log: SHA-256 ");
        ll_text_puts(&page->words, log->sha256);
        ll_text_puts(&page->words, " is the one it was made from");
        add_name_on_page(page, log);
        ll_text_puts(&page->words, ".");
    } else {
        ll_text_puts(&page->words, "This page does not belong to this log: the page names SHA-256 ");
        ll_show(&page->words, verdict->claims->input[0].sha256);
        ll_text_puts(&page->words, ", this log has ");
        ll_text_puts(&page->words, log->sha256);
        ll_text_puts(&page->words, ".");
    }
    ll_page_end(page, 0, 0);
}

static void add_belonging(ll_page *page, const ll_verdict *verdict)
{
    if (verdict->logs == 1 && verdict->claims->inputs == 1) {
        add_belonging_to_one(page, verdict);
        return;
    }
    ll_text_puts(&page->words, verdict->belongs
                                   ? "This page belongs to these logs: their SHA-256 are those it was made from."
                                   : "This page does not belong to these logs, or not to them alone.");
    ll_page_end(page, 0, 0);
    add_logs(page, verdict);
}

/* --- the same figures ------------------------------------------------------------------------------------------- */

static void add_side(ll_page *page, const char *value, const char *where)
{
    if (value)
        ll_show(&page->words, value);
    else
        ll_text_puts(&page->words, "not there");
    ll_text_puts(&page->words, where);
}

static void add_difference(ll_page *page, const ll_difference *difference)
{
    ll_show(&page->words, difference->path);
    if (difference->sample > 0)
        ll_text_format(&page->words, ", sample %zu", difference->sample);
    ll_text_puts(&page->words, ": ");
    add_side(page, difference->page, " on the page, ");
    add_side(page, difference->today, " today");
    if (difference->values > 1)
        ll_text_format(&page->words, "; %zu samples differ", difference->values);
    ll_text_puts(&page->words, ".");
    ll_page_end(page, INDENT, HANGING);
}

static void add_compared(ll_page *page, const ll_comparison *comparison)
{
    ll_text_format(&page->words, "Today's program (%s) computes %s figures: ", ll_version,
                   comparison->count == 0 ? "the same" : "other");
    ll_counted(&page->words, comparison->figures, "figure");
    ll_text_puts(&page->words, " and ");
    ll_counted(&page->words, comparison->samples, "sample");
    ll_text_puts(&page->words, " compared, ");
    if (comparison->count == 0)
        ll_text_puts(&page->words, "all equal.");
    else if (comparison->count >= LL_DIFFERENCES_MOST)
        ll_text_format(&page->words, "%d differences or more.", LL_DIFFERENCES_MOST);
    else
        ll_counted(&page->words, comparison->count, "difference");
    if (comparison->count > 0 && comparison->count < LL_DIFFERENCES_MOST)
        ll_text_puts(&page->words, ".");
    if (comparison->count > LL_DIFFERENCES_TOLD)
        ll_text_format(&page->words, " The first %d:", LL_DIFFERENCES_TOLD);
    ll_page_end(page, 0, 0);
    for (size_t i = 0; i < comparison->count && i < LL_DIFFERENCES_TOLD; i++)
        add_difference(page, &comparison->told[i]);
}

/* What the answer rests on, and what it leaves open. */
static void add_reach(ll_page *page, const ll_verdict *verdict)
{
    const ll_claims *claims = verdict->claims;
    ll_text_puts(&page->words, "Settings and limits are those that the page states");
    if (claims->settings.standard) {
        ll_text_puts(&page->words, "; the file of the standard that it names, ");
        ll_show(&page->words, claims->standard.name);
        ll_text_puts(&page->words, ", was not read");
    }
    ll_text_puts(&page->words, ". ");
    if (!verdict->comparison->same_version)
        ll_text_puts(&page->words, "The version is another one, so sentences were not compared, nor what the page "
                                   "lacks. ");
    ll_text_puts(&page->words, "What was looked at are the figures and samples that the page carries, not its words "
                               "and pictures");
    if (verdict->is_whole)
        ll_text_puts(&page->words, "; but the page is also, byte for byte, what this program writes");
    ll_text_puts(&page->words, ".");
    ll_page_end(page, 0, 0);
}

void ll_text_verdict(ll_text *out, const ll_verdict *verdict, const ll_look *look)
{
    ll_page page;
    ll_page_open(&page, out, look);
    ll_text_first_caution(&page);
    ll_text_putc(out, '\n');
    add_page(&page, verdict);
    add_belonging(&page, verdict);
    if (verdict->comparison) {
        add_compared(&page, verdict->comparison);
        add_reach(&page, verdict);
    } else {
        ll_text_puts(&page.words, "Figures were not compared.");
        ll_page_end(&page, 0, 0);
    }
    ll_page_close(&page);
}
