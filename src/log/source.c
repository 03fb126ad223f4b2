/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages, each pulling from the one before it: raw bytes (hashed) -> inflate -> plain bytes (counted) -> UTF-8. */
#include "log/source.h"

#include <string.h>

#include <zlib.h>

enum { RAW_BYTES = 64 * 1024, PLAIN_BYTES = 8 * 1024, HEAD_BYTES = 1024, GZIP_WINDOW = 16 + MAX_WBITS };

struct ll_source {
    const ll_allocator *allocator;
    ll_read_fn read;
    ll_hash_fn hash; /* NULL: `digest` holds it */
    void *context;
    ll_digest digest;
    ll_error error; /* status LL_OK while nothing failed */

    bool raw_ended;
    size_t raw_next, raw_size;
    bool is_gzip, member_open, cut;
    bool padded; /* something behind the last member, or a piece of a character at the end */
    z_stream zip;

    size_t plain_next, plain_size; /* plain bytes that wait to be decoded */
    bool plain_ended;
    size_t taken, total_bytes;
    bool is_over; /* more came than that; what came before is given first */
    ll_decoder decoder;
    char declared[LL_DECLARED];
    bool contradicted;
    unsigned char plain[PLAIN_BYTES];
    unsigned char raw[RAW_BYTES];
};

static ptrdiff_t fail(ll_source *source, ll_status status, const char *sentence)
{
    if (source->error.status == LL_OK)
        ll_fail(&source->error, status, 0, "%s", sentence);
    return -1;
}

/* What the caller gives: how many bytes, 0 at the end and where reading fails or failed. */
static size_t read_raw(ll_source *source, unsigned char *bytes, size_t capacity)
{
    if (source->raw_ended || source->error.status != LL_OK)
        return 0;
    ptrdiff_t got = source->read(source->context, bytes, capacity);
    if (got < 0 || (size_t)got > capacity) {
        fail(source, LL_BAD_INPUT, "the input could not be read");
        return 0;
    }
    source->raw_ended = got == 0;
    if (!source->hash)
        ll_digest_add(&source->digest, bytes, (size_t)got);
    return (size_t)got;
}

/* Refills the raw buffer if it is empty. False if nothing is left or reading failed. */
static bool have_raw(ll_source *source)
{
    if (source->raw_next < source->raw_size)
        return true;
    source->raw_next = 0;
    source->raw_size = read_raw(source, source->raw, RAW_BYTES);
    return source->raw_size > 0;
}

/* A caller that hashes has the bytes in memory: then they need no buffer here. */
static ptrdiff_t take_raw(ll_source *source, unsigned char *bytes, size_t capacity)
{
    if (source->hash && source->raw_next == source->raw_size) {
        size_t got = read_raw(source, bytes, capacity);
        return source->error.status == LL_OK ? (ptrdiff_t)got : -1;
    }
    if (!have_raw(source))
        return source->error.status == LL_OK ? 0 : -1;
    size_t size = source->raw_size - source->raw_next;
    if (size > capacity)
        size = capacity;
    memcpy(bytes, source->raw + source->raw_next, size);
    source->raw_next += size;
    return (ptrdiff_t)size;
}

static void *zip_allocate(void *context, unsigned items, unsigned size)
{
    const ll_allocator *allocator = ((ll_source *)context)->allocator;
    return allocator->resize(allocator->context, NULL, (size_t)items * size);
}

static void zip_free(void *context, void *bytes)
{
    const ll_allocator *allocator = ((ll_source *)context)->allocator;
    allocator->resize(allocator->context, bytes, 0);
}

/* Another member may follow the one that ended; anything else behind it (padding) is no part of the log. */
static bool next_member(ll_source *source)
{
    if (!have_raw(source))
        return false;
    source->padded = source->raw[source->raw_next] != 0x1f;
    if (source->padded)
        return false;
    if (inflateReset(&source->zip) != Z_OK)
        return false;
    source->member_open = true;
    return true;
}

/* One step of inflation into `bytes`: how many bytes came, -1 on failure, and whether to go on. */
static ptrdiff_t inflate_step(ll_source *source, unsigned char *bytes, size_t capacity, bool *more)
{
    z_stream *zip = &source->zip;
    zip->next_in = source->raw + source->raw_next;
    zip->avail_in = (unsigned)(source->raw_size - source->raw_next);
    zip->next_out = bytes;
    zip->avail_out = capacity > RAW_BYTES ? RAW_BYTES : (unsigned)capacity;
    unsigned room = zip->avail_out;
    int result = inflate(zip, Z_NO_FLUSH);
    source->raw_next = source->raw_size - zip->avail_in;
    if (result == Z_MEM_ERROR)
        return fail(source, LL_NO_MEMORY, "memory ran out");
    const bool is_damaged = result != Z_OK && result != Z_BUF_ERROR && result != Z_STREAM_END;
    if (is_damaged && zip->avail_out == room) /* else what came first is given first */
        return fail(source, LL_BAD_INPUT, "the gzip data is damaged");
    if (result == Z_STREAM_END) {
        source->member_open = false;
        *more = next_member(source);
    }
    return (ptrdiff_t)(room - zip->avail_out);
}

