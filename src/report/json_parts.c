/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json_parts.h"

#include <math.h>

#include "report/words.h"
#include "standard/standard.h"

void ll_json_schema(ll_json *json, const char *schema)
{
    ll_json_string(json, "schema", schema);
    ll_json_string(json, "version", ll_version);
}

/* --- settings and inputs -------------------------------------------------------------------------------------- */

static void add_origin(ll_json *json, const char *key, ll_origin origin)
{
    ll_json_string(json, key, ll_origin_names[origin]);
}

static void add_origins(ll_json *json, const ll_settings *settings)
{
    ll_json_open(json, "origins", '{');
    add_origin(json, "model", settings->model_origin);
    add_origin(json, "gf", settings->gf_origin);
    add_origin(json, "water", settings->water_origin);
    add_origin(json, "surface", settings->surface_origin);
    add_origin(json, "narcotic_oxygen", settings->narcotic_origin);
    add_origin(json, "last_stop", settings->last_stop_origin);
    add_origin(json, "rmv", settings->rmv_origin);
    ll_json_close(json, '}');
}

static void add_standard_file(ll_json *json, const ll_standard *standard)
{
    if (!standard) {
        ll_json_null(json, "standard_file");
        return;
    }
    ll_json_open(json, "standard_file", '{');
    ll_json_string(json, "name", standard->file);
    ll_json_string(json, "sha256", standard->sha256);
    ll_json_close(json, '}');
}

static const char no_factors[] = "gradient factors do not apply to this model: within its limits is 100 percent";
static const char no_factors_standard[] = "gradient factors do not apply to this model: within its limits is 100 percent; "
                                          "those of the standard are not used";

void ll_json_settings(ll_json *json, const ll_settings *settings)
{
    ll_json_open(json, "settings", '{');
    bool has_factors = ll_model_table[settings->model].has_factors;
    ll_json_string(json, "model", ll_model_table[settings->model].key);
    ll_json_number(json, "gf_low", has_factors ? settings->gf_low_percent : NAN);
    ll_json_number(json, "gf_high", has_factors ? settings->gf_high_percent : NAN);
    if (!has_factors)
        ll_json_string(json, "gf_text", settings->gf_origin == LL_FROM_STANDARD ? no_factors_standard : no_factors);
    ll_json_number(json, "water_kg_m3", settings->water_kg_m3);
    ll_json_bool(json, "narcotic_oxygen", settings->narcotic_oxygen);
    ll_json_number(json, "last_stop_m", settings->last_stop_m);
    ll_json_string(json, "standard", settings->standard ? settings->standard->name : NULL);
    ll_json_number(json, "surface_bar", settings->surface_bar);
    ll_json_bool(json, "gf_from_log", settings->gf_from_log);
    ll_json_bool(json, "water_from_log", settings->water == LL_WATER_FROM_LOG);
    ll_json_bool(json, "assume_air", settings->assume_air);
    ll_json_number(json, "rmv_l_min", settings->rmv_l_min);
    add_standard_file(json, settings->standard);
    add_origins(json, settings);
    ll_json_close(json, '}');
}

void ll_json_inputs(ll_json *json, const ll_history *history, const ll_look *look)
{
    ll_json_open(json, "inputs", '[');
    for (size_t i = 0; i < history->log_count; i++) {
        const ll_log *log = history->logs[i];
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "name", log->name);
        ll_json_string(json, "sha256", log->sha256);
        ll_json_string(json, "version", log->version);
        ll_json_notes(json, history, &log->notes, look);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

void ll_json_limits(ll_json *json, const ll_limits *limits)
{
    ll_json_open(json, "limits", '[');
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        const ll_kind_row *row = &ll_kind_table[kind];
        const ll_limit *limit = &limits->of[kind];
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "kind", row->key);
        ll_json_number(json, "note", limit->note);
        ll_json_number(json, "caution", limit->caution);
        ll_json_number(json, "serious", limit->serious);
        ll_json_string(json, "unit", row->unit);
        add_origin(json, "origin", limit->origin);
        ll_json_string(json, "source", limit->source);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

/* --- notes and cautions --------------------------------------------------------------------------------------- */

static void add_note(ll_json *json, const ll_history *history, const ll_note *note, const ll_look *look)
{
    const ll_note_row *row = &ll_note_table[note->code];
    ll_text sentence;
    ll_text_open(&sentence, json->out->allocator, NULL, NULL);
    ll_note_sentence(&sentence, history, note, look);
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "code", row->code);
    ll_json_string(json, "weight", ll_weight_names[row->weight]);
    if (note->line > 0)
        ll_json_whole(json, "line", (unsigned long)note->line);
    else
        ll_json_null(json, "line");
    ll_json_whole(json, "count", note->count);
    ll_json_scratch(json, "text", &sentence);
    ll_json_close(json, '}');
}

