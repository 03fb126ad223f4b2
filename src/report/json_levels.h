/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_REPORT_JSON_LEVELS_H
#define LL_REPORT_JSON_LEVELS_H

#include "report/json.h"
#include "report/report.h"

/* "switches" */
void ll_json_switches(ll_json *json, const ll_debrief *debrief);

/* "levels", "asked_and_kept" (null without a run time), "slate" */
void ll_json_levels(ll_json *json, const ll_debrief *debrief);

#endif
