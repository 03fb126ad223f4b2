/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of ll_review_make; used by the files of the review only. Those that return bool are false if memory ran
 * out. */
#ifndef LL_ASSESS_REVIEW_PARTS_H
#define LL_ASSESS_REVIEW_PARTS_H

#include "assess/review.h"

/* The divers with their names, who leads, whose extract it is. LL_BAD_USAGE where a name is nobody's. */
ll_status ll_review_names(ll_review *review, ll_error *error);

/* The diver of a name, or SIZE_MAX. */
size_t ll_review_diver(const ll_review *review, const char *name);

/* Which dive all share, and by how much each clock is off. */
ll_status ll_review_find(ll_review *review, ll_error *error);

/* A value between two samples, on the straight line; NaN inside a gap: so much time between them leaves it unknown. */
typedef struct ll_sampled {
    double time_s, value;
} ll_sampled;
double ll_between(ll_sampled from, ll_sampled to, double interval_s, double time_s);

/* Depth at a time, linear between samples, 0 outside the line; and at a second of the team: NaN outside and in gaps. */
double ll_line_depth_at_m(const ll_depth_line *line, double time_s);

/* The line of a profile's run time, comparison metres; times of the record plus `shift_s`. */
bool ll_line_make(const ll_profile *profile, double shift_s, ll_arena *arena, ll_depth_line *line);

/* Depths of each second, then pairs, separation, the deepest ceiling. */
bool ll_review_team(ll_review *review);

/* Who left the bottom, came to each level, switched, surfaced, and when. */
bool ll_review_orders(ll_review *review);

/* Each diver against each variant of the plan. */
bool ll_review_plan(ll_review *review);

/* What is put side by side: a diver's own figures, then what differs most. */
void ll_review_rows(ll_diver *diver);
bool ll_review_differences(ll_review *review);

/* Each kind of finding against its limits. */
void ll_review_course(ll_diver *diver);

#endif
