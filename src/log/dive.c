/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Facts about one dive, and the end of it: what was gathered goes to exact-size columns. */
#include <math.h>

#include "base/number.h"
#include "log/units.h"
#include "log/values.h"

/* Forgets what samples left behind. */
static void reset_record(ll_reader *reader)
{
    ll_list *const lists[] = {&reader->samples,    &reader->switches,  &reader->modes,
                              &reader->set_points, &reader->own_stops, &reader->alarms};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        lists[i]->count = 0;
    for (int kind = 0; kind < LL_READINGS; kind++)
        reader->readings[kind].series.count = reader->readings[kind].values.count = reader->readings[kind].latest = 0;
}

void ll_begin_dive(ll_reader *reader)
{
    if (reader->dives.count >= reader->limits->dives) {
        ll_stop(reader, LL_BAD_INPUT, "more than %zu dives", reader->limits->dives);
        return;
    }
    size_t length;
    const char *id = ll_attribute_of(reader, LL_ATTRIBUTE_ID, &length);
    const char *copy = ll_arena_text_n(&reader->arena, id ? id : "", length);
    reset_record(reader);
    reader->uses.count = reader->links.count = 0;
    ll_forget_facts(reader, LL_FACT_YEAR, LL_FACT_LOWEST);
    reader->dive = (ll_dive){.id = copy, .line = ll_line(reader), .site = LL_NONE, .interval_s = NAN};
    reader->start_rank = 0;
    reader->in_dive = true;
    if (!copy)
        ll_stop_no_memory(reader);
}

/* --- surface interval ---------------------------------------------------------------------------------------- */

/* The first statement counts. */
static void state_interval(ll_reader *reader, ll_interval_kind kind, double passed_s)
{
    ll_dive *dive = &reader->dive;
    if (dive->interval == LL_INTERVAL_NOT_STATED) {
        dive->interval = kind;
        dive->interval_s = passed_s;
    } else if (dive->interval != kind || (kind == LL_INTERVAL_PASSED && dive->interval_s != passed_s)) {
        LL_NOTE_HERE(reader, LL_NOTE_INTERVAL_REPEATED, ll_line(reader));
    }
}

void ll_begin_infinity(ll_reader *reader)
{
    state_interval(reader, LL_INTERVAL_INFINITE, NAN);
}

void ll_end_passed(ll_reader *reader)
{
    static const char *const infinity[] = {"infinity", NULL};
    size_t length;
    double passed_s;
    const char *text = ll_gathered(reader, &length);
    if (ll_keyword(infinity, text, length) == 0)
        state_interval(reader, LL_INTERVAL_INFINITE, NAN);
    else if (ll_value(reader, text, length, 0, LL_ANY_NUMBER, "passedtime", &passed_s))
        state_interval(reader, LL_INTERVAL_PASSED, passed_s);
}

/* --- the end of a dive --------------------------------------------------------------------------------------- */

static void take_facts(ll_reader *reader)
{
    ll_dive *dive = &reader->dive;
    int number = ll_whole_fact(reader, LL_FACT_DIVE_NUMBER);
    dive->stated_number = number > 0 ? (unsigned)number : 0;
    dive->surface_pressure_bar = ll_fact_of(reader, LL_FACT_SURFACE_PRESSURE);
    dive->altitude_m = ll_fact_of(reader, LL_FACT_ALTITUDE);
    dive->density_kg_m3 = ll_fact_of(reader, LL_FACT_DENSITY);
    dive->stated_greatest_m = ll_fact_of(reader, LL_FACT_GREATEST);
    dive->stated_average_m = ll_fact_of(reader, LL_FACT_AVERAGE);
    dive->stated_duration_s = ll_fact_of(reader, LL_FACT_DURATION);
    dive->stated_lowest_c = ll_fact_of(reader, LL_FACT_LOWEST);
    if (!isnan(dive->stated_lowest_c))
        ll_extent_add(&reader->extent[LL_WRITTEN_LOWEST], dive->stated_lowest_c, dive->line);
    ll_take_start(reader);
}

