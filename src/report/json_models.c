/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "models": what other factors and other models would have asked for. */
#include "report/json_word.h"

static void add_row(ll_json *json, const ll_model_row *row)
{
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "model", ll_model_table[row->model].key);
    ll_json_number(json, "gf_low", row->gf_low_percent);
    ll_json_number(json, "gf_high", row->gf_high_percent);
    ll_json_bool(json, "as_replayed", row->as_replayed);
    ll_json_bool(json, "covered", !row->covers);
    ll_json_string(json, "covers", row->covers);
    ll_json_number(json, "owed_s", row->way.owed_s);
    ll_json_number(json, "time_to_surface_s", row->way.time_s);
    ll_json_number(json, "deepest_stop_m", row->way.deepest_stop_m);
    ll_json_close(json, '}');
}

void ll_json_models(ll_json *json, const ll_debrief *debrief)
{
    const ll_models *models = &debrief->models;
    if (!models->known) {
        ll_json_null(json, "models");
        return;
    }
    ll_json_open(json, "models", '{');
    ll_json_number(json, "ascent_start_s", debrief->ascent_start_s);
    ll_json_open(json, "rows", '[');
    for (size_t i = 0; i < models->count; i++)
        add_row(json, &models->row[i]);
    ll_json_close(json, ']');
    ll_json_open(json, "owed_range_s", '[');
    ll_json_number(json, NULL, models->least_owed_s);
    ll_json_number(json, NULL, models->greatest_owed_s);
    ll_json_close(json, ']');
    ll_json_close(json, '}');
}
