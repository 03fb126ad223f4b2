/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Schema leadline-debrief-1. */
#include <math.h>

#include "report/json_gas.h"
#include "report/json_levels.h"
#include "report/json_parts.h"
#include "report/json_word.h"
#include "report/text_findings.h"

void ll_json_head(ll_text *out, const ll_history *history, const ll_look *look)
{
    ll_json json = {out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_schema(&json, "leadline-debrief-1");
    ll_json_settings(&json, &history->settings);
    ll_json_inputs(&json, history, look);
    ll_json_open(&json, "dives", '[');
}

void ll_json_foot(ll_text *out, const ll_history *history, const ll_limits *limits, const ll_look *look)
{
    ll_json json = {out, true};
    ll_json_close(&json, ']');
    ll_json_notes(&json, history, &history->notes, look);
    ll_json_limits(&json, limits);
    ll_json_cautions(&json);
    ll_json_close(&json, '}');
    ll_text_putc(out, '\n');
}

/* Whether the replay says anything of the dive: with a profile, in its run time. */
static bool is_replayed(const ll_debrief *debrief)
{
    return debrief->has_profile && debrief->profile.has_run_time;
}

static void add_peaks(ll_json *json, const ll_debrief *debrief)
{
    static const ll_quantity shown[] = {LL_PO2,         LL_END_N2,  LL_END_N2O2, LL_DENSITY,
                                        LL_ASCENT_RATE, LL_CEILING, LL_GRADIENT};
    ll_json_open(json, "peaks", '{');
    for (size_t i = 0; i < sizeof shown / sizeof *shown; i++) {
        const ll_peak *peak = &debrief->peak[shown[i]];
        bool known = is_replayed(debrief) && isfinite(peak->value);
        ll_json_open(json, ll_quantity_table[shown[i]].key, '{');
        ll_json_number(json, "value", known ? peak->value : NAN);
        ll_json_number(json, "time_s", known ? peak->time_s : NAN);
        ll_json_close(json, '}');
    }
    ll_json_close(json, '}');
}

/* What a figure may be if the recorder was off; left out where that was not asked. */
static void add_range(ll_json *json, const char *key, const ll_debrief *debrief, const ll_range *range)
{
    const ll_firmness *firmness = &debrief->firmness;
    if (!firmness->asked)
        return;
    ll_json_open(json, key, '[');
    ll_json_number(json, NULL, firmness->replayed ? range->least : NAN);
    ll_json_number(json, NULL, firmness->replayed ? range->greatest : NAN);
    ll_json_close(json, ']');
}

static void add_decompression(ll_json *json, const ll_debrief *debrief)
{
    bool known = is_replayed(debrief) && debrief->decompression_known;
    ll_json_open(json, "decompression", '{');
    if (known)
        ll_json_bool(json, "required", debrief->required);
    else
        ll_json_null(json, "required");
    ll_json_number(json, "ascent_start_s", is_replayed(debrief) ? debrief->ascent_start_s : NAN);
    ll_json_number(json, "owed_s", known ? debrief->owed_s : NAN);
    ll_json_number(json, "time_to_surface_s", known ? debrief->time_to_surface_s : NAN);
    ll_json_number(json, "deepest_stop_m", known ? debrief->deepest_stop_m : NAN);
    add_range(json, "owed_range_s", debrief, &debrief->firmness.owed_s);
    ll_json_close(json, '}');
}

/* Null for a record that ends below; only the time is known where the tissues are not. */
static void add_surfacing(ll_json *json, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    const ll_surfacing *surfacing = &debrief->surfacing;
    if (!is_replayed(debrief) || !profile->has_surfacing) {
        ll_json_null(json, "surfacing");
        return;
    }
    ll_json_open(json, "surfacing", '{');
    ll_json_number(json, "time_s", profile->time_s[profile->surfacing]);
    ll_json_number(json, "gradient_percent", surfacing->known ? surfacing->gradient_percent : NAN);
    if (surfacing->known && surfacing->leading_compartment > 0)
        ll_json_whole(json, "leading_compartment", (unsigned long)surfacing->leading_compartment);
    else
        ll_json_null(json, "leading_compartment");
    ll_json_number(json, "ceiling_m", surfacing->known ? surfacing->ceiling_m : NAN);
    add_range(json, "gradient_range_percent", debrief, &debrief->firmness.gradient_percent);
    ll_json_close(json, '}');
}

static void add_doses(ll_json *json, const ll_debrief *debrief)
{
    bool known = debrief->has_profile;
    ll_json_open(json, "cns_percent", '{');
    ll_json_number(json, "start", known ? debrief->cns_start_percent : NAN);
    ll_json_number(json, "end", known ? debrief->cns_end_percent : NAN);
    ll_json_number(json, "last_24_h", known ? debrief->cns_24_h_percent : NAN);
    ll_json_bool(json, "lower_bound", debrief->cns_lower_bound);
    add_range(json, "end_range", debrief, &debrief->firmness.cns_percent);
    ll_json_close(json, '}');
    ll_json_open(json, "otu", '{');
    ll_json_number(json, "dive", known ? debrief->otu_dive : NAN);
    ll_json_number(json, "day", known ? debrief->otu_day : NAN);
    ll_json_number(json, "days_in_row", known ? debrief->days_in_row : NAN);
    ll_json_number(json, "days_in_row_sum", known ? debrief->otu_row : NAN);
    ll_json_number(json, "allowance", known ? debrief->otu_allowance : NAN);
    ll_json_close(json, '}');
}

static void add_firmness(ll_json *json, const ll_debrief *debrief, const ll_finding *finding)
{
    if (!debrief->firmness.asked)
        return;
    ll_json_bool(json, "firm", finding->firm_severity == finding->severity);
    ll_json_string(json, "firm_severity", ll_severity_names[finding->firm_severity]);
    ll_json_open(json, "hangs_on", '[');
    for (int hang = 0; hang < LL_HANGS; hang++)
        if (finding->hangs_on & (1u << hang))
            ll_json_string(json, NULL, ll_hang_names[hang]);
    ll_json_close(json, ']');
}

static void add_exchange(ll_json *json, const ll_exchange *exchange)
{
    ll_json_open(json, "exchange", '{');
    ll_json_number(json, "depth_m", exchange->depth_m);
    ll_json_number(json, "n2_rise", exchange->n2_rise);
    ll_json_number(json, "he_fall", exchange->he_fall);
    ll_json_number(json, "n2_rise_bar", exchange->n2_rise_bar);
    ll_json_number(json, "he_fall_bar", exchange->he_fall_bar);
    ll_json_close(json, '}');
}

static void add_finding(ll_json *json, const ll_debrief *debrief, const ll_finding *finding)
{
    const ll_kind_row *row = &ll_kind_table[finding->kind];
    ll_text sentence;
    ll_text_open(&sentence, json->out->allocator, NULL, NULL);
    ll_finding_sentence(&sentence, debrief, finding, &ll_plain_look);
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "kind", row->key);
    ll_json_string(json, "severity", ll_severity_names[finding->severity]);
    ll_json_string(json, "class", ll_class_names[row->class]);
    ll_json_number(json, "from_s", finding->from_s);
    ll_json_number(json, "to_s", finding->to_s);
    ll_json_number(json, "beyond_s", finding->beyond_s);
    ll_json_number(json, "peak", finding->peak);
    ll_json_number(json, "peak_s", finding->peak_s);
    ll_json_number(json, "limit", finding->limit);
    ll_json_string(json, "unit", row->unit);
    add_firmness(json, debrief, finding);
    if (isfinite(finding->gradient_percent))
        ll_json_number(json, "gradient_percent", finding->gradient_percent);
    if (finding->tank)
        ll_json_string(json, "tank", ll_tank_name(debrief->entry->log, debrief->entry->dive, finding->tank));
    if (finding->exchange)
        add_exchange(json, finding->exchange);
    ll_json_scratch(json, "text", &sentence);
    ll_json_close(json, '}');
}

