/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/depth_layers.h"

#include <math.h>

#define LEVEL_M 1e-6 /* a line that changes by less is taken as level */

/* Integral from 0 to `depth_m` of what of a depth lies within a layer that begins at 0. */
static double within(double depth_m, double layer_m)
{
    const double inside_m = fmin(fmax(depth_m, 0), layer_m);
    return inside_m * inside_m / 2 + layer_m * fmax(depth_m - layer_m, 0);
}

static double part_ms(double from_m, double to_m, double seconds, double layer_m)
{
    if (fabs(to_m - from_m) < LEVEL_M)
        return seconds * fmin(fmax((from_m + to_m) / 2, 0), layer_m);
    return seconds * (within(to_m, layer_m) - within(from_m, layer_m)) / (to_m - from_m);
}

ll_layers ll_layers_of(const ll_depth_line *line)
{
    ll_layers layers = {{0}};
    for (size_t i = 1; i < line->count; i++) {
        const double seconds = line->time_s[i] - line->time_s[i - 1];
        const double deepest_m = fmax(line->depth_m[i - 1], line->depth_m[i]);
        for (int k = 0; k < LL_LAYERS && deepest_m > k * LL_LAYER_M; k++) {
            const double top_m = k * LL_LAYER_M;
            const double layer_m = k + 1 < LL_LAYERS ? LL_LAYER_M : deepest_m;
            layers.layer_ms[k] += part_ms(line->depth_m[i - 1] - top_m, line->depth_m[i] - top_m, seconds, layer_m);
        }
    }
    return layers;
}

double ll_layers_bound(const ll_layers *one, const ll_layers *other)
{
    double lesser_ms = 0, both_ms = 0;
    for (int k = 0; k < LL_LAYERS; k++) {
        lesser_ms += fmin(one->layer_ms[k], other->layer_ms[k]);
        both_ms += one->layer_ms[k] + other->layer_ms[k];
    }
    return both_ms > lesser_ms ? lesser_ms / (both_ms - lesser_ms) : 0;
}
