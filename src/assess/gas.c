/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/gas.h"

#include <math.h>

#include "assess/gas_parts.h"
#include "model/compressibility.h"

/* All that is being put together. */
typedef struct maker {
    const ll_profile *profile;
    ll_arena *arena;
    size_t count;
    ll_gas_source *source;
    ll_gas_tank *tank;
    size_t instants;
    ll_gas_instant *instant;
} maker;

/* --- tanks ---------------------------------------------------------------------------------------------------- */

static const ll_series *series_of(const ll_dive *dive, int use)
{
    for (size_t i = 0; i < dive->tank_pressures; i++)
        if (dive->tank_pressure[i].tank_use == use)
            return &dive->tank_pressure[i];
    return NULL;
}

static bool add_tank(maker *m, const char *name, int mix, double volume_l, const ll_series *series,
                     const ll_tank_use *stated)
{
    const ll_log *log = m->profile->log;
    bool known = mix != LL_NONE && log->mix[mix].usable;
    m->source[m->count] = (ll_gas_source){known ? &log->mix[mix] : NULL, mix, volume_l, {0}};
    m->tank[m->count] = (ll_gas_tank){.name = name, .mix = mix, .volume_l = volume_l};
    return ll_gas_curve_make(m->profile, series, stated, m->arena, &m->source[m->count++].curve);
}

/* The tanks that the log links to the dive, then pressures that belong to none of them. */
static bool add_tanks(maker *m)
{
    const ll_dive *dive = m->profile->dive;
    size_t most = dive->tank_uses + dive->tank_pressures;
    m->source = ll_arena_array(m->arena, most, sizeof *m->source);
    m->tank = ll_arena_array(m->arena, most, sizeof *m->tank);
    bool fine = m->source && m->tank;
    for (size_t i = 0; fine && i < dive->tank_uses; i++) {
        const ll_tank_use *use = &dive->tank_use[i];
        fine = add_tank(m, ll_tank_use_name(m->profile->log, use), use->mix, use->volume_l, series_of(dive, (int)i), use);
    }
    for (size_t i = 0; fine && i < dive->tank_pressures; i++) {
        const ll_series *series = &dive->tank_pressure[i];
        if (series->tank_use == LL_NONE)
            fine = add_tank(m, series->ref, LL_NONE, NAN, series, NULL);
    }
    return fine;
}

/* --- use of each tank ----------------------------------------------------------------------------------------- */

/* What a tank gave between two instants; NaN where its readings do not reach. */
static double used_between(const maker *m, size_t tank, double from_s, double to_s)
{
    return ll_gas_left_at(m->profile, &m->source[tank], from_s).content_l -
           ll_gas_left_at(m->profile, &m->source[tank], to_s).content_l;
}

static ll_gas_remark remark_of(const ll_gas_source *source)
{
    if (source->curve.count == 0)
        return LL_GAS_NO_PRESSURE;
    if (!source->gas)
        return LL_GAS_NO_MIX;
    return isnan(source->volume_l) ? LL_GAS_NO_VOLUME : LL_GAS_PLAIN;
}

static void put_ends(maker *m, size_t i)
{
    ll_gas_tank *tank = &m->tank[i];
    const ll_gas_curve *curve = &m->source[i].curve;
    tank->remark = remark_of(&m->source[i]);
    tank->start_s = tank->end_s = tank->start_bar = tank->end_bar = tank->used_l = NAN;
    tank->rmv_l_min = tank->mean_bar = tank->breathed_min = NAN;
    tank->bottom = tank->ascent = (ll_gas_phase){NAN, NAN, NAN, NAN};
    tank->recorded = curve->recorded;
    if (curve->count == 0)
        return;
    tank->start_s = curve->time_s[0];
    tank->end_s = curve->time_s[curve->count - 1];
    tank->start_bar = curve->bar[0];
    tank->end_bar = curve->bar[curve->count - 1];
    tank->used_l = used_between(m, i, tank->start_s, tank->end_s);
}

static void put_phase(maker *m, size_t i, ll_gas_phase *phase, size_t from, size_t to)
{
    const ll_gas_tank *tank = &m->tank[i];
    double from_s = fmax(m->profile->time_s[from], tank->start_s), to_s = fmin(m->profile->time_s[to], tank->end_s);
    if (tank->recorded && to_s > from_s)
        *phase = (ll_gas_phase){from_s, to_s, used_between(m, i, from_s, to_s), NAN};
}

/* --- rates: of a mix, since tanks of one mix cannot be told apart ----------------------------------------------- */

/* The tanks of one mix taken together, over all of the readings or one phase of them. */
typedef struct together {
    size_t tanks;
    double from_s, to_s, used_l; /* NaN if one is not known */
} together;

static void join(together *sum, double from_s, double to_s, double used_l)
{
    sum->from_s = sum->tanks ? fmin(sum->from_s, from_s) : from_s;
    sum->to_s = sum->tanks ? fmax(sum->to_s, to_s) : to_s;
    sum->used_l += used_l;
    sum->tanks++;
}

typedef enum part { WHOLE, BOTTOM, ASCENT } part;

