/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/word.h"

#include <math.h>

#include "replay/column.h"
#include "replay/instants.h"
#include "replay/passage.h"

#define PERCENT_FROM 1.5 /* no fraction of the CNS limit is expected beyond it: the dive's values are percents */

/* What the recorder said, by rising sample. */
typedef struct said {
    size_t count;
    const uint32_t *sample;
    const double *value, *duration_s; /* duration NULL where it has none */
    double factor; /* to the unit of the quantity */
} said;

typedef struct comparison {
    const ll_track *track;
    const ll_profile *profile;
    const ll_state *start;
} comparison;

static const ll_quantity quantities[LL_WORD_FIGURES] = {LL_STOP, LL_NO_STOP, LL_GRADIENT, LL_CNS, LL_OTU};

/* --- its stops ------------------------------------------------------------------------------------------------ */

static bool is_asked(const ll_own_stop *stop)
{
    return stop->mandatory && stop->depth_m > 0 && stop->duration_s != 0;
}

static size_t asked_stops(const ll_dive *dive)
{
    size_t count = 0;
    for (size_t i = 0; i < dive->own_stops; i++)
        count += is_asked(&dive->own_stop[i]);
    return count;
}

/* The deepest of the ladder at each sample. */
static bool collect_stops(const ll_dive *dive, ll_arena *arena, said *out)
{
    size_t most = asked_stops(dive), count = 0;
    uint32_t *sample = ll_arena_array(arena, most, sizeof *sample);
    double *depth = ll_arena_array(arena, most, sizeof *depth);
    double *duration = ll_arena_array(arena, most, sizeof *duration);
    if (!sample || !depth || !duration)
        return false;
    for (size_t i = 0; i < dive->own_stops; i++) {
        const ll_own_stop *stop = &dive->own_stop[i];
        if (!is_asked(stop))
            continue;
        if (count == 0 || sample[count - 1] != stop->sample)
            depth[count++] = 0;
        if (stop->depth_m > depth[count - 1]) {
            sample[count - 1] = stop->sample;
            depth[count - 1] = stop->depth_m;
            duration[count - 1] = stop->duration_s;
        }
    }
    *out = (said){count, sample, depth, duration, 1};
    return true;
}

static void add_stops(ll_word_stops *stops, const said *own, const ll_profile *profile, const ll_findings *findings)
{
    for (size_t i = 0; i < own->count; i++) {
        if (own->sample[i] < profile->leaving || own->sample[i] > profile->surfacing)
            continue;
        double time_s = profile->time_s[own->sample[i]];
        stops->from_s = stops->asked ? stops->from_s : time_s;
        stops->to_s = time_s;
        stops->deepest_m = fmax(stops->deepest_m, own->value[i]);
        stops->asked = true;
    }
    stops->above_m = stops->above_at_s = NAN;
    for (size_t i = 0; i < findings->count && stops->asked; i++) {
        const ll_finding *found = &findings->items[i];
        if (found->kind != LL_FINDING_OWN_STOP)
            continue;
        stops->above_s += found->beyond_s;
        if (!(found->peak <= stops->above_m)) {
            stops->above_m = found->peak;
            stops->above_at_s = found->peak_s;
        }
    }
}

/* --- its figures ---------------------------------------------------------------------------------------------- */

static said series(const ll_series *of, double factor)
{
    return (said){of->count, of->sample, of->value, NULL, factor};
}

/* Fraction or percent: settled by the values of the dive as a whole. */
static bool is_percent(const ll_series *cns)
{
    for (size_t i = 0; i < cns->count; i++)
        if (cns->value[i] > PERCENT_FROM)
            return true;
    return false;
}

static double replayed(const comparison *c, ll_quantity quantity, size_t sample)
{
    return c->track->column[quantity] ? c->track->column[quantity][sample] : NAN;
}

static ll_word_pair pair_at(const comparison *c, const said *own, ll_quantity quantity, size_t i)
{
    return (ll_word_pair){.known = true,
                          .time_s = c->profile->time_s[own->sample[i]],
                          .recorder = own->value[i] * own->factor,
                          .replay = replayed(c, quantity, own->sample[i]),
                          .duration_s = own->duration_s ? own->duration_s[i] : NAN};
}

/* Where it last said anything up to a sample, within the run time; own->count if nowhere. */
static size_t last_up_to(const comparison *c, const said *own, size_t sample)
{
    size_t found = own->count;
    for (size_t i = 0; i < own->count && own->sample[i] <= sample; i++)
        if (own->sample[i] >= c->profile->leaving)
            found = i;
    return found;
}

static ll_word_pair last_pair(const comparison *c, const said *own, ll_quantity quantity, size_t sample)
{
    size_t at = last_up_to(c, own, sample);
    return at < own->count ? pair_at(c, own, quantity, at) : (ll_word_pair){.known = false};
}

