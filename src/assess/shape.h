/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much of a depth line lies in each layer of water, whenever that was: enough to see of most pairs of lines that no
 * shift of clocks makes them agree. */
#ifndef LL_ASSESS_SHAPE_H
#define LL_ASSESS_SHAPE_H

#include "assess/clock.h"

#define LL_SHAPE_LAYER_M 2.0
enum { LL_SHAPE_LAYERS = 32 }; /* the last one has no floor */

/* Metres times seconds of the line within each layer; their sum is the area of the line. */
typedef struct ll_shape {
    double layer_ms[LL_SHAPE_LAYERS];
} ll_shape;

ll_shape ll_shape_of(const ll_depth_line *line);

/* The score of ll_clock_match, 0 to 1, that two lines of these shapes do not exceed at any offset: what the lesser of two
 * lines has in a layer is no more than either of them has there. 0 where one has no area. */
double ll_shape_bound(const ll_shape *one, const ll_shape *other);

#endif
