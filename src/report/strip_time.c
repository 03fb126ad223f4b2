/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/strip_time.h"

#include <math.h>

#include "report/svg.h"
#include "report/text_figures.h"

enum { MOST_STEPS = 14, FEW_STEPS = 6 };

double ll_time_step_s(double seconds)
{
    static const double steps[] = {1,   2,   5,    10,   15,   20,   30,    60,    120,  300,
                                   600, 900, 1200, 1800, 3600, 7200, 14400, 28800, 86400};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (seconds <= steps[i] * MOST_STEPS)
            return steps[i];
    return ceil(seconds / 86400 / MOST_STEPS) * 86400;
}

bool ll_time_scale_make(const ll_profile *profile, ll_time_scale *scale)
{
    if (!profile->has_run_time || profile->count == 0)
        return false;
    scale->from_s = profile->time_s[profile->leaving];
    scale->to_s = profile->time_s[profile->surfacing];
    scale->step_s = ll_time_step_s(scale->to_s - scale->from_s);
    return scale->to_s > scale->from_s;
}

double ll_time_percent(const ll_time_scale *scale, double time_s)
{
    return 100 * (time_s - scale->from_s) / (scale->to_s - scale->from_s);
}

static size_t steps_of(const ll_time_scale *scale)
{
    return (size_t)floor((scale->to_s - scale->from_s) / scale->step_s + 1e-9);
}

void ll_time_lines(ll_text *out, const ll_time_scale *scale, double height_px)
{
    for (size_t i = 0; i <= steps_of(scale); i++) {
        double percent = ll_time_percent(scale, scale->from_s + (double)i * scale->step_s);
        ll_svg_line(out, NULL, percent, percent, 0, height_px);
    }
}

static void add_label(ll_text *out, double run_s, double step_s)
{
    if (step_s < 60)
        ll_clock(out, run_s);
    else
        ll_text_format(out, "%lld", llround(run_s / 60));
}

void ll_time_labels(ll_text *out, const ll_time_scale *scale, double y_px)
{
    const size_t steps = steps_of(scale);
    for (size_t i = 0; i <= steps; i++) {
        double percent = ll_time_percent(scale, scale->from_s + (double)i * scale->step_s);
        bool thinned = i % 2 && steps > FEW_STEPS;
        ll_svg_text_open(out, thinned ? "minute wide-only" : "minute", percent, y_px, "middle");
        add_label(out, (double)i * scale->step_s, scale->step_s);
        ll_svg_text_close(out);
    }
}
