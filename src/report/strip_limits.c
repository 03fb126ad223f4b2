/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits on a strip: a line each, and what it is beside it. */
#include <math.h>

#include "report/html.h"
#include "report/strip.h"
#include "report/svg.h"

enum { BETWEEN_PX = 13, TEXT_PX = 11, LEADER_PX = 10 };

static bool is_whole(const ll_frame *frame, const ll_strip_limit *limit)
{
    return limit->from_s <= frame->time.from_s && limit->to_s >= frame->time.to_s;
}

static double y_of(const ll_strip *strip, const ll_strip_limit *limit)
{
    return ll_scale_y_px(&strip->scale, limit->value);
}

void ll_strip_draw_limits(const ll_frame *frame, const ll_strip *strip)
{
    for (size_t i = 0; i < strip->limits; i++) {
        const ll_strip_limit *limit = &strip->limit[i];
        double y_px = y_of(strip, limit);
        ll_svg_line(frame->out, limit->class, fmax(0, ll_time_percent(&frame->time, limit->from_s)),
                    fmin(100, ll_time_percent(&frame->time, limit->to_s)), y_px, y_px);
    }
    ll_text_putc(frame->out, '\n');
}

/* The limits of the whole dive from the top of the field down. */
static size_t sort_downwards(const ll_frame *frame, const ll_strip *strip, const ll_strip_limit *sorted[LL_STRIP_LIMITS])
{
    size_t count = 0;
    for (size_t i = 0; i < strip->limits; i++) {
        if (!is_whole(frame, &strip->limit[i]))
            continue;
        size_t at = count++;
        for (; at > 0 && y_of(strip, sorted[at - 1]) > y_of(strip, &strip->limit[i]); at--)
            sorted[at] = sorted[at - 1];
        sorted[at] = &strip->limit[i];
    }
    return count;
}

/* Moves texts apart that would overlap. */
static void spread(double *y_px, size_t count, double height_px)
{
    for (size_t i = 1; i < count; i++)
        y_px[i] = fmax(y_px[i], y_px[i - 1] + BETWEEN_PX);
    if (count > 0)
        y_px[count - 1] = fmin(y_px[count - 1], height_px);
    for (size_t i = count; i-- > 1;)
        y_px[i - 1] = fmin(y_px[i - 1], y_px[i] - BETWEEN_PX);
}

void ll_strip_draw_limit_names(const ll_frame *frame, const ll_strip *strip)
{
    const ll_strip_limit *sorted[LL_STRIP_LIMITS];
    double y_px[LL_STRIP_LIMITS];
    const size_t count = sort_downwards(frame, strip, sorted);
    for (size_t i = 0; i < count; i++)
        y_px[i] = y_of(strip, sorted[i]);
    spread(y_px, count, strip->scale.height_px);
    for (size_t i = 0; i < count; i++) {
        ll_text_puts(frame->out, "<line x1=\"0\"");
        ll_html_attribute_number(frame->out, "y1", y_of(strip, sorted[i]));
        ll_html_attribute_number(frame->out, "x2", LEADER_PX);
        ll_html_attribute_number(frame->out, "y2", y_px[i]);
        ll_text_puts(frame->out, "/><text");
        ll_html_attribute_number(frame->out, "x", LEADER_PX + 4);
        ll_html_attribute_number(frame->out, "y", y_px[i] + 4);
        ll_text_putc(frame->out, '>');
        ll_html_string(frame->out, sorted[i]->words);
        ll_svg_text_close(frame->out);
    }
}

/* Room for a text over a line, under the next one. */
static bool has_room_above(const ll_strip *strip, const ll_strip_limit *limit)
{
    for (size_t i = 0; i < strip->limits; i++) {
        double above_px = y_of(strip, limit) - y_of(strip, &strip->limit[i]);
        if (above_px > 0 && above_px < TEXT_PX)
            return false;
    }
    return true;
}

/* The words of a line that counts for a part of the dive only stand on it. */
static void draw_part_name(const ll_frame *frame, const ll_strip *strip, const ll_strip_limit *limit)
{
    double y_px = y_of(strip, limit) + (has_room_above(strip, limit) ? -3 : TEXT_PX);
    ll_svg_text_open(frame->out, "limit-name", ll_time_percent(&frame->time, limit->from_s) + 0.5, y_px, "start");
    ll_html_string(frame->out, limit->words);
    ll_svg_text_close(frame->out);
}

/* Over its line; under it at the top of the field. */
static double baseline_px(double line_px)
{
    return line_px < BETWEEN_PX ? line_px + TEXT_PX : line_px - 4;
}

/* Inside the field those that lie close together share a line of text. */
void ll_strip_draw_limit_names_inside(const ll_frame *frame, const ll_strip *strip)
{
    const ll_strip_limit *sorted[LL_STRIP_LIMITS];
    const size_t count = sort_downwards(frame, strip, sorted);
    for (size_t i = 0; i < strip->limits; i++)
        if (!is_whole(frame, &strip->limit[i]))
            draw_part_name(frame, strip, &strip->limit[i]);
    ll_text_puts(frame->out, "<g class=\"narrow-only\">");
    for (size_t i = 0; i < count;) {
        double y_px = baseline_px(y_of(strip, sorted[i]));
        ll_svg_text_open(frame->out, "limit-name", 100, y_px, "end");
        ll_html_string(frame->out, sorted[i]->words);
        for (i++; i < count && baseline_px(y_of(strip, sorted[i])) - y_px < TEXT_PX; i++) {
            ll_text_puts(frame->out, " \xC2\xB7 ");
            ll_html_string(frame->out, sorted[i]->words);
        }
        ll_svg_text_close(frame->out);
    }
    ll_text_puts(frame->out, "</g>\n");
}
