/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pseudo-random numbers that are the same on every machine: G. Marsaglia, Xorshift RNGs, J. Stat. Software 8(14),
 * 2003. */
#ifndef LL_TESTS_DRAW_H
#define LL_TESTS_DRAW_H

#include <stdint.h>

typedef struct draws {
    uint64_t state; /* not 0 */
} draws;

/* Evenly in [low, high). */
static inline double draw_between(draws *draw, double low, double high)
{
    draw->state ^= draw->state << 13;
    draw->state ^= draw->state >> 7;
    draw->state ^= draw->state << 17;
    return low + (high - low) * ((double)(draw->state >> 11) * 0x1p-53);
}

#endif
