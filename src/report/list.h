/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the list asks of a record. */
#ifndef LL_REPORT_LIST_H
#define LL_REPORT_LIST_H

#include "report/report.h"

/* Which series a dive's record holds, in the order of ll_series_names. */
enum { LL_SERIES_SHOWN = 4 };
extern const struct ll_series_name {
    const char *key; /* of columns and members */
    const char *words; /* in running text */
} ll_series_names[LL_SERIES_SHOWN];
bool ll_has_series(const ll_dive *dive, size_t which);

void ll_list_text_head(ll_text *out, const ll_history *history, const ll_look *look);
void ll_list_text_row(ll_text *out, const ll_debrief *debrief, const ll_look *look);
void ll_list_text_foot(ll_text *out, const ll_history *history, const ll_look *look);

#endif
