/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One sample of a record: the path on which most bytes of a log pass. Nothing is allocated here once the lists have
 * grown to the size of a dive. */
#include <math.h>

#include "log/values.h"

enum { MOST_SERIES = 256 }; /* tanks or sensors on one dive */

/* The sample that is open, in file order. */
static uint32_t sample_here(const ll_reader *reader)
{
    return (uint32_t)reader->samples.count;
}

void ll_begin_waypoint(ll_reader *reader)
{
    if (reader->samples.count >= reader->limits->samples)
        ll_stop(reader, LL_BAD_INPUT, "more than %zu samples in a dive", reader->limits->samples);
    else if (reader->total_samples++ >= reader->limits->total_samples)
        ll_stop(reader, LL_BAD_INPUT, "more than %zu samples", reader->limits->total_samples);
    ll_forget_facts(reader, LL_FACT_DEPTH, LL_FACT_TEMPERATURE);
}

/* Readings of a sample without a time cannot be placed. */
static void drop_readings(ll_reader *reader)
{
    for (int kind = 0; kind < LL_READINGS; kind++) {
        ll_list *values = &reader->readings[kind].values;
        const ll_reading *reading = values->items;
        while (values->count && reading[values->count - 1].sample == sample_here(reader))
            values->count--;
    }
}

void ll_end_waypoint(ll_reader *reader)
{
    ll_raw_sample sample = {ll_fact_of(reader, LL_FACT_TIME), ll_fact_of(reader, LL_FACT_DEPTH),
                            ll_fact_of(reader, LL_FACT_TEMPERATURE), (uint32_t)ll_line(reader), sample_here(reader)};
    if (isnan(sample.time_s))
        drop_readings(reader);
    ll_raw_sample *added = ll_list_add(&reader->samples, reader->allocator, sizeof sample);
    if (!added)
        ll_stop_no_memory(reader);
    else
        *added = sample;
}

/* --- readings ------------------------------------------------------------------------------------------------ */

/* The series of an id, made if it is new; NULL after a failure. */
static ll_raw_series *series_of(ll_reader *reader, ll_raw_readings *readings, int id)
{
    ll_raw_series *series = readings->series.items;
    if (readings->latest < readings->series.count && series[readings->latest].id == id)
        return &series[readings->latest];
    for (size_t i = 0; i < readings->series.count; i++)
        if (series[i].id == id) {
            readings->latest = i;
            return &series[i];
        }
    if (readings->series.count >= MOST_SERIES) {
        ll_stop(reader, LL_BAD_INPUT, "more than %d tanks or sensors on one dive", MOST_SERIES);
        return NULL;
    }
    ll_raw_series *added = ll_list_add(&readings->series, reader->allocator, sizeof *added);
    if (!added) {
        ll_stop_no_memory(reader);
        return NULL;
    }
    *added = (ll_raw_series){id, LL_DROPPED, 0};
    readings->latest = readings->series.count - 1;
    return added;
}

static void add_reading(ll_reader *reader, ll_readings kind, int id, double value)
{
    ll_raw_readings *readings = &reader->readings[kind];
    ll_raw_series *series = series_of(reader, readings, id);
    if (!series)
        return;
    if (series->last == sample_here(reader)) {
        ll_note_repeated(reader);
        return;
    }
    series->last = sample_here(reader);
    ll_reading *added = ll_list_add(&readings->values, reader->allocator, sizeof *added);
    if (!added)
        ll_stop_no_memory(reader);
    else
        *added = (ll_reading){sample_here(reader), (uint32_t)readings->latest, value};
}

/* The number that the open element holds; false if it holds none. */
static bool number_here(ll_reader *reader, double least, double *value)
{
    size_t length;
    const char *text = ll_gathered(reader, &length);
    return ll_value(reader, text, length, least, ll_element_table[reader->row].name, value);
}

static void end_reading(ll_reader *reader, ll_readings kind, int id, double divisor)
{
    double value;
    if (number_here(reader, 0, &value))
        add_reading(reader, kind, id, value / divisor);
}

void ll_begin_tank_pressure(ll_reader *reader)
{
    reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_REF);
    if (reader->id == LL_NONE)
        reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_TANKREF);
}

/* A pressure of 0 is no reading. */
void ll_end_tank_pressure(ll_reader *reader)
{
    double pascal;
    if (number_here(reader, 0, &pascal) && pascal > 0)
        add_reading(reader, LL_READ_TANK, reader->id, pascal / 1e5);
}

void ll_begin_measured_po2(ll_reader *reader)
{
    reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_REF);
}

