/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings in the order of the file to one exact-size series a tank or sensor. */
#include "log/units.h"
#include "log/values.h"

static void count_readings(ll_raw_series *series, size_t series_count, const ll_list *values)
{
    const ll_reading *reading = values->items;
    for (size_t i = 0; i < series_count; i++) {
        series[i].count = 0;
        series[i].last = LL_DROPPED;
    }
    for (size_t i = 0; i < values->count; i++) {
        ll_raw_series *one = &series[reading[i].series];
        one->count += one->last != reading[i].sample;
        one->last = reading[i].sample;
    }
}

/* Two readings of one series at one sample (two samples became one): the later one counts. */
static void put(ll_series *series, uint32_t *sample, double *value, const ll_reading *reading)
{
    if (series->count && sample[series->count - 1] == reading->sample)
        series->count--;
    sample[series->count] = reading->sample;
    value[series->count++] = reading->value;
}

static void fill(ll_series *series, uint32_t *sample, double *value, uint32_t which, const ll_list *values)
{
    const ll_reading *reading = values->items;
    for (size_t i = 0; i < values->count; i++)
        if (reading[i].series == which)
            put(series, sample, value, &reading[i]);
    series->sample = sample;
    series->value = value;
}

/* Pressures of one tank in bar; false, with a note, if their unit cannot be told. */
static bool settle_tank(ll_reader *reader, const ll_extent *extent, ll_column pressures)
{
    const ll_unit *unit = ll_unit_of(reader, ll_notes_here(reader), LL_TANK_PRESSURE, "tankpressure", extent);
    for (size_t i = 0; unit && i < pressures.count; i++)
        pressures.value[i] = ll_in_unit(unit, pressures.value[i]);
    return unit != NULL;
}

/* Fills the series one after the other into the columns. */
static void fill_all(ll_reader *reader, ll_readings kind, ll_made_series *made, int *id, uint32_t *sample)
{
    const ll_raw_series *raw = reader->readings[kind].series.items;
    for (size_t i = 0; i < reader->readings[kind].series.count; i++) {
        if (raw[i].count == 0)
            continue;
        ll_series *series = &made->series[made->count];
        ll_column *values = &made->values;
        *series = (ll_series){.ref = ll_id_text(&reader->ids, raw[i].id), .tank_use = LL_NONE};
        double *value = values->value + values->count;
        fill(series, sample + values->count, value, (uint32_t)i, &reader->readings[kind].values);
        if (kind == LL_READ_TANK && !settle_tank(reader, &raw[i].extent, (ll_column){value, series->count}))
            continue;
        values->count += series->count;
        id[made->count++] = raw[i].id;
    }
}

bool ll_series_make(ll_reader *reader, ll_readings kind, ll_made_series *made)
{
    ll_raw_readings *readings = &reader->readings[kind];
    size_t most = readings->series.count;
    if (!ll_place_items(reader, &readings->values, sizeof(ll_reading)))
        return false;
    size_t count = readings->values.count;
    int *id = ll_arena_array(&reader->scratch, most, sizeof *id);
    uint32_t *sample = ll_arena_array(&reader->arena, count, sizeof *sample);
    double *value = ll_arena_array(&reader->arena, count, sizeof *value);
    *made = (ll_made_series){0, ll_arena_array(&reader->arena, most, sizeof *made->series), id, {value, 0}};
    if (!id || !sample || !value || !made->series) {
        ll_stop_no_memory(reader);
        return false;
    }
    count_readings(readings->series.items, most, &readings->values);
    fill_all(reader, kind, made, id, sample);
    return reader->error.status == LL_OK;
}

/* Adds the readings of `more` to `series`. */
static bool join(ll_reader *reader, ll_series *series, const ll_series *more)
{
    size_t count = series->count + more->count;
    ll_reading *both = ll_arena_array(&reader->scratch, count, sizeof *both);
    ll_reading *room = ll_arena_array(&reader->scratch, count, sizeof *room);
    uint32_t *sample = ll_arena_array(&reader->arena, count, sizeof *sample);
    double *value = ll_arena_array(&reader->arena, count, sizeof *value);
    if (!both || !room || !sample || !value)
        return false;
    for (size_t i = 0; i < series->count; i++)
        both[i] = (ll_reading){series->sample[i], 0, series->value[i]};
    for (size_t i = 0; i < more->count; i++)
        both[series->count + i] = (ll_reading){more->sample[i], 0, more->value[i]};
    ll_sort_by_sample(both, room, count, sizeof *both);
    ll_list values = {both, count, count};
    series->count = 0;
    fill(series, sample, value, 0, &values);
    return true;
}

bool ll_series_merge(ll_reader *reader, ll_series *series, size_t *count)
{
    size_t kept = 0;
    for (size_t i = 0; i < *count; i++) {
        size_t same = 0;
        while (same < kept && (series[i].tank_use == LL_NONE || series[same].tank_use != series[i].tank_use))
            same++;
        if (same == kept)
            series[kept++] = series[i];
        else if (!join(reader, &series[same], &series[i]))
            return false;
    }
    *count = kept;
    return true;
}