static void add_notes(ll_json *json, const ll_history *history, const ll_notes *notes, const ll_look *look)
{
    for (size_t i = 0; i < notes->count; i++)
        add_note(json, history, &notes->items[i], look);
}

void ll_json_notes(ll_json *json, const ll_history *history, const ll_notes *notes, const ll_look *look)
{
    ll_json_open(json, "notes", '[');
    add_notes(json, history, notes, look);
    ll_json_close(json, ']');
}

void ll_json_notes_too(ll_json *json, const ll_history *history, const ll_notes *notes, const ll_look *look)
{
    ll_json_open(json, "notes", '[');
    add_notes(json, history, &history->notes, look);
    add_notes(json, history, notes, look);
    ll_json_close(json, ']');
}

void ll_json_cautions(ll_json *json)
{
    ll_json_open(json, "cautions", '[');
    ll_json_string(json, NULL, ll_caution_first);
    for (size_t i = 0; ll_cautions[i]; i++)
        ll_json_string(json, NULL, ll_cautions[i]);
    ll_json_close(json, ']');
}

/* --- a dive --------------------------------------------------------------------------------------------------- */

static void add_start(ll_json *json, const ll_dive *dive)
{
    if (!dive->start.has_date) {
        ll_json_null(json, "start");
        return;
    }
    ll_text start;
    ll_text_open(&start, json->out->allocator, NULL, NULL);
    ll_instant_add(&start, &dive->start);
    ll_json_scratch(json, "start", &start);
}

static void add_diver(ll_json *json, const ll_debrief *debrief, const ll_look *look)
{
    ll_text name;
    ll_text_open(&name, json->out->allocator, NULL, NULL);
    if (ll_owner_add(&name, debrief->history, debrief->entry->log, look)) {
        ll_json_scratch(json, "diver", &name);
        return;
    }
    ll_text_close(&name);
    ll_json_null(json, "diver");
}

void ll_json_identity(ll_json *json, const ll_debrief *debrief, const ll_look *look)
{
    const ll_entry *entry = debrief->entry;
    ll_json_whole(json, "number", entry->number);
    ll_json_string(json, "id", entry->dive->id[0] ? entry->dive->id : NULL);
    add_start(json, entry->dive);
    add_diver(json, debrief, look);
    ll_json_string(json, "site", ll_site_name(entry->log, entry->dive));
    ll_json_string(json, "file", entry->log->name);
}

void ll_json_extent(ll_json *json, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    bool recorded = debrief->has_profile;
    ll_json_number(json, "run_time_s", recorded ? profile->run_time_s : NAN);
    ll_json_number(json, "record_s", recorded ? profile->record_s : NAN);
    ll_json_number(json, "greatest_depth_m", recorded ? profile->greatest_m : NAN);
    ll_json_number(json, "mean_depth_m", recorded ? profile->mean_m : NAN);
}

void ll_json_mixes(ll_json *json, const ll_debrief *debrief)
{
    ll_json_open(json, "mixes", '[');
    for (size_t i = 0; i < debrief->mix_count; i++) {
        const ll_mix *mix = &debrief->entry->log->mix[debrief->mixes[i]];
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "id", mix->id);
        ll_json_number(json, "o2", mix->o2_fraction);
        ll_json_number(json, "he", mix->he_fraction);
        ll_json_string(json, "label", mix->label);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

void ll_json_stated(ll_json *json, const ll_dive *dive)
{
    ll_json_open(json, "stated", '{');
    ll_json_number(json, "greatest_depth_m", dive->stated_greatest_m);
    ll_json_number(json, "mean_depth_m", dive->stated_average_m);
    ll_json_number(json, "duration_s", dive->stated_duration_s);
    ll_json_close(json, '}');
}