void ll_end_measured_po2(ll_reader *reader)
{
    end_reading(reader, LL_READ_MEASURED, reader->id, 1e5);
}

void ll_end_calculated_po2(ll_reader *reader)
{
    end_reading(reader, LL_READ_CALCULATED, LL_NONE, 1e5);
}

void ll_end_no_stop(ll_reader *reader)
{
    end_reading(reader, LL_READ_NO_STOP, LL_NONE, 1);
}

void ll_end_own_gradient(ll_reader *reader)
{
    end_reading(reader, LL_READ_GRADIENT, LL_NONE, 1);
}

void ll_end_own_cns(ll_reader *reader)
{
    end_reading(reader, LL_READ_CNS, LL_NONE, 1);
}

void ll_end_own_otu(ll_reader *reader)
{
    end_reading(reader, LL_READ_OTU, LL_NONE, 1);
}

/* --- what holds from a sample on ----------------------------------------------------------------------------- */

static void add_event(ll_reader *reader, ll_list *list, const void *event, size_t size)
{
    if (!ll_list_append(list, reader->allocator, event, 1, size))
        ll_stop_no_memory(reader);
}

/* The place of an attribute's keyword; LL_NONE if there is none, or with a note if it is not among them. */
static int keyword_here(ll_reader *reader, ll_attribute attribute, const char *const *words)
{
    size_t length;
    char shown[LL_SHOWN];
    const char *text = ll_attribute_of(reader, attribute, &length);
    if (!length)
        return LL_NONE;
    int place = ll_keyword(words, text, length);
    if (place == LL_NONE)
        LL_NOTE_HERE(reader, LL_NOTE_KEYWORD_UNKNOWN, ll_line(reader), ll_element_table[reader->row].name,
                     ll_shown(shown, text, length));
    return place;
}

/* Without `setby` (before 3.1) it is the user's. */
void ll_begin_set_point(ll_reader *reader)
{
    static const char *const by[] = {"user", "computer", NULL};
    reader->by_computer = keyword_here(reader, LL_ATTRIBUTE_SETBY, by) == 1;
}

void ll_end_set_point(ll_reader *reader)
{
    double pascal;
    if (!number_here(reader, 0, &pascal))
        return;
    ll_raw_set_point event = {sample_here(reader), reader->by_computer, pascal / 1e5};
    add_event(reader, &reader->set_points, &event, sizeof event);
}

void ll_begin_switch(ll_reader *reader)
{
    ll_raw_switch event = {sample_here(reader), ll_attribute_id(reader, LL_ATTRIBUTE_REF), ll_line(reader)};
    if (event.id != LL_NONE)
        add_event(reader, &reader->switches, &event, sizeof event);
}

void ll_begin_mode(ll_reader *reader)
{
    static const char *const types[] = {"opencircuit", "closedcircuit", "semiclosedcircuit", "apnoe", "apnea", NULL};
    static const ll_circuit circuits[] = {LL_OPEN_CIRCUIT, LL_CLOSED_CIRCUIT, LL_SEMICLOSED_CIRCUIT, LL_APNOE,
                                          LL_APNOE};
    int type = keyword_here(reader, LL_ATTRIBUTE_TYPE, types);
    if (type == LL_NONE)
        return;
    ll_raw_mode event = {sample_here(reader), circuits[type]};
    add_event(reader, &reader->modes, &event, sizeof event);
}

static double number_of(ll_reader *reader, ll_attribute attribute)
{
    size_t length;
    double value;
    const char *text = ll_attribute_of(reader, attribute, &length);
    if (text)
        ll_trim(&text, &length);
    ll_value(reader, text, length, 0, ll_attribute_names[attribute], &value);
    return value;
}

void ll_begin_own_stop(ll_reader *reader)
{
    static const char *const kinds[] = {"mandatory", "safety", NULL};
    bool mandatory = keyword_here(reader, LL_ATTRIBUTE_KIND, kinds) == 0;
    ll_own_stop event = {sample_here(reader), mandatory, number_of(reader, LL_ATTRIBUTE_DECODEPTH),
                         number_of(reader, LL_ATTRIBUTE_DURATION)};
    if (!isnan(event.depth_m))
        add_event(reader, &reader->own_stops, &event, sizeof event);
}

void ll_end_alarm(ll_reader *reader)
{
    size_t length;
    const char *text = ll_gathered(reader, &length);
    if (!length)
        return;
    ll_alarm event = {sample_here(reader), ll_arena_text_n(&reader->arena, text, length)};
    if (!event.text)
        ll_stop_no_memory(reader);
    else
        add_event(reader, &reader->alarms, &event, sizeof event);
}
