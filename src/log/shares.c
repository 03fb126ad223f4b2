/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/shares.h"

#include <stdio.h>
#include <string.h>

#define STRANGE_MOST 65536 /* bytes of strange names: the parser has a cap on them, and should see the most of them */
enum { MOST_PLACES = 64, TAGS_BYTES = 2048 };

/* Bytes of the log, those of a run first. */
typedef struct place {
    unsigned char *bytes;
    size_t size, capacity;
    size_t run;  /* up to the end of its last dive */
    size_t next; /* given so far */
    ll_tape tape;
} place;

struct ll_shares {
    const ll_allocator *allocator;
    const ll_crew *crew;
    size_t block_bytes;
    bool is_plain; /* the elements around dives need no more than `before` says */
    bool is_over;
    char prefix[64]; /* of the log's elements, with its colon */
    char before[TAGS_BYTES], behind[TAGS_BYTES], end_of_dive[128];
    size_t strange, text_most, nesting_most;
    size_t places; /* one a job, and one for what is left */
    place *place;
};

/* --- what stands around dives --------------------------------------------------------------------------------------- */

/* May stand in an attribute as it is. */
static bool is_plain_text(const char *text)
{
    for (; *text; text++)
        if (*text == '&' || *text == '<' || *text == '"' || (unsigned char)*text < ' ')
            return false;
    return true;
}

/* Appends to a text of tags; false if there is no room. */
static bool add(char tags[TAGS_BYTES], const char *first, const char *second, const char *third)
{
    const size_t used = strlen(tags);
    const int size = snprintf(tags + used, TAGS_BYTES - used, "%s%s%s", first, second, third);
    return size >= 0 && (size_t)size < TAGS_BYTES - used;
}

static bool add_spaces(ll_shares *shares, const char *const *spaces, int count)
{
    bool fits = true;
    for (int i = 0; i < count && fits; i++) {
        const char *prefix = spaces[2 * i], *space = spaces[2 * i + 1];
        fits = space && is_plain_text(space) && add(shares->before, prefix ? " xmlns:" : " xmlns", prefix ? prefix : "", "=") &&
               add(shares->before, "\"", space, "\"");
    }
    return fits;
}

static bool see_log(ll_shares *shares, const char *prefix, const char *const *spaces, int count)
{
    const int size = snprintf(shares->prefix, sizeof shares->prefix, "%s%s", prefix ? prefix : "", prefix ? ":" : "");
    snprintf(shares->end_of_dive, sizeof shares->end_of_dive, "</%sdive>", shares->prefix);
    return size >= 0 && (size_t)size < sizeof shares->prefix && add(shares->before, "<", shares->prefix, "uddf") &&
           add_spaces(shares, spaces, count) && add(shares->before, "><", shares->prefix, "profiledata") &&
           add(shares->before, "><", shares->prefix, "repetitiongroup>") &&
           add(shares->behind, "</", shares->prefix, "repetitiongroup>") &&
           add(shares->behind, "</", shares->prefix, "profiledata>") && add(shares->behind, "</", shares->prefix, "uddf>");
}

void ll_shares_see(ll_shares *shares, size_t depth, const char *prefix, const char *const *spaces, int count)
{
    if (depth == 1) {
        shares->is_plain = see_log(shares, prefix, spaces, count);
        return;
    }
    shares->is_plain = shares->is_plain && count == 0;
}

/* --- opening and closing -------------------------------------------------------------------------------------------- */

ll_shares *ll_shares_open(const ll_crew *crew, const ll_allocator *allocator, size_t block_bytes)
{
    if (!crew || !ll_crew_is_several(crew))
        return NULL;
    const size_t places = (crew->jobs < MOST_PLACES ? crew->jobs : MOST_PLACES) + 1;
    ll_shares *shares = allocator->resize(allocator->context, NULL, sizeof *shares);
    if (!shares)
        return NULL;
    *shares = (ll_shares){.allocator = allocator, .crew = crew, .block_bytes = block_bytes, .places = places};
    shares->place = allocator->resize(allocator->context, NULL, places * sizeof *shares->place);
    if (!shares->place) {
        ll_shares_close(shares);
        return NULL;
    }
    for (size_t i = 0; i < places; i++)
        shares->place[i] = (place){.tape = {.allocator = allocator}};
    return shares;
}

void ll_shares_close(ll_shares *shares)
{
    if (!shares)
        return;
    for (size_t i = 0; shares->place && i < shares->places; i++) {
        if (shares->place[i].bytes)
            shares->allocator->resize(shares->allocator->context, shares->place[i].bytes, 0);
        ll_tape_free(&shares->place[i].tape);
    }
    if (shares->place)
        shares->allocator->resize(shares->allocator->context, shares->place, 0);
    shares->allocator->resize(shares->allocator->context, shares, 0);
}

/* --- bytes ---------------------------------------------------------------------------------------------------------- */

static bool has_room(const ll_shares *shares, place *at, size_t capacity)
{
    if (capacity <= at->capacity)
        return true;
    unsigned char *bytes = shares->allocator->resize(shares->allocator->context, at->bytes, capacity);
    if (!bytes)
        return false;
    at->bytes = bytes;
    at->capacity = capacity;
    return true;
}

