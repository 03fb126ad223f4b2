/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The way down a dive, leg by leg, for whoever keeps tissues of his own: no doses, nothing remembered. */
#ifndef LL_REPLAY_PASSAGE_H
#define LL_REPLAY_PASSAGE_H

#include "replay/leg.h"

typedef struct ll_passage {
    const ll_profile *profile;
    size_t span; /* of the breathed spans: the one that holds the last interval asked for */
} ll_passage;

/* At the first sample; `legs` gets the descent put before a record that begins under water, *count their number: 0 without
 * one, or where its gas is unknown. */
void ll_passage_open(ll_passage *passage, const ll_profile *profile, ll_leg legs[LL_MAX_LEGS], int *count);

/* From sample `interval` to the next one; to be asked for rising ones. At the surface air; 0 legs on unknown gas. */
int ll_passage_legs(ll_passage *passage, size_t interval, ll_leg legs[LL_MAX_LEGS]);

#endif
