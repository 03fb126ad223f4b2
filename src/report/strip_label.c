/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/strip_label.h"

#include <math.h>

#define GAP_PX 4.0    /* between a curve and its name */
#define FAR_PX 18.0   /* from others; farther is no better */
#define SLOPE_COST 0.4 /* for each pixel that the curve rises or falls beside its name */
#define LINE_COST 12.0 /* for a limit through the name */

void ll_room_add_curve(ll_room *room, const ll_points *points, const ll_time_scale *time, const ll_scale *scale)
{
    if (room->curves == LL_ROOM_CURVES)
        return;
    for (size_t c = 0; c < LL_ROOM_COLUMNS; c++) {
        double width_s = (time->to_s - time->from_s) / LL_ROOM_COLUMNS, from_s = time->from_s + (double)c * width_s;
        double least, greatest;
        ll_points_range(points, from_s, from_s + width_s, &least, &greatest);
        double left = ll_points_value(points, from_s), right = ll_points_value(points, from_s + width_s);
        least = fmin(fmin(left, right), least);
        greatest = fmax(fmax(left, right), greatest);
        double a = ll_scale_y_px(scale, least), b = ll_scale_y_px(scale, greatest);
        room->curve[room->curves][c].top_px = fmin(a, b);
        room->curve[room->curves][c].bottom_px = fmax(a, b);
    }
    room->curves++;
}

void ll_room_add_line(ll_room *room, double y_px)
{
    if (room->lines < LL_ROOM_CURVES)
        room->line_px[room->lines++] = y_px;
}

void ll_room_add_box(ll_room *room, double from_percent, double to_percent, double top_px, double bottom_px)
{
    if (room->boxes == LL_ROOM_BOXES)
        return;
    room->box[room->boxes].from_percent = from_percent;
    room->box[room->boxes].to_percent = to_percent;
    room->box[room->boxes].top_px = top_px;
    room->box[room->boxes++].bottom_px = bottom_px;
}

bool ll_room_is_taken(const ll_room *room, double from_percent, double to_percent, double top_px, double bottom_px)
{
    for (size_t i = 0; i < room->boxes; i++)
        if (room->box[i].from_percent < to_percent && room->box[i].to_percent > from_percent &&
            room->box[i].top_px < bottom_px && room->box[i].bottom_px > top_px)
            return true;
    return false;
}

/* A text over the columns [first, end), and how it stands to what is there. */
typedef struct trial {
    size_t first, end;
    double top_px, bottom_px;
    bool above; /* its curve */
} trial;

/* Pixels from a text to another curve; 0 or less where they touch. What lies behind the text's own curve is far. */
static double distance_px(const ll_room *room, size_t own, size_t other, const trial *text)
{
    double least = FAR_PX;
    for (size_t c = text->first; c < text->end; c++) {
        double under = room->curve[other][c].top_px - text->bottom_px;
        double over = text->top_px - room->curve[other][c].bottom_px;
        bool behind = text->above ? room->curve[other][c].top_px >= room->curve[own][c].top_px
                                  : room->curve[other][c].bottom_px <= room->curve[own][c].bottom_px;
        if (!behind)
            least = fmin(least, fmax(under, over));
    }
    return least;
}

/* The columns in which a text stands beside its curve, and the curve's own top and bottom there; false in a gap. */
static bool span_of(const ll_room *room, size_t curve, const trial *text, double *top_px, double *bottom_px)
{
    *top_px = INFINITY;
    *bottom_px = -INFINITY;
    for (size_t c = text->first; c < text->end; c++) {
        if (isnan(room->curve[curve][c].top_px))
            return false;
        *top_px = fmin(*top_px, room->curve[curve][c].top_px);
        *bottom_px = fmax(*bottom_px, room->curve[curve][c].bottom_px);
    }
    return true;
}

/* How good a place is; -INFINITY where it is none. */
static double worth(const ll_room *room, size_t curve, const trial *text, double slope_px)
{
    if (text->top_px < LL_STRIP_PAD_PX || text->bottom_px > room->height_px - LL_STRIP_PAD_PX / 2 ||
        ll_room_is_taken(room, (double)text->first, (double)text->end, text->top_px, text->bottom_px))
        return -INFINITY;
    double free_px = FAR_PX;
    for (size_t other = 0; other < room->curves; other++)
        if (other != curve)
            free_px = fmin(free_px, distance_px(room, curve, other, text));
    if (free_px <= 1)
        return -INFINITY;
    double cost = SLOPE_COST * slope_px;
    for (size_t i = 0; i < room->lines; i++)
        if (room->line_px[i] > text->top_px && room->line_px[i] < text->bottom_px)
            cost += LINE_COST;
    return free_px - cost;
}

bool ll_room_place(ll_room *room, size_t curve, double width_percent, ll_place *place)
{
    const size_t width = (size_t)ceil(fmin(width_percent, LL_ROOM_COLUMNS));
    double best = -INFINITY;
    trial chosen = {0};
    for (size_t first = 0; curve < room->curves && first + width <= LL_ROOM_COLUMNS; first++) {
        double top_px, bottom_px;
        trial text = {.first = first, .end = first + width};
        if (!span_of(room, curve, &text, &top_px, &bottom_px))
            continue;
        for (int side = 0; side < 2; side++) {
            text.above = side == 0;
            text.top_px = text.above ? top_px - GAP_PX - LL_LABEL_PX : bottom_px + GAP_PX;
            text.bottom_px = text.top_px + LL_LABEL_PX;
            double value = worth(room, curve, &text, bottom_px - top_px);
            if (value > best) {
                best = value;
                chosen = text;
            }
        }
    }
    if (best == -INFINITY)
        return false;
    ll_room_add_box(room, (double)chosen.first, (double)chosen.end, chosen.top_px, chosen.bottom_px);
    *place = (ll_place){(double)(chosen.first + chosen.end) / 2, chosen.bottom_px - 3};
    return true;
}
