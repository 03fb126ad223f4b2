/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depths that no diver reached: one to five samples entered and left at over 120 m/min in opposite directions. */
#include "log/reader.h"

#define SPIKE_M_MIN 120.0
enum { LONGEST = 5 };

/* m/min from sample i to the next, positive downwards. */
static double rate(const double *time_s, const double *depth_m, size_t i)
{
    return (depth_m[i + 1] - depth_m[i]) / (time_s[i + 1] - time_s[i]) * 60;
}

static bool opposite(double a, double b)
{
    return (a > SPIKE_M_MIN && b < -SPIKE_M_MIN) || (a < -SPIKE_M_MIN && b > SPIKE_M_MIN);
}

/* The last sample of the spike that the step from `before` enters; `before` if it enters none. */
static size_t last_of(const double *time_s, const double *depth_m, size_t count, size_t before)
{
    double in = rate(time_s, depth_m, before);
    if (in <= SPIKE_M_MIN && in >= -SPIKE_M_MIN)
        return before;
    for (size_t last = before + 1; last <= before + LONGEST && last + 1 < count; last++)
        if (opposite(in, rate(time_s, depth_m, last)))
            return last;
    return before;
}

bool ll_bridge_spikes(const double *time_s, double *depth_m, size_t count, ll_spike_fn found, void *context)
{
    for (size_t before = 0; before + 2 < count; before++) {
        size_t last = last_of(time_s, depth_m, count, before);
        if (last == before)
            continue;
        double slope = (depth_m[last + 1] - depth_m[before]) / (time_s[last + 1] - time_s[before]);
        for (size_t i = before + 1; i <= last; i++)
            depth_m[i] = depth_m[before] + slope * (time_s[i] - time_s[before]);
        if (!found(context, before + 1, last))
            return false;
        before = last;
    }
    return true;
}
