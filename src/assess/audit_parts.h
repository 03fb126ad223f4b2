/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of ll_audit_make; used by the files of the audit only. */
#ifndef LL_ASSESS_AUDIT_PARTS_H
#define LL_ASSESS_AUDIT_PARTS_H

#include "assess/audit.h"

/* Fills everything of audit->dive[index] but its stand. `kinds`: findings that are looked for. */
ll_status ll_audit_dive_make(const ll_audit *audit, size_t index, ll_kinds kinds, ll_arena *scratch,
                             ll_audit_dive *dive, ll_error *error);

/* Whether a dive satisfies an attribute of a requirement; for LL_NO, by how much it fails, as words behind `why` (may be
 * NULL). `among-last` is not asked here. */
ll_known ll_audit_attribute(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked,
                         ll_asked attribute, ll_text *why);

/* The answers to all requirements; what an instructor asks next; doubts about clocks and numbers. False if memory ran
 * out. */
bool ll_audit_answer(ll_audit *audit, ll_arena *arena);
bool ll_audit_overview(ll_audit *audit, ll_arena *arena);
bool ll_audit_doubts(ll_audit *audit, ll_arena *arena);

/* It counts, for a requirement or in the overview. */
bool ll_audit_counts(const ll_audit_dive *dive);

/* The day so many calendar months and days before another one: months first, clamped to the end of the month (ISO
 * 8601), then days. */
int64_t ll_day_before(int64_t day, const ll_period *period);

#endif
