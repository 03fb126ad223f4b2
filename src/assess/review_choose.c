/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/review_choose.h"

#include <math.h>

#include "assess/shape.h"

#define MEANS_ALIKE 0.05 /* mean scores closer than this: the later dive is taken (this program's own choice) */

bool ll_is_accepted(ll_clock_by by, const ll_clock_match *match)
{
    return by == LL_CLOCK_MATCHED ? match->score >= LL_MATCH_LEAST : match->score > 0;
}

static const ll_recorder *recorder_of(const ll_choice *choice, const ll_other_dive *other)
{
    return &choice->review->diver[other->diver].recorder[other->recorder];
}

static const ll_dive *dive_of(const ll_recorder *recorder, size_t index)
{
    return recorder->history->entry[index].dive;
}

/* --- who may be whose ----------------------------------------------------------------------------------------------- */

static bool list_others(ll_choice *choice)
{
    const ll_review *review = choice->review;
    size_t most = 0;
    for (size_t d = 0; d < review->count; d++)
        for (size_t r = 0; r < review->diver[d].recorders; r++)
            most += review->diver[d].recorder[r].history->count;
    choice->other = ll_arena_array(choice->arena, most, sizeof *choice->other);
    for (size_t d = 0; choice->other && d < review->count; d++)
        for (size_t r = d == 0; r < review->diver[d].recorders; r++)
            for (size_t i = 0; i < review->diver[d].recorder[r].history->count; i++) {
                ll_other_dive *other = &choice->other[choice->others++];
                *other = (ll_other_dive){.diver = d, .recorder = r, .index = i, .pairing = SIZE_MAX};
                other->by = ll_clock_taken(review, d, &other->seconds);
            }
    return choice->other != NULL;
}

static bool is_pair(const ll_choice *choice, size_t first, const ll_other_dive *other)
{
    const ll_dive *dive = dive_of(choice->first, first);
    return ll_is_comparable(dive) && ll_may_be_same(choice->review, dive, dive_of(recorder_of(choice, other), other->index),
                                                    other->by, other->seconds);
}

static bool list_pairings(ll_choice *choice)
{
    const size_t firsts = choice->first->history->count;
    size_t count = 0;
    for (size_t i = 0; i < firsts; i++)
        for (size_t o = 0; o < choice->others; o++)
            count += is_pair(choice, i, &choice->other[o]);
    choice->from = ll_arena_array(choice->arena, firsts + 1, sizeof *choice->from);
    choice->pairing = ll_arena_array(choice->arena, count, sizeof *choice->pairing);
    if (!choice->from || !choice->pairing)
        return false;
    for (size_t i = 0; i < firsts; i++) {
        choice->from[i] = choice->pairings;
        for (size_t o = 0; o < choice->others; o++) {
            ll_other_dive *other = &choice->other[o];
            if (!is_pair(choice, i, other))
                continue;
            choice->pairing[choice->pairings] = (ll_pairing){.first = i, .other = o, .next = other->pairing};
            other->pairing = choice->pairings++;
        }
    }
    choice->from[firsts] = choice->pairings;
    return true;
}

ll_status ll_choice_open(const ll_review *review, ll_arena *arena, ll_choice *choice, ll_error *error)
{
    *choice = (ll_choice){.review = review, .first = &review->diver[0].recorder[0], .arena = arena};
    ll_arena_open(&choice->scratch, arena->allocator);
    return list_others(choice) && list_pairings(choice) ? LL_OK : ll_fail_memory(error);
}

void ll_choice_close(ll_choice *choice)
{
    ll_arena_close(&choice->scratch);
}

/* --- how well a pair agrees ----------------------------------------------------------------------------------------- */

static ll_status compare(ll_choice *choice, ll_pairing *pairing, ll_error *error)
{
    ll_other_dive *other = &choice->other[pairing->other];
    const double zero_s = ll_record_start_s(choice->review, dive_of(choice->first, pairing->first));
    ll_depth_line first, line;
    ll_profile profile;
    ll_arena_reset(&choice->scratch);
    ll_status status = ll_dive_line(choice->review, choice->first, pairing->first, zero_s, &choice->scratch, &profile,
                                    &first, error);
    if (status == LL_OK)
        status = ll_dive_line(choice->review, recorder_of(choice, other), other->index, zero_s, &choice->scratch,
                              &profile, &line, error);
    if (status != LL_OK || first.count == 0 || line.count == 0)
        return status;
    if (other->by == LL_CLOCK_MATCHED) {
        const ll_shape one = ll_shape_of(&first), two = ll_shape_of(&line);
        if (ll_shape_bound(&one, &two) < LL_MATCH_LEAST)
            return LL_OK;
    }
    return ll_lines_match(&first, &line, other->by, other->seconds, choice->arena->allocator, &pairing->match, error);
}

static ll_status learn(ll_choice *choice, ll_pairing *pairing, ll_error *error)
{
    if (pairing->known)
        return LL_OK;
    const ll_status status = compare(choice, pairing, error);
    pairing->known = status == LL_OK;
    return status;
}

