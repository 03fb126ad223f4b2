/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a finding says in words, for text and for the `text` of machine-readable outputs. */
#ifndef LL_REPORT_TEXT_FINDINGS_H
#define LL_REPORT_TEXT_FINDINGS_H

#include "report/report.h"

/* Metric units and full names: what machine-readable outputs are written with. */
extern const ll_look ll_plain_look;

/* One sentence or two: what, from when to when in run time, how much, how long, beyond which limit. */
void ll_finding_sentence(ll_text *out, const ll_debrief *debrief, const ll_finding *finding, const ll_look *look);

/* The limits that a debrief was made with. */
const ll_limit *ll_limit_of(const ll_debrief *debrief, ll_kind kind);

/* The lowest one of a kind that a severity stands behind; NaN if there is none. */
double ll_first_limit(const ll_debrief *debrief, ll_kind kind);

/* All limits of a kind and where they come from, in one sentence. */
void ll_limit_sentence(ll_text *out, const ll_debrief *debrief, ll_kind kind, const ll_look *look);

/* The quantity whose digits a kind's figures are shown with. */
ll_quantity ll_kind_quantity(ll_kind kind);

/* " of the allowance for 3 diving days in a row (1860 OTU)" */
void ll_allowance_words(ll_text *out, const ll_debrief *debrief);

/* The finding that tells of the surfacing, or NULL. */
const ll_finding *ll_surfaced_finding(const ll_debrief *debrief);
bool ll_has_finding(const ll_debrief *debrief, ll_kind kind);

#endif
