/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Schema leadline-audit-1. */
#include <math.h>

#include "report/audit_report.h"
#include "report/json_parts.h"
#include "report/words.h"

static void add_day(ll_json *json, const char *key, int64_t day)
{
    ll_text text;
    ll_text_open(&text, json->out->allocator, NULL, NULL);
    ll_day_add(&text, day);
    ll_json_scratch(json, key, &text);
}

static void add_records(ll_json *json, const ll_audit *audit)
{
    ll_json_open(json, "records", '{');
    ll_json_whole(json, "dives", audit->count);
    ll_json_whole(json, "recorded", audit->in[LL_RECORDED]);
    ll_json_whole(json, "claimed", audit->in[LL_CLAIMED]);
    ll_json_whole(json, "merged", audit->in[LL_MERGED]);
    ll_json_whole(json, "set_aside", audit->in[LL_SET_ASIDE]);
    ll_json_close(json, '}');
}

/* --- requirements ------------------------------------------------------------------------------------------------- */

static void add_numbers(ll_json *json, const char *key, const ll_audit *audit, const size_t *dive, size_t count)
{
    ll_json_open(json, key, '[');
    for (size_t i = 0; i < count; i++)
        ll_json_whole(json, NULL, audit->dive[dive[i]].entry->number);
    ll_json_close(json, ']');
}

