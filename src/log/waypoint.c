/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One sample of a record: the path on which most bytes of a log pass. Nothing is allocated here once the lists have
 * grown to the size of a dive. */
#include <math.h>

#include "log/units.h"
#include "log/values.h"

enum { MOST_SERIES = 256 }; /* tanks or sensors on one dive */

void ll_begin_waypoint(ll_reader *reader)
{
    if (reader->samples.count >= reader->limits->samples)
        ll_stop(reader, LL_BAD_INPUT, "more than %zu samples in a dive", reader->limits->samples);
    else if (reader->total_samples++ >= reader->limits->total_samples)
        ll_stop(reader, LL_BAD_INPUT, "more than %zu samples", reader->limits->total_samples);
    if (reader->attribute_count)
        LL_NOTE_HERE(reader, LL_NOTE_ATTRIBUTES_UNREAD, ll_line(reader));
    ll_forget_facts(reader, LL_FACT_DEPTH, LL_FACT_TEMPERATURE);
}

void ll_end_waypoint(ll_reader *reader)
{
    ll_raw_sample sample = {ll_fact_of(reader, LL_FACT_TIME), ll_fact_of(reader, LL_FACT_DEPTH),
                            ll_fact_of(reader, LL_FACT_TEMPERATURE), (uint32_t)ll_line(reader), ll_sample_here(reader)};
    if (!isnan(sample.temperature_c))
        ll_extent_add(&reader->extent[LL_WRITTEN_TEMPERATURE], sample.temperature_c, sample.line);
    ll_raw_sample *added = ll_list_add(&reader->samples, reader->allocator, sizeof sample);
    if (!added)
        ll_stop_no_memory(reader);
    else
        *added = sample;
}

/* --- readings ------------------------------------------------------------------------------------------------ */

/* The series that is likely to come next: recorders write theirs in one order at every sample. NULL: none yet. */
static ll_raw_series *likely_series(const ll_raw_readings *readings)
{
    size_t next = readings->latest + 1 < readings->series.count ? readings->latest + 1 : 0;
    return readings->series.count ? (ll_raw_series *)readings->series.items + next : NULL;
}

/* The series of an id, made if it is new; NULL after a failure. */
LL_SELDOM static ll_raw_series *find_series(ll_reader *reader, ll_raw_readings *readings, int id)
{
    ll_raw_series *series = readings->series.items;
    for (size_t i = 0; i < readings->series.count; i++)
        if (series[i].id == id)
            return &series[i];
    if (readings->series.count >= MOST_SERIES) {
        ll_stop(reader, LL_BAD_INPUT, "more than %d tanks or sensors on one dive", MOST_SERIES);
        return NULL;
    }
    ll_raw_series *added = ll_list_add(&readings->series, reader->allocator, sizeof *added);
    if (!added) {
        ll_stop_no_memory(reader);
        return NULL;
    }
    *added = (ll_raw_series){.id = id, .last = LL_DROPPED};
    return added;
}

static void add_reading(ll_reader *reader, ll_readings kind, int id, double value)
{
    ll_raw_readings *readings = &reader->readings[kind];
    ll_raw_series *series = likely_series(readings);
    if (!series || series->id != id)
        series = find_series(reader, readings, id);
    if (!series)
        return;
    readings->latest = (size_t)(series - (ll_raw_series *)readings->series.items);
    if (series->last == ll_sample_here(reader)) {
        ll_note_repeated(reader);
        return;
    }
    series->last = ll_sample_here(reader);
    ll_extent_add(&series->extent, value, ll_line(reader));
    ll_reading *added = ll_list_add(&readings->values, reader->allocator, sizeof *added);
    if (!added)
        ll_stop_no_memory(reader);
    else
        *added = (ll_reading){ll_sample_here(reader), (uint32_t)readings->latest, value};
}

static void end_reading(ll_reader *reader, ll_readings kind, int id)
{
    double value;
    if (ll_number_here(reader, &value))
        add_reading(reader, kind, id, value);
}

void ll_begin_tank_pressure(ll_reader *reader)
{
    const ll_raw_series *likely = likely_series(&reader->readings[LL_READ_TANK]);
    reader->id = ll_attribute_likely_id(reader, LL_ATTRIBUTE_REF, likely ? likely->id : LL_NONE);
    if (reader->id == LL_NONE)
        reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_TANKREF);
}

/* A pressure of 0 is no reading. */
void ll_end_tank_pressure(ll_reader *reader)
{
    double value;
    if (!ll_number_here(reader, &value))
        return;
    if (value > 0)
        add_reading(reader, LL_READ_TANK, reader->id, value);
    else
        ll_note_zero(reader, "tankpressure", ll_line(reader));
}

void ll_begin_measured_po2(ll_reader *reader)
{
    reader->id = ll_attribute_id(reader, LL_ATTRIBUTE_REF);
}

void ll_end_measured_po2(ll_reader *reader)
{
    end_reading(reader, LL_READ_MEASURED, reader->id);
}

void ll_end_calculated_po2(ll_reader *reader)
{
    end_reading(reader, LL_READ_CALCULATED, LL_NONE);
}

void ll_end_no_stop(ll_reader *reader)
{
    end_reading(reader, LL_READ_NO_STOP, LL_NONE);
}

void ll_end_own_gradient(ll_reader *reader)
{
    end_reading(reader, LL_READ_GRADIENT, LL_NONE);
}

void ll_end_own_cns(ll_reader *reader)
{
    end_reading(reader, LL_READ_CNS, LL_NONE);
}

void ll_end_own_otu(ll_reader *reader)
{
    end_reading(reader, LL_READ_OTU, LL_NONE);
}
