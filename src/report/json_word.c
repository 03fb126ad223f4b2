/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "recorder": what the recorder itself said. */
#include "report/json_word.h"

static void add_stops(ll_json *json, const ll_word_stops *stops)
{
    if (!stops->asked) {
        ll_json_null(json, "stops");
        return;
    }
    ll_json_open(json, "stops", '{');
    ll_json_number(json, "from_s", stops->from_s);
    ll_json_number(json, "to_s", stops->to_s);
    ll_json_number(json, "deepest_m", stops->deepest_m);
    ll_json_number(json, "above_s", stops->above_s);
    ll_json_number(json, "above_m", stops->above_m);
    ll_json_number(json, "above_at_s", stops->above_at_s);
    ll_json_close(json, '}');
}

static void add_pair(ll_json *json, const char *key, const ll_word_pair *pair, bool has_duration)
{
    if (!pair->known) {
        ll_json_null(json, key);
        return;
    }
    ll_json_open(json, key, '{');
    ll_json_number(json, "time_s", pair->time_s);
    ll_json_number(json, "recorder", pair->recorder);
    ll_json_number(json, "replay", pair->replay);
    if (has_duration)
        ll_json_number(json, "duration_s", pair->duration_s);
    ll_json_close(json, '}');
}

static void add_figure(ll_json *json, const ll_word_figure *figure)
{
    bool is_stop = figure->quantity == LL_STOP;
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "quantity", ll_quantity_table[figure->quantity].key);
    ll_json_bool(json, "compared", figure->compared);
    add_pair(json, "ascent_start", &figure->ascent, is_stop);
    add_pair(json, "surfacing", &figure->surfacing, is_stop);
    add_pair(json, "farthest", &figure->farthest, is_stop);
    ll_json_close(json, '}');
}

void ll_json_word(ll_json *json, const ll_debrief *debrief)
{
    const ll_word *word = &debrief->word;
    if (!word->any) {
        ll_json_null(json, "recorder");
        return;
    }
    ll_json_open(json, "recorder", '{');
    add_stops(json, &word->stops);
    ll_json_open(json, "figures", '[');
    for (int f = 0; f < LL_WORD_FIGURES; f++)
        if (word->figure[f].said)
            add_figure(json, &word->figure[f]);
    ll_json_close(json, ']');
    ll_json_close(json, '}');
}