static void add_requirement(ll_json *json, const ll_audit *audit, const ll_requirement_answer *answer)
{
    ll_json_open(json, NULL, '{');
    ll_json_string(json, "id", answer->asked->id);
    ll_json_string(json, "text", answer->asked->text);
    ll_json_number(json, "least", answer->asked->least);
    ll_json_number(json, "most", answer->asked->most);
    ll_json_string(json, "counted_in", ll_counted_names[answer->asked->counted_in]);
    ll_json_number(json, "recorded", answer->recorded);
    ll_json_number(json, "claimed", answer->claimed);
    ll_json_number(json, "unsettled", answer->unsettled);
    ll_json_string(json, "verdict", ll_reach_keys[answer->verdict]);
    add_numbers(json, "dives", audit, answer->dive, answer->count);
    add_numbers(json, "unsettled_dives", audit, answer->open_dive, answer->open);
    ll_json_open(json, "just_short", '[');
    for (size_t i = 0; i < answer->shorts; i++) {
        ll_json_open(json, NULL, '{');
        ll_json_whole(json, "number", audit->dive[answer->just_short[i].dive].entry->number);
        ll_json_string(json, "why", answer->just_short[i].why);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
    ll_json_close(json, '}');
}

/* --- dives -------------------------------------------------------------------------------------------------------- */

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

static void add_aside(ll_json *json, const ll_audit *audit, const ll_audit_dive *dive)
{
    ll_json_open(json, NULL, '{');
    ll_json_whole(json, "number", dive->entry->number);
    ll_json_string(json, "id", dive->entry->dive->id[0] ? dive->entry->dive->id : NULL);
    add_start(json, dive->entry->dive);
    ll_json_string(json, "file", dive->entry->log->name);
    ll_json_string(json, "reason", ll_reason_keys[dive->stand.reason]);
    if (dive->stand.other != SIZE_MAX)
        ll_json_whole(json, "other", audit->dive[dive->stand.other].entry->number);
    else
        ll_json_null(json, "other");
    ll_json_string(json, "why", dive->stand.why);
    ll_json_close(json, '}');
}

static void add_asides(ll_json *json, const char *key, const ll_audit *audit, ll_standing standing)
{
    ll_json_open(json, key, '[');
    for (size_t i = 0; i < audit->count; i++)
        if (audit->dive[i].stand.standing == standing)
            add_aside(json, audit, &audit->dive[i]);
    ll_json_close(json, ']');
}

/* --- overview ----------------------------------------------------------------------------------------------------- */

static void add_dive(ll_json *json, const char *key, const ll_audit *audit, size_t index)
{
    if (index == SIZE_MAX)
        ll_json_null(json, key);
    else
        ll_json_whole(json, key, audit->dive[index].entry->number);
}

static void add_months(ll_json *json, const ll_overview *overview)
{
    ll_json_open(json, "months", '[');
    for (size_t m = 0; m < overview->months; m++) {
        ll_json_open(json, NULL, '{');
        ll_json_whole(json, "year", (unsigned long)overview->month[m].year);
        ll_json_whole(json, "month", (unsigned long)overview->month[m].month);
        ll_json_whole(json, "dives", overview->month[m].dives);
        ll_json_number(json, "greatest_depth_m", overview->month[m].deepest_m);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_bands(ll_json *json, const ll_overview *overview)
{
    ll_json_open(json, "depth_bands", '[');
    for (int band = 0; band < LL_DEPTH_BANDS; band++) {
        ll_json_open(json, NULL, '{');
        ll_json_number(json, "from_m", ll_depth_bands_m[band]);
        ll_json_whole(json, "dives", overview->band[band]);
        ll_json_number(json, "hours", overview->band_hours[band]);
        ll_json_whole(json, "last_twelve_months", overview->band_last_year[band]);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_gaps(ll_json *json, const ll_overview *overview)
{
    ll_json_open(json, "gaps", '[');
    for (size_t i = 0; i < overview->gaps; i++) {
        ll_json_open(json, NULL, '{');
        add_day(json, "from", overview->gap[i].from_day);
        add_day(json, "to", overview->gap[i].to_day);
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

/* Of sampling classes with twenty dives or more. */
static void add_conduct(ll_json *json, const ll_overview *overview)
{
    ll_json_open(json, "conduct", '[');
    for (int c = 0; c < LL_SAMPLING_CLASSES; c++) {
        const ll_conduct_class *class = &overview->conduct[c];
        if (class->dives < LL_CONDUCT_LEAST_DIVES)
            continue;
        ll_json_open(json, NULL, '{');
        ll_json_string(json, "sampled_every", ll_sampling_class_words[c]);
        ll_json_whole(json, "dives", class->dives);
        ll_json_open(json, "with", '{');
        for (int kind = 0; kind < LL_FINDING_KINDS; kind++)
            if (ll_kind_table[kind].class == LL_CONDUCT)
                ll_json_whole(json, ll_kind_table[kind].key, class->with[kind]);
        ll_json_close(json, '}');
        ll_json_close(json, '}');
    }
    ll_json_close(json, ']');
}

static void add_overview(ll_json *json, const ll_audit *audit)
{
    const ll_overview *overview = &audit->overview;
    const size_t owed = overview->longest_owed, kept = overview->longest_kept;
    ll_json_open(json, "overview", '{');
    add_dive(json, "deepest_last_twelve_months", audit, overview->deepest_recent);
    add_dive(json, "last_decompression", audit, overview->last_decompression);
    add_dive(json, "longest_owed", audit, owed);
    ll_json_number(json, "longest_owed_s", owed != SIZE_MAX ? audit->dive[owed].owed_s : NAN);
    add_dive(json, "longest_kept", audit, kept);
    ll_json_number(json, "longest_kept_s", kept != SIZE_MAX ? audit->dive[kept].kept_s : NAN);
    ll_json_whole(json, "most_mixes", overview->most_mixes);
    ll_json_whole(json, "most_stages", overview->most_stages);
    add_dive(json, "largest_step", audit, overview->largest_step);
    ll_json_number(json, "largest_step_m", overview->largest_step != SIZE_MAX ? overview->largest_step_m : NAN);
    add_bands(json, overview);
    add_gaps(json, overview);
    add_months(json, overview);
    add_conduct(json, overview);
    ll_json_close(json, '}');
}

/* --- the whole ---------------------------------------------------------------------------------------------------- */

static void add_cautions(ll_json *json)
{
    ll_json_open(json, "cautions", '[');
    ll_json_string(json, NULL, ll_caution_first);
    for (size_t i = 0; ll_audit_cautions[i]; i++)
        ll_json_string(json, NULL, ll_audit_cautions[i]);
    for (size_t i = 0; ll_cautions[i]; i++)
        ll_json_string(json, NULL, ll_cautions[i]);
    ll_json_close(json, ']');
}

void ll_audit_json(ll_text *out, const ll_audit *audit, const ll_look *look)
{
    ll_json json = {out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_schema(&json, "leadline-audit-1");
    ll_json_string(&json, "standard", audit->standard->name);
    add_day(&json, "as_of", audit->today);
    ll_json_settings(&json, &audit->history->settings);
    ll_json_inputs(&json, audit->history, look);
    add_records(&json, audit);
    ll_json_open(&json, "requirements", '[');
    for (size_t i = 0; i < audit->answers; i++) {
        ll_json_next(&json, i == 0, look->one_line);
        add_requirement(&json, audit, &audit->answer[i]);
    }
    ll_json_close(&json, ']');
    add_asides(&json, "set_aside", audit, LL_SET_ASIDE);
    add_asides(&json, "merged", audit, LL_MERGED);
    add_overview(&json, audit);
    ll_json_string(&json, "verdict", ll_reach_keys[audit->verdict]);
    ll_json_notes_too(&json, audit->history, &audit->notes, look);
    ll_json_limits(&json, audit->limits);
    add_cautions(&json);
    ll_json_close(&json, '}');
    ll_text_putc(out, '\n');
}
