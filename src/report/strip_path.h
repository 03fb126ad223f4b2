/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Curves as the `d` of an SVG path, in whole units of a grid 10000 wide and ten units a pixel high. */
#ifndef LL_REPORT_STRIP_PATH_H
#define LL_REPORT_STRIP_PATH_H

#include "report/strip_points.h"
#include "report/strip_scale.h"
#include "report/strip_time.h"

enum { LL_PATH_WIDTH = 10000, LL_PATH_PER_PX = 10 };

/* The line along a curve, broken at gaps. */
void ll_path_of_points(ll_text *out, const ll_points *points, const ll_time_scale *time, const ll_scale *scale);

/* The area from a curve to a value. */
void ll_path_of_area(ll_text *out, const ll_points *points, double value, const ll_time_scale *time,
                     const ll_scale *scale);

/* Of a band: the area, or its edge on the side of the first curve. */
void ll_path_of_band(ll_text *out, const ll_band *band, const ll_time_scale *time, const ll_scale *scale);
void ll_path_of_band_edge(ll_text *out, const ll_band *band, const ll_time_scale *time, const ll_scale *scale);

#endif
