/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/strip.h"

#include <math.h>
#include <string.h>

#include "report/html.h"
#include "report/strip_path.h"
#include "report/svg.h"
#include "report/text_figures.h"
#include "report/utf8.h"

#define LETTER_PX 5.6 /* a letter's mean width */

void ll_svg_open(ll_text *out, const char *class, double width_px, double height_px)
{
    ll_text_format(out, "<svg class=\"%s\"", class);
    if (width_px > 0)
        ll_html_attribute_number(out, "width", width_px);
    else
        ll_text_puts(out, " width=\"100%\"");
    ll_html_attribute_number(out, "height", height_px);
}

/* --- scale and grid ------------------------------------------------------------------------------------------- */

static void draw_scale(const ll_frame *frame, const ll_strip *strip)
{
    ll_text *out = frame->out;
    ll_svg_open(out, "scale", LL_STRIP_SCALE_PX, strip->scale.height_px + LL_STRIP_FOOT_PX);
    ll_text_puts(out, " aria-hidden=\"true\">");
    for (size_t i = 0; i < strip->scale.lines; i++) {
        ll_text_format(out, "<text x=\"%d\" text-anchor=\"end\"", LL_STRIP_SCALE_PX - 8);
        ll_html_attribute_number(out, "y", round(ll_scale_y_px(&strip->scale, ll_scale_line(&strip->scale, i)) + 4));
        ll_text_putc(out, '>');
        ll_scale_label(out, &strip->scale, i);
        ll_svg_text_close(out);
    }
    ll_text_puts(out, "</svg>\n");
}

static void draw_grid(const ll_frame *frame, const ll_strip *strip)
{
    const ll_scale *scale = &strip->scale;
    ll_text_puts(frame->out, "<g class=\"grid\">");
    for (size_t i = 0; i < scale->lines; i++) {
        double value = ll_scale_line(scale, i), y_px = ll_scale_y_px(scale, value);
        ll_svg_line(frame->out, fabs(value) < scale->step / 2 ? "zero" : NULL, 0, 100, y_px, y_px);
    }
    ll_time_lines(frame->out, &frame->time, scale->height_px);
    ll_text_puts(frame->out, "</g>\n");
}

static void draw_switches(const ll_frame *frame, const ll_strip *strip)
{
    for (size_t i = 0; i < frame->debrief->switch_count; i++) {
        double percent = ll_time_percent(&frame->time, frame->debrief->switches[i].time_s);
        ll_svg_line(frame->out, "switch", percent, percent, 0, strip->scale.height_px);
    }
}

/* --- curves --------------------------------------------------------------------------------------------------- */

static void draw_path(const ll_frame *frame, const ll_strip *strip, const ll_strip_curve *curve, bool zone)
{
    ll_text_format(frame->out, "<path class=\"%s\" d=\"", zone ? "zone" : curve->class);
    if (zone)
        ll_path_of_area(frame->out, &curve->points, strip->scale.least, &frame->time, &strip->scale);
    else
        ll_path_of_points(frame->out, &curve->points, &frame->time, &strip->scale);
    ll_text_puts(frame->out, "\"/>\n");
}

void ll_strip_open_curves(const ll_frame *frame, const ll_strip *strip)
{
    ll_svg_open(frame->out, "curves", 0, strip->scale.height_px);
    ll_text_format(frame->out, " viewBox=\"0 0 %d %d\" preserveAspectRatio=\"none\">\n", LL_PATH_WIDTH,
                   (int)strip->scale.height_px * LL_PATH_PER_PX);
}

static void draw_curves(const ll_frame *frame, const ll_strip *strip)
{
    ll_strip_open_curves(frame, strip);
    for (size_t i = 0; i < strip->curves; i++)
        if (strip->curve[i].has_zone)
            draw_path(frame, strip, &strip->curve[i], true);
    for (size_t i = strip->curves; i-- > 0;)
        draw_path(frame, strip, &strip->curve[i], false);
    ll_text_puts(frame->out, "</svg>\n");
}

/* --- names ---------------------------------------------------------------------------------------------------- */

