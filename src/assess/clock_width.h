/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How well two depth lines hold the offset between them. Used by the search for it only. */
#ifndef LL_ASSESS_CLOCK_WIDTH_H
#define LL_ASSESS_CLOCK_WIDTH_H

#include <stdbool.h>

#include "assess/clock.h"

/* The offset is where the losses at these distances earlier and later balance: multiples of so many seconds. */
#define LL_CLOCK_BALANCE_S 4.0
enum { LL_CLOCK_BALANCES = 2 };

/* Two lines that have samples, the offset and the factor that fit the other to the first, and how fine to look. */
typedef struct ll_clock_fit {
    const ll_depth_line *first, *other;
    double offset_s, scale, step_s;
} ll_clock_fit;

/* The standard error of that offset: what each instant pulls at the balance, neighbours taken as related, over how
 * stiff all of them hold it. There slopes are those between means, so that noise does not look like one. Infinite where
 * nothing holds it. False if memory ran out. */
bool ll_clock_error_find(const ll_clock_fit *fit, ll_arena *arena, double *error_s);

#endif
