/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/interval.h"

#include <math.h>
#include <stdlib.h>

static double interval(const ll_profile *profile, size_t i)
{
    return profile->time_s[i + 1] - profile->time_s[i];
}

/* Nearly every record has one usual interval: a length that more than half of all share is the median, and a vote finds
 * it without sorting. NaN where there is none. */
static double majority(const ll_profile *profile, size_t intervals)
{
    double candidate = NAN;
    size_t votes = 0;
    for (size_t i = 0; i < intervals; i++) {
        double length = interval(profile, i);
        if (votes == 0)
            candidate = length;
        if (candidate == length)
            votes++;
        else
            votes--;
    }
    size_t count = 0;
    for (size_t i = 0; i < intervals; i++)
        count += interval(profile, i) == candidate;
    return 2 * count > intervals ? candidate : NAN;
}

static int by_size(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

bool ll_interval_find(ll_profile *profile, ll_arena *arena)
{
    profile->interval_s = NAN;
    if (profile->count < 2)
        return true;
    size_t intervals = profile->count - 1;
    profile->interval_s = majority(profile, intervals);
    if (!isnan(profile->interval_s))
        return true;
    double *sorted = ll_arena_array(arena, intervals, sizeof *sorted);
    if (!sorted)
        return false;
    for (size_t i = 0; i < intervals; i++)
        sorted[i] = interval(profile, i);
    qsort(sorted, intervals, sizeof *sorted, by_size);
    size_t middle = intervals / 2;
    profile->interval_s = intervals % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
    return true;
}
