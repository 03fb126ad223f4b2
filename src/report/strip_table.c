/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures behind a strip: a row a minute, and one for each peak, crossing of a limit and end of a finding. */
#include <math.h>
#include <stdlib.h>

#include "base/number.h"
#include "report/html.h"
#include "report/strip.h"
#include "report/text_figures.h"

enum { MOST_STEPS = 240, MOST_CROSSINGS = 200 };

/* An instant with a row of its own, and why. */
typedef struct instant {
    double time_s;
    const char *words; /* "" for a round minute */
    unsigned mark; /* behind the words, where it is not 0 */
    size_t place;  /* in which they were listed */
} instant;

typedef struct instants {
    size_t count;
    instant *at;
} instants;

static void add(instants *list, double time_s, const char *words, unsigned mark)
{
    list->at[list->count] = (instant){time_s, words, mark, list->count};
    list->count++;
}

/* --- which rows ----------------------------------------------------------------------------------------------- */

static double step_of(const ll_time_scale *time)
{
    double step_s = 60;
    while ((time->to_s - time->from_s) / step_s > MOST_STEPS)
        step_s *= step_s < 600 ? 5 : 2;
    return step_s;
}

static void add_steps(instants *list, const ll_time_scale *time)
{
    double step_s = step_of(time);
    for (size_t i = 0; time->from_s + (double)i * step_s < time->to_s; i++)
        add(list, time->from_s + (double)i * step_s, "", 0);
    add(list, time->to_s, "", 0);
}

static void add_findings(instants *list, const ll_strip *strip)
{
    for (size_t i = 0; i < strip->beyonds; i++) {
        const ll_strip_beyond *beyond = &strip->beyond[i];
        if (beyond->band.count > 0) {
            add(list, beyond->band.at[0].time_s, "begin of finding", beyond->mark);
            add(list, beyond->band.at[beyond->band.count - 1].time_s, "end of finding", beyond->mark);
        }
        if (!isnan(beyond->at_s))
            add(list, beyond->at_s, beyond->band.count > 0 ? "peak of finding" : "finding", beyond->mark);
    }
}

/* Where a straight piece passes a limit within the limit's time; NaN if it does not. */
static double crossing_s(const ll_point *a, const ll_point *b, const ll_strip_limit *limit)
{
    if (isnan(a->value) || isnan(b->value) || (a->value > limit->value) == (b->value > limit->value))
        return NAN;
    double at_s = a->time_s + (b->time_s - a->time_s) * (limit->value - a->value) / (b->value - a->value);
    return at_s >= limit->from_s && at_s <= limit->to_s ? at_s : NAN;
}

static void add_crossings(instants *list, const ll_strip *strip)
{
    size_t left = MOST_CROSSINGS;
    for (size_t l = 0; l < strip->limits; l++)
        for (size_t i = 0; i + 1 < strip->curve[0].points.count && left > 0; i++) {
            const ll_point *at = &strip->curve[0].points.at[i];
            double time_s = crossing_s(at, at + 1, &strip->limit[l]);
            if (isnan(time_s))
                continue;
            add(list, time_s, strip->limit[l].words, 0);
            left--;
        }
}

static int compare(const void *a, const void *b)
{
    const instant *first = a, *second = b;
    if (first->time_s != second->time_s)
        return first->time_s < second->time_s ? -1 : 1;
    if (first->mark != second->mark)
        return first->mark < second->mark ? -1 : 1;
    return first->place < second->place ? -1 : first->place > second->place;
}

static bool list_rows(const ll_frame *frame, const ll_strip *strip, instants *list)
{
    size_t most = MOST_STEPS + 2 + 1 + 3 * strip->beyonds + MOST_CROSSINGS;
    *list = (instants){0, ll_arena_array(frame->arena, most, sizeof *list->at)};
    if (!list->at)
        return false;
    add_steps(list, &frame->time);
    if (strip->peak_name && !isnan(strip->peak.time_s))
        add(list, strip->peak.time_s, strip->peak_name, 0);
    add_findings(list, strip);
    add_crossings(list, strip);
    qsort(list->at, list->count, sizeof *list->at, compare);
    return true;
}

/* --- how they are written ------------------------------------------------------------------------------------- */

static void write_head(const ll_frame *frame, const ll_strip *strip)
{
    ll_text *out = frame->out;
    ll_text_format(out, "<thead><tr><th scope=\"col\">Run time</th>");
    for (size_t i = 0; i < strip->curves; i++) {
        ll_text_puts(out, "<th scope=\"col\">");
        ll_html_string(out, strip->curve[i].heading);
        ll_text_format(out, ", %s</th>", strip->scale.unit);
    }
    ll_text_puts(out, "<th scope=\"col\">What is there</th></tr></thead>\n");
}

static void write_values(const ll_frame *frame, const ll_strip *strip, double time_s)
{
    ll_conversion shown = ll_conversion_of(strip->unit, frame->look->imperial);
    int decimals = strip->digits > shown.fewer ? strip->digits - shown.fewer : 0;
    for (size_t i = 0; i < strip->curves; i++) {
        ll_text_puts(frame->out, "<td>");
        ll_fixed_add(frame->out, ll_points_value(&strip->curve[i].points, time_s) * shown.factor, decimals);
        ll_text_puts(frame->out, "</td>");
    }
}

/* Those of one instant share a row. Returns the first behind it. */
static size_t write_row(const ll_frame *frame, const ll_strip *strip, const instants *list, size_t first)
{
    ll_text *out = frame->out;
    const double time_s = list->at[first].time_s;
    ll_text_puts(out, "<tr><th scope=\"row\">");
    ll_run_clock(out, frame->debrief, time_s);
    ll_text_puts(out, "</th>");
    write_values(frame, strip, time_s);
    ll_text_puts(out, "<td>");
    bool any = false;
    size_t i = first;
    for (; i < list->count && list->at[i].time_s == time_s; i++) {
        if (!list->at[i].words[0])
            continue;
        ll_text_puts(out, any ? ", " : "");
        ll_html_string(out, list->at[i].words);
        if (list->at[i].mark)
            ll_text_format(out, " %u", list->at[i].mark);
        any = true;
    }
    ll_text_puts(out, "</td></tr>\n");
    return i;
}

void ll_strip_table(const ll_frame *frame, const ll_strip *strip)
{
    instants list;
    if (!list_rows(frame, strip, &list)) {
        frame->out->no_memory = true;
        return;
    }
    ll_text_puts(frame->out, "<details class=\"figures\"><summary>Figures</summary>\n<table class=\"figures\">");
    write_head(frame, strip);
    ll_text_puts(frame->out, "<tbody>\n");
    for (size_t i = 0; i < list.count;)
        i = write_row(frame, strip, &list, i);
    ll_text_puts(frame->out, "</tbody></table></details>\n");
}
