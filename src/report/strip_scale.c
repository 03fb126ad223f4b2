/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/strip_scale.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "report/text_figures.h"

enum { LINE_PX = 26 }; /* between two lines at least */

/* The least of 1, 2, 5, 10, 20, 50 ... that covers `range` in at most `most` steps. */
static double round_step(double range, double most, int *decimals)
{
    static const double steps[] = {1, 2, 5, 10};
    double power = floor(log10(range / most));
    double unit = pow(10, power);
    size_t i = 0;
    while (i < 3 && range / most > steps[i] * unit * (1 + 1e-9))
        i++;
    if (i == 3)
        power++;
    *decimals = power < 0 ? (int)-power : 0;
    return steps[i] * unit;
}

ll_scale ll_scale_make(double least, double greatest, const char *unit, const ll_look *look, double height_px, bool down)
{
    ll_conversion shown = ll_conversion_of(unit, look->imperial);
    ll_scale scale = {.factor = shown.factor, .down = down, .height_px = height_px};
    scale.unit = strcmp(shown.to, "percent") == 0 ? "%" : shown.to;
    if (!((greatest - least) * scale.factor > 1e-6))
        greatest = least + 1 / scale.factor;
    double most = fmax(2, floor(height_px / LINE_PX));
    double step = round_step((greatest - least) * scale.factor, most, &scale.decimals);
    double first = floor(least * scale.factor / step + 1e-9), last = ceil(greatest * scale.factor / step - 1e-9);
    scale.step = step / scale.factor;
    scale.least = first * scale.step;
    scale.greatest = last * scale.step;
    scale.lines = (size_t)(last - first) + 1;
    return scale;
}

double ll_scale_y_px(const ll_scale *scale, double value)
{
    double share = (value - scale->least) / (scale->greatest - scale->least);
    return LL_STRIP_PAD_PX + (scale->height_px - 2 * LL_STRIP_PAD_PX) * (scale->down ? share : 1 - share);
}

double ll_scale_line(const ll_scale *scale, size_t line)
{
    return scale->least + (double)line * scale->step;
}

void ll_scale_label(ll_text *out, const ll_scale *scale, size_t line)
{
    ll_fixed_add(out, ll_scale_line(scale, line) * scale->factor, scale->decimals);
}