typedef struct spike_context {
    ll_reader *reader;
    const double *time_s;
} spike_context;

static bool note_spike(void *context, size_t first, size_t last)
{
    const spike_context *spike = context;
    const ll_raw_sample *sample = spike->reader->samples.items;
    char said[LL_PRINTED];
    return LL_NOTE_HERE(spike->reader, LL_NOTE_SPIKE, sample[first].line, (unsigned)(last - first + 1),
                        ll_number_print(said, spike->time_s[first]));
}

static bool has_temperatures(const ll_reader *reader)
{
    const ll_raw_sample *sample = reader->samples.items;
    for (size_t i = 0; i < reader->samples.count; i++)
        if (!isnan(sample[i].temperature_c))
            return true;
    return false;
}

static bool make_columns(ll_reader *reader, ll_raw_dive *raw)
{
    size_t count = reader->samples.count;
    if (count == 0)
        return true;
    double *time_s = ll_arena_array(&reader->arena, count, sizeof *time_s);
    double *depth_m = ll_arena_array(&reader->arena, count, sizeof *depth_m);
    bool warm = has_temperatures(reader);
    double *temperature_c = warm ? ll_arena_array(&reader->arena, count, sizeof *temperature_c) : NULL;
    if (!time_s || !depth_m || (warm && !temperature_c)) {
        ll_stop_no_memory(reader);
        return false;
    }
    const ll_raw_sample *sample = reader->samples.items;
    for (size_t i = 0; i < count; i++) {
        time_s[i] = sample[i].time_s;
        depth_m[i] = sample[i].depth_m;
        if (temperature_c)
            temperature_c[i] = sample[i].temperature_c;
    }
    spike_context spike = {reader, time_s};
    reader->dive.count = count;
    reader->dive.time_s = time_s;
    reader->dive.depth_m = depth_m;
    reader->dive.temperature_c = temperature_c;
    raw->temperature = (ll_column){temperature_c, temperature_c ? count : 0};
    if (!ll_bridge_spikes(time_s, depth_m, count, note_spike, &spike))
        return false;
    ll_note_doubts(reader);
    return reader->error.status == LL_OK;
}

/* The one series of a kind that names no tank or sensor. */
static bool make_single(ll_reader *reader, ll_readings kind, ll_series *series, ll_column *values)
{
    ll_made_series made;
    if (!ll_series_make(reader, kind, &made))
        return false;
    *series = made.count ? made.series[0] : (ll_series){.tank_use = LL_NONE};
    *values = made.values;
    return true;
}

static bool make_measured(ll_reader *reader, ll_dive *dive, ll_column *values)
{
    ll_made_series made;
    if (!ll_series_make(reader, LL_READ_MEASURED, &made))
        return false;
    dive->measured_po2 = made.series;
    dive->measured_po2s = made.count;
    *values = made.values;
    return true;
}

static bool make_series(ll_reader *reader, ll_raw_dive *raw)
{
    ll_dive *dive = &reader->dive;
    ll_column settled; /* needs no unit */
    ll_see_readings(reader, LL_READ_MEASURED, LL_WRITTEN_MEASURED);
    ll_see_readings(reader, LL_READ_CALCULATED, LL_WRITTEN_CALCULATED);
    ll_see_readings(reader, LL_READ_GRADIENT, LL_WRITTEN_GRADIENT);
    return ll_series_make(reader, LL_READ_TANK, &raw->pressure) && make_measured(reader, dive, &raw->measured) &&
           make_single(reader, LL_READ_CALCULATED, &dive->calculated_po2, &raw->calculated) &&
           make_single(reader, LL_READ_GRADIENT, &dive->own_gradient, &raw->gradient) &&
           make_single(reader, LL_READ_NO_STOP, &dive->no_stop, &settled) &&
           make_single(reader, LL_READ_CNS, &dive->own_cns, &settled) &&
           make_single(reader, LL_READ_OTU, &dive->own_otu, &settled);
}

