/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gas margin afterwards. Common practice, no source: two divers, one minute at depth to sort things out, then up by the
 * replay's own schedule from the tissues of that instant, to where the next mix is to be had, else to the surface. */
#include <math.h>

#include "assess/gas_parts.h"
#include "base/units.h"
#include "replay/instants.h"
#include "replay/visit.h"

#define MINUTE_S 60.0
#define HIGHEST_PO2_ATM 1.62 /* as in the time to surface */

typedef struct margins {
    const ll_profile *profile;
    const ll_gas_source *sources;
    size_t tanks;
    double rmv_l_min;
    size_t *sample;
    ll_gas_minute *minute;
    size_t count;
    ll_gas_minute *now; /* whose way up is being told */
} margins;

double ll_gas_needed_l(const ll_profile *profile, double rmv_l_min, double seconds, double from_m, double to_m)
{
    return LL_MARGIN_DIVERS * rmv_l_min * seconds / 60 * ll_ambient_bar(profile, (from_m + to_m) / 2);
}

/* --- the minutes ------------------------------------------------------------------------------------------------ */

/* The first sample at or after each minute of the bottom phase, and the last of it. */
static void choose_samples(margins *m)
{
    const ll_profile *profile = m->profile;
    double next_s = profile->time_s[profile->leaving] + MINUTE_S;
    for (size_t i = profile->leaving + 1; i <= profile->bottom_end; i++) {
        if (profile->time_s[i] < next_s && i != profile->bottom_end)
            continue;
        m->sample[m->count++] = i;
        while (next_s <= profile->time_s[i])
            next_s += MINUTE_S;
    }
}

/* What is in the tanks of a mix; NaN, with a remark, where that is not known of all of them. */
static double recorded_l(const margins *m, int mix, double time_s, ll_gas_remark *remark)
{
    double sum = 0;
    size_t found = 0;
    for (size_t i = 0; i < m->tanks; i++) {
        const ll_gas_source *source = &m->sources[i];
        if (source->mix != mix)
            continue;
        found++;
        sum += source->curve.recorded ? ll_gas_left_at(m->profile, source, time_s).content_l : NAN;
        if (isnan(source->volume_l))
            *remark = LL_GAS_NO_VOLUME;
    }
    if ((found == 0 || isnan(sum)) && *remark == LL_GAS_PLAIN)
        *remark = found == 0 ? LL_GAS_NO_TANK : LL_GAS_NOT_READ;
    return found ? sum : NAN;
}

static void open_minute(margins *m, size_t i)
{
    const ll_profile *profile = m->profile;
    const ll_breathed *gas = ll_breathed_at(profile, m->sample[i]);
    ll_gas_minute *minute = &m->minute[i];
    *minute = (ll_gas_minute){.time_s = profile->time_s[m->sample[i]],
                              .depth_m = profile->depth_m[m->sample[i]],
                              .mix = gas->mix,
                              .needed_l = NAN,
                              .recorded_l = NAN,
                              .margin_l = NAN,
                              .next_mix = LL_NONE};
    if (gas->loop)
        minute->remark = LL_GAS_LOOP;
    else if (gas->mix < 0)
        minute->remark = LL_GAS_NO_TANK;
    else
        minute->recorded_l = recorded_l(m, gas->mix, minute->time_s, &minute->remark);
}

/* --- the way up ------------------------------------------------------------------------------------------------- */

/* The richest mix with a tank of its own that is richer than the one in use and may be breathed at a depth, or LL_NONE.
 */
static int next_mix_at(const margins *m, double depth_m)
{
    const ll_mix *mixes = m->profile->log->mix;
    double ambient_atm = ll_ambient_bar(m->profile, depth_m) / LL_BAR_PER_ATM;
    int best = LL_NONE;
    double most = mixes[m->now->mix].o2_fraction;
    for (size_t i = 0; i < m->tanks; i++) {
        const ll_mix *gas = m->sources[i].gas;
        if (!gas || !(gas->o2_fraction > most) || gas->o2_fraction * ambient_atm > HIGHEST_PO2_ATM)
            continue;
        most = gas->o2_fraction;
        best = m->sources[i].mix;
    }
    return best;
}

static bool begin(void *context, size_t i)
{
    margins *m = context;
    m->now = &m->minute[i];
    if (isnan(m->now->recorded_l))
        return false;
    m->now->needed_l = ll_gas_needed_l(m->profile, m->rmv_l_min, MINUTE_S, m->now->depth_m, m->now->depth_m);
    return true;
}

static bool take(void *context, const ll_way_step *step)
{
    margins *m = context;
    int next = next_mix_at(m, step->from_m);
    if (next != LL_NONE) {
        m->now->next_mix = next;
        m->now->to_m = step->from_m;
        return false;
    }
    m->now->needed_l += ll_gas_needed_l(m->profile, m->rmv_l_min, step->seconds, step->from_m, step->to_m);
    return true;
}

static void end(void *context, size_t i, bool known)
{
    margins *m = context;
    ll_gas_minute *minute = &m->minute[i];
    if (known) {
        minute->margin_l = minute->recorded_l - minute->needed_l;
    } else {
        minute->needed_l = NAN;
        minute->remark = LL_GAS_BEYOND;
    }
}

static void find_least(ll_gas_margin *margin)
{
    for (size_t i = 0; i < margin->count; i++) {
        double here = margin->minute[i].margin_l;
        if (isnan(here))
            continue;
        if (margin->known++ == 0 || here < margin->minute[margin->least].margin_l)
            margin->least = i;
    }
}

bool ll_gas_margin_make(const ll_profile *profile, const ll_settings *settings, const ll_state *start,
                        const ll_gas_source *sources, size_t count, ll_arena *arena, ll_gas_margin *margin)
{
    margins m = {.profile = profile, .sources = sources, .tanks = count, .rmv_l_min = settings->rmv_l_min};
    *margin = (ll_gas_margin){0};
    if (profile->dive->tank_pressures == 0)
        return true;
    m.sample = ll_arena_array(arena, profile->bottom_end - profile->leaving + 1, sizeof *m.sample);
    if (!m.sample)
        return false;
    choose_samples(&m);
    m.minute = ll_arena_array(arena, m.count, sizeof *m.minute);
    if (!m.minute)
        return false;
    for (size_t i = 0; i < m.count; i++)
        open_minute(&m, i);
    const ll_visit visit = {profile, settings, m.sample, m.count, begin, take, end, &m};
    if (!ll_visit_ways(&visit, start, arena))
        return false;
    *margin = (ll_gas_margin){.count = m.count, .minute = m.minute};
    find_least(margin);
    return true;
}
