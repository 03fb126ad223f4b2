/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The picture of a page: one time axis, several strips under each other. */
#ifndef LL_REPORT_STRIPS_H
#define LL_REPORT_STRIPS_H

#include "report/report.h"

/* All strips of one dive, the axis with its marks first. `track` holds every column of the dive (those of the debrief's
 * own track need not). Nothing without a run time. */
void ll_html_strips(ll_text *out, const ll_debrief *debrief, const ll_track *track, const ll_look *look);

/* Dives by date and greatest depth, above the list of a page that holds several. */
void ll_html_season(ll_text *out, const ll_html_dive *dives, size_t count, const ll_look *look);

#endif
