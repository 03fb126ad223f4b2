/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stood beyond a limit: hatched, with a heavier edge, and numbered. */
#include <math.h>

#include "base/number.h"
#include "report/html.h"
#include "report/html_parts.h"
#include "report/strip.h"
#include "report/strip_path.h"
#include "report/svg.h"

#define NUMBER_PX 17.0 /* from the curve to the middle of a number, and between two numbers */
#define LEAST_PX 5.0 /* from the middle of a number to the edges of the field */

bool ll_is_marginal(const ll_debrief *debrief, const ll_finding *finding)
{
    return debrief->firmness.asked && finding->firm_severity < finding->severity;
}

static bool has_band(const ll_strip *strip)
{
    for (size_t i = 0; i < strip->beyonds; i++)
        if (strip->beyond[i].band.count > 0)
            return true;
    return false;
}

/* An area that follows the width, as a clip; so that the hatching behind it does not. */
static void draw_clip(const ll_frame *frame, const ll_strip *strip, unsigned dive)
{
    ll_text *out = frame->out;
    ll_text_format(out, "<clipPath id=\"d%u-%s-beyond\" clipPathUnits=\"objectBoundingBox\"><path transform=\"scale(", dive,
                   strip->key);
    ll_number_add(out, 1.0 / LL_PATH_WIDTH);
    ll_text_putc(out, ' ');
    ll_number_add(out, 1 / (strip->scale.height_px * LL_PATH_PER_PX));
    ll_text_puts(out, ")\" d=\"");
    for (size_t i = 0; i < strip->beyonds; i++)
        ll_path_of_band(out, &strip->beyond[i].band, &frame->time, &strip->scale);
    ll_text_puts(out, "\"/></clipPath>\n");
}

static void draw_hatch(const ll_frame *frame, const ll_strip *strip)
{
    const unsigned dive = ll_html_place(frame->debrief, frame->look);
    draw_clip(frame, strip, dive);
    ll_text_puts(frame->out, "<rect class=\"hatch\" width=\"100%\"");
    ll_html_attribute_number(frame->out, "height", strip->scale.height_px);
    ll_text_format(frame->out, " fill=\"url(#d%u-hatch)\" clip-path=\"url(#d%u-%s-beyond)\"/>\n", dive, dive,
                   strip->key);
}

static void draw_edges(const ll_frame *frame, const ll_strip *strip)
{
    ll_strip_open_curves(frame, strip);
    for (size_t i = 0; i < strip->beyonds; i++) {
        const ll_strip_beyond *beyond = &strip->beyond[i];
        if (beyond->band.count == 0)
            continue;
        ll_text_format(frame->out, "<path class=\"%s\" data-mark=\"%u\" d=\"",
                       beyond->marginal ? "beyond marginal" : "beyond", beyond->mark);
        ll_path_of_band_edge(frame->out, &beyond->band, &frame->time, &strip->scale);
        ll_text_puts(frame->out, "\"/>\n");
    }
    ll_text_puts(frame->out, "</svg>\n");
}

void ll_strip_draw_beyond(const ll_frame *frame, const ll_strip *strip)
{
    if (!has_band(strip))
        return;
    draw_hatch(frame, strip);
    draw_edges(frame, strip);
}

/* Over the curve or under it, the nearest free place. */
static double number_y_px(const ll_room *room, double percent, double half_percent, double curve_px)
{
    const double most_px = room->height_px - LEAST_PX;
    for (int step = 1; step <= 6; step++)
        for (int side = -1; side <= 1; side += 2) {
            double y_px = curve_px + side * step * NUMBER_PX;
            if (y_px >= LEAST_PX && y_px <= most_px &&
                !ll_room_is_taken(room, percent - half_percent, percent + half_percent, y_px - 8, y_px + 8))
                return y_px;
        }
    return fmin(fmax(curve_px - NUMBER_PX, LEAST_PX), most_px);
}

void ll_strip_draw_numbers(const ll_frame *frame, const ll_strip *strip, ll_room *room)
{
    for (size_t i = 0; i < strip->beyonds; i++) {
        const ll_strip_beyond *beyond = &strip->beyond[i];
        if (isnan(beyond->at_s) || isnan(beyond->value))
            continue;
        double half_percent = 100 * ll_svg_number_half_px(beyond->mark, beyond->marginal) / LL_NARROW_PX;
        double percent = ll_time_percent(&frame->time, beyond->at_s);
        double y_px = number_y_px(room, percent, half_percent, ll_scale_y_px(&strip->scale, beyond->value));
        ll_room_add_box(room, percent - half_percent, percent + half_percent, y_px - 8, y_px + 8);
        ll_svg_number(frame->out, percent, y_px, beyond->mark, beyond->marginal);
    }
    ll_text_putc(frame->out, '\n');
}