static together join_mix(const maker *m, int mix, part of)
{
    together sum = {0};
    for (size_t i = 0; i < m->count; i++) {
        const ll_gas_tank *tank = &m->tank[i];
        const ll_gas_phase *phase = of == BOTTOM ? &tank->bottom : &tank->ascent;
        if (tank->mix != mix)
            continue;
        if (of == WHOLE)
            join(&sum, tank->start_s, tank->end_s, tank->used_l);
        else
            join(&sum, phase->from_s, phase->to_s, phase->used_l);
    }
    return sum;
}

static double rate_of(const maker *m, int mix, part of)
{
    together sum = join_mix(m, mix, of);
    ll_gas_breathed breathed = ll_gas_breathed_between(m->profile, mix, sum.from_s, sum.to_s);
    return breathed.loop || !(sum.used_l >= 0) ? NAN : ll_rmv_l_min(sum.used_l, breathed.bar_min);
}

static ll_gas_remark remark_on_rate(const together *sum, const ll_gas_breathed *breathed)
{
    if (isnan(sum->used_l))
        return LL_GAS_SHARED_UNKNOWN;
    if (breathed->loop)
        return LL_GAS_LOOP;
    if (!(breathed->bar_min > 0))
        return LL_GAS_NOT_BREATHED;
    if (sum->used_l < 0)
        return LL_GAS_ROSE;
    return sum->tanks > 1 ? LL_GAS_SHARED : LL_GAS_PLAIN;
}

static void put_rates(maker *m, ll_gas_tank *tank)
{
    if (tank->remark != LL_GAS_PLAIN)
        return;
    together sum = join_mix(m, tank->mix, WHOLE);
    ll_gas_breathed breathed = ll_gas_breathed_between(m->profile, tank->mix, sum.from_s, sum.to_s);
    tank->remark = remark_on_rate(&sum, &breathed);
    tank->rmv_l_min = rate_of(m, tank->mix, WHOLE);
    tank->bottom.rmv_l_min = rate_of(m, tank->mix, BOTTOM);
    tank->ascent.rmv_l_min = rate_of(m, tank->mix, ASCENT);
    if (!isnan(sum.used_l) && breathed.minutes > 0) {
        tank->breathed_min = breathed.minutes;
        tank->mean_bar = breathed.bar_min / breathed.minutes;
    }
}

static void put_use(maker *m)
{
    const ll_profile *profile = m->profile;
    for (size_t i = 0; i < m->count; i++) {
        put_ends(m, i);
        put_phase(m, i, &m->tank[i].bottom, profile->leaving, profile->bottom_end);
        put_phase(m, i, &m->tank[i].ascent, profile->ascent_start, profile->surfacing);
    }
    for (size_t i = 0; i < m->count; i++)
        put_rates(m, &m->tank[i]);
}

/* --- what was left when ----------------------------------------------------------------------------------------- */

static void add_instant(maker *m, ll_gas_moment moment, size_t sample, int mix)
{
    m->instant[m->instants++] = (ll_gas_instant){moment, m->profile->time_s[sample], m->profile->depth_m[sample], mix};
}

/* The start of the ascent stands before a switch at the same sample. */
static void add_instants(maker *m)
{
    const ll_profile *profile = m->profile;
    bool ascending = false;
    for (size_t s = 0; s < profile->breathed_count; s++) {
        const ll_breathed *gas = &profile->breathed[s];
        if (s > 0 && !ascending && gas->first >= profile->ascent_start) {
            add_instant(m, LL_AT_ASCENT_START, profile->ascent_start, gas[-1].mix);
            ascending = true;
        }
        if (s > 0 && gas->mix != gas[-1].mix && gas->first > profile->leaving && gas->first < profile->surfacing)
            add_instant(m, LL_AT_SWITCH, gas->first, gas->mix);
    }
    int last = profile->breathed[profile->breathed_count - 1].mix;
    if (!ascending)
        add_instant(m, LL_AT_ASCENT_START, profile->ascent_start, last);
    if (profile->has_surfacing)
        add_instant(m, LL_AT_SURFACING, profile->surfacing, last);
}

static bool put_left(maker *m)
{
    m->instant = ll_arena_array(m->arena, m->profile->breathed_count + 2, sizeof *m->instant);
    if (!m->instant)
        return false;
    add_instants(m);
    for (size_t i = 0; i < m->count; i++) {
        ll_gas_left *left = ll_arena_array(m->arena, m->instants, sizeof *left);
        if (!left)
            return false;
        for (size_t k = 0; k < m->instants; k++)
            left[k] = m->tank[i].recorded ? ll_gas_left_at(m->profile, &m->source[i], m->instant[k].time_s)
                                          : (ll_gas_left){NAN, NAN};
        m->tank[i].left = left;
    }
    return true;
}

ll_status ll_gas_use_make(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                          ll_arena *arena, ll_notes *notes, ll_gas_use *use, ll_error *error)
{
    maker m = {.profile = profile, .arena = arena};
    *use = (ll_gas_use){0};
    if (!profile->has_run_time || profile->dive->tank_uses + profile->dive->tank_pressures == 0)
        return LL_OK;
    if (!add_tanks(&m))
        return ll_fail_memory(error);
    put_use(&m);
    if (!put_left(&m) || !ll_gas_notes(profile, m.source, m.tank, m.count, arena, notes) ||
        !ll_gas_margin_make(profile, settings, start, m.source, m.count, arena, &use->margin))
        return ll_fail_memory(error);
    use->tanks = m.count;
    use->tank = m.tank;
    use->instants = m.instants;
    use->instant = m.instant;
    return LL_OK;
}
