/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/depth_layers.h"

#include <math.h>

#include "base/extreme.h"

#define LAYER_M 2.0 /* of a depth line */

/* Integral over a straight line from a to b within `seconds` of what of it lies deeper than `roof`. */
static double deeper_ms(double a, double b, double seconds, double roof)
{
    double over_a = a - roof, over_b = b - roof;
    if (over_a <= 0 && over_b <= 0)
        return 0;
    if (over_a >= 0 && over_b >= 0)
        return (over_a + over_b) / 2 * seconds;
    double over = over_a > 0 ? over_a : over_b;
    return over * over / fabs(a - b) / 2 * seconds;
}

/* The layers that an interval lies below as a whole are only counted, and added up at the end. */
void ll_layers_add(size_t count, const double *time_s, const double *depth_m, double layer_m, double layer_ms[LL_LAYERS])
{
    double below_s[LL_LAYERS] = {0}, whole_s = 0; /* below so many layers */
    for (size_t i = 0; i + 1 < count; i++) {
        const double a = depth_m[i], b = depth_m[i + 1];
        const double seconds = time_s[i + 1] - time_s[i];
        const double upper_m = a < b ? a : b, lower_m = a < b ? b : a;
        const int first = (int)ll_lesser(ll_greater(upper_m, 0) / layer_m, LL_LAYERS - 1);
        const int deepest = (int)ll_lesser(lower_m / layer_m, LL_LAYERS - 1);
        double below = deeper_ms(a, b, seconds, first * layer_m);
        below_s[first] += seconds;
        for (int layer = first; layer <= deepest; layer++) {
            double next = layer == deepest ? 0 : deeper_ms(a, b, seconds, (layer + 1) * layer_m);
            layer_ms[layer] += below - next;
            below = next;
        }
    }
    for (int layer = LL_LAYERS - 2; layer >= 0; layer--) {
        whole_s += below_s[layer + 1];
        layer_ms[layer] += whole_s * layer_m;
    }
}

ll_layers ll_layers_of(const ll_depth_line *line)
{
    ll_layers layers = {{0}};
    ll_layers_add(line->count, line->time_s, line->depth_m, LAYER_M, layers.layer_ms);
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
