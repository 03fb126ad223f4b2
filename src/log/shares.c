/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* memrchr */
#include "log/shares.h"

#include <stdio.h>
#include <string.h>

#include "base/lock.h"

#define STRANGE_MOST 65536 /* bytes of strange names: the parser has a cap on them, and should see the most of them */
enum { RUNS_A_JOB = 2, MOST_JOBS = 32, MOST_BLOCKS = 32, TAGS_BYTES = 2048 };

/* Bytes of the log, with room for tags before and behind them. */
typedef struct place {
    unsigned char *block, *bytes;
    size_t size, capacity;
    size_t next; /* given so far */
    long lines;  /* line breaks among them */
} place;

/* A place whose bytes, all of them, are whole dives, and what is read there. */
typedef struct run {
    place at;
    long line;      /* of the log, on which it begins */
    bool has_ended; /* the part was read */
    ll_part part;
} run;

struct ll_shares {
    const ll_allocator *allocator;
    const ll_crew *crew;
    size_t block_bytes;
    bool is_plain; /* the elements around dives need no more than the tags say */
    bool is_over;
    char prefix[64]; /* of the log's elements, with its colon */
    char before_tags[TAGS_BYTES], behind_tags[TAGS_BYTES], end_of_dive[128];
    ll_reader *reader;

    ll_lock lock; /* guards all below, the reader and its log, but not the run that one of the crew reads */
    size_t strange;
    size_t most;         /* runs that may be open at the same time */
    run *run;            /* so many: run k is in place k % most */
    size_t taken, joined; /* runs since sharing began */
    bool is_lost;        /* a run needs the reader's own parser: it and those behind it are given back */
    bool is_done;        /* no run is taken any more */
    place left;          /* what is behind them */
    long line;           /* of the log, on which that begins */
};

static run *run_at(const ll_shares *shares, size_t k)
{
    return &shares->run[k % shares->most];
}

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

ll_shares *ll_shares_open(const ll_crew *crew, ll_reader *reader)
{
    const ll_allocator *allocator = reader->allocator;
    if (!crew || !ll_crew_is_several(crew))
        return NULL;
    ll_shares *shares = allocator->resize(allocator->context, NULL, sizeof *shares);
    if (!shares)
        return NULL;
    *shares = (ll_shares){.allocator = allocator, .crew = crew, .reader = reader};
    ll_lock_open(&shares->lock);
    const size_t most = RUNS_A_JOB * (crew->jobs < MOST_JOBS ? crew->jobs : MOST_JOBS);
    shares->run = allocator->resize(allocator->context, NULL, most * sizeof *shares->run);
    for (; shares->run && shares->most < most; shares->most++) {
        run *made = &shares->run[shares->most];
        made->at = (place){.block = NULL};
        ll_part_open(&made->part, allocator, reader->limits);
    }
    if (shares->run)
        return shares;
    ll_shares_close(shares, &reader->arena);
    return NULL;
}

static void free_place(const ll_allocator *allocator, place *at)
{
    if (at->block)
        allocator->resize(allocator->context, at->block, 0);
}

void ll_shares_close(ll_shares *shares, ll_arena *arena)
{
    if (!shares)
        return;
    const ll_allocator *allocator = shares->allocator;
    for (size_t i = 0; i < shares->most; i++) {
        free_place(allocator, &shares->run[i].at);
        ll_part_close(&shares->run[i].part, arena);
    }
    free_place(allocator, &shares->left);
    if (shares->run)
        allocator->resize(allocator->context, shares->run, 0);
    ll_lock_close(&shares->lock);
    allocator->resize(allocator->context, shares, 0);
}

/* --- bytes ---------------------------------------------------------------------------------------------------------- */

