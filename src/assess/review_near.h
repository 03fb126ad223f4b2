/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dives of two logs that may be the same one, by clock and length, and how well their lines agree; used by the files of
 * the review only. */
#ifndef LL_ASSESS_REVIEW_NEAR_H
#define LL_ASSESS_REVIEW_NEAR_H

#include "assess/review_parts.h"

#define LL_CLOCK_MOST_S (12 * 3600.0)
#define LL_LONGEST_S (24 * 3600.0) /* of a record that is compared */

/* Has samples, a date and a time, and lasts a day at most: is compared second by second. */
bool ll_is_comparable(const ll_dive *dive);

/* The zero of a dive's record on the clock that all logs share. */
double ll_record_start_s(const ll_review *review, const ll_dive *dive);

/* How a diver's clocks are taken; `seconds` as given, else 0. */
ll_clock_by ll_clock_taken(const ll_review *review, size_t diver, double *seconds);

/* Near enough in time to a comparable dive of the first log, and not of quite another length. Where the clock is taken as
 * it is, or given, it only has to overlap. */
bool ll_may_be_same(const ll_review *review, const ll_dive *first, const ll_dive *dive, ll_clock_by by, double seconds);

/* The line of a dive, its times since `zero_s` on the clock that all logs share; empty without a run time. */
ll_status ll_dive_line(const ll_review *review, const ll_recorder *recorder, size_t index, double zero_s, ll_arena *arena,
                       ll_profile *profile, ll_depth_line *line, ll_error *error);

/* How well two lines agree, the clock taken as `by` says. */
ll_status ll_lines_match(const ll_depth_line *first, const ll_depth_line *line, ll_clock_by by, double seconds,
                         const ll_allocator *allocator, ll_clock_match *match, ll_error *error);

/* Of two matches the better one: by score, and where these are alike by the smaller offset. */
bool ll_is_better_match(const ll_clock_match *match, const ll_clock_match *best);

#endif
