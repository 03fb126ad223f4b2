/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/thin.h"

#include <math.h>

static size_t column_of(const ll_thinning *how, double time_s)
{
    double column = floor((time_s - how->from_s) / (how->to_s - how->from_s) * (double)how->columns);
    return column < 0 ? 0 : column >= (double)how->columns ? how->columns - 1 : (size_t)column;
}

static int side_of(double value, double limit)
{
    return (value > limit) - (value < limit);
}

/* Whether both of two neighbours stay because of what lies between them. */
static bool is_joint(const ll_point *a, const ll_point *b, const ll_thinning *how)
{
    if (isnan(a->value) != isnan(b->value))
        return true;
    if (isnan(a->value))
        return false;
    for (size_t i = 0; i < how->limits; i++)
        if (side_of(a->value, how->limit[i]) != side_of(b->value, how->limit[i]))
            return true;
    return a->time_s == b->time_s && a->value != b->value;
}

static void keep_joints(const ll_points *points, bool *keep, const ll_thinning *how)
{
    for (size_t i = 0; i + 1 < points->count; i++)
        if (is_joint(&points->at[i], &points->at[i + 1], how))
            keep[i] = keep[i + 1] = true;
}

/* A gap is one NaN, behind the last point before it. */
static void keep_one_a_gap(const ll_points *points, bool *keep)
{
    for (size_t i = 0; i < points->count; i++)
        if (isnan(points->at[i].value))
            keep[i] = i == 0 || !isnan(points->at[i - 1].value);
}

/* Of the points [first, end), which lie in one column. */
static void keep_extremes(const ll_points *points, bool *keep, size_t first, size_t end)
{
    size_t least = end, greatest = end, last = end;
    for (size_t i = first; i < end; i++) {
        double value = points->at[i].value;
        if (isnan(value))
            continue;
        if (last == end)
            keep[i] = true;
        last = i;
        if (least == end || value < points->at[least].value)
            least = i;
        if (greatest == end || value > points->at[greatest].value)
            greatest = i;
    }
    if (last != end)
        keep[least] = keep[greatest] = keep[last] = true;
}

static void keep_columns(const ll_points *points, bool *keep, const ll_thinning *how)
{
    for (size_t first = 0, end; first < points->count; first = end) {
        size_t column = column_of(how, points->at[first].time_s);
        for (end = first + 1; end < points->count && column_of(how, points->at[end].time_s) == column;)
            end++;
        keep_extremes(points, keep, first, end);
    }
}

void ll_points_thin(ll_points *points, bool *keep, const ll_thinning *how)
{
    keep_joints(points, keep, how);
    keep_columns(points, keep, how);
    keep_one_a_gap(points, keep);
    size_t kept = 0;
    for (size_t i = 0; i < points->count; i++)
        if (keep[i])
            points->at[kept++] = points->at[i];
    points->count = kept;
}