static ptrdiff_t take_inflated(ll_source *source, unsigned char *bytes, size_t capacity)
{
    bool more = source->member_open;
    while (more) {
        if (!have_raw(source)) {
            source->cut = source->error.status == LL_OK;
            source->member_open = false;
            break;
        }
        ptrdiff_t got = inflate_step(source, bytes, capacity, &more);
        if (got != 0)
            return got;
    }
    return source->error.status == LL_OK ? 0 : -1;
}

static ptrdiff_t take_plain(ll_source *source, unsigned char *bytes, size_t capacity)
{
    if (source->plain_ended)
        return 0;
    if (source->is_over)
        return fail(source, LL_BAD_INPUT, "the log is larger than this program reads");
    ptrdiff_t got = source->is_gzip ? take_inflated(source, bytes, capacity) : take_raw(source, bytes, capacity);
    if (got == 0)
        source->plain_ended = true;
    if (got > 0 && (size_t)got > source->total_bytes - source->taken) {
        got = (ptrdiff_t)(source->total_bytes - source->taken);
        source->is_over = true;
    }
    if (got > 0)
        source->taken += (size_t)got;
    return got;
}

/* Straight into the caller's room; what cannot stand there as it is waits to be decoded. */
static ptrdiff_t take_straight(ll_source *source, unsigned char *bytes, size_t capacity)
{
    ptrdiff_t got = take_plain(source, bytes, capacity < PLAIN_BYTES ? capacity : PLAIN_BYTES);
    if (got <= 0)
        return got;
    size_t valid = ll_decoder_straight(&source->decoder, bytes, (size_t)got);
    source->plain_next = 0;
    source->plain_size = (size_t)got - valid;
    memcpy(source->plain, bytes + valid, source->plain_size);
    return (ptrdiff_t)valid;
}

/* More bytes to decode where what waits may be less than a character. UTF-8 gets the rest of that character only, so
 * that what follows passes straight. */
static void top_up(ll_source *source)
{
    enum { LONGEST = 4 };
    source->plain_size -= source->plain_next;
    memmove(source->plain, source->plain + source->plain_next, source->plain_size);
    source->plain_next = 0;
    if (source->plain_size >= LONGEST)
        return;
    bool one = source->plain_size > 0 && source->decoder.encoding == LL_UTF_8;
    ptrdiff_t got = take_plain(source, source->plain + source->plain_size, one ? 1 : PLAIN_BYTES - source->plain_size);
    source->plain_size += got > 0 ? (size_t)got : 0;
}

/* What waits, decoded. At the end no beginning of a character is left. */
static ptrdiff_t take_decoded(ll_source *source, unsigned char *bytes, size_t capacity)
{
    top_up(source);
    const unsigned char *from = source->plain;
    size_t used = ll_decode(&source->decoder, &from, source->plain + source->plain_size, bytes, capacity);
    source->plain_next = (size_t)(from - source->plain);
    if (used == 0 && source->plain_ended) {
        source->padded = source->padded || source->plain_next < source->plain_size;
        source->plain_next = source->plain_size;
    }
    return (ptrdiff_t)used;
}

/* True if nothing waits that would have to go first. */
static bool is_straight(const ll_source *source)
{
    return source->plain_next == source->plain_size && ll_decoder_is_straight(&source->decoder);
}

ptrdiff_t ll_source_take(ll_source *source, void *bytes, size_t capacity)
{
    ptrdiff_t got = 0;
    if (capacity < LL_SOURCE_LEAST)
        return -1;
    while (got == 0 && source->error.status == LL_OK && !ll_source_is_spent(source))
        got = is_straight(source) ? take_straight(source, bytes, capacity) : take_decoded(source, bytes, capacity);
    return source->error.status == LL_OK ? got : -1;
}

static void open_gzip(ll_source *source)
{
    source->is_gzip = source->member_open = true;
    source->zip = (z_stream){.zalloc = zip_allocate, .zfree = zip_free, .opaque = source};
    if (inflateInit2(&source->zip, GZIP_WINDOW) != Z_OK) {
        source->is_gzip = false;
        fail(source, LL_NO_MEMORY, "memory ran out");
    }
}

/* The first raw bytes, gathered until the magic of gzip can be told. */
static void look_for_gzip(ll_source *source)
{
    while (source->raw_size < 2 && !source->raw_ended && source->error.status == LL_OK)
        source->raw_size += read_raw(source, source->raw + source->raw_size, RAW_BYTES - source->raw_size);
    if (source->error.status == LL_OK && source->raw_size >= 2 && source->raw[0] == 0x1f && source->raw[1] == 0x8b)
        open_gzip(source);
}

