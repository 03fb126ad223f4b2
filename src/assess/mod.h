/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mixes breathed deeper than the log itself says they may be. */
#ifndef LL_ASSESS_MOD_H
#define LL_ASSESS_MOD_H

#include "replay/profile.h"

/* Notes the first mix breathed on open circuit in the run time by more than 0.5 m deeper than the greatest depth, or the
 * depth at the greatest PO2, that the log states for it (the shallower where it states both; further mixes are counted). A log
 * that states neither is asked nothing. False if memory ran out. */
bool ll_mod_note(const ll_profile *profile, ll_arena *arena, ll_notes *notes);

#endif
