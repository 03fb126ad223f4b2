/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef LL_REPORT_JSON_GAS_H
#define LL_REPORT_JSON_GAS_H

#include "report/json.h"
#include "report/report.h"

/* "gas", a member a tank, and "gas_margin". */
void ll_json_gas(ll_json *json, const ll_debrief *debrief);

#endif