static void fill_room(const ll_frame *frame, const ll_strip *strip, ll_room *room)
{
    memset(room, 0, sizeof *room);
    room->height_px = strip->scale.height_px;
    for (size_t i = 0; i < strip->curves; i++)
        ll_room_add_curve(room, &strip->curve[i].points, &frame->time, &strip->scale);
    for (size_t i = 0; i < strip->limits; i++)
        ll_room_add_line(room, ll_scale_y_px(&strip->scale, strip->limit[i].value));
}

/* As wide as it is on a narrow page. */
static double width_percent(const char *name)
{
    return 100 * LETTER_PX * (double)ll_columns(name, strlen(name)) / LL_NARROW_PX + 2;
}

static void draw_names(const ll_frame *frame, const ll_strip *strip, ll_room *room)
{
    for (size_t i = 0; i < strip->curves; i++) {
        const ll_strip_curve *curve = &strip->curve[i];
        ll_place place;
        if (!curve->name || !ll_room_place(room, i, width_percent(curve->name), &place))
            continue;
        ll_svg_text_open(frame->out, "name", place.x_percent, place.y_px, "middle");
        ll_html_string(frame->out, curve->name);
        ll_svg_text_close(frame->out);
    }
}

/* --- the whole ------------------------------------------------------------------------------------------------ */

static void draw_field(const ll_frame *frame, const ll_strip *strip, ll_room *room)
{
    ll_text *out = frame->out;
    ll_svg_open(out, "field", 0, strip->scale.height_px + LL_STRIP_FOOT_PX);
    ll_text_puts(out, " role=\"img\" aria-label=\"");
    ll_strip_sentence(out, frame, strip);
    ll_text_puts(out, "\">\n");
    draw_grid(frame, strip);
    draw_switches(frame, strip);
    ll_strip_draw_limits(frame, strip);
    draw_curves(frame, strip);
    ll_strip_draw_beyond(frame, strip);
    ll_strip_draw_numbers(frame, strip, room);
    draw_names(frame, strip, room);
    ll_strip_draw_limit_names_inside(frame, strip);
    ll_time_labels(out, &frame->time, strip->scale.height_px + LL_STRIP_FOOT_PX - 5);
    ll_text_puts(out, "</svg>\n");
}

static void draw_caption(const ll_frame *frame, const ll_strip *strip)
{
    ll_text *out = frame->out;
    ll_text_format(out, "<figcaption><b>%s</b> <span class=\"unit\">%s</span>", strip->title, strip->scale.unit);
    if (strip->peak_name && isfinite(strip->peak.value)) {
        ll_text_format(out, " <span class=\"peak\">%s ", strip->peak_name);
        ll_figure(out, strip->peak.value, strip->unit, strip->digits, frame->look);
        ll_text_puts(out, " at ");
        ll_run_clock(out, frame->debrief, strip->peak.time_s);
        ll_text_puts(out, "</span>");
    }
    if (strip->remark)
        ll_text_format(out, " <span class=\"remark\">%s</span>", strip->remark);
    ll_text_puts(out, "</figcaption>\n");
}

void ll_strip_draw(const ll_frame *frame, const ll_strip *strip)
{
    ll_text *out = frame->out;
    ll_room *room = ll_arena_alloc(frame->arena, sizeof *room);
    if (!room) {
        out->no_memory = true;
        return;
    }
    fill_room(frame, strip, room);
    ll_text_format(out, "<figure class=\"strip %s\">\n", strip->key);
    draw_caption(frame, strip);
    ll_text_puts(out, "<div class=\"plot\">\n");
    draw_scale(frame, strip);
    draw_field(frame, strip, room);
    ll_svg_open(out, "names", LL_STRIP_NAMES_PX, strip->scale.height_px + LL_STRIP_FOOT_PX);
    ll_text_puts(out, " aria-hidden=\"true\">");
    ll_strip_draw_limit_names(frame, strip);
    ll_text_puts(out, "</svg>\n</div>\n");
    ll_strip_table(frame, strip);
    ll_text_puts(out, "</figure>\n");
}
