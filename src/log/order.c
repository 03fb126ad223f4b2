/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Raw samples to a record: times from 0 on and strictly rising, every depth known and not above the surface. */
#include <math.h>
#include <stdlib.h>

#include "base/number.h"
#include "log/values.h"

#define RESET_S 60.0 /* a step back of more than this, to no later than this after the start: not the same record */
#define DRIFT_M 1.0  /* so far above the surface a sensor may stray */

/* A note on a sample with one figure, which is put into words only where the note is new. */
static void note_at(ll_reader *reader, ll_note_code code, const ll_raw_sample *sample, double value)
{
    char said[LL_PRINTED] = "";
    if (!ll_has_note(ll_notes_here(reader), code))
        ll_number_print(said, value);
    LL_NOTE_HERE(reader, code, sample->line, said);
}

/* --- which samples count ------------------------------------------------------------------------------------- */

/* What the samples of a record are like, seen on the way. */
typedef struct record {
    ll_raw_sample *sample;
    size_t count;
    double first_s, last_s;     /* of the times kept so far; NaN while there are none */
    double least_m, greatest_m; /* of the depths; the least is above the greatest while there are none */
} record;

static bool falls_back(const record *of, double time_s)
{
    return time_s < of->last_s - RESET_S && time_s <= of->first_s + RESET_S;
}

/* After a sample that falls back: whether the times go on where they were, so that this one alone was wrong. */
static bool goes_on(const ll_raw_sample *next, const ll_raw_sample *end, double last_s)
{
    while (next < end && isnan(next->time_s))
        next++;
    return next < end && next->time_s >= last_s;
}

static void note_reset(ll_reader *reader, const record *of, const ll_raw_sample *sample)
{
    char from[LL_PRINTED], to[LL_PRINTED];
    LL_NOTE_HERE(reader, LL_NOTE_TIME_RESET, sample->line, ll_number_print(from, of->last_s),
                 ll_number_print(to, sample->time_s));
}

/* Notes on a sample that cannot stay; false if it can. */
static bool leave_out(ll_reader *reader, const record *of, const ll_raw_sample *sample, const ll_raw_sample *end)
{
    if (isnan(sample->time_s))
        note_at(reader, LL_NOTE_TIME_MISSING, sample, NAN);
    else if (sample->time_s < 0)
        note_at(reader, LL_NOTE_TIME_NEGATIVE, sample, sample->time_s);
    else if (falls_back(of, sample->time_s) && goes_on(sample + 1, end, of->last_s))
        note_at(reader, LL_NOTE_TIME_STRAY, sample, sample->time_s);
    else
        return false;
    return true;
}

/* Samples that count move together, up to where a second record begins. */
static void keep(ll_reader *reader, record *of, size_t raw)
{
    for (size_t i = 0; i < raw; i++) {
        const ll_raw_sample *sample = &of->sample[i];
        if (leave_out(reader, of, sample, of->sample + raw))
            continue;
        if (falls_back(of, sample->time_s)) {
            note_reset(reader, of, sample);
            return;
        }
        if (of->count == 0)
            of->first_s = sample->time_s;
        of->last_s = sample->time_s;
        if (sample->depth_m < of->least_m)
            of->least_m = sample->depth_m;
        if (sample->depth_m > of->greatest_m)
            of->greatest_m = sample->depth_m;
        of->sample[of->count++] = *sample;
    }
}

/* --- depths above the surface -------------------------------------------------------------------------------- */

/* Depths above the surface become 0; where the whole record lies there the sign is not guessed at. */
static void clamp(ll_reader *reader, const record *of)
{
    bool turned = of->greatest_m <= 0 && of->least_m < -DRIFT_M;
    for (size_t i = 0; i < of->count && of->least_m < 0; i++) {
        ll_raw_sample *sample = &of->sample[i];
        if (!(sample->depth_m < 0))
            continue;
        if (turned)
            note_at(reader, LL_NOTE_DEPTHS_TURNED, sample, of->least_m);
        else
            note_at(reader, sample->depth_m < -DRIFT_M ? LL_NOTE_DEPTH_FAR_ABOVE : LL_NOTE_DEPTH_NEGATIVE, sample,
                    -sample->depth_m);
        sample->depth_m = 0;
    }
}

/* --- order and equal times ----------------------------------------------------------------------------------- */

