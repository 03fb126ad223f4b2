/* SPDX-License-Identifier: GPL-3.0-or-later */
/* "gas" and "gas_margin" of a debrief. */
#include <math.h>

#include "base/settings.h"
#include "report/json_gas.h"

static void add_mix(ll_json *json, const char *key, const ll_debrief *debrief, int mix)
{
    ll_json_string(json, key, mix < 0 ? NULL : debrief->entry->log->mix[mix].id);
}

static void add_phase(ll_json *json, const char *key, const ll_gas_phase *phase)
{
    ll_json_open(json, key, '{');
    ll_json_number(json, "from_s", phase->from_s);
    ll_json_number(json, "to_s", phase->to_s);
    ll_json_number(json, "used_l", phase->used_l);
    ll_json_number(json, "rmv_l_min", phase->rmv_l_min);
    ll_json_close(json, '}');
}

static void add_left(ll_json *json, const ll_debrief *debrief, const ll_gas_tank *tank)
{
    const ll_gas_use *gas = &debrief->gas;
    ll_json_open(json, "left", '[');
    for (size_t i = 0; i < gas->instants; i++) {
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "at", ll_gas_moment_names[gas->instant[i].moment]);
        ll_json_number(json, "time_s", gas->instant[i].time_s);
        ll_json_number(json, "bar", tank->left[i].bar);
        ll_json_number(json, "left_l", tank->left[i].content_l);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_tank(ll_json *json, const ll_debrief *debrief, const ll_gas_tank *tank)
{
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "tank", tank->name);
    add_mix(json, "mix", debrief, tank->mix);
    ll_json_number(json, "start_bar", tank->start_bar);
    ll_json_number(json, "end_bar", tank->end_bar);
    ll_json_number(json, "used_l", tank->used_l);
    ll_json_number(json, "rmv_l_min", tank->rmv_l_min);
    ll_json_number(json, "volume_l", tank->volume_l);
    ll_json_string(json, "readings", isnan(tank->start_bar) ? NULL : tank->recorded ? "recorded" : "stated");
    ll_json_number(json, "start_s", tank->start_s);
    ll_json_number(json, "end_s", tank->end_s);
    ll_json_number(json, "breathed_min", tank->breathed_min);
    ll_json_number(json, "mean_ambient_bar", tank->mean_bar);
    ll_json_string(json, "remark", ll_gas_remark_texts[tank->remark]);
    add_phase(json, "bottom", &tank->bottom);
    add_phase(json, "ascent", &tank->ascent);
    add_left(json, debrief, tank);
    ll_json_close(json, '}');
}

static void add_minute(ll_json *json, const char *key, const ll_debrief *debrief, const ll_gas_minute *minute)
{
    bool known = !isnan(minute->margin_l);
    ll_json_open(json, key, '{');
    ll_json_number(json, "time_s", minute->time_s);
    ll_json_number(json, "depth_m", minute->depth_m);
    add_mix(json, "mix", debrief, minute->mix);
    ll_json_number(json, "recorded_l", minute->recorded_l);
    ll_json_number(json, "needed_l", minute->needed_l);
    ll_json_number(json, "margin_l", minute->margin_l);
    ll_json_number(json, "to_depth_m", known ? minute->to_m : NAN);
    add_mix(json, "to_mix", debrief, known ? minute->next_mix : LL_NONE);
    ll_json_string(json, "remark", ll_gas_remark_texts[minute->remark]);
    ll_json_close(json, '}');
}

/* Null where no pressures are recorded. */
static void add_margin(ll_json *json, const ll_debrief *debrief)
{
    const ll_gas_margin *margin = &debrief->gas.margin;
    const ll_settings *settings = &debrief->history->settings;
    if (margin->count == 0) {
        ll_json_null(json, "gas_margin");
        return;
    }
    ll_json_open(json, "gas_margin", '{');
    ll_json_whole(json, "divers", LL_MARGIN_DIVERS);
    ll_json_number(json, "rmv_l_min", settings->rmv_l_min);
    ll_json_string(json, "origin", ll_origin_names[settings->rmv_origin]);
    if (margin->known > 0)
        add_minute(json, "least", debrief, &margin->minute[margin->least]);
    else
        ll_json_null(json, "least");
    ll_json_open(json, "minutes", '[');
    for (size_t i = 0; i < margin->count; i++)
        add_minute(json, NULL, debrief, &margin->minute[i]);
    ll_json_close(json, ']');
    ll_json_close(json, '}');
}

void ll_json_gas(ll_json *json, const ll_debrief *debrief)
{
    ll_json_open(json, "gas", '[');
    for (size_t i = 0; i < debrief->gas.tanks; i++)
        add_tank(json, debrief, &debrief->gas.tank[i]);
    ll_json_close(json, ']');
    add_margin(json, debrief);
}
