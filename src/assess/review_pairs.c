/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/review_pairs.h"

#include <stdlib.h>

#define MEANS_ALIKE 0.05 /* mean scores closer than this: the later dive is taken (this program's own pairs) */

bool ll_is_accepted(ll_clock_by by, const ll_clock_match *match)
{
    return by == LL_CLOCK_MATCHED ? match->score >= LL_MATCH_LEAST : match->score > 0;
}

static const ll_recorder *recorder_of(const ll_pairs *pairs, const ll_other_dive *other)
{
    return &pairs->review->diver[other->diver].recorder[other->recorder];
}

static const ll_dive *dive_of(const ll_recorder *recorder, size_t index)
{
    return recorder->history->entry[index].dive;
}

/* --- who may be whose ----------------------------------------------------------------------------------------------- */

static bool list_others(ll_pairs *pairs)
{
    const ll_review *review = pairs->review;
    size_t most = 0;
    for (size_t d = 0; d < review->count; d++)
        for (size_t r = 0; r < review->diver[d].recorders; r++)
            most += review->diver[d].recorder[r].history->count;
    pairs->other = ll_arena_array(pairs->arena, most, sizeof *pairs->other);
    for (size_t d = 0; pairs->other && d < review->count; d++)
        for (size_t r = d == 0; r < review->diver[d].recorders; r++)
            for (size_t i = 0; i < review->diver[d].recorder[r].history->count; i++) {
                const ll_dive *dive = dive_of(&review->diver[d].recorder[r], i);
                if (!ll_is_comparable(dive))
                    continue;
                ll_other_dive *other = &pairs->other[pairs->others++];
                *other = (ll_other_dive){.diver = d, .recorder = r, .index = i, .pairing = SIZE_MAX};
                other->by = ll_clock_taken(review, d, &other->seconds);
                other->start_s = ll_record_start_s(review, dive) + other->seconds;
            }
    return pairs->other != NULL;
}

static int by_start(const void *left, const void *right)
{
    const ll_other_dive *const *a = left, *const *b = right;
    if ((*a)->start_s != (*b)->start_s)
        return (*a)->start_s < (*b)->start_s ? -1 : 1;
    return (*a > *b) - (*a < *b);
}

static int by_other(const void *left, const void *right)
{
    const ll_pairing *a = left, *b = right;
    return (a->other > b->other) - (a->other < b->other);
}

/* The first of the dives, by start, that starts at or after an instant. */
static size_t start_from(ll_other_dive *const *sorted, size_t count, double start_s)
{
    size_t from = 0, to = count;
    while (from < to) {
        const size_t middle = from + (to - from) / 2;
        if (sorted[middle]->start_s < start_s)
            from = middle + 1;
        else
            to = middle;
    }
    return from;
}

/* Gives the pairings of one dive of the first log to `pairing`, unless it is NULL; their number. `looked` counts all that
 * lie within a day. */
static size_t pair_one(const ll_pairs *pairs, ll_other_dive *const *sorted, size_t first, ll_pairing *pairing,
                       size_t *looked)
{
    const ll_dive *dive = dive_of(pairs->first, first);
    const double start_s = ll_record_start_s(pairs->review, dive);
    size_t count = 0;
    if (!ll_is_comparable(dive))
        return 0;
    for (size_t s = start_from(sorted, pairs->others, start_s - LL_LONGEST_S);
         s < pairs->others && sorted[s]->start_s <= start_s + LL_LONGEST_S && *looked <= LL_PAIRS_MOST; s++) {
        const ll_other_dive *other = sorted[s];
        ++*looked;
        if (!ll_may_be_same(pairs->review, dive, dive_of(recorder_of(pairs, other), other->index), other->by,
                            other->seconds))
            continue;
        if (pairing)
            pairing[count] = (ll_pairing){.first = first, .other = (size_t)(other - pairs->other)};
        count++;
    }
    return count;
}

