/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The record as it may have been, had the recorder erred: shifted copies of a profile for the question how firm a finding
 * is. Run time, ascent and bottom phase stay those of the record. */
#ifndef LL_REPLAY_LANE_H
#define LL_REPLAY_LANE_H

#include "replay/profile.h"

#define LL_ACCURACY_M 0.3 /* common practice, no source */
#define LL_ACCURACY_SHARE 0.01

/* What a recorded depth may be off by: 0.3 m + 1 % of it, never more than the depth itself. */
double ll_depth_accuracy_m(double depth_m);

/* How far back from a sample its ascent rate looks, seconds; 0 at the first sample. */
double ll_rate_window_s(const ll_profile *profile, size_t sample);

/* Every depth deeper (sign 1) or shallower (sign -1) by its accuracy. False if memory ran out. */
bool ll_lane_of_depth(const ll_profile *profile, double sign, ll_arena *arena, ll_profile *lane);

/* The recorder set to another density of water. */
void ll_lane_of_water(const ll_profile *profile, double water_kg_m3, ll_profile *lane);

/* On open circuit so much more oxygen in every mix (a fraction, may be negative), within 0 and what helium leaves. False if
 * memory ran out. */
bool ll_lane_of_oxygen(const ll_profile *profile, double more, ll_arena *arena, ll_profile *lane);

#endif
