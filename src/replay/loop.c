/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/loop.h"

#include <math.h>

static double median(double *values, size_t count)
{
    for (size_t i = 1; i < count; i++)
        for (size_t j = i; j > 0 && values[j] < values[j - 1]; j--) {
            double swapped = values[j];
            values[j] = values[j - 1];
            values[j - 1] = swapped;
        }
    return count % 2 ? values[count / 2] : (values[count / 2 - 1] + values[count / 2]) / 2;
}

static double *missing_column(const ll_profile *profile, ll_arena *arena)
{
    double *column = ll_arena_array(arena, profile->count, sizeof *column);
    for (size_t i = 0; column && i < profile->count; i++)
        column[i] = NAN;
    return column;
}

/* Joins readings inside samples [first, end): each sample between two readings lies on the line between them. */
static void join(const double *time_s, double *column, size_t first, size_t end)
{
    size_t before = end;
    for (size_t i = first; i < end; i++) {
        if (isnan(column[i]))
            continue;
        for (size_t between = before + 1; before < end && between < i; between++) {
            double share = (time_s[between] - time_s[before]) / (time_s[i] - time_s[before]);
            column[between] = column[before] + (column[i] - column[before]) * share;
        }
        before = i;
    }
}

/* Drops readings off the loop and joins those of each stretch of consecutive loop spans. */
static void join_stretches(const ll_profile *profile, double *column)
{
    for (size_t s = 0; s < profile->breathed_count;) {
        bool loop = profile->breathed[s].loop;
        size_t first = profile->breathed[s].first;
        while (s < profile->breathed_count && profile->breathed[s].loop == loop)
            s++;
        size_t end = profile->breathed[s - 1].end;
        if (loop)
            join(profile->time_s, column, first, end);
        for (size_t i = first; !loop && i < end; i++)
            column[i] = NAN;
    }
}

static void take_sensors(const ll_dive *dive, size_t *next, double *readings, double *column)
{
    for (size_t i = 0; i < dive->count; i++) {
        size_t count = 0;
        for (size_t s = 0; s < dive->measured_po2s; s++) {
            const ll_series *series = &dive->measured_po2[s];
            if (next[s] < series->count && series->sample[next[s]] == i)
                readings[count++] = series->value[next[s]++];
        }
        if (count)
            column[i] = median(readings, count);
    }
}

static bool measured(ll_profile *profile, ll_arena *arena)
{
    const ll_dive *dive = profile->dive;
    if (dive->measured_po2s == 0)
        return true;
    double *column = missing_column(profile, arena);
    size_t *next = ll_arena_array(arena, dive->measured_po2s, sizeof *next);
    double *readings = ll_arena_array(arena, dive->measured_po2s, sizeof *readings);
    if (!column || !next || !readings)
        return false;
    take_sensors(dive, next, readings, column);
    join_stretches(profile, column);
    profile->measured_bar = column;
    return true;
}

static bool calculated(ll_profile *profile, ll_arena *arena)
{
    const ll_series *series = &profile->dive->calculated_po2;
    if (series->count == 0)
        return true;
    double *column = missing_column(profile, arena);
    if (!column)
        return false;
    for (size_t i = 0; i < series->count; i++)
        column[series->sample[i]] = series->value[i];
    join_stretches(profile, column);
    profile->calculated_bar = column;
    return true;
}

bool ll_loop_readings(ll_profile *profile, ll_arena *arena)
{
    profile->measured_bar = profile->calculated_bar = NULL;
    bool any = false;
    for (size_t s = 0; s < profile->breathed_count; s++)
        any = any || profile->breathed[s].loop;
    return !any || (measured(profile, arena) && calculated(profile, arena));
}
