/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Schema leadline-review-1. Times of the team are seconds since the leaving of the first log's diver, on its clock. */
#include <math.h>

#include "report/json_parts.h"
#include "report/review_report.h"
#include "report/words.h"

static void add_name(ll_json *json, const char *key, const ll_review *review, size_t diver, const ll_look *look)
{
    ll_text name;
    if (diver == SIZE_MAX) {
        ll_json_null(json, key);
        return;
    }
    ll_text_open(&name, json->out->allocator, NULL, NULL);
    ll_diver_name_add(&name, review, diver, look);
    ll_json_scratch(json, key, &name);
}

/* --- divers ----------------------------------------------------------------------------------------------------------- */

static void add_match(ll_json *json, const ll_recorder *recorder)
{
    const bool near = recorder->index != SIZE_MAX, zone = recorder->accepted && recorder->match.zone_s != 0;
    ll_json_number(json, "clock_offset_s", recorder->accepted ? recorder->match.offset_s : NAN);
    ll_json_number(json, "clock_uncertainty_s", recorder->accepted ? recorder->match.uncertainty_s : NAN);
    ll_json_string(json, "clock_by", ll_clock_by_names[recorder->by]);
    ll_json_number(json, "zone_s", zone ? recorder->match.zone_s : NAN);
    ll_json_open(json, "match", '{');
    ll_json_bool(json, "accepted", recorder->accepted);
    ll_json_number(json, "score", near ? recorder->match.score : NAN);
    ll_json_number(json, "difference_m", near ? recorder->match.difference_m : NAN);
    ll_json_string(json, "why_not", recorder->why_not);
    ll_json_close(json, '}');
}

