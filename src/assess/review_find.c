/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which dive the logs share, and by how much each recorder's clock is off against the first log's. */
#include <math.h>
#include <string.h>

#include "assess/review_parts.h"

#define CLOCK_MOST_S (12 * 3600.0)
#define LONGEST_S (24 * 3600.0) /* of a record that is compared second by second */
#define SCORES_ALIKE 0.02 /* scores closer than this are told apart by the smaller offset */
enum { MOST_TIED = 8 };   /* dives of the first log that are looked at more closely */

const char *const ll_clock_by_names[LL_CLOCK_WAYS] = {"first", "matched", "trusted", "given"};

/* A dive of the first log, tried as the shared one. */
typedef struct trial {
    ll_review *review;
    size_t first;     /* among the first log's entries */
    double start_s;   /* its record's zero on the clock */
    double length_s;  /* of its record */
    double leaving_s; /* on its record */
    ll_depth_line line;
    size_t near;      /* divers with a dive that may be it */
    double score;     /* sum over the divers of the best score */
} trial;

/* --- dives and clocks --------------------------------------------------------------------------------------------- */

static bool has_clock(const ll_dive *dive)
{
    return dive->start.has_date && dive->start.has_time;
}

static double start_s(const ll_review *review, const ll_dive *dive)
{
    return (double)(dive->start.local_s - (review->by_zone ? dive->start.zone_s : 0));
}

static double length_s(const ll_dive *dive)
{
    return dive->time_s[dive->count - 1] - dive->time_s[0];
}

static bool is_usable(const ll_dive *dive)
{
    return dive->count > 1 && has_clock(dive) && length_s(dive) <= LONGEST_S;
}

static bool is_asked(const ll_dive_asked *asked, const ll_entry *entry)
{
    if (asked->has_day)
        return entry->dive->start.has_date && ll_instant_day(&entry->dive->start) == asked->day;
    return asked->first == 0 || (entry->number >= asked->first && entry->number <= asked->last);
}

/* How a diver's clocks are taken. `seconds` as given. */
static ll_clock_by taken_by(const ll_review_asked *asked, const ll_diver *diver, bool first, double *seconds)
{
    *seconds = 0;
    for (size_t i = 0; i < asked->clocks; i++)
        if (strcmp(asked->clock[i].name, diver->name) == 0) {
            *seconds = asked->clock[i].seconds;
            return LL_CLOCK_GIVEN;
        }
    if (first)
        return LL_CLOCK_FIRST;
    return asked->trust_clocks ? LL_CLOCK_TRUSTED : LL_CLOCK_MATCHED;
}

/* Near enough in time, and not of quite another length, to be the dive tried. With clocks taken as they are it only has to
 * overlap. */
static bool may_be(const trial *now, const ll_dive *dive, ll_clock_by by, double seconds)
{
    if (!is_usable(dive))
        return false;
    const double apart_s = start_s(now->review, dive) + seconds - now->start_s, own_s = length_s(dive);
    if (by != LL_CLOCK_MATCHED)
        return apart_s < now->length_s && -apart_s < own_s;
    return fabs(apart_s) <= CLOCK_MOST_S && own_s <= 2 * now->length_s && now->length_s <= 2 * own_s;
}

/* --- one recorder against the dive tried -------------------------------------------------------------------------- */

static ll_status make_line(const ll_review *review, const ll_recorder *recorder, size_t index, double zero_s,
                           ll_arena *arena, ll_profile *profile, ll_depth_line *line, ll_error *error)
{
    const ll_dive *dive = recorder->history->entry[index].dive;
    ll_notes notes = {0};
    *line = (ll_depth_line){0};
    ll_status status = ll_profile_make(recorder->log, dive, &recorder->history->settings, arena, &notes, profile, error);
    if (status != LL_OK || !profile->has_run_time)
        return status;
    return ll_line_make(profile, start_s(review, dive) - zero_s, arena, line) ? LL_OK : ll_fail_memory(error);
}

static bool is_better(const ll_clock_match *match, const ll_clock_match *best)
{
    if (fabs(match->score - best->score) > SCORES_ALIKE)
        return match->score > best->score;
    return fabs(match->offset_s) < fabs(best->offset_s);
}

