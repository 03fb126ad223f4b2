/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/review_near.h"

#include <math.h>
#include <string.h>

#define SCORES_ALIKE 0.02 /* scores closer than this are told apart by the smaller offset */

static double length_s(const ll_dive *dive)
{
    return dive->time_s[dive->count - 1] - dive->time_s[0];
}

bool ll_is_comparable(const ll_dive *dive)
{
    return dive->count > 1 && dive->start.has_date && dive->start.has_time && length_s(dive) <= LL_LONGEST_S;
}

double ll_record_start_s(const ll_review *review, const ll_dive *dive)
{
    return (double)(dive->start.local_s - (review->by_zone ? dive->start.zone_s : 0));
}

ll_clock_by ll_clock_taken(const ll_review *review, size_t diver, double *seconds)
{
    const ll_review_asked *asked = review->asked;
    *seconds = 0;
    for (size_t i = asked->clocks; i-- > 0;) /* the last word counts */
        if (strcmp(asked->clock[i].name, review->diver[diver].name) == 0) {
            *seconds = asked->clock[i].seconds;
            return LL_CLOCK_GIVEN;
        }
    return asked->trust_clocks ? LL_CLOCK_TRUSTED : LL_CLOCK_MATCHED;
}

bool ll_may_be_same(const ll_review *review, const ll_dive *first, const ll_dive *dive, ll_clock_by by, double seconds)
{
    if (!ll_is_comparable(dive))
        return false;
    const double apart_s = ll_record_start_s(review, dive) + seconds - ll_record_start_s(review, first);
    const double first_s = length_s(first), own_s = length_s(dive);
    if (by != LL_CLOCK_MATCHED)
        return apart_s < first_s && -apart_s < own_s;
    return fabs(apart_s) <= LL_CLOCK_MOST_S && own_s <= 2 * first_s && first_s <= 2 * own_s;
}

ll_status ll_dive_line(const ll_review *review, const ll_recorder *recorder, size_t index, double zero_s, ll_arena *arena,
                       ll_profile *profile, ll_depth_line *line, ll_error *error)
{
    const ll_dive *dive = recorder->history->entry[index].dive;
    ll_notes notes = {0};
    *line = (ll_depth_line){0};
    ll_status status = ll_profile_make(recorder->log, dive, &recorder->history->settings, arena, &notes, profile, error);
    if (status != LL_OK || !profile->has_run_time)
        return status;
    return ll_line_make(profile, ll_record_start_s(review, dive) - zero_s, arena, line) ? LL_OK : ll_fail_memory(error);
}

ll_status ll_lines_match(const ll_depth_line *first, const ll_depth_line *line, ll_clock_by by, double seconds,
                         const ll_allocator *allocator, ll_clock_match *match, ll_error *error)
{
    const double most_s = by == LL_CLOCK_MATCHED ? LL_CLOCK_MOST_S : 0;
    const ll_status status = ll_clock_compare(first, line, seconds, most_s, allocator, match, error);
    if (status == LL_OK && by != LL_CLOCK_MATCHED)
        match->offset_s = seconds, match->uncertainty_s = 0;
    return status;
}

bool ll_is_better_match(const ll_clock_match *match, const ll_clock_match *best)
{
    if (fabs(match->score - best->score) > SCORES_ALIKE)
        return match->score > best->score;
    return fabs(match->offset_s) < fabs(best->offset_s);
}
