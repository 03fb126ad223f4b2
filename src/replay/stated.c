/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "replay/stated.h"

#include <math.h>

/* How one figure is compared. Slacks of greatest depth and duration are those by which an audit calls stated and
 * recorded figures contradictory; the others are common practice, no source: recorders average over different times,
 * and thermometers lag. */
typedef struct {
    ll_note_code differs, other_unit;
    double slack, share;   /* allowed: slack + share of the sampled value */
    double factor[2];      /* between units in use for it; NaN: none */
    double factor_share;   /* how near the ratio must come */
    double stated, sampled;
    double also;           /* another reading of the samples that may agree; NaN: none */
} figure;

static double lowest_temperature(const ll_dive *dive)
{
    double lowest = NAN;
    for (size_t i = 0; dive->temperature_c && i < dive->count; i++)
        if (!(dive->temperature_c[i] >= lowest))
            lowest = isnan(dive->temperature_c[i]) ? lowest : dive->temperature_c[i];
    return lowest;
}

/* True where one is missing too. */
static bool agree(const figure *of, double sampled)
{
    return !(fabs(of->stated - sampled) > of->slack + of->share * fabs(sampled));
}

/* A unit other than meant puts a factor between the two, in either direction; NaN if there is none. */
static double unit_factor(const figure *of)
{
    double ratio = of->stated > of->sampled ? of->stated / of->sampled : of->sampled / of->stated;
    for (int i = 0; i < 2; i++)
        if (fabs(ratio / of->factor[i] - 1) <= of->factor_share)
            return of->factor[i];
    return NAN;
}

size_t ll_stated_disagreements(const ll_profile *profile, ll_disagreement found[LL_STATED_FIGURES])
{
    const ll_dive *dive = profile->dive;
    double run_time_s = profile->has_run_time ? profile->run_time_s : NAN;
    const figure figures[LL_STATED_FIGURES] = {
        /* feet and metres; decimetres, or a pressure in bar, and metres */
        {LL_NOTE_STATED_DEPTH, LL_NOTE_DEPTH_UNIT, 1, 0.05, {3.28, 10}, 0.05, dive->stated_greatest_m,
         profile->greatest_m, NAN},
        {LL_NOTE_STATED_DURATION, LL_NOTE_TIME_UNIT, 300, 0.1, {60, NAN}, 0.1, dive->stated_duration_s,
         profile->record_s, run_time_s},
        {LL_NOTE_STATED_AVERAGE, LL_NOTE_STATED_AVERAGE, 2, 0.1, {NAN, NAN}, 0, dive->stated_average_m,
         profile->mean_m, NAN},
        {LL_NOTE_STATED_LOWEST, LL_NOTE_STATED_LOWEST, 2, 0, {NAN, NAN}, 0, dive->stated_lowest_c,
         lowest_temperature(dive), NAN},
    };
    size_t count = 0;
    for (int i = 0; i < LL_STATED_FIGURES; i++) {
        const figure *of = &figures[i];
        if (agree(of, of->sampled) || (!isnan(of->also) && agree(of, of->also)))
            continue;
        double factor = unit_factor(of);
        ll_note_code code = isnan(factor) ? of->differs : of->other_unit;
        found[count++] = (ll_disagreement){code, of->stated, of->sampled, factor};
    }
    return count;
}
