/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_REPORT_JSON_WORD_H
#define LL_REPORT_JSON_WORD_H

#include "report/json.h"
#include "report/report.h"

/* "recorder": null for a record in which the recorder says nothing of its own. */
void ll_json_word(ll_json *json, const ll_debrief *debrief);

/* "models": null where what was owed is not known. */
void ll_json_models(ll_json *json, const ll_debrief *debrief);

#endif
