/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scale of a strip: values to pixels, with lines at round steps of the unit shown. */
#ifndef LL_REPORT_STRIP_SCALE_H
#define LL_REPORT_STRIP_SCALE_H

#include "report/report.h"

enum { LL_STRIP_PAD_PX = 10 }; /* between the ends of a scale and the edges of its field */

typedef struct ll_scale {
    double least, greatest; /* the ends, multiples of the step, in the quantity's own unit */
    double step;
    size_t lines; /* from `least` to `greatest`, a step apart */
    double factor; /* to the unit shown */
    const char *unit; /* as shown */
    int decimals; /* of the values at the lines, as shown */
    bool down; /* greater values stand lower */
    double height_px;
} ll_scale;

/* Ends and steps around [least, greatest], both finite. `unit` is one of the quantity table's. */
ll_scale ll_scale_make(double least, double greatest, const char *unit, const ll_look *look, double height_px, bool down);
double ll_scale_y_px(const ll_scale *scale, double value);
/* The value at line `line`, and as it is written beside it. */
double ll_scale_line(const ll_scale *scale, size_t line);
void ll_scale_label(ll_text *out, const ll_scale *scale, size_t line);

#endif
