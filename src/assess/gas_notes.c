/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Doubts about recorded pressures of tanks (practice, no source). They are left as recorded. */
#include <math.h>

#include "assess/gas_parts.h"
#include "base/number.h"

#define RISE_BAR 5.0 /* more than warming and the steps of a recorder give */
#define FLAT_S 300.0
#define FLAT_BAR 0.05 /* nothing, but for rounding of units */
#define GAP_S 300.0

typedef struct figures {
    char of[3][LL_PRINTED];
} figures;

static figures printed(double a, double b, double c)
{
    figures f;
    ll_tenths_print(f.of[0], a);
    ll_tenths_print(f.of[1], b);
    ll_tenths_print(f.of[2], c);
    return f;
}

static const char *named(const ll_gas_tank *tank)
{
    return tank->name ? tank->name : "without a name";
}

/* Whether the mix of a tank was breathed on open circuit throughout a stretch. */
static bool is_breathed(const ll_profile *profile, int mix, double from_s, double to_s)
{
    return ll_gas_breathed_between(profile, mix, from_s, to_s).minutes * 60 >= to_s - from_s - 1e-6;
}

/* The only tank of its mix. */
static bool is_alone(const ll_gas_source *sources, size_t count, size_t of)
{
    for (size_t i = 0; i < count; i++)
        if (i != of && sources[i].mix == sources[of].mix)
            return false;
    return sources[of].mix != LL_NONE;
}

typedef struct teller {
    const ll_profile *profile;
    const ll_gas_source *sources;
    const ll_gas_tank *tanks;
    size_t count;
    ll_arena *arena;
    ll_notes *notes;
} teller;

/* From the lowest reading so far. */
static bool tell_rise(const teller *t, size_t of)
{
    const ll_gas_curve *curve = &t->sources[of].curve;
    size_t low = 0;
    for (size_t i = 1; i < curve->count; i++) {
        if (curve->bar[i] <= curve->bar[low])
            low = i;
        if (curve->bar[i] - curve->bar[low] <= RISE_BAR)
            continue;
        figures f = printed(curve->bar[i] - curve->bar[low], curve->time_s[low], curve->time_s[i]);
        return ll_note_add(t->notes, t->arena, LL_NOTE_TANK_ROSE, t->profile->dive->line, named(&t->tanks[of]), f.of[0],
                           f.of[1], f.of[2]);
    }
    return true;
}

/* The last reading of the stretch from `first` on in which the pressure stands and nothing else is breathed. */
static size_t flat_end(const teller *t, size_t of, size_t first)
{
    const ll_gas_curve *curve = &t->sources[of].curve;
    size_t last = first;
    while (last + 1 < curve->count && fabs(curve->bar[last + 1] - curve->bar[first]) <= FLAT_BAR &&
           is_breathed(t->profile, t->sources[of].mix, curve->time_s[last], curve->time_s[last + 1]))
        last++;
    return last;
}

static bool tell_flat(const teller *t, size_t of)
{
    const ll_gas_curve *curve = &t->sources[of].curve;
    bool alone = is_alone(t->sources, t->count, of);
    for (size_t first = 0; alone && first < curve->count;) {
        size_t last = flat_end(t, of, first);
        if (curve->time_s[last] - curve->time_s[first] >= FLAT_S) {
            figures f = printed(curve->bar[first], curve->time_s[first], curve->time_s[last]);
            return ll_note_add(t->notes, t->arena, LL_NOTE_TANK_FLAT, t->profile->dive->line, named(&t->tanks[of]),
                               f.of[0], f.of[1], f.of[2]);
        }
        first = last + (last == first);
    }
    return true;
}

/* Only where its mix was breathed within. */
static bool tell_gap(const teller *t, size_t of)
{
    const ll_gas_curve *curve = &t->sources[of].curve;
    for (size_t i = 1; i < curve->count; i++) {
        double from = curve->time_s[i - 1], to = curve->time_s[i];
        if (to - from <= GAP_S || t->sources[of].mix == LL_NONE ||
            !(ll_gas_breathed_between(t->profile, t->sources[of].mix, from, to).minutes > 0))
            continue;
        figures f = printed(to - from, from, 0);
        return ll_note_add(t->notes, t->arena, LL_NOTE_TANK_GAP, t->profile->dive->line, named(&t->tanks[of]), f.of[0],
                           f.of[1]);
    }
    return true;
}

bool ll_gas_notes(const ll_profile *profile, const ll_gas_source *sources, const ll_gas_tank *tanks, size_t count,
                  ll_arena *arena, ll_notes *notes)
{
    const teller t = {profile, sources, tanks, count, arena, notes};
    bool fine = true;
    for (size_t i = 0; fine && i < count; i++)
        if (sources[i].curve.recorded)
            fine = tell_rise(&t, i) && tell_flat(&t, i) && tell_gap(&t, i);
    return fine;
}