static void add_witnesses(ll_json *json, const ll_diver *diver)
{
    ll_json_open(json, "other_recorders", '[');
    for (size_t r = 0; r < diver->recorders; r++) {
        if (r == diver->main || (diver->main == SIZE_MAX && r == 0))
            continue;
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "file", diver->recorder[r].log->name);
        add_match(json, &diver->recorder[r]);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_compared(ll_json *json, const ll_diver *diver)
{
    ll_json_open(json, "beside", '{');
    for (size_t i = 0; i < ll_compared_count; i++)
        ll_json_number(json, ll_compared_table[i].key, ll_compared_table[i].value(diver));
    ll_json_close(json, '}');
    ll_json_open(json, "stops", '{');
    ll_json_whole(json, "levels", diver->stops.levels);
    ll_json_number(json, "mean_off_m", diver->stops.mean_off_m);
    ll_json_number(json, "spread_m", diver->stops.spread_m);
    ll_json_close(json, '}');
    ll_json_number(json, "above_team_ceiling_s", diver->above_team_ceiling_s);
}

static void add_course(ll_json *json, const ll_diver *diver)
{
    static const char *const words[] = {"no-limit", "not-shown", "kept", "beyond"};
    ll_json_open(json, "course", '{');
    for (int kind = 0; kind < LL_FINDING_KINDS; kind++) {
        const ll_course_cell *cell = &diver->course[kind];
        ll_json_open(json, ll_kind_table[kind].key, '{');
        ll_json_string(json, "answer", words[cell->course]);
        ll_json_string(json, "severity", ll_severity_names[cell->worst]);
        ll_json_string(json, "firm_severity", ll_severity_names[cell->firm_worst]);
        ll_json_close(json, '}');
    }
    ll_json_close(json, '}');
}

static void add_dive(ll_json *json, const ll_review *review, size_t index, const ll_look *look)
{
    ll_text name;
    ll_text_open(&name, json->out->allocator, NULL, NULL);
    const ll_look own = ll_diver_look(review, index, look, &name);
    ll_json_dive(json, "dive", &review->diver[index].debrief, &own);
    json->out->no_memory = json->out->no_memory || name.no_memory;
    ll_text_close(&name);
}

static void add_diver(ll_json *json, const ll_review *review, size_t index, const ll_look *look)
{
    const ll_diver *diver = &review->diver[index];
    const ll_recorder *shown = &diver->recorder[diver->main == SIZE_MAX ? 0 : diver->main];
    const bool all = ll_review_shows(review, index);
    ll_json_next(json, index == 0, look->one_line);
    ll_json_open(json, NULL, '{');
    add_name(json, "name", review, index, look);
    ll_json_bool(json, "lead", diver->lead);
    ll_json_string(json, "file", all ? shown->log->name : NULL);
    add_match(json, shown);
    if (all)
        add_witnesses(json, diver);
    if (ll_review_has(review, index)) {
        add_compared(json, diver);
        add_course(json, diver);
        add_dive(json, review, index, look);
    } else {
        ll_json_null(json, "dive");
    }
    ll_json_close(json, '}');
}

/* --- the team --------------------------------------------------------------------------------------------------------- */

static void add_between(ll_json *json, const ll_review *review, size_t one, size_t other, const ll_look *look)
{
    ll_json_open(json, "between", '[');
    if (one != SIZE_MAX) {
        add_name(json, NULL, review, one, look);
        add_name(json, NULL, review, other, look);
    }
    ll_json_close(json, ']');
}

static void add_pair(ll_json *json, const ll_review *review, const ll_pair *pair, const ll_look *look)
{
    ll_json_open(json, NULL, '{');
    add_between(json, review, pair->one, pair->other, look);
    ll_json_bool(json, "with_lead", pair->with_lead);
    ll_json_bool(json, "buddies", pair->buddies);
    ll_json_number(json, "greatest_separation_m", pair->greatest_m);
    ll_json_number(json, "greatest_separation_s", pair->greatest_s);
    ll_json_number(json, "together_s", pair->together_s);
    ll_json_number(json, "time_apart_s", pair->apart_s);
    ll_json_open(json, "stretches", '[');
    for (size_t i = 0; i < pair->count; i++) {
        ll_json_open(json, NULL, '{');
        ll_json_number(json, "from_s", pair->stretch[i].from_s);
        ll_json_number(json, "to_s", pair->stretch[i].to_s);
        ll_json_number(json, "greatest_m", pair->stretch[i].greatest_m);
        ll_json_string(json, "severity", ll_severity_names[pair->stretch[i].severity]);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
    ll_json_close(json, '}');
}

static void add_order(ll_json *json, const char *key, const ll_review *review, const ll_order *order,
                      const ll_look *look)
{
    ll_json_open(json, key, '[');
    for (size_t i = 0; i < order->count; i++) {
        ll_json_open(json, NULL, '{');
        add_name(json, "name", review, order->at[i].diver, look);
        ll_json_number(json, "time_s", order->at[i].time_s);
        ll_json_number(json, "depth_m", order->at[i].depth_m);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_orders(ll_json *json, const ll_review *review, const ll_look *look)
{
    const ll_team *team = &review->team;
    add_order(json, "left_bottom", review, &team->left_bottom, look);
    add_order(json, "surfaced", review, &team->surfaced, look);
    ll_json_open(json, "levels", '[');
    for (size_t i = 0; i < team->levels; i++) {
        ll_json_open(json, NULL, '{');
        ll_json_number(json, "level_m", team->level[i].depth_m);
        add_order(json, "arrivals", review, &team->level[i].order, look);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
    ll_json_open(json, "switches", '[');
    for (size_t i = 0; i < team->switches; i++) {
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "to", team->to[i].label);
        add_order(json, "divers", review, &team->to[i].order, look);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_team(ll_json *json, const ll_review *review, const ll_look *look)
{
    const ll_team *team = &review->team;
    ll_json_open(json, "team", '{');
    ll_json_number(json, "greatest_separation_m", team->greatest_m);
    ll_json_number(json, "greatest_separation_s", team->greatest_s);
    add_between(json, review, team->between[0], team->between[1], look);
    ll_json_number(json, "time_apart_s", team->apart_s);
    ll_json_open(json, "limit", '{');
    ll_json_number(json, "note", team->limit.note);
    ll_json_number(json, "caution", team->limit.caution);
    ll_json_number(json, "serious", team->limit.serious);
    ll_json_string(json, "origin", ll_origin_names[team->limit.origin]);
    ll_json_close(json, '}');
    ll_json_open(json, "pairs", '[');
    for (size_t i = 0; i < team->pairs; i++)
        if (review->extract == SIZE_MAX || team->pair[i].one == review->extract || team->pair[i].other == review->extract)
            add_pair(json, review, &team->pair[i], look);
    ll_json_close(json, ']');
    add_orders(json, review, look);
    ll_json_number(json, "deepest_ceiling_m", team->ceiling_peak_m);
    ll_json_number(json, "deepest_ceiling_s", team->ceiling_peak_s);
    ll_json_close(json, '}');
}

static void add_differences(ll_json *json, const ll_review *review, const ll_look *look)
{
    ll_json_open(json, "differences", '[');
    for (size_t i = 0; review->extract == SIZE_MAX && i < review->differences; i++) {
        const ll_difference *difference = &review->difference[i];
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "of", ll_compared_table[difference->compared].key);
        ll_json_number(json, "least", difference->least_value);
        add_name(json, "least_by", review, difference->least, look);
        ll_json_number(json, "greatest", difference->greatest_value);
        add_name(json, "greatest_by", review, difference->greatest, look);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

/* --- the plan --------------------------------------------------------------------------------------------------------- */

static void add_lines(ll_json *json, const ll_plan_variant *variant, const ll_plan_off *off)
{
    ll_json_open(json, "lines", '[');
    for (size_t i = 0; i < variant->count; i++) {
        ll_json_open(json, NULL, '{');
        ll_json_number(json, "run_s", variant->point[i].run_s);
        ll_json_number(json, "depth_m", variant->point[i].depth_m);
        ll_json_number(json, "off_m", off->line[i].off_m);
        ll_json_number(json, "late_s", off->line[i].late_s);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_against(ll_json *json, const ll_review *review, size_t index, const ll_look *look)
{
    const ll_plan *plan = review->asked->plan;
    const ll_plan_off *off = &review->diver[index].plan;
    ll_json_open(json, NULL, '{');
    add_name(json, "name", review, index, look);
    ll_json_string(json, "best_variant", plan->variant[off->best].name);
    ll_json_number(json, "mean_off_m", off->mean_off_m[review->variant]);
    ll_json_number(json, "largest_off_m", off->largest_off_m);
    ll_json_number(json, "largest_off_s", off->largest_off_s);
    ll_json_open(json, "variants", '{');
    for (size_t v = 0; v < plan->count; v++)
        ll_json_number(json, plan->variant[v].name, off->mean_off_m[v]);
    ll_json_close(json, '}');
    add_lines(json, ll_review_variant(review), off);
    ll_json_close(json, '}');
}

static void add_plan(ll_json *json, const ll_review *review, const ll_look *look)
{
    const ll_plan *plan = review->asked->plan;
    if (!plan) {
        ll_json_null(json, "plan");
        return;
    }
    ll_json_open(json, "plan", '{');
    ll_json_string(json, "name", ll_review_shows_plan(review) ? plan->name : NULL);
    ll_json_string(json, "sha256", ll_review_shows_plan(review) ? plan->sha256 : NULL);
    ll_json_string(json, "variant", ll_review_variant(review)->name);
    ll_json_open(json, "divers", '[');
    for (size_t i = 0; i < review->count; i++)
        if (ll_review_has(review, i))
            add_against(json, review, i, look);
    ll_json_close(json, ']');
    ll_json_close(json, '}');
}

/* --- the whole -------------------------------------------------------------------------------------------------------- */

static void add_inputs(ll_json *json, const ll_review *review)
{
    ll_json_open(json, "inputs", '[');
    for (size_t d = 0; d < review->count; d++)
        for (size_t r = 0; ll_review_shows(review, d) && r < review->diver[d].recorders; r++) {
            ll_json_open(json, NULL, '{');
            ll_json_string(json, "name", review->diver[d].recorder[r].log->name);
            ll_json_string(json, "sha256", review->diver[d].recorder[r].log->sha256);
            ll_json_close(json, '}');
        }
    ll_json_close(json, ']');
}

static void add_cautions(ll_json *json)
{
    ll_json_open(json, "cautions", '[');
    ll_json_string(json, NULL, ll_caution_first);
    for (size_t i = 0; ll_review_cautions[i]; i++)
        ll_json_string(json, NULL, ll_review_cautions[i]);
    for (size_t i = 0; ll_cautions[i]; i++)
        ll_json_string(json, NULL, ll_cautions[i]);
    ll_json_close(json, ']');
}

void ll_review_json(ll_text *out, const ll_review *review, const ll_look *look)
{
    ll_json json = {out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_schema(&json, "leadline-review-1");
    ll_json_settings(&json, review->asked->settings);
    add_inputs(&json, review);
    if (review->extract != SIZE_MAX)
        add_name(&json, "extract", review, review->extract, look);
    ll_json_open(&json, "divers", '[');
    for (size_t i = 0; i < review->count; i++)
        add_diver(&json, review, i, look);
    ll_json_close(&json, ']');
    add_differences(&json, review, look);
    add_team(&json, review, look);
    add_plan(&json, review, look);
    ll_json_limits(&json, review->asked->limits);
    add_cautions(&json);
    ll_json_close(&json, '}');
    ll_text_putc(out, '\n');
}