/* Recorders show no gradient below 0: there the two are not apart. */
static double shown(ll_quantity quantity, double value)
{
    return quantity == LL_GRADIENT && value < 0 ? 0 : value;
}

static ll_word_pair farthest_pair(const comparison *c, const said *own, ll_quantity quantity)
{
    double farthest = 0;
    ll_word_pair found = {.known = false};
    for (size_t i = 0; i < own->count && own->sample[i] <= c->profile->surfacing; i++) {
        double replay = replayed(c, quantity, own->sample[i]);
        double apart = fabs(shown(quantity, own->value[i] * own->factor) - shown(quantity, replay));
        if (own->sample[i] >= c->profile->leaving && apart > farthest) {
            farthest = apart;
            found = pair_at(c, own, quantity, i);
        }
    }
    return found;
}

static void compare(const comparison *c, const said *own, bool compared, ll_word_figure *figure)
{
    figure->ascent = last_pair(c, own, figure->quantity, c->profile->ascent_start);
    figure->surfacing = last_pair(c, own, figure->quantity, c->profile->surfacing);
    figure->said = figure->surfacing.known;
    figure->compared = compared && figure->said;
    if (figure->compared && figure->quantity != LL_NO_STOP)
        figure->farthest = farthest_pair(c, own, figure->quantity);
}

/* --- the no-stop time, replayed where it is shown ------------------------------------------------------------- */

/* Breathes on from sample *at to another; false once the gas is unknown. */
static bool breathe_to(ll_passage *way, ll_inert *tissues, ll_decays *decays, size_t *at, size_t sample)
{
    ll_leg legs[LL_MAX_LEGS];
    for (; *at < sample; (*at)++) {
        int count = ll_passage_legs(way, *at, legs);
        if (count == 0)
            return false;
        for (int i = 0; i < count; i++)
            ll_inert_breathe(tissues, &legs[i], decays);
    }
    return true;
}

static void replay_no_stop(const comparison *c, const said *own, ll_word_figure *figure)
{
    const size_t wanted[] = {last_up_to(c, own, c->profile->ascent_start), last_up_to(c, own, c->profile->surfacing)};
    ll_word_pair *pairs[] = {&figure->ascent, &figure->surfacing};
    ll_passage way;
    ll_leg legs[LL_MAX_LEGS];
    ll_decays decays;
    ll_inert tissues = c->start->tissues;
    int before;
    ll_decays_open(&decays);
    ll_passage_open(&way, c->profile, legs, &before);
    for (int i = 0; i < before; i++)
        ll_inert_breathe(&tissues, &legs[i], &decays);
    size_t at = 0;
    for (int i = 0; i < 2; i++) {
        if (wanted[i] == own->count || !breathe_to(&way, &tissues, &decays, &at, own->sample[wanted[i]]))
            continue;
        pairs[i]->replay = ll_no_stop_s(c->profile, &tissues, ll_breathed_at(c->profile, at), at);
    }
}

/* --- the whole ------------------------------------------------------------------------------------------------ */

ll_quantities ll_word_quantities(const ll_dive *dive)
{
    ll_quantities wanted = asked_stops(dive) ? LL_SET(LL_STOP) : 0;
    wanted |= dive->own_gradient.count ? LL_SET(LL_GRADIENT) : 0;
    wanted |= dive->own_cns.count ? LL_SET(LL_CNS) : 0;
    return wanted | (dive->own_otu.count ? LL_SET(LL_OTU) : 0);
}

bool ll_word_make(const ll_track *track, const ll_state *start, const ll_findings *findings, ll_arena *arena,
                  ll_word *word)
{
    const ll_dive *dive = track->profile->dive;
    const comparison c = {track, track->profile, start};
    *word = (ll_word){.any = false};
    if (!track->profile->has_run_time)
        return true;
    said own[LL_WORD_FIGURES] = {
        [LL_WORD_NO_STOP] = series(&dive->no_stop, 1),
        [LL_WORD_GRADIENT] = series(&dive->own_gradient, 100),
        [LL_WORD_CNS] = series(&dive->own_cns, 1),
        [LL_WORD_OTU] = series(&dive->own_otu, 1),
    };
    if (!collect_stops(dive, arena, &own[LL_WORD_STOP]))
        return false;
    add_stops(&word->stops, &own[LL_WORD_STOP], c.profile, findings);
    for (int f = 0; f < LL_WORD_FIGURES; f++) {
        word->figure[f].quantity = quantities[f];
        compare(&c, &own[f], f != LL_WORD_CNS || is_percent(&dive->own_cns), &word->figure[f]);
        word->any = word->any || word->figure[f].said;
    }
    if (word->figure[LL_WORD_NO_STOP].said && !c.profile->uncovered)
        replay_no_stop(&c, &own[LL_WORD_NO_STOP], &word->figure[LL_WORD_NO_STOP]);
    return true;
}
