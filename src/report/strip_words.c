/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a strip shows, in one sentence for those who do not see it. */
#include <math.h>

#include "report/html.h"
#include "report/strip.h"
#include "report/text_figures.h"

enum { MOST_FINDINGS = 12 };

static void add_range(ll_text *out, const ll_frame *frame, const ll_strip *strip)
{
    double least, greatest;
    ll_points_range(&strip->curve[0].points, frame->time.from_s, frame->time.to_s, &least, &greatest);
    if (isnan(least))
        return;
    ll_text_puts(out, ", from ");
    ll_figure(out, least, strip->unit, strip->digits, frame->look);
    ll_text_puts(out, " to ");
    ll_figure(out, greatest, strip->unit, strip->digits, frame->look);
}

static void add_peak(ll_text *out, const ll_frame *frame, const ll_strip *strip)
{
    if (!strip->peak_name || isnan(strip->peak.value))
        return;
    ll_text_format(out, ", %s at ", strip->peak_name);
    ll_run_clock(out, frame->debrief, strip->peak.time_s);
}

static void add_limits(ll_text *out, const ll_strip *strip)
{
    for (size_t i = 0; i < strip->limits; i++) {
        ll_text_puts(out, i ? ", " : " Limits drawn: ");
        ll_html_string(out, strip->limit[i].words);
    }
    if (strip->limits)
        ll_text_putc(out, '.');
}

static void add_stretch(ll_text *out, const ll_frame *frame, const ll_strip_beyond *beyond)
{
    ll_text_format(out, "finding %u at ", beyond->mark);
    ll_run_clock(out, frame->debrief, beyond->at_s);
    if (beyond->marginal)
        ll_text_puts(out, " (marginal)");
}

static void add_findings(ll_text *out, const ll_frame *frame, const ll_strip *strip)
{
    size_t told = 0, all = 0;
    for (size_t i = 0; i < strip->beyonds; i++) {
        if (isnan(strip->beyond[i].at_s) || ++all > MOST_FINDINGS)
            continue;
        ll_text_puts(out, told++ ? ", " : " Marked: ");
        add_stretch(out, frame, &strip->beyond[i]);
    }
    if (all > told)
        ll_text_format(out, " and %zu more", all - told);
    ll_text_puts(out, told ? "." : " No finding is marked here.");
}

void ll_strip_sentence(ll_text *out, const ll_frame *frame, const ll_strip *strip)
{
    ll_text_format(out, "%s against run time, 0:00 to ", strip->title);
    ll_run_clock(out, frame->debrief, frame->time.to_s);
    add_range(out, frame, strip);
    add_peak(out, frame, strip);
    ll_text_putc(out, '.');
    add_limits(out, strip);
    add_findings(out, frame, strip);
}
