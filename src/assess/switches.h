/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Switches of mix as recorded, and what tank pressures say against them. */
#ifndef LL_ASSESS_SWITCHES_H
#define LL_ASSESS_SWITCHES_H

#include "replay/profile.h"

/* What a switch does to the oxygen breathed, by the fractions of the two mixes. */
typedef enum ll_switch_order {
    LL_SWITCH_UNKNOWN, /* one of the two is unknown, or they have the same oxygen */
    LL_SWITCH_RICHER,
    LL_SWITCH_LEANER,
    LL_SWITCH_BREAK,   /* leaner, for a break on oxygen */
    LL_SWITCH_BACK,    /* richer again, from such a break */
    LL_SWITCH_ORDERS
} ll_switch_order;
extern const char *const ll_switch_order_names[LL_SWITCH_ORDERS]; /* "unknown", "richer", "leaner", "break", "back" */

/* What the depth that a mix is held against comes from. */
typedef enum ll_mod_source { LL_MOD_NONE, LL_MOD_STATED_DEPTH, LL_MOD_STATED_PO2, LL_MOD_BUILT_IN } ll_mod_source;

typedef struct ll_switch_shown {
    double time_s, depth_m;
    int mix;         /* index into the log's mixes, or LL_MIX_UNKNOWN */
    const char *to;  /* mix id as the log names it */
    double po2_atm;  /* right after the switch; NaN if unknown */
    double po2_before_atm; /* right before it */
    double mod_m;    /* greatest depth of the mix: as stated, or that of its stated PO2 (the shallower where the log states
                        both), else that of 1.6 atm; NaN on a loop */
    ll_mod_source mod_source;
    double above_mod_m; /* metres from there up to the switch; negative: the switch lies deeper */
    double off_m;    /* farthest from the depth of the switch in the 30 s before and after it, within the record */
    bool held;       /* never more than 1 m from it */
    bool on_ascent;  /* at or after the start of the ascent */
    ll_switch_order order;
} ll_switch_shown;

/* Changes of mix after the leaving, within the run time. False if memory ran out. */
bool ll_switches_list(const ll_profile *profile, ll_arena *arena, size_t *count, const ll_switch_shown **list);

/* Whether a span is a break on oxygen: on the ascent, on open circuit, from a mix of 95 % oxygen and more to a leaner one for
 * at most 10 min, and back to the same, at depths less than 1.5 m apart. */
bool ll_is_oxygen_break(const ll_profile *profile, size_t span);

/* Notes where the pressure of a tank falls by 5 bar and more over 2 min and more while the record names another mix, whose own
 * tanks stand within 1 bar. The first minute on a mix is left out: readings reach a recorder late. Nothing is corrected.
 * False if memory ran out. */
bool ll_switches_doubt(const ll_profile *profile, ll_arena *arena, ll_notes *notes);

#endif
