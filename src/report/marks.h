/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is marked on a page's time axis and told in its tables: findings as numbers, switches of mix as letters. */
#ifndef LL_REPORT_MARKS_H
#define LL_REPORT_MARKS_H

#include "report/report.h"

/* The number of a finding on a page of one dive, from 1, in the order of debrief->findings.items. Where a ceiling
 * stretch and `surfaced` are told together they have the number of the stretch; numbers have no gaps. */
unsigned ll_mark_of_finding(const ll_debrief *debrief, size_t finding);

/* True for the finding that is told with another one and has no row of its own. */
bool ll_mark_is_shared(const ll_debrief *debrief, size_t finding);

/* The letter of a switch, "a", "b" ... "z", "aa": in the order of debrief->switches. */
enum { LL_MARK_LETTERS = 8 };
const char *ll_mark_of_switch(size_t index, char letters[LL_MARK_LETTERS]);

#endif