/* Puts bytes into an empty place. */
static bool put(const ll_shares *shares, place *at, const void *bytes, size_t size)
{
    if (!has_room(shares, at, size))
        return false;
    if (size > 0)
        memcpy(at->bytes, bytes, size);
    at->size = size;
    return true;
}

static bool is_line_break(const unsigned char *bytes, size_t size)
{
    return (size > 0 && bytes[0] == '\n') || (size > 1 && bytes[0] == '\r' && bytes[1] == '\n');
}

/* Up to where whole dives seem to stand: behind the last end tag of a dive before a line break; 0: there is none. From behind,
 * as far at a time as the byte allows on which the tag would begin (R. N. Horspool, Practical fast searching in strings,
 * Software: Practice and Experience 10 (1980), 501-506; from memory). */
static size_t find_run(const ll_shares *shares, const place *at)
{
    const char *tag = shares->end_of_dive;
    const size_t length = strlen(tag);
    size_t step[256];
    for (size_t byte = 0; byte < 256; byte++)
        step[byte] = length;
    for (size_t i = length; i-- > 1;)
        step[(unsigned char)tag[i]] = i;
    for (size_t i = at->size < length ? 0 : at->size - length; i > 0; i = i > step[at->bytes[i]] ? i - step[at->bytes[i]] : 0)
        if (at->bytes[i] == '<' && memcmp(at->bytes + i, tag, length) == 0 &&
            is_line_break(at->bytes + i + length, at->size - i - length))
            return i + length;
    return 0;
}

/* Reads a place up to the size of a block, or to the end of the source or where it fails. */
static bool fill(const ll_shares *shares, ll_source *source, place *at)
{
    if (!has_room(shares, at, shares->block_bytes + LL_SOURCE_LEAST))
        return false;
    while (at->size < shares->block_bytes) {
        const ptrdiff_t got = ll_source_take(source, at->bytes + at->size, at->capacity - at->size);
        if (got <= 0)
            break;
        at->size += (size_t)got;
    }
    at->run = find_run(shares, at);
    return true;
}

size_t ll_shares_give(ll_shares *shares, void *bytes, size_t capacity)
{
    for (size_t i = 0; i < shares->places; i++) {
        place *at = &shares->place[i];
        const size_t rest = at->size - at->next, got = rest < capacity ? rest : capacity;
        if (got == 0)
            continue;
        memcpy(bytes, at->bytes + at->next, got);
        at->next += got;
        return got;
    }
    return 0;
}

bool ll_shares_is_empty(const ll_shares *shares)
{
    for (size_t i = 0; i < shares->places; i++)
        if (shares->place[i].next < shares->place[i].size)
            return false;
    return true;
}

/* --- rounds --------------------------------------------------------------------------------------------------------- */

bool ll_shares_take(ll_shares *shares, const void *bytes, size_t size)
{
    if (shares->is_over || !shares->is_plain)
        return false;
    shares->is_over = true;
    return put(shares, &shares->place[0], bytes, size);
}

static void record(void *context, size_t index)
{
    ll_shares *shares = context;
    place *at = &shares->place[index];
    const ll_run run = {shares->before, shares->behind, at->bytes, at->run, shares->text_most, shares->nesting_most};
    ll_tape_record(&at->tape, &run);
}

/* Fills places with runs, what is behind each going to the next one. How many runs there are; what is left stands in the place
 * behind them. */
static size_t read_runs(ll_shares *shares, ll_source *source)
{
    size_t runs = 0;
    while (runs + 1 < shares->places) {
        place *at = &shares->place[runs];
        if (!fill(shares, source, at) || at->run == 0)
            break;
        if (!put(shares, at + 1, at->bytes + at->run, at->size - at->run))
            break;
        at->size = at->run;
        runs++;
    }
    return runs;
}

/* Handles the runs in order; false where the reader has to go on alone, with what is left in the places. */
static bool play_runs(ll_shares *shares, ll_reader *reader, size_t runs, long first_line, long *lines)
{
    for (size_t i = 0; i < runs; i++) {
        place *at = &shares->place[i];
        shares->strange += at->tape.strange;
        if (!at->tape.good || shares->strange > STRANGE_MOST)
            return false;
        at->next = at->size;
        ll_tape_play(&at->tape, first_line + *lines, reader);
        *lines += at->tape.lines;
        if (reader->error.status != LL_OK)
            return false;
    }
    return true;
}

/* What is left becomes the beginning of the first place. */
static void begin_again(ll_shares *shares, size_t runs)
{
    const place first = shares->place[0];
    shares->place[0] = shares->place[runs];
    shares->place[runs] = first;
    for (size_t i = 1; i < shares->places; i++)
        shares->place[i].size = shares->place[i].next = 0;
}

long ll_shares_go(ll_shares *shares, ll_reader *reader)
{
    const long first_line = ll_line(reader);
    long lines = 0;
    shares->text_most = reader->limits->text_bytes;
    shares->nesting_most = reader->limits->nesting;
    for (;;) {
        const size_t runs = read_runs(shares, reader->source);
        if (runs == 0)
            return lines;
        shares->crew->run(shares->crew->crew_context, shares->crew->jobs, runs, record, shares);
        if (!play_runs(shares, reader, runs, first_line, &lines))
            return lines;
        begin_again(shares, runs);
    }
}