static void fill_head(ll_source *source)
{
    while (source->plain_size < HEAD_BYTES && !source->plain_ended && source->error.status == LL_OK) {
        ptrdiff_t got = take_plain(source, source->plain + source->plain_size, HEAD_BYTES - source->plain_size);
        if (got > 0)
            source->plain_size += (size_t)got;
    }
}

/* Compares without regard to case; `word` is lower case. */
static bool begins_with(const unsigned char *bytes, size_t size, const char *word)
{
    for (size_t i = 0; word[i]; i++) {
        unsigned char c = i < size ? bytes[i] : 0;
        if (c >= 'A' && c <= 'Z')
            c = (unsigned char)(c - 'A' + 'a');
        if (c != (unsigned char)word[i])
            return false;
    }
    return true;
}

/* Why these first characters are no UDDF log, or NULL if they may be one. */
static const char *told_by_head(const unsigned char *bytes, size_t size, bool is_whole)
{
    if (size == 0)
        return "empty file";
    if (size >= 4 && memcmp(bytes, "PK\3\4", 4) == 0)
        return "not a UDDF log: a zip archive";
    size_t next = 0;
    while (next < size && (bytes[next] == ' ' || bytes[next] == '\t' || bytes[next] == '\r' || bytes[next] == '\n'))
        next++;
    if (next == size)
        return is_whole ? "empty file: nothing but white space" : NULL;
    if (begins_with(bytes + next, size - next, "<!doctype html") || begins_with(bytes + next, size - next, "<html"))
        return "not a UDDF log: an HTML page";
    return bytes[next] == '<' ? NULL : "not a UDDF log: no XML";
}

/* Looks at the first bytes: what they are no log for, and how to decode them and what follows. */
static void look_at_head(ll_source *source)
{
    unsigned char text[3 * HEAD_BYTES + LL_DECODER_ROOM];
    size_t mark;
    ll_encoding of_bytes = ll_encoding_of_bytes(source->plain, source->plain_size, &mark);
    ll_decoder trial = {.encoding = of_bytes};
    const unsigned char *from = source->plain + mark;
    size_t size = ll_decode(&trial, &from, source->plain + source->plain_size, text, sizeof text);
    const char *refusal = told_by_head(text, size, source->plain_ended);
    if (refusal)
        fail(source, LL_BAD_INPUT, refusal);
    ll_encoding_declared((const char *)text, size, source->declared);
    source->decoder.line = 1;
    source->decoder.encoding = ll_encoding_choose(of_bytes, mark > 0, source->declared, &source->contradicted);
    source->plain_next = mark;
}

ll_status ll_source_open(ll_read_fn read, ll_hash_fn hash, void *context, const ll_allocator *allocator,
                         size_t total_bytes, ll_source **source, ll_error *error)
{
    *source = NULL;
    ll_source *made = allocator->resize(allocator->context, NULL, sizeof *made);
    if (!made)
        return ll_fail_memory(error);
    memset(made, 0, sizeof *made);
    made->allocator = allocator;
    made->read = read;
    made->hash = hash;
    made->context = context;
    made->total_bytes = total_bytes;
    ll_digest_open(&made->digest);
    look_for_gzip(made);
    fill_head(made);
    if (made->error.status == LL_OK)
        look_at_head(made);
    ll_status status = ll_source_status(made, error);
    if (status == LL_OK)
        *source = made;
    else
        ll_source_close(made);
    return status;
}

ll_status ll_source_status(const ll_source *source, ll_error *error)
{
    if (source->error.status == LL_OK)
        return LL_OK;
    return ll_fail(error, source->error.status, source->error.line, "%s", source->error.text);
}

bool ll_source_is_spent(const ll_source *source)
{
    return source->plain_ended && source->plain_next == source->plain_size;
}

bool ll_source_is_cut(const ll_source *source)
{
    return source->cut;
}

bool ll_source_is_padded(const ll_source *source)
{
    return source->padded || source->decoder.held_nul;
}

const ll_decoder *ll_source_decoder(const ll_source *source)
{
    return &source->decoder;
}

const char *ll_source_contradicted(const ll_source *source)
{
    return source->contradicted ? source->declared : NULL;
}

ll_status ll_source_finish(ll_source *source, char sha256[LL_DIGEST_TEXT], ll_error *error)
{
    unsigned char rest[4096];
    while (source->error.status == LL_OK && take_raw(source, rest, sizeof rest) > 0)
        ;
    if (source->error.status == LL_OK && source->hash)
        source->hash(source->context, sha256);
    else
        ll_digest_close(&source->digest, sha256);
    return ll_source_status(source, error);
}

void ll_source_close(ll_source *source)
{
    if (!source)
        return;
    if (source->is_gzip)
        inflateEnd(&source->zip);
    source->allocator->resize(source->allocator->context, source, 0);
}
