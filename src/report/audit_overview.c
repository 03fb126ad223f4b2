/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an instructor may ask next, in words. */
#include <math.h>

#include "base/number.h"
#include "report/audit_report.h"
#include "report/text_figures.h"
#include "report/words.h"

enum { GAPS_SHOWN = 6 };

/* --- depth ------------------------------------------------------------------------------------------------------ */

static void add_band_name(ll_page *page, int band)
{
    const double from_m = ll_depth_bands_m[band];
    const bool last = band + 1 == LL_DEPTH_BANDS;
    if (band == 0) {
        ll_text_puts(&page->words, "under ");
        ll_figure(&page->words, ll_depth_bands_m[1], "m", 0, page->look);
        return;
    }
    ll_text_puts(&page->words, "from ");
    ll_figure(&page->words, from_m, "m", 0, page->look);
    if (last)
        return;
    ll_text_puts(&page->words, " to under ");
    ll_figure(&page->words, ll_depth_bands_m[band + 1], "m", 0, page->look);
}

static void add_bands(ll_page *page, const ll_overview *overview)
{
    bool any = false;
    ll_text_puts(&page->words, "By greatest depth: ");
    for (int band = 0; band < LL_DEPTH_BANDS; band++) {
        if (overview->band[band] == 0)
            continue;
        ll_text_puts(&page->words, any ? "; " : "");
        add_band_name(page, band);
        ll_text_puts(&page->words, ": ");
        ll_counted(&page->words, overview->band[band], "dive");
        ll_text_puts(&page->words, ", ");
        ll_fixed_add(&page->words, overview->band_hours[band], 1);
        ll_text_format(&page->words, " h, %u of them in the last twelve months", overview->band_last_year[band]);
        any = true;
    }
    ll_text_puts(&page->words, any ? "." : "no depth is known.");
    ll_page_end(page, 2, 4);
}

static void add_step(ll_page *page, const ll_audit *audit)
{
    const ll_overview *overview = &audit->overview;
    if (overview->largest_step == SIZE_MAX)
        return;
    ll_text_puts(&page->words, "Largest step in depth after the first ten dives: ");
    ll_figure(&page->words, overview->largest_step_m, "m", 1, page->look);
    ll_text_puts(&page->words, " deeper than ever before, to ");
    ll_figure(&page->words, audit->dive[overview->largest_step].greatest_m, "m", 1, page->look);
    ll_text_puts(&page->words, ", ");
    ll_audit_dive_words(page, audit, overview->largest_step);
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}

/* --- time ------------------------------------------------------------------------------------------------------- */

static void add_month(ll_page *page, const ll_month *month)
{
    static const char *const names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    if (page->words.size == 0)
        ll_text_format(&page->words, "%d: ", month->year);
    else
        ll_text_puts(&page->words, ", ");
    ll_text_format(&page->words, "%s %u", names[month->month - 1], month->dives);
    if (isnan(month->deepest_m))
        return;
    ll_text_puts(&page->words, " (");
    ll_figure(&page->words, month->deepest_m, "m", 0, page->look);
    ll_text_putc(&page->words, ')');
}

/* A year in a line: "2026: Jan 3 (30 m), Mar 1 (45 m)." */
static void add_months(ll_page *page, const ll_overview *overview)
{
    if (overview->months == 0)
        return;
    ll_text_puts(&page->words, "Dives by month, with the greatest depth; months without a dive are left out:");
    ll_page_end(page, 2, 4);
    for (size_t m = 0; m < overview->months; m++) {
        const ll_month *month = &overview->month[m];
        if (month->dives > 0)
            add_month(page, month);
        bool last = m + 1 == overview->months || overview->month[m + 1].year != month->year;
        if (last && page->words.size > 0) {
            ll_text_putc(&page->words, '.');
            ll_page_end(page, 4, 6);
        }
    }
}

static void add_gaps(ll_page *page, const ll_audit *audit)
{
    const ll_overview *overview = &audit->overview;
    size_t from = overview->gaps > GAPS_SHOWN ? overview->gaps - GAPS_SHOWN : 0;
    if (overview->gaps == 0)
        ll_text_puts(&page->words, "No gap of over a month between dives.");
    for (size_t i = from; i < overview->gaps; i++) {
        const ll_gap *gap = &overview->gap[i];
        ll_text_puts(&page->words, i == from ? (from ? "Gaps of over a month, the latest: " : "Gaps of over a month: ")
                                             : "; ");
        ll_day_add(&page->words, gap->from_day);
        ll_text_puts(&page->words, " to ");
        ll_day_add(&page->words, gap->to_day);
        ll_text_puts(&page->words, gap->to_day == audit->today ? ", the day of this audit" : "");
    }
    ll_text_puts(&page->words, overview->gaps ? "." : "");
    ll_page_end(page, 2, 4);
}