static void add_findings(ll_json *json, const ll_debrief *debrief)
{
    ll_json_open(json, "findings", '[');
    for (size_t i = 0; i < debrief->findings.count; i++)
        add_finding(json, debrief, &debrief->findings.items[i]);
    ll_json_close(json, ']');
}

/* What the replay of this dive came out with where a setting leaves it to the log. */
static void add_resolved(ll_json *json, const ll_debrief *debrief)
{
    const ll_profile *profile = &debrief->profile;
    bool known = debrief->has_profile;
    bool has_factors = known && ll_model_table[debrief->history->settings.model].has_factors;
    ll_json_open(json, "replayed_with", '{');
    ll_json_number(json, "gf_low", has_factors ? profile->gf_low * 100 : NAN);
    ll_json_number(json, "gf_high", has_factors ? profile->gf_high * 100 : NAN);
    ll_json_number(json, "water_kg_m3", known ? profile->water_kg_m3 : NAN);
    ll_json_number(json, "surface_bar", known ? profile->surface_bar : NAN);
    ll_json_open(json, "origins", '{');
    ll_json_string(json, "gf", has_factors ? ll_origin_names[profile->gf_origin] : NULL);
    ll_json_string(json, "water", known ? ll_origin_names[profile->water_origin] : NULL);
    ll_json_string(json, "surface", known ? ll_origin_names[profile->surface_origin] : NULL);
    ll_json_close(json, '}');
    ll_json_close(json, '}');
}

void ll_json_dive(ll_json *json, const char *key, const ll_debrief *debrief, const ll_look *look)
{
    ll_json_open(json, key, '{');
    ll_json_identity(json, debrief, look);
    ll_json_extent(json, debrief);
    ll_json_mixes(json, debrief);
    ll_json_switches(json, debrief);
    add_peaks(json, debrief);
    add_decompression(json, debrief);
    add_surfacing(json, debrief);
    ll_json_levels(json, debrief);
    add_doses(json, debrief);
    ll_json_gas(json, debrief);
    add_findings(json, debrief);
    ll_json_word(json, debrief);
    ll_json_models(json, debrief);
    ll_json_notes(json, debrief->history, &debrief->notes, look);
    ll_json_stated(json, debrief->entry->dive);
    add_resolved(json, debrief);
    ll_json_close(json, '}');
}

void ll_json_debrief(ll_text *out, const ll_debrief *debrief, const ll_look *look, bool first)
{
    ll_json json = {out, false};
    ll_json_next(&json, first, look->one_line);
    ll_json_dive(&json, NULL, debrief, look);
}
