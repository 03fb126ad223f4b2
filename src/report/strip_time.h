/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The time axis of a picture: the run time in percent of the width, with lines at round steps. */
#ifndef LL_REPORT_STRIP_TIME_H
#define LL_REPORT_STRIP_TIME_H

#include "report/report.h"

typedef struct ll_time_scale {
    double from_s, to_s; /* the run time on the record's clock; to_s > from_s */
    double step_s;
} ll_time_scale;

/* A round step that cuts so many seconds into a dozen parts or fewer. */
double ll_time_step_s(double seconds);

/* False where there is no run time, or none of some length. */
bool ll_time_scale_make(const ll_profile *profile, ll_time_scale *scale);
double ll_time_percent(const ll_time_scale *scale, double time_s);

/* A line at each step, `height_px` long. */
void ll_time_lines(ll_text *out, const ll_time_scale *scale, double height_px);

/* What each step is, in minutes, at `y_px`. Where there are many, every second one is of class "wide-only". */
void ll_time_labels(ll_text *out, const ll_time_scale *scale, double y_px);

#endif
