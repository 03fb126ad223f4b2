/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far the clock of one recorder is off another's, from the depth lines alone.
 *
 * What was really a lag between two divers, kept up through the whole dive, cannot be told from a clock. A lag in a
 * part of the dive moves the offset little: large differences weigh by their size, not by its square. Nor does it
 * matter that one recorder was set to fresh water and the other to salt. Where as much of a dive speaks for one offset
 * as for another, the uncertainty is wide. */
#ifndef LL_ASSESS_CLOCK_H
#define LL_ASSESS_CLOCK_H

#include <stddef.h>

#include "base/arena.h"
#include "base/error.h"

/* Depth against time on one recorder's own clock; straight between samples, 0 outside. Times rise strictly; all
 * values are finite. A record that begins or ends deeper than 2 m says nothing of what was before or after; nor does
 * one of the time between two samples that are more than 30 s and more than four intervals apart. There the search
 * for the offset does not look; score and difference take the line as it is. */
typedef struct ll_depth_line {
    size_t count;
    const double *time_s, *depth_m;
    double interval_s; /* median */
} ll_depth_line;

typedef struct ll_clock_match {
    /* To be added to the other's times so that they agree with the first's. */
    double offset_s;
    /* Half width, about 95 %: twice the standard error that the losses give, neighbours taken as related; at least a
     * quarter of the coarser interval and 0.5 s; at most as far as was searched. */
    double uncertainty_s;
    /* 0..1: area under the lesser of the two lines at each instant over the area under the greater, after the offset;
     * 1: the same line; 0: they share nothing, and nothing of the search is known. */
    double score;
    /* Mean absolute difference over the union of both dives, after the offset; 0 if neither lasts. */
    double difference_m;
    /* Whole or half hours in offset_s, in seconds: the multiple of 1800 s that lies within 300 s of it; 0 where none
     * does, or where the score is 0. */
    int zone_s;
} ll_clock_match;

/* Finds the offset within most_s (0 or more) of centre_s at which the two lines differ least.
 *
 * Both are put on an even grid and correlated at all lags. The best few are followed downhill by the mean loss of the
 * difference of the two lines themselves (its square up to 1 m, then straight: P. J. Huber, Robust estimation of a
 * location parameter, Annals of Mathematical Statistics 35 (1964), 73-101), the other's depths times the one factor
 * that fits them best to the first's. The offset is where the losses 4 s and 8 s earlier balance those 4 s and 8 s
 * later: the middle of the valley rather than its lowest point, which noise that both happen to share would move. Half
 * of either line must be where both records tell of depth. The standard error is that of such an estimate under related
 * residuals (W. K. Newey and K. D. West, Econometrica 55 (1987), 703-708), the greatest over two minutes, one, a half and
 * so on either way. Sources from memory.
 *
 * Lines without area, or none of whose depth meets within the window: offset_s is centre_s, score 0, uncertainty_s
 * most_s or the least there is. The same lines give the same bits.
 * LL_NO_MEMORY: the allocator refused; `match` is untouched. */
ll_status ll_clock_compare(const ll_depth_line *first, const ll_depth_line *other, double centre_s, double most_s,
                           const ll_allocator *allocator, ll_clock_match *match, ll_error *error);

#endif
