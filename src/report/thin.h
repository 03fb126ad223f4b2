/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fewer points that look the same: a curve of thousands of samples as it can be drawn in some hundred columns. */
#ifndef LL_REPORT_THIN_H
#define LL_REPORT_THIN_H

#include <stdbool.h>
#include <stddef.h>

/* A corner of a curve that is linear between its corners. Two corners at one time are a step; NaN as value is a gap. */
typedef struct ll_point {
    double time_s, value;
} ll_point;

typedef struct ll_points {
    size_t count;
    ll_point *at; /* by rising time */
} ll_points;

typedef struct ll_thinning {
    double from_s, to_s; /* cut into columns of the same length; to_s > from_s */
    size_t columns;
    size_t limits;
    const double *limit; /* values whose crossings stay where they are */
} ll_thinning;

/* Leaves out points, in place. What stays: of each column the first, last, least and greatest; the points on both sides of
 * the crossing of a limit, of a step, of a gap; one NaN a gap; and those for which `keep` was true before. `keep` (one a
 * point) is overwritten. At most 4 points a column, 2 a crossing, 2 a step and 3 a gap are left beside the ones kept. */
void ll_points_thin(ll_points *points, bool *keep, const ll_thinning *how);

#endif
