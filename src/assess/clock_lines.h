/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Depth lines between their samples, and two of them over each other. Used by the search for the clock offset only. */
#ifndef LL_ASSESS_CLOCK_LINES_H
#define LL_ASSESS_CLOCK_LINES_H

#include <stdbool.h>

#include "assess/clock.h"

#define LL_LINES_STRAIGHT_M 1.0 /* the loss of a difference grows with its square up to here, straight beyond */

/* First and last time of a line that has samples. */
double ll_line_start_s(const ll_depth_line *line);
double ll_line_end_s(const ll_depth_line *line);

/* The record begins or ends too deep to say that the diver was at the surface outside. */
bool ll_line_is_start_deep(const ll_depth_line *line);
bool ll_line_is_end_deep(const ll_depth_line *line);

/* A walk along a line whose times are shifted and whose depths are multiplied. */
typedef struct ll_line_walk {
    const ll_depth_line *line;
    double shift_s, scale;
    size_t next; /* the first sample that has not been passed */
} ll_line_walk;

/* Goes on, so that the next sample is the first after this time. */
void ll_line_pass(ll_line_walk *at, double time_s);

/* Depth on the straight piece that ends at the next sample; 0 outside. */
double ll_line_depth_m(const ll_line_walk *at, double time_s);

/* The record tells of the piece that ends at the next sample. */
bool ll_line_is_known(const ll_line_walk *at);

/* The loss of a difference of depth, and its derivative. */
double ll_line_loss(double difference_m);
double ll_line_loss_rate(double difference_m);

/* Integrals over the union of two lines, exact but for rounding. */
typedef struct ll_line_sums {
    double union_s;
    double first_ms, other_ms;
    double absolute_ms; /* of the difference */
    /* Where both tell of depth: */
    double known_s, known_first_ms, known_other_ms;
    double loss, product, other_square;
} ll_line_sums;

/* The other's times moved by the offset, its depths multiplied by the scale. Either line may be empty. */
ll_line_sums ll_lines_compare(const ll_depth_line *first, const ll_depth_line *other, double offset_s, double scale);

#endif