/* The dive of the first log for which another speaks; SIZE_MAX: for none. */
static ll_status find_own(ll_choice *choice, const ll_other_dive *other, size_t *first, ll_error *error)
{
    const ll_pairing *best = NULL;
    *first = SIZE_MAX;
    for (size_t p = other->pairing; p != SIZE_MAX; p = choice->pairing[p].next) {
        ll_pairing *pairing = &choice->pairing[p];
        const ll_status status = learn(choice, pairing, error);
        if (status != LL_OK)
            return status;
        if (ll_is_accepted(other->by, &pairing->match) && (!best || ll_is_better_match(&pairing->match, &best->match)))
            best = pairing;
    }
    if (best)
        *first = best->first;
    return LL_OK;
}

static bool do_overlap(const ll_choice *choice, size_t one, size_t other)
{
    return ll_may_be_same(choice->review, dive_of(choice->first, one), dive_of(choice->first, other), LL_CLOCK_TRUSTED, 0);
}

static ll_status find_elsewhere(ll_choice *choice, size_t first, const ll_other_dive *other, size_t *elsewhere,
                                ll_error *error)
{
    const ll_status status = find_own(choice, other, elsewhere, error);
    if (status == LL_OK && *elsewhere != SIZE_MAX && do_overlap(choice, first, *elsewhere))
        *elsewhere = SIZE_MAX;
    return status;
}

ll_status ll_choice_elsewhere(ll_choice *choice, size_t first, const ll_recorder *recorder, size_t index,
                              size_t *elsewhere, ll_error *error)
{
    *elsewhere = SIZE_MAX;
    for (size_t o = 0; o < choice->others; o++)
        if (recorder_of(choice, &choice->other[o]) == recorder && choice->other[o].index == index)
            return find_elsewhere(choice, first, &choice->other[o], elsewhere, error);
    return LL_OK;
}

/* --- which dive ----------------------------------------------------------------------------------------------------- */

/* What speaks for a dive of the first log. */
typedef struct voice {
    size_t near, agree; /* divers with a dive that may be it; with one that speaks for it */
    double mean;        /* of the best scores of the latter; 1 where there is none */
} voice;

/* The best score among the pairings [from, to) of one diver that speak for this dive; 0: none does. */
static ll_status best_score(ll_choice *choice, size_t from, size_t to, double *best, ll_error *error)
{
    *best = 0;
    for (size_t p = from; p < to; p++) {
        ll_pairing *pairing = &choice->pairing[p];
        const ll_other_dive *other = &choice->other[pairing->other];
        size_t elsewhere;
        ll_status status = learn(choice, pairing, error);
        if (status != LL_OK)
            return status;
        if (!ll_is_accepted(other->by, &pairing->match))
            continue;
        status = find_elsewhere(choice, pairing->first, other, &elsewhere, error);
        if (status != LL_OK)
            return status;
        if (elsewhere == SIZE_MAX)
            *best = fmax(*best, pairing->match.score);
    }
    return LL_OK;
}

static size_t diver_of(const ll_choice *choice, size_t pairing)
{
    return choice->other[choice->pairing[pairing].other].diver;
}

/* Where the pairings of the diver at `from` end. */
static size_t end_of_diver(const ll_choice *choice, size_t from, size_t to)
{
    size_t next = from + 1;
    while (next < to && diver_of(choice, next) == diver_of(choice, from))
        next++;
    return next;
}

static size_t count_near(const ll_choice *choice, size_t first)
{
    const size_t to = choice->from[first + 1];
    size_t near = 0;
    for (size_t p = choice->from[first]; p < to; p = end_of_diver(choice, p, to))
        near += diver_of(choice, p) != 0;
    return near;
}

static ll_status hear(ll_choice *choice, size_t first, voice *heard, ll_error *error)
{
    const size_t to = choice->from[first + 1];
    double sum = 0;
    *heard = (voice){count_near(choice, first), 0, 1};
    for (size_t p = choice->from[first], next; p < to; p = next) {
        double best;
        next = end_of_diver(choice, p, to);
        if (diver_of(choice, p) == 0)
            continue;
        const ll_status status = best_score(choice, p, next, &best, error);
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
static ll_status check(ll_choice *choice, size_t index, bool *may, ll_error *error)
{
    const ll_entry *entry = &choice->first->history->entry[index];
    ll_profile profile;
    ll_depth_line line;
    *may = false;
    if (!ll_is_comparable(entry->dive) || !is_asked(&choice->review->asked->dive, entry))
        return LL_OK;
    ll_arena_reset(&choice->scratch);
    const ll_status status = ll_dive_line(choice->review, choice->first, index, 0, &choice->scratch, &profile, &line, error);
    *may = status == LL_OK && line.count > 0;
    return status;
}

ll_status ll_choice_make(ll_choice *choice, size_t *first, ll_error *error)
{
    voice best = {0, 0, 0};
    *first = SIZE_MAX;
    for (size_t i = choice->first->history->count; i-- > 0;) {
        voice heard;
        bool may;
        if (*first != SIZE_MAX && !may_be_more(count_near(choice, i), &best))
            continue;
        ll_status status = check(choice, i, &may, error);
        if (status == LL_OK && may)
            status = hear(choice, i, &heard, error);
        if (status != LL_OK)
            return status;
        if (may && (*first == SIZE_MAX || is_more(&heard, &best))) {
            *first = i;
            best = heard;
        }
    }
    return LL_OK;
}
