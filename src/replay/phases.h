/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Run time, start of the ascent, bottom phase: found from depth and switches alone. */
#ifndef LL_REPLAY_PHASES_H
#define LL_REPLAY_PHASES_H

#include "replay/profile.h"

/* The last sample at the surface before the first one that is under water; the first where there is none. False: nothing is
 * under water. */
bool ll_leaving_find(const double *depth_m, size_t count, size_t *leaving);

/* Fills the run-time members of a profile whose columns and spans are set. */
void ll_phases_find(ll_profile *profile);

/* Seconds deeper than a depth, crossings interpolated. */
double ll_seconds_deeper(const ll_profile *profile, double depth_m);

#endif
