/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of ll_shapes_compare share; used by them and their test only. */
#ifndef LL_ASSESS_ALIKE_PARTS_H
#define LL_ASSESS_ALIKE_PARTS_H

#include "assess/alike.h"

/* Mean depths of blocks of 16 s, the first of which begins `lead_s` (0 to 16) before the leaving; 0 m outside. Gives
 * how many, at most LL_SHAPE_BLOCKS; with fewer than that nothing of the shape is left out. */
size_t ll_blocks_fill(const ll_shape *shape, double lead_s, float *block_m);

/* No shift makes the mean difference fall faster than this, m/s: what moves is one of the two, over its own changes of
 * depth; the union that is divided by changes by a second a second. */
double ll_shapes_steepest(const ll_shape *one, const ll_shape *other);

/* A shift, and what the integral of the absolute difference is there at least. */
typedef struct ll_edge {
    double shift_s, apart_ms;
} ll_edge;

/* The longest that both cover together, with what may lie between them, at any shift between two. */
double ll_shapes_longest_s(const ll_shape *one, const ll_shape *other, double from_s, double to_s);

/* What no shift between two can bring the mean difference below. */
double ll_shapes_between_m(const ll_shape *one, const ll_shape *other, const ll_edge *from, const ll_edge *to);

/* A shift that was tried: what the integral is there, by how much it grows where the second one moves on (m s a second;
 * jumps of the second left out), and the mean difference. */
typedef struct ll_tried {
    ll_edge edge;
    double slope_m, difference_m;
} ll_tried;

ll_tried ll_shapes_try(const ll_shape *one, const ll_shape *other, double shift_s);

/* All changes of a shape's rate of descent added up, m/s, and the depths that it jumps to and from at both ends. */
typedef struct ll_bends {
    double rate_m_s, jumps_m;
} ll_bends;

ll_bends ll_bends_of(const ll_shape *shape);

/* What no shift between two tried ones can bring the mean difference below; `bends` of the second shape. */
double ll_shapes_parabolas_m(const ll_shape *one, const ll_shape *other, const ll_bends *bends, const ll_tried *from,
                             const ll_tried *to);

/* Stretches of shifts, each with what no shift within it brings the mean difference below. */
enum { LL_STRETCHES = 640, LL_STRETCHES_A_BLOCK = 8 };
#define LL_STRETCH_S (LL_SHAPE_BLOCK_S / LL_STRETCHES_A_BLOCK)

typedef struct ll_stretches {
    size_t count;
    double first_s; /* where the first one begins */
    double least_m[LL_STRETCHES];
} ll_stretches;

/* Shifts of up to `most_shift_s` (640) either way. Where the bound is `limit_m` or more it need not be close. */
void ll_stretches_look(const ll_shape *one, const ll_shape *other, double most_shift_s, double limit_m,
                       ll_stretches *stretches);

/* The least over all that shifts from `from_s` to `to_s` lie in. */
double ll_stretches_least_m(const ll_stretches *stretches, double from_s, double to_s);

#endif
