/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stretches of run time in which a quantity stands beyond a limit. */
#ifndef LL_FINDING_STRETCH_H
#define LL_FINDING_STRETCH_H

#include "replay/replay.h"

/* A quantity over the samples of a track: linear between them; at a change of gas the old gas counts up to it. */
typedef struct ll_curve {
    const ll_profile *profile;
    const double *value;       /* one a sample, NaN where missing */
    const double *at_span_end; /* one a breathed span, see ll_track; NULL where gas does not matter */
    double deeper_than_m;      /* only where the diver is deeper; negative: everywhere */
} ll_curve;

typedef struct ll_beyond {
    double limit;
    ll_direction direction;
    size_t first, last;      /* samples between which to look */
    double least_unbroken_s; /* shorter stretches do not count */
} ll_beyond;

typedef struct ll_stretch {
    double from_s, to_s;
    double beyond_s;
    double peak, peak_s;
    double limit; /* the limit that it was looked for with */
} ll_stretch;

/* A growing list in an arena. Zero-initialise. */
typedef struct ll_stretches {
    ll_stretch *items;
    size_t count, capacity;
} ll_stretches;

/* Over and under mean by more than a millionth of the limit (1e-6 where it is 0). False for NaN. */
bool ll_is_beyond(double value, double limit, ll_direction direction);

/* Appends every unbroken stretch. False if memory ran out. */
bool ll_stretches_find(const ll_curve *curve, const ll_beyond *beyond, ll_arena *arena, ll_stretches *found);

#define LL_JOINED_BELOW_S 30.0

/* Joins neighbours that lie less than 30 s apart, end to start; the list must be in time order. */
void ll_stretches_join(ll_stretches *found, ll_direction direction);

#endif
