/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every rendering of a history needs. Used by the door only. */
#ifndef LL_DOOR_RENDERING_H
#define LL_DOOR_RENDERING_H

#include <leadline/leadline.h>

#include "report/report.h"

/* Indexes of the chosen dives, in order. */
typedef struct ll_chosen {
    size_t *index;
    size_t count;
} ll_chosen;

/* The output, and an arena for the run. */
typedef struct ll_rendering {
    const ll_history *history;
    const leadline_output *output;
    ll_look look;
    ll_text text;
    ll_arena run;
    ll_chosen dives;
} ll_rendering;

/* How an output is to look. */
ll_look ll_look_of(const leadline_output *output);

/* Chooses the dives; LL_BAD_USAGE where there is no such dive. To be closed in any case. */
ll_status ll_rendering_open(ll_rendering *r, const ll_history *history, const leadline_selection *selection,
                            const leadline_output *output, ll_error *error);

/* Hands what is left to the output and frees everything. Returns `status`, or what went wrong with the output. */
ll_status ll_rendering_close(ll_rendering *r, ll_status status, ll_error *error);

/* The chosen dives, each debriefed, in the format of the output, with its head and foot. *worst becomes the severity of
 * the worst finding, where it is worse. */
ll_status ll_render_debriefs(ll_rendering *r, const ll_limits *limits, int *worst, ll_error *error);

#endif
