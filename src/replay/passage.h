/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The way down a dive, leg by leg, for whoever keeps tissues of his own: no doses, nothing remembered. */
#ifndef LL_REPLAY_PASSAGE_H
#define LL_REPLAY_PASSAGE_H

#include "replay/leg.h"

typedef struct ll_passage {
    const ll_profile *profile;
    size_t span; /* of the breathed spans: the one that holds the last interval asked for */
} ll_passage;

/* A stretch of a dive on which every pressure is linear in time. */
typedef struct ll_passage_leg {
    ll_leg breathed;
    double ambient_bar[2];
} ll_passage_leg;

void ll_passage_open(ll_passage *passage, const ll_profile *profile);

/* The descent put before a record that begins under water. The number of legs: 0 without one, or where its gas is
 * unknown. */
int ll_passage_before(const ll_passage *passage, ll_passage_leg legs[LL_MAX_LEGS]);

/* From sample `interval` to the next one; to be asked for rising ones. At the surface air; 0 legs on unknown gas. */
int ll_passage_legs(ll_passage *passage, size_t interval, ll_passage_leg legs[LL_MAX_LEGS]);

/* A change of ambient pressure at a constant rate on one gas; arguments as for ll_legs_make. */
int ll_passage_between(const ll_breathed *gas, double seconds, double from_bar, double to_bar, ll_loop_line line,
                       ll_passage_leg legs[LL_MAX_LEGS]);

#endif