/* Links the pairings of each other dive. */
static void link_others(ll_pairs *pairs)
{
    for (size_t p = 0; p < pairs->count; p++) {
        ll_other_dive *other = &pairs->other[pairs->pairing[p].other];
        pairs->pairing[p].next = other->pairing;
        other->pairing = p;
    }
}

static ll_status list_pairings(ll_pairs *pairs, ll_error *error)
{
    const size_t firsts = pairs->first->history->count;
    ll_other_dive **sorted = ll_arena_array(pairs->arena, pairs->others, sizeof(ll_other_dive *));
    size_t count = 0, looked = 0, again = 0;
    pairs->from = ll_arena_array(pairs->arena, firsts + 1, sizeof *pairs->from);
    pairs->layers = ll_arena_array(pairs->arena, firsts, sizeof(const ll_layers *));
    if (!sorted || !pairs->from || !pairs->layers)
        return ll_fail_memory(error);
    for (size_t o = 0; o < pairs->others; o++)
        sorted[o] = &pairs->other[o];
    qsort(sorted, pairs->others, sizeof(ll_other_dive *), by_start);
    for (size_t i = 0; i < firsts && looked <= LL_PAIRS_MOST; i++)
        count += pair_one(pairs, sorted, i, NULL, &looked);
    if (looked > LL_PAIRS_MOST)
        return ll_fail(error, LL_BAD_INPUT, 0, "expected at most %d pairs of dives within a day of each other in the logs "
                                               "of a review, found more", LL_PAIRS_MOST);
    pairs->pairing = ll_arena_array(pairs->arena, count, sizeof *pairs->pairing);
    if (!pairs->pairing)
        return ll_fail_memory(error);
    for (size_t i = 0; i < firsts; i++) {
        pairs->from[i] = pairs->count;
        pairs->count += pair_one(pairs, sorted, i, pairs->pairing + pairs->count, &again);
        qsort(pairs->pairing + pairs->from[i], pairs->count - pairs->from[i], sizeof *pairs->pairing, by_other);
    }
    pairs->from[firsts] = pairs->count;
    link_others(pairs);
    return LL_OK;
}

ll_status ll_pairs_open(const ll_review *review, ll_arena *arena, ll_pairs *pairs, ll_error *error)
{
    *pairs = (ll_pairs){.review = review, .first = &review->diver[0].recorder[0], .arena = arena};
    ll_arena_open(&pairs->scratch, arena->allocator);
    return list_others(pairs) ? list_pairings(pairs, error) : ll_fail_memory(error);
}

void ll_pairs_close(ll_pairs *pairs)
{
    ll_arena_close(&pairs->scratch);
}

/* --- how well a pair agrees ----------------------------------------------------------------------------------------- */

static ll_status make_lines(ll_pairs *pairs, const ll_pairing *pairing, ll_depth_line *first, ll_depth_line *line,
                            ll_error *error)
{
    const ll_other_dive *other = &pairs->other[pairing->other];
    const double zero_s = ll_record_start_s(pairs->review, dive_of(pairs->first, pairing->first));
    ll_profile profile;
    ll_arena_reset(&pairs->scratch);
    const ll_status status = ll_dive_line(pairs->review, pairs->first, pairing->first, zero_s, &pairs->scratch, &profile,
                                          first, error);
    return status != LL_OK ? status
                           : ll_dive_line(pairs->review, recorder_of(pairs, other), other->index, zero_s, &pairs->scratch,
                                          &profile, line, error);
}

/* The layers of a dive, once it is asked for. */
static ll_status find_layers(ll_pairs *pairs, const ll_recorder *recorder, size_t index, const ll_layers **layers,
                            ll_error *error)
{
    ll_profile profile;
    ll_depth_line line;
    if (*layers)
        return LL_OK;
    ll_arena_reset(&pairs->scratch);
    const ll_status status = ll_dive_line(pairs->review, recorder, index, 0, &pairs->scratch, &profile, &line, error);
    ll_layers *made = status == LL_OK ? ll_arena_alloc(pairs->arena, sizeof *made) : NULL;
    if (!made)
        return status != LL_OK ? status : ll_fail_memory(error);
    *made = ll_layers_of(&line);
    *layers = made;
    return LL_OK;
}

