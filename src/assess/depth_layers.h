/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much of a depth line lies in each layer of water, whenever that was: enough to see of most pairs of lines that no
 * shift of clocks makes them agree. */
#ifndef LL_ASSESS_DEPTH_LAYERS_H
#define LL_ASSESS_DEPTH_LAYERS_H

#include "assess/clock.h"

#define LL_LAYER_M 2.0
enum { LL_LAYERS = 32 }; /* the last one has no floor */

/* Metres times seconds of the line within each layer; their sum is the area of the line. */
typedef struct ll_layers {
    double layer_ms[LL_LAYERS];
} ll_layers;

ll_layers ll_layers_of(const ll_depth_line *line);

/* The score of ll_clock_match, 0 to 1, that two lines of these layers do not exceed at any offset: what the lesser of two
 * lines has in a layer is no more than either of them has there. 0 where one has no area. */
double ll_layers_bound(const ll_layers *one, const ll_layers *other);

#endif