static int by_time(const void *left, const void *right)
{
    const ll_raw_sample *a = left, *b = right;
    if (a->time_s != b->time_s)
        return a->time_s < b->time_s ? -1 : 1;
    return a->place < b->place ? -1 : 1;
}

static void sort(ll_reader *reader, const record *of)
{
    bool sorted = true;
    for (size_t i = 1; i < of->count; i++)
        if (of->sample[i].time_s < of->sample[i - 1].time_s) {
            note_at(reader, LL_NOTE_TIME_BACK, &of->sample[i], of->sample[i].time_s);
            sorted = false;
        }
    if (!sorted)
        qsort(of->sample, of->count, sizeof *of->sample, by_time);
}

/* Takes over the later of two values that stand for one; true if that overrides another. */
static bool take_later(double *into, double later)
{
    bool overrides = !isnan(*into) && !isnan(later) && *into != later;
    if (!isnan(later))
        *into = later;
    return overrides;
}

/* What the later sample of one time says counts; what it leaves out is taken from the earlier one. */
static void merge(ll_reader *reader, ll_raw_sample *into, const ll_raw_sample *later)
{
    bool depth = take_later(&into->depth_m, later->depth_m);
    bool temperature = take_later(&into->temperature_c, later->temperature_c);
    note_at(reader, depth || temperature ? LL_NOTE_TIME_REPEATED : LL_NOTE_TIME_SHARED, later, later->time_s);
}

/* Samples of one time become one; `place` of each raw sample is filled. */
static void merge_equal(ll_reader *reader, record *of, uint32_t *place)
{
    ll_raw_sample *sample = of->sample;
    size_t kept = 0;
    for (size_t i = 0; i < of->count; i++) {
        if (kept && sample[kept - 1].time_s == sample[i].time_s) {
            merge(reader, &sample[kept - 1], &sample[i]);
            place[sample[i].place] = (uint32_t)(kept - 1);
            continue;
        }
        place[sample[i].place] = (uint32_t)kept;
        sample[kept++] = sample[i];
    }
    of->count = kept;
}

/* --- missing depths ------------------------------------------------------------------------------------------ */

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

/* Expects a depth somewhere. */
static void fill_depths(ll_reader *reader, const record *of)
{
    ll_raw_sample *sample = of->sample;
    for (size_t i = 0; i < of->count; i++) {
        size_t end = i;
        while (end < of->count && isnan(sample[end].depth_m)) {
            note_at(reader, LL_NOTE_DEPTH_MISSING, &sample[end], sample[end].time_s);
            end++;
        }
        fill_between(sample, of->count, i, end);
        i = end;
    }
}

/* --- the whole ----------------------------------------------------------------------------------------------- */

static bool open_places(ll_reader *reader, size_t raw)
{
    reader->places.count = 0;
    if (!ll_list_reserve(&reader->places, reader->allocator, raw, sizeof(uint32_t))) {
        ll_stop_no_memory(reader);
        return false;
    }
    uint32_t *place = reader->places.items;
    for (size_t i = 0; i < raw; i++)
        place[i] = LL_DROPPED;
    reader->places.count = raw;
    return true;
}

/* A note where the samples make no record at all. */
static bool is_record(ll_reader *reader, const record *of, size_t raw)
{
    bool deep = of->greatest_m >= of->least_m;
    if (raw && !of->count)
        LL_NOTE_HERE(reader, LL_NOTE_NO_TIMES, reader->dive.line);
    else if (raw && !deep)
        LL_NOTE_HERE(reader, LL_NOTE_NO_DEPTHS, reader->dive.line);
    return of->count && deep;
}

bool ll_order_samples(ll_reader *reader)
{
    record of = {reader->samples.items, 0, NAN, NAN, INFINITY, -INFINITY};
    size_t raw = reader->samples.count;
    if (!open_places(reader, raw))
        return false;
    keep(reader, &of, raw);
    if (is_record(reader, &of, raw)) {
        clamp(reader, &of);
        sort(reader, &of);
        merge_equal(reader, &of, reader->places.items);
        fill_depths(reader, &of);
    } else {
        of.count = reader->places.count = 0;
    }
    reader->samples.count = of.count;
    return reader->error.status == LL_OK;
}

void ll_pass_on(ll_reader *reader)
{
    uint32_t *place = reader->places.items;
    for (size_t i = reader->places.count; i-- > 1;)
        if (place[i - 1] == LL_DROPPED)
            place[i - 1] = place[i];
}
