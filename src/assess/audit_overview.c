/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What an instructor asks next. Of dives that count, recorded and claimed; what only a record shows, of recorded ones. */
#include <math.h>

#include "assess/audit_parts.h"

#define FIRST_DIVES 10 /* before them every dive is a step */

const double ll_depth_bands_m[LL_DEPTH_BANDS] = {0, 18, 30, 40, 50, 60, 80};
const char *const ll_sampling_class_words[LL_SAMPLING_CLASSES] = {"up to 5 s", "up to 10 s", "under 20 s",
                                                                  "20 s and more"};
enum { MOST_MONTHS = 60 };

static int month_number(int64_t day)
{
    ll_date date = ll_day_date(day);
    return date.year * 12 + date.month - 1;
}

/* --- over time -------------------------------------------------------------------------------------------------- */

static bool add_months(const ll_audit *audit, ll_arena *arena, ll_overview *overview)
{
    int first = 0, last = -1;
    for (size_t i = 0; i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        if (!ll_audit_counts(dive) || !dive->dated)
            continue;
        int month = month_number(dive->day);
        first = last < 0 || month < first ? month : first;
        last = last < 0 || month > last ? month : last;
    }
    if (last < 0)
        return true;
    first = last - first >= MOST_MONTHS ? last - MOST_MONTHS + 1 : first;
    overview->months = (size_t)(last - first + 1);
    ll_month *list = ll_arena_array(arena, overview->months, sizeof *list);
    for (size_t m = 0; list && m < overview->months; m++)
        list[m] = (ll_month){(first + (int)m) / 12, (first + (int)m) % 12 + 1, 0, NAN};
    for (size_t i = 0; list && i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        if (!ll_audit_counts(dive) || !dive->dated || month_number(dive->day) < first)
            continue;
        ll_month *month = &list[month_number(dive->day) - first];
        month->dives++;
        month->deepest_m = fmax(month->deepest_m, dive->greatest_m);
    }
    overview->month = list;
    return list != NULL;
}

/* The next dive that counts and has a date, from `from` on; `count` without one. */
static size_t next_dated(const ll_audit *audit, size_t from)
{
    while (from < audit->count && !(ll_audit_counts(&audit->dive[from]) && audit->dive[from].dated))
        from++;
    return from;
}

static bool is_over_a_month(int64_t from, int64_t to)
{
    static const ll_period month = {.months = 1};
    return from < ll_day_before(to, &month);
}

static bool add_gaps(const ll_audit *audit, ll_arena *arena, ll_overview *overview)
{
    ll_gap *gap = ll_arena_array(arena, audit->count + 1, sizeof *gap);
    if (!gap)
        return false;
    for (size_t i = next_dated(audit, 0); i < audit->count;) {
        size_t next = next_dated(audit, i + 1);
        int64_t to = next < audit->count ? audit->dive[next].day : audit->today;
        if (is_over_a_month(audit->dive[i].day, to))
            gap[overview->gaps++] = (ll_gap){audit->dive[i].day, to};
        i = next;
    }
    overview->gap = gap;
    return true;
}

/* --- by depth --------------------------------------------------------------------------------------------------- */

static int band_of(double greatest_m)
{
    int band = 0;
    while (band + 1 < LL_DEPTH_BANDS && greatest_m >= ll_depth_bands_m[band + 1])
        band++;
    return band;
}

static bool is_within_a_year(const ll_audit *audit, const ll_audit_dive *dive)
{
    static const ll_period year = {.years = 1};
    return dive->dated && dive->day >= ll_day_before(audit->today, &year);
}

static void add_bands(const ll_audit *audit, ll_overview *overview)
{
    for (size_t i = 0; i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        if (!ll_audit_counts(dive) || isnan(dive->greatest_m))
            continue;
        int band = band_of(dive->greatest_m);
        overview->band[band]++;
        overview->band_hours[band] += isnan(dive->run_time_s) ? 0 : dive->run_time_s / 3600;
        overview->band_last_year[band] += is_within_a_year(audit, dive);
    }
}

