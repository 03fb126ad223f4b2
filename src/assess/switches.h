/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Switches of mix as recorded, and what tank pressures say against them. */
#ifndef LL_ASSESS_SWITCHES_H
#define LL_ASSESS_SWITCHES_H

#include "replay/switch.h"

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

typedef struct ll_switch_shown {
    double time_s, depth_m;
    int mix;         /* index into the log's mixes, or LL_MIX_UNKNOWN */
    const char *to;  /* mix id as the log names it */
    double po2_atm;  /* right after the switch; NaN if unknown */
    double po2_before_atm; /* right before it */
    ll_mod mod;      /* greatest depth of the mix */
    double off_m;    /* farthest from the depth of the switch in the 30 s before and after it, within the record */
    bool held;       /* never more than 1 m from it */
    bool on_ascent;  /* at or after the start of the ascent */
    ll_switch_order order;
} ll_switch_shown;

/* All that are a switch, see ll_is_switch. False if memory ran out. */
bool ll_switches_list(const ll_profile *profile, ll_arena *arena, size_t *count, const ll_switch_shown **list);

/* Notes where the pressure of a tank falls by 5 bar and more over 2 min and more while the record names another mix, whose own
 * tanks stand within 1 bar. The first minute on a mix is left out: readings reach a recorder late. Nothing is corrected.
 * False if memory ran out. */
bool ll_switches_doubt(const ll_profile *profile, ll_arena *arena, ll_notes *notes);

#endif
