/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Run time, start of the ascent, bottom phase: found from depth and switches alone. Used by profile.c only. */
#ifndef LL_REPLAY_PHASES_H
#define LL_REPLAY_PHASES_H

#include "replay/profile.h"

/* Fills the run-time members of a profile whose columns and spans are set. */
void ll_phases_find(ll_profile *profile);

/* Seconds deeper than a depth, crossings interpolated. */
double ll_seconds_deeper(const ll_profile *profile, double depth_m);

#endif
