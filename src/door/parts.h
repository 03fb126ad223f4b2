/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The chosen dives of a history, rendered by the crew of the output and joined in order. Used by the door only. */
#ifndef LL_DOOR_PARTS_H
#define LL_DOOR_PARTS_H

#include "door/rendering.h"

/* Where one dive is written, what it needs on the way, and what it says when it ends. */
typedef struct ll_part {
    ll_text *text;
    ll_text *figures; /* of a page: as JSON */
    ll_arena *scratch;
    int worst; /* severity of the worst finding; 0 where nobody says */
    ll_error *error;
} ll_part;

/* Renders the dive at `place` among those chosen. Many at the same time: what is not the part's own is only read, but for
 * what belongs to the place. */
typedef ll_status (*ll_render_part)(const ll_rendering *r, void *how, size_t place, ll_part *part);

/* Renders every chosen dive into `text` and `figures` (NULL where no renderer writes them). The first dive in order that
 * could not be rendered ends it, and its error counts. *worst (may be NULL) becomes the greatest, where it is greater. */
ll_status ll_render_parts(ll_rendering *r, ll_render_part render, void *how, ll_text *text, ll_text *figures, int *worst,
                          ll_error *error);

#endif
