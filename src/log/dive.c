/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Facts about one dive, and the end of it: what was gathered goes to exact-size columns. */
#include <math.h>
#include <string.h>

#include "log/values.h"

static void reset_lists(ll_reader *reader)
{
    ll_list *const lists[] = {&reader->samples,   &reader->switches, &reader->modes, &reader->set_points,
                              &reader->own_stops, &reader->alarms,   &reader->uses,  &reader->links};
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
    reset_lists(reader);
    ll_forget_facts(reader, LL_FACT_YEAR, LL_FACT_LOWEST);
    reader->dive = (ll_dive){.id = copy, .line = ll_line(reader), .site = LL_NONE, .interval_s = NAN};
    reader->start_rank = 0;
    reader->in_dive = true;
    if (!copy)
        ll_stop_no_memory(reader);
}

/* --- date and time ------------------------------------------------------------------------------------------- */

static void note_date(ll_reader *reader, const char *text, size_t length)
{
    char shown[LL_SHOWN];
    LL_NOTE_HERE(reader, LL_NOTE_DATE_UNUSABLE, ll_line(reader), ll_shown(shown, text, length));
}

void ll_end_datetime(ll_reader *reader)
{
    size_t length;
    const char *text = ll_gathered(reader, &length);
    uint8_t rank = ll_rank_here(reader);
    if (length == 0 || reader->start_rank >= rank)
        return;
    reader->start_rank = rank;
    reader->dive.start_text = ll_arena_text_n(&reader->arena, text, length);
    if (!reader->dive.start_text)
        ll_stop_no_memory(reader);
    if (!ll_instant_read(text, length, &reader->dive.start) || !reader->dive.start.has_date)
        note_date(reader, text, length);
}

/* A fact that must be a whole number of at most nine digits; -1 if it is none. */
static int whole(const ll_reader *reader, ll_fact fact)
{
    double value = ll_fact_of(reader, fact);
    return value >= 0 && value < 1e9 && value == floor(value) ? (int)value : -1;
}

/* The split form of 2.x; a missing second is 0. */
static void start_from_parts(ll_reader *reader)
{
    ll_instant *start = &reader->dive.start;
    if (reader->start_rank || isnan(ll_fact_of(reader, LL_FACT_YEAR)))
        return;
    if (!ll_instant_from_parts(whole(reader, LL_FACT_YEAR), whole(reader, LL_FACT_MONTH), whole(reader, LL_FACT_DAY),
                               start)) {
        note_date(reader, "year, month, day", strlen("year, month, day"));
        return;
    }
    if (isnan(ll_fact_of(reader, LL_FACT_HOUR)))
        return;
    int second = isnan(ll_fact_of(reader, LL_FACT_SECOND)) ? 0 : whole(reader, LL_FACT_SECOND);
    int minute = isnan(ll_fact_of(reader, LL_FACT_MINUTE)) ? 0 : whole(reader, LL_FACT_MINUTE);
    if (!ll_instant_set_clock(start, whole(reader, LL_FACT_HOUR), minute, second))
        note_date(reader, "hour, minute", strlen("hour, minute"));
}

/* --- surface interval ---------------------------------------------------------------------------------------- */

void ll_begin_infinity(ll_reader *reader)
{
    if (reader->dive.interval == LL_INTERVAL_NOT_STATED)
        reader->dive.interval = LL_INTERVAL_INFINITE;
}

void ll_end_passed(ll_reader *reader)
{
    static const char *const infinity[] = {"infinity", NULL};
    size_t length;
    const char *text = ll_gathered(reader, &length);
    if (reader->dive.interval != LL_INTERVAL_NOT_STATED)
        return;
    if (ll_keyword(infinity, text, length) == 0)
        reader->dive.interval = LL_INTERVAL_INFINITE;
    else if (ll_value(reader, text, length, 0, "passedtime", &reader->dive.interval_s))
        reader->dive.interval = LL_INTERVAL_PASSED;
}

/* --- the end of a dive --------------------------------------------------------------------------------------- */