/* A list of samples' items, placed and copied; *count and the result belong together. */
static void *take(ll_reader *reader, ll_arena *arena, ll_list *list, size_t size, size_t *count)
{
    if (!ll_place_items(reader, list, size))
        return NULL;
    void *copy = ll_list_copy(list, arena, size);
    if (!copy)
        ll_stop_no_memory(reader);
    *count = copy ? list->count : 0;
    return copy;
}

static void note_two_mixes(ll_reader *reader, const ll_raw_switch *last)
{
    char said[LL_PRINTED];
    LL_NOTE_HERE(reader, LL_NOTE_MIX_TWICE, last->line, ll_number_print(said, reader->dive.time_s[last->sample]));
}

/* Writers repeat what holds at every sample; only changes are kept. */
static void thin_switches(ll_reader *reader)
{
    ll_raw_switch *change = reader->switches.items;
    size_t kept = 0;
    for (size_t i = 0; i < reader->switches.count; i++) {
        if (i > 0 && change[i].sample == change[i - 1].sample && change[i].id != change[i - 1].id)
            note_two_mixes(reader, &change[i]);
        if (kept == 0 || change[i].id != change[kept - 1].id)
            change[kept++] = change[i];
    }
    reader->switches.count = kept;
}

static bool take_events(ll_reader *reader, ll_raw_dive *raw)
{
    ll_arena *scratch = &reader->scratch;
    ll_dive *dive = &reader->dive;
    ll_pass_on(reader);
    if (!ll_place_items(reader, &reader->switches, sizeof *raw->change))
        return false;
    thin_switches(reader);
    raw->change = ll_list_copy(&reader->switches, scratch, sizeof *raw->change);
    raw->switches = reader->switches.count;
    raw->mode = take(reader, scratch, &reader->modes, sizeof *raw->mode, &raw->modes);
    raw->set_point = take(reader, scratch, &reader->set_points, sizeof *raw->set_point, &raw->set_points);
    dive->own_stop = take(reader, &reader->arena, &reader->own_stops, sizeof *dive->own_stop, &dive->own_stops);
    dive->alarm = take(reader, &reader->arena, &reader->alarms, sizeof *dive->alarm, &dive->alarms);
    raw->use = ll_list_copy(&reader->uses, scratch, sizeof *raw->use);
    raw->uses = reader->uses.count;
    raw->link = ll_list_copy(&reader->links, scratch, sizeof *raw->link);
    raw->links = reader->links.count;
    return raw->change && raw->mode && raw->set_point && dive->own_stop && dive->alarm && raw->use && raw->link;
}

/* A single sample says where the diver was once; that makes no profile. */
static bool leave_out_single(ll_reader *reader)
{
    if (reader->samples.count != 1)
        return true;
    const ll_raw_sample *sample = reader->samples.items;
    long line = sample->line;
    reset_record(reader);
    return LL_NOTE_HERE(reader, LL_NOTE_ONE_SAMPLE, line);
}

void ll_end_dive(ll_reader *reader)
{
    ll_raw_dive raw = {.switches = 0};
    take_facts(reader);
    if (!ll_order_samples(reader) || !leave_out_single(reader) || !make_columns(reader, &raw) ||
        !make_series(reader, &raw) || !take_events(reader, &raw)) {
        ll_stop_no_memory(reader);
        return;
    }
    if (reader->dive.count == 0)
        LL_NOTE_HERE(reader, LL_NOTE_NO_PROFILE, reader->dive.line);
    raw.dive = reader->dive;
    reader->in_dive = false;
    if (!ll_list_append(&reader->dives, reader->allocator, &raw, 1, sizeof raw))
        ll_stop_no_memory(reader);
}
