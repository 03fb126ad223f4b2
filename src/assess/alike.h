/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much two profiles are alike: the mean absolute difference of depth over the union of both run times, 0 m outside,
 * after the shift that makes it least. Depths as displayed. */
#ifndef LL_ASSESS_ALIKE_H
#define LL_ASSESS_ALIKE_H

#include "assess/depth_layers.h"
#include "replay/profile.h"

enum { LL_SHAPE_BLOCKS = 320 };
#define LL_SHAPE_BLOCK_S 16.0

/* One run time, counted from its leaving. The columns are those of the profile and must outlive it. */
typedef struct ll_shape {
    size_t count; /* samples from the leaving to the surfacing */
    const double *time_s, *depth_m;
    double run_time_s;
    double greatest_m;
    double interval_s;    /* median */
    /* Less than a fifth of the time at or deeper than 90 % of the greatest depth was spent 0.3 m or more above it. */
    bool constant_bottom;
    double climbed_m;     /* all changes of depth added up, those from and to 0 at both ends too */
    /* Metre seconds that the diver was deeper than so much of each layer of 3 m, the last one without a floor; whatever
     * the shift, two profiles differ by at least the sum of the differences of these. */
    double layer_ms[LL_LAYERS];
    double area_ms; /* of all layers */
    /* The longest stretch of samples at one interval: its first one, and how many; 0: there is but one sample. */
    size_t even, evens;
    double even_s;      /* that interval */
    /* Mean depth of each 16 s from the leaving on, 0 m behind the surfacing; what lies behind the last one is left out. */
    size_t blocks;
    float block_m[LL_SHAPE_BLOCKS];
} ll_shape;

/* Of a profile with a run time. */
void ll_shape_make(const ll_profile *profile, ll_shape *shape);

typedef struct ll_alike {
    double difference_m; /* the least mean absolute difference; good to 1e-3 m */
    double shift_s;      /* of the second against the first, within the bound */
    size_t samples;      /* of the one with fewer */
} ll_alike;

/* Shifts of up to `most_shift_s` (640 at most) either way. Where no shift brings the difference below `limit_m`
 * (INFINITY: any does), it is INFINITY; that is known soon. */
ll_alike ll_shapes_compare(const ll_shape *one, const ll_shape *other, double most_shift_s, double limit_m);

/* What no shift can bring the mean difference below, m; cheap. */
double ll_shapes_areas_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s);

/* The same, closer and dearer, by layers. */
double ll_shapes_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s);

/* The same, still closer and dearer: the means of blocks differ by no more than the depths within them do. */
double ll_shapes_blocks_apart_m(const ll_shape *one, const ll_shape *other, double most_shift_s);

/* The mean absolute difference at one shift. */
double ll_shapes_difference_m(const ll_shape *one, const ll_shape *other, double shift_s);

#endif
