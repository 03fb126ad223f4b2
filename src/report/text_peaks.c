/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Peaks and doses of a text debrief. */
#include <math.h>

#include "base/number.h"
#include "report/text_figures.h"
#include "report/text_parts.h"
#include "report/utf8.h"
#include "report/words.h"

static const ll_quantity shown[] = {LL_PO2,         LL_END_N2,  LL_END_N2O2, LL_DENSITY,
                                    LL_ASCENT_RATE, LL_CEILING, LL_GRADIENT};

enum { LABEL_COLUMNS = 26, FIGURE_COLUMNS = 12, WIDTH_FOR_COLUMNS = 52 };

/* Puts what was collected on the line and fills up to `width` columns; on a narrow page it stays to be wrapped. */
static void end_column(ll_page *page, size_t width)
{
    if (page->look->width < WIDTH_FOR_COLUMNS) {
        ll_text_putc(&page->words, ' ');
        return;
    }
    size_t columns = ll_columns(page->words.bytes, page->words.size);
    ll_text_add(page->out, page->words.bytes, page->words.size);
    ll_text_fill(page->out, ' ', columns < width ? width - columns : 1);
    page->words.size = 0;
}

static void add_peak(ll_page *page, const ll_debrief *debrief, ll_quantity quantity)
{
    const ll_peak *peak = &debrief->peak[quantity];
    ll_capital_add(&page->words, ll_quantity_table[quantity].label);
    end_column(page, LABEL_COLUMNS);
    if (isnan(peak->value)) {
        ll_text_puts(&page->words, "not known");
    } else if (quantity == LL_CEILING && !(peak->value > 0)) {
        ll_text_puts(&page->words, "none");
    } else {
        ll_quantity_figure(&page->words, quantity, peak->value, page->look);
        end_column(page, FIGURE_COLUMNS);
        ll_text_puts(&page->words, "at ");
        ll_run_clock(&page->words, debrief, peak->time_s);
    }
}

void ll_text_peaks(ll_page *page, const ll_debrief *debrief)
{
    ll_page_heading(page, "Peaks");
    bool narrow = page->look->width < WIDTH_FOR_COLUMNS;
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        ll_text_fill(page->out, ' ', narrow ? 0 : 2);
        add_peak(page, debrief, shown[i]);
        ll_page_end(page, narrow ? 2 : 0, 4);
    }
}

/* --- oxygen --------------------------------------------------------------------------------------------------- */

static void add_percent(ll_page *page, bool lower_bound, double percent)
{
    if (isnan(percent)) {
        ll_text_puts(&page->words, "not known");
        return;
    }
    if (lower_bound)
        ll_text_puts(&page->words, "at least ");
    ll_quantity_figure(&page->words, LL_CNS, percent, page->look);
}

static void add_otu(ll_page *page, double otu)
{
    if (isnan(otu))
        ll_text_puts(&page->words, "not known");
    else
        ll_quantity_figure(&page->words, LL_OTU, otu, page->look);
}

/* "; 412 on 3 diving days in a row, 22 % of the allowance for them (1860 OTU)" */
static void add_row_of_days(ll_page *page, const ll_debrief *debrief)
{
    if (isnan(debrief->otu_row) || debrief->days_in_row == 0)
        return;
    if (debrief->days_in_row > 1) {
        ll_text_puts(&page->words, "; ");
        add_otu(page, debrief->otu_row);
        ll_text_format(&page->words, " on %u diving days in a row", debrief->days_in_row);
    }
    ll_text_puts(&page->words, ", ");
    ll_quantity_figure(&page->words, LL_CNS, 100 * debrief->otu_row / debrief->otu_allowance, page->look);
    ll_text_puts(&page->words, debrief->days_in_row > 1 ? " of the allowance for them (" : " of the allowance for a day (");
    ll_fixed_add(&page->words, debrief->otu_allowance, 0);
    ll_text_puts(&page->words, " OTU)");
}

void ll_text_doses(ll_page *page, const ll_debrief *debrief)
{
    bool surfaced = debrief->profile.has_surfacing;
    ll_page_heading(page, "Oxygen");
    ll_text_puts(&page->words, "CNS: ");
    add_percent(page, debrief->entry->start.cns_lower_bound, debrief->cns_start_percent);
    ll_text_puts(&page->words, " of the single-exposure limit at the start, ");
    add_percent(page, debrief->cns_lower_bound, debrief->cns_end_percent);
    ll_text_puts(&page->words, surfaced ? " at the surfacing" : " at the end of the record");
    ll_text_puts(&page->words, "; ");
    ll_text_puts(&page->words, "over the last 24 h ");
    add_percent(page, debrief->cns_lower_bound, debrief->cns_24_h_percent);
    ll_text_puts(&page->words, isnan(debrief->cns_24_h_percent) ? "." : " of the 24-hour limit.");
    ll_page_end(page, 2, 4);
    ll_text_puts(&page->words, "OTU: ");
    add_otu(page, debrief->otu_dive);
    ll_text_puts(&page->words, " on this dive, ");
    add_otu(page, debrief->otu_day);
    ll_text_puts(&page->words, " on this calendar day so far");
    add_row_of_days(page, debrief);
    ll_text_putc(&page->words, '.');
    ll_page_end(page, 2, 4);
}
