/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is put side by side: one table, which text, JSON, CSV and the page walk. */
#include <math.h>
#include <stdlib.h>

#include "assess/review_parts.h"

#define M_PER_BAR 10.0
#define STOPS_APART_M 3.0
enum { DIFFERENCES_SHOWN = 5 };

const double ll_rate_bands_m[LL_RATE_BANDS + 1] = {0, 6, 21, INFINITY};

/* --- a diver's own figures ---------------------------------------------------------------------------------------- */

static double seconds_between(const ll_profile *profile, size_t from, size_t to)
{
    return profile->has_run_time ? profile->time_s[to] - profile->time_s[from] : NAN;
}

static void find_rates(ll_diver *diver)
{
    const ll_debrief *debrief = &diver->debrief;
    const ll_profile *profile = &debrief->profile;
    for (int band = 0; band < LL_RATE_BANDS; band++) {
        diver->rate_m_min[band] = NAN;
        for (size_t i = profile->leaving; i <= profile->surfacing; i++)
            if (profile->depth_m[i] >= ll_rate_bands_m[band] && profile->depth_m[i] < ll_rate_bands_m[band + 1])
                diver->rate_m_min[band] = fmax(diver->rate_m_min[band], debrief->track.column[LL_ASCENT_RATE][i]);
    }
}

static void find_stops(ll_diver *diver)
{
    const ll_levels *levels = &diver->debrief.levels;
    double length_s = 0, off = 0, square = 0;
    for (size_t i = 0; i < levels->count; i++) {
        const ll_level *level = &levels->level[i];
        const double own_s = level->to_s - level->from_s;
        length_s += own_s;
        off += own_s * fabs(level->mean_m - STOPS_APART_M * round(level->mean_m / STOPS_APART_M));
        square += own_s * level->spread_m * level->spread_m;
    }
    const bool any = length_s > 0;
    diver->stops = (ll_stop_keeping){levels->count, any ? off / length_s : NAN, any ? sqrt(square / length_s) : NAN};
    diver->stay_s = length_s;
}

/* Pressure minutes of a tank's mix, once for tanks of one mix. */
static double bar_minutes(const ll_gas_use *gas, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (gas->tank[i].mix == gas->tank[index].mix && !isnan(gas->tank[i].rmv_l_min))
            return 0;
    return gas->tank[index].mean_bar * gas->tank[index].breathed_min;
}

static void find_gas(ll_diver *diver)
{
    const ll_gas_use *gas = &diver->debrief.gas;
    double used_l = 0, breathed_l = 0, minutes = 0;
    bool any = false;
    for (size_t i = 0; i < gas->tanks; i++) {
        const ll_gas_tank *tank = &gas->tank[i];
        any |= !isnan(tank->used_l);
        used_l += isnan(tank->used_l) ? 0 : tank->used_l;
        if (!isnan(tank->rmv_l_min) && !isnan(tank->used_l)) {
            breathed_l += tank->used_l;
            minutes += bar_minutes(gas, i);
        }
    }
    diver->used_l = any ? used_l : NAN;
    diver->rmv_l_min = minutes > 0 ? breathed_l / minutes : NAN;
    diver->least_margin_l = gas->margin.known > 0 ? gas->margin.minute[gas->margin.least].margin_l : NAN;
}

void ll_review_rows(ll_diver *diver)
{
    const ll_profile *profile = &diver->debrief.profile;
    diver->bottom_s = seconds_between(profile, profile->leaving, profile->bottom_end);
    diver->ascent_s = profile->has_surfacing ? seconds_between(profile, profile->ascent_start, profile->surfacing) : NAN;
    find_rates(diver);
    find_stops(diver);
    find_gas(diver);
}

/* --- the table ------------------------------------------------------------------------------------------------------ */

static double greatest_depth(const ll_diver *d)
{
    return d->debrief.profile.greatest_m * d->debrief.profile.bar_per_m * M_PER_BAR;
}

static double run_time(const ll_diver *d)
{
    return d->debrief.profile.run_time_s;
}

static double bottom(const ll_diver *d)
{
    return d->bottom_s;
}

static double ascent(const ll_diver *d)
{
    return d->ascent_s;
}

static double owed(const ll_diver *d)
{
    return d->debrief.decompression_known ? d->debrief.owed_s : NAN;
}

static double stay(const ll_diver *d)
{
    return d->stay_s;
}

static double stops_off(const ll_diver *d)
{
    return d->stops.mean_off_m;
}

static double stops_spread(const ll_diver *d)
{
    return d->stops.spread_m;
}

static double rate_shallow(const ll_diver *d)
{
    return d->rate_m_min[0];
}