static bool has_room(const ll_shares *shares, place *at, size_t capacity)
{
    if (capacity <= at->capacity)
        return true;
    unsigned char *block = shares->allocator->resize(shares->allocator->context, at->block, TAGS_BYTES + capacity + TAGS_BYTES);
    if (!block)
        return false;
    at->block = block;
    at->bytes = block + TAGS_BYTES;
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

/* The last line break among bytes [from, to); NULL: there is none. */
static const unsigned char *last_line_break(const place *at, size_t from, size_t to)
{
    return to > from ? memrchr(at->bytes + from, '\n', to - from) : NULL;
}

/* Up to where whole dives seem to stand: behind the last end tag of a dive before a line break; 0: there is none. Line breaks
 * before byte `from` were looked at. */
static size_t find_run(const ll_shares *shares, const place *at, size_t from)
{
    const char *tag = shares->end_of_dive;
    const size_t length = strlen(tag);
    for (const unsigned char *next = last_line_break(at, from, at->size); next;
         next = last_line_break(at, from, (size_t)(next - at->bytes))) {
        size_t end = (size_t)(next - at->bytes);
        end -= end > 0 && next[-1] == '\r';
        if (end > length && memcmp(at->bytes + end - length, tag, length) == 0)
            return end;
    }
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

/* Reads a block into a place, or more where no dive ends in it; up to the end of the source, or where it fails. Up to where a
 * run goes then; 0: there is none. */
static size_t fill(const ll_shares *shares, place *at)
{
    const size_t block = shares->reader->limits->block_bytes, most = MOST_BLOCKS * block;
    bool more = true;
    size_t end = 0, seen = 0;
    for (size_t size = block; more && end == 0 && size <= most; size *= 2) {
        more = read_up_to(shares, shares->reader->source, at, size);
        end = find_run(shares, at, seen);
        seen = at->size;
    }
    return end;
}

/* Few enough at a time for a byte to count them, which a compiler can do for many at once. */
static long line_breaks(const unsigned char *bytes, size_t size)
{
    enum { AT_ONCE = 128 };
    long lines = 0;
    for (size_t i = 0; i < size; i += AT_ONCE) {
        const size_t count = size - i < AT_ONCE ? size - i : AT_ONCE;
        unsigned char few = 0;
        for (size_t k = 0; k < count; k++)
            few = (unsigned char)(few + (bytes[i + k] == '\n'));
        lines += few;
    }
    return lines;
}

static size_t rest_of(const place *at)
{
    return at->size - at->next;
}

/* The first place with bytes that were not given, in the order of the log. */
static place *first_with_rest(ll_shares *shares)
{
    for (size_t k = shares->joined; k < shares->taken; k++)
        if (rest_of(&run_at(shares, k)->at) > 0)
            return &run_at(shares, k)->at;
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

/* --- the crew ------------------------------------------------------------------------------------------------------- */

bool ll_shares_take(ll_shares *shares, const void *bytes, size_t size)
{
    if (shares->is_over || !shares->is_plain)
        return false;
    shares->is_over = true;
    return put(shares, &shares->left, bytes, size);
}

static void swap(place *one, place *other)
{
    const place kept = *one;
    *one = *other;
    *other = kept;
}

/* What is left begins a run, as far as dives are whole in it; what is behind that is left. False where there is none: all is
 * left. */
static bool read_run(ll_shares *shares, run *next)
{
    place *at = &next->at;
    at->size = at->next = 0;
    swap(at, &shares->left);
    const size_t end = fill(shares, at);
    if (end == 0 || !put(shares, &shares->left, at->bytes + end, at->size - end)) {
        swap(at, &shares->left);
        return false;
    }
    at->size = end;
    at->lines = line_breaks(at->bytes, end);
    next->line = shares->line;
    shares->line += at->lines;
    return true;
}

/* The next run, once a place is free; NULL: there is none. */
static run *take_run(ll_shares *shares)
{
    while (!shares->is_done && shares->taken - shares->joined == shares->most)
        ll_lock_wait(&shares->lock);
    run *next = run_at(shares, shares->taken);
    if (shares->is_done || !read_run(shares, next)) {
        shares->is_done = true;
        return NULL;
    }
    next->has_ended = false;
    shares->taken++;
    return next;
}

/* Tags go where they have room. */
static void do_run(const ll_shares *shares, run *one)
{
    const size_t before = strlen(shares->before_tags);
    unsigned char *text = one->at.bytes - before;
    memcpy(text, shares->before_tags, before);
    memcpy(one->at.bytes + one->at.size, shares->behind_tags, strlen(shares->behind_tags) + 1);
    ll_part_read(&one->part, (const char *)text, one->line);
}

/* False if the run needs the reader's own parser. */
static bool join_run(ll_shares *shares, run *one)
{
    shares->strange += one->part.strange;
    return one->part.good && one->part.lines == one->at.lines && shares->strange <= STRANGE_MOST &&
           ll_part_join(&one->part, shares->reader);
}

/* Joins, in order, runs that are over. */
static void join_runs(ll_shares *shares)
{
    while (!shares->is_lost && shares->joined < shares->taken && run_at(shares, shares->joined)->has_ended) {
        shares->is_lost = !join_run(shares, run_at(shares, shares->joined));
        shares->joined += !shares->is_lost;
    }
    shares->is_done = shares->is_done || shares->is_lost;
    ll_lock_tell(&shares->lock);
}

static void work(void *context, size_t index)
{
    ll_shares *shares = context;
    (void)index;
    ll_lock_take(&shares->lock);
    for (run *one = take_run(shares); one; one = take_run(shares)) {
        ll_lock_leave(&shares->lock);
        do_run(shares, one);
        ll_lock_take(&shares->lock);
        one->has_ended = true;
        join_runs(shares);
    }
    ll_lock_leave(&shares->lock);
}

long ll_shares_go(ll_shares *shares)
{
    const ll_crew *crew = shares->crew;
    const long first = ll_line(shares->reader);
    shares->line = first;
    crew->run(crew->crew_context, crew->jobs, crew->jobs, work, shares);
    return (shares->joined < shares->taken ? run_at(shares, shares->joined)->line : shares->line) - first;
}
