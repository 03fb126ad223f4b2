/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which dive the logs share, and by how much each recorder's clock is off against the first log's. */
#include <math.h>

#include "assess/review_choose.h"

const char *const ll_clock_by_names[LL_CLOCK_WAYS] = {"first", "matched", "trusted", "given"};

/* The shared dive, as the first log has it. */
typedef struct shared_dive {
    ll_review *review;
    ll_choice *choice;
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

/* Compares one dive; keeps it where it matches better than what the recorder had. */
static ll_status compare(const shared_dive *shared, ll_recorder *recorder, size_t index, double seconds, ll_error *error)
{
    ll_arena *arena = shared->review->arena;
    ll_profile profile;
    ll_depth_line line;
    ll_clock_match match;
    ll_status status = ll_dive_line(shared->review, recorder, index, shared->start_s, arena, &profile, &line, error);
    if (status != LL_OK || line.count == 0)
        return status;
    status = ll_lines_match(&shared->review->diver[0].recorder[0].line, &line, recorder->by, seconds, arena->allocator,
                            &match, error);
    if (status != LL_OK || (recorder->index != SIZE_MAX && !ll_is_better_match(&match, &recorder->match)))
        return status;
    recorder->index = index;
    recorder->match = match;
    recorder->profile = profile;
    recorder->line = line;
    return LL_OK;
}

/* The dive of the first log that a dive is, where that is another than the shared one. A clock that is taken as it is, or
 * given, is not asked. */
static ll_status find_elsewhere(const shared_dive *shared, const ll_recorder *recorder, size_t index, size_t *elsewhere,
                                ll_error *error)
{
    *elsewhere = SIZE_MAX;
    if (recorder->by != LL_CLOCK_MATCHED)
        return LL_OK;
    return ll_choice_elsewhere(shared->choice, shared->review->first, recorder, index, elsewhere, error);
}

static ll_status match_recorder(const shared_dive *shared, size_t diver, ll_recorder *recorder, ll_error *error)
{
    double seconds;
    ll_status status = LL_OK;
    recorder->index = recorder->elsewhere = SIZE_MAX;
    recorder->by = ll_clock_taken(shared->review, diver, &seconds);
    for (size_t i = 0; i < recorder->history->count && status == LL_OK; i++) {
        size_t elsewhere;
        if (!ll_may_be_same(shared->review, shared->dive, recorder->history->entry[i].dive, recorder->by, seconds))
            continue;
        status = find_elsewhere(shared, recorder, i, &elsewhere, error);
        if (status == LL_OK && elsewhere == SIZE_MAX)
            status = compare(shared, recorder, i, seconds, error);
        else
            recorder->elsewhere = elsewhere;
    }
    return status;
}

static ll_status match_all(shared_dive *shared, ll_error *error)
{
    ll_review *review = shared->review;
    ll_status status = take_first(shared, error);
    for (size_t d = 0; d < review->count && status == LL_OK; d++)
        for (size_t r = d == 0; r < review->diver[d].recorders && status == LL_OK; r++)
            status = match_recorder(shared, d, &review->diver[d].recorder[r], error);
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

static ll_status find(ll_review *review, ll_choice *choice, ll_error *error)
{
    shared_dive shared = {.review = review, .choice = choice};
    ll_status status = ll_choice_make(choice, &review->first, error);
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
    ll_choice choice;
    ll_arena_open(&arena, review->arena->allocator);
    ll_status status = ll_choice_open(review, &arena, &choice, error);
    if (status == LL_OK)
        status = find(review, &choice, error);
    ll_choice_close(&choice);
    ll_arena_close(&arena);
    return status;
}