/* Compares one dive; keeps it where it matches better than what the recorder had. */
static ll_status compare(const trial *now, ll_recorder *recorder, size_t index, double seconds, ll_arena *arena,
                         ll_error *error)
{
    ll_profile profile;
    ll_depth_line line;
    ll_clock_match match = {0};
    const double most_s = recorder->by == LL_CLOCK_MATCHED ? CLOCK_MOST_S : 0;
    ll_status status = make_line(now->review, recorder, index, now->start_s, arena, &profile, &line, error);
    if (recorder->by == LL_CLOCK_FIRST)
        match.score = 1; /* it is the dive tried */
    else if (status == LL_OK && line.count > 0)
        status = ll_clock_compare(&now->line, &line, seconds, most_s, arena->allocator, &match, error);
    if (status != LL_OK || line.count == 0)
        return status;
    if (recorder->by != LL_CLOCK_MATCHED)
        match.offset_s = seconds, match.uncertainty_s = 0;
    if (recorder->index == SIZE_MAX || is_better(&match, &recorder->match)) {
        recorder->index = index;
        recorder->match = match;
        recorder->profile = profile;
        recorder->line = line;
    }
    return LL_OK;
}

static ll_status match_recorder(const trial *now, const ll_diver *diver, ll_recorder *recorder, bool first,
                                ll_arena *arena, ll_error *error)
{
    double seconds;
    ll_status status = LL_OK;
    recorder->index = SIZE_MAX;
    recorder->match = (ll_clock_match){0};
    recorder->by = taken_by(now->review->asked, diver, first, &seconds);
    if (first) {
        recorder->by = LL_CLOCK_FIRST;
        return compare(now, recorder, now->first, 0, arena, error);
    }
    for (size_t i = 0; i < recorder->history->count && status == LL_OK; i++)
        if (may_be(now, recorder->history->entry[i].dive, recorder->by, seconds))
            status = compare(now, recorder, i, seconds, arena, error);
    return status;
}

static ll_status match_all(trial *now, ll_arena *arena, ll_error *error)
{
    ll_review *review = now->review;
    ll_status status = LL_OK;
    now->score = 0;
    for (size_t d = 0; d < review->count && status == LL_OK; d++) {
        double best = 0;
        for (size_t r = 0; r < review->diver[d].recorders && status == LL_OK; r++) {
            ll_recorder *recorder = &review->diver[d].recorder[r];
            status = match_recorder(now, &review->diver[d], recorder, d == 0 && r == 0, arena, error);
            best = fmax(best, recorder->match.score);
        }
        now->score += best;
    }
    return status;
}

/* --- which dive --------------------------------------------------------------------------------------------------- */

static ll_status try_dive(ll_review *review, size_t first, ll_arena *arena, trial *now, ll_error *error)
{
    const ll_recorder *recorder = &review->diver[0].recorder[0];
    const ll_dive *dive = recorder->history->entry[first].dive;
    ll_profile profile;
    *now = (trial){.review = review, .first = first, .start_s = start_s(review, dive), .length_s = length_s(dive)};
    ll_status status = make_line(review, recorder, first, now->start_s, arena, &profile, &now->line, error);
    if (status == LL_OK && now->line.count > 0)
        now->leaving_s = profile.time_s[profile.leaving];
    return status;
}

static size_t count_near(const trial *now)
{
    const ll_review *review = now->review;
    size_t near = 0;
    for (size_t d = 1; d < review->count; d++) {
        const ll_diver *diver = &review->diver[d];
        double seconds;
        const ll_clock_by by = taken_by(review->asked, diver, false, &seconds);
        bool any = false;
        for (size_t r = 0; r < diver->recorders; r++)
            for (size_t i = 0; i < diver->recorder[r].history->count && !any; i++)
                any = may_be(now, diver->recorder[r].history->entry[i].dive, by, seconds);
        near += any;
    }
    return near;
}

/* Is a dive of the first log one that may be asked about: its place in time alone. */
static bool is_candidate(const ll_review *review, size_t index)
{
    const ll_entry *entry = &review->diver[0].recorder[0].history->entry[index];
    return is_usable(entry->dive) && is_asked(&review->asked->dive, entry);
}

