/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Changes of mix: what counts as one, what is a break on oxygen, and how deep a mix may be breathed. */
#ifndef LL_REPLAY_SWITCH_H
#define LL_REPLAY_SWITCH_H

#include "replay/profile.h"

/* Whether at the start of a span the mix changes, after the leaving and within the run time. */
bool ll_is_switch(const ll_profile *profile, size_t span);

/* Whether a span is a break on oxygen: on the ascent, on open circuit, from a mix of 95 % oxygen and more to a leaner one for
 * at most 10 min, and back to the same, at depths less than 1.5 m apart. */
bool ll_is_oxygen_break(const ll_profile *profile, size_t span);

/* What the depth that a mix is held against comes from. */
typedef enum ll_mod_source { LL_MOD_NONE, LL_MOD_STATED_DEPTH, LL_MOD_STATED_PO2, LL_MOD_BUILT_IN } ll_mod_source;

/* The greatest depth of a mix: as stated, or that of its stated PO2 (the shallower where the log states both), else that of 1.6
 * atm; NaN on a loop and where the mix is unknown. */
typedef struct ll_mod {
    double depth_m;
    ll_mod_source source;
} ll_mod;

ll_mod ll_mod_of(const ll_profile *profile, const ll_breathed *gas);

#endif
