/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recorded pressures of a tank as a curve over time, and the time in which a mix was breathed. */
#include <math.h>

#include "assess/gas_parts.h"
#include "base/units.h"
#include "model/compressibility.h"

static double kelvin_at(const ll_dive *dive, size_t sample)
{
    double celsius = dive->temperature_c ? dive->temperature_c[sample] : NAN;
    return isnan(celsius) ? LL_TANK_TEMPERATURE_K : celsius + LL_KELVIN_AT_0_C;
}

/* Readings [first, end) of a series: from the last one up to the leaving to the first one from the surfacing on. */
static void find_bounds(const ll_profile *profile, const ll_series *series, size_t *first, size_t *end)
{
    *first = 0;
    *end = series->count;
    while (*first + 1 < *end && series->sample[*first + 1] <= profile->leaving)
        ++*first;
    while (*end > *first + 1 && series->sample[*end - 2] >= profile->surfacing)
        --*end;
}

static bool take_series(const ll_profile *profile, const ll_series *series, ll_arena *arena, ll_gas_curve *curve)
{
    size_t first, end;
    find_bounds(profile, series, &first, &end);
    size_t count = end - first;
    if (count < 2) /* all of them before the dive, or all after it */
        return true;
    double *time_s = ll_arena_array(arena, count, sizeof *time_s);
    double *bar = ll_arena_array(arena, count, sizeof *bar), *kelvin = ll_arena_array(arena, count, sizeof *kelvin);
    if (!time_s || !bar || !kelvin)
        return false;
    for (size_t i = 0; i < count; i++) {
        size_t sample = series->sample[first + i];
        time_s[i] = profile->time_s[sample];
        bar[i] = series->value[first + i];
        kelvin[i] = kelvin_at(profile->dive, sample);
    }
    *curve = (ll_gas_curve){true, count, time_s, bar, kelvin};
    return true;
}

static bool take_stated(const ll_profile *profile, const ll_tank_use *stated, ll_arena *arena, ll_gas_curve *curve)
{
    enum { BEGIN, END, BOTH };
    double *values = ll_arena_array(arena, 3 * BOTH, sizeof *values);
    if (!values)
        return false;
    double *bar = values + BOTH, *kelvin = values + 2 * BOTH;
    values[BEGIN] = profile->time_s[profile->leaving];
    values[END] = profile->time_s[profile->surfacing];
    bar[BEGIN] = stated->begin_bar;
    bar[END] = stated->end_bar;
    kelvin[BEGIN] = kelvin[END] = LL_TANK_TEMPERATURE_K;
    *curve = (ll_gas_curve){false, BOTH, values, bar, kelvin};
    return true;
}

bool ll_gas_curve_make(const ll_profile *profile, const ll_series *series, const ll_tank_use *stated, ll_arena *arena,
                       ll_gas_curve *curve)
{
    *curve = (ll_gas_curve){0};
    if (series && series->count >= 2 && !take_series(profile, series, arena, curve))
        return false;
    if (curve->count == 0 && stated && !isnan(stated->begin_bar) && !isnan(stated->end_bar))
        return take_stated(profile, stated, arena, curve);
    return true;
}

/* The reading at or before an instant within the curve, but never the last one. */
static size_t reading_before(const ll_gas_curve *curve, double time_s)
{
    size_t low = 0, high = curve->count - 1;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (curve->time_s[middle] <= time_s)
            low = middle;
        else
            high = middle;
    }
    return low;
}

ll_gas_left ll_gas_left_at(const ll_profile *profile, const ll_gas_source *source, double time_s)
{
    const ll_gas_curve *curve = &source->curve;
    ll_gas_left left = {NAN, NAN};
    if (curve->count == 0 || !(time_s >= curve->time_s[0] && time_s <= curve->time_s[curve->count - 1]))
        return left;
    size_t i = reading_before(curve, time_s);
    double share = (time_s - curve->time_s[i]) / (curve->time_s[i + 1] - curve->time_s[i]);
    left.bar = curve->bar[i] + (curve->bar[i + 1] - curve->bar[i]) * share;
    double kelvin = curve->kelvin[i] + (curve->kelvin[i + 1] - curve->kelvin[i]) * share;
    if (source->gas)
        left.content_l = ll_tank_content_l(source->volume_l, source->gas->o2_fraction, source->gas->he_fraction,
                                           left.bar + profile->surface_bar, kelvin);
    return left;
}

/* The part of one interval between samples that lies between two instants. */
static void add_interval(ll_gas_breathed *sum, const ll_profile *profile, size_t i, double from_s, double to_s)
{
    double begin = profile->time_s[i], seconds = profile->time_s[i + 1] - begin;
    double from = fmax(from_s - begin, 0) / seconds, to = fmin(to_s - begin, seconds) / seconds;
    if (!(to > from))
        return;
    double rise_m = profile->depth_m[i + 1] - profile->depth_m[i];
    double middle_m = profile->depth_m[i] + rise_m * (from + to) / 2;
    double minutes = (to - from) * seconds / 60;
    sum->minutes += minutes;
    sum->bar_min += ll_ambient_bar(profile, middle_m) * minutes;
}

/* The first interval of [first, end) that ends after an instant. */
static size_t interval_at(const ll_profile *profile, size_t first, size_t end, double time_s)
{
    while (first < end) {
        size_t middle = first + (end - first) / 2;
        if (profile->time_s[middle + 1] <= time_s)
            first = middle + 1;
        else
            end = middle;
    }
    return first;
}

ll_gas_breathed ll_gas_breathed_between(const ll_profile *profile, int mix, double from_s, double to_s)
{
    ll_gas_breathed sum = {0, 0, false};
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        size_t first = gas->first > profile->leaving ? gas->first : profile->leaving;
        size_t end = gas->end < profile->surfacing ? gas->end : profile->surfacing;
        if (gas->mix != mix || first >= end)
            continue;
        if (gas->loop) {
            sum.loop = sum.loop || (profile->time_s[first] < to_s && profile->time_s[end] > from_s);
            continue;
        }
        for (size_t i = interval_at(profile, first, end, from_s); i < end && profile->time_s[i] < to_s; i++)
            add_interval(&sum, profile, i, from_s, to_s);
    }
    return sum;
}
