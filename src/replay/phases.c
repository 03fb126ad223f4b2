/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/phases.h"

#include <math.h>

#include "base/extreme.h"

#define UNDER_M 1.5      /* deeper than this a diver is under water */
#define SURFACED_M 0.5   /* not deeper than this he is at the surface */
#define ENDS_NEAR_M 2.0  /* a record that ends no deeper than this counts as having surfaced */
#define ROUNDING_M 1e-9  /* depths are decimals: a step of exactly 3 m may read as a little less */

bool ll_leaving_find(const double *depth_m, size_t count, size_t *leaving)
{
    size_t first = 0;
    while (first < count && !(depth_m[first] > UNDER_M))
        first++;
    *leaving = 0;
    for (size_t i = first; i-- > 0 && *leaving == 0;)
        if (depth_m[i] <= SURFACED_M)
            *leaving = i;
    return first < count;
}

static void find_run_time(ll_profile *profile)
{
    const double *depth = profile->depth_m;
    size_t last = profile->count - 1;
    profile->has_run_time = ll_leaving_find(depth, profile->count, &profile->leaving);
    if (!profile->has_run_time)
        return;
    while (!(depth[last] > UNDER_M))
        last--;
    profile->surfacing = profile->count - 1;
    profile->has_surfacing = depth[profile->count - 1] <= ENDS_NEAR_M;
    for (size_t i = last + 1; i < profile->count; i++)
        if (depth[i] <= SURFACED_M) {
            profile->surfacing = i;
            profile->has_surfacing = true;
            break;
        }
}

static void find_depths(ll_profile *profile)
{
    const double *time = profile->time_s, *depth = profile->depth_m;
    double area = 0;
    profile->greatest = profile->leaving;
    for (size_t i = profile->leaving + 1; i <= profile->surfacing; i++) {
        area += (time[i] - time[i - 1]) * (depth[i] + depth[i - 1]) / 2;
        if (depth[i] > depth[profile->greatest])
            profile->greatest = i;
    }
    profile->greatest_m = depth[profile->greatest];
    profile->run_time_s = time[profile->surfacing] - time[profile->leaving];
    profile->mean_m = profile->run_time_s > 0 ? area / profile->run_time_s : profile->greatest_m;
}

/* First sample of the longest level stretch that ends at `end`: deep enough, and varying by less than 3 m. */
static size_t level_from(const ll_profile *profile, size_t end, double *greatest)
{
    const double least = profile->greatest_m * 2 / 3 - ROUNDING_M;
    double low = profile->depth_m[end], high = low;
    size_t first = end;
    for (size_t i = end + 1; i-- > profile->leaving;) {
        double depth = profile->depth_m[i];
        double lower = ll_lesser(low, depth), higher = ll_greater(high, depth);
        if (depth < least || higher - lower >= 3 - ROUNDING_M)
            break;
        low = lower;
        high = higher;
        first = i;
    }
    *greatest = high;
    return first;
}

/* The last level stretch of a minute or more; in it the last sample within 1 m of its greatest depth. */
static bool find_last_level(const ll_profile *profile, size_t *found)
{
    const double least = profile->greatest_m * 2 / 3 - ROUNDING_M;
    for (size_t end = profile->surfacing + 1; end-- > profile->leaving;) {
        if (profile->depth_m[end] < least)
            continue;
        double greatest;
        size_t first = level_from(profile, end, &greatest);
        if (profile->time_s[end] - profile->time_s[first] < 60)
            continue;
        while (profile->depth_m[end] < greatest - 1 - ROUNDING_M)
            end--;
        *found = end;
        return true;
    }
    return false;
}

static size_t find_ascent_start(const ll_profile *profile)
{
    size_t found = profile->surfacing;
    if (find_last_level(profile, &found))
        return found;
    while (profile->depth_m[found] < profile->greatest_m * 0.9 - ROUNDING_M)
        found--;
    return found;
}

static size_t find_bottom_end(const ll_profile *profile)
{
    for (size_t s = 1; s < profile->breathed_count; s++) {
        const ll_breathed *now = &profile->breathed[s], *before = now - 1;
        bool richer = now->known && before->known && now->o2 > before->o2;
        if (richer && now->first > profile->greatest && now->first < profile->ascent_start)
            return now->first;
    }
    return profile->ascent_start;
}

void ll_phases_find(ll_profile *profile)
{
    profile->record_s = profile->time_s[profile->count - 1] - profile->time_s[0];
    profile->greatest_m = profile->depth_m[0];
    for (size_t i = 1; i < profile->count; i++)
        profile->greatest_m = ll_greater(profile->greatest_m, profile->depth_m[i]);
    profile->mean_m = NAN;
    find_run_time(profile);
    if (!profile->has_run_time)
        return;
    find_depths(profile);
    profile->ascent_start = find_ascent_start(profile);
    profile->bottom_end = find_bottom_end(profile);
}

static double share_deeper(double from_m, double to_m, double limit_m)
{
    if (from_m > limit_m && to_m > limit_m)
        return 1;
    if (from_m <= limit_m && to_m <= limit_m)
        return 0;
    return (ll_greater(from_m, to_m) - limit_m) / fabs(from_m - to_m);
}

double ll_seconds_deeper(const ll_profile *profile, double depth_m)
{
    double seconds = 0;
    for (size_t i = 1; i < profile->count; i++)
        seconds += (profile->time_s[i] - profile->time_s[i - 1]) *
                   share_deeper(profile->depth_m[i - 1], profile->depth_m[i], depth_m);
    return seconds;
}