static double rate_middle(const ll_diver *d)
{
    return d->rate_m_min[1];
}

static double rate_deep(const ll_diver *d)
{
    return d->rate_m_min[2];
}

static double po2(const ll_diver *d)
{
    return d->debrief.peak[LL_PO2].value;
}

static double end_n2(const ll_diver *d)
{
    return d->debrief.peak[LL_END_N2].value;
}

static double end_n2o2(const ll_diver *d)
{
    return d->debrief.peak[LL_END_N2O2].value;
}

static double density(const ll_diver *d)
{
    return d->debrief.peak[LL_DENSITY].value;
}

static double gradient(const ll_diver *d)
{
    return d->debrief.surfacing.known ? d->debrief.surfacing.gradient_percent : NAN;
}

static double cns(const ll_diver *d)
{
    return d->debrief.cns_end_percent;
}

static double used(const ll_diver *d)
{
    return d->used_l;
}

static double rmv(const ll_diver *d)
{
    return d->rmv_l_min;
}

static double margin(const ll_diver *d)
{
    return d->least_margin_l;
}

const ll_compared ll_compared_table[] = {
    {"greatest_depth_m", "greatest depth", "m", 1, 1.0, greatest_depth},
    {"run_time_s", "run time", "s", 0, 60, run_time},
    {"bottom_time_s", "bottom time", "s", 0, 60, bottom},
    {"ascent_time_s", "ascent, in all", "s", 0, 60, ascent},
    {"owed_s", "stops owed", "s", 0, 120, owed},
    {"kept_s", "time at levels", "s", 0, 120, stay},
    {"stops_off_m", "levels off {3} steps", "m", 2, 0.3, stops_off},
    {"stops_spread_m", "spread at levels", "m", 2, 0.2, stops_spread},
    {"rate_below_21_m_min", "fastest below {21}", "m/min", 1, 3, rate_deep},
    {"rate_21_to_6_m_min", "fastest {21} to {6}", "m/min", 1, 3, rate_middle},
    {"rate_above_6_m_min", "fastest above {6}", "m/min", 1, 3, rate_shallow},
    {"po2_atm", "greatest PO2", "atm", 2, 0.05, po2},
    {"end_n2_m", "greatest END (N2)", "m", 1, 2, end_n2},
    {"end_n2o2_m", "greatest END (N2+O2)", "m", 1, 2, end_n2o2},
    {"density_g_l", "greatest density", "g/L", 1, 0.3, density},
    {"surfacing_gradient_percent", "gradient, surfacing", "percent", 0, 5, gradient},
    {"cns_percent", "CNS at the end", "percent", 0, 5, cns},
    {"gas_used_l", "gas used", "L", 0, 300, used},
    {"rmv_l_min", "RMV", "L/min", 1, 3, rmv},
    {"least_margin_l", "least gas margin", "L", 0, 300, margin},
};
const size_t ll_compared_count = sizeof ll_compared_table / sizeof *ll_compared_table;

/* --- what differs most ---------------------------------------------------------------------------------------------- */

static double telling(const ll_difference *difference)
{
    return (difference->greatest_value - difference->least_value) / ll_compared_table[difference->compared].telling;
}

static int by_telling(const void *left, const void *right)
{
    const ll_difference *a = left, *b = right;
    const double of_a = telling(a), of_b = telling(b);
    if (of_a != of_b)
        return of_a > of_b ? -1 : 1;
    return (a->compared > b->compared) - (a->compared < b->compared);
}

/* False where fewer than two students have a value, or they lie close together. */
static bool differ(const ll_review *review, size_t compared, ll_difference *difference)
{
    *difference = (ll_difference){compared, SIZE_MAX, SIZE_MAX, INFINITY, -INFINITY};
    for (size_t i = 0; i < review->count; i++) {
        if (!ll_is_student(&review->diver[i]))
            continue;
        const double value = ll_compared_table[compared].value(&review->diver[i]);
        if (value < difference->least_value)
            difference->least = i, difference->least_value = value;
        if (value > difference->greatest_value)
            difference->greatest = i, difference->greatest_value = value;
    }
    return difference->least != difference->greatest && telling(difference) >= 1;
}

bool ll_review_differences(ll_review *review)
{
    ll_difference *list = ll_arena_array(review->arena, ll_compared_count, sizeof *list);
    review->difference = list;
    for (size_t i = 0; list && i < ll_compared_count; i++)
        review->differences += differ(review, i, &list[review->differences]);
    if (list)
        qsort(list, review->differences, sizeof *list, by_telling);
    if (review->differences > DIFFERENCES_SHOWN)
        review->differences = DIFFERENCES_SHOWN;
    return list != NULL;
}
