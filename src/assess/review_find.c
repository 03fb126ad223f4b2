/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which dive the logs share, and by how much each recorder's clock is off against the first log's. */
#include <math.h>

#include "assess/review_choose.h"

const char *const ll_clock_by_names[LL_CLOCK_WAYS] = {"first", "matched", "trusted", "given"};

/* The shared dive, as the first log has it. */
typedef struct shared_dive {
    ll_review *review;
    ll_pairs *pairs;
    const ll_dive *dive;
    double start_s;   /* its record's zero on the clock */
    double leaving_s; /* on its record */
} shared_dive;

/* --- one recorder against the shared dive -------------------------------------------------------------------------- */

/* The record that all others are held against. */
static ll_status take_first(shared_dive *shared, ll_error *error)
{
    ll_recorder *first = &shared->review->diver[0].recorder[0];
    first->index = shared->review->first;
    first->by = LL_CLOCK_FIRST;
    first->match = (ll_clock_match){.score = 1};
    shared->dive = first->history->entry[first->index].dive;
    shared->start_s = ll_record_start_s(shared->review, shared->dive);
    const ll_status status = ll_dive_line(shared->review, first, first->index, shared->start_s, shared->review->arena,
                                          &first->profile, &first->line, error);
    if (status == LL_OK)
        shared->leaving_s = first->profile.time_s[first->profile.leaving];
    return status;
}

/* Keeps a dive where it matches better than what the recorder had. A dive that rather is another one of the first log is
 * none, unless its clock is taken as it is, or given. */
static ll_status try_dive(const shared_dive *shared, ll_recorder *recorder, ll_pairing *pairing, ll_error *error)
{
    size_t elsewhere = SIZE_MAX;
    ll_status status = LL_OK;
    if (recorder->by == LL_CLOCK_MATCHED)
        status = ll_pair_elsewhere(shared->pairs, pairing, &elsewhere, error);
    if (elsewhere != SIZE_MAX)
        recorder->elsewhere = elsewhere;
    if (status != LL_OK || elsewhere != SIZE_MAX)
        return status;
    status = ll_pair_compare(shared->pairs, pairing, error);
    if (status != LL_OK || (recorder->index != SIZE_MAX && !ll_is_better_match(&pairing->match, &recorder->match)))
        return status;
    recorder->index = shared->pairs->other[pairing->other].index;
    recorder->match = pairing->match;
    return LL_OK;
}

static ll_status match_recorder(const shared_dive *shared, size_t diver, size_t r, ll_error *error)
{
    const ll_pairs *pairs = shared->pairs;
    ll_recorder *recorder = &shared->review->diver[diver].recorder[r];
    double seconds;
    ll_status status = LL_OK;
    recorder->index = recorder->elsewhere = SIZE_MAX;
    recorder->by = ll_clock_taken(shared->review, diver, &seconds);
    for (size_t p = pairs->from[shared->review->first]; p < pairs->from[shared->review->first + 1]; p++) {
        const ll_other_dive *other = &pairs->other[pairs->pairing[p].other];
        if (status == LL_OK && other->diver == diver && other->recorder == r)
            status = try_dive(shared, recorder, &pairs->pairing[p], error);
    }
    if (status != LL_OK || recorder->index == SIZE_MAX)
        return status;
    return ll_dive_line(shared->review, recorder, recorder->index, shared->start_s, shared->review->arena,
                        &recorder->profile, &recorder->line, error);
}

static ll_status match_all(shared_dive *shared, ll_error *error)
{
    ll_review *review = shared->review;
    ll_status status = take_first(shared, error);
    for (size_t d = 0; d < review->count && status == LL_OK; d++)
        for (size_t r = d == 0; r < review->diver[d].recorders && status == LL_OK; r++)
            status = match_recorder(shared, d, r, error);
    return status;
}

/* --- who has it ----------------------------------------------------------------------------------------------------- */

static const char *why_not(const ll_review *review, const ll_recorder *recorder)
{
    const ll_recorder *first = &review->diver[0].recorder[0];
    if (recorder->by != LL_CLOCK_MATCHED)
        return "none of its dives overlaps the shared one with the clock as it is taken";
    if (recorder->elsewhere != SIZE_MAX)
        return ll_arena_format(review->arena, "its dive is rather dive %u of the first log",
                               first->history->entry[recorder->elsewhere].number);
    if (recorder->index == SIZE_MAX)
        return "none of its dives starts within 12 h of the shared one and is of like length";
    return ll_arena_format(review->arena, "of its dives the nearest to the shared one agrees with it to %d %%, and %d %% is "
                                          "asked",
                           (int)floor(100 * recorder->match.score), (int)(100 * LL_MATCH_LEAST));
}

static bool accept(const ll_review *review, ll_recorder *recorder)
{
    recorder->accepted = recorder->index != SIZE_MAX &&
                         (recorder->by == LL_CLOCK_FIRST || ll_is_accepted(recorder->by, &recorder->match));
    if (!recorder->accepted)
        recorder->why_not = why_not(review, recorder);
    return recorder->accepted || recorder->why_not;
}

static bool settle(const shared_dive *shared)
{
    ll_review *review = shared->review;
    for (size_t d = 0; d < review->count; d++) {
        ll_diver *diver = &review->diver[d];
        for (size_t r = 0; r < diver->recorders; r++) {
            if (!accept(review, &diver->recorder[r]))
                return false;
            if (diver->recorder[r].accepted && diver->main == SIZE_MAX)
                diver->main = r;
        }
        if (diver->main == SIZE_MAX)
            continue;
        const ll_recorder *main = &diver->recorder[diver->main];
        const double start_s = ll_record_start_s(review, main->history->entry[main->index].dive);
        diver->to_team_s = start_s - shared->start_s + main->match.offset_s - shared->leaving_s;
        diver->uncertainty_s = main->match.uncertainty_s;
        review->taken++;
    }
    return true;
}

static ll_status find(ll_review *review, ll_pairs *pairs, ll_error *error)
{
    shared_dive shared = {.review = review, .pairs = pairs};
    ll_status status = ll_review_choose(pairs, &review->first, error);
    if (status == LL_OK && review->first == SIZE_MAX)
        return ll_fail(error, LL_BAD_INPUT, 0,
                       "%.100s: expected a dive of a day at most with a profile, a date and a time, %sfound none",
                       review->diver[0].recorder[0].log->name,
                       review->asked->dive.first || review->asked->dive.has_day ? "as --dive asks, " : "");
    if (status == LL_OK)
        status = match_all(&shared, error);
    return status == LL_OK && !settle(&shared) ? ll_fail_memory(error) : status;
}

ll_status ll_review_find(ll_review *review, ll_error *error)
{
    ll_arena arena;
    ll_pairs pairs;
    ll_arena_open(&arena, review->arena->allocator);
    ll_status status = ll_pairs_open(review, &arena, &pairs, error);
    if (status == LL_OK)
        status = find(review, &pairs, error);
    ll_pairs_close(&pairs);
    ll_arena_close(&arena);
    return status;
}
