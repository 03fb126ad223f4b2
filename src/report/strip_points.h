/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Curves of a dive's run time as corners: straight between samples, at a change of gas a step from what the old gas gives. */
#ifndef LL_REPORT_STRIP_POINTS_H
#define LL_REPORT_STRIP_POINTS_H

#include "report/report.h"
#include "report/thin.h"

/* Each returns false if memory ran out. A curve that has no value at all comes out with no points. */

/* A column of the track. */
bool ll_points_of_track(const ll_track *track, ll_quantity quantity, ll_arena *arena, ll_points *points);

/* The same, level from each sample to the next. */
bool ll_points_of_steps(const ll_track *track, ll_quantity quantity, ll_arena *arena, ll_points *points);

/* Readings at some samples, linear between them; those of the run time and one on each side of it. */
bool ll_points_of_series(const ll_profile *profile, const ll_series *series, ll_arena *arena, ll_points *points);

/* The deepest mandatory stop that the recorder names at a sample, a gap where it names none. */
bool ll_points_of_own_stops(const ll_profile *profile, ll_arena *arena, ll_points *points);

/* Cuts the stretches at 0 out, up to the corners beside them. */
void ll_points_without_zero(ll_points *points);

/* The value at an instant: linear, behind a step; NaN in gaps, before the first and after the last. */
double ll_points_value(const ll_points *points, double time_s);

/* Least and greatest value of [from_s, to_s], at corners; NaN without one. */
void ll_points_range(const ll_points *points, double from_s, double to_s, double *least, double *greatest);

/* What lies between two curves where the first is beyond the second. */
typedef struct ll_band_point {
    double time_s, a, b; /* all NaN between two pieces */
} ll_band_point;

typedef struct ll_band {
    size_t count;
    ll_band_point *at;
} ll_band;

/* Over [from_s, to_s]: where a > b, or for a lower limit a < b. */
bool ll_band_between(const ll_points *a, const ll_points *b, double from_s, double to_s, ll_direction direction,
                     ll_arena *arena, ll_band *band);

#endif
