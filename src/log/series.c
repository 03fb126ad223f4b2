/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings in the order of the file to one exact-size series a tank or sensor. */
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

static bool fill(ll_reader *reader, ll_series *series, uint32_t which, size_t size, const ll_list *values)
{
    const ll_reading *reading = values->items;
    uint32_t *sample = ll_arena_array(&reader->arena, size, sizeof *sample);
    double *value = ll_arena_array(&reader->arena, size, sizeof *value);
    if (!sample || !value) {
        ll_stop_no_memory(reader);
        return false;
    }
    for (size_t i = 0; i < values->count; i++)
        if (reading[i].series == which)
            put(series, sample, value, &reading[i]);
    series->sample = sample;
    series->value = value;
    return true;
}

ll_series *ll_series_make(ll_reader *reader, ll_readings kind, size_t *count, const int **ids)
{
    ll_raw_readings *readings = &reader->readings[kind];
    ll_raw_series *raw = readings->series.items;
    size_t raw_count = readings->series.count;
    ll_series *series = ll_arena_array(&reader->arena, raw_count, sizeof *series);
    int *id = ll_arena_array(&reader->scratch, raw_count, sizeof *id);
    *count = 0;
    if (!series || !id) {
        ll_stop_no_memory(reader);
        return NULL;
    }
    if (!ll_place_items(reader, &readings->values, sizeof(ll_reading)))
        return NULL;
    count_readings(raw, raw_count, &readings->values);
    for (size_t i = 0; i < raw_count; i++) {
        if (raw[i].count == 0)
            continue;
        series[*count] = (ll_series){.ref = ll_id_text(&reader->ids, raw[i].id), .tank_use = LL_NONE};
        id[*count] = raw[i].id;
        if (!fill(reader, &series[*count], (uint32_t)i, raw[i].count, &readings->values))
            return NULL;
        ++*count;
    }
    if (ids)
        *ids = id;
    return series;
}

/* Adds the readings of `more` to `series`. */
static bool join(ll_reader *reader, ll_series *series, const ll_series *more)
{
    size_t count = series->count + more->count;
    ll_reading *both = ll_arena_array(&reader->scratch, count, sizeof *both);
    ll_reading *room = ll_arena_array(&reader->scratch, count, sizeof *room);
    if (!both || !room)
        return false;
    for (size_t i = 0; i < series->count; i++)
        both[i] = (ll_reading){series->sample[i], 0, series->value[i]};
    for (size_t i = 0; i < more->count; i++)
        both[series->count + i] = (ll_reading){more->sample[i], 0, more->value[i]};
    ll_sort_by_sample(both, room, count, sizeof *both);
    ll_list values = {both, count, count};
    series->count = 0;
    return fill(reader, series, 0, count, &values);
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