/* --- single dives ------------------------------------------------------------------------------------------------- */

static void add_deepest(ll_page *page, const ll_audit *audit)
{
    const size_t deepest = audit->overview.deepest_recent;
    ll_text_puts(&page->words, "Deepest in the last twelve months: ");
    if (deepest == SIZE_MAX) {
        ll_text_puts(&page->words, "no dive.");
    } else {
        ll_figure(&page->words, audit->dive[deepest].greatest_m, "m", 1, page->look);
        ll_text_puts(&page->words, ", ");
        ll_audit_dive_words(page, audit, deepest);
        ll_text_putc(&page->words, '.');
    }
    ll_page_end(page, 2, 4);
}

static void add_stops(ll_page *page, const ll_audit *audit)
{
    const ll_overview *overview = &audit->overview;
    ll_text_puts(&page->words, "Last decompression dive, as replayed: ");
    if (overview->last_decompression == SIZE_MAX)
        ll_text_puts(&page->words, "none");
    else
        ll_audit_dive_words(page, audit, overview->last_decompression);
    if (overview->longest_owed != SIZE_MAX) {
        ll_text_puts(&page->words, ". Longest stops owed at the start of an ascent: ");
        ll_duration(&page->words, audit->dive[overview->longest_owed].owed_s);
        ll_text_puts(&page->words, ", ");
        ll_audit_dive_words(page, audit, overview->longest_owed);
    }
    if (overview->longest_kept != SIZE_MAX) {
        ll_text_puts(&page->words, ". Longest time kept at levels while a stop was asked: ");
        ll_duration(&page->words, audit->dive[overview->longest_kept].kept_s);
        ll_text_puts(&page->words, ", ");
        ll_audit_dive_words(page, audit, overview->longest_kept);
    }
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}

static void add_carried(ll_page *page, const ll_overview *overview)
{
    if (overview->most_mixes == 0)
        return;
    ll_text_puts(&page->words, "Most mixes breathed on one dive: ");
    ll_text_format(&page->words, "%zu; most tanks carried of other mixes than the first: %zu.", overview->most_mixes,
                   overview->most_stages);
    ll_page_end(page, 2, 4);
}

/* --- conduct ------------------------------------------------------------------------------------------------------ */

static void add_kinds(ll_page *page, const ll_conduct_class *class)
{
    bool any = false;
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        if (class->with[kind] == 0)
            continue;
        ll_text_format(&page->words, "%s%s on %zu", any ? ", " : "", ll_kind_table[kind].label, class->with[kind]);
        any = true;
    }
    ll_text_puts(&page->words, any ? "" : "none");
}

static void add_conduct(ll_page *page, const ll_overview *overview)
{
    bool any = false;
    for (int c = 0; c < LL_SAMPLING_CLASSES; c++) {
        const ll_conduct_class *class = &overview->conduct[c];
        if (class->dives < LL_CONDUCT_LEAST_DIVES)
            continue;
        ll_text_format(&page->words, "Firm conduct findings of caution or more among %zu dives sampled every %s: ",
                       class->dives, ll_sampling_class_words[c]);
        add_kinds(page, class);
        ll_text_putc(&page->words, '.');
        ll_page_end(page, 2, 4);
        any = true;
    }
    if (!any)
        ll_text_format(&page->words,
                       "Conduct findings are compared from %d dives on that were sampled alike; there are fewer.",
                       LL_CONDUCT_LEAST_DIVES);
    ll_page_end(page, 2, 4);
}

void ll_audit_overview_text(ll_page *page, const ll_audit *audit)
{
    const ll_overview *overview = &audit->overview;
    ll_page_heading(page, "What an instructor may ask next");
    add_deepest(page, audit);
    add_stops(page, audit);
    add_carried(page, overview);
    add_bands(page, overview);
    add_step(page, audit);
    add_gaps(page, audit);
    add_conduct(page, overview);
    add_months(page, overview);
}
