/* SPDX-License-Identifier: GPL-3.0-or-later */
/* PO2 recorded on a loop, made dense: linear between the readings of one loop stretch. Used by profile.c only. */
#ifndef LL_REPLAY_LOOP_H
#define LL_REPLAY_LOOP_H

#include "replay/profile.h"

/* Fills measured_bar and calculated_bar where the dive has loop spans and readings. False if memory ran out. */
bool ll_loop_readings(ll_profile *profile, ll_arena *arena);

#endif
