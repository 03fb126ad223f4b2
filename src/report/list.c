/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The list as JSON (schema leadline-list-1) and CSV; and the door to the three formats. */
#include "report/list.h"

#include <math.h>

#include "base/number.h"
#include "report/csv.h"
#include "report/json_parts.h"
#include "report/words.h"

const struct ll_series_name ll_series_names[LL_SERIES_SHOWN] = {
    {"temperature", "temperature"},
    {"tank_pressure", "tank pressure"},
    {"po2", "PO2"},
    {"own_stops", "the recorder's own stops"},
};

bool ll_has_series(const ll_dive *dive, size_t which)
{
    const bool has[LL_SERIES_SHOWN] = {
        dive->temperature_c != NULL,
        dive->tank_pressures > 0,
        dive->measured_po2s > 0 || dive->calculated_po2.count > 0,
        dive->own_stops > 0,
    };
    return has[which];
}

/* Median time between samples, NaN below two. */
static double interval_s(const ll_debrief *debrief)
{
    return debrief->has_profile ? debrief->profile.interval_s : NAN;
}

/* --- JSON ----------------------------------------------------------------------------------------------------- */

static void json_head(ll_text *out, const ll_history *history, const ll_look *look)
{
    ll_json json = {out, false};
    ll_json_open(&json, NULL, '{');
    ll_json_schema(&json, "leadline-list-1");
    ll_json_settings(&json, &history->settings);
    ll_json_inputs(&json, history, look);
    ll_json_open(&json, "dives", '[');
}

static void json_row(ll_text *out, const ll_debrief *debrief, const ll_look *look, bool first)
{
    const ll_dive *dive = debrief->entry->dive;
    ll_json json = {out, false};
    ll_json_next(&json, first, look->one_line);
    ll_json_open(&json, NULL, '{');
    ll_json_identity(&json, debrief, look);
    ll_json_bool(&json, "profile", debrief->has_profile);
    ll_json_extent(&json, debrief);
    ll_json_mixes(&json, debrief);
    ll_json_whole(&json, "samples", dive->count);
    ll_json_number(&json, "interval_s", interval_s(debrief));
    ll_json_open(&json, "series", '{');
    for (size_t i = 0; i < LL_SERIES_SHOWN; i++)
        ll_json_bool(&json, ll_series_names[i].key, ll_has_series(dive, i));
    ll_json_close(&json, '}');
    ll_json_stated(&json, dive);
    ll_json_notes(&json, debrief->history, &debrief->notes, look);
    ll_json_close(&json, '}');
}

static void json_foot(ll_text *out, const ll_history *history, const ll_look *look)
{
    ll_json json = {out, true};
    ll_json_close(&json, ']');
    ll_json_notes(&json, history, &history->notes, look);
    ll_json_cautions(&json);
    ll_json_close(&json, '}');
    ll_text_putc(out, '\n');
}

/* --- CSV ------------------------------------------------------------------------------------------------------ */

static void csv_head(ll_text *out)
{
    ll_text_puts(out, "dive,start,diver,site,file,profile,run_time_s,record_s,greatest_depth_m,mean_depth_m,mixes,"
                      "samples,interval_s");
    for (size_t i = 0; i < LL_SERIES_SHOWN; i++)
        ll_text_format(out, ",%s", ll_series_names[i].key);
    ll_text_puts(out, ",stated_duration_s,stated_greatest_depth_m,stated_mean_depth_m,losses,doubts,remarks,notes\n");
}

static void csv_identity(ll_text *out, const ll_debrief *debrief, const ll_look *look)
{
    const ll_entry *entry = debrief->entry;
    ll_text name;
    ll_text_open(&name, out->allocator, NULL, NULL);
    ll_owner_add(&name, debrief->history, entry->log, look);
    ll_text_format(out, "%u,", entry->number);
    ll_instant_add(out, &entry->dive->start);
    ll_text_putc(out, ',');
    ll_csv_scratch(out, &name);
    ll_text_putc(out, ',');
    ll_csv_text(out, ll_site_name(entry->log, entry->dive));
    ll_text_putc(out, ',');
    ll_csv_text(out, entry->log->name);
}

