/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much of a depth line lies in each layer of water, whenever that was: enough to see of most pairs of lines that no
 * shift of clocks makes them agree. */
#ifndef LL_ASSESS_DEPTH_LAYERS_H
#define LL_ASSESS_DEPTH_LAYERS_H

#include "assess/clock.h"

enum { LL_LAYERS = 32 }; /* the last one has no floor */

/* Adds to each layer of `layer_m` the metres times seconds of a profile within it: straight between `count` samples. */
void ll_layers_add(size_t count, const double *time_s, const double *depth_m, double layer_m, double layer_ms[LL_LAYERS]);

/* Of a line, in layers of 2 m; their sum is the area of the line. */
typedef struct ll_layers {
    double layer_ms[LL_LAYERS];
} ll_layers;

ll_layers ll_layers_of(const ll_depth_line *line);

/* The score of ll_clock_match, 0 to 1, that two lines of these layers do not exceed at any offset: what the lesser of two
 * lines has in a layer is no more than either of them has there. 0 where one has no area. */
double ll_layers_bound(const ll_layers *one, const ll_layers *other);

#endif
