/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log/shares.h"

#include <stdio.h>
#include <string.h>

#define STRANGE_MOST 65536 /* bytes of strange names: the parser has a cap on them, and should see the most of them */
enum { RUNS_A_JOB = 4, MOST_JOBS = 32, MOST_BLOCKS = 32, TAGS_BYTES = 2048 };

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
    bool is_plain; /* the elements around dives need no more than the tags say */
    bool is_over;
    char prefix[64]; /* of the log's elements, with its colon */
    char before_tags[TAGS_BYTES], behind_tags[TAGS_BYTES], end_of_dive[128];
    size_t strange, text_most, nesting_most;
    size_t most;          /* runs in a round */
    place *before, *now;  /* runs that were parsed, and those that are being parsed; `most` places each */
    size_t parsed, runs;  /* how many these are */
    place left;           /* what is behind them */
    ll_reader *reader;
    long first_line, lines; /* where sharing began, and the line breaks behind it so far */
    bool is_strange;        /* a run needs the reader's own parser */
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
        fits = space && is_plain_text(space) && add(shares->before_tags, prefix ? " xmlns:" : " xmlns", prefix ? prefix : "", "=") &&
               add(shares->before_tags, "\"", space, "\"");
    }
    return fits;
}

static bool see_log(ll_shares *shares, const char *prefix, const char *const *spaces, int count)
{
    const int size = snprintf(shares->prefix, sizeof shares->prefix, "%s%s", prefix ? prefix : "", prefix ? ":" : "");
    snprintf(shares->end_of_dive, sizeof shares->end_of_dive, "</%sdive>", shares->prefix);
    return size >= 0 && (size_t)size < sizeof shares->prefix && add(shares->before_tags, "<", shares->prefix, "uddf") &&
           add_spaces(shares, spaces, count) && add(shares->before_tags, "><", shares->prefix, "profiledata") &&
           add(shares->before_tags, "><", shares->prefix, "repetitiongroup>") &&
           add(shares->behind_tags, "</", shares->prefix, "repetitiongroup>") &&
           add(shares->behind_tags, "</", shares->prefix, "profiledata>") && add(shares->behind_tags, "</", shares->prefix, "uddf>");
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

static place *make_places(const ll_allocator *allocator, size_t count)
{
    place *places = allocator->resize(allocator->context, NULL, count * sizeof *places);
    for (size_t i = 0; places && i < count; i++)
        places[i] = (place){.tape = {.allocator = allocator}};
    return places;
}

static void free_places(const ll_allocator *allocator, place *places, size_t count)
{
    for (size_t i = 0; places && i < count; i++) {
        if (places[i].bytes)
            allocator->resize(allocator->context, places[i].bytes, 0);
        ll_tape_free(&places[i].tape);
    }
}

ll_shares *ll_shares_open(const ll_crew *crew, const ll_allocator *allocator, size_t block_bytes)
{
    if (!crew || !ll_crew_is_several(crew))
        return NULL;
    ll_shares *shares = allocator->resize(allocator->context, NULL, sizeof *shares);
    if (!shares)
        return NULL;
    *shares = (ll_shares){.allocator = allocator, .crew = crew, .block_bytes = block_bytes};
    shares->most = RUNS_A_JOB * (crew->jobs < MOST_JOBS ? crew->jobs : MOST_JOBS);
    shares->before = make_places(allocator, shares->most);
    shares->now = make_places(allocator, shares->most);
    shares->left.tape.allocator = allocator;
    if (shares->before && shares->now)
        return shares;
    ll_shares_close(shares);
    return NULL;
}

void ll_shares_close(ll_shares *shares)
{
    if (!shares)
        return;
    const ll_allocator *allocator = shares->allocator;
    free_places(allocator, shares->before, shares->most);
    free_places(allocator, shares->now, shares->most);
    free_places(allocator, &shares->left, 1);
    if (shares->before)
        allocator->resize(allocator->context, shares->before, 0);
    if (shares->now)
        allocator->resize(allocator->context, shares->now, 0);
    allocator->resize(allocator->context, shares, 0);
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

static bool read_up_to(const ll_shares *shares, ll_source *source, place *at, size_t size)
{
    if (!has_room(shares, at, size + LL_SOURCE_LEAST))
        return false;
    while (at->size < size) {
        const ptrdiff_t got = ll_source_take(source, at->bytes + at->size, at->capacity - at->size);
        if (got <= 0)
            return false;
        at->size += (size_t)got;
    }
    return true;
}

/* Reads a block into a place, or more where no dive ends in it; up to the end of the source, or where it fails. */
static void fill(const ll_shares *shares, ll_source *source, place *at)
{
    const size_t most = MOST_BLOCKS * shares->block_bytes;
    bool more = true;
    at->run = 0;
    for (size_t size = shares->block_bytes; more && at->run == 0 && size <= most; size *= 2) {
        more = read_up_to(shares, source, at, size);
        at->run = find_run(shares, at);
    }
}

static size_t rest_of(const place *at)
{
    return at->size - at->next;
}

/* The first place with bytes that were not given, in the order of the log. */
static place *first_with_rest(ll_shares *shares)
{
    for (size_t i = 0; i < shares->parsed; i++)
        if (rest_of(&shares->before[i]) > 0)
            return &shares->before[i];
    for (size_t i = 0; i < shares->runs; i++)
        if (rest_of(&shares->now[i]) > 0)
            return &shares->now[i];
    return rest_of(&shares->left) > 0 ? &shares->left : NULL;
}

size_t ll_shares_give(ll_shares *shares, void *bytes, size_t capacity)
{
    place *at = first_with_rest(shares);
    if (!at)
        return 0;
    const size_t got = rest_of(at) < capacity ? rest_of(at) : capacity;
    memcpy(bytes, at->bytes + at->next, got);
    at->next += got;
    return got;
}

bool ll_shares_is_empty(ll_shares *shares)
{
    return !first_with_rest(shares);
}

/* --- rounds --------------------------------------------------------------------------------------------------------- */

bool ll_shares_take(ll_shares *shares, const void *bytes, size_t size)
{
    if (shares->is_over || !shares->is_plain)
        return false;
    shares->is_over = true;
    return put(shares, &shares->left, bytes, size);
}

static void swap_bytes(place *one, place *other)
{
    const place kept = *one;
    *one = *other;
    *other = kept;
    other->tape = one->tape;
    one->tape = kept.tape;
}

/* Fills places with runs, from what was left on, what is behind each going to the next one. What is behind the last is left. */
static void read_runs(ll_shares *shares)
{
    place *at = &shares->now[0];
    shares->runs = 0;
    at->size = at->next = 0;
    swap_bytes(at, &shares->left);
    while (shares->runs < shares->most) {
        place *next = shares->runs + 1 < shares->most ? at + 1 : &shares->left;
        fill(shares, shares->reader->source, at);
        if (at->run == 0 || !put(shares, next, at->bytes + at->run, at->size - at->run)) {
            swap_bytes(at, &shares->left);
            return;
        }
        next->next = at->next = 0;
        at->size = at->run;
        shares->runs++;
        at = next;
    }
}

/* Handles the runs that were parsed, in order, up to one that needs the reader's own parser. */
static void play_runs(ll_shares *shares)
{
    for (size_t i = 0; i < shares->parsed && shares->reader->error.status == LL_OK; i++) {
        place *at = &shares->before[i];
        shares->strange += at->tape.strange;
        shares->is_strange = !at->tape.good || shares->strange > STRANGE_MOST;
        if (shares->is_strange)
            return;
        at->next = at->size;
        ll_tape_play(&at->tape, shares->first_line + shares->lines, shares->reader);
        shares->lines += at->tape.lines;
    }
}

/* While one of the crew handles what was parsed before, the others parse on. */
static void do_piece(void *context, size_t index)
{
    ll_shares *shares = context;
    if (shares->parsed > 0 && index == 0) {
        play_runs(shares);
        return;
    }
    place *at = &shares->now[index - (shares->parsed > 0)];
    const ll_run run = {shares->before_tags, shares->behind_tags, at->bytes, at->run, shares->text_most, shares->nesting_most};
    ll_tape_record(&at->tape, &run);
}

static void go_on(ll_shares *shares)
{
    place *played = shares->before;
    shares->before = shares->now;
    shares->now = played;
    shares->parsed = shares->runs;
    shares->runs = 0;
}

long ll_shares_go(ll_shares *shares, ll_reader *reader)
{
    const ll_crew *crew = shares->crew;
    shares->reader = reader;
    shares->first_line = ll_line(reader);
    shares->text_most = reader->limits->text_bytes;
    shares->nesting_most = reader->limits->nesting;
    for (;;) {
        read_runs(shares);
        if (shares->runs + shares->parsed == 0)
            return shares->lines;
        crew->run(crew->crew_context, crew->jobs, shares->runs + (shares->parsed > 0), do_piece, shares);
        if (shares->is_strange || reader->error.status != LL_OK)
            return shares->lines;
        go_on(shares);
    }
}
