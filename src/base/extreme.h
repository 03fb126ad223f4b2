/* SPDX-License-Identifier: GPL-3.0-or-later */
/* fmax and fmin are calls into the library, as a compiler may not put a comparison in their place: they look for NaN. */
#ifndef LL_BASE_EXTREME_H
#define LL_BASE_EXTREME_H

/* The greater and the lesser of two numbers; neither may be NaN. */
static inline double ll_greater(double a, double b)
{
    return a > b ? a : b;
}

static inline double ll_lesser(double a, double b)
{
    return a < b ? a : b;
}

#endif
