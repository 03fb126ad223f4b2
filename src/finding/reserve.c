/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tank pressure under the reserve that a standard asks for, in any tank whose pressure was recorded. */
#include <math.h>

#include "finding/search.h"

#define ROUNDING_BAR 1e-6 /* far more than that of a pressure between two readings */

/* Gauge pressure of one tank at every sample: linear between its readings, NaN before the first and after the last. */
static double *pressure_of(const ll_search *s, const ll_series *readings)
{
    const double *time_s = s->profile->time_s;
    double *pressure = ll_arena_array(s->arena, s->track->count, sizeof *pressure);
    size_t next = 0;
    for (size_t i = 0; pressure && i < s->track->count; i++) {
        while (next < readings->count && readings->sample[next] < i)
            next++;
        pressure[i] = NAN;
        if (next == readings->count)
            continue;
        size_t here = readings->sample[next];
        if (here == i) {
            pressure[i] = readings->value[next];
        } else if (next > 0) {
            size_t before = readings->sample[next - 1];
            double share = (time_s[i] - time_s[before]) / (time_s[here] - time_s[before]);
            pressure[i] = readings->value[next - 1] + share * (readings->value[next] - readings->value[next - 1]);
        }
    }
    return pressure;
}

/* Pressure runs straight between readings: where none of them comes down to the limit it does not either, rounding included. */
static bool comes_down(const ll_series *readings, double limit_bar)
{
    for (size_t i = 0; i < readings->count; i++)
        if (!(readings->value[i] > limit_bar + ROUNDING_BAR))
            return true;
    return false;
}

static bool find_in_tank(ll_search *s, const ll_series *readings, const ll_limit *limit)
{
    if (!comes_down(readings, ll_limit_lowest(limit)))
        return true;
    const ll_curve curve = {s->profile, pressure_of(s, readings), NULL, -1};
    const size_t before = s->count;
    if (!curve.value || !ll_find_on_curve(s, LL_FINDING_RESERVE, limit, &curve))
        return false;
    for (size_t i = before; i < s->count; i++)
        s->items[i].tank = readings;
    return true;
}

/* Conduct and not gas: the diver decides when to turn, whatever was in the tank. Without readings there is nothing to
 * find. */
bool ll_find_reserve(ll_search *s)
{
    const ll_dive *dive = s->profile->dive;
    const ll_limit *limit = &s->limits->of[LL_FINDING_RESERVE];
    if (isnan(ll_limit_lowest(limit)))
        return true;
    for (size_t i = 0; i < dive->tank_pressures; i++)
        if (!find_in_tank(s, &dive->tank_pressure[i], limit))
            return false;
    return true;
}
