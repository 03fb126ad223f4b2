/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tank pressures against the mix that the record names (practice, no source). */
#include <math.h>

#include "assess/switches.h"
#include "base/number.h"

#define FALL_BAR 5.0
#define FALL_S 120.0
#define STANDS_BAR 1.0
#define LAG_S 60.0 /* of the link from a tank to the recorder */

enum { MOST_TANKS = 32 }; /* beyond so many nothing is looked at */

static int mix_of(const ll_dive *dive, const ll_series *tank)
{
    return tank->tank_use == LL_NONE ? LL_NONE : dive->tank_use[tank->tank_use].mix;
}

/* Linear between readings; NaN before the first and after the last. */
static double pressure_at(const ll_profile *profile, const ll_series *tank, double time_s)
{
    const double *time = profile->time_s;
    size_t low = 0, high = tank->count;
    while (low < high) { /* the first reading at or after time_s */
        size_t middle = low + (high - low) / 2;
        if (time[tank->sample[middle]] < time_s)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == tank->count || (low == 0 && time[tank->sample[0]] > time_s))
        return NAN;
    if (low == 0)
        return tank->value[0];
    double before = time[tank->sample[low - 1]], share = (time_s - before) / (time[tank->sample[low]] - before);
    return tank->value[low - 1] + share * (tank->value[low] - tank->value[low - 1]);
}

static bool has_readings(const ll_dive *dive, int use)
{
    for (size_t i = 0; i < dive->tank_pressures; i++)
        if (dive->tank_pressure[i].tank_use == use && dive->tank_pressure[i].count > 1)
            return true;
    return false;
}

/* Every tank of a mix has readings, and there is one. */
static bool is_read(const ll_dive *dive, int mix)
{
    bool any = false;
    for (size_t u = 0; mix != LL_MIX_UNKNOWN && u < dive->tank_uses; u++) {
        if (dive->tank_use[u].mix != mix)
            continue;
        if (!has_readings(dive, (int)u))
            return false;
        any = true;
    }
    return any;
}

/* Whether each tank of a mix falls by no more than 1 bar between two instants; false where one is not known. */
static bool stands(const ll_profile *profile, int mix, double from_s, double to_s)
{
    const ll_dive *dive = profile->dive;
    for (size_t i = 0; i < dive->tank_pressures; i++) {
        const ll_series *tank = &dive->tank_pressure[i];
        if (mix_of(dive, tank) != mix)
            continue;
        double fall = pressure_at(profile, tank, from_s) - pressure_at(profile, tank, to_s);
        if (!(fall <= STANDS_BAR))
            return false;
    }
    return true;
}

/* --- along one tank --------------------------------------------------------------------------------------------------- */

typedef struct fall {
    size_t span;           /* breathed by the record */
    double from_s, from_bar;
    double to_s, to_bar;
} fall;

typedef struct doubter {
    const ll_profile *profile;
    const ll_series *tank;
    ll_arena *arena;
    ll_notes *notes;
} doubter;

static bool tell(const doubter *d, const fall *f)
{
    const ll_profile *profile = d->profile;
    if (f->to_s - f->from_s < FALL_S || f->from_bar - f->to_bar < FALL_BAR)
        return true;
    char from[LL_PRINTED], to[LL_PRINTED], bar[LL_PRINTED];
    ll_tenths_print(from, f->from_s);
    ll_tenths_print(to, f->to_s);
    ll_tenths_print(bar, f->from_bar - f->to_bar);
    const ll_mix *mixes = profile->log->mix;
    const char *said = mixes[profile->breathed[f->span].mix].label;
    const char *suggested = mixes[mix_of(profile->dive, d->tank)].label;
    return ll_note_add(d->notes, d->arena, LL_NOTE_PRESSURES_SUGGEST, profile->dive->line, said, suggested, from, to, bar,
                       said);
}

/* Another mix than the tank's own is breathed on open circuit there, its tanks are read, and the link has had its time. */
static bool is_elsewhere(const doubter *d, size_t span, double time_s)
{
    const ll_profile *profile = d->profile;
    const ll_breathed *gas = &profile->breathed[span];
    int own = mix_of(profile->dive, d->tank);
    return gas->known && !gas->loop && gas->mix != own && is_read(profile->dive, gas->mix) &&
           time_s >= profile->time_s[gas->first] + LAG_S;
}

/* What was followed so far ends; anew from its last reading where the tanks in use have stood since, else from this one. */
static fall begin(const doubter *d, const fall *before, size_t span, bool within, double now_s, double bar)
{
    fall next = {span, within ? now_s : NAN, bar, now_s, bar};
    bool joins = within && before->span == span && !isnan(before->from_s);
    if (joins && stands(d->profile, d->profile->breathed[span].mix, before->to_s, now_s)) {
        next.from_s = before->to_s;
        next.from_bar = before->to_bar;
    }
    return next;
}

static bool follow(const doubter *d)
{
    const ll_profile *profile = d->profile;
    fall f = {.from_s = NAN};
    size_t span = 0;
    bool fine = true;
    for (size_t i = 0; fine && i < d->tank->count; i++) {
        const size_t sample = d->tank->sample[i];
        const double now = profile->time_s[sample], bar = d->tank->value[i];
        while (profile->breathed[span].end < sample) /* up to the instant of a switch the old mix counts */
            span++;
        bool within = sample >= profile->leaving && sample <= profile->surfacing && is_elsewhere(d, span, now);
        if (within && f.span == span && stands(profile, profile->breathed[span].mix, f.from_s, now)) {
            f.to_s = now;
            f.to_bar = bar;
        } else {
            fine = isnan(f.from_s) || tell(d, &f);
            f = begin(d, &f, span, within, now, bar);
        }
    }
    return fine && (isnan(f.from_s) || tell(d, &f));
}

bool ll_switches_doubt(const ll_profile *profile, ll_arena *arena, ll_notes *notes)
{
    const ll_dive *dive = profile->dive;
    if (!profile->has_run_time || dive->tank_pressures < 2 || dive->tank_pressures > MOST_TANKS)
        return true;
    bool fine = true;
    for (size_t i = 0; fine && i < dive->tank_pressures; i++) {
        const doubter d = {profile, &dive->tank_pressure[i], arena, notes};
        int own = mix_of(dive, d.tank);
        if (own != LL_NONE && profile->log->mix[own].usable)
            fine = follow(&d);
    }
    return fine;
}
