/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/review_choose.h"

#include <math.h>

#define MEANS_ALIKE 0.05 /* mean scores closer than this: the later dive is taken (this program's own choice) */

/* What speaks for a dive of the first log. */
typedef struct voice {
    size_t near, agree; /* divers with a dive that may be it; with one that speaks for it */
    double mean;        /* of the best scores of the latter; 1 where there is none */
} voice;

/* The best score among the pairings [from, to) of one diver that speak for this dive; 0: none does. */
static ll_status best_score(ll_pairs *pairs, size_t from, size_t to, double *best, ll_error *error)
{
    *best = 0;
    for (size_t p = from; p < to; p++) {
        ll_pairing *pairing = &pairs->pairing[p];
        const ll_other_dive *other = &pairs->other[pairing->other];
        size_t elsewhere;
        ll_status status = ll_pair_learn(pairs, pairing, error);
        if (status != LL_OK)
            return status;
        if (!ll_is_accepted(other->by, &pairing->match))
            continue;
        status = ll_pair_elsewhere(pairs, pairing, &elsewhere, error);
        if (status != LL_OK)
            return status;
        if (elsewhere == SIZE_MAX)
            *best = fmax(*best, pairing->match.score);
    }
    return LL_OK;
}

static size_t diver_of(const ll_pairs *pairs, size_t pairing)
{
    return pairs->other[pairs->pairing[pairing].other].diver;
}

/* Where the pairings of the diver at `from` end. */
static size_t end_of_diver(const ll_pairs *pairs, size_t from, size_t to)
{
    size_t next = from + 1;
    while (next < to && diver_of(pairs, next) == diver_of(pairs, from))
        next++;
    return next;
}

static size_t count_near(const ll_pairs *pairs, size_t first)
{
    const size_t to = pairs->from[first + 1];
    size_t near = 0;
    for (size_t p = pairs->from[first]; p < to; p = end_of_diver(pairs, p, to))
        near += diver_of(pairs, p) != 0;
    return near;
}

static ll_status hear(ll_pairs *pairs, size_t first, size_t near, voice *heard, ll_error *error)
{
    const size_t to = pairs->from[first + 1];
    double sum = 0;
    *heard = (voice){near, 0, 1};
    for (size_t p = pairs->from[first], next; p < to; p = next) {
        double best;
        next = end_of_diver(pairs, p, to);
        if (diver_of(pairs, p) == 0)
            continue;
        const ll_status status = best_score(pairs, p, next, &best, error);
        if (status != LL_OK)
            return status;
        heard->agree += best > 0;
        sum += best;
    }
    if (heard->agree > 0)
        heard->mean = sum / (double)heard->agree;
    return LL_OK;
}

static bool is_more(const voice *heard, const voice *best)
{
    if (heard->agree != best->agree)
        return heard->agree > best->agree;
    return heard->agree > 0 ? heard->mean > best->mean + MEANS_ALIKE : heard->near > best->near;
}

/* Is a dive worth comparing that so many are near. */
static bool may_be_more(size_t near, const voice *best)
{
    if (near != best->agree)
        return near > best->agree;
    return near > 0 && best->mean + MEANS_ALIKE < 1;
}

static bool is_asked(const ll_dive_asked *asked, const ll_entry *entry)
{
    if (asked->has_day)
        return entry->dive->start.has_date && ll_instant_day(&entry->dive->start) == asked->day;
    return asked->first == 0 || (entry->number >= asked->first && entry->number <= asked->last);
}

/* May be looked at: comparable, asked for, with a run time. */
static ll_status check(ll_pairs *pairs, size_t index, bool *may, ll_error *error)
{
    const ll_entry *entry = &pairs->first->history->entry[index];
    ll_profile profile;
    ll_depth_line line;
    *may = false;
    if (!ll_is_comparable(entry->dive) || !is_asked(&pairs->review->asked->dive, entry))
        return LL_OK;
    ll_arena_reset(&pairs->scratch);
    const ll_status status = ll_dive_line(pairs->review, pairs->first, index, 0, &pairs->scratch, &profile, &line, error);
    *may = status == LL_OK && line.count > 0;
    return status;
}

ll_status ll_review_choose(ll_pairs *pairs, size_t *first, ll_error *error)
{
    voice best = {0, 0, 0};
    *first = SIZE_MAX;
    for (size_t i = pairs->first->history->count; i-- > 0;) {
        const size_t near = count_near(pairs, i);
        voice heard;
        bool may;
        if (*first != SIZE_MAX && !may_be_more(near, &best))
            continue;
        ll_status status = check(pairs, i, &may, error);
        if (status == LL_OK && may)
            status = hear(pairs, i, near, &heard, error);
        if (status != LL_OK)
            return status;
        if (may && (*first == SIZE_MAX || is_more(&heard, &best))) {
            *first = i;
            best = heard;
        }
    }
    return LL_OK;
}
