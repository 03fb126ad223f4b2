/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The axis over the strips: minutes, the letters of switches, and for each finding a bar with its number. */
#include <math.h>

#include "report/html.h"
#include "report/html_parts.h"
#include "report/marks.h"
#include "report/strip.h"
#include "report/svg.h"
#include "report/text_figures.h"

enum { ROW_PX = 20, MOST_ROWS = 12 };

/* What is drawn in rows that grow upwards. */
typedef struct axis_item {
    double from_percent, to_percent, at_percent;
    size_t row;
    unsigned number; /* of a finding; 0: a switch */
    size_t index;
    bool marginal;
} axis_item;

typedef struct axis {
    size_t items, rows;
    axis_item *item;
} axis;

/* Half the width of a mark on a narrow page. */
static double half_percent(const axis_item *item)
{
    double half_px = item->number ? ll_svg_number_half_px(item->number, item->marginal) : 8;
    return 100 * (half_px + 1) / LL_NARROW_PX;
}

static double left_of(const axis_item *item)
{
    return fmin(item->from_percent, item->at_percent - half_percent(item));
}

static double right_of(const axis_item *item)
{
    return fmax(item->to_percent, item->at_percent + half_percent(item));
}

static bool overlaps(const axis_item *a, const axis_item *b)
{
    return left_of(a) < right_of(b) && right_of(a) > left_of(b);
}

static bool row_is_free(const axis *all, const axis_item *item, size_t row)
{
    for (size_t i = 0; i < all->items; i++)
        if (all->item[i].row == row && overlaps(&all->item[i], item))
            return false;
    return true;
}

/* Into the lowest row from `lowest` on in which there is room; beyond the last row marks lie over each other. */
static void add(axis *all, axis_item item, size_t lowest)
{
    item.row = lowest;
    while (item.row + 1 < MOST_ROWS && !row_is_free(all, &item, item.row))
        item.row++;
    all->rows = item.row + 1 > all->rows ? item.row + 1 : all->rows;
    all->item[all->items++] = item;
}

static void add_switches(const ll_frame *frame, axis *all)
{
    for (size_t i = 0; i < frame->debrief->switch_count; i++) {
        double percent = ll_time_percent(&frame->time, frame->debrief->switches[i].time_s);
        add(all, (axis_item){percent, percent, percent, .index = i}, 0);
    }
}

static void add_findings(const ll_frame *frame, axis *all)
{
    const ll_debrief *debrief = frame->debrief;
    const size_t lowest = all->rows;
    for (size_t i = 0; i < debrief->findings.count; i++) {
        const ll_finding *finding = &debrief->findings.items[i];
        if (ll_mark_is_shared(debrief, i))
            continue;
        axis_item item = {.from_percent = ll_time_percent(&frame->time, finding->from_s),
                          .to_percent = ll_time_percent(&frame->time, finding->to_s),
                          .at_percent = ll_time_percent(&frame->time, finding->peak_s),
                          .number = ll_mark_of_finding(debrief, i),
                          .marginal = ll_is_marginal(debrief, finding)};
        add(all, item, lowest);
    }
}

/* The middle of a row, in pixels from the top. */
static double y_of(const axis *all, size_t row)
{
    return (double)(all->rows - row) * ROW_PX - ROW_PX / 2.0;
}

static void draw_item(ll_text *out, const axis *all, const axis_item *item)
{
    char letters[LL_MARK_LETTERS];
    double y_px = y_of(all, item->row);
    if (item->number == 0) {
        ll_svg_letter(out, item->at_percent, y_px, ll_mark_of_switch(item->index, letters));
        return;
    }
    if (item->to_percent > item->from_percent)
        ll_svg_line(out, item->marginal ? "stretch marginal" : "stretch", item->from_percent, item->to_percent, y_px, y_px);
    ll_svg_number(out, item->at_percent, y_px, item->number, item->marginal);
}

static void draw(const ll_frame *frame, const axis *all)
{
    ll_text *out = frame->out;
    const double foot_px = (double)all->rows * ROW_PX;
    ll_text_puts(out, "<div class=\"strip axis\"><div class=\"plot\">");
    ll_svg_open(out, "scale", LL_STRIP_SCALE_PX, foot_px + LL_STRIP_FOOT_PX);
    ll_text_puts(out, " aria-hidden=\"true\"><text text-anchor=\"end\"");
    ll_html_attribute_number(out, "x", LL_STRIP_SCALE_PX - 12);
    ll_html_attribute_number(out, "y", foot_px + LL_STRIP_FOOT_PX - 5);
    ll_text_format(out, ">%s</text></svg>\n", frame->time.step_s < 60 ? "min:s" : "min");
    ll_svg_open(out, "field", 0, foot_px + LL_STRIP_FOOT_PX);
    ll_text_puts(out, " role=\"img\" aria-label=\"Run time in minutes, 0:00 to ");
    ll_run_clock(out, frame->debrief, frame->time.to_s);
    ll_text_puts(out, ", with the letters of switches and the numbers of findings, which the tables below tell.\">\n");
    ll_text_format(out,
                   "<defs><pattern id=\"d%u-hatch\" class=\"hatching\" width=\"5\" height=\"5\" "
                   "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><line y2=\"5\" x1=\"1\" x2=\"1\"/>"
                   "</pattern></defs>\n<g class=\"ticks\">",
                   ll_html_place(frame->debrief, frame->look));
    ll_time_lines(out, &frame->time, foot_px + 4);
    ll_text_puts(out, "</g>\n");
    for (size_t i = 0; i < all->items; i++)
        draw_item(out, all, &all->item[i]);
    ll_time_labels(out, &frame->time, foot_px + LL_STRIP_FOOT_PX - 5);
    ll_text_puts(out, "\n</svg>\n");
    ll_svg_open(out, "names", LL_STRIP_NAMES_PX, foot_px + LL_STRIP_FOOT_PX);
    ll_text_puts(out, " aria-hidden=\"true\"></svg></div></div>\n");
}

void ll_strip_axis(const ll_frame *frame)
{
    const ll_debrief *debrief = frame->debrief;
    axis all = {0};
    all.item = ll_arena_array(frame->arena, debrief->switch_count + debrief->findings.count, sizeof *all.item);
    if (!all.item) {
        frame->out->no_memory = true;
        return;
    }
    add_switches(frame, &all);
    add_findings(frame, &all);
    draw(frame, &all);
}
