/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Levels and switches of a text debrief; nothing where they were not looked for. */
#ifndef LL_REPORT_TEXT_LEVELS_H
#define LL_REPORT_TEXT_LEVELS_H

#include "report/page.h"

/* How much longer the level kept last would have had to last, collected; nothing where nothing can be said. */
void ll_short_words(ll_page *page, const ll_debrief *debrief);

/* Behind what was owed and kept: what was missing in minutes, rates, re-descents, breaks, a paragraph a level. */
void ll_text_levels(ll_page *page, const ll_debrief *debrief);

/* The run time table, with its heading. */
void ll_text_slate(ll_page *page, const ll_debrief *debrief);

/* What one switch did, collected; then all of them, with their heading; nothing without one. */
void ll_switch_words(ll_page *page, const ll_debrief *debrief, size_t index);
void ll_text_switches(ll_page *page, const ll_debrief *debrief);

/* "2.1 m deeper than its greatest depth of 21.9 m (at 1.6 atm)"; the greatest depth is known. */
void ll_mod_words(ll_text *out, double depth_m, const ll_mod *mod, const ll_look *look);

#endif