static void find_step(const ll_audit *audit, ll_overview *overview)
{
    double deepest = 0;
    size_t before = 0;
    overview->largest_step = SIZE_MAX;
    for (size_t i = 0; i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        if (!ll_audit_counts(dive) || !dive->dated || isnan(dive->greatest_m))
            continue;
        double step = dive->greatest_m - deepest;
        if (before++ >= FIRST_DIVES && step > overview->largest_step_m) {
            overview->largest_step = i;
            overview->largest_step_m = step;
        }
        deepest = fmax(deepest, dive->greatest_m);
    }
}

/* --- single dives ------------------------------------------------------------------------------------------------- */

static double recent_depth(const ll_audit *audit, const ll_audit_dive *dive)
{
    return is_within_a_year(audit, dive) ? dive->greatest_m : NAN;
}

static double decompression_day(const ll_audit *audit, const ll_audit_dive *dive)
{
    (void)audit;
    return dive->decompression == LL_YES && dive->dated ? (double)dive->day : NAN;
}

static double owed(const ll_audit *audit, const ll_audit_dive *dive)
{
    (void)audit;
    return dive->owed_s > 0 ? dive->owed_s : NAN;
}

static double kept(const ll_audit *audit, const ll_audit_dive *dive)
{
    (void)audit;
    return dive->kept_s > 0 ? dive->kept_s : NAN;
}

/* The latest of the dives with the greatest figure; SIZE_MAX where none has one. */
static size_t greatest(const ll_audit *audit, double (*figure)(const ll_audit *, const ll_audit_dive *))
{
    size_t found = SIZE_MAX;
    double most = -INFINITY;
    for (size_t i = 0; i < audit->count; i++) {
        double here = ll_audit_counts(&audit->dive[i]) ? figure(audit, &audit->dive[i]) : NAN;
        if (here >= most) {
            most = here;
            found = i;
        }
    }
    return found;
}

static void find_most_carried(const ll_audit *audit, ll_overview *overview)
{
    for (size_t i = 0; i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        if (dive->stand.standing != LL_RECORDED)
            continue;
        overview->most_mixes = dive->mixes > overview->most_mixes ? dive->mixes : overview->most_mixes;
        overview->most_stages = dive->stages > overview->most_stages ? dive->stages : overview->most_stages;
    }
}

/* --- conduct ------------------------------------------------------------------------------------------------------ */

static int sampling_class(double interval_s)
{
    if (interval_s >= 20)
        return 3;
    return interval_s > 10 ? 2 : interval_s > 5 ? 1 : 0;
}

static void add_conduct(const ll_audit *audit, ll_overview *overview)
{
    for (size_t i = 0; i < audit->count; i++) {
        const ll_audit_dive *dive = &audit->dive[i];
        if (dive->stand.standing != LL_RECORDED || isnan(dive->interval_s))
            continue;
        ll_conduct_class *class = &overview->conduct[sampling_class(dive->interval_s)];
        class->dives++;
        for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
            class->with[kind] += ll_kind_table[kind].class == LL_CONDUCT && dive->firm_worst[kind] >= LL_AUDIT_FIRM_FROM;
    }
}

bool ll_audit_overview(ll_audit *audit, ll_arena *arena)
{
    ll_overview *overview = &audit->overview;
    add_bands(audit, overview);
    find_step(audit, overview);
    find_most_carried(audit, overview);
    add_conduct(audit, overview);
    overview->deepest_recent = greatest(audit, recent_depth);
    overview->last_decompression = greatest(audit, decompression_day);
    overview->longest_owed = greatest(audit, owed);
    overview->longest_kept = greatest(audit, kept);
    return add_months(audit, arena, overview) && add_gaps(audit, arena, overview);
}