static size_t near_at(ll_review *review, size_t index)
{
    const ll_dive *dive = review->diver[0].recorder[0].history->entry[index].dive;
    const trial now = {.review = review, .start_s = start_s(review, dive), .length_s = length_s(dive)};
    return count_near(&now);
}

/* Of the dives with most divers near, the one that fits best; of those that fit alike the latest. */
static ll_status choose(ll_review *review, ll_arena *scratch, ll_error *error)
{
    const size_t count = review->diver[0].recorder[0].history->count;
    size_t most = 0, tied = 0;
    double best = -1;
    ll_status status = LL_OK;
    review->first = SIZE_MAX;
    for (size_t i = 0; i < count; i++)
        if (is_candidate(review, i))
            most = near_at(review, i) > most ? near_at(review, i) : most;
    for (size_t i = count; i-- > 0 && status == LL_OK && tied < MOST_TIED;) {
        trial now;
        if (!is_candidate(review, i) || near_at(review, i) < most)
            continue;
        tied++;
        ll_arena_reset(scratch);
        status = try_dive(review, i, scratch, &now, error);
        if (status == LL_OK && now.line.count > 0)
            status = match_all(&now, scratch, error);
        if (status == LL_OK && now.line.count > 0 && now.score > best + SCORES_ALIKE) {
            review->first = i;
            best = now.score;
        }
    }
    return status;
}

/* --- who has it ----------------------------------------------------------------------------------------------------- */

static bool say_why_not(ll_review *review, ll_recorder *recorder)
{
    const bool forced = recorder->by == LL_CLOCK_TRUSTED || recorder->by == LL_CLOCK_GIVEN;
    recorder->accepted = recorder->index != SIZE_MAX &&
                         (forced ? recorder->match.score > 0 : recorder->match.score >= LL_MATCH_LEAST);
    if (recorder->accepted)
        return true;
    if (forced)
        recorder->why_not = "none of its dives overlaps the shared one with the clock as it is taken";
    else if (recorder->index == SIZE_MAX)
        recorder->why_not = "none of its dives starts within 12 h of the shared one and is of like length";
    else
        recorder->why_not = ll_arena_format(
            review->arena, "of its dives the nearest to the shared one agrees with it to %d %%, and %d %% is asked",
            (int)floor(100 * recorder->match.score), (int)(100 * LL_MATCH_LEAST));
    return recorder->why_not != NULL;
}

static bool settle(ll_review *review, const trial *now)
{
    for (size_t d = 0; d < review->count; d++) {
        ll_diver *diver = &review->diver[d];
        for (size_t r = 0; r < diver->recorders; r++) {
            ll_recorder *recorder = &diver->recorder[r];
            if (!say_why_not(review, recorder))
                return false;
            if (recorder->accepted && diver->main == SIZE_MAX)
                diver->main = r;
        }
        if (diver->main == SIZE_MAX)
            continue;
        const ll_recorder *main = &diver->recorder[diver->main];
        const ll_dive *dive = main->history->entry[main->index].dive;
        diver->to_team_s = start_s(review, dive) - now->start_s + main->match.offset_s - now->leaving_s;
        diver->uncertainty_s = main->match.uncertainty_s;
        review->taken++;
    }
    return true;
}

ll_status ll_review_find(ll_review *review, ll_error *error)
{
    ll_arena scratch;
    trial now;
    ll_arena_open(&scratch, review->arena->allocator);
    ll_status status = choose(review, &scratch, error);
    ll_arena_close(&scratch);
    if (status == LL_OK && review->first == SIZE_MAX)
        status = ll_fail(error, LL_BAD_INPUT, 0,
                         "%.100s: expected a dive of a day at most with a profile, a date and a time, %sfound none",
                         review->diver[0].recorder[0].log->name,
                         review->asked->dive.first || review->asked->dive.has_day ? "as --dive asks, " : "");
    if (status == LL_OK)
        status = try_dive(review, review->first, review->arena, &now, error);
    if (status == LL_OK)
        status = match_all(&now, review->arena, error);
    return status == LL_OK && !settle(review, &now) ? ll_fail_memory(error) : status;
}
