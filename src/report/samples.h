/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The replayed columns as a page carries them: scaled whole numbers in base64. */
#ifndef LL_REPORT_SAMPLES_H
#define LL_REPORT_SAMPLES_H

#include "report/report.h"

/* A <script type="application/json"> element with the samples of one dive's run time; nothing without one. */
void ll_html_samples(ll_text *out, const ll_debrief *debrief, const ll_track *track);

#endif
