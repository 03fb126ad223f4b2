/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log_world.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <zlib.h>

#include "same_logs.h"

ptrdiff_t read_pieces(void *context, void *bytes, size_t capacity)
{
    pieces *from = context;
    size_t size = from->size - from->next;
    if (from->fail_at && from->next >= from->fail_at)
        return -1;
    if (size > capacity)
        size = capacity;
    if (from->piece && size > from->piece)
        size = from->piece;
    memcpy(bytes, from->bytes + from->next, size);
    from->next += size;
    return (ptrdiff_t)size;
}

ll_status try_bytes(const char *bytes, size_t size, size_t piece, const ll_allocator *allocator,
                    const ll_input_limits *limits, ll_log **log, ll_error *error)
{
    pieces from = {bytes, size, 0, piece, 0};
    return ll_log_read("test.uddf", read_pieces, &from, allocator, limits, log, error);
}

ll_log *read_text(const char *text)
{
    ll_log *log;
    ll_error error = {.line = 0};
    if (try_bytes(text, strlen(text), 0, NULL, NULL, &log, &error) != LL_OK)
        fail_msg("line %ld: %s", error.line, error.text);
    return log;
}

void assert_refused(const char *text, long line, const char *sentence)
{
    ll_log *log = (ll_log *)(uintptr_t)1;
    ll_error error = {.line = -1};
    assert_int_equal(try_bytes(text, strlen(text), 0, NULL, NULL, &log, &error), LL_BAD_INPUT);
    assert_null(log);
    assert_int_equal(error.status, LL_BAD_INPUT);
    assert_string_equal(error.text, sentence);
    assert_int_equal(error.line, line);
}

char *log_around(const char *waypoints)
{
    static const char before[] =
        "<uddf version=\"3.2.2\"><gasdefinitions>\n"
        "<mix id=\"air\"><o2>0.21</o2><n2>0.79</n2></mix>\n"
        "<mix id=\"ean50\"><o2>0.5</o2><n2>0.5</n2></mix>\n"
        "<mix id=\"tx\"><o2>0.18</o2><he>0.45</he></mix>\n"
        "</gasdefinitions><profiledata><repetitiongroup><dive id=\"d\"><samples>\n";
    static const char after[] = "</samples></dive></repetitiongroup></profiledata></uddf>\n";
    size_t size = sizeof before + sizeof after + strlen(waypoints);
    char *text = malloc(size);
    assert_non_null(text);
    snprintf(text, size, "%s%s%s", before, waypoints, after);
    return text;
}

ll_log *read_waypoints(const char *waypoints)
{
    char *text = log_around(waypoints);
    ll_log *log = read_text(text);
    free(text);
    assert_int_equal(log->dives, 1);
    return log;
}

const char *note_text(const ll_notes *notes, ll_note_code code)
{
    for (size_t i = 0; i < notes->count; i++)
        if (notes->items[i].code == code)
            return notes->items[i].text;
    return NULL;
}

void assert_span(const ll_dive *dive, size_t which, size_t first, size_t end, int mix, ll_circuit circuit)
{
    assert_true(which < dive->spans);
    const ll_span *span = &dive->span[which];
    assert_int_equal(span->first, first);
    assert_int_equal(span->end, end);
    assert_int_equal(span->mix, mix);
    assert_int_equal(span->circuit, circuit);
}

void assert_same_logs(const ll_log *a, const ll_log *b)
{
    const char *what = logs_differ(a, b);
    if (what)
        fail_msg("%s differ", what);
}

char *zipped(const char *text, size_t *size)
{
    uLong room = compressBound((uLong)strlen(text)) + 64;
    char *bytes = malloc(room);
    assert_non_null(bytes);
    z_stream zip = {.zalloc = Z_NULL};
    assert_int_equal(deflateInit2(&zip, 6, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY), Z_OK);
    zip.next_in = (Bytef *)(uintptr_t)text;
    zip.avail_in = (uInt)strlen(text);
    zip.next_out = (Bytef *)bytes;
    zip.avail_out = (uInt)room;
    assert_int_equal(deflate(&zip, Z_FINISH), Z_STREAM_END);
    *size = zip.total_out;
    deflateEnd(&zip);
    return bytes;
}
