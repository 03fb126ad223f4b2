/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Schema leadline-verify-1. */
#include "report/json_parts.h"
#include "report/verdict.h"

static void add_page(ll_json *json, const ll_verdict *verdict)
{
    ll_json_open(json, "page", '{');
    ll_json_string(json, "name", verdict->page);
    ll_json_string(json, "sha256", verdict->sha256);
    ll_json_string(json, "version", verdict->claims->version);
    ll_json_close(json, '}');
}

static void add_given(ll_json *json, const ll_verdict *verdict)
{
    ll_json_open(json, "inputs", '[');
    for (size_t i = 0; i < verdict->logs; i++) {
        const ll_given_log *log = &verdict->log[i];
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "name", log->name);
        ll_json_string(json, "sha256", log->sha256);
        ll_json_string(json, "name_on_page", log->named ? log->named->name : NULL);
        ll_json_bool(json, "named", log->named != NULL);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_missing(ll_json *json, const ll_verdict *verdict)
{
    ll_json_open(json, "not_given", '[');
    for (size_t i = 0; i < verdict->claims->inputs; i++) {
        const ll_claimed_input *input = &verdict->claims->input[i];
        if (ll_verdict_is_given(verdict, input))
            continue;
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "name", input->name);
        ll_json_string(json, "sha256", input->sha256);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_difference(ll_json *json, const ll_difference *difference)
{
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "path", difference->path);
    ll_json_string(json, "page", difference->page);
    ll_json_string(json, "today", difference->today);
    ll_json_whole(json, "values", difference->values);
    if (difference->sample > 0)
        ll_json_whole(json, "first_sample", difference->sample);
    else
        ll_json_null(json, "first_sample");
    ll_json_close(json, '}');
}

static void add_compared(ll_json *json, const ll_comparison *comparison)
{
    ll_json_open(json, "compared", '{');
    ll_json_whole(json, "figures", comparison ? comparison->figures : 0);
    ll_json_whole(json, "samples", comparison ? comparison->samples : 0);
    ll_json_whole(json, "differing", comparison ? comparison->count : 0);
    ll_json_close(json, '}');
    ll_json_open(json, "differences", '[');
    for (size_t i = 0; comparison && i < comparison->count && i < LL_DIFFERENCES_TOLD; i++)
        add_difference(json, &comparison->told[i]);
    ll_json_close(json, ']');
}

void ll_json_verdict(ll_text *out, const ll_verdict *verdict, const ll_look *look)
{
    ll_json json = {out, false};
    (void)look;
    ll_json_open(&json, NULL, '{');
    ll_json_schema(&json, "leadline-verify-1");
    add_page(&json, verdict);
    ll_json_settings(&json, &verdict->claims->settings);
    add_given(&json, verdict);
    add_missing(&json, verdict);
    ll_json_bool(&json, "belongs", verdict->belongs);
    if (verdict->comparison)
        ll_json_bool(&json, "same", ll_verdict_same(verdict));
    else
        ll_json_null(&json, "same");
    add_compared(&json, verdict->comparison);
    ll_json_bool(&json, "byte_for_byte", verdict->is_whole);
    ll_json_cautions(&json);
    ll_json_close(&json, '}');
    ll_text_putc(out, '\n');
}
