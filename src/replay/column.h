/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of ll_replay_columns: columns that depend on depth and gas alone, and those of the tissue loop. */
#ifndef LL_REPLAY_COLUMN_H
#define LL_REPLAY_COLUMN_H

#include "replay/replay.h"

/* A new column of the track if it is wanted, else NULL. Sets *no_memory where it is wanted and cannot be had. */
double *ll_column_new(ll_track *track, ll_quantity quantity, ll_quantities wanted, ll_arena *arena, bool *no_memory);

/* Ambient pressure, fractions, PO2, ENDs, density, ascent rate. */
bool ll_columns_of_gas(ll_track *track, ll_quantities wanted, ll_arena *arena);
bool ll_column_of_rate(ll_track *track, ll_quantities wanted, ll_arena *arena);

/* Everything that needs the walk through the dive. */
bool ll_columns_of_tissue(ll_track *track, const ll_settings *settings, const ll_state *start, ll_quantities wanted,
                          const ll_keep *keep, ll_arena *arena);

/* The no-stop time (s) at a sample with these tissues, breathing `gas`; NaN beyond 24 h or on unknown gas. */
double ll_no_stop_s(const ll_profile *profile, const ll_inert *tissues, const ll_breathed *gas, size_t sample);

/* Recorded PO2 (bar) on the loop at a sample, NaN if none. */
double ll_recorded_po2_bar(const ll_profile *profile, size_t sample);

#endif
