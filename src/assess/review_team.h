/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the team's figures; used by the files of the review only. */
#ifndef LL_ASSESS_REVIEW_TEAM_H
#define LL_ASSESS_REVIEW_TEAM_H

#include "assess/review_parts.h"

/* What is to be added to the times of a diver's line so that they are the team's. */
double ll_line_shift_s(const ll_diver *diver);

/* The first sample of a line after a time. */
size_t ll_line_after(const ll_depth_line *line, double time_s);

/* Metres apart at each second of the team; NaN where one of the two is not under way or not known. */
void ll_separation(const ll_team *team, const ll_diver *one, const ll_diver *other, double *separation_m);

/* The stretches beyond the team's limit that last long enough. False if memory ran out. */
bool ll_apart_find(const ll_team *team, const double *separation_m, ll_arena *arena, ll_pair *pair);

#endif