static void csv_numbers(ll_text *out, const double *numbers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        ll_text_putc(out, ',');
        ll_number_add(out, numbers[i]);
    }
}

/* Labels, with a blank between. */
static void csv_mixes(ll_text *out, const ll_debrief *debrief)
{
    ll_text labels;
    ll_text_open(&labels, out->allocator, NULL, NULL);
    for (size_t i = 0; i < debrief->mix_count; i++) {
        ll_text_puts(&labels, i ? " " : "");
        ll_text_puts(&labels, debrief->entry->log->mix[debrief->mixes[i]].label);
    }
    ll_text_putc(out, ',');
    ll_csv_scratch(out, &labels);
}

/* "code, line 52, 3 times: sentence", with " | " between. */
static void csv_notes(ll_text *out, const ll_debrief *debrief, const ll_look *look)
{
    ll_text words;
    ll_text_open(&words, out->allocator, NULL, NULL);
    for (size_t i = 0; i < debrief->notes.count; i++) {
        const ll_note *note = &debrief->notes.items[i];
        ll_text_format(&words, "%s%s", i ? " | " : "", ll_note_table[note->code].code);
        if (note->line > 0)
            ll_text_format(&words, ", line %ld", note->line);
        if (note->count > 1)
            ll_text_format(&words, ", %zu times", note->count);
        ll_text_puts(&words, ": ");
        ll_note_sentence(&words, debrief->history, note, look);
    }
    ll_text_putc(out, ',');
    ll_csv_scratch(out, &words);
}

static const char *yes_or_no(bool yes)
{
    return yes ? "yes" : "no";
}

static void csv_row(ll_text *out, const ll_debrief *debrief, const ll_look *look)
{
    const ll_dive *dive = debrief->entry->dive;
    const ll_profile *profile = &debrief->profile;
    bool recorded = debrief->has_profile;
    const double extent[] = {recorded ? profile->run_time_s : NAN, recorded ? profile->record_s : NAN,
                             recorded ? profile->greatest_m : NAN, recorded ? profile->mean_m : NAN};
    const double stated[] = {dive->stated_duration_s, dive->stated_greatest_m, dive->stated_average_m};
    csv_identity(out, debrief, look);
    ll_text_format(out, ",%s", yes_or_no(debrief->has_profile));
    csv_numbers(out, extent, sizeof extent / sizeof *extent);
    csv_mixes(out, debrief);
    ll_text_format(out, ",%zu,", dive->count);
    ll_number_add(out, interval_s(debrief));
    for (size_t i = 0; i < LL_SERIES_SHOWN; i++)
        ll_text_format(out, ",%s", yes_or_no(ll_has_series(dive, i)));
    csv_numbers(out, stated, sizeof stated / sizeof *stated);
    ll_text_format(out, ",%zu,%zu,%zu", ll_notes_of_weight(&debrief->notes, LL_LOSS),
                   ll_notes_of_weight(&debrief->notes, LL_DOUBT), ll_notes_of_weight(&debrief->notes, LL_REMARK));
    csv_notes(out, debrief, look);
    ll_text_putc(out, '\n');
}

/* --- the three formats ---------------------------------------------------------------------------------------- */

void ll_list_head(ll_text *out, const ll_history *history, ll_list_format format, const ll_look *look)
{
    if (format == LL_LIST_JSON)
        json_head(out, history, look);
    else if (format == LL_LIST_CSV)
        csv_head(out);
    else
        ll_list_text_head(out, history, look);
}

void ll_list_row(ll_text *out, const ll_debrief *debrief, ll_list_format format, const ll_look *look, bool first)
{
    if (format == LL_LIST_JSON)
        json_row(out, debrief, look, first);
    else if (format == LL_LIST_CSV)
        csv_row(out, debrief, look);
    else
        ll_list_text_row(out, debrief, look);
}

void ll_list_foot(ll_text *out, const ll_history *history, ll_list_format format, const ll_look *look)
{
    if (format == LL_LIST_JSON)
        json_foot(out, history, look);
    else if (format == LL_LIST_TEXT)
        ll_list_text_foot(out, history, look);
}
