/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Raw samples to a record: times strictly rising, every depth known. */
#include <math.h>
#include <stdlib.h>

#include "log/values.h"

#define RESET_S 60.0 /* a step back of more than this, to no later than this after the start: another record follows */

static bool note_at(ll_reader *reader, ll_note_code code, const ll_raw_sample *sample, double value)
{
    char said[LL_SHOWN];
    return LL_NOTE_HERE(reader, code, sample->line, ll_said(reader, said, value));
}

/* How many of the samples belong to the first record. */
static size_t first_record(ll_reader *reader, const ll_raw_sample *sample, size_t count)
{
    double first = NAN, former = NAN;
    char from[LL_SHOWN], to[LL_SHOWN];
    for (size_t i = 0; i < count; i++) {
        double now = sample[i].time_s;
        if (isnan(now))
            continue;
        if (now < former - RESET_S && now <= first + RESET_S) {
            LL_NOTE_HERE(reader, LL_NOTE_TIME_RESET, sample[i].line, ll_said(reader, from, former),
                         ll_said(reader, to, now));
            return i;
        }
        if (isnan(first))
            first = now;
        former = now;
    }
    return count;
}

/* Samples with a time move together; returns how many. Depths above the surface become 0. */
static size_t keep_timed(ll_reader *reader, ll_raw_sample *sample, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (isnan(sample[i].time_s)) {
            LL_NOTE_HERE(reader, LL_NOTE_TIME_MISSING, sample[i].line);
            continue;
        }
        if (sample[i].depth_m < 0) {
            note_at(reader, LL_NOTE_DEPTH_NEGATIVE, &sample[i], -sample[i].depth_m);
            sample[i].depth_m = 0;
        }
        sample[kept++] = sample[i];
    }
    return kept;
}

static int by_time(const void *left, const void *right)
{
    const ll_raw_sample *a = left, *b = right;
    if (a->time_s != b->time_s)
        return a->time_s < b->time_s ? -1 : 1;
    return a->place < b->place ? -1 : 1;
}

static void sort(ll_reader *reader, ll_raw_sample *sample, size_t count)
{
    for (size_t i = 1; i < count; i++)
        if (sample[i].time_s < sample[i - 1].time_s) {
            note_at(reader, LL_NOTE_TIME_BACK, &sample[i], sample[i].time_s);
            qsort(sample, count, sizeof *sample, by_time);
            return;
        }
}

/* What the later sample of one time says counts; what it leaves out is taken from the earlier one. */
static void merge(ll_reader *reader, ll_raw_sample *into, const ll_raw_sample *later)
{
    if (!isnan(later->depth_m)) {
        if (!isnan(into->depth_m))
            note_at(reader, LL_NOTE_TIME_REPEATED, later, later->time_s);
        into->depth_m = later->depth_m;
    }
    if (!isnan(later->temperature_c))
        into->temperature_c = later->temperature_c;
}

/* Samples of one time become one; `place` of each raw sample is filled. Returns how many are left. */
static size_t merge_equal(ll_reader *reader, ll_raw_sample *sample, size_t count, uint32_t *place)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (kept && sample[kept - 1].time_s == sample[i].time_s) {
            merge(reader, &sample[kept - 1], &sample[i]);
            place[sample[i].place] = (uint32_t)(kept - 1);
            continue;
        }
        place[sample[i].place] = (uint32_t)kept;
        sample[kept++] = sample[i];
    }
    return kept;
}

/* Depths of samples [from, to) by time between their neighbours; beyond the last known one, that one. */
static void fill_between(ll_raw_sample *sample, size_t count, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++) {
        if (from == 0)
            sample[i].depth_m = sample[to].depth_m;
        else if (to == count)
            sample[i].depth_m = sample[from - 1].depth_m;
        else {
            const ll_raw_sample *a = &sample[from - 1], *b = &sample[to];
            double share = (sample[i].time_s - a->time_s) / (b->time_s - a->time_s);
            sample[i].depth_m = a->depth_m + share * (b->depth_m - a->depth_m);
        }
    }
}

/* False if no sample has a depth. */
static bool fill_depths(ll_reader *reader, ll_raw_sample *sample, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        size_t end = i;
        while (end < count && isnan(sample[end].depth_m)) {
            note_at(reader, LL_NOTE_DEPTH_MISSING, &sample[end], sample[end].time_s);
            end++;
        }
        if (end - i == count)
            return false;
        fill_between(sample, count, i, end);
        i = end;
    }
    return true;
}

/* What a sample without a time says holds from the next one in the file. */
static void pass_on(uint32_t *place, size_t count)
{
    for (size_t i = count; i-- > 1;)
        if (place[i - 1] == LL_DROPPED)
            place[i - 1] = place[i];
}

bool ll_order_samples(ll_reader *reader)
{
    ll_raw_sample *sample = reader->samples.items;
    size_t raw = reader->samples.count;
    reader->places.count = 0;
    for (size_t i = 0; i < raw; i++) {
        uint32_t *place = ll_list_add(&reader->places, reader->allocator, sizeof *place);
        if (!place) {
            ll_stop_no_memory(reader);
            return false;
        }
        *place = LL_DROPPED;
    }
    size_t in_record = first_record(reader, sample, raw);
    size_t count = keep_timed(reader, sample, in_record);
    sort(reader, sample, count);
    count = merge_equal(reader, sample, count, reader->places.items);
    if (!fill_depths(reader, sample, count))
        count = 0;
    if (count == 0)
        reader->places.count = 0;
    pass_on(reader->places.items, count ? in_record : 0);
    reader->samples.count = count;
    return reader->error.status == LL_OK;
}
