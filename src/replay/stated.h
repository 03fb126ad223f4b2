/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures that a log states of a dive, held against its samples. Used by profile.c only. */
#ifndef LL_REPLAY_STATED_H
#define LL_REPLAY_STATED_H

#include "replay/profile.h"

/* A stated figure that the samples do not bear out. */
typedef struct ll_disagreement {
    ll_note_code code;
    double stated, sampled; /* m, s or degrees Celsius */
    double factor;          /* between the units that the two might be in; NaN: none comes near */
} ll_disagreement;

enum { LL_STATED_FIGURES = 4 }; /* greatest depth, duration, average depth, lowest temperature */

/* Finds them, in that order; returns how many. Expects the phases of the profile found. */
size_t ll_stated_disagreements(const ll_profile *profile, ll_disagreement found[LL_STATED_FIGURES]);

#endif
