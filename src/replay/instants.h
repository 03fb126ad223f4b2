/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The two instants of a dive that a debrief asks about: the start of the ascent and the surfacing. */
#ifndef LL_REPLAY_INSTANTS_H
#define LL_REPLAY_INSTANTS_H

#include "replay/replay.h"
#include "replay/surface.h"

/* The span that a sample's own instant belongs to: at a switch the new one. */
const ll_breathed *ll_breathed_at(const ll_profile *profile, size_t sample);

/* The surfacing, as far as it is known. */
typedef struct ll_surfacing {
    bool known; /* the record reaches the surface and the tissues are known there */
    double time_s;
    double gradient_percent; /* at the surface pressure with the tissues of that sample */
    int leading_compartment;
    double ceiling_m;
} ll_surfacing;

/* Of a track with any of ceiling, stop, gradient, leading compartment, no-stop time, time to surface asked for. */
ll_surfacing ll_surfacing_of(const ll_track *track);

/* What was owed at the start of the ascent. */
typedef struct ll_owed {
    bool known; /* there is a run time, and tissues and gas are known there */
    double ascent_start_s, ascent_start_depth_m; /* NaN without a run time */
    bool required; /* a decompression dive: a minute or more was owed */
    ll_way_up way;
} ll_owed;

/* Of such a track. False if memory ran out. */
bool ll_owed_of(const ll_track *track, const ll_settings *settings, ll_arena *arena, ll_owed *owed);

#endif
