/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the name of a curve can stand: beside it, off the other curves, lines and marks. */
#ifndef LL_REPORT_STRIP_LABEL_H
#define LL_REPORT_STRIP_LABEL_H

#include "report/strip_points.h"
#include "report/strip_scale.h"
#include "report/strip_time.h"

enum { LL_ROOM_COLUMNS = 100, LL_ROOM_CURVES = 16, LL_ROOM_BOXES = 64, LL_LABEL_PX = 13 };

/* What stands in a field already. */
typedef struct ll_room {
    double height_px;
    size_t curves, boxes, lines;
    struct {
        double top_px, bottom_px; /* of a curve in each column; NaN where there is none */
    } curve[LL_ROOM_CURVES][LL_ROOM_COLUMNS];
    struct {
        double from_percent, to_percent, top_px, bottom_px;
    } box[LL_ROOM_BOXES];
    double line_px[LL_ROOM_CURVES]; /* from side to side */
} ll_room;

typedef struct ll_place {
    double x_percent, y_px; /* the middle of the text's foot */
} ll_place;

/* What is more than fits is left out; the places are then worse, no more. */
void ll_room_add_curve(ll_room *room, const ll_points *points, const ll_time_scale *time, const ll_scale *scale);
void ll_room_add_line(ll_room *room, double y_px);
void ll_room_add_box(ll_room *room, double from_percent, double to_percent, double top_px, double bottom_px);

/* Whether a box stands there. */
bool ll_room_is_taken(const ll_room *room, double from_percent, double to_percent, double top_px, double bottom_px);

/* The best place for a text so wide beside curve `curve`, in the order in which they were added; it is taken. False if
 * there is none. */
bool ll_room_place(ll_room *room, size_t curve, double width_percent, ll_place *place);

#endif
