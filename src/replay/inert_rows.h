/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the rows of the models share. Used by the files of ll_inert only. */
#ifndef LL_REPLAY_INERT_ROWS_H
#define LL_REPLAY_INERT_ROWS_H

#include "replay/inert.h"

extern const ll_inert_row ll_inert_zh_l16, ll_inert_linear, ll_inert_ratio;

/* Depth (m) of a least tolerated pressure (bar): 0 below 0.01 m. */
double ll_inert_ceiling_m(double tolerated_bar, const ll_factors *factors);

/* Seconds of minutes that may be infinite; NaN beyond 24 h. */
double ll_inert_seconds(double minutes);

static inline double ll_inert_ambient_bar(const ll_factors *factors, double depth_m)
{
    return factors->surface_bar + factors->bar_per_m * depth_m;
}

#endif
