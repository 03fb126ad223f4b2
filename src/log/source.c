/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The stages, each pulling from the one before it: raw bytes (hashed) -> inflate -> plain bytes (counted). A stage that
 * repairs the encoding belongs between the last two. */
#include "log/source.h"

#include <string.h>

#include <zlib.h>

enum { RAW_BYTES = 64 * 1024, HEAD_BYTES = 1024, GZIP_WINDOW = 16 + MAX_WBITS };

struct ll_source {
    const ll_allocator *allocator;
    ll_read_fn read;
    void *context;
    ll_digest digest;
    ll_error error; /* status LL_OK while nothing failed */

    bool raw_ended;
    size_t raw_next, raw_size;
    bool is_gzip, member_open, cut;
    z_stream zip;

    size_t head_next, head_size; /* plain bytes looked at but not taken yet */
    bool plain_ended;
    size_t taken, total_bytes;
    unsigned char head[HEAD_BYTES];
    unsigned char raw[RAW_BYTES];
};

static ptrdiff_t fail(ll_source *source, ll_status status, const char *sentence)
{
    if (source->error.status == LL_OK)
        ll_fail(&source->error, status, 0, "%s", sentence);
    return -1;
}

/* Refills the raw buffer if it is empty. False if nothing is left or reading failed. */
static bool have_raw(ll_source *source)
{
    if (source->raw_next < source->raw_size)
        return true;
    if (source->raw_ended || source->error.status != LL_OK)
        return false;
    ptrdiff_t got = source->read(source->context, source->raw, RAW_BYTES);
    source->raw_next = source->raw_size = 0;
    if (got < 0 || (size_t)got > RAW_BYTES) {
        fail(source, LL_BAD_INPUT, "the input could not be read");
        return false;
    }
    source->raw_ended = got == 0;
    source->raw_size = (size_t)got;
    ll_digest_add(&source->digest, source->raw, source->raw_size);
    return got > 0;
}

static ptrdiff_t take_raw(ll_source *source, unsigned char *bytes, size_t capacity)
{
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
    if (!have_raw(source) || source->raw[source->raw_next] != 0x1f)
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
    if (result != Z_OK && result != Z_BUF_ERROR && result != Z_STREAM_END)
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
    ptrdiff_t got = source->is_gzip ? take_inflated(source, bytes, capacity) : take_raw(source, bytes, capacity);
    if (got == 0)
        source->plain_ended = true;
    if (got > 0)
        source->taken += (size_t)got;
    if (source->taken > source->total_bytes)
        return fail(source, LL_BAD_INPUT, "the log is larger than this program reads");
    return got;
}

ptrdiff_t ll_source_take(ll_source *source, void *bytes, size_t capacity)
{
    if (source->error.status != LL_OK)
        return -1;
    size_t held = source->head_size - source->head_next;
    if (held == 0)
        return source->plain_ended ? 0 : take_plain(source, bytes, capacity);
    if (held > capacity)
        held = capacity;
    memcpy(bytes, source->head + source->head_next, held);
    source->head_next += held;
    return (ptrdiff_t)held;
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
    while (source->raw_size < 2 && !source->raw_ended && source->error.status == LL_OK) {
        ptrdiff_t got = source->read(source->context, source->raw + source->raw_size, RAW_BYTES - source->raw_size);
        if (got < 0 || (size_t)got > RAW_BYTES - source->raw_size) {
            fail(source, LL_BAD_INPUT, "the input could not be read");
            return;
        }
        ll_digest_add(&source->digest, source->raw + source->raw_size, (size_t)got);
        source->raw_ended = got == 0;
        source->raw_size += (size_t)got;
    }
    if (source->raw_size >= 2 && source->raw[0] == 0x1f && source->raw[1] == 0x8b)
        open_gzip(source);
}

static void fill_head(ll_source *source)
{
    while (source->head_size < HEAD_BYTES && !source->plain_ended && source->error.status == LL_OK) {
        ptrdiff_t got = take_plain(source, source->head + source->head_size, HEAD_BYTES - source->head_size);
        if (got > 0)
            source->head_size += (size_t)got;
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

/* Why these first bytes are no UDDF log, or NULL if they may be one. */
static const char *told_by_head(const unsigned char *bytes, size_t size)
{
    if (size == 0)
        return "empty file";
    if (size >= 4 && memcmp(bytes, "PK\3\4", 4) == 0)
        return "not a UDDF log: a zip archive";
    if (size >= 2 && ((bytes[0] == 0xfe && bytes[1] == 0xff) || (bytes[0] == 0xff && bytes[1] == 0xfe) ||
                      (bytes[0] == 0 && bytes[1] == '<') || (bytes[0] == '<' && bytes[1] == 0)))
        return NULL; /* UTF-16, with a byte order mark or without */
    size_t next = begins_with(bytes, size, "\xef\xbb\xbf") ? 3 : 0;
    while (next < size && (bytes[next] == ' ' || bytes[next] == '\t' || bytes[next] == '\r' || bytes[next] == '\n'))
        next++;
    if (next == size)
        return size < HEAD_BYTES ? "empty file: nothing but white space" : NULL;
    if (begins_with(bytes + next, size - next, "<!doctype html") || begins_with(bytes + next, size - next, "<html"))
        return "not a UDDF log: an HTML page";
    return bytes[next] == '<' ? NULL : "not a UDDF log: no XML";
}

ll_status ll_source_open(ll_read_fn read, void *context, const ll_allocator *allocator, size_t total_bytes,
                         ll_source **source, ll_error *error)
{
    *source = NULL;
    ll_source *made = allocator->resize(allocator->context, NULL, sizeof *made);
    if (!made)
        return ll_fail_memory(error);
    memset(made, 0, sizeof *made);
    made->allocator = allocator;
    made->read = read;
    made->context = context;
    made->total_bytes = total_bytes;
    ll_digest_open(&made->digest);
    look_for_gzip(made);
    fill_head(made);
    const char *refusal = told_by_head(made->head, made->head_size);
    if (refusal)
        fail(made, LL_BAD_INPUT, refusal);
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
    return source->plain_ended && source->head_next == source->head_size;
}

bool ll_source_is_cut(const ll_source *source)
{
    return source->cut;
}

ll_status ll_source_finish(ll_source *source, char sha256[LL_DIGEST_TEXT], ll_error *error)
{
    unsigned char rest[4096];
    while (source->error.status == LL_OK && take_raw(source, rest, sizeof rest) > 0)
        ;
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
