/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Switches, levels and the run time table of a debrief in JSON. */
#include "report/json_levels.h"

#include <math.h>

/* The id of a mix, as in "mixes". */
static void add_mix(ll_json *json, const ll_debrief *debrief, int mix)
{
    ll_json_string(json, "mix", mix >= 0 ? debrief->entry->log->mix[mix].id : NULL);
}

/* --- switches ----------------------------------------------------------------------------------------------------- */

static void add_switch(ll_json *json, const ll_switch_shown *change)
{
    static const char *const sources[] = {NULL, "stated-depth", "stated-po2", "built-in"};
    ll_json_open(json, NULL, '{');
    ll_json_number(json, "time_s", change->time_s);
    ll_json_number(json, "depth_m", change->depth_m);
    ll_json_string(json, "to", change->to);
    ll_json_number(json, "po2_atm", change->po2_atm);
    ll_json_number(json, "po2_before_atm", change->po2_before_atm);
    ll_json_number(json, "mod_m", change->mod.depth_m);
    ll_json_string(json, "mod_origin", sources[change->mod.source]);
    ll_json_number(json, "above_mod_m", change->mod.depth_m - change->depth_m);
    ll_json_bool(json, "held", change->held);
    ll_json_number(json, "off_m", change->off_m);
    ll_json_bool(json, "on_ascent", change->on_ascent);
    ll_json_string(json, "order", ll_switch_order_names[change->order]);
    ll_json_close(json, '}');
}

void ll_json_switches(ll_json *json, const ll_debrief *debrief)
{
    ll_json_open(json, "switches", '[');
    for (size_t i = 0; i < debrief->switch_count; i++)
        add_switch(json, &debrief->switches[i]);
    ll_json_close(json, ']');
}

/* --- levels --------------------------------------------------------------------------------------------------------- */

static void add_level(ll_json *json, const ll_debrief *debrief, size_t index)
{
    const ll_level *level = &debrief->levels.level[index];
    const ll_level_asked *asked = &debrief->asked.at[index];
    ll_json_open(json, NULL, '{');
    ll_json_number(json, "nominal_m", level->nominal_m);
    ll_json_number(json, "from_s", level->from_s);
    ll_json_number(json, "to_s", level->to_s);
    ll_json_number(json, "mean_m", level->mean_m);
    ll_json_number(json, "spread_m", level->spread_m);
    ll_json_number(json, "least_m", level->least_m);
    ll_json_number(json, "greatest_m", level->greatest_m);
    add_mix(json, debrief, level->mix);
    ll_json_number(json, "asked_stop_m", asked->stop_m);
    ll_json_number(json, "asked_s", asked->stay_s);
    ll_json_number(json, "asked_beyond_s", asked->beyond_s);
    ll_json_number(json, "short_s", asked->short_s);
    ll_json_close(json, '}');
}

static void add_climb(ll_json *json, const char *key, const ll_climb *climb)
{
    ll_json_open(json, key, '{');
    ll_json_number(json, "from_s", climb->from_s);
    ll_json_number(json, "to_s", climb->to_s);
    ll_json_number(json, "from_m", climb->from_m);
    ll_json_number(json, "to_m", climb->to_m);
    ll_json_number(json, "rate_m_min", climb->rate_m_min);
    ll_json_close(json, '}');
}

static void add_breaks(ll_json *json, const ll_debrief *debrief)
{
    ll_json_open(json, "oxygen_breaks", '[');
    for (size_t i = 0; i < debrief->levels.breaks; i++) {
        const ll_oxygen_break *rest = &debrief->levels.oxygen_break[i];
        ll_json_open(json, NULL, '{');
        ll_json_number(json, "from_s", rest->from_s);
        ll_json_number(json, "to_s", rest->to_s);
        ll_json_number(json, "depth_m", rest->depth_m);
        add_mix(json, debrief, rest->mix);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_asked_and_kept(ll_json *json, const ll_debrief *debrief)
{
    const ll_levels *levels = &debrief->levels;
    if (!levels->made) {
        ll_json_null(json, "asked_and_kept");
        return;
    }
    const ll_level *last = levels->count ? &levels->level[levels->count - 1] : NULL;
    ll_json_open(json, "asked_and_kept", '{');
    ll_json_number(json, "last_level_m", last ? last->nominal_m : NAN);
    ll_json_number(json, "short_s", last ? debrief->asked.at[levels->count - 1].short_s : NAN);
    ll_json_number(json, "still_owed_s", debrief->asked.still_owed_s);
    ll_json_number(json, "surfacing_gradient_percent",
                   debrief->surfacing.known ? debrief->surfacing.gradient_percent : NAN);
    add_climb(json, "to_first_level", &levels->to_first);
    add_climb(json, "last_metres", &levels->last_six);
    ll_json_open(json, "redescents", '[');
    for (size_t i = 0; i < levels->redescents; i++)
        add_climb(json, NULL, &levels->redescent[i]);
    ll_json_close(json, ']');
    add_breaks(json, debrief);
    ll_json_close(json, '}');
}

static void add_slate(ll_json *json, const ll_debrief *debrief)
{
    ll_json_open(json, "slate", '[');
    for (size_t i = 0; i < debrief->levels.rows; i++) {
        const ll_slate_row *row = &debrief->levels.row[i];
        ll_json_open(json, NULL, '{');
        ll_json_number(json, "depth_m", row->depth_m);
        ll_json_number(json, "arrival_s", row->arrival_s);
        ll_json_number(json, "leaving_s", row->leaving_s);
        add_mix(json, debrief, row->mix);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

void ll_json_levels(ll_json *json, const ll_debrief *debrief)
{
    ll_json_open(json, "levels", '[');
    for (size_t i = 0; i < debrief->levels.count; i++)
        add_level(json, debrief, i);
    ll_json_close(json, ']');
    add_asked_and_kept(json, debrief);
    add_slate(json, debrief);
}
