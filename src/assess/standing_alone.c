/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tests of one dive by itself. Percentages are of the recorded value. */
#include <math.h>

#include "assess/standing_parts.h"
#include "replay/phases.h"

#define DEPTH_SLACK_M 1.0
#define DEPTH_SLACK_SHARE 0.05
#define TIME_SLACK_S 300.0
#define TIME_SLACK_SHARE 0.10
#define RATE_M_S 2.0 /* 120 m/min */
#define RATE_KEPT_S 5.0
#define DEEPEST_M 330.0 /* beyond what has been dived (from memory) */
#define NO_DIVE_M 3.0
#define NO_DIVE_S 180.0

static bool set_aside(ll_judged *judged, ll_reason reason, double stated, double recorded)
{
    judged->stand->standing = LL_SET_ASIDE;
    judged->stand->reason = reason;
    judged->stand->stated = stated;
    judged->stand->recorded = recorded;
    return true;
}

static bool is_off(double stated, double recorded, double slack, double share)
{
    return fabs(stated - recorded) > slack + share * recorded;
}

static bool is_after(const ll_judged *judged, int64_t today)
{
    const ll_instant *start = &judged->entry->dive->start;
    return start->has_date && ll_instant_day(start) > today;
}

/* --- contradictions ------------------------------------------------------------------------------------------- */

static bool is_not_positive(double stated)
{
    return !isnan(stated) && !(stated > 0);
}

static bool contradicts(ll_judged *judged, const ll_profile *profile)
{
    const double depth_m = judged->entry->dive->stated_greatest_m, lasts_s = judged->entry->dive->stated_duration_s;
    if (is_not_positive(depth_m) || is_not_positive(lasts_s))
        return set_aside(judged, LL_REASON_NOT_POSITIVE, is_not_positive(depth_m) ? depth_m : lasts_s, NAN);
    if (!profile)
        return false;
    if (is_off(depth_m, profile->greatest_m, DEPTH_SLACK_M, DEPTH_SLACK_SHARE))
        return set_aside(judged, LL_REASON_DEPTH, depth_m, profile->greatest_m);
    const double run_s = profile->has_run_time ? profile->run_time_s : profile->record_s;
    if (is_off(lasts_s, run_s, TIME_SLACK_S, TIME_SLACK_SHARE) &&
        is_off(lasts_s, profile->record_s, TIME_SLACK_S, TIME_SLACK_SHARE))
        return set_aside(judged, LL_REASON_DURATION, lasts_s, run_s);
    return false;
}

/* --- what no diver does ----------------------------------------------------------------------------------------- */

static double rate_m_s(const ll_profile *profile, size_t i)
{
    return (profile->depth_m[i + 1] - profile->depth_m[i]) / (profile->time_s[i + 1] - profile->time_s[i]);
}

/* The greatest rate (m/s) that was kept in one direction for 5 s over the limit; 0 if there is none. */
static double kept_rate_m_s(const ll_profile *profile)
{
    double kept_s = 0, least = 0, greatest = 0;
    for (size_t i = 0; i + 1 < profile->count; i++) {
        const double rate = rate_m_s(profile, i);
        const bool fast = fabs(rate) > RATE_M_S, goes_on = kept_s > 0 && rate * rate_m_s(profile, i - 1) > 0;
        if (!fast || !goes_on) {
            kept_s = 0;
            least = INFINITY;
        }
        if (!fast)
            continue;
        kept_s += profile->time_s[i + 1] - profile->time_s[i];
        least = fmin(least, fabs(rate));
        if (kept_s >= RATE_KEPT_S)
            greatest = fmax(greatest, least);
    }
    return greatest;
}

static bool is_impossible(ll_judged *judged, const ll_profile *profile)
{
    if (judged->greatest_m > DEEPEST_M)
        return set_aside(judged, LL_REASON_TOO_DEEP, NAN, judged->greatest_m);
    double rate = profile ? kept_rate_m_s(profile) : 0;
    return rate > 0 && set_aside(judged, LL_REASON_RATE, NAN, rate * 60);
}

static bool is_no_dive(ll_judged *judged, const ll_profile *profile)
{
    return profile && ll_seconds_deeper(profile, NO_DIVE_M) < NO_DIVE_S &&
           set_aside(judged, LL_REASON_NO_DIVE, NAN, profile->greatest_m);
}

void ll_stand_alone(const ll_profile *profile, int64_t today, ll_judged *judged)
{
    if (is_after(judged, today)) {
        set_aside(judged, LL_REASON_AFTER_DAY, NAN, NAN);
        return;
    }
    if (contradicts(judged, profile) || is_impossible(judged, profile))
        return;
    is_no_dive(judged, profile);
}