/* Whether the layers of a pair let it be accepted. */
static ll_status ask_layers(ll_pairs *pairs, const ll_pairing *pairing, bool *may, ll_error *error)
{
    ll_other_dive *other = &pairs->other[pairing->other];
    *may = true;
    if (other->by != LL_CLOCK_MATCHED)
        return LL_OK;
    ll_status status = find_layers(pairs, pairs->first, pairing->first, &pairs->layers[pairing->first], error);
    if (status == LL_OK)
        status = find_layers(pairs, recorder_of(pairs, other), other->index, &other->layers, error);
    if (status == LL_OK)
        *may = ll_layers_bound(pairs->layers[pairing->first], other->layers) >= LL_MATCH_LEAST;
    return status;
}

static ll_status compare(ll_pairs *pairs, ll_pairing *pairing, ll_error *error)
{
    const ll_other_dive *other = &pairs->other[pairing->other];
    ll_depth_line first, line;
    if (++pairs->compared > LL_COMPARED_MOST)
        return ll_fail(error, LL_BAD_INPUT, 0, "expected fewer dives of one shape within 12 h of each other in the logs of a "
                                               "review: more than %d pairs would have to be compared", LL_COMPARED_MOST);
    ll_status status = make_lines(pairs, pairing, &first, &line, error);
    if (status == LL_OK && first.count > 0 && line.count > 0)
        status = ll_lines_match(&first, &line, other->by, other->seconds, pairs->arena->allocator, &pairing->match, error);
    if (status == LL_OK)
        pairing->known = LL_COMPARED;
    return status;
}

ll_status ll_pair_learn(ll_pairs *pairs, ll_pairing *pairing, ll_error *error)
{
    bool may;
    if (pairing->known != LL_NOT_COMPARED)
        return LL_OK;
    const ll_status status = ask_layers(pairs, pairing, &may, error);
    if (status == LL_OK && may)
        return compare(pairs, pairing, error);
    if (status == LL_OK)
        pairing->known = LL_RULED_OUT;
    return status;
}

ll_status ll_pair_compare(ll_pairs *pairs, ll_pairing *pairing, ll_error *error)
{
    return pairing->known == LL_COMPARED ? LL_OK : compare(pairs, pairing, error);
}

/* The dive of the first log for which another speaks; SIZE_MAX: for none. */
static ll_status find_own(ll_pairs *pairs, const ll_other_dive *other, size_t *first, ll_error *error)
{
    const ll_pairing *best = NULL;
    *first = SIZE_MAX;
    for (size_t p = other->pairing; p != SIZE_MAX; p = pairs->pairing[p].next) {
        ll_pairing *pairing = &pairs->pairing[p];
        const ll_status status = ll_pair_learn(pairs, pairing, error);
        if (status != LL_OK)
            return status;
        if (ll_is_accepted(other->by, &pairing->match) && (!best || ll_is_better_match(&pairing->match, &best->match)))
            best = pairing;
    }
    if (best)
        *first = best->first;
    return LL_OK;
}

static bool do_overlap(const ll_pairs *pairs, size_t one, size_t other)
{
    return ll_may_be_same(pairs->review, dive_of(pairs->first, one), dive_of(pairs->first, other), LL_CLOCK_TRUSTED, 0);
}

ll_status ll_pair_elsewhere(ll_pairs *pairs, const ll_pairing *pairing, size_t *elsewhere, ll_error *error)
{
    const ll_status status = find_own(pairs, &pairs->other[pairing->other], elsewhere, error);
    if (status == LL_OK && *elsewhere != SIZE_MAX && do_overlap(pairs, pairing->first, *elsewhere))
        *elsewhere = SIZE_MAX;
    return status;
}
