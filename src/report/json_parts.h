/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Parts that the JSON outputs share. */
#ifndef LL_REPORT_JSON_PARTS_H
#define LL_REPORT_JSON_PARTS_H

#include "report/json.h"
#include "report/report.h"

/* "schema", "version": the first two members of every output. */
void ll_json_schema(ll_json *json, const char *schema);

/* "settings", with "origins". */
void ll_json_settings(ll_json *json, const ll_settings *settings);

/* "inputs": name, SHA-256, version and notes of each log. */
void ll_json_inputs(ll_json *json, const ll_history *history, const ll_look *look);

/* "limits": what findings are held against, and where each limit comes from. */
void ll_json_limits(ll_json *json, const ll_limits *limits);

/* "notes" */
void ll_json_notes(ll_json *json, const ll_history *history, const ll_notes *notes, const ll_look *look);

/* "notes": the history's, then these */
void ll_json_notes_too(ll_json *json, const ll_history *history, const ll_notes *notes, const ll_look *look);

/* "cautions": the first one first. */
void ll_json_cautions(ll_json *json);

/* A debriefed dive, everything that a debrief says of it. */
void ll_json_dive(ll_json *json, const char *key, const ll_debrief *debrief, const ll_look *look);

/* "number", "id", "start", "diver", "site", "file" */
void ll_json_identity(ll_json *json, const ll_debrief *debrief, const ll_look *look);

/* "run_time_s", "record_s", "greatest_depth_m", "mean_depth_m": as replayed, null without a profile or run time. */
void ll_json_extent(ll_json *json, const ll_debrief *debrief);

/* "mixes" */
void ll_json_mixes(ll_json *json, const ll_debrief *debrief);

/* "stated": what the log states of the whole dive. */
void ll_json_stated(ll_json *json, const ll_dive *dive);

#endif