static void take_facts(ll_reader *reader)
{
    ll_dive *dive = &reader->dive;
    int number = whole(reader, LL_FACT_DIVE_NUMBER);
    dive->stated_number = number > 0 ? (unsigned)number : 0;
    dive->surface_pressure_bar = ll_fact_of(reader, LL_FACT_SURFACE_PRESSURE);
    dive->altitude_m = ll_fact_of(reader, LL_FACT_ALTITUDE);
    dive->density_kg_m3 = ll_fact_of(reader, LL_FACT_DENSITY);
    dive->stated_greatest_m = ll_fact_of(reader, LL_FACT_GREATEST);
    dive->stated_average_m = ll_fact_of(reader, LL_FACT_AVERAGE);
    dive->stated_duration_s = ll_fact_of(reader, LL_FACT_DURATION);
    dive->stated_lowest_c = ll_fact_of(reader, LL_FACT_LOWEST);
    start_from_parts(reader);
}

typedef struct spike_context {
    ll_reader *reader;
    const double *time_s;
} spike_context;

static bool note_spike(void *context, size_t first, size_t last)
{
    const spike_context *spike = context;
    const ll_raw_sample *sample = spike->reader->samples.items;
    char said[LL_SHOWN];
    return LL_NOTE_HERE(spike->reader, LL_NOTE_SPIKE, sample[first].line, (unsigned)(last - first + 1),
                        ll_said(spike->reader, said, spike->time_s[first]));
}

static bool has_temperatures(const ll_reader *reader)
{
    const ll_raw_sample *sample = reader->samples.items;
    for (size_t i = 0; i < reader->samples.count; i++)
        if (!isnan(sample[i].temperature_c))
            return true;
    return false;
}

static bool make_columns(ll_reader *reader)
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
    return ll_bridge_spikes(time_s, depth_m, count, note_spike, &spike);
}

/* The one series of a kind that names no tank or sensor. */
static bool make_single(ll_reader *reader, ll_readings kind, ll_series *series)
{
    size_t count;
    ll_series *made = ll_series_make(reader, kind, &count, NULL);
    if (!made)
        return false;
    *series = count ? made[0] : (ll_series){.tank_use = LL_NONE};
    return true;
}

/* Written as percent where one is over 1.5. */
static void settle_gradients(ll_list *values)
{
    ll_reading *reading = values->items;
    bool percent = false;
    for (size_t i = 0; i < values->count; i++)
        percent = percent || reading[i].value > 1.5;
    for (size_t i = 0; percent && i < values->count; i++)
        reading[i].value /= 100;
}

static bool make_series(ll_reader *reader, ll_raw_dive *raw)
{
    ll_dive *dive = &reader->dive;
    settle_gradients(&reader->readings[LL_READ_GRADIENT].values);
    raw->tank_pressure = ll_series_make(reader, LL_READ_TANK, &raw->series, &raw->series_id);
    if (!raw->tank_pressure)
        return false;
    dive->measured_po2 = ll_series_make(reader, LL_READ_MEASURED, &dive->measured_po2s, NULL);
    return dive->measured_po2 && make_single(reader, LL_READ_CALCULATED, &dive->calculated_po2) &&
           make_single(reader, LL_READ_NO_STOP, &dive->no_stop) &&
           make_single(reader, LL_READ_GRADIENT, &dive->own_gradient) &&
           make_single(reader, LL_READ_CNS, &dive->own_cns) && make_single(reader, LL_READ_OTU, &dive->own_otu);
}

/* A list of samples' items, placed and copied; *count and the result belong together. */
static const void *take(ll_reader *reader, ll_arena *arena, ll_list *list, size_t size, size_t *count)
{
    if (!ll_place_items(reader, list, size))
        return NULL;
    const void *copy = ll_list_copy(list, arena, size);
    if (!copy)
        ll_stop_no_memory(reader);
    *count = copy ? list->count : 0;
    return copy;
}

/* Writers repeat what holds at every sample; only changes are kept. */
static void thin_switches(ll_list *list)
{
    ll_raw_switch *change = list->items;
    size_t kept = 0;
    for (size_t i = 0; i < list->count; i++)
        if (kept == 0 || change[i].id != change[kept - 1].id)
            change[kept++] = change[i];
    list->count = kept;
}

static bool take_events(ll_reader *reader, ll_raw_dive *raw)
{
    ll_arena *scratch = &reader->scratch;
    ll_dive *dive = &reader->dive;
    if (!ll_place_items(reader, &reader->switches, sizeof *raw->change))
        return false;
    thin_switches(&reader->switches);
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

void ll_end_dive(ll_reader *reader)
{
    ll_raw_dive raw = {.series = 0};
    take_facts(reader);
    if (!ll_order_samples(reader) || !make_columns(reader) || !make_series(reader, &raw) ||
        !take_events(reader, &raw)) {
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
