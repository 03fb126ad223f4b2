/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "assess/review_parts.h"

#define M_PER_BAR 10.0   /* comparison metres, EN 13319 */
#define GAP_LEAST_S 60.0 /* this program's own choice, as is the next */
#define GAP_INTERVALS 3.0

double ll_between(ll_sampled from, ll_sampled to, double interval_s, double time_s)
{
    const double gap_s = to.time_s - from.time_s;
    if (time_s > from.time_s && gap_s > fmax(GAP_LEAST_S, GAP_INTERVALS * interval_s))
        return NAN;
    return from.value + (time_s - from.time_s) / gap_s * (to.value - from.value);
}

bool ll_line_make(const ll_profile *profile, double shift_s, ll_arena *arena, ll_depth_line *line)
{
    const size_t count = profile->surfacing - profile->leaving + 1;
    double *time_s = ll_arena_array(arena, count, sizeof *time_s);
    double *depth_m = ll_arena_array(arena, count, sizeof *depth_m);
    if (!time_s || !depth_m)
        return false;
    for (size_t i = 0; i < count; i++) {
        time_s[i] = profile->time_s[profile->leaving + i] + shift_s;
        depth_m[i] = profile->depth_m[profile->leaving + i] * profile->bar_per_m * M_PER_BAR;
    }
    *line = (ll_depth_line){count, time_s, depth_m, profile->interval_s};
    return true;
}

/* The last sample at or before a time within the line. */
static size_t sample_at(const ll_depth_line *line, double time_s)
{
    size_t from = 0, to = line->count;
    while (to - from > 1) {
        size_t middle = from + (to - from) / 2;
        if (line->time_s[middle] <= time_s)
            from = middle;
        else
            to = middle;
    }
    return from;
}

double ll_line_depth_at_m(const ll_depth_line *line, double time_s)
{
    if (line->count == 0 || time_s < line->time_s[0] || time_s > line->time_s[line->count - 1])
        return 0;
    size_t i = sample_at(line, time_s);
    if (i + 1 == line->count)
        return line->depth_m[i];
    double part = (time_s - line->time_s[i]) / (line->time_s[i + 1] - line->time_s[i]);
    return line->depth_m[i] + part * (line->depth_m[i + 1] - line->depth_m[i]);
}
